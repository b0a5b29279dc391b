// Least squares against NIST StRD certified values (tests/cases/statistics/linear and nonlinear; US public domain), to
// the digits named in expected.json.
#include "science/least_squares.hpp"

#include "science/statistics_cases.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <map>
#include <string>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

TEST_CASE("NIST linear: coefficients, errors and residual spread", "[learn][reference]") {
    const auto cases = statistics_cases::expected("linear");
    REQUIRE(cases.size() == 8);
    for (const auto& [name, c] : cases.items()) {
        INFO(name);
        const auto table = statistics_cases::table("linear/" + name + ".csv");
        const auto& certified = c.at("expected");
        const std::size_t k = certified.at("k").get<std::size_t>();
        std::vector<double> x;
        for (std::size_t i = 0; i < table.rows(); ++i) {
            for (std::size_t j = 0; j < k; ++j) {
                if (name == "longley") {
                    x.push_back(j == 0 ? 1.0 : table["x" + std::to_string(j)][i]);
                } else {
                    x.push_back(std::pow(table["x"][i], static_cast<double>(j)));
                }
            }
        }
        const auto fit = linear_least_squares(x, table["y"]);
        REQUIRE(fit);
        const auto& tolerance = c.at("tolerance");
        for (std::size_t j = 0; j < k; ++j) {
            CHECK_THAT(fit->coef[j],
                       WithinRel(certified.at("coef").at(j).get<double>(), tolerance.at("coef_rel").get<double>()));
            if (tolerance.contains("se_rel")) {
                CHECK_THAT(fit->coef_se[j],
                           WithinRel(certified.at("se").at(j).get<double>(), tolerance.at("se_rel").get<double>()));
            }
        }
        if (tolerance.contains("residual_sd_abs")) {
            CHECK_THAT(fit->residual_sd, WithinAbs(certified.at("residual_sd").get<double>(),
                                                   tolerance.at("residual_sd_abs").get<double>()));
        } else {
            CHECK_THAT(fit->residual_sd,
                       WithinRel(certified.at("residual_sd").get<double>(), tolerance.at("se_rel").get<double>()));
        }
    }
}

TEST_CASE("linear least squares refuses what has no answer", "[learn]") {
    const std::vector<double> same = {1, 2, 2, 1, 2, 2, 1, 3, 3};  // columns 2 and 3 equal
    CHECK_FALSE(linear_least_squares(same, std::vector<double>{1, 2, 3}));
    CHECK_FALSE(linear_least_squares(std::vector<double>{1, 2}, std::vector<double>{1.0}));
    CHECK_FALSE(linear_least_squares(std::vector<double>{1, NAN}, std::vector<double>{1, 2}));
    CHECK_FALSE(linear_least_squares({}, {}));
}

namespace {

// Value and derivatives of each NIST model.
double model(const std::string& name, double x, std::span<const double> b, std::span<double> slope) {
    if (name == "misra1a") {
        const double e = std::exp(-b[1] * x);
        slope[0] = 1.0 - e;
        slope[1] = b[0] * x * e;
        return b[0] * (1.0 - e);
    }
    if (name == "danwood") {
        const double power = std::pow(x, b[1]);
        slope[0] = power;
        slope[1] = b[0] * power * std::log(x);
        return b[0] * power;
    }
    if (name == "eckerle4") {
        const double z = (x - b[2]) / b[1];
        const double e = std::exp(-0.5 * z * z);
        const double y = b[0] / b[1] * e;
        slope[0] = e / b[1];
        slope[1] = y * (z * z - 1.0) / b[1];
        slope[2] = y * z / b[1];
        return y;
    }
    if (name == "mgh10") {
        const double d = x + b[2];
        const double e = std::exp(b[1] / d);
        slope[0] = e;
        slope[1] = b[0] * e / d;
        slope[2] = -b[0] * e * b[1] / (d * d);
        return b[0] * e;
    }
    const double top = b[0] + x * (b[1] + x * (b[2] + x * b[3]));
    const double bottom = 1.0 + x * (b[4] + x * (b[5] + x * b[6]));
    double power = 1.0;
    for (std::size_t j = 0; j < 4; ++j, power *= x) {
        slope[j] = power / bottom;
        if (j > 0) {
            slope[j + 3] = -top * power / (bottom * bottom);
        }
    }
    return top / bottom;
}

}  // namespace

TEST_CASE("NIST nonlinear: from both official starts", "[learn][reference]") {
    const auto cases = statistics_cases::expected("nonlinear");
    REQUIRE(cases.size() == 5);
    for (const auto& [key, c] : cases.items()) {
        const std::string name = key;
        const auto table = statistics_cases::table("nonlinear/" + name + ".csv");
        const auto& certified = c.at("certified");
        for (const std::string from : {"start1", "start2"}) {
            INFO(name << " " << from);
            const auto start = c.at(from).get<std::vector<double>>();
            const auto fit = nonlinear_least_squares(
                [&](std::span<const double> b, std::span<double> r, std::span<double> j) {
                    for (std::size_t i = 0; i < r.size(); ++i) {
                        r[i] = model(name, table["x"][i], b, j.subspan(i * b.size(), b.size())) - table["y"][i];
                    }
                },
                start, table.rows());
            REQUIRE(fit);
            CHECK(fit->converged);
            for (std::size_t j = 0; j < start.size(); ++j) {
                CHECK_THAT(fit->coef[j], WithinRel(certified.at("coef").at(j).get<double>(), 1e-6));
                CHECK_THAT(fit->coef_se[j], WithinRel(certified.at("se").at(j).get<double>(), 1e-4));
            }
            CHECK_THAT(fit->residual_ss, WithinRel(certified.at("rss").get<double>(), 1e-6));
        }
    }
}
