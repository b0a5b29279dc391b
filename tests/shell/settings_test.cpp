#include "window/shell/settings.hpp"

#include "base/files.hpp"
#include "lint/temporary_tree.hpp"

#include <catch2/catch.hpp>

#include <filesystem>

using namespace tonebath::window;
using tonebath::UnitChoice;

TEST_CASE("Settings come back as they were written") {
    const tonebath::lint::TemporaryTree folder;
    const std::filesystem::path file = folder.root() / "new folder" / "settings.toml";
    WindowSettings settings;
    settings.theme = "black and white";
    settings.scale = 1.25F;
    settings.size = {1024, 768};
    settings.full_screen = true;
    settings.reduced_motion = true;
    settings.page = "baths";
    settings.units = {UnitChoice::Temperature::fahrenheit, UnitChoice::Volume::fluid_ounces, UnitChoice::Mass::ounces,
                      UnitChoice::Length::inches};
    write_settings(file, settings);

    const ReadSettings read = read_settings(file);
    CHECK(read.messages.empty());
    CHECK(settings_text(read.settings) == settings_text(settings));
    CHECK(read.settings.size == WindowSize{1024, 768});
    CHECK(read.settings.units.volume == UnitChoice::Volume::fluid_ounces);
    // Written beside and renamed: nothing else is left in the folder.
    CHECK(std::distance(std::filesystem::directory_iterator(file.parent_path()), {}) == 1);
}

TEST_CASE("No file means the usual settings, without a word") {
    const ReadSettings read = read_settings("/nowhere/settings.toml");
    CHECK(read.messages.empty());
    CHECK(settings_text(read.settings) == settings_text(WindowSettings{}));
}

TEST_CASE("What does not fit is named, and only that is left at its usual value") {
    const tonebath::lint::TemporaryTree folder;
    const std::filesystem::path file = folder.root() / "settings.toml";
    const auto read_text = [&](const char* text) {
        folder.write("settings.toml", text);
        return read_settings(file);
    };
    SECTION("out of range, wrong kind, unknown word") {
        const ReadSettings read = read_text(
            "theme = \"neon\"\nscale = 40\nwidth = \"wide\"\nheight = 900\nfull_screen = 1\npage = \"tones\"\n"
            "[units]\ntemperature = \"kelvin\"\nvolume = \"cups\"\n");
        CHECK(read.messages.size() == 5);
        CHECK(read.settings.theme == "slate");
        CHECK(read.settings.scale == 1.0F);
        CHECK(read.settings.size == WindowSize{1280, 900});
        CHECK_FALSE(read.settings.full_screen);
        CHECK(read.settings.page == "tones");
        CHECK(read.settings.units.temperature == UnitChoice::Temperature::celsius);
        CHECK(read.settings.units.volume == UnitChoice::Volume::cups);
    }
    SECTION("not a number at all") {
        CHECK(read_text("scale = nan\n").settings.scale == 1.0F);
        CHECK(read_text("scale = inf\n").settings.scale == 1.0F);
    }
    SECTION("not TOML: one message with the file's name") {
        const ReadSettings read = read_text("theme = \"chalk\"\nscale = = 2\n");
        REQUIRE(read.messages.size() == 1);
        CHECK_THAT(read.messages[0], Catch::Contains(file.string()));
        CHECK(read.settings.theme == "slate");
    }
}

TEST_CASE("A folder that cannot be made is a FileError that names it") {
    const tonebath::lint::TemporaryTree folder;
    folder.write("in-the-way", "a file where a folder should be");
    CHECK_THROWS_AS(write_settings(folder.root() / "in-the-way" / "settings.toml", {}), tonebath::FileError);
}
