// An export brought into an empty log: all of it in one step, which one undo takes back, or nothing.
#pragma once

#include "app/exchange/watch.hpp"
#include "app/form.hpp"
#include "base/result.hpp"

#include <filesystem>

namespace tonebath::app {

class Studio;

// Reads the files of the nouns in the folder, all CSV or all JSON; where the list of the export is there too, every file must
// be as it lists it. The metals, scales and words that a new log begins with give way to those of the files. Records keep
// their ids and moments.
// Refusals: "import.nothing" (no file of a noun there), "import.two_forms", "import.unknown_file", "import.not_empty" (the log
// holds records), "import.newer" (from a newer program), "import.not_as_listed", "import.bad_file" (field: file, line and
// column), "import.missing_record" (a reference to what is not in the files), "import.stopped", "log.read_only", "log.trouble".
[[nodiscard]] Result<Outcome> import_log(Studio& studio, const std::filesystem::path& folder, const Watch& watch = {});

// True when nothing but the first words of a new log is in it.
[[nodiscard]] bool is_empty_log(Studio& studio);

}  // namespace tonebath::app
