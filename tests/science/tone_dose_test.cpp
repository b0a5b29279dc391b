// The dose inside the fit, brought to a fixed point: strips in baths that cool, are reheated, topped up and dipped in again,
// made here from a law of their own by fine Simpson integration of the formula in docs/formulas/dose.md (Simpson's rule:
// OpenStax Calculus, volume 2, section 3.6; the heat factor: OpenStax Chemistry 2e, section 12.5). Nothing of the program's
// own integrals is used to make or to check a time.
#include "science/tone_model.hpp"
#include "science/tone_plan.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

// The truth: far from what is usual (45 kJ/mol, 0.8), so that a dose reckoned about that centre alone is seen.
constexpr double kEa_kj = 82.0;
constexpr double kExponent = 1.1;
constexpr double kRoom_c = 19.0;
constexpr double kCooling_per_min = 0.05;
constexpr double kReheat_s = 700.0;
constexpr double kTopUp_s = 300.0;

struct Vat {
    double start_c = 60.0;
    double reheated_c = 66.0;
    double make_up = 1.0;   // against the usual
    double after_top_up = 1.0;

    [[nodiscard]] double temp_c(double t_s) const {
        const double from_s = t_s < kReheat_s ? 0.0 : kReheat_s;
        return kRoom_c + ((t_s < kReheat_s ? start_c : reheated_c) - kRoom_c) * std::exp(-kCooling_per_min * (t_s - from_s) / 60.0);
    }
    [[nodiscard]] double speed(double t_s) const {
        const double ratio = t_s < kTopUp_s ? make_up : after_top_up;
        return std::pow(ratio, kExponent) * std::exp(-1000.0 * kEa_kj / 8.314462618 * (1.0 / (temp_c(t_s) + 273.15) - 1.0 / 333.15));
    }
    // The same bath as the program would hold it: two readings on each stretch, which is all that Newton's law needs.
    [[nodiscard]] BathCourse course() const {
        const std::vector<Reading> readings{{0.0, start_c}, {kReheat_s - 1e-6, temp_c(kReheat_s - 1e-6)}, {kReheat_s, reheated_c, true, kReheat_s}, {1500.0, temp_c(1500.0)}};
        const auto curve = temp_curve(readings, {.room_c = kRoom_c});
        REQUIRE(curve);
        return {.temp = *curve, .strength = {{0.0, std::log(make_up), 0.0}, {kTopUp_s, std::log(after_top_up), 0.0}}};
    }
};

// Simpson's rule between kinks, 2,000 steps a stretch.
double integral(const Vat& vat, double from_s, double to_s) {
    double sum = 0.0;
    double left = from_s;
    for (const double kink : {kTopUp_s, kReheat_s, to_s}) {
        const double right = std::min(kink, to_s);
        if (right <= left) {
            continue;
        }
        constexpr int kSteps = 2000;
        const double h = (right - left) / kSteps;
        const double last = std::nextafter(right, left);  // the speed before the step, not after it
        double part = vat.speed(left) + vat.speed(last);
        for (int i = 1; i < kSteps; ++i) {
            part += (i % 2 == 1 ? 4.0 : 2.0) * vat.speed(left + h * i);
        }
        sum += part * h / 3.0;
        left = right;
    }
    return sum;
}

double time_for(const Vat& vat, double from_s, double dose_s) {
    double low = 0.0;
    double high = 3000.0;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        (integral(vat, from_s, from_s + middle) < dose_s ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

const std::vector<double> kBegins_s{20.0, 45.0, 100.0};  // dose at which each tone begins

// Nothing drowns the law in what is usual: wide on heat and strength, baths and lots all alike, strips exact to 1 %, no fade.
TonePriors plain_priors() {
    TonePriors priors;
    priors.ea_kj_per_mol.sd = 60.0;
    priors.strength_exponent.sd = 1.0;
    priors.bath_sd = {0.003, 0.1};
    priors.lot_log_sd = 0.003;
    priors.watched_log_sd = 0.01;
    priors.fade_open_hot_per_h = {1e-5, 0.1};
    return priors;
}

// Each tone pulled as it came, at once, after the top-up, across the reheat, and in two dips with a pause between.
struct Tried {
    ToneInput input;
    std::vector<Vat> vats;
};
Tried tried() {
    Tried all;
    all.input.scales = {unknown_scale_prior(kBegins_s.size())};
    all.input.lots = 1;
    all.vats = {{.start_c = 60.0, .reheated_c = 66.0, .make_up = 1.0, .after_top_up = 1.3},
                {.start_c = 50.0, .reheated_c = 62.0, .make_up = 0.6, .after_top_up = 0.9},
                {.start_c = 68.0, .reheated_c = 57.0, .make_up = 1.5, .after_top_up = 1.0}};
    for (std::size_t b = 0; b < all.vats.size(); ++b) {
        all.input.baths.push_back({.course = all.vats[b].course()});
        for (std::size_t tone = 0; tone < kBegins_s.size(); ++tone) {
            for (const double from_s : {20.0, 290.0, 650.0, 900.0}) {
                const double seconds = time_for(all.vats[b], from_s, kBegins_s[tone]);
                all.input.subjects.push_back({.dips = {{b, from_s, from_s + seconds}}, .says = ToneSays::watched, .tone = tone});
            }
            // Half its dose now, the other half ten minutes later, in a colder bath.
            const double first = time_for(all.vats[b], 5.0, 0.5 * kBegins_s[tone]);
            const double second = time_for(all.vats[b], 600.0, kBegins_s[tone] - integral(all.vats[b], 5.0, 5.0 + first));
            all.input.subjects.push_back({.dips = {{b, 5.0, 5.0 + first}, {b, 600.0, 600.0 + second}}, .says = ToneSays::watched, .tone = tone});
        }
    }
    return all;
}

}  // namespace

TEST_CASE("cooling, reheats, top-ups and repeated dips go through the dose to its fixed point", "[learn]") {
    const Tried all = tried();
    const ToneFit fit = fit_tones(all.input, plain_priors());
    REQUIRE(fit.converged);
    CHECK(fit.rounds > 1);
    // The law that made the strips is found again, and every strip has the dose at which its tone begins.
    CHECK_THAT(fit.centre.ea_kj_per_mol, WithinAbs(kEa_kj, 0.5));
    CHECK_THAT(fit.centre.exponent, WithinAbs(kExponent, 0.01));
    for (const ToneSubject& strip : all.input.subjects) {
        std::vector<DosePiece> pieces;
        for (const ToneDip& dip : strip.dips) {
            pieces.push_back({&all.input.baths[dip.bath].course, dip.bath, FadePlace::open_hot, dip.in_s, dip.out_s});
        }
        const auto dose = linear_dose(std::span<const DosePiece>(pieces), fit.centre, FadeKind::none);
        REQUIRE(dose);
        CHECK_THAT(std::exp(dose->log_dose), WithinRel(kBegins_s[strip.tone], 0.01));
    }

    // It would be seen if it were not brought there: about what is usual, and drawn on in a straight line from it, the doses
    // of one tone differ by more than a twentieth.
    DoseCentre usual;
    double least = 1e9;
    double most = 0.0;
    for (const ToneSubject& strip : all.input.subjects) {
        if (strip.tone != 2) {
            continue;
        }
        std::vector<DosePiece> pieces;
        for (const ToneDip& dip : strip.dips) {
            pieces.push_back({&all.input.baths[dip.bath].course, dip.bath, FadePlace::open_hot, dip.in_s, dip.out_s});
        }
        const auto dose = linear_dose(std::span<const DosePiece>(pieces), usual, FadeKind::none);
        REQUIRE(dose);
        const double drawn_on = dose->log_dose + dose->d_ea * (kEa_kj - usual.ea_kj_per_mol) + dose->d_exponent * (kExponent - usual.exponent);
        least = std::min(least, drawn_on);
        most = std::max(most, drawn_on);
    }
    CHECK(most - least > 0.05);
}

TEST_CASE("the out-time of a plan is the one that the integral gives", "[learn]") {
    const Tried all = tried();
    const ToneFit fit = fit_tones(all.input, plain_priors());
    for (std::size_t b = 0; b < all.vats.size(); ++b) {
        for (const double from_s : {60.0, 295.0, 690.0}) {
            for (std::size_t tone = 0; tone < kBegins_s.size(); ++tone) {
                const PlanQuery query{.aim = static_cast<double>(tone), .course = &all.input.baths[b].course, .bath = b, .lot = 0, .start_s = from_s};
                const auto plan = plan_tone(fit, query);
                REQUIRE(plan);
                const double exact = time_for(all.vats[b], from_s, kBegins_s[tone]);
                CHECK_THAT(plan->aim.middle_s, WithinRel(exact, 0.015));
                // A toy that holds the bath at the heat and strength it has at the drop is seen: over these it is up to a third off.
            }
        }
    }
    const Vat& vat = all.vats[1];
    const double held = kBegins_s[2] / vat.speed(60.0);
    CHECK(std::abs(std::log(held / time_for(vat, 60.0, kBegins_s[2]))) > 0.15);

    // A piece that has had half its dose: even odds of having reached the tone where the sum of both dips is its dose.
    const double first = time_for(all.vats[0], 30.0, 0.5 * kBegins_s[2]);
    const double rest = kBegins_s[2] - integral(all.vats[0], 30.0, 30.0 + first);
    const double second = time_for(all.vats[2], 400.0, rest);
    const std::vector<DosePiece> dips{{&all.input.baths[0].course, 0, FadePlace::open_hot, 30.0, 30.0 + first},
                                      {&all.input.baths[2].course, 2, FadePlace::open_hot, 400.0, 400.0 + second}};
    const PlanQuery query{.course = &all.input.baths[2].course, .bath = 2, .lot = 0, .start_s = 400.0};
    const std::vector<double> reached = chances_after(fit, query, dips);
    REQUIRE(reached.size() == kBegins_s.size());
    CHECK_THAT(reached[2], WithinAbs(0.5, 0.05));
    CHECK(reached[1] > 0.95);
}
