#include "base/places.hpp"

#include "base/version.hpp"

#include <pwd.h>
#include <unistd.h>

#include <cstdlib>
#include <system_error>

namespace tonebath {
namespace {

namespace fs = std::filesystem;

fs::path user_folder(const Environment& environment, const char* name, const fs::path& home, const char* fallback) {
    const std::optional<std::string> value = environment(name);
    if (value && fs::path(*value).is_absolute()) {
        return fs::path(*value) / "tonebath";
    }
    return home / fallback / "tonebath";
}

bool holds_our_data(const fs::path& folder) {
    std::error_code ignored;
    return fs::is_directory(folder / "checklists", ignored) && fs::is_directory(folder / "data", ignored);
}

fs::path home_folder(const Environment& environment) {
    const std::optional<std::string> home = environment("HOME");
    if (home && fs::path(*home).is_absolute()) {
        return *home;
    }
    const passwd* entry = getpwuid(getuid());
    return entry != nullptr && entry->pw_dir != nullptr ? fs::path(entry->pw_dir) : fs::path("/");
}

}  // namespace

Environment process_environment() {
    return [](const char* name) -> std::optional<std::string> {
        const char* value = std::getenv(name);
        return value != nullptr ? std::optional<std::string>(value) : std::nullopt;
    };
}

Places find_places(const Environment& environment, const fs::path& home, const fs::path& program,
                   const fs::path& source_tree) {
    Places places;
    places.log_file = user_folder(environment, "XDG_DATA_HOME", home, ".local/share") / "log.tonebath";
    places.own_checklists = places.log_file.parent_path() / "checklists";
    places.settings_file = user_folder(environment, "XDG_CONFIG_HOME", home, ".config") / "settings.toml";
    places.state_folder = user_folder(environment, "XDG_STATE_HOME", home, ".local/state");

    const std::optional<std::string> named = environment("TONEBATH_DATA");
    if (named && !named->empty()) {
        if (holds_our_data(*named)) {
            places.shared = *named;
        }
        return places;  // a wrong name is not quietly replaced by another folder
    }
    if (!program.empty()) {
        const fs::path installed = program.parent_path().parent_path() / "share" / "tonebath";
        if (holds_our_data(installed)) {
            places.shared = installed;
            return places;
        }
    }
    if (!source_tree.empty() && holds_our_data(source_tree)) {
        places.shared = source_tree;
    }
    return places;
}

Places Places::of_program() {
    const Environment environment = process_environment();
    std::error_code failed;
    const fs::path program = fs::read_symlink("/proc/self/exe", failed);
    return find_places(environment, home_folder(environment), failed ? fs::path() : program, build_source_tree());
}

}  // namespace tonebath
