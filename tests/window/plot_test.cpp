#include "window/widgets/plot.hpp"
#include "window/driver.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <cmath>

namespace tonebath::testing {

using namespace tonebath::window;

namespace {

Axis axis(AxisKind kind, double low, double high, int most = 5) {
    Axis out;
    out.kind = kind;
    out.low = low;
    out.high = high;
    out.most_ticks = most;
    return out;
}

PlotView cooling() {
    PlotView view;
    view.id = "cooling";
    view.label = "temperature";
    view.x = axis(AxisKind::linear, 0, 60);
    view.x.name = "minutes";
    view.y = axis(AxisKind::linear, 20, 70);
    view.y.name = "temperature";
    view.y.unit = "°C";
    view.marks = {{"readings", {{10, 60}, {30, 50}}, false, {}}};
    return view;
}

}  // namespace

TEST_CASE("ticks are round, inside, even and few", "[plot]") {
    CHECK(rc::check([] {
        const double low = *rc::gen::inRange(-100000, 100000) / 37.0;
        const double span = std::pow(10.0, *rc::gen::inRange(-30, 40) / 10.0);
        const Axis a = axis(AxisKind::linear, low, low + span, *rc::gen::inRange(1, 12));
        const auto ticks = axis_ticks(a);
        RC_ASSERT(static_cast<int>(ticks.size()) <= a.most_ticks + 1);
        for (std::size_t i = 0; i < ticks.size(); ++i) {
            RC_ASSERT(ticks[i] >= low - span * 1e-6);
            RC_ASSERT(ticks[i] <= low + span * (1 + 1e-6));
            if (i > 0) {
                const double step = ticks[i] - ticks[i - 1];
                const double lead = step / std::pow(10.0, std::floor(std::log10(step) + 1e-6));
                RC_ASSERT(std::abs(lead - 1) < 1e-4 || std::abs(lead - 2) < 1e-4 || std::abs(lead - 5) < 1e-4);
            }
        }
    }));
    CHECK(axis_ticks(axis(AxisKind::linear, 3, 3)).empty());
    CHECK(axis_ticks(axis(AxisKind::linear, 0, std::nan(""))).empty());
    CHECK(axis_ticks(axis(AxisKind::linear, 0, 180, 4)) == std::vector<double>{0, 50, 100, 150});
}

TEST_CASE("a logarithmic axis goes by decades and takes no zero", "[plot]") {
    const auto ticks = axis_ticks(axis(AxisKind::log, 0.3, 100, 6));
    REQUIRE(ticks.size() == 6);
    CHECK_THAT(ticks.front(), Catch::WithinRel(0.3, 1e-9));
    CHECK_THAT(ticks[1], Catch::WithinRel(1.0, 1e-9));
    CHECK_THAT(ticks.back(), Catch::WithinRel(100.0, 1e-9));
    CHECK(axis_ticks(axis(AxisKind::log, 0, 100)).empty());
    const Axis a = axis(AxisKind::log, 0.1, 1000);
    CHECK_FALSE(axis_share(a, 0));
    CHECK_FALSE(axis_share(a, -3));
    CHECK_THAT(axis_share(a, 10).value(), Catch::WithinAbs(0.5, 1e-12));
    CHECK(tick_text(a, 0.001) == "0.001");
    CHECK(tick_text(a, 1000) == "1000");
    const Axis fitted = fitted_axis(a, {0, -2, 0.5, 40});
    CHECK(fitted.low > 0);
    CHECK(fitted.low < 0.5);
    CHECK(fitted.high > 40);
}

TEST_CASE("a time axis stops at whole minutes, quarters and hours", "[plot]") {
    const Axis morning = axis(AxisKind::time_of_day, 9.5, 12.5, 7);
    const auto ticks = axis_ticks(morning);
    REQUIRE(ticks.size() == 7);
    CHECK(tick_text(morning, ticks[0]) == "09:30");
    CHECK(tick_text(morning, ticks[1]) == "10:00");
    CHECK(tick_text(morning, 24.25) == "00:15");
    CHECK(tick_text(axis(AxisKind::linear, -10, 10), -5) == "−5");
}

TEST_CASE("share and value are each other's inverse", "[plot]") {
    CHECK(rc::check([] {
        const bool log = *rc::gen::arbitrary<bool>();
        const double low = *rc::gen::inRange(1, 1000) / 10.0;
        const Axis a = axis(log ? AxisKind::log : AxisKind::linear, low, low + *rc::gen::inRange(1, 5000) / 10.0);
        const double share = *rc::gen::inRange(-50, 150) / 100.0;
        RC_ASSERT(std::abs(axis_share(a, axis_value(a, share)).value() - share) < 1e-9);
    }));
}

SCENARIO("a plot is moved, read and put back", "[plot]") {
    PlotView view = cooling();
    PlotState state;
    Driver driver([&](Ui& ui) { plot(ui, Rect{100, 100, 900, 500}, view, state); });
    const Rect area = driver.widget("cooling").rect;
    CHECK(driver.shows("temperature"));
    CHECK(driver.shows("50 °C"));
    driver.wheel(area.mid(), 3);
    REQUIRE(state.moved);
    CHECK(state.high - state.low < 60 * 0.6);
    CHECK_THAT((state.high + state.low) / 2, Catch::WithinAbs(30, 1.0));
    const double before = state.low;
    driver.drag(area.mid(), area.mid() + Vec2{100, 0});
    CHECK(state.low < before);
    driver.press(Key::home);
    CHECK_FALSE(state.moved);
    // Under the pointer: the second reading, at half the width and three fifths of the height.
    driver.move_to({area.x0 + area.w() * 0.5F, area.y1 - area.h() * 0.6F});
    driver.frames(2);
    CHECK(driver.widget("cooling").value == "readings: 50 °C at 30");
    driver.move_to({5, 5});
    driver.press(Key::tab);
    CHECK(driver.widget("cooling").value == "readings: 60 °C at 10");
    driver.press(Key::right);
    driver.frames(1);
    CHECK(driver.widget("cooling").value == "readings: 50 °C at 30");
}

TEST_CASE("over a plot, Ctrl C copies its figures and Ctrl S asks for its picture; elsewhere neither", "[plot]") {
    const PlotView view = cooling();
    PlotState state;
    const Rect place{100, 100, 900, 500};
    Driver driver([&](Ui& ui) { plot(ui, place, view, state); });
    driver.move_to({5, 5});
    driver.press(Key::c, kCtrl);
    driver.press(Key::s, kCtrl);
    CHECK(driver.clipboard().empty());
    CHECK_FALSE(driver.ui().take_kept_picture());
    driver.move_to(place.mid());
    driver.press(Key::c, kCtrl);
    CHECK(driver.clipboard() == plot_csv(view));
    driver.press(Key::s, kCtrl);
    const auto kept = driver.ui().take_kept_picture();
    REQUIRE(kept);
    CHECK(kept->name == view.id);
    CHECK(kept->csv == plot_csv(view));
    CHECK(kept->rect.w() == place.w());
    CHECK_FALSE(driver.ui().take_kept_picture());
}

TEST_CASE("all that a plot shows goes out as text", "[plot]") {
    PlotView view = cooling();
    view.lines = {{"left alone", {{40, 46}, {60, 40.5}}, true, false, false, {}, std::nullopt}};
    view.bands = {{"range", {{40, 45}}, {{40, 47}}}};
    PlotLimit limit;
    limit.y = 60;
    limit.words = "hottest, by rule";
    view.limits = {limit};
    CHECK(plot_csv(view) ==
          "what,minutes,temperature (°C),upper end\n"
          "range,40,45,47\n"
          "left alone (expected),40,46,\n"
          "left alone (expected),60,40.5,\n"
          "readings,10,60,\n"
          "readings,30,50,\n"
          "\"limit: hottest, by rule\",,60,\n");
}

}  // namespace tonebath::testing
