#include "science/survival.hpp"

#include "science/reference_tables.hpp"

#include <rapidcheck.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <random>

using namespace tonebath::science;
using namespace tonebath::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using nlohmann::json;

namespace {

json reference() {
    return json::parse(text_of(case_file("statistics_classic/survival.json")));
}

// Rows of one group of a case, in file order; every row when the case has no groups.
std::vector<Followed> followed(const json& one, const std::string& group) {
    const std::string event = one["event"].get<std::string>();
    const std::string event_column = event.substr(0, event.find(' '));
    std::vector<Followed> all;
    for (const Row& row : rows_of(case_file("statistics_classic/" + one["data"].get<std::string>()))) {
        if (group != "all" && row.at(one["groups"]) != group) {
            continue;
        }
        all.push_back({number(row, one["time"]), number(row, event_column) > 0.0});
    }
    return all;
}

void check_optional(const std::optional<double>& got, const json& expected, double within) {
    CHECK(got.has_value() == !expected.is_null());
    if (got && !expected.is_null()) {
        CHECK_THAT(*got, WithinAbs(expected.get<double>(), within));
    }
}

}  // namespace

// Freireich et al. 1963 (remission), Miller 1981 (leukaemia maintenance), NIST/SEMATECH e-Handbook 8.4.2.2 (cells at
// 105 C); R 4.2.2 survival 3.5-3 checked with independent code to 1e-13; survival.json.
TEST_CASE("Survival curves agree with another package, step by step", "[survival]") {
    const json cases = reference()["cases"];
    REQUIRE(cases.size() == 3);
    for (const auto& [name, one] : cases.items()) {
        const json& tolerance = one["tolerance"];
        std::map<std::string, std::vector<json>> groups;
        for (const json& row : one["km"]["table"]) {
            groups[row["group"]].push_back(row);
        }
        for (const auto& [group, rows] : groups) {
            const SurvivalCurve curve = kaplan_meier(followed(one, group));
            INFO(name << ' ' << group);
            REQUIRE(curve.steps.size() == rows.size());
            for (std::size_t i = 0; i < rows.size(); ++i) {
                const SurvivalStep& step = curve.steps[i];
                const json& row = rows[i];
                INFO("time " << step.time);
                CHECK(step.time == row["time"].get<double>());
                CHECK(step.at_risk == row["n_risk"].get<long>());
                CHECK(step.failed == row["n_event"].get<long>());
                CHECK(step.unseen_after == row["n_censor"].get<long>());
                CHECK_THAT(step.survival, WithinAbs(row["surv"].get<double>(), tolerance["surv_abs"].get<double>()));
                check_optional(step.standard_error, row["greenwood_se"], tolerance["se_abs"]);
                const auto lower = step.limits ? std::optional(step.limits->lower) : std::nullopt;
                const auto upper = step.limits ? std::optional(step.limits->upper) : std::nullopt;
                check_optional(lower, row["ll_lower"], tolerance["ci_abs"]);
                check_optional(upper, row["ll_upper"], tolerance["ci_abs"]);
            }
            const json& median = one["km"]["median"];
            const json& limits = one["km"]["median_loglog_ci"];
            check_optional(curve.median, median.is_object() ? median[group] : median, 1e-12);
            check_optional(curve.median_lower, (limits.is_object() ? limits[group] : limits)[0], 1e-12);
            check_optional(curve.median_upper, (limits.is_object() ? limits[group] : limits)[1], 1e-12);
        }
    }
}

// The printed values themselves: textbook figures of the remission data (from memory), the e-Handbook table to its
// digits.
TEST_CASE("Survival curves carry the printed figures", "[survival]") {
    const json cases = reference()["cases"];
    const SurvivalCurve remission = kaplan_meier(followed(cases["gehan"], "6-MP"));
    const json& printed = cases["gehan"]["published"]["km_6mp"];
    for (std::size_t i = 0; i < printed["time"].size(); ++i) {
        const auto got = remission.at(printed["time"][i].get<double>());
        REQUIRE(got);
        CHECK_THAT(*got, WithinAbs(printed["surv"][i].get<double>(), 5.1e-4));
    }
    const SurvivalCurve cells = kaplan_meier(followed(cases["nist_cell105"], "all"));
    for (const json& row : cases["nist_cell105"]["published"]["rows"]) {
        const auto step = std::find_if(cells.steps.begin(), cells.steps.end(),
                                       [&](const SurvivalStep& s) { return s.time == row["time"].get<double>(); });
        REQUIRE(step != cells.steps.end());
        CHECK_THAT(step->survival, WithinAbs(row["surv"].get<double>(), 5.1e-4));
        CHECK_THAT(step->standard_error.value(), WithinAbs(row["se"].get<double>(), 5.1e-5));
    }
}

// R survdiff (rho = 0); log-rank 16.79 for the remission data is the textbook value (from memory).
TEST_CASE("The log-rank test agrees with another package", "[survival]") {
    const json cases = reference()["cases"];
    int seen = 0;
    for (const auto& [name, one] : cases.items()) {
        if (!one.contains("logrank")) {
            continue;
        }
        ++seen;
        INFO(name);
        const json& expected = one["logrank"];
        std::vector<std::vector<Followed>> groups;
        for (const json& group : expected["groups"]) {
            groups.push_back(followed(one, group));
        }
        const LogRank test = log_rank(groups);
        const double within = one["tolerance"]["chisq_rel"];
        CHECK(test.degrees == expected["df"].get<int>());
        CHECK_THAT(test.chi_square, WithinRel(expected["chisq"].get<double>(), within));
        CHECK_THAT(test.p, WithinRel(expected["p"].get<double>(), 10.0 * within));
        for (std::size_t g = 0; g < groups.size(); ++g) {
            CHECK(test.observed[g] == expected["observed"][g].get<double>());
            CHECK_THAT(test.expected[g], WithinRel(expected["expected"][g].get<double>(), within));
        }
    }
    CHECK(seen == 2);
}

TEST_CASE("Groups never at risk together cannot be compared", "[survival]") {
    const std::vector<std::vector<Followed>> empty{{}, {{3.0, true}, {5.0, false}}};
    CHECK(log_rank(empty).degrees == 0);
    CHECK(log_rank(empty).p == 1.0);
    const std::vector<std::vector<Followed>> apart{{{1.0, false}, {2.0, false}}, {{3.0, true}, {5.0, true}}};
    CHECK(log_rank(apart).degrees == 0);
    const std::vector<std::vector<Followed>> none{{{1.0, false}}, {{3.0, false}}};
    CHECK(log_rank(none).p == 1.0);
    // A third group without anything in it changes nothing.
    std::vector<std::vector<Followed>> two{{{1.0, true}, {2.0, true}, {4.0, false}},
                                           {{3.0, true}, {5.0, true}, {6.0, false}}};
    const LogRank before = log_rank(two);
    two.emplace_back();
    const LogRank after = log_rank(two);
    CHECK(after.degrees == before.degrees);
    CHECK_THAT(after.chi_square, WithinRel(before.chi_square, 1e-12));
}

TEST_CASE("What was not followed far enough stays unknown", "[survival]") {
    CHECK(kaplan_meier({}).steps.empty());
    CHECK(!kaplan_meier({}).median);
    CHECK(!kaplan_meier({}).at(1.0));

    const std::vector<Followed> clean{{30.0, false}, {90.0, false}, {365.0, false}};
    const SurvivalCurve whole = kaplan_meier(clean);
    CHECK(whole.at(365.0) == 1.0);
    CHECK(!whole.at(366.0));
    CHECK(!whole.median);
    CHECK(!whole.steps.back().limits);
    CHECK(whole.steps.back().standard_error == 0.0);

    const std::vector<Followed> all_gone{{10.0, true}, {20.0, true}};
    CHECK(kaplan_meier(all_gone).at(1000.0) == 0.0);
    CHECK(!kaplan_meier(all_gone).steps.back().standard_error);
    CHECK(kaplan_meier(all_gone).median == 15.0);
    // Seen whole at the very time another fails: still at risk then.
    const std::vector<Followed> tied{{10.0, false}, {10.0, true}, {20.0, false}, {20.0, false}};
    CHECK(kaplan_meier(tied).steps.front().at_risk == 4);
    CHECK(kaplan_meier(tied).at(10.0) == 0.75);
}

TEST_CASE("Without unseen ones the curve is the plain share left, in any order of entry", "[survival][property]") {
    CHECK(rc::check([] {
        const auto times = *rc::gen::nonEmpty(rc::gen::container<std::vector<int>>(rc::gen::inRange(0, 30)));
        std::vector<Followed> all;
        for (const int time : times) {
            all.push_back({static_cast<double>(time), true});
        }
        const SurvivalCurve curve = kaplan_meier(all);
        for (int day = 0; day < 32; ++day) {
            const auto left = std::count_if(times.begin(), times.end(), [&](int time) { return time > day; });
            const double share = static_cast<double>(left) / static_cast<double>(times.size());
            const auto got = curve.at(static_cast<double>(day));
            RC_ASSERT(got.has_value());
            RC_ASSERT(std::abs(*got - share) < 1e-12);
        }
        double before = 1.0;
        for (const SurvivalStep& step : curve.steps) {
            RC_ASSERT(step.survival <= before && step.survival >= 0.0);
            if (step.limits) {  // the macro does not stop at the first half of an "or"
                RC_ASSERT(step.limits->lower <= step.survival);
                RC_ASSERT(step.survival <= step.limits->upper);
            }
            before = step.survival;
        }
    }));
}

// The textbook form for three groups: (O - E) of the first two against the inverse of their variance, tables summed
// here.
TEST_CASE("The log-rank test of three groups is the textbook form, in any order and unit of time", "[survival]") {
    std::mt19937 dice(1963);
    const auto up_to = [&](int most) { return std::uniform_int_distribution<int>(0, most)(dice); };
    int compared = 0;
    for (int round = 0; round < 300; ++round) {
        std::vector<std::vector<Followed>> groups(3);
        for (auto& group : groups) {
            const int size = 3 + up_to(9);
            for (int i = 0; i < size; ++i) {
                group.push_back({static_cast<double>(1 + up_to(18)), up_to(2) > 0});
            }
        }
        double gap[2] = {};
        double v[3] = {};  // v11, v12, v22
        for (int day = 1; day < 20; ++day) {
            double at_risk[3] = {};
            double failed[3] = {};
            for (std::size_t g = 0; g < 3; ++g) {
                for (const Followed& one : groups[g]) {
                    at_risk[g] += one.time >= day ? 1.0 : 0.0;
                    failed[g] += one.time == day && one.failed ? 1.0 : 0.0;
                }
            }
            const double n = at_risk[0] + at_risk[1] + at_risk[2];
            const double d = failed[0] + failed[1] + failed[2];
            if (n == 0.0) {
                continue;
            }
            gap[0] += failed[0] - d * at_risk[0] / n;
            gap[1] += failed[1] - d * at_risk[1] / n;
            const double scale = n > 1.0 ? d * (n - d) / (n - 1.0) : 0.0;
            v[0] += scale * at_risk[0] / n * (1.0 - at_risk[0] / n);
            v[1] -= scale * at_risk[0] / n * at_risk[1] / n;
            v[2] += scale * at_risk[1] / n * (1.0 - at_risk[1] / n);
        }
        const double det = v[0] * v[2] - v[1] * v[1];
        if (det < 1e-3) {
            continue;
        }
        ++compared;
        const double chi_square =
            (gap[0] * gap[0] * v[2] - 2.0 * gap[0] * gap[1] * v[1] + gap[1] * gap[1] * v[0]) / det;

        const LogRank test = log_rank(groups);
        REQUIRE(test.degrees == 2);
        REQUIRE(std::abs(test.chi_square - chi_square) < 1e-8 * (1.0 + chi_square));
        REQUIRE(std::abs(test.p - std::exp(-0.5 * chi_square)) < 1e-8);  // the tail for two degrees of freedom
        std::rotate(groups.begin(), groups.begin() + 1, groups.end());
        for (auto& group : groups) {
            for (Followed& one : group) {
                one.time *= 7.0;
            }
        }
        const LogRank turned = log_rank(groups);
        REQUIRE(std::abs(test.chi_square - turned.chi_square) < 1e-8 * (1.0 + test.chi_square));
    }
    CHECK(compared > 250);
}
