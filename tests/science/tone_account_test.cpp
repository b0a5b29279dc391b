// Why a piece differs, groups at equal dose: planted causes are found and sized, absent ones are not named.
#include "science/tone_account.hpp"

#include "science/studio_simulation.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;
using studio_simulation::Draw;

namespace {

const std::vector<double> kTrueTheta = {std::log(4.0), std::log(6.0),  std::log(9.0),
                                        std::log(14.0), std::log(22.0), std::log(35.0)};
constexpr double kEa = 50.0;

BathCourse held_at(double temp_c) {
    BathCourse course;
    course.temp = TempCurve::constant(temp_c);
    course.strength = {{0.0, 0.0, 0.0}};
    return course;
}

// A studio of baths at 60 and 52 C with a scale known from watched strips; pieces come on top.
struct Studio {
    ToneInput input;
    Draw draw{11};

    Studio() {
        input.scales = {unknown_scale_prior(kTrueTheta.size())};
        input.lots = 1;
        input.baths = {{held_at(60.0), 0, FadePlace::covered}, {held_at(52.0), 0, FadePlace::covered}};
        for (std::size_t b = 0; b < 2; ++b) {
            for (std::size_t j = 0; j < kTrueTheta.size(); ++j) {
                ToneSubject s;
                s.dips = {{b, 0.0, seconds(b, kTrueTheta[j]) * std::exp(draw.normal(0.0, 0.05))}};
                s.says = ToneSays::watched;
                s.tone = j;
                input.subjects.push_back(s);
            }
        }
    }
    static double heat(std::size_t bath) { return std::log(heat_factor(bath == 0 ? 60.0 : 52.0, kEa)); }
    static double seconds(std::size_t bath, double log_dose) { return std::exp(log_dose - heat(bath)); }
    // A piece dipped so long in a bath; the tone it shows, with an extra shift no record knows of.
    std::size_t piece(std::size_t bath, double time_s, double hidden = 0.0, double scatter = 0.05) {
        const double log_dose = std::log(time_s) + heat(bath) + hidden + draw.normal(0.0, scatter);
        ToneSubject s;
        s.dips = {{bath, 100.0, 100.0 + time_s}};
        std::size_t j = 0;
        while (j + 2 < kTrueTheta.size() && log_dose >= kTrueTheta[j + 1]) {
            ++j;
        }
        s.says = ToneSays::place;  // a measured colour, placed on the scale
        s.place = static_cast<double>(j) + (log_dose - kTrueTheta[j]) / (kTrueTheta[j + 1] - kTrueTheta[j]);
        s.place_sd = 0.1;
        input.subjects.push_back(s);
        return input.subjects.size() - 1;
    }
};

double size_of(const std::vector<SizedCause>& causes, DosePart part) {
    for (const SizedCause& c : causes) {
        if (c.part == part) {
            return c.size;
        }
    }
    return NAN;
}

bool named(const std::vector<SizedCause>& causes, DosePart part) {
    for (const SizedCause& c : causes) {
        if (c.part == part) {
            return c.named;
        }
    }
    return false;
}

}  // namespace

TEST_CASE("a colder bath is named and sized", "[learn]") {
    Studio studio;
    std::vector<std::size_t> mates;
    for (int i = 0; i < 8; ++i) {
        mates.push_back(studio.piece(0, 14.0));
    }
    const std::size_t odd = studio.piece(1, 14.0);
    const ToneFit fit = fit_tones(studio.input);
    const auto why = why_different(fit, studio.input, odd, mates);
    REQUIRE(why);
    CHECK(why->differs);
    CHECK(named(why->causes, DosePart::heat));
    CHECK(why->causes.front().part == DosePart::heat);
    // -Ea/R (1/T - 1/T0) from 60 to 52 C at 50 kJ/mol: -0.444.
    CHECK_THAT(size_of(why->causes, DosePart::heat), WithinAbs(-0.444, 0.1));
    CHECK_FALSE(named(why->causes, DosePart::time_in_bath));
    CHECK_FALSE(why->nothing_recorded_explains);
}

TEST_CASE("dosed a fifth more but of the same tone: time must not be named", "[learn]") {
    Studio studio;
    std::vector<std::size_t> mates;
    for (int i = 0; i < 8; ++i) {
        mates.push_back(studio.piece(0, 14.0));
    }
    const std::size_t same = studio.piece(0, 14.0 * 1.2, -std::log(1.2), 0.0);
    const ToneFit fit = fit_tones(studio.input);
    const auto why = why_different(fit, studio.input, same, mates);
    REQUIRE(why);
    CHECK_FALSE(why->differs);
    for (const SizedCause& c : why->causes) {
        CHECK_FALSE(c.named);
    }
    CHECK_THAT(size_of(why->causes, DosePart::time_in_bath), WithinAbs(std::log(1.2), 1e-6));
}

TEST_CASE("same record, far darker: nothing recorded explains this", "[learn]") {
    Studio studio;
    std::vector<std::size_t> mates;
    for (int i = 0; i < 8; ++i) {
        mates.push_back(studio.piece(0, 9.0));
    }
    const std::size_t odd = studio.piece(0, 9.0, 0.9, 0.0);
    const ToneFit fit = fit_tones(studio.input);
    const auto why = why_different(fit, studio.input, odd, mates);
    REQUIRE(why);
    CHECK(why->differs);
    CHECK(why->nothing_recorded_explains);
    for (const SizedCause& c : why->causes) {
        CHECK_FALSE(c.named);
    }
    CHECK_THAT(why->unexplained, WithinAbs(0.9, 0.25));
    CHECK_FALSE(why_different(fit, studio.input, odd, std::vector<std::size_t>{mates[0]}));
    CHECK_FALSE(why_different(fit, studio.input, 9999, mates));
}

TEST_CASE("one who always dips in the hot bath looks darker, and at equal dose does not", "[learn]") {
    Studio studio;
    std::vector<std::size_t> first;
    std::vector<std::size_t> second;
    for (int i = 0; i < 10; ++i) {
        first.push_back(studio.piece(0, 12.0));
        second.push_back(studio.piece(1, 12.0));
    }
    const ToneFit fit = fit_tones(studio.input);
    const auto c = compare_groups(fit, studio.input, first, second);
    REQUIRE(c);
    CHECK(c->raw_differs);
    CHECK(c->raw > 0.25);
    CHECK_FALSE(c->equal_dose_differs);
    CHECK(named(c->between, DosePart::heat));
    CHECK(c->no_common_bath);
    // A true difference stays.
    std::vector<std::size_t> third;
    for (int i = 0; i < 10; ++i) {
        third.push_back(studio.piece(0, 12.0, 0.35));
    }
    const ToneFit again = fit_tones(studio.input);
    const auto d = compare_groups(again, studio.input, third, first);
    REQUIRE(d);
    CHECK(d->equal_dose_differs);
    CHECK_FALSE(d->no_common_bath);
}

TEST_CASE("the parts of a dose add up to what the model expects", "[learn]") {
    Studio studio;
    const std::size_t i = studio.piece(1, 20.0);
    const ToneFit fit = fit_tones(studio.input);
    const auto account = account_of(fit, studio.input, i);
    REQUIRE(account);
    double sum = 0.0;
    for (const double part : account->part) {
        sum += part;
    }
    CHECK_THAT(sum, WithinAbs(account->expected, 1e-12));
    CHECK_THAT(account->left_over(), WithinAbs(0.0, 0.3));
}
