// The lint of pages finds what it is for.
#include "window/driver.hpp"
#include "window/widgets/buttons.hpp"

#include <catch2/catch.hpp>

namespace tonebath::testing {

using namespace tonebath::window;

namespace {

std::vector<std::string> whats(const std::vector<ProbeFinding>& findings) {
    std::vector<std::string> out;
    for (const ProbeFinding& finding : findings) {
        out.push_back(finding.path + ": " + finding.what);
    }
    return out;
}

}  // namespace

TEST_CASE("each fault of a page is found", "[probe]") {
    Driver driver([](Ui& ui) {
        button_plain(ui, "twice", {100, 100, 200, 150}, "One", Key::a);
        button_plain(ui, "twice", {300, 100, 400, 150}, "Two", Key::a);
        button_plain(ui, "small", {100, 200, 200, 223}, "Small");
        button_plain(ui, "gloves", {300, 200, 400, 247}, "Gloves", {}, {.bench = true});
        button_plain(ui, "silent", {100, 300, 200, 350}, "");
        button_plain(ui, "fine", {300, 300, 400, 350}, "Fine", Key::b);
        ui.paint().text(Type::body, ui.colour(Role::text), {1200, 500}, "words that run off the screen");
    });
    CHECK(whats(find_duplicate_ids(driver.probe())) == std::vector<std::string>{"twice: two widgets have this id"});
    CHECK(whats(find_missing_labels(driver.probe())) == std::vector<std::string>{"silent: has no label"});
    const auto small = find_small_targets(driver.probe(), 1);
    REQUIRE(small.size() == 2);
    CHECK(small[0].path == "small");
    CHECK(small[1].path == "gloves");
    CHECK(find_small_targets(driver.probe(), 3).size() > 2);
    const auto off = find_clipped_texts(driver.probe(), driver.ui().screen());
    REQUIRE(off.size() == 1);
    CHECK(off[0].what == "runs off the screen");
    CHECK(driver.findings().size() >= 5);
}

TEST_CASE("words are found in one text and across a line", "[probe]") {
    Driver driver([](Ui& ui) {
        ui.paint().text(Type::word, ui.colour(Role::ink), {100, 200}, "51.4");
        ui.paint().text(Type::lead, ui.colour(Role::text), {300, 200}, "°C");
        ui.paint().text(Type::lead, ui.colour(Role::text), {100, 300}, "below");
    });
    CHECK(driver.shows("51.4 °C"));
    CHECK_FALSE(driver.shows("°C below"));
    CHECK(driver.probe().screen_text() == "51.4 °C\nbelow\n");
}

TEST_CASE("a widget is found by its path, its end and its label", "[probe]") {
    Driver driver([](Ui& ui) {
        const auto page = ui.scope("baths");
        const auto part = ui.scope("reading");
        button_plain(ui, "take", {100, 100, 300, 150}, "Take it", Key::t);
    });
    for (const auto* name : {"baths/reading/take", "reading/take", "take", "Take it"}) {
        CHECK(driver.has(name));
    }
    CHECK_FALSE(driver.has("ake"));
    CHECK(driver.probe().dump() == "button baths/reading/take | Take it [T]\n");
}

}  // namespace tonebath::testing
