// Maximum likelihood on censored readings and the engine's group variances against published fits
// (tests/cases/statistics/censored and mixed; sources and tolerances in expected.json).
// Left out: the Weibull and log-logistic fits of the cosmesis data; the program's noise is normal or Student's t.
#include "science/censored_regression.hpp"
#include "science/mixed_regression.hpp"

#include "science/dip_model.hpp"
#include "science/statistics_cases.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

void check_fit(const CensoredFit& fit, const nlohmann::json& want, const std::vector<std::string>& names,
               const nlohmann::json& tolerance, const char* log_likelihood, bool free_scale) {
    REQUIRE(fit.converged);
    const double coef_rel = tolerance.at("coef_rel").get<double>();
    const double se_rel = tolerance.at("se_rel").get<double>();
    const std::size_t size = names.size() + (free_scale ? 1 : 0);
    for (std::size_t i = 0; i < names.size(); ++i) {
        INFO(names[i]);
        CHECK_THAT(fit.coef[i], WithinRel(want.at("coef").at(names[i]).get<double>(), coef_rel));
        CHECK_THAT(std::sqrt(fit.covariance[i * size + i]), WithinRel(want.at("se").at(names[i]).get<double>(), se_rel));
    }
    CHECK_THAT(fit.scale, WithinRel(want.at("scale").get<double>(), coef_rel));
    if (free_scale) {
        CHECK_THAT(std::sqrt(fit.covariance[size * size - 1]), WithinRel(want.at("se").at("log_scale").get<double>(), se_rel));
    }
    CHECK_THAT(fit.log_likelihood,
               WithinAbs(want.at(log_likelihood).get<double>(), tolerance.at("loglik_abs").get<double>()));
}

}  // namespace

TEST_CASE("tobin: left-censored", "[learn][reference]") {
    const auto c = statistics_cases::expected("censored").at("tobin");
    const auto t = statistics_cases::table("censored/tobin.csv");
    MixedData data(3, 0);
    for (std::size_t i = 0; i < t.rows(); ++i) {
        const std::array<Term, 3> x = {Term{0, 1.0}, Term{1, t["age"][i]}, Term{2, t["quant"][i]}};
        const double y = t["durable"][i];
        data.add({x, std::nullopt, y > 0.0 ? RowKind::exact : RowKind::at_most, {y}, {y}});
    }
    const auto fit = censored_maximum_likelihood(data, normal_noise());
    REQUIRE(fit);
    check_fit(*fit, c.at("expected"), {"(Intercept)", "age", "quant"}, c.at("tolerance"), "loglik", true);
}

TEST_CASE("NIST e-Handbook 8.4.2.2: log-normal life, right-censored", "[learn][reference]") {
    const auto c = statistics_cases::expected("censored").at("nist_arrhenius");
    const auto t = statistics_cases::table("censored/nist_arrhenius.csv");
    MixedData data(2, 0);
    for (std::size_t i = 0; i < t.rows(); ++i) {
        // The Handbook's own constants, kept to reproduce it.
        const std::array<Term, 2> x = {Term{0, 1.0}, Term{1, 1.0 / (8.617e-5 * (t["temp_c"][i] + 273.16))}};
        const double y = std::log(t["hours"][i]);
        data.add({x, std::nullopt, t["failed"][i] > 0.5 ? RowKind::exact : RowKind::at_least, {y}});
    }
    const auto fit = censored_maximum_likelihood(data, normal_noise());
    REQUIRE(fit);
    check_fit(*fit, c.at("expected").at("arrhenius"), {"(Intercept)", "lkT"}, c.at("tolerance"), "loglik_on_log_scale",
              true);
}

TEST_CASE("breast cosmesis: interval-censored, log-normal", "[learn][reference]") {
    const auto c = statistics_cases::expected("censored").at("breast_cosmesis");
    const auto t = statistics_cases::table("censored/breast_cosmesis.csv");
    MixedData data(2, 0);
    for (std::size_t i = 0; i < t.rows(); ++i) {
        const std::array<Term, 2> x = {Term{0, 1.0}, Term{1, t["treat"][i]}};
        dip_model::add_reading(data, x, std::nullopt, t["left"][i], t["right"][i]);
    }
    const auto fit = censored_maximum_likelihood(data, normal_noise());
    REQUIRE(fit);
    check_fit(*fit, c.at("expected").at("lognormal"), {"(Intercept)", "treat"}, c.at("tolerance"), "loglik", true);
}

TEST_CASE("dip logs with all four kinds of reading", "[learn][reference]") {
    const auto cases = statistics_cases::expected("censored");
    const std::vector<std::string> names = {"(Intercept)", "m", "ea", "lambda", "p"};
    for (const std::string name : {"dose_mixed_48", "dose_mixed_120"}) {
        INFO(name);
        const auto& c = cases.at(name);
        const auto t = statistics_cases::table("censored/" + name + ".csv");
        MixedData data(dip_model::kCoefs, 0);
        for (std::size_t i = 0; i < t.rows(); ++i) {
            const auto x = dip_model::terms(t["conc_ratio"][i], t["temp_c"][i], t["age_h"][i], t["time_s"][i]);
            dip_model::add_reading(data, x, std::nullopt, t["h_lower"][i], t["h_upper"][i]);
        }
        const auto& tolerance = c.at("tolerance");
        const auto& want = c.at("expected");
        const auto free = censored_maximum_likelihood(data, normal_noise());
        REQUIRE(free);
        check_fit(*free, want.at("lognormal"), names, tolerance, "loglik_on_log_scale", true);
        const auto fixed = censored_maximum_likelihood(data, normal_noise(), 0.12);
        REQUIRE(fixed);
        check_fit(*fixed, want.at("lognormal_fixed_scale_0.12"), names, tolerance, "loglik_on_log_scale", false);
        const auto student = censored_maximum_likelihood(data, student_noise(4.0));
        REQUIRE(student);
        check_fit(*student, want.at("student_t4"), names, tolerance, "loglik", true);
    }
}

TEST_CASE("the engine with flat priors is the mixed model: REML and ML", "[learn][reference]") {
    // Integrating flat coefficients gives the restricted likelihood (REML); profiling them gives maximum likelihood.
    const auto cases = statistics_cases::expected("mixed");
    for (const std::string name : {"sleepstudy", "dyestuff"}) {
        const auto& c = cases.at(name);
        const auto t = statistics_cases::table("mixed/" + name + ".csv");
        const auto& word = t.word(name == "sleepstudy" ? "Subject" : "Batch");
        std::vector<std::string> groups;
        for (const std::string& w : word) {
            if (std::ranges::find(groups, w) == groups.end()) {
                groups.push_back(w);
            }
        }
        const std::size_t k = name == "sleepstudy" ? 2 : 1;
        MixedData data(k, groups.size());
        for (std::size_t i = 0; i < t.rows(); ++i) {
            std::vector<Term> x = {Term{0, 1.0}};
            if (k == 2) {
                x.push_back({1, t["Days"][i]});
            }
            const std::size_t g = static_cast<std::size_t>(std::ranges::find(groups, word[i]) - groups.begin());
            data.add({x, g, RowKind::exact, {k == 2 ? t["Reaction"][i] : t["Yield"][i]}});
        }
        const double infinity = std::numeric_limits<double>::infinity();
        const std::vector<double> zero(k, 0.0);
        const std::vector<double> flat(k, infinity);
        for (const std::string method : {"reml", "ml"}) {
            INFO(name << " " << method);
            const auto& want = c.at("expected").at(method);
            MixedModel model;
            model.coef = CoefPrior::independent(zero, flat);
            model.scatter = {30.0, infinity};
            model.group = {30.0, infinity};
            model.profile_coefs = method == "ml";
            FitOptions options;
            options.only_mode = true;
            options.mode_tolerance = 1e-13;
            const MixedFit fit = fit_mixed(data, model, options);
            REQUIRE(fit.converged);
            const MixedNode& node = fit.nodes.front();
            const std::vector<std::string> names = {"(Intercept)", "Days"};
            for (std::size_t i = 0; i < k; ++i) {
                CHECK_THAT(node.mean[i], WithinRel(want.at("fixed").at(names[i]).get<double>(), 1e-6));
                if (method == "reml") {
                    CHECK_THAT(std::sqrt(node.covariance[i * k + i]),
                               WithinRel(want.at("fixed_se").at(names[i]).get<double>(), 1e-5));
                }
            }
            CHECK_THAT(node.group_sd, WithinRel(want.at("group_sd").get<double>(), 1e-5));
            CHECK_THAT(node.scatter_sd, WithinRel(want.at("residual_sd").get<double>(), 1e-5));
            CHECK_THAT(fit.log_evidence, WithinAbs(want.at("loglik").get<double>(), 1e-5));
            for (std::size_t g = 0; g < groups.size(); ++g) {
                CHECK_THAT(fit.form(0, {{}, g}).mean, WithinRel(want.at("ranef").at(groups[g]).get<double>(), 1e-4));
                CHECK_THAT(1.0 / std::sqrt(node.groups[g].pivot),
                           WithinRel(want.at("ranef_condvar_sd").at(groups[g]).get<double>(), 1e-5));
            }
        }
    }
}

TEST_CASE("no difference between groups: their spread goes to nothing, without failure", "[learn]") {
    MixedData data(1, 4);
    const std::array<Term, 1> one = {Term{0, 1.0}};
    const std::array<double, 4> y = {0.9, 1.1, 1.0, 1.0};
    for (std::size_t g = 0; g < 4; ++g) {
        for (const double value : y) {  // every group the same four values
            data.add({one, g, RowKind::exact, {value}});
        }
    }
    const double infinity = std::numeric_limits<double>::infinity();
    MixedModel model;
    model.coef = CoefPrior::independent(std::array{0.0}, std::array{infinity});
    model.scatter = {0.1, infinity};
    model.group = {0.1, infinity};
    FitOptions options;
    options.only_mode = true;
    const MixedFit fit = fit_mixed(data, model, options);
    REQUIRE(fit.converged);
    CHECK(fit.nodes.front().group_sd < 0.01);
    CHECK_THAT(fit.nodes.front().mean[0], WithinAbs(1.0, 1e-9));
}
