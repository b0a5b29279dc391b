#include "science/run_chart.hpp"

#include "science/reference_tables.hpp"

#include <nlohmann/json.hpp>

using namespace tonebath::science;
using namespace tonebath::test;
using Catch::Matchers::WithinAbs;
using nlohmann::json;

// NIST/SEMATECH e-Handbook 6.3.2.2, flow rate of ten batches, printed with d2 = 1.128; control.json.
TEST_CASE("The run chart of the NIST flow rates has the printed limits", "[run_chart]") {
    const json file = json::parse(text_of(case_file("statistics_classic/control.json")))["nist_flowrate"];
    const double within = file["tolerance"]["abs"];
    const double printed = file["tolerance"]["published_abs"];
    std::vector<double> flow;
    for (const Row& row : rows_of(case_file("statistics_classic/nist_flowrate.csv"))) {
        flow.push_back(number(row, "flowrate"));
    }
    REQUIRE(flow.size() == file["expected"]["n"].get<std::size_t>());
    const auto tabled = run_chart(flow, RunConstants::tabled);
    const auto exact = run_chart(flow);
    REQUIRE((tabled && exact));
    CHECK_THAT(tabled->upper, WithinAbs(file["published"]["ucl"].get<double>(), printed));
    CHECK_THAT(tabled->centre, WithinAbs(file["published"]["centre"].get<double>(), printed));
    CHECK_THAT(tabled->lower, WithinAbs(file["published"]["lcl"].get<double>(), printed));
    CHECK_THAT(tabled->mean_moving_range, WithinAbs(file["published"]["mr_bar"].get<double>(), printed));

    const auto check = [&](const RunChart& chart, const json& expected) {
        CHECK_THAT(chart.sigma, WithinAbs(expected["sigma_hat"].get<double>(), within));
        CHECK_THAT(chart.lower, WithinAbs(expected["individuals"]["lcl"].get<double>(), within));
        CHECK_THAT(chart.centre, WithinAbs(expected["individuals"]["centre"].get<double>(), within));
        CHECK_THAT(chart.upper, WithinAbs(expected["individuals"]["ucl"].get<double>(), within));
        CHECK_THAT(chart.moving_range_upper, WithinAbs(expected["moving_range"]["ucl"].get<double>(), within));
        CHECK(chart.outside.empty());
        CHECK(chart.jumps.empty());
    };
    check(*tabled, file["expected"]["with_tabled_constants_d2_1_128_D4_3_267"]);
    check(*exact, file["expected"]["with_exact_constants"]);
}

TEST_CASE("A jump is named where it happens, and too few readings give no limits", "[run_chart]") {
    CHECK(!run_chart({}));
    CHECK(!run_chart(std::vector<double>{5.0}));
    std::vector<double> readings{10, 11, 10, 11, 10, 11, 10, 11, 10, 11, 10, 11, 25, 10, 11, 10, 11};
    const auto chart = run_chart(readings);
    REQUIRE(chart);
    CHECK(chart->outside == std::vector<std::size_t>{12});
    CHECK(chart->jumps == std::vector<std::size_t>{12, 13});
    // Slow drift does not widen the limits, so that its ends stand outside.
    std::vector<double> drift;
    for (int i = 0; i < 40; ++i) {
        drift.push_back(0.5 * i + (i % 2 == 0 ? 0.3 : -0.3));
    }
    const auto drifting = run_chart(drift);
    REQUIRE(drifting);
    CHECK(drifting->outside.size() > 20);
}
