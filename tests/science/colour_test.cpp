#include "science/colour.hpp"

#include "science/reference_tables.hpp"

#include <rapidcheck.h>

#include <cmath>

using namespace tonebath::science;
using namespace tonebath::test;
using Catch::Matchers::WithinAbs;

namespace {

Srgb srgb_of_hex(const std::string& hex) {
    const auto rgb = rgb8_from_hex(hex);
    REQUIRE(rgb);
    return srgb_from_8bit(*rgb);
}

void check_lab(const Lab& got, const Row& row, const std::string& suffix, double within) {
    CHECK_THAT(got.l, WithinAbs(number(row, "L_" + suffix), within));
    CHECK_THAT(got.a, WithinAbs(number(row, "a_" + suffix), within));
    CHECK_THAT(got.b, WithinAbs(number(row, "b_" + suffix), within));
}

Lab any_lab() {
    return {*rc::gen::inRange(0, 100001) / 1000.0, *rc::gen::inRange(-128000, 128001) / 1000.0,
            *rc::gen::inRange(-128000, 128001) / 1000.0};
}

bool near(double a, double b, double within) {
    return std::abs(a - b) <= within;
}

}  // namespace

// Values computed with two public colour libraries that agree to 4.2e-5 in L*a*b*; head of srgb_check_values.csv.
TEST_CASE("8-bit screen colours become the XYZ and L*a*b* that two other libraries give", "[colour]") {
    const auto rows = rows_of(case_file("optics/srgb_check_values.csv"));
    REQUIRE(rows.size() == 18);
    for (const Row& row : rows) {
        INFO(row.at("hex_rrggbb"));
        const Srgb colour = srgb_of_hex(row.at("hex_rrggbb"));
        const Xyz xyz = xyz_from_linear(linear_from_srgb(colour));
        CHECK_THAT(xyz.x, WithinAbs(number(row, "X"), 6e-5));
        CHECK_THAT(xyz.y, WithinAbs(number(row, "Y"), 6e-5));
        CHECK_THAT(xyz.z, WithinAbs(number(row, "Z"), 6e-5));
        check_lab(lab_from_srgb(colour), row, "D65", 1e-4);
        check_lab(lab_d50_from_srgb(colour), row, "D50", 1e-4);
    }
}

// IEC 61966-2-1 prints the matrix to four decimals; srgb_constants.csv.
TEST_CASE("The matrix from the primaries rounds to the one the sRGB standard prints", "[colour]") {
    for (const Row& row : rows_of(case_file("optics/srgb_constants.csv"))) {
        if (row.at("name") != "RGB_to_XYZ_D65_IEC4") {
            continue;
        }
        const Xyz red = xyz_from_linear({1.0, 0.0, 0.0});
        const Xyz green = xyz_from_linear({0.0, 1.0, 0.0});
        const Xyz blue = xyz_from_linear({0.0, 0.0, 1.0});
        const double got[] = {red.x, green.x, blue.x, red.y, green.y, blue.y, red.z, green.z, blue.z};
        const char* names[] = {"m11", "m12", "m13", "m21", "m22", "m23", "m31", "m32", "m33"};
        for (int i = 0; i < 9; ++i) {
            CHECK_THAT(got[i] / 100.0, WithinAbs(number(row, names[i]), 5.1e-5));
        }
        return;
    }
    FAIL("the row is missing");
}

// Lindbloom's matrices, with the ASTM E308 whites, to their seven decimals; srgb_constants.csv.
TEST_CASE("Bradford adaptation gives the published matrices both ways", "[colour]") {
    int seen = 0;
    for (const Row& row : rows_of(case_file("optics/srgb_constants.csv"))) {
        const bool to_d50 = row.at("name") == "Bradford_D65_to_D50_Lindbloom";
        const bool to_d65 = row.at("name") == "Bradford_D50_to_D65_Lindbloom";
        if (!to_d50 && !to_d65) {
            continue;
        }
        ++seen;
        const auto matrix =
            to_d50 ? bradford_matrix(kWhiteD65Astm, kWhiteD50Astm) : bradford_matrix(kWhiteD50Astm, kWhiteD65Astm);
        const char* names[] = {"m11", "m12", "m13", "m21", "m22", "m23", "m31", "m32", "m33"};
        for (std::size_t i = 0; i < 9; ++i) {
            CHECK_THAT(matrix[i], WithinAbs(number(row, names[i]), 5.1e-8));
        }
    }
    CHECK(seen == 2);
}

TEST_CASE("Adapting the white of one light gives the white of the other", "[colour]") {
    for (const Xyz& to : {kWhiteD50Astm, kWhiteAAstm, kWhiteD50}) {
        const Xyz got = adapted(kWhiteD65Astm, kWhiteD65Astm, to);
        CHECK_THAT(got.x, WithinAbs(to.x, 1e-12));
        CHECK_THAT(got.y, WithinAbs(to.y, 1e-12));
        CHECK_THAT(got.z, WithinAbs(to.z, 1e-12));
    }
}

// white_points.csv: rows ASTM_E308 and CSS_xy.
TEST_CASE("White points are those published", "[colour]") {
    int seen = 0;
    for (const Row& row : rows_of(case_file("optics/white_points.csv"))) {
        const std::string name = row.at("set") + " " + row.at("illuminant");
        const auto check = [&](const Xyz& white) {
            INFO(name);
            CHECK_THAT(white.x, WithinAbs(number(row, "X"), 1e-6));
            CHECK_THAT(white.z, WithinAbs(number(row, "Z"), 1e-6));
            ++seen;
        };
        if (name == "ASTM_E308 D65") {
            check(kWhiteD65Astm);
        } else if (name == "ASTM_E308 D50") {
            check(kWhiteD50Astm);
        } else if (name == "ASTM_E308 A") {
            check(kWhiteAAstm);
        } else if (name == "CSS_xy D65") {
            check(kWhiteD65);
        } else if (name == "CSS_xy D50") {
            check(kWhiteD50);
        }
    }
    CHECK(seen == 5);
}

// grey_card.csv: an ideal 18 % card is L* 49.50; as an 8-bit screen grey it is 118.
TEST_CASE("An 18 % grey card is screen grey 118 and L* 49.5", "[colour]") {
    const double code = 255.0 * srgb_encoded(0.18);
    CHECK(std::lround(code) == 118);
    const Xyz grey{0.18 * kWhiteD50.x, 18.0, 0.18 * kWhiteD50.z};
    const Lab lab = lab_from_xyz(grey, kWhiteD50);
    CHECK_THAT(lab.l, WithinAbs(49.50, 0.005));
    CHECK_THAT(std::hypot(lab.a, lab.b), WithinAbs(0.0, 1e-10));
    CHECK_THAT(lab_from_srgb(srgb_from_8bit({118, 118, 118})).l, WithinAbs(49.5, 0.15));
}

TEST_CASE("Every 8-bit screen colour comes back from L*a*b* unchanged", "[colour]") {
    for (int r = 0; r < 256; r += 15) {
        for (int g = 0; g < 256; g += 15) {
            for (int b = 0; b < 256; b += 15) {
                const Rgb8 colour{static_cast<std::uint8_t>(r), static_cast<std::uint8_t>(g),
                                  static_cast<std::uint8_t>(b)};
                const Srgb srgb = srgb_from_8bit(colour);
                const bool same = srgb_to_8bit(srgb_from_lab(lab_from_srgb(srgb))) == colour &&
                                  srgb_to_8bit(srgb_from_lab_d50(lab_d50_from_srgb(srgb))) == colour;
                if (!same) {
                    FAIL_CHECK(r << ' ' << g << ' ' << b);
                }
            }
        }
    }
}

TEST_CASE("L*a*b*, XYZ, L*C*h and linear light go there and back", "[colour][property]") {
    CHECK(rc::check([] {
        const Lab lab = any_lab();
        const Lab by_xyz = lab_from_xyz(xyz_from_lab(lab, kWhiteD50Astm), kWhiteD50Astm);
        RC_ASSERT(near(by_xyz.l, lab.l, 1e-9) && near(by_xyz.a, lab.a, 1e-9) && near(by_xyz.b, lab.b, 1e-9));
        const Lch lch = lch_from_lab(lab);
        RC_ASSERT(lch.c >= 0.0 && lch.h_deg >= 0.0 && lch.h_deg < 360.0);
        const Lab by_lch = lab_from_lch(lch);
        RC_ASSERT(near(by_lch.a, lab.a, 1e-9) && near(by_lch.b, lab.b, 1e-9));
        const Srgb screen = srgb_from_lab(lab);
        const Lab by_screen = lab_from_srgb(screen);
        // The two branches of the sRGB curve miss each other by 1e-8 at their join.
        RC_ASSERT(near(by_screen.l, lab.l, 1e-4) && near(by_screen.a, lab.a, 1e-3) && near(by_screen.b, lab.b, 1e-3));
    }));
}

TEST_CASE("Greys have no chroma, whatever their lightness", "[colour]") {
    for (int level = 0; level < 256; ++level) {
        const auto byte = static_cast<std::uint8_t>(level);
        const Lab lab = lab_from_srgb(srgb_from_8bit({byte, byte, byte}));
        CHECK_THAT(std::hypot(lab.a, lab.b), WithinAbs(0.0, 1e-10));
    }
}

TEST_CASE("Hex colours are read strictly", "[colour]") {
    CHECK(rgb8_from_hex("#d5b764") == Rgb8{0xd5, 0xb7, 0x64});
    CHECK(rgb8_from_hex("D5B764") == Rgb8{0xd5, 0xb7, 0x64});
    for (const char* bad : {"", "#", "#d5b76", "#d5b7644", "#d5b76g", "##5b764", "# 5b764", "-1b764", "#+1+1+1"}) {
        INFO(bad);
        CHECK(!rgb8_from_hex(bad));
    }
}

TEST_CASE("What the screen cannot show is said and cut", "[colour]") {
    const Srgb vivid = srgb_from_lab({50.0, 0.0, -120.0});
    CHECK(!on_screen(vivid));
    CHECK(on_screen(clipped(vivid)));
    CHECK(on_screen(srgb_from_lab({50.0, 5.0, 10.0})));
}
