// Logged circumstances as factors of the tone model, and the shape of the scatter.
#include "science/normal.hpp"
#include "science/tone_plan.hpp"
#include "science/tone_rows.hpp"

#include <catch2/catch.hpp>

#include <array>
#include <cmath>

using namespace tonebath::science;
using Catch::Matchers::WithinRel;

namespace {

constexpr std::size_t kBlue = 4;

BathCourse held_at(double temp_c) {
    BathCourse course;
    course.temp = TempCurve::constant(temp_c);
    course.strength = {{0.0, 0.0, 0.0}};
    return course;
}

ToneInput silver() {
    const std::array<double, 7> film_nm = {8.0, 15.0, 22.0, 30.0, 50.0, 80.0, 130.0};  // a made-up scale
    ToneInput input;
    input.scales = {film_scale_prior(film_nm)};
    input.lots = 1;
    return input;
}

ToneSubject watched(std::size_t bath, double seconds, std::size_t tone) {
    ToneSubject s;
    s.dips = {{bath, 0.0, seconds}};
    s.says = ToneSays::watched;
    s.tone = tone;
    return s;
}

}  // namespace

TEST_CASE("a factor of a bath shrinks to nothing without records and counts in a plan of that bath", "[learn]") {
    ToneInput input = silver();
    input.factor_sd = {0.07};
    for (std::size_t b = 0; b < 8; ++b) {
        input.baths.push_back({held_at(60.0), 0, FadePlace::open_hot});
        if (b % 2 == 1) {
            input.baths.back().factors = {0};
        }
        input.subjects.push_back(watched(b, b % 2 == 1 ? 48.0 : 40.0, kBlue));
    }
    const ToneFit fit = fit_tones(input);
    REQUIRE(fit.converged);
    const std::array<Term, 1> level = {Term{fit.layout.first_factor, 1.0}};
    const double learned = mixture_mean(fit.mixed.mixture({level}));
    CHECK(learned < -0.005);                  // slower
    CHECK(learned > std::log(40.0 / 48.0));   // shrunk: the baths' own offsets may be the reason
    const BathCourse course = held_at(60.0);
    PlanQuery query;
    query.aim = kBlue;
    query.course = &course;
    query.lot = 0;
    query.bath = 1;
    const auto with = plan_tone(fit, query);
    query.bath = 0;
    const auto without = plan_tone(fit, query);
    REQUIRE(with);
    REQUIRE(without);
    CHECK(with->aim.middle_s > without->aim.middle_s);
    CHECK_THAT(with->aim.middle_s, WithinRel(48.0, 0.04));
}

TEST_CASE("the thinned mixture of the long-tailed fit has the density of Student's t", "[learn]") {
    // t with 4 degrees of freedom: 3/8 (1 + x^2/4)^(-5/2).
    const NoiseMixture& thin = thinned_tails();
    CHECK(thin.variance_factor.size() < student_noise(kTailFreedom).variance_factor.size() / 2);
    for (double x = 0.0; x <= 20.0; x += 0.1) {
        double density = 0.0;
        for (std::size_t k = 0; k < thin.variance_factor.size(); ++k) {
            density += std::exp(thin.log_weight[k]) * normal_pdf(x / std::sqrt(thin.variance_factor[k])) / std::sqrt(thin.variance_factor[k]);
        }
        CHECK_THAT(density, WithinRel(0.375 * std::pow(1.0 + 0.25 * x * x, -2.5), x <= 12.0 ? 1e-3 : 1e-2));
    }
}

TEST_CASE("a few pieces far off: long tails are taken where the records favour them, and not otherwise", "[learn]") {
    // 60 pieces of 10 baths by the quantiles of their scatter, normal in one log; in the other three stand far off.
    const auto log_of = [](bool far_off) {
        ToneInput input = silver();
        for (std::size_t b = 0; b < 10; ++b) {
            input.baths.push_back({held_at(60.0), 0, FadePlace::open_hot});
        }
        for (std::size_t i = 0; i < 60; ++i) {
            const double share = (static_cast<double>((i * 37) % 60) + 0.5) / 60.0;
            double scatter = 0.10 * normal_quantile(share);
            if (far_off && i % 20 == 7) {
                scatter = i % 40 == 7 ? 0.7 : -0.7;
            }
            ToneSubject s = watched(i % 10, 30.0 * std::exp(0.02 * static_cast<double>(i % 7)), 0);
            const double place = (std::log(s.dips[0].out_s) + scatter - std::log(9.0)) / 0.25;
            s.says = place < 0.0 ? ToneSays::lighter_than : place >= 6.0 ? ToneSays::at_ceiling : ToneSays::judged;
            s.tone = static_cast<std::size_t>(std::clamp(std::floor(place), 0.0, 6.0));
            input.subjects.push_back(s);
        }
        return fit_tones(input);
    };
    const ToneFit even = log_of(false);
    REQUIRE(even.converged);
    CHECK(even.shape == ScatterShape::normal);
    CHECK(even.log_evidence_long_tailed < even.log_evidence_normal + 3.0);
    const ToneFit odd = log_of(true);
    REQUIRE(odd.converged);
    CHECK(odd.log_evidence_long_tailed > odd.log_evidence_normal + 3.0);
    CHECK(odd.shape == ScatterShape::long_tailed);
}
