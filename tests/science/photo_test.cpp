// From linear light of a photograph to L*a*b*: held against two independent colour libraries and against patches whose
// every figure is known, because they were made so.
#include "science/photo_rules.hpp"

#include "science/colour_difference.hpp"
#include "science/reference_tables.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <random>

using namespace tonebath::science;
using namespace tonebath::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

// The generator of random_colours.mjs.
class Draws {
public:
    double next() {
        seed_ = seed_ * 1664525u + 1013904223u;
        return (seed_ >> 8) / 16777216.0;
    }
    Srgb colour() {
        const double r = next();
        const double g = next();
        return {r, g, next()};
    }

private:
    std::uint32_t seed_ = 20261126;
};

double widest(const Lab& a, const Lab& b) {
    return std::max({std::abs(a.l - b.l), std::abs(a.a - b.a), std::abs(a.b - b.b)});
}

template <class Light>
PhotoPatch patch_of(int width, int height, const Light& light) {
    PhotoPatch patch{.width = width, .height = height};
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            patch.light.push_back(light(x, y));
            patch.state.push_back(PixelState::good);
        }
    }
    return patch;
}

const PhotoFinding* found(const std::vector<PhotoFinding>& findings, PhotoRule rule) {
    const auto at = std::find_if(findings.begin(), findings.end(), [&](const PhotoFinding& one) { return one.rule == rule; });
    return at == findings.end() ? nullptr : &*at;
}

}  // namespace

// random_colours.bin: colorjs.io 0.7.1 and culori 4.0.2, how they were made stands in random_colours.mjs. Rounding of the
// file is 5e-8; a hue turned about by the rounding of two nearly grey colours would show as a jump, and there is none.
TEST_CASE("10,000 random colours of sRGB and Display P3 agree with two colour libraries to 1e-6", "[photo]") {
    const std::string bytes = text_of(case_file("photo/random_colours.bin"));
    REQUIRE(bytes.size() == 10000 * 7 * 4);
    Draws draws;
    double srgb = 0.0, p3 = 0.0, apart = 0.0;
    for (std::size_t i = 0; i < 10000; ++i) {
        double row[7];
        for (std::size_t k = 0; k < 7; ++k) {
            std::uint32_t value = 0;
            for (std::size_t j = 0; j < 4; ++j) {
                value |= static_cast<std::uint32_t>(static_cast<unsigned char>(bytes[4 * (7 * i + k) + j])) << (8 * j);
            }
            row[k] = static_cast<std::int32_t>(value) * 1e-7;
        }
        const Lab first{row[0], row[1], row[2]}, second{row[3], row[4], row[5]};
        srgb = std::max(srgb, widest(lab_d50_from_srgb(draws.colour()), first));
        p3 = std::max(p3, widest(lab_d50_from_linear(linear_from_display_p3(draws.colour())), second));
        apart = std::max(apart, std::abs(delta_e2000(first, second) - row[6]));
    }
    CHECK(srgb < 1e-6);
    CHECK(p3 < 1e-6);
    CHECK(apart < 1e-6);
}

TEST_CASE("Where hues are exactly opposite the figure is one of the two that libraries give", "[photo]") {
    int jumps = 0;
    for (const Row& row : rows_of(case_file("photo/opposite_hues.csv"))) {
        const Lab a{number(row, "L1"), number(row, "a1"), number(row, "b1")};
        const Lab b{number(row, "L2"), number(row, "a2"), number(row, "b2")};
        const double de = delta_e2000(a, b);
        const double one = number(row, "one"), other = number(row, "other");
        INFO(a.a << " " << a.b << ": " << de << " of " << one << " and " << other);
        CHECK(std::min(std::abs(de - one), std::abs(de - other)) < 5e-5);
        CHECK(std::abs(de - delta_e2000(b, a)) < 1e-9);
        jumps += std::abs(one - other) > 0.1 ? 1 : 0;
    }
    CHECK(jumps > 10);
}

TEST_CASE("White of a profile is white, and grey of the card is L* 49.50", "[photo]") {
    // ICC.1:2010: the white of the connection space is 0.9642, 1, 0.8249.
    const LinearRgb white = linear_from_icc_xyz(0.9642, 1.0, 0.8249);
    CHECK_THAT(white.r, WithinAbs(1.0, 1e-12));
    CHECK_THAT(white.g, WithinAbs(1.0, 1e-12));
    CHECK_THAT(white.b, WithinAbs(1.0, 1e-12));
    const Row card = rows_of(case_file("optics/grey_card.csv")).front();
    CHECK_THAT(lab_d50_from_linear({0.18, 0.18, 0.18}).l, WithinAbs(number(card, "L_D50"), 0.005));
    CHECK_THAT(kGreyCard.l, WithinAbs(lab_d50_from_linear({0.18, 0.18, 0.18}).l, 1e-3));
}

TEST_CASE("A card takes the colour of its light away, whatever light it was", "[photo]") {
    const LinearRgb true_piece{0.09, 0.07, 0.12};
    const LinearRgb light{1.7, 0.9, 0.4};
    const LinearRgb card{0.18 * light.r, 0.18 * light.g, 0.18 * light.b};
    const auto gain = card_gain(card);
    REQUIRE(gain);
    const LinearRgb back = gained(gained(true_piece, light), gain->factor);
    CHECK(widest(lab_d50_from_linear(back), lab_d50_from_linear(true_piece)) < 0.01);
    CHECK(gain->cast_chroma > 20.0);
    CHECK(card_gain({0.3, 0.3, 0.3})->cast_chroma < 1e-6);
    CHECK_FALSE(card_gain({0.1, 0.0, 0.1}));
}

TEST_CASE("Glare, dust and clipped pixels do not move the mean; noise shows as error", "[photo]") {
    std::mt19937 random(7);
    std::normal_distribution<double> noise(0.0, 0.02);
    const auto clean = [&](int, int) {
        const double n = 1.0 + noise(random);
        return LinearRgb{0.20 * n, 0.15 * n, 0.10 * n};
    };
    PhotoPatch patch = patch_of(80, 60, clean);
    const auto before = patch_figures(patch);
    REQUIRE(before);
    CHECK_THAT(before->mean.r, WithinRel(0.20, 0.002));
    CHECK(before->left_out_share < 0.01);
    CHECK_THAT(before->light_noise, WithinRel(0.02, 0.1));
    CHECK(before->tiles.size() == 64);
    for (std::size_t i = 0; i < patch.light.size(); i += 12) {
        patch.light[i] = {0.9, 0.9, 0.9};  // a twelfth: glare
    }
    for (std::size_t i = 5; i < patch.light.size(); i += 50) {
        patch.light[i] = {0.01, 0.01, 0.01};
    }
    for (std::size_t i = 3; i < patch.light.size(); i += 100) {
        patch.state[i] = PixelState::clipped_high;
        patch.light[i] = {1.0, 1.0, 1.0};
    }
    const auto after = patch_figures(patch);
    REQUIRE(after);
    CHECK_THAT(after->mean.r, WithinRel(before->mean.r, 0.002));
    CHECK_THAT(after->mean.b, WithinRel(before->mean.b, 0.002));
    CHECK_THAT(after->clipped_high_share, WithinAbs(0.01, 1e-9));
    CHECK_THAT(after->glare_share, WithinAbs(1.0 / 12.0 + 0.01, 0.006));
    CHECK_THAT(after->left_out_share, WithinAbs(1.0 / 12.0 + 0.02 + 0.01, 0.012));

    CHECK_FALSE(patch_figures(PhotoPatch{}));
    CHECK_FALSE(patch_figures(patch_of(3, 3, clean)));
    PhotoPatch white = patch_of(20, 20, clean);
    std::fill(white.state.begin(), white.state.end(), PixelState::clipped_high);
    CHECK(patch_figures(white)->clipped_high_share == 1.0);
}

TEST_CASE("A plane of light is found as it was laid, in shares and per pixel", "[photo]") {
    // 10 % from left to right, 6 % from top to bottom; red rises by a further 4 %.
    const auto lit = [](int x, int y) {
        const double light = 1.0 + 0.10 * (x / 99.0 - 0.5) - 0.06 * (y / 49.0 - 0.5);
        return LinearRgb{0.2 * light * (1.0 + 0.04 * (x / 99.0 - 0.5)), 0.2 * light, 0.2 * light};
    };
    PhotoPatch patch = patch_of(100, 50, lit);
    const auto slope = light_slope(patch);
    REQUIRE(slope);
    CHECK_THAT(slope->corner_to_corner, WithinAbs(0.16 + 0.2126 * 0.04, 0.003));
    CHECK_THAT(slope->per_x, WithinAbs((0.10 + 0.2126 * 0.04) / 99.0, 2e-5));
    CHECK_THAT(slope->per_y, WithinAbs(-0.06 / 49.0, 1e-5));
    CHECK_THAT(slope->colour, WithinAbs(0.04, 0.003));
    patch.merged = 4;  // the same picture, read in squares of four
    CHECK_THAT(light_slope(patch)->per_x, WithinRel(slope->per_x / 4.0, 1e-12));
    CHECK_FALSE(light_slope(PhotoPatch{}));
}

TEST_CASE("An edge is as wide as it was drawn, and an even area has none", "[photo]") {
    for (const double width : {1.0, 4.0, 12.0}) {
        const auto edge = [&](int x, int) {
            const double light = 0.1 + 0.4 * std::clamp((x - 30) / width, 0.0, 1.0);
            return LinearRgb{light, light, light};
        };
        const auto found_px = edge_width_px(patch_of(60, 40, edge));
        REQUIRE(found_px);
        CHECK_THAT(*found_px, WithinRel(width, 0.01));
    }
    CHECK_FALSE(edge_width_px(patch_of(60, 40, [](int x, int) { return LinearRgb{0.2, 0.2, 0.2 + 1e-4 * x}; })));
}

TEST_CASE("A chart gives back the matrix that mixed its channels", "[photo]") {
    // Known colours of the 24 patches, seen by a camera whose channels leak into one another.
    const auto rows = rows_of(case_file("photo/chart_24_patch_lab.csv"));
    REQUIRE(rows.size() == 24);
    std::vector<ChartPatch> patches;
    for (const Row& row : rows) {
        const Lab known{number(row, "L_after"), number(row, "a_after"), number(row, "b_after")};
        const LinearRgb seen = linear_from_srgb(srgb_from_lab_d50(known));
        patches.push_back({{0.8 * seen.r + 0.15 * seen.g, 0.1 * seen.r + 0.7 * seen.g + 0.2 * seen.b, 0.1 * seen.g + 0.9 * seen.b}, known});
    }
    const auto fit = chart_fit(patches);
    REQUIRE(fit);
    CHECK(fit->ninth_in_ten_de00 < 1e-6);
    CHECK(widest(lab_d50_from_chart(patches[4].light, fit->matrix), patches[4].known) < 1e-8);
    // One patch that was covered by a thumb is found out by all the others.
    patches[7].light = patches[18].light;
    const auto wrong = chart_fit(patches);
    REQUIRE(wrong);
    CHECK(std::max_element(wrong->left_out_de00.begin(), wrong->left_out_de00.end()) - wrong->left_out_de00.begin() == 7);
    CHECK(wrong->left_out_de00[7] > 10.0);
    CHECK(chart_findings(*fit).empty());
    // Greys alone cannot tell three channels apart.
    CHECK_FALSE(chart_fit(std::span(patches).subspan(18, 5)));
    std::vector<ChartPatch> greys;
    for (int i = 1; i < 10; ++i) {
        greys.push_back({{0.1 * i, 0.1 * i, 0.1 * i}, lab_d50_from_linear({0.1 * i, 0.1 * i, 0.1 * i})});
    }
    CHECK_FALSE(chart_fit(greys));
}

TEST_CASE("The error of a reading grows with each of its causes", "[photo]") {
    std::mt19937 random(3);
    const auto patch = [&](double mean, double sd) {
        std::normal_distribution<double> noise(0.0, sd);
        return *patch_figures(patch_of(64, 64, [&](int, int) {
            const double n = mean * (1.0 + noise(random));
            return LinearRgb{n, 0.8 * n, 0.7 * n};
        }));
    };
    const auto reading = [&](const PatchFigures& area, const PatchFigures& card, LightKind light, double shade) {
        return photo_reading(area, {.gain = *card_gain(card.mean), .card = card, .chart = {}, .light = light, .shade_share = shade});
    };
    const PatchFigures card = patch(0.2, 0.005), area = patch(0.1, 0.01);
    const PhotoReading plain = reading(area, card, LightKind::daylight, 0.0);
    CHECK(plain.error.total > plain.error.light);
    CHECK(plain.error.shade == 0.0);
    CHECK(reading(area, patch(0.2, 0.05), LightKind::daylight, 0.0).error.card > 3.0 * plain.error.card);
    CHECK(reading(patch(0.1, 0.1), card, LightKind::daylight, 0.0).error.texture > 3.0 * plain.error.texture);
    CHECK(reading(patch(0.1, 0.1), card, LightKind::daylight, 0.0).spread_de00 > 3.0 * plain.spread_de00);
    CHECK(reading(area, card, LightKind::other, 0.0).error.total > plain.error.total);
    // 10 % more light moves L* of a dark grey by about 1 to 2.
    const PhotoReading shaded = reading(area, card, LightKind::daylight, 0.1);
    CHECK((shaded.error.shade > 0.8 && shaded.error.shade < 2.0));
    CHECK_THAT(shaded.error.total, WithinRel(std::hypot(plain.error.total, shaded.error.shade), 1e-9));
    // Two cards of one paint and one light give one reading.
    CHECK(delta_e2000(reading(area, patch(0.4, 0.005), LightKind::daylight, 0.0).lab, plain.lab) > 5.0);
}

TEST_CASE("Every rule of a photograph has figure, limits in order and ground, and acts on their far side only", "[photo]") {
    for (const RuleLimits& rule : photo_rules()) {
        INFO(rule.key);
        CHECK(&limits_of(rule.rule) == &rule);
        CHECK_FALSE(rule.figure.empty());
        CHECK_FALSE(rule.ground.empty());
        REQUIRE((rule.warns || rule.refuses));
        const double sign = rule.below ? -1.0 : 1.0;
        if (rule.warns && rule.refuses) {
            CHECK(sign * *rule.refuses > sign * *rule.warns);
        }
        const double nearest = rule.warns.value_or(rule.refuses.value_or(0.0));
        const double step = sign * 1e-6 * std::max(1.0, std::abs(nearest));
        CHECK(verdict(rule.rule, nearest - step) == Verdict::fine);
        CHECK(verdict(rule.rule, nearest + step) == (rule.warns ? Verdict::warned : Verdict::refused));
        if (rule.refuses) {
            CHECK(verdict(rule.rule, *rule.refuses + sign * 1e-6 * std::max(1.0, std::abs(*rule.refuses))) == Verdict::refused);
        }
    }
}

TEST_CASE("What a photograph shows is found, and what it does not show is not", "[photo]") {
    const auto even = [](double light) {
        return [light](int, int) { return LinearRgb{light, light, light}; };
    };
    const auto card = patch_figures(patch_of(60, 60, even(0.18)));
    CHECK(card_findings(card, light_slope(patch_of(60, 60, even(0.18))), card_gain(card->mean)).empty());
    REQUIRE(found(card_findings(std::nullopt, std::nullopt, std::nullopt), PhotoRule::no_card));
    CHECK(found(card_findings(std::nullopt, std::nullopt, std::nullopt), PhotoRule::no_card)->verdict == Verdict::refused);

    AreaEvidence area{.figures = card, .shorter_side_px = 60, .edge_width_px = {}, .card_slope = {}, .from_card = {}, .round_area = {}, .round_card = {}};
    CHECK(area_findings(area).empty());
    CHECK(shade_share(area) == 0.0);
    // Sun and shade: the cloth round the card has a third of the light of the cloth round the piece.
    area.round_card = ground_light(patch_of(40, 40, even(0.1)));
    area.round_area = ground_light(patch_of(40, 40, even(0.3)));
    REQUIRE((area.round_card && area.round_area));
    CHECK(found(area_findings(area), PhotoRule::light_differs)->verdict == Verdict::refused);
    CHECK_THAT(shade_share(area), WithinRel(2.0, 1e-6));
    // A lamp to one side: equal in light, not in colour.
    area.round_area = ground_light(patch_of(40, 40, [](int, int) { return LinearRgb{0.11, 0.1, 0.08}; }));
    CHECK(found(area_findings(area), PhotoRule::light_differs) == nullptr);
    REQUIRE(found(area_findings(area), PhotoRule::light_mixed));
    // What lies round is no even ground: nothing is said.
    CHECK_FALSE(ground_light(patch_of(40, 40, [](int x, int y) {
        const double light = (x + y) % 2 == 0 ? 0.1 : 0.3;
        return LinearRgb{light, light, light};
    })));
    area.round_area.reset();
    // The light falls off across the card by 0.1 % a pixel; the piece lies 80 pixels further.
    area.card_slope = LightSlope{.per_x = 0.001, .per_y = 0.0, .corner_to_corner = 0.06, .colour = 0.0};
    area.from_card = {80.0, 10.0};
    CHECK(found(area_findings(area), PhotoRule::light_slope)->verdict == Verdict::warned);
    CHECK_THAT(shade_share(area), WithinAbs(0.08, 1e-12));
    area.edge_width_px = 20.0;
    CHECK(found(area_findings(area), PhotoRule::area_blurred)->verdict == Verdict::warned);

    CHECK(file_findings({.jpeg_step = 2, .edit_signs = 0, .profile = true}).empty());
    CHECK(found(file_findings({.jpeg_step = 40, .edit_signs = 0, .profile = true}), PhotoRule::jpeg_loss)->verdict == Verdict::refused);
    CHECK(found(file_findings({.jpeg_step = {}, .edit_signs = 1, .profile = true}), PhotoRule::edited));
    CHECK(found(file_findings({.jpeg_step = {}, .edit_signs = 0, .profile = false}), PhotoRule::no_profile));
}
