// The half-year of the invented studio as tables: which bath on which day, what went into it, what was ordered, what
// left.
#pragma once

#include "base/clock.hpp"

#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace tonebath::app {

struct DemoFaults;

// The moment at the studio: summer time (+01:00) until 26 October 2025 and from 29 March 2026, winter time between.
// Months 10 to 12 are of 2025, the others of 2026.
[[nodiscard]] Stamp demo_moment(int month, int day, int hour = 0, int minute = 0);

// What is done with a batch in a bath.
enum class DemoStage {
    lid,       // Limpet lids by themselves
    cup,       // Limpet cups by themselves
    whole,     // the joined Limpet, a few seconds, to even it
    thirds,    // whole pieces, three dips with a look between
    first,     // the first of the three
    last_two,  // the second and third
    base,      // Breakwater bases by themselves
    tabs       // Breakwater tabs by themselves
};

struct DemoTask {
    int batch = 0;
    DemoStage stage = DemoStage::thirds;
    double dose_s = 0.0;  // wanted of silver at this stage; 0 = as the batch's aim says
};

// How a rack's times are found.
enum class DemoTiming {
    reckoned,      // the maker reckons each drop from the temperature, give or take 5 %
    rack,          // the same, but one time for the whole rack, in and out together
    cold_day,      // 40 s for each rack, at 55, 46 and 40 °C
    first_hottest  // the apprentice's rack at 55 °C, the maker's at 50 °C, 36 s both
};

struct DemoBath {
    int number = 0;
    int month = 0, day = 0, hour = 10, minute = 0;
    std::string_view lot;
    std::string_view vessel;
    double start_c = 58.0;
    double room_c = 18.0;
    std::vector<DemoTask> tasks;
    DemoTiming timing = DemoTiming::reckoned;
    bool checked = true;
    double reheat_at_min = 0.0;  // 0 = never
    double reheat_c = 0.0;
    std::string_view who = "MK";
    std::string_view note;
};
[[nodiscard]] const std::vector<DemoBath>& demo_baths();
// As it went with these faults. Its words live as long as `faults`.
[[nodiscard]] DemoBath with_faults(DemoBath plan, const DemoFaults& faults);

struct DemoBatch {
    int number = 0;
    std::string_view design;
    int pieces = 0;
    std::string_view aim;     // tone word of the silver part, or of the one metal
    std::string_view target;  // name of a target, or empty
    std::string_view order;   // number, or empty
    std::string_view sealed;  // wax, brushed lacquer, sprayed lacquer, or empty
};
[[nodiscard]] std::span<const DemoBatch> demo_batches();

struct DemoDisposal {
    int month = 0, day = 0;
    int baths = 0;  // so many of the next baths, 400 ml each
};
[[nodiscard]] std::span<const DemoDisposal> demo_disposals();

inline constexpr int kUnloggedBath = 20;  // emptied away from the studio, never logged (P15)
inline constexpr int kOwedBath = 45;      // kept back, still to be collected (P15)
inline constexpr double kBathWater_ml = 400.0;
inline constexpr std::string_view kMemoryPiece = "L-010";    // P17

}  // namespace tonebath::app
