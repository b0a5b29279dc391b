#include "app/demo/invented_year.hpp"

#include "app/demo/demo.hpp"

#include <algorithm>
#include <array>

namespace tonebath::app {

namespace {

constexpr double kColdRoom_c = 11.0;

}  // namespace

Stamp demo_moment(int month, int day, int hour, int minute) {
    const bool summer = (month == 10 && day < 26) || (month == 3 && day >= 29);
    return stamp_of({.year = month >= 10 ? 2025 : 2026, .month = month, .day = day, .hour = hour, .minute = minute},
                    summer ? 60 : 0);
}

const std::vector<DemoBath>& demo_baths() {
    using enum DemoStage;
    // LS-1: 17, LS-2: 15, LS-3: 10, LS-4: 4.
    static const std::vector<DemoBath> baths{
        // October: 9
        {1, 10, 2, 10, 0, "LS-1", "V3", 70.0, 20.5, {{1, lid}, {1, cup}}, DemoTiming::rack},
        {2, 10, 6, 10, 15, "LS-1", "V3", 58.0, 20.0, {{1, whole}, {2, thirds}}},
        {3, 10, 9, 10, 5, "LS-1", "V1", 60.0, 20.0, {{3, thirds}}, DemoTiming::reckoned, true, 11.0, 58.0},
        {4, 10, 13, 9, 50, "LS-1", "V3", 59.0, 20.5, {{4, lid}, {4, cup}}},
        {5, 10, 16, 10, 20, "LS-1", "V3", 57.5, 19.5, {{4, whole}, {5, thirds}}},
        {6, 10, 20, 10, 10, "LS-1", "V3", 58.5, 20.0, {{6, lid}, {6, cup}}, DemoTiming::rack},
        {7, 10, 23, 14, 0, "LS-1", "V1", 58.0, 19.0, {{6, whole}}, DemoTiming::rack},
        {8, 10, 27, 10, 0, "LS-1", "V1", 59.0, 19.0, {{7, thirds}}},
        {9,
         10,
         30,
         18,
         30,
         "LS-1",
         "V1",
         60.0,
         19.5,
         {},
         DemoTiming::reckoned,
         true,
         0.0,
         0.0,
         "MK",
         "for the evening class: strips only"},
        // November: 8
        {10, 11, 3, 10, 30, "LS-1", "V3", 57.0, 18.0, {{8, thirds}}},
        {11, 11, 6, 10, 0, "LS-2", "V1", 58.0, 15.0, {{9, lid}}, DemoTiming::first_hottest},
        {12, 11, 10, 10, 0, "LS-1", "V3", 58.5, 17.5, {{9, cup}}},
        {13, 11, 13, 10, 5, "LS-2", "V3", 58.0, 17.0, {{9, whole}, {10, thirds}}},
        {14, 11, 17, 10, 0, "LS-3", "V3", 57.0, 16.5, {{11, thirds}}},
        {15, 11, 19, 13, 30, "LS-2", "V3", 58.0, 17.0, {{12, thirds}}},
        {16, 11, 24, 10, 10, "LS-2", "V1", 60.0, 16.0, {{13, lid}, {13, cup}}},
        {17, 11, 29, 10, 0, "LS-1", "V1", 59.0, 16.0, {{13, whole}}},
        // December: 9
        {18, 12, 2, 9, 40, "LS-2", "V3", 60.0, 15.0, {{14, base}, {14, tabs}, {14, base}}},
        {19, 12, 4, 10, 0, "LS-1", "V1", 58.0, 15.0, {{15, lid}}, DemoTiming::first_hottest},
        {20,
         12,
         6,
         11,
         0,
         "LS-4",
         "V3",
         57.0,
         17.0,
         {{17, first}},
         DemoTiming::reckoned,
         true,
         0.0,
         0.0,
         "TB",
         "away, at a class; travelling bench"},
        {21, 12, 9, 10, 0, "LS-2", "V3", 58.0, 14.5, {{15, cup}}},
        {22, 12, 11, 10, 15, "LS-3", "V3", 58.0, 14.5, {{15, whole}}},
        {23, 12, 15, 10, 0, "LS-1", "V3", 60.0, 14.0, {{16, thirds}}},
        {24, 12, 18, 10, 0, "LS-2", "V3", 57.5, 14.0, {{17, last_two}}},
        {25, 12, 22, 10, 0, "LS-3", "V3", 51.0, 13.0, {{18, thirds}}, DemoTiming::reckoned, false},
        {26, 12, 29, 11, 0, "LS-1", "V1", 61.0, 13.0, {{19, thirds}}},
        // January: 6
        {27,
         1,
         5,
         10,
         0,
         "LS-1",
         "V1",
         60.0,
         13.5,
         {},
         DemoTiming::reckoned,
         true,
         0.0,
         0.0,
         "MK",
         "strips only: how is the jar?"},
        {28,
         1,
         12,
         10,
         0,
         "LS-2",
         "V1",
         57.0,
         11.0,
         {{20, lid}},
         DemoTiming::cold_day,
         true,
         0.0,
         0.0,
         "MK",
         "door open, 11 °C in the room"},
        {29, 1, 14, 10, 0, "LS-2", "V3", 58.0, 13.5, {{20, cup}}},
        {30, 1, 19, 10, 10, "LS-3", "V3", 57.0, 13.0, {{20, whole}}},
        {31, 1, 23, 10, 0, "LS-3", "V3", 51.0, 12.5, {{21, thirds}}},
        {32,
         1,
         29,
         10,
         0,
         "LS-1",
         "V1",
         60.0,
         13.0,
         {},
         DemoTiming::reckoned,
         true,
         0.0,
         0.0,
         "MK",
         "strips only: how is the jar?"},
        // February: 7, with the new probe
        {33, 2, 3, 10, 0, "LS-2", "V3", 58.0, 13.0, {{22, thirds}}},
        {34, 2, 9, 10, 0, "LS-3", "V3", 57.0, 12.5, {{23, thirds}}, DemoTiming::reckoned, false},
        {35, 2, 12, 10, 20, "LS-2", "V3", 58.0, 13.0, {{24, thirds}}},
        {36, 2, 16, 10, 0, "LS-4", "V3", 58.5, 13.5, {{25, lid}, {25, cup}}},
        {37, 2, 19, 10, 0, "LS-3", "V1", 58.0, 14.0, {{25, whole}}},
        {38, 2, 23, 10, 0, "LS-2", "V1", 60.0, 14.5, {{26, thirds}}},
        {39, 2, 26, 14, 0, "LS-3", "V1", 59.0, 15.0, {}, DemoTiming::reckoned, true, 0.0, 0.0, "MK", "strips only"},
        // March: 7
        {40, 3, 3, 10, 0, "LS-4", "V1", 58.0, 16.0, {{27, thirds}}},
        {41, 3, 9, 10, 0, "LS-2", "V3", 59.0, 16.0, {{14, base, 25.0}}},
        {42, 3, 12, 10, 0, "LS-3", "V3", 59.0, 16.5, {{14, base, 25.0}}},
        {43, 3, 16, 10, 0, "LS-2", "V3", 59.0, 17.0, {{14, base, 25.0}}},
        {44, 3, 23, 10, 0, "LS-4", "V3", 58.0, 17.0, {{28, thirds}, {29, thirds}}},
        {45, 3, 30, 10, 0, "LS-3", "V1", 60.0, 17.5, {{30, thirds}}},
        {46, 3, 31, 9, 30, "LS-2", "V3", 58.0, 16.5, {}},
    };
    return baths;
}

DemoBath with_faults(DemoBath plan, const DemoFaults& faults) {
    const auto lot = faults.lots.find(plan.number);
    if (lot != faults.lots.end()) {
        plan.lot = lot->second;
    }
    const bool was_cold = plan.timing == DemoTiming::cold_day;
    if (!was_cold && plan.timing != DemoTiming::first_hottest) {
        return plan;
    }
    const auto& hottest = faults.hottest_first;
    plan.timing = plan.number == faults.cold_bath ? DemoTiming::cold_day
                  : std::find(hottest.begin(), hottest.end(), plan.number) != hottest.end() ? DemoTiming::first_hottest
                                                                                            : DemoTiming::reckoned;
    if (plan.timing == DemoTiming::cold_day) {
        plan.room_c = kColdRoom_c;
        plan.note = "door open, 11 °C in the room";
    } else if (was_cold) {
        plan.room_c = kColdRoom_c + 2.0;
        plan.note = {};
    }
    return plan;
}

std::span<const DemoBatch> demo_batches() {
    static constexpr std::array<DemoBatch, 31> kBatches{{
        {1, "Limpet", 6, "blue", "Limpet lid blue, R-07", "R-07", "wax"},
        {2, "Samphire", 6, "gold", "Samphire gold", "", "brushed lacquer"},
        {3, "Groyne", 6, "dark brown", "Groyne dark brown", "", "wax"},
        {4, "Limpet", 6, "blue", "Limpet lid blue", "", "brushed lacquer"},
        {5, "Breakwater", 8, "gunmetal", "Breakwater tabs gunmetal", "R-08", "sprayed lacquer"},
        {6, "Limpet", 6, "blue", "Limpet lid blue", "", ""},
        {7, "Lantern", 2, "magenta", "Lantern magenta", "", ""},
        {8, "Samphire", 6, "gold", "Samphire gold", "", "wax"},
        {9, "Limpet", 12, "blue", "Limpet lid blue", "", "brushed lacquer"},
        {10, "Groyne", 6, "dark brown", "Groyne dark brown", "", "wax"},
        {11, "Lantern", 5, "gold", "Lantern gold", "R-09", ""},
        {12, "Samphire", 6, "gold", "Samphire gold", "", "sprayed lacquer"},
        {13, "Limpet", 3, "blue", "Limpet lid blue", "", ""},
        {14, "Breakwater", 18, "gunmetal", "Breakwater tabs gunmetal", "", ""},
        {15, "Limpet", 12, "blue", "Limpet lid blue", "", "wax"},
        {16, "Breakwater", 8, "gunmetal", "Breakwater tabs gunmetal", "R-10", "brushed lacquer"},
        {17, "Samphire", 6, "gold", "Samphire gold", "", "sprayed lacquer"},
        {18, "Lantern", 4, "black", "Lantern black", "", ""},
        {19, "Groyne", 4, "dark brown", "Groyne dark brown", "", "wax"},
        {20, "Limpet", 18, "blue", "Limpet lid blue", "", ""},
        {21, "Lantern", 4, "black", "Lantern black", "R-11", "brushed lacquer"},
        {22, "Breakwater", 8, "gunmetal", "Breakwater tabs gunmetal", "", ""},
        {23, "Lantern", 9, "magenta", "Lantern magenta", "", ""},
        {24, "Samphire", 4, "gold", "Samphire gold", "", ""},
        {25, "Limpet", 3, "blue", "Limpet lid blue", "", ""},
        {26, "Groyne", 4, "dark brown", "Groyne dark brown", "", ""},
        {27, "Lantern", 2, "magenta", "Lantern magenta", "", ""},
        {28, "Breakwater", 4, "gunmetal", "Breakwater tabs gunmetal", "", ""},
        {29, "Samphire", 4, "gold", "Samphire gold", "", ""},
        {30, "Groyne", 4, "dark brown", "Groyne dark brown", "", ""},
        {31, "Limpet", 18, "blue", "Limpet lid blue", "", ""},
    }};
    return kBatches;
}

std::span<const DemoDisposal> demo_disposals() {
    // 43 of the 44 baths that are used up and not kept back; 17.2 l.
    static constexpr std::array<DemoDisposal, 12> kDisposals{{{10, 18, 4},
                                                              {10, 31, 4},
                                                              {11, 15, 4},
                                                              {11, 29, 4},
                                                              {12, 12, 3},
                                                              {12, 19, 3},
                                                              {12, 30, 2},
                                                              {1, 30, 5},
                                                              {2, 13, 4},
                                                              {2, 27, 3},
                                                              {3, 13, 4},
                                                              {3, 27, 3}}};
    return kDisposals;
}

}  // namespace tonebath::app
