#include "base/places.hpp"
#include "base/version.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <map>
#include <optional>
#include <string>

namespace fs = std::filesystem;
using tonebath::find_places;
using tonebath::Places;

namespace {

tonebath::Environment environment_of(std::map<std::string, std::string> values) {
    return [values = std::move(values)](const char* name) -> std::optional<std::string> {
        const auto found = values.find(name);
        return found != values.end() ? std::optional<std::string>(found->second) : std::nullopt;
    };
}

struct Folder {
    fs::path path = fs::temp_directory_path() / ("tonebath-places-" + std::to_string(std::rand()) + " with a space");
    Folder() { fs::create_directories(path); }
    ~Folder() { fs::remove_all(path); }
    fs::path with_data(const std::string& below) const {
        fs::create_directories(path / below / "data");
        fs::create_directories(path / below / "checklists");
        return path / below;
    }
};

}  // namespace

TEST_CASE("The person's own files follow the XDG folders") {
    // XDG Base Directory Specification 0.8: defaults, and "must be absolute, else ignored".
    SECTION("nothing set") {
        const Places places = find_places(environment_of({}), "/home/ann", "", "");
        CHECK(places.log_file == "/home/ann/.local/share/tonebath/log.tonebath");
        CHECK(places.settings_file == "/home/ann/.config/tonebath/settings.toml");
        CHECK(places.state_folder == "/home/ann/.local/state/tonebath");
    }
    SECTION("set") {
        const Places places = find_places(
            environment_of({{"XDG_DATA_HOME", "/a b/d"}, {"XDG_CONFIG_HOME", "/c"}, {"XDG_STATE_HOME", "/s"}}),
            "/home/ann", "", "");
        CHECK(places.log_file == "/a b/d/tonebath/log.tonebath");
        CHECK(places.settings_file == "/c/tonebath/settings.toml");
        CHECK(places.state_folder == "/s/tonebath");
    }
    SECTION("empty or relative counts as not set") {
        const Places places =
            find_places(environment_of({{"XDG_DATA_HOME", ""}, {"XDG_CONFIG_HOME", "rel"}}), "/home/ann", "", "");
        CHECK(places.log_file == "/home/ann/.local/share/tonebath/log.tonebath");
        CHECK(places.settings_file == "/home/ann/.config/tonebath/settings.toml");
    }
}

TEST_CASE("The program's data are found installed, in the source tree, or where they are named") {
    const Folder folder;
    const fs::path tree = folder.with_data("tree");
    const fs::path installed = folder.with_data("usr/share/tonebath");
    const fs::path named = folder.with_data("named");
    const fs::path program = folder.path / "usr" / "bin" / "tonebath";

    CHECK(find_places(environment_of({}), "/h", program, tree).shared == installed);
    CHECK(find_places(environment_of({}), "/h", folder.path / "build" / "src" / "tonebath", tree).shared == tree);
    CHECK(find_places(environment_of({}), "/h", "", "").shared == std::nullopt);
    CHECK(find_places(environment_of({{"TONEBATH_DATA", named.string()}}), "/h", program, tree).shared == named);
    // A wrong name is not quietly replaced.
    CHECK(find_places(environment_of({{"TONEBATH_DATA", "/gone"}}), "/h", program, tree).shared == std::nullopt);
}

TEST_CASE("The running program knows its version and its tree") {
    CHECK(tonebath::version().find('.') != std::string_view::npos);
    CHECK(fs::equivalent(tonebath::build_source_tree(), TONEBATH_SOURCE_DIR));
    const Places places = Places::of_program();
    CHECK(places.log_file.is_absolute());
    CHECK(places.settings_file.filename() == "settings.toml");
}
