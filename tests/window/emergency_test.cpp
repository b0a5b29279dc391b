#include "window/driver.hpp"
#include "window/sheets.hpp"

#include <catch2/catch.hpp>

#include <filesystem>

namespace tonebath::testing {

using namespace tonebath::window;

namespace {

EmergencyView splash() {
    EmergencyView page;
    page.id = "splash";
    page.first = "Eye: running water now";
    page.first_note = "Lids held open, lenses out. Do not stop to read on.";
    page.second = "At least 15 minutes";
    page.second_note = "Then hospital, and take the safety sheet along.";
    page.counter_name = "page open for";
    page.counter = "0:42";
    page.counter_note = "rinse on past 15:00";
    page.rows = {
        {"Skin",
         {"Splashed clothes off. Running water, at least 15 minutes.", "Burn, pain or a large area: hospital."}},
        {"Swallowed", {"Rinse the mouth. No vomiting, no food, no vinegar.", "Call the poison line. Hospital."}}};
    page.cards = {{"Emergency", ""},
                  {"Poison line", "+44 20 7946 0018"},
                  {"You are at", "Unit 7, Old Slip, top floor, green door, by the crane"}};
    page.hints = {{"back", "Esc", "back, nothing is asked", Key::esc}, {"next", "F12", "gas, then fire", Key::f12}};
    return page;
}

}  // namespace

SCENARIO("an emergency page says all of it at every size, with and without a dip under way", "[emergency]") {
    const Screen screen = GENERATE(Screen{}, Screen{.width = 1024, .height = 700},
                                   Screen{.width = 1920, .height = 1080}, Screen{.scale = 2});
    const bool dip = GENERATE(false, true);
    EmergencyView page = splash();
    if (dip) {
        page.bench_key = BenchKeyView{.label = "Lift out L-131, into the rinse", .then = "then rinse 30 s"};
    }
    EmergencyResult last;
    int outs = 0;
    std::string used;
    Driver driver(
        [&](Ui& ui) {
            last = emergency_page(ui, Driver::look_book().contrast, page);
            outs += last.bench.pressed ? 1 : 0;
            used = last.used.empty() ? used : last.used;
        },
        screen);
    write_png(driver.picture(), std::filesystem::path(TONEBATH_PICTURES_DIR) /
                                    ("emergency-" + std::to_string(screen.width) + "x" +
                                     std::to_string(screen.scale).substr(0, 1) + (dip ? "-dip.png" : ".png")));
    for (const char* words : {"Eye: running water now", "Lids held open", "At least 15 minutes", "Then hospital",
                              "0:42", "rinse on past 15:00", "Skin", "Burn, pain", "Swallowed", "Call the poison line",
                              "not filled in", "+44 20 7946 0018", "crane"}) {
        INFO(words);
        CHECK(driver.shows(words));
    }
    const auto& texts = driver.probe().texts();
    for (std::size_t i = 0; i < texts.size(); ++i) {
        for (std::size_t j = i + 1; j < texts.size(); ++j) {
            INFO(texts[i].text << " over " << texts[j].text);
            CHECK(texts[i].rect.overlap(texts[j].rect).empty());
        }
    }
    CHECK(driver.findings().empty());
    driver.press(Key::space);
    CHECK(outs == (dip ? 1 : 0));
    driver.press(Key::esc);
    CHECK(used == "back");
    driver.press(Key::f12);
    CHECK(used == "next");
}

}  // namespace tonebath::testing
