// The demo studio "Saltmarsh Row": half a year of a wholly invented studio, made from a fixed seed.
// Every person, piece, figure and fault in it is made up; none of its rates is a claim about chemistry.
#pragma once

#include "base/clock.hpp"
#include "base/result.hpp"

#include <array>
#include <cstdint>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace tonebath::store {
class Log;
}

namespace tonebath::app {

// What is planted, where and how large; as given it is the demo. Studios with other faults try whether they are found.
struct DemoFaults {
    std::string jar = "LS-1";    // left open; empty = none
    int jar_month = 11, jar_day = 28;
    double jar_left = 0.55;      // of its strength, 38 days later; it goes on so
    int probe_month = 2, probe_day = 3;  // since when the new thermometer is used; month 0 = there is none
    int check_month = 3, check_day = 1;  // when it was checked in ice
    double probe_error_c = 4.0;  // what it shows too much; 0 = it is right
    // Baths 11, 19 and 28 hold the lids of batches 9, 15 and 20 and nothing else: each may be the cold day, or one in which
    // the first rack had the hottest bath; the others are reckoned as all are.
    int cold_bath = 28;          // 0 = none
    std::array<double, 3> cold_racks_c = {55.0, 46.0, 40.0};  // bath when each rack went in
    std::vector<int> hottest_first = {11, 19};
    double second_rack_c = 50.0; // after the first at 55 °C
    std::vector<int> apprentice_batches = {9, 15};  // of which the first rack is hers
    int yellow_batch = 14;       // of red-brass bases that are yellow brass; 0 = none
    double yellow_speed = 0.06;  // of yellow brass against sterling
    std::string odd_lid = "L-016";       // empty = none
    double odd_lid_darker_l = 11.0;
    // The evening of 24 stones on 8 December: from the thick bottle LQ-3 or, where that is not, from LQ-2; its air; how many of
    // the stones were harmed. Then of those without coats (12 seen), with two and with three.
    bool thick_bottle = true;
    double thick_room_c = 14.0, thick_humidity_percent = 82.0;
    int thick_harmed = 9;
    std::array<int, 3> harmed = {7, 3, 2};
    int second_roll_from = 20;   // batch whose cups are the first of another copper sheet
    std::map<int, std::string> lots = {};  // by bath, where it is another than planned
};

struct DemoOptions {
    std::filesystem::path data;        // folder of the program's own data; empty = where the program finds its own
    std::filesystem::path checklists;  // empty = beside the data
    std::uint64_t seed = 20251001;     // the same seed gives the same records, ids included
    DemoFaults faults = {};
};

// The demo's own today: 31 March 2026, 09:42 (+01:00).
[[nodiscard]] Stamp demo_as_of();

// Writes the studio into an empty log: one change for each day of work. Refusals: those of the data files,
// "data.missing". Throws StoreError. TB_CHECK when the log has records.
[[nodiscard]] Result<Done> make_demo(store::Log& log, const DemoOptions& options);

// The log of the studio's second case, which travels to classes (to be joined with the demo). As make_demo.
[[nodiscard]] Result<Done> make_travelling_demo(store::Log& log, const DemoOptions& options);

// Which log of the invented studio.
enum class DemoBench { studio, travelling };

// The demo as a file of its own: made whole under another name first, so that no half-made demo is ever found.
// Refusals: "demo.exists" (a file is never written over), "demo.unwritable", those of make_demo. Two files written by
// one program are equal byte for byte. `data` as in DemoOptions.
[[nodiscard]] Result<Done> write_demo(const std::filesystem::path& file, const std::filesystem::path& data = {},
                                      DemoBench bench = DemoBench::studio);

// write_demo where there is no such file yet; a demo that is there is left as the visitor left it, unless an older program
// made it: then it is laid aside as FILE.before and a new one is written.
// Refusals: "demo.not_a_demo" (the file is a log of another studio).
[[nodiscard]] Result<Done> prepare_demo(const std::filesystem::path& file, const std::filesystem::path& data = {});

}  // namespace tonebath::app
