// The regression engine against tests/cases/statistics/bayes: closed form, dense grid and long Gibbs runs (numbers and
// tolerances in expected.json; simulated, CC0).
#include "science/mixed_regression.hpp"

#include "science/dip_model.hpp"
#include "science/statistics_cases.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr std::size_t kBaths = 7;

struct Stage {
    const char* name;
    bool strips;
    std::size_t some;  // strips taken in; 99: all
};
constexpr std::array<Stage, 3> kStages = {Stage{"before_strips", false, 0}, Stage{"after_first_strip", true, 1},
                                          Stage{"after_all_strips", true, 99}};

std::size_t rows_at(const nlohmann::json& c, const Stage& stage) {
    const std::size_t logged = c.at("n_logged").get<std::size_t>();
    const std::size_t strips = c.at("n_strips").get<std::size_t>();
    return logged + std::min(stage.some, strips);
}

double coef_mean(const MixedFit& fit, const std::string& name) {
    if (name.front() == 'u') {
        return mixture_mean(fit.mixture({{}, std::stoul(name.substr(1)) - 1}));
    }
    for (std::size_t i = 0; i < dip_model::kCoefs; ++i) {
        if (dip_model::kNames[i] == name) {
            const std::array<Term, 1> one = {Term{i, 1.0}};
            return mixture_mean(fit.mixture({one}));
        }
    }
    FAIL("unknown " << name);
    return 0.0;
}

double coef_sd(const MixedFit& fit, const std::string& name) {
    if (name.front() == 'u') {
        return mixture_sd(fit.mixture({{}, std::stoul(name.substr(1)) - 1}));
    }
    for (std::size_t i = 0; i < dip_model::kCoefs; ++i) {
        if (dip_model::kNames[i] == name) {
            const std::array<Term, 1> one = {Term{i, 1.0}};
            return mixture_sd(fit.mixture({one}));
        }
    }
    FAIL("unknown " << name);
    return 0.0;
}

double time_quantile(const MixedFit& fit, const nlohmann::json& scenario, double p) {
    return dip_model::dip_time_quantile(fit, scenario.at("conc_ratio"), scenario.at("temp_c"), scenario.at("age_h"),
                                        scenario.at("bath").get<std::size_t>() - 1, scenario.at("target_h"), p);
}

struct Moments {
    double mean = 0.0;
    double sd = 0.0;
};
Moments hyper_moments(const MixedFit& fit, std::size_t which) {
    Moments m;
    for (const MixedNode& node : fit.nodes) {
        m.mean += node.weight * node.hyper[which];
    }
    for (const MixedNode& node : fit.nodes) {
        m.sd += node.weight * (node.hyper[which] - m.mean) * (node.hyper[which] - m.mean);
    }
    m.sd = std::sqrt(m.sd);
    return m;
}

}  // namespace

TEST_CASE("known spreads: coefficients, offsets, dip time and evidence in closed form", "[learn][reference]") {
    const auto cases = statistics_cases::expected("bayes");
    const auto& c = cases.at("random_intercept_exact");
    const auto table = statistics_cases::table("bayes/random_intercept_exact.csv");
    for (const Stage& stage : kStages) {
        INFO(stage.name);
        const auto& want = c.at(stage.name).at("known_variances_sigma0.12_tau0.15");
        const MixedData data = dip_model::data(table, rows_at(c, stage), kBaths);
        MixedModel model = dip_model::model();
        model.scatter = {0.12, 0.0};
        model.group = {0.15, 0.0};
        const MixedFit fit = fit_mixed(data, model);
        REQUIRE(fit.converged);
        for (const auto& [name, value] : want.at("mean").items()) {
            INFO(name);
            CHECK_THAT(coef_mean(fit, name), WithinRel(value.get<double>(), 1e-8) || WithinAbs(value.get<double>(), 1e-12));
            CHECK_THAT(coef_sd(fit, name), WithinRel(want.at("sd").at(name).get<double>(), 1e-8));
        }
        for (const auto& [p, value] : want.at("dip_time_s_quantiles").items()) {
            CHECK_THAT(time_quantile(fit, c.at("scenario"), std::stod(p)), WithinRel(value.get<double>(), 1e-8));
        }
        CHECK_THAT(fit.log_evidence, WithinRel(want.at("log_marginal_likelihood").get<double>(), 1e-8));
    }
}

TEST_CASE("unknown spreads: within half a percent of a dense grid", "[learn][reference]") {
    const auto cases = statistics_cases::expected("bayes");
    const auto& c = cases.at("random_intercept_exact");
    const auto table = statistics_cases::table("bayes/random_intercept_exact.csv");
    for (const Stage& stage : kStages) {
        INFO(stage.name);
        const auto& want = c.at(stage.name).at("variances_integrated_grid81x81");
        const MixedFit fit = fit_mixed(dip_model::data(table, rows_at(c, stage), kBaths), dip_model::model());
        REQUIRE(fit.converged);
        for (const auto& [name, value] : want.at("mean").items()) {
            INFO(name);
            const double sd = want.at("sd").at(name).get<double>();
            CHECK_THAT(coef_mean(fit, name), WithinAbs(value.get<double>(), 0.005 * sd + 0.005 * std::abs(value.get<double>())));
            CHECK_THAT(coef_sd(fit, name), WithinRel(sd, 0.005));
        }
        for (const auto& [p, value] : want.at("dip_time_s_quantiles").items()) {
            CHECK_THAT(time_quantile(fit, c.at("scenario"), std::stod(p)), WithinRel(value.get<double>(), 0.005));
        }
        CHECK_THAT(hyper_moments(fit, 0).mean, WithinRel(want.at("log_sigma").at("mean").get<double>(), 0.005));
        CHECK_THAT(hyper_moments(fit, 1).mean, WithinRel(want.at("log_tau").at("mean").get<double>(), 0.005));
        CHECK_THAT(hyper_moments(fit, 0).sd, WithinRel(want.at("log_sigma").at("sd").get<double>(), 0.01));
        CHECK_THAT(hyper_moments(fit, 1).sd, WithinRel(want.at("log_tau").at("sd").get<double>(), 0.01));
        CHECK_THAT(fit.log_evidence, WithinRel(want.at("log_evidence").get<double>(), 0.005));
    }
}

// Means within 4 Monte Carlo errors + 0.03 sd, sds within 2 %, dip-time quantiles within 4 Monte Carlo errors + 1 %.
TEST_CASE("censored tones and Student noise: against 300,000 Gibbs draws", "[learn][reference]") {
    const auto cases = statistics_cases::expected("bayes");
    for (const std::string name : {"random_intercept_censored", "student_t4_censored"}) {
        const auto& c = cases.at(name);
        const auto table = statistics_cases::table("bayes/" + name + ".csv");
        for (const Stage& stage : kStages) {
            INFO(name << " " << stage.name);
            const auto& want = c.at(stage.name).at("gibbs");
            MixedModel model = dip_model::model();
            if (name == "student_t4_censored") {
                model.noise = student_noise(4.0);
            }
            std::size_t groups = 0;
            for (const auto& [key, value] : want.at("mean").items()) {
                groups += key.front() == 'u' ? 1U : 0U;
            }
            const MixedFit fit = fit_mixed(dip_model::data(table, rows_at(c, stage), groups), model);
            REQUIRE(fit.converged);
            for (const auto& [key, value] : want.at("mean").items()) {
                INFO(key);
                const double sd = want.at("sd").at(key).get<double>();
                const double mcse = want.at("mean_mcse").at(key).get<double>();
                CHECK_THAT(coef_mean(fit, key), WithinAbs(value.get<double>(), 4.0 * mcse + 0.03 * sd));
                CHECK_THAT(coef_sd(fit, key), WithinRel(sd, 0.02));
            }
            std::size_t which = 0;
            for (const std::string key : {"log_sigma", "log_tau"}) {
                const auto& h = want.at(key);
                const double sd = h.at("sd").get<double>();
                CHECK_THAT(hyper_moments(fit, which).mean,
                           WithinAbs(h.at("mean").get<double>(), 4.0 * h.at("mcse").get<double>() + 0.03 * sd));
                CHECK_THAT(hyper_moments(fit, which).sd, WithinRel(sd, 0.02));
                ++which;
            }
            for (const auto& [p, value] : want.at("dip_time_s_quantiles").items()) {
                INFO(p);
                const double q = value.at("value").get<double>();
                CHECK_THAT(time_quantile(fit, c.at("scenario"), std::stod(p)),
                           WithinAbs(q, 4.0 * value.at("mcse").get<double>() + 0.01 * q));
            }
        }
    }
}

TEST_CASE("conjugate regression: the engine's evidence, integrated over the variance, is the closed form",
          "[learn][reference]") {
    // bayes/conjugate_nig.csv: coefficients' prior scales with the variance, so one engine run per variance, and the
    // trapezium rule over log variance (exponentially accurate here). Tolerance 1e-10 as stated there.
    const auto cases = statistics_cases::expected("bayes");
    const auto& c = cases.at("conjugate_nig");
    const auto& want = c.at("expected");
    const auto table = statistics_cases::table("bayes/conjugate_nig.csv");
    const double a0 = 3.0;
    const double b0 = 0.05;
    MixedData data(2, 0);
    for (std::size_t i = 0; i < table.rows(); ++i) {
        const std::array<Term, 2> x = {Term{0, 1.0}, Term{1, table["x"][i] - 3.0}};
        data.add({x, std::nullopt, RowKind::exact, {table["y"][i]}});
    }
    double sum = 0.0;
    double first = 0.0;
    double second = 0.0;
    double square = 0.0;
    constexpr double kStep = 0.05;
    for (double r = -12.0; r < 4.0; r += kStep) {
        const double var = std::exp(r);
        MixedModel model;
        model.coef = {{3.5, 0.6}, {4.0 * var, 0.0, 0.0, 0.25 * var}};
        model.scatter = {std::sqrt(var), 0.0};
        const MixedFit fit = fit_mixed(data, model);
        const double log_prior = a0 * std::log(b0) - std::lgamma(a0) - a0 * r - b0 / var;
        const double mass = std::exp(fit.log_evidence + log_prior) * kStep;
        sum += mass;
        first += mass * fit.nodes[0].mean[0];
        second += mass * fit.nodes[0].mean[1];
        square += mass * fit.nodes[0].covariance[0];
    }
    CHECK_THAT(std::log(sum), WithinRel(want.at("log_marginal_likelihood").get<double>(), 1e-10));
    CHECK_THAT(first / sum, WithinRel(want.at("mn").at(0).get<double>(), 1e-10));
    CHECK_THAT(second / sum, WithinRel(want.at("mn").at(1).get<double>(), 1e-10));
    // Mean of the conditional variance of b0: V11 E[s2] = V11 bn / (an - 1).
    const double expected_var =
        want.at("Vn").at(0).at(0).get<double>() * want.at("bn").get<double>() / (want.at("an").get<double>() - 1.0);
    CHECK_THAT(square / sum, WithinRel(expected_var, 1e-8));
}

TEST_CASE("a strip more: warm refit agrees with a fit from nothing", "[learn]") {
    const auto table = statistics_cases::table("bayes/random_intercept_censored.csv");
    const MixedModel model = dip_model::model();
    const MixedFit before = fit_mixed(dip_model::data(table, 30, kBaths), model);
    const MixedData more = dip_model::data(table, 31, kBaths);
    const MixedFit cold = fit_mixed(more, model);
    const MixedFit warm = fit_mixed(more, model, {}, &before.warm);
    REQUIRE(warm.converged);
    CHECK(warm.sweeps < cold.sweeps);
    for (const double p : {0.1, 0.5, 0.9}) {
        const double a = dip_model::dip_time_quantile(cold, 0.9, 55.0, 0.5, 6, 45.0, p);
        const double b = dip_model::dip_time_quantile(warm, 0.9, 55.0, 0.5, 6, 45.0, p);
        CHECK_THAT(b, WithinRel(a, 0.002));
    }
    // Bit for bit the same on a second run: nothing random, fixed order.
    const MixedFit again = fit_mixed(more, model, {}, &before.warm);
    CHECK(again.nodes[3].mean == warm.nodes[3].mean);
    CHECK(again.log_evidence == warm.log_evidence);
}

TEST_CASE("no rows: the prior comes back", "[learn]") {
    const MixedFit fit = fit_mixed(MixedData(dip_model::kCoefs, 0), dip_model::model());
    REQUIRE(fit.converged);
    const std::array<Term, 1> ea = {Term{2, 1.0}};
    CHECK_THAT(mixture_mean(fit.mixture({ea})), WithinRel(40.0, 1e-12));
    CHECK_THAT(mixture_sd(fit.mixture({ea})), WithinRel(15.0, 1e-12));
    CHECK_THAT(hyper_moments(fit, 0).sd, WithinRel(0.4, 1e-6));
}

TEST_CASE("an interval between two learned thresholds: against brute-force integration", "[learn]") {
    // Two thresholds with wide, correlated priors, three pieces at log dose 3.0, 3.3, 3.9 judged between them, below and
    // above. Reference: direct sum over a fine grid of (low, up), likelihood by erfc. EP is an approximation; the stated
    // limits are what it reaches here.
    MixedData data(2, 0);
    const auto add = [&](double dose, RowKind kind) {
        MixedRow row{{}, std::nullopt, kind, {-dose, 0}, {-dose, 1}};
        if (kind == RowKind::at_least) {
            row.lower.coef = 1;
        } else if (kind == RowKind::at_most) {
            row.upper.coef = 0;
        }
        data.add(row);
    };
    add(3.0, RowKind::interval);
    add(3.3, RowKind::interval);
    add(3.9, RowKind::at_least);
    add(2.6, RowKind::at_most);
    MixedModel model;
    model.coef = {{2.9, 3.5}, {0.36, 0.18, 0.18, 0.36}};
    model.scatter = {0.16, 0.0};
    const MixedFit fit = fit_mixed(data, model);
    REQUIRE(fit.converged);

    const auto phi = [](double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); };
    const double s = 0.16;
    double z = 0.0;
    std::array<double, 2> mean = {};
    std::array<double, 3> raw = {};
    constexpr double kStep = 0.01;
    const double det = 0.36 * 0.36 - 0.18 * 0.18;
    for (double low = 0.4; low < 5.4; low += kStep) {
        for (double up = low; up < 6.0; up += kStep) {
            const double a = low - 2.9;
            const double b = up - 3.5;
            const double prior = std::exp(-0.5 * (0.36 * a * a - 0.36 * a * b + 0.36 * b * b) / det);
            const auto between = [&](double dose) { return phi((up - dose) / s) - phi((low - dose) / s); };
            const double l = prior * between(3.0) * between(3.3) * phi((3.9 - up) / s) * phi((low - 2.6) / s);
            z += l;
            mean[0] += l * low;
            mean[1] += l * up;
            raw[0] += l * low * low;
            raw[1] += l * low * up;
            raw[2] += l * up * up;
        }
    }
    mean[0] /= z;
    mean[1] /= z;
    const double var_low = raw[0] / z - mean[0] * mean[0];
    const double var_up = raw[2] / z - mean[1] * mean[1];
    const double log_evidence = std::log(z * kStep * kStep) - std::log(2.0 * M_PI * std::sqrt(det));
    CHECK_THAT(fit.nodes[0].mean[0], WithinAbs(mean[0], 0.03 * std::sqrt(var_low)));
    CHECK_THAT(fit.nodes[0].mean[1], WithinAbs(mean[1], 0.03 * std::sqrt(var_up)));
    CHECK_THAT(std::sqrt(fit.nodes[0].covariance[0]), WithinRel(std::sqrt(var_low), 0.05));
    CHECK_THAT(std::sqrt(fit.nodes[0].covariance[3]), WithinRel(std::sqrt(var_up), 0.05));
    CHECK_THAT(fit.log_evidence, WithinAbs(log_evidence, 0.04));
}
