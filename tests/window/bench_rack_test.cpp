// A rack at the bench: the key names the lane that it acts on, and every figure of every lane view can be read from afar.
#include "window/walk.hpp"

#include "app/learning.hpp"
#include "app/views/bench_view.hpp"
#include "science/colour_difference.hpp"

#include <algorithm>
#include <cmath>
#include <set>

using namespace tonebath;
using namespace tonebath::testing;
using namespace tonebath::window;

namespace {

constexpr double kFarContrast = 7.0;    // WCAG 2.2, success criterion 1.4.6 (enhanced)
constexpr float kFarDigits = 0.1F;      // of the window's height: capitals and digits that are read from two metres

// A weak bath at 40 °C in a room of 19 °C, so that dips are long and overlap; checked, the bench on the screen.
struct Rack : Walk {
    explicit Rack(Screen screen = {}) : Walk(false, std::move(screen)) {
        has("person.add", {{"initials", "MK"}});
        has("person.at-bench", {{"who", "MK"}});
        has("lot.add", {{"number", "LS-1"}, {"form", "lump"}, {"amount", "100 g"}, {"opened", "today"}});
        has("bath.make-up", {{"lot", "LS-1"}, {"amount", "0.4 g"}, {"water", "400 ml"}, {"start-temp", "40"}, {"room-temp", "19"}});
        test::answer_lists(window().studio(), {.action = "dip.drop", .typed = {{"bath", "1"}}});
        press(Key::d2);
    }
    void lay_out_strip() { has("strip.lay-out", {{"bath", "1"}, {"metal", "sterling"}, {"aim", "blue"}}); }
    void lay_out_pieces(int count, const std::string& every = "") {
        std::string names;
        for (int i = 1; i <= count; ++i) {
            names += (i == 1 ? "" : "\n") + ("L-" + std::to_string(i));
        }
        has("piece.add", {{"number", "L-1..L-" + std::to_string(count)}, {"metal", "sterling"}});
        std::map<std::string, std::string> laid{{"bath", "1"}, {"piece", names}, {"aim", "blue"}};
        if (!every.empty()) {
            laid["every"] = every;
        }
        has("bench.lay-out", laid);
    }
    void wait(double seconds) {
        clock().advance(seconds);
        settle();
    }
    // The bench in the seconds and lanes of its own view, read from the log; learned anew where something was written.
    app::BenchView view() {
        if (const std::int64_t now = window().studio().generation(); now != generation_) {
            learned_ = app::learn(window().studio());
            generation_ = now;
        }
        return app::bench_view(window().studio(), learned_);
    }
    std::string key_label() { return driver().has("bench/bench key") ? driver().widget("bench/bench key").label : std::string(); }

private:
    std::shared_ptr<const app::Learned> learned_;
    std::int64_t generation_ = -1;
};

double contrast(Colour a, Colour b) {
    const auto srgb = [](const Colour& c) { return science::Srgb{c.r / 255.0, c.g / 255.0, c.b / 255.0}; };
    return science::contrast_ratio(srgb(a), srgb(b));
}

// What is promised for two metres: the big figure is there, high enough and plain enough, and so are the tone words.
void check_far_reading(Rack& bench, const Screen& screen, const std::string& state) {
    INFO(screen.theme << " " << screen.width << "x" << screen.height << " at " << screen.scale << ", " << state << "\n" << bench.driver().probe().screen_text());
    std::size_t figures = 0;
    for (const ProbeText& text : bench.driver().probe().texts()) {
        if (text.type != Type::timer && text.type != Type::next && text.type != Type::word) {
            continue;
        }
        INFO(text.text << ": " << text.fg.hex() << " on " << text.bg.hex());
        const bool unit = text.text == "s";
        if (!unit) {
            CHECK(contrast(text.fg, text.bg) >= kFarContrast);
        }
        CHECK_FALSE(text.clipped);
        if (text.type != Type::word && !unit) {
            ++figures;
            const float cap_px = bench.driver().fonts()[text.type].cap_px;
            CHECK(cap_px >= kFarDigits * static_cast<float>(screen.height) * screen.scale);
        }
    }
    CHECK(figures >= 1);
    check_findings(bench, state);
    for (const ProbeWidget& widget : bench.driver().probe().widgets()) {
        if (widget.path == "bench/bench key" && widget.enabled) {
            CHECK(contrast(widget.fg, widget.bg) >= kFarContrast);
            CHECK(widget.rect.h() >= 48.0F * screen.scale);
        }
    }
}

}  // namespace

TEST_CASE("figures are read from two metres in every theme and every state of the bench") {
    const Screen screen = GENERATE(Screen{}, Screen{.theme = "chalk"}, Screen{.theme = "contrast"}, Screen{.width = 1024, .height = 700},
                                   Screen{.width = 1920, .height = 1080}, Screen{.scale = 2});
    Rack bench(screen);
    bench.lay_out_strip();
    bench.settle();
    check_far_reading(bench, screen, "waits");
    bench.press(Key::space);
    check_far_reading(bench, screen, "in the bath");
    const app::BenchView view = bench.view();
    REQUIRE(view.lanes[0].plan);
    const double out_s = *view.lanes[0].plan->out_s;
    if (view.lanes[0].plan->look_s) {
        bench.wait(*view.lanes[0].plan->look_s - *app::in_bath_s(view.lanes[0], bench.clock().now(), bench.clock().boot()) + 0.1);
        CHECK(bench.driver().shows("LOOK"));
        check_far_reading(bench, screen, "look");
    }
    const app::BenchView later = bench.view();
    bench.wait(out_s - *app::in_bath_s(later.lanes[0], bench.clock().now(), bench.clock().boot()) + 0.1);
    CHECK(bench.driver().shows("OUT"));
    check_far_reading(bench, screen, "out now");
    bench.wait(3.0);
    CHECK(bench.driver().shows("OUT"));  // until the key is pressed
    check_far_reading(bench, screen, "late");
    bench.press(Key::space);
    check_far_reading(bench, screen, "rinse");
    bench.wait(31.0);
    bench.press(Key::space);
    check_far_reading(bench, screen, "judging");
}

TEST_CASE("lanes keep their figures and their targets, up to 24 of them") {
    // 24 lanes of 48 px are wider than 1024 px: a narrow window has room for 20 in gloves.
    const auto [count, screen] = GENERATE(std::pair(2, Screen{}), std::pair(12, Screen{.width = 1024, .height = 700, .theme = "contrast"}),
                                          std::pair(24, Screen{}));
    Rack bench(screen);
    bench.lay_out_pieces(count, "15");
    bench.press(Key::space);
    bench.wait(15.0);
    const std::string state = std::to_string(count) + " lanes";
    check_far_reading(bench, screen, state);
    // Every lane can be seen and touched, in its place from left to right.
    float x = -1;
    for (int i = 1; i <= count; ++i) {
        INFO(state << ", lane " << i);
        const ProbeWidget& lane = bench.driver().widget("bench/lane " + std::to_string(i));
        CHECK(lane.rect.x0 > x);
        CHECK(lane.rect.x1 <= static_cast<float>(screen.width) + 0.5F);
        CHECK(lane.rect.h() >= 48.0F);
        x = lane.rect.x0;
    }
    CHECK(find_clipped_texts(bench.driver().probe(), {0, 0, static_cast<float>(screen.width), static_cast<float>(screen.height)}).empty());
}

TEST_CASE("the key names the lane that it acts on, whatever happens in a rack of three") {
    Rack bench;
    bench.lay_out_pieces(3, "12");
    bench.settle();
    std::set<std::string> dropped;
    std::set<std::string> lifted;
    for (int step = 0; step < 200 && lifted.size() < 3; ++step) {
        const app::BenchView before = bench.view();
        const auto lanes = app::lanes_at(before, bench.clock().now(), bench.clock().boot());
        const bool out_soon = std::any_of(lanes.begin(), lanes.end(), [](const Lane& lane) {
            return lane.state == LaneState::in_bath && lane.out_in_s && *lane.out_in_s <= 4.0;
        });
        const std::string said = bench.key_label();
        INFO("step " << step << ": " << said << "\n" << bench.driver().probe().screen_text());
        // A drop and an out within 4 s are never on one key.
        if (out_soon) {
            CHECK(said.rfind("Lift ", 0) == 0);
        }
        const bool drop_due = said.rfind("Drop ", 0) == 0 && (before.lanes.empty() || dropped.empty() || std::any_of(lanes.begin(), lanes.end(), [](const Lane& lane) {
            return lane.state == LaneState::waiting && lane.drop_in_s && *lane.drop_in_s <= 0.0;
        }));
        const bool out_due = said.rfind("Lift ", 0) == 0 && std::any_of(lanes.begin(), lanes.end(), [](const Lane& lane) {
            return lane.state == LaneState::in_bath && lane.out_in_s && *lane.out_in_s <= 0.0;
        });
        if (!drop_due && !out_due) {
            bench.wait(2.0);
            continue;
        }
        bench.driver().press(Key::space);
        bench.settle();
        const app::BenchView after = bench.view();
        std::string changed;
        for (std::size_t i = 0; i < after.lanes.size(); ++i) {
            if (after.lanes[i].state != before.lanes[i].state) {
                changed += after.lanes[i].tag;
            }
        }
        CHECK(said.find(changed + (drop_due ? " in" : " out")) != std::string::npos);
        CHECK_FALSE(changed.empty());
        (drop_due ? dropped : lifted).insert(changed);
        bench.wait(0.5);
    }
    CHECK(dropped.size() == 3);
    CHECK(lifted.size() == 3);
}

TEST_CASE("a number key puts another lane on the key, and the press goes there") {
    Rack bench;
    bench.lay_out_pieces(3);
    bench.settle();
    REQUIRE(bench.key_label() == "Drop L-1 in");
    bench.press(Key::space);
    CHECK(bench.key_label() == "Lift L-1 out");
    bench.press(Key::d3);
    CHECK(bench.key_label() == "Drop L-3 in");
    bench.press(Key::space);
    const app::BenchView view = bench.view();
    CHECK(view.lanes[0].state == LaneState::in_bath);
    CHECK(view.lanes[1].state == LaneState::waiting);
    CHECK(view.lanes[2].state == LaneState::in_bath);
}

