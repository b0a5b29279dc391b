// The demo studio "Saltmarsh Row": half a year of a wholly invented studio, made from a fixed seed.
// Every person, piece, figure and fault in it is made up; none of its rates is a claim about chemistry.
#pragma once

#include "base/clock.hpp"
#include "base/result.hpp"

#include <cstdint>
#include <filesystem>

namespace tonebath::store {
class Log;
}

namespace tonebath::app {

struct DemoOptions {
    std::filesystem::path data;        // folder of the program's own data; empty = where the program finds its own
    std::filesystem::path checklists;  // empty = beside the data
    std::uint64_t seed = 20251001;     // the same seed gives the same records, ids included
};

// The demo's own today: 31 March 2026, 09:42 (+01:00).
[[nodiscard]] Stamp demo_as_of();

// Writes the studio into an empty log: one change for each day of work. Refusals: those of the data files,
// "data.missing". Throws StoreError. TB_CHECK when the log has records.
[[nodiscard]] Result<Done> make_demo(store::Log& log, const DemoOptions& options);

// The demo as a file of its own: made whole under another name first, so that no half-made demo is ever found.
// Refusals: "demo.exists" (a file is never written over), "demo.unwritable", those of make_demo. Two files written by
// one program are equal byte for byte. `data` as in DemoOptions.
[[nodiscard]] Result<Done> write_demo(const std::filesystem::path& file, const std::filesystem::path& data = {});

// write_demo where there is no such file yet; a demo that is there is left as the visitor left it, unless an older program
// made it: then it is laid aside as FILE.before and a new one is written.
// Refusals: "demo.not_a_demo" (the file is a log of another studio).
[[nodiscard]] Result<Done> prepare_demo(const std::filesystem::path& file, const std::filesystem::path& data = {});

}  // namespace tonebath::app
