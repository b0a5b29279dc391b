#include "science/air.hpp"

#include "science/chemistry_cases.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <cmath>
#include <string>

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace tonebath::science;

// Half of the last printed digit is what a printed figure may be off by.
TEST_CASE("air: clearing times of CDC 2003, table B.1, every row", "[air]") {
    const auto rows = tonebath::cases::rows_of("safety/ach_removal_times.csv");
    REQUIRE(rows.size() == 9);
    for (const auto& row : rows) {
        const double changes = std::stod(row.at("air_changes_per_hour"));
        INFO("air changes " << changes);
        const Airing air{.room_m3 = 30.0, .flow_m3_h = 30.0 * changes, .mixing = 1.0};
        CHECK_THAT(purge_min(air, 100.0, 1.0).value(), WithinAbs(std::stod(row.at("min_for_99_percent")), 0.5));
        CHECK_THAT(purge_min(air, 1000.0, 1.0).value(), WithinAbs(std::stod(row.at("min_for_99_9_percent")), 0.5));
    }
}

TEST_CASE("air: units as printed by NIOSH at 25 °C and by the European list at 20 °C", "[air]") {
    CHECK_THAT(mg_m3_of_ppm(45.0, 36.46).value(), WithinAbs(67.0, 0.5));           // HCl, NIOSH 2025 profile
    CHECK_THAT(mg_m3_of_ppm(1.0, kH2s_g_per_mol).value(), WithinAbs(1.40, 0.01));  // H2S factor, NIOSH pocket guide
    CHECK_THAT(mg_m3_of_ppm(100.0, 92.14).value(), WithinRel(375.0, 0.01));        // toluene, NIOSH rounds to 375
    CHECK_THAT(mg_m3_of_ppm(50.0, 92.14, 20.0).value(), WithinAbs(192.0, 0.5));    // toluene, Directive 2006/15/EC
    CHECK_THAT(mg_m3_of_ppm(10.0, kH2s_g_per_mol, 20.0).value(), WithinAbs(14.0, 0.5));  // Directive 2009/161/EU
    CHECK_THAT(molar_volume_l(20.0).value(), WithinRel(24.055, 0.001));                  // Directive 91/322/EEC, annex
    CHECK_THAT(ppm_of_mg_m3(mg_m3_of_ppm(7.0, 34.08, 12.0).value(), 34.08, 12.0).value(), WithinRel(7.0, 1e-12));
}

TEST_CASE("air: gas from sulfides against the table computed apart", "[air]") {
    struct Named {
        const char* name;
        Sulfide solid;
    };
    for (const Named& one :
         {Named{"K2S", Sulfide::k2s}, Named{"K2S3", Sulfide::k2s3}, Named{"K2S5", Sulfide::k2s5},
          Named{"KHS", Sulfide::khs}, Named{"Na2S", Sulfide::na2s}, Named{"(NH4)2S", Sulfide::nh4_2s}}) {
        INFO(one.name);
        bool found = false;
        for (const auto& row : tonebath::cases::rows_of("safety/h2s_worst_case.csv")) {
            if (row.at("solid") == one.name) {
                found = true;
                CHECK_THAT(h2s_g_per_g(one.solid), WithinAbs(std::stod(row.at("g_H2S_per_g_solid")), 0.00006));
                const GasInRoom gas = worst_case_h2s(one.solid, 10.0, 30.0).value();
                CHECK_THAT(gas.ppm, WithinAbs(std::stod(row.at("ppm_if_10_g_in_30_m3_no_ventilation")), 0.06));
                CHECK_THAT(gas.gas_l, WithinAbs(std::stod(row.at("H2S_litres_per_10_g_25C")), 0.0006));
            }
        }
        CHECK(found);
    }
    CHECK_THAT(worst_case_h2s(Sulfide::k2s, 10.0, 30.0, 20.0)->ppm, WithinAbs(72.7, 0.05));
    // 200 ml of 1 M acid on excess sulfide: 3.41 g of gas reach 14 mg/m3 in a school laboratory of 243 m3.
    CHECK_THAT(gas_in_room(3.41, kH2s_g_per_mol, 243.0)->mg_m3, WithinAbs(14.0, 0.05));
}

TEST_CASE("air: worked examples of dilution, capture and build-up", "[air]") {
    // Abulencia and Theodore, ch. 20, example 20.4: 0.1107 ft3/min down to 1 ppm, and the hood of 30 by 25 in.
    CHECK_THAT(dilution_flow(0.1107, 1.0, 1.0).value(), WithinAbs(110700.0, 50.0));
    CHECK_THAT(dilution_flow(0.1107, 1.0, 10.0).value(), WithinAbs(1107000.0, 500.0));
    constexpr double kFoot_m = 0.3048;
    const double area_m2 = 30.0 / 12.0 * 25.0 / 12.0 * kFoot_m * kFoot_m;
    const double flow_m3_h = face_flow_m3_h(100.0 * kFoot_m / 60.0, area_m2);
    CHECK_THAT(flow_m3_h / 60.0 / std::pow(kFoot_m, 3), WithinAbs(521.0, 0.5));
    CHECK_THAT(face_velocity_m_s(flow_m3_h, area_m2).value(), WithinRel(100.0 * kFoot_m / 60.0, 1e-12));
    // Example 20.7: 250 ng/min, 10 in the air coming in, 35 ng/m3 wanted: 10 m3/min.
    CHECK_THAT(
        steady_level({.room_m3 = 50.0, .flow_m3_h = 600.0}, {.source_per_h = 250.0 * 60.0, .background = 10.0}).value(),
        WithinRel(35.0, 1e-12));
    // 1 g/min in 108 m3 with 10 m3/min: 100 mg/m3 in the end, 95 % of it after 32.4 min (exercise; answer computed).
    const Airing exercise{.room_m3 = 108.0, .flow_m3_h = 600.0};
    const AirCourse spill{.source_per_h = 60000.0};
    CHECK_THAT(steady_level(exercise, spill).value(), WithinRel(100.0, 1e-12));
    CHECK_THAT(level_after(exercise, spill, 32.4 / 60.0).value(), WithinAbs(95.0, 0.05));
    // 20 by 14 by 12 ft at 280 ft3/min: 5 air changes (CDC formula).
    const double foot3 = std::pow(kFoot_m, 3);
    CHECK_THAT(air_changes_per_h({.room_m3 = 3360.0 * foot3, .flow_m3_h = 280.0 * 60.0 * foot3}), WithinRel(5.0, 1e-9));
    // 20 ml of ethyl acetate (0.902 g/ml from memory, 88.11 g/mol): 4.99 to 5.01 L; K = 5 to 100 ppm in ten minutes.
    const double vapour = vapour_l(20.0, 0.9, 88.11).value();
    CHECK_THAT(vapour / 10.0, WithinAbs(0.499, 0.001));
    CHECK_THAT(dilution_flow(vapour / 10.0, 100.0, 5.0).value() / 1000.0, WithinAbs(25.0, 0.05));
    // 3 ml of it in 45 min: 0.0166 L/min; K = 5 to 200 ppm: 0.42 m3/min (arithmetic).
    const double evening = vapour_l(3.0, 0.9, 88.11).value() / 45.0;
    CHECK_THAT(evening, WithinAbs(0.0166, 0.0001));
    CHECK_THAT(dilution_flow(evening, 200.0, 5.0).value() / 1000.0, WithinAbs(0.42, 0.005));
    // v 0.5 m/s at 0.2 m from an opening of 0.05 m2: 810 m3/h (formula from memory).
    CHECK_THAT(capture_flow_m3_h(0.5, 0.2, 0.05).value(), WithinRel(810.0, 1e-12));
    CHECK_THAT(capture_velocity_m_s(810.0, 0.2, 0.05).value(), WithinRel(0.5, 1e-12));
    CHECK_FALSE(capture_velocity_m_s(810.0, 0.2, 0.0));
}

TEST_CASE("air: ten grams as K2S in thirty cubic metres, and its purge", "[air]") {
    CHECK_THAT(worst_case_h2s(Sulfide::k2s, 10.0, 30.0)->ppm, WithinAbs(73.9, 0.05));
    CHECK_THAT(purge_min({.room_m3 = 30.0, .flow_m3_h = 180.0, .mixing = 1.0}, 73.9, 1.0).value(),
               WithinAbs(43.0, 0.5));
    CHECK_THAT(purge_min({.room_m3 = 30.0, .flow_m3_h = 180.0, .mixing = 3.0}, 73.9, 1.0).value(),
               WithinAbs(129.0, 0.5));
    CHECK_THAT(purge_min({.room_m3 = 30.0, .flow_m3_h = 180.0, .mixing = 10.0}, 73.9, 1.0).value(),
               WithinAbs(430.0, 0.5));
    CHECK_FALSE(purge_min({.room_m3 = 30.0}, 73.9, 1.0));  // no air, no time
    CHECK(purge_min({.room_m3 = 30.0}, 0.5, 1.0) == 0.0);
}

TEST_CASE("air: the course agrees with its own differential equation, and refuses nonsense", "[air]") {
    CHECK(rc::check("dC/dt = G/V - Q'/V (C - Cb)", [] {
        const Airing air{.room_m3 = *rc::gen::inRange(5, 300) * 1.0,
                         .flow_m3_h = *rc::gen::inRange(0, 2000) * 1.0,
                         .mixing = *rc::gen::inRange(10, 100) / 10.0};
        const AirCourse course{.start = *rc::gen::inRange(0, 200) * 1.0,
                               .source_per_h = *rc::gen::inRange(0, 5000) * 1.0,
                               .background = *rc::gen::inRange(0, 20) * 1.0};
        const double hours = *rc::gen::inRange(1, 300) / 100.0;
        const double step = 1e-4;
        const double now = level_after(air, course, hours).value();
        const double slope =
            (level_after(air, course, hours + step).value() - level_after(air, course, hours - step).value()) /
            (2.0 * step);
        const double expected =
            course.source_per_h / air.room_m3 - air.flow_m3_h / air.mixing / air.room_m3 * (now - course.background);
        RC_ASSERT(std::abs(slope - expected) < 1e-3 * (1.0 + std::abs(expected) + now));
    }));
    CHECK_FALSE(level_after({.room_m3 = 0.0, .flow_m3_h = 1.0}, {}, 1.0));
    CHECK_FALSE(level_after({.room_m3 = 30.0, .flow_m3_h = 1.0, .mixing = 0.5}, {}, 1.0));
    CHECK_FALSE(worst_case_h2s(Sulfide::k2s, -1.0, 30.0));
    CHECK_FALSE(worst_case_h2s(Sulfide::k2s, std::nan(""), 30.0));
    CHECK_FALSE(mg_m3_of_ppm(1.0, 34.08, 500.0));
    CHECK_FALSE(dilution_flow(1.0, 0.0, 1.0));
}

TEST_CASE("air: the mean over a day is that of the course, taken in small steps", "[air]") {
    CHECK(rc::check("mean_level against a sum over the course", [] {
        const Airing air{.room_m3 = *rc::gen::inRange(6, 300) * 1.0,
                         .flow_m3_h = *rc::gen::inRange(0, 1200) * 1.0,
                         .mixing = *rc::gen::inRange(1, 11) * 1.0};
        const double source = *rc::gen::inRange(1, 5000) * 1.0;
        const double source_h = *rc::gen::inRange(0, 80) / 10.0;
        double sum = 0.0;
        constexpr int kSteps = 20000;
        const double at_stop = level_after(air, {.source_per_h = source}, source_h).value();
        for (int i = 0; i < kSteps; ++i) {
            const double hours = (i + 0.5) / kSteps * 8.0;
            sum += hours <= source_h ? level_after(air, {.source_per_h = source}, hours).value()
                                     : level_after(air, {.start = at_stop}, hours - source_h).value();
        }
        const double mean = mean_level(air, source, source_h, 8.0).value();
        RC_ASSERT(std::abs(mean - sum / kSteps) < 2e-4 * (1e-9 + at_stop) + 1e-9);
    }));
    CHECK_FALSE(mean_level({.room_m3 = 30.0}, 1.0, 9.0, 8.0));
    CHECK_FALSE(mean_level({.room_m3 = 30.0}, 1.0, 1.0, 0.0));
}
