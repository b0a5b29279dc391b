// Reads checklists. Strict: an unknown key or family, an id twice, a missing source or one that no list of sources
// holds, more than nine items, a stop that does not stand first or no line that closes the list are faults with file and
// line.
#pragma once

#include "app/source_words.hpp"
#include "base/result.hpp"
#include "model/checklist.hpp"

#include <filesystem>
#include <optional>
#include <vector>

namespace tonebath::app {

inline constexpr std::size_t kMostItems = 9;  // five to nine items a section: WHO manual of 2009, quoted

// One list. Refusal code "data.bad_file"; field = "before_session.toml:12".
[[nodiscard]] Result<Checklist> read_checklist(const std::filesystem::path& file, const SourceWords& sources);

struct ChecklistBook {
    std::vector<Checklist> lists;  // in the order of the work, the studio's added ones last
    SourceWords sources;
    // A list of the studio's own folder that is not understood: the program's lists stand, and nothing that a list holds
    // back may begin until it is put right.
    std::optional<Refusal> own_fault;

    [[nodiscard]] const Checklist* find(std::string_view key) const;
};

// The program's lists, and those of the studio's own folder (may be empty or missing) in their place or beside them. An
// edited list needs a higher version than the program's and keeps every stop of it. A fault in the program's own lists
// is refused.
[[nodiscard]] Result<ChecklistBook> read_checklists(const std::filesystem::path& folder,
                                                    const std::filesystem::path& own_folder,
                                                    const std::filesystem::path& sources);

}  // namespace tonebath::app
