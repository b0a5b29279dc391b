// Where things are: the program's own data, and the log, settings and state of the person who runs it.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>

namespace tonebath {

// Reads one environment variable; nullopt when it is not set. Handed in, so that tests need not change their own.
using Environment = std::function<std::optional<std::string>(const char* name)>;
[[nodiscard]] Environment process_environment();

struct Places {
    // Holds data/, checklists/ and docs/manual/. TONEBATH_DATA when set; else share/tonebath beside the program's bin
    // folder; else the source tree the program was built from. nullopt when none of them is there.
    std::optional<std::filesystem::path> shared;
    std::filesystem::path log_file;       // $XDG_DATA_HOME/tonebath/log.tonebath
    std::filesystem::path own_checklists; // $XDG_DATA_HOME/tonebath/checklists: lists that the studio edited or added
    std::filesystem::path settings_file;  // $XDG_CONFIG_HOME/tonebath/settings.toml
    std::filesystem::path state_folder;   // $XDG_STATE_HOME/tonebath

    // Of the running program.
    [[nodiscard]] static Places of_program();
};

// XDG Base Directory Specification 0.8: an unset, empty or relative variable means the default below `home`.
// `program` is the full path of the executable; an empty one skips the installed place. An empty `source_tree` is
// skipped. No folder is made here.
[[nodiscard]] Places find_places(const Environment& environment, const std::filesystem::path& home,
                                 const std::filesystem::path& program, const std::filesystem::path& source_tree);

}  // namespace tonebath
