// The detectors were tuned on studios 62000000 and up. Those asked here were fixed before and never looked at while tuning:
// studio i of the long case is made from 43000000 + i, of the short one from 52000000 + i.
#include "explain_rates.hpp"

#include <catch2/catch.hpp>

#include <iostream>

namespace tonebath::demo_test {
namespace {

constexpr int kShortStudios = 4;

struct Sums {
    int planted = 0, hit = 0, studios = 0, alarms = 0;
};
Sums sums_of(const Rates& rates) {
    Sums sums;
    for (const auto& [id, rate] : rates) {
        sums.planted += rate.planted;
        sums.hit += rate.hit;
        sums.studios += rate.studios;
        sums.alarms += rate.false_alarm;
    }
    return sums;
}

}  // namespace

TEST_CASE("A few studios with other faults: most are found, few are invented", "[explain]") {
    const Rates rates = rates_of(kShortStudios, 52'000'000);
    INFO(rates_table(rates));
    REQUIRE(rates.size() == 7);
    const Sums sums = sums_of(rates);
    CHECK(sums.planted >= 4 * kShortStudios);
    CHECK(sums.hit >= 0.85 * sums.planted);
    CHECK(sums.alarms <= 0.05 * sums.studios);
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
