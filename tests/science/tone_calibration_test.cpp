// Does the tone model know how much it knows? Whole studios drawn from its own priors: thresholds, Ea, m, fade, lots,
// baths, scatter; judged pieces, then a watched strip in today's bath; chance the plan gives to the true time.
// Seed 20260405, fixed beforehand. The long run (learn_test "[long]") is for docs/accuracy.md.
#include "science/tone_forms.hpp"
#include "science/tone_model.hpp"

#include "science/studio_simulation.hpp"

#include <catch2/catch.hpp>

#include <boost/math/distributions/chi_squared.hpp>

#include <cstdio>

using namespace tonebath::science;
using studio_simulation::Draw;

namespace {

constexpr std::size_t kTones = 6;
constexpr double kAgeToday_s = 2400.0;

// Lower triangle of the Cholesky factor, for drawing thresholds.
std::vector<double> factor_of(const ScalePrior& prior) {
    const std::size_t n = prior.tones();
    std::vector<double> l(n * n, 0.0);
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t j = 0; j <= i; ++j) {
            double sum = prior.covariance[i * n + j];
            for (std::size_t k = 0; k < j; ++k) {
                sum -= l[i * n + k] * l[j * n + k];
            }
            l[i * n + j] = i == j ? std::sqrt(sum) : sum / l[j * n + j];
        }
    }
    return l;
}

struct Case {
    ToneInput input;
    PlanQuery query;
    double true_time_s = 0.0;
};

// What else the world has beside baths and pieces: two logged circumstances of the pieces, and pieces far off by Student's t
// with 4 degrees of freedom.
struct World {
    bool factors = false;
    bool tails = false;
};

// False when the draw gives no sensible studio (the true time outside 0.2 s to 2 h): then it is drawn again, before any fit.
bool draw_case(Draw& draw, std::size_t pieces, bool strip, const World& world, Case& out) {
    const TonePriors priors;
    out = {};
    const ScalePrior scale = unknown_scale_prior(kTones);
    const std::vector<double> l = factor_of(scale);
    std::vector<double> theta(kTones);
    do {
        std::array<double, kTones> z = {};
        for (double& value : z) {
            value = draw.normal();
        }
        for (std::size_t i = 0; i < kTones; ++i) {
            theta[i] = scale.mean[i];
            for (std::size_t j = 0; j <= i; ++j) {
                theta[i] += l[i * kTones + j] * z[j];
            }
        }
    } while (!std::ranges::is_sorted(theta));
    DoseCentre truth;
    truth.ea_kj_per_mol = draw.normal(priors.ea_kj_per_mol.mean, priors.ea_kj_per_mol.sd);
    truth.exponent = draw.normal(priors.strength_exponent.mean, priors.strength_exponent.sd);
    truth.fade_per_h = {priors.fade_open_hot_per_h.median * std::exp(draw.normal(0.0, priors.fade_open_hot_per_h.log_sd)), 0.03};
    const double sigma = priors.piece_sd.median * std::exp(draw.normal(0.0, priors.piece_sd.log_sd));
    const double tau = priors.bath_sd.median * std::exp(draw.normal(0.0, priors.bath_sd.log_sd));
    std::array<double, 2> lot = {draw.normal(0.0, priors.lot_log_sd), draw.normal(0.0, priors.lot_log_sd)};
    out.input.scales = {scale};
    out.input.lots = 2;
    std::vector<double> u;
    const std::size_t baths = pieces / 4 + 1;
    for (std::size_t b = 0; b < baths; ++b) {
        BathCourse course;
        course.temp = TempCurve::newton(draw.normal(58.0, 6.0), 20.0, 0.01);
        course.strength = {{0.0, draw.normal(0.0, 0.25), 0.0}};
        out.input.baths.push_back({course, b % 2, FadePlace::open_hot});
        u.push_back(draw.normal(0.0, tau));
    }
    const std::size_t today = baths - 1;
    std::array<double, 2> level = {0.0, 0.0};
    if (world.factors) {
        out.input.factor_sd = {priors.surface_log_sd, priors.surface_log_sd};
        level = {draw.normal(0.0, priors.surface_log_sd), draw.normal(0.0, priors.surface_log_sd)};
    }
    // Each level holds for a third of what is dipped; the rest is as most records are.
    const auto levels = [&]() -> std::vector<std::size_t> {
        const auto at = world.factors ? static_cast<std::size_t>(3.0 * draw.uniform()) : 2;
        return at < 2 ? std::vector<std::size_t>{at} : std::vector<std::size_t>{};
    };
    const auto piece_scatter = [&] {
        // t with 4 degrees of freedom: normal over the root of chi-square with 4, which is twice the sum of two exponentials.
        const double stretch = world.tails ? std::sqrt(-2.0 / (std::log(draw.uniform()) + std::log(draw.uniform()))) : 1.0;
        return draw.normal(0.0, sigma) * stretch;
    };
    const auto log_dose = [&](std::size_t b, double in_s, double seconds) {
        const std::array<DosePiece, 1> one = {
            DosePiece{&out.input.baths[b].course, b, FadePlace::open_hot, in_s, in_s + seconds}};
        return linear_dose(std::span<const DosePiece>(one), truth, FadeKind::first_order)->log_dose + u[b] + lot[b % 2];
    };
    for (std::size_t i = 0; i < pieces; ++i) {
        ToneSubject s;
        const std::size_t b = i / 4;
        const double in_s = 10800.0 * draw.uniform();
        const double seconds = 20.0 * std::exp(draw.normal(0.0, 1.0));
        s.dips = {{b, in_s, in_s + seconds}};
        s.factors = levels();
        const double seen = log_dose(b, in_s, seconds) + piece_scatter() + (s.factors.empty() ? 0.0 : level[s.factors.front()]);
        const auto reached = static_cast<std::size_t>(std::ranges::upper_bound(theta, seen) - theta.begin());
        s.says = reached == 0 ? ToneSays::lighter_than : ToneSays::judged;
        s.tone = reached == 0 ? 0 : reached - 1;
        out.input.subjects.push_back(s);
    }
    constexpr std::size_t kAim = 2;
    // Seconds that bring the median piece of today to theta[kAim], on the true law.
    const auto true_time = [&](double in_s, double target) {
        double low = 0.01;
        double high = 40000.0;
        for (int i = 0; i < 60; ++i) {
            const double middle = std::sqrt(low * high);
            (log_dose(today, in_s, middle) < target ? low : high) = middle;
        }
        return std::sqrt(low * high);
    };
    out.query.factors = levels();
    out.true_time_s = true_time(kAgeToday_s, theta[kAim] - (out.query.factors.empty() ? 0.0 : level[out.query.factors.front()]));
    if (strip) {
        ToneSubject s;
        const double seconds = true_time(600.0, theta[kAim] + draw.normal(0.0, priors.watched_log_sd));
        s.dips = {{today, 600.0, 600.0 + seconds}};
        s.says = ToneSays::watched;
        s.tone = kAim;
        out.input.subjects.push_back(s);
    }
    out.query.aim = kAim;
    out.query.bath = today;
    out.query.lot = today % 2;
    out.query.start_s = kAgeToday_s;
    return out.true_time_s > 0.2 && out.true_time_s < 7200.0;
}

// Chance the plan gives to a time at most the true one.
double below_truth(Case& c, const TonePriors& priors = {}) {
    c.query.course = &c.input.baths[*c.query.bath].course;
    const ToneFit fit = fit_tones(c.input, priors);
    REQUIRE_FALSE(fit.mixed.nodes.empty());
    const PlanForms forms(fit, c.query);
    REQUIRE_FALSE(forms.refusal());
    return forms.chance(forms.dose_at(c.true_time_s), c.query.aim, false);
}

std::vector<double> run(std::size_t draws, std::size_t pieces, bool strip, std::uint64_t seed, const TonePriors& priors = {}, const World& world = {}) {
    Draw draw(seed);
    std::vector<double> below;
    Case c;
    while (below.size() < draws) {
        if (draw_case(draw, pieces, strip, world, c)) {
            below.push_back(below_truth(c, priors));
        }
    }
    return below;
}

double score_p(const std::vector<double>& below) {
    double squares = 0.0;
    for (const double b : below) {
        const double z = normal_quantile(std::clamp(b, 1e-12, 1.0 - 1e-12));
        squares += z * z;
    }
    const boost::math::chi_squared_distribution<double> law(static_cast<double>(below.size()));
    return 2.0 * std::min(boost::math::cdf(law, squares), boost::math::cdf(boost::math::complement(law, squares)));
}

}  // namespace

TEST_CASE("the tone model is calibrated, in short, and a wrong one is seen", "[learn]") {
    constexpr std::size_t kDraws = 40;
    CHECK(score_p(run(kDraws, 12, false, 20260405)) > 0.01 / 2.0);
    CHECK(score_p(run(kDraws, 12, true, 20260406)) > 0.01 / 2.0);
    TonePriors wrong;  // baths said to be all alike, lots too, and watched strips exact
    wrong.bath_sd = {0.01, 0.01};
    wrong.lot_log_sd = 0.01;
    wrong.watched_log_sd = 0.01;
    CHECK(score_p(run(kDraws, 12, false, 20260405, wrong)) < 0.01 / 2.0);
}

namespace {

constexpr std::size_t kDraws = 1000;
constexpr std::size_t kBins = 20;

// Prints one row and holds it to its limits.
void check_row(const char* name, std::size_t pieces, bool strip, const std::vector<double>& below, double least_p) {
    std::array<double, kBins> counts = {};
    double inside = 0.0;
    for (const double b : below) {
        counts[std::min(kBins - 1, static_cast<std::size_t>(b * kBins))] += 1.0;
        inside += b > 0.1 && b < 0.9 ? 1.0 / static_cast<double>(kDraws) : 0.0;
    }
    double chi = 0.0;
    for (const double c : counts) {
        chi += std::pow(c - static_cast<double>(kDraws) / kBins, 2) * kBins / static_cast<double>(kDraws);
    }
    const double p = boost::math::cdf(
        boost::math::complement(boost::math::chi_squared_distribution<double>(static_cast<double>(kBins - 1)), chi));
    std::printf("%-22s %6zu %5d | %.3f  %.4f\n", name, pieces, strip ? 1 : 0, inside, p);
    std::fflush(stdout);
    CHECK(inside > 0.76);
    CHECK(inside < 0.84);
    CHECK(p > least_p);
}

}  // namespace

TEST_CASE("tone model: chance of the true time, and the 80 % range", "[learn][.long]") {
    std::printf("tone model:            pieces strip | inside the 80 %% range  p of chi-square (%zu draws, %zu bins)\n", kDraws, kBins);
    for (const std::size_t pieces : {4U, 12U, 24U}) {
        for (const bool strip : {false, true}) {
            check_row("plain", pieces, strip, run(kDraws, pieces, strip, 20260500 + pieces + (strip ? 1 : 0)), 0.01 / 14.0);
        }
    }
    // Circumstances that are logged, pieces that stand far off, and both; from 30 pieces on the shape is weighed.
    for (const bool strip : {false, true}) {
        const std::uint64_t seed = 20261125 + (strip ? 1 : 0);
        check_row("circumstances", 24, strip, run(kDraws, 24, strip, seed, {}, {.factors = true}), 0.01 / 14.0);
        check_row("circumstances", 48, strip, run(kDraws, 48, strip, seed + 10, {}, {.factors = true}), 0.01 / 14.0);
        check_row("long tails", 48, strip, run(kDraws, 48, strip, seed + 20, {}, {.tails = true}), 0.01 / 14.0);
        check_row("both", 48, strip, run(kDraws, 48, strip, seed + 30, {}, {.factors = true, .tails = true}), 0.01 / 14.0);
    }
}
