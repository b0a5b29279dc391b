// Pictures of the widgets for people to look at, in the folder pictures of the build; and that they are whole: every
// sheet passes the lint of pages, in every theme and scale.
#include "window/driver.hpp"
#include "window/sheets.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <filesystem>

namespace tonebath::testing {

namespace {

using namespace tonebath::window;

struct Sheet {
    std::string name;
    std::function<void(Ui&, SheetState&)> draw;
};

const std::vector<Sheet>& sheets() {
    static const std::vector<Sheet> all{
        {"components", components_sheet},
        {"bench", bench_sheet},
        {"today", day_sheet},
        {"baths", baths_sheet},
        {"pieces", pieces_sheet},
        {"class", class_sheet},
        {"lanes", [](Ui& ui, SheetState&) { lanes_sheet(ui); }},
        {"emergency", [](Ui& ui, SheetState&) { emergency_sheet(ui); }},
    };
    return all;
}

std::string findings_of(const Driver& driver) {
    std::string out;
    for (const ProbeFinding& finding : driver.findings()) {
        out += finding.path + ": " + finding.what + "\n";
    }
    return out;
}

// The share of pixels that are not the page's ground: an empty or a flooded picture is no picture.
double share_drawn(const Image& image) {
    const Pixel ground = image.at(2, image.height / 2);
    std::size_t other = 0;
    for (const Pixel pixel : image.pixels) {
        other += pixel == ground ? 0U : 1U;
    }
    return static_cast<double>(other) / static_cast<double>(image.pixels.size());
}

// WCAG 2.2 contrast ratio of two colours.
double contrast_of(Colour a, Colour b) {
    const auto luminance = [](Colour c) {
        const auto linear = [](std::uint8_t value) {
            const double s = value / 255.0;
            return s <= 0.04045 ? s / 12.92 : std::pow((s + 0.055) / 1.055, 2.4);
        };
        return 0.2126 * linear(c.r) + 0.7152 * linear(c.g) + 0.0722 * linear(c.b);
    };
    const double x = luminance(a);
    const double y = luminance(b);
    return (std::max(x, y) + 0.05) / (std::min(x, y) + 0.05);
}

}  // namespace

TEST_CASE("every word of every sheet can be read on what it stands on", "[pictures]") {
    const std::string theme = GENERATE("slate", "chalk", "contrast");
    std::size_t read = 0;
    for (const Sheet& sheet : sheets()) {
        SheetState state;
        Driver driver([&](Ui& ui) { sheet.draw(ui, state); }, {.theme = theme});
        for (const ProbeText& text : driver.probe().texts()) {
            INFO(sheet.name << " in " << theme << ": " << text.text << ", " << text.fg.hex() << " on "
                            << text.bg.hex());
            CHECK(contrast_of(text.fg, text.bg) >= 4.5);
            ++read;
        }
    }
    CHECK(read > 300);
}

TEST_CASE("what has the keys shows it", "[pictures]") {
    SheetState state;
    Driver driver([&](Ui& ui) { components_sheet(ui, state); });
    const Image before = driver.picture();
    for (int i = 0; i < 4; ++i) {
        driver.press(Key::tab);
    }
    CHECK(driver.focused() == "components/keys");
    const Image ring = driver.picture();
    const Rect r = driver.widget("components/keys").rect;
    const Colour copper = Driver::look_book().slate[Role::copper];
    CHECK(ring.at(static_cast<int>(r.mid_x()), static_cast<int>(r.y0) - 5) == Pixel{copper.r, copper.g, copper.b});
    CHECK(pixels_that_differ(before, ring, 8) > 300);
    driver.click("components/water");
    driver.type("7");
    write_png(driver.picture(), std::filesystem::path(TONEBATH_PICTURES_DIR) / "components-typing.png");
    write_png(ring, std::filesystem::path(TONEBATH_PICTURES_DIR) / "components-keys.png");
    CHECK(state.water.text() == "4007");
}

TEST_CASE("an open list lies above the page", "[pictures]") {
    SheetState state;
    Driver driver([&](Ui& ui) { class_sheet(ui, state); });
    driver.click("metal list");
    write_png(driver.picture(), std::filesystem::path(TONEBATH_PICTURES_DIR) / "class-list.png");
    driver.click("Red brass");
    CHECK(state.metal == "brass");
}

TEST_CASE("each sheet is drawn whole in each theme", "[pictures]") {
    const std::string theme = GENERATE("slate", "chalk", "contrast");
    for (const Sheet& sheet : sheets()) {
        SheetState state;
        Driver driver([&](Ui& ui) { sheet.draw(ui, state); }, {.theme = theme});
        INFO(sheet.name << " in " << theme);
        const Image image = driver.picture();
        CHECK(write_png(image, std::filesystem::path(TONEBATH_PICTURES_DIR) / (sheet.name + "-" + theme + ".png")));
        CHECK(share_drawn(image) > 0.02);
        CHECK(share_drawn(image) < 0.95);
        CHECK(findings_of(driver) == "");
    }
}

TEST_CASE("the components look as they were agreed", "[pictures]") {
    SheetState state;
    Driver driver([&](Ui& ui) { components_sheet(ui, state); });
    const Image seen = driver.picture();
    const std::filesystem::path folder = std::filesystem::path(TONEBATH_CASES_DIR) / "look";
    const auto agreed = read_png(folder / "components-slate.approved.png");
    const std::size_t differ = agreed ? pixels_that_differ(seen, *agreed, 24) : seen.pixels.size();
    const auto received = std::filesystem::path(TONEBATH_PICTURES_DIR) / "components-slate.received.png";
    INFO(differ << " pixels differ; look at " << received << " and copy it over the approved picture if it is right");
    const bool same = differ <= seen.pixels.size() / 2000;
    if (!same) {
        write_png(seen, received);
    }
    CHECK(same);
}

TEST_CASE("the sheets at scale 2 and in a narrow and a wide window", "[pictures][.long]") {
    const std::string name = GENERATE("2x", "narrow", "wide");
    const Screen screen = name == "2x"       ? Screen{.scale = 2}
                          : name == "narrow" ? Screen{.width = 1024, .height = 700}
                                             : Screen{.width = 1920, .height = 1080};
    for (const Sheet& sheet : sheets()) {
        SheetState state;
        Driver driver([&](Ui& ui) { sheet.draw(ui, state); }, screen);
        INFO(sheet.name << " " << name);
        const Image image = driver.picture();
        CHECK(write_png(image, std::filesystem::path(TONEBATH_PICTURES_DIR) / (sheet.name + "-" + name + ".png")));
        CHECK(share_drawn(image) > 0.01);
    }
}

}  // namespace tonebath::testing
