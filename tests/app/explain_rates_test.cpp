// The detectors were tuned on studios 62000000 and up. Those asked here were fixed before and never looked at while tuning:
// studio i of the long case is made from 43000000 + i, of the short one from 52000000 + i.
#include "explain_rates.hpp"

#include <catch2/catch.hpp>

#include <iostream>

namespace tonebath::demo_test {

TEST_CASE("Ten studios with other faults: most are found, few are invented", "[explain]") {
    const Rates rates = rates_of(10, 52'000'000);
    INFO(rates_table(rates));
    int planted = 0, hit = 0, alarms = 0, chances = 0;
    for (const auto& [id, rate] : rates) {
        planted += rate.planted;
        hit += rate.hit;
        alarms += rate.false_alarm;
        chances += rate.studios;
    }
    REQUIRE(rates.size() == 7);
    REQUIRE(planted > 30);
    CHECK(hit >= 0.75 * planted);
    CHECK(alarms <= 0.1 * chances);
}

TEST_CASE("Three hundred studios: each fault is found in 80 of 100, and told of falsely in 5 of 100 at most", "[.long]") {
    const Rates rates = rates_of(300, 43'000'000);
    std::cout << rates_table(rates);
    for (const auto& [id, rate] : rates) {
        INFO(id << "\n" << rates_table(rates));
        CHECK(rate.planted > 150);
        CHECK(rate.hit >= 0.80 * rate.planted);
        CHECK(rate.false_alarm <= 0.05 * rate.studios);
    }
}

}  // namespace tonebath::demo_test
