// The winter air plan against Newton's law and the temperature factor reckoned here by hand, and asked badly.
#include "app/learning_desk.hpp"

#include "app/course.hpp"
#include "app/winter.hpp"

#include <cmath>
#include <limits>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr double kGas = 8.314462618;  // J/(mol K), CODATA 2018

// A bowl whose cooling constant is typed, made up now at 60 °C in a room of 19 °C.
struct WinterDesk : LearningDesk {
    WinterDesk() {
        does("vessel.add", {{"number", "B1"}, {"kind", "glass bowl"}, {"volume", "400 ml"}, {"cooling", "0.035"}});
        does("bath.make-up", {{"number", "1"}, {"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}, {"room-temp", "19"}, {"vessel", "B1"}, {"agitation", "gentle"}});
    }
    app::WinterAsk ask(const std::string& word = "gold") {
        app::WinterAsk asked;
        asked.first = request("1", word);
        asked.room_c = 8.0;
        asked.every_s = 600.0;
        asked.session_s = 1200.0;
        return asked;
    }
    app::WinterPlan told(const app::WinterAsk& asked) {
        app::WinterPlan plan = app::winter_plan(studio(), *app::learn(studio()), asked);
        INFO((plan.refusal ? plan.refusal->code + " " + plan.refusal->text() : std::string()));
        REQUIRE_FALSE(plan.refusal);
        REQUIRE_FALSE(plan.dips.empty());
        return plan;
    }
    std::string refused_code(const app::WinterAsk& asked) {
        const app::WinterPlan plan = app::winter_plan(studio(), *app::learn(studio()), asked);
        REQUIRE(plan.refusal);
        CHECK_FALSE(plan.refusal->remedy.empty());
        return plan.refusal->code;
    }
};

// The integral of the rate from `from_s` over `seconds`, in steps of a fiftieth of a second, in a bath that was start_c at 0.
double dose(double start_c, double room_c, double k_per_min, const science::RateLaw& law, double from_s, double seconds) {
    const int steps = static_cast<int>(seconds * 50.0) + 1;
    const double step_s = seconds / steps;
    double sum = 0.0;
    for (int i = 0; i < steps; ++i) {
        const double t_s = from_s + (i + 0.5) * step_s;
        const double kelvin = room_c + (start_c - room_c) * std::exp(-k_per_min * t_s / 60.0) + 273.15;
        const double fresh = law.fade == science::FadeKind::first_order  ? std::exp(-law.fade_per_h * t_s / 3600.0)
                             : law.fade == science::FadeKind::zero_order ? std::max(0.0, 1.0 - law.fade_per_h * t_s / 3600.0)
                                                                         : 1.0;
        sum += fresh * std::exp(-1000.0 * law.ea_kj_per_mol / kGas * (1.0 / kelvin - 1.0 / 333.15)) * step_s;
    }
    return sum;
}

}  // namespace

TEST_CASE("a colder room: Newton's law by hand, and each drop hangs for the same dose") {
    WinterDesk desk;
    const app::WinterPlan plan = desk.told(desk.ask());
    CHECK_THAT(plan.k_per_min, WithinRel(0.035, 1e-3));
    REQUIRE(plan.dips.size() == 3);
    // 20 min at 0.035 a minute: e^-0.7 = 0.49659. 19 + 41 × 0.49659 = 39.36; 8 + 52 × 0.49659 = 33.82.
    CHECK_THAT(plan.dips[0].before_c, WithinAbs(60.0, 1e-6));
    CHECK_THAT(plan.dips[0].colder_c, WithinAbs(60.0, 1e-6));
    CHECK_THAT(plan.dips[2].before_c, WithinAbs(39.36, 0.02));
    CHECK_THAT(plan.dips[2].colder_c, WithinAbs(33.82, 0.02));
    // 0.035 × (60 - 8) = 1.82 °C a minute at first, where it was 0.035 × 41 = 1.435.
    CHECK_THAT(plan.colder.loss_c_per_min, WithinAbs(1.82, 0.002));
    CHECK_THAT(plan.before.loss_c_per_min, WithinAbs(1.435, 0.002));
    const science::RateLaw law = app::law_of(*app::learn(desk.studio()));
    const double wanted = dose(60.0, 8.0, plan.k_per_min, law, 0.0, *plan.dips[0].colder_s);
    for (const app::WinterDip& dip : plan.dips) {
        CHECK_THAT(dose(60.0, 19.0, plan.k_per_min, law, dip.at_s, dip.before_s.value()), WithinRel(wanted, 2e-3));
        CHECK_THAT(dose(60.0, 8.0, plan.k_per_min, law, dip.at_s, dip.colder_s.value()), WithinRel(wanted, 2e-3));
    }
    // At the last drop the heat alone makes it exp(Ea/R (1/306.97 - 1/312.51)) times slower, and a little more while it hangs.
    const double factor = std::exp(1000.0 * law.ea_kj_per_mol / kGas * (1.0 / (33.82 + 273.15) - 1.0 / (39.36 + 273.15)));
    const double slower = *plan.dips[2].colder_s / *plan.dips[2].before_s;
    CHECK(factor > 1.2);
    CHECK(slower > factor);
    CHECK(slower < 1.1 * factor);
}

TEST_CASE("a reheat is due where a piece would hang for exactly the longest, and so many pieces come before it") {
    WinterDesk desk;
    app::WinterAsk ask = desk.ask("black");
    ask.every_s = 120.0;
    ask.longest_s = 3.0 * desk.told(ask).before.first.out_s;
    const app::WinterPlan plan = desk.told(ask);
    REQUIRE(plan.before.reheat_s);
    REQUIRE(plan.colder.reheat_s);
    CHECK(*plan.colder.reheat_s < *plan.before.reheat_s);
    const science::RateLaw law = app::law_of(*app::learn(desk.studio()));
    const double wanted = dose(60.0, 8.0, plan.k_per_min, law, 0.0, *plan.dips[0].colder_s);
    CHECK_THAT(dose(60.0, 8.0, plan.k_per_min, law, *plan.colder.reheat_s, ask.longest_s), WithinRel(wanted, 3e-3));
    CHECK_THAT(dose(60.0, 19.0, plan.k_per_min, law, *plan.before.reheat_s, ask.longest_s), WithinRel(wanted, 3e-3));
    CHECK(plan.colder.pieces == static_cast<std::size_t>(std::ceil(*plan.colder.reheat_s / 120.0)));
    for (const app::WinterDip& dip : plan.dips) {
        CHECK((*dip.colder_s > ask.longest_s) == (dip.at_s >= *plan.colder.reheat_s));
    }
    // A bath too slow from the start is reheated at once.
    ask.longest_s = 4.0;
    CHECK(desk.told(ask).colder.reheat_s == 0.0);
    CHECK(desk.told(ask).colder.pieces == 0U);
    CHECK_THAT(all_of(desk.told(ask).words), Contains("at once"));
}

TEST_CASE("air comes first; a vessel that holds its heat, a lid, fewer pieces, each with its figure") {
    WinterDesk desk;
    const app::WinterPlan plan = desk.told(desk.ask());
    REQUIRE(plan.order.size() == 4);
    CHECK(plan.order[0].what == "Air first");
    CHECK_THAT(plan.order[0].words, Contains("never less air"));
    CHECK_THAT(plan.order[1].words, Contains("In W1 (bowl in a water bath)"));
    // A lid: 0.012 / 0.025 of the constant, 8 + 52 e^(-0.0168 × 20) = 45.2 °C at the last drop.
    const science::RateLaw law = app::law_of(*app::learn(desk.studio()));
    const double wanted = dose(60.0, 8.0, plan.k_per_min, law, 0.0, *plan.dips[0].colder_s);
    // W1 keeps its heat, and the last piece hangs longer for the fade alone.
    CHECK_THAT(dose(60.0, 8.0, 0.00001, law, 1200.0, plan.order[1].last_s.value()), WithinRel(wanted, 3e-3));
    CHECK_FALSE(plan.order[1].reheat_s);
    CHECK_THAT(dose(60.0, 8.0, 0.0168, law, 1200.0, plan.order[2].last_s.value()), WithinRel(wanted, 3e-3));
    CHECK_THAT(plan.order[2].from, Contains("computed, not measured here"));
    CHECK(plan.order[3].what == "Fewer pieces to a heat");
    CHECK_THAT(all_of(plan.cautions), Contains("still air"));
}

TEST_CASE("the room last written down is taken where none is typed; a fresh bath stands in for the one in use") {
    WinterDesk desk;
    app::WinterAsk ask = desk.ask();
    ask.room_c.reset();
    app::WinterPlan plan = desk.told(ask);
    CHECK_THAT(plan.room_from, Contains("with bath 1"));
    CHECK(plan.colder.room_c == 19.0);
    CHECK_THAT(*plan.dips[2].colder_s, WithinRel(*plan.dips[2].before_s, 1e-3));
    desk.clock.advance(60.0);
    desk.does("coating.begin", {{"stones", "4"}, {"room-temp", "11"}, {"humidity", "40"}});
    plan = desk.told(ask);
    CHECK(plan.colder.room_c == 11.0);
    CHECK_THAT(plan.room_from, Contains("with coating 1"));

    // Half an hour on the bath has cooled and faded; a fresh one at 60 °C has not.
    desk.clock.advance(1800.0);
    ask.room_c = 8.0;
    const app::WinterPlan now = desk.told(ask);
    ask.fresh_c = 60.0;
    const app::WinterPlan fresh = desk.told(ask);
    CHECK(now.start_c < 40.0);
    CHECK_THAT(fresh.start_c, WithinAbs(60.0, 1e-6));
    CHECK_THAT(fresh.dips[2].colder_c, WithinAbs(33.82, 0.02));
    CHECK(fresh.colder.first.out_s < now.colder.first.out_s);
    CHECK_THAT(all_of(fresh.cautions), Contains("A fresh bath as fast as bath 1"));
}

TEST_CASE("asked badly, each with a remedy: no room, not a number, a room hotter than the bath, °F") {
    WinterDesk desk;
    const auto with = [&](auto change) {
        app::WinterAsk ask = desk.ask();
        change(ask);
        return desk.refused_code(ask);
    };
    constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
    for (const double bad : {kNan, -60.0, 70.0, std::numeric_limits<double>::infinity()}) {
        INFO(bad);
        CHECK(with([&](app::WinterAsk& ask) { ask.room_c = bad; }) == "winter.room");
    }
    for (const double bad : {kNan, 0.0, -5.0, 5.0, 1e9}) {
        CHECK(with([&](app::WinterAsk& ask) { ask.every_s = bad; }) == "winter.every");
    }
    CHECK(with([&](app::WinterAsk& ask) { ask.session_s = kNan; }) == "winter.session");
    CHECK(with([&](app::WinterAsk& ask) { ask.longest_s = 0.0; }) == "winter.longest");
    CHECK(with([&](app::WinterAsk& ask) { ask.fresh_c = 140.0; }) == "winter.fresh");
    CHECK(with([&](app::WinterAsk& ask) { ask.fresh_c = 30.0; ask.room_c = 31.0; }) == "winter.room_hotter");
    CHECK(with([&](app::WinterAsk& ask) { ask.first.tone_id = {"none"}; }) == "plan.no_such");

    CHECK_FALSE(*app::winter_room(desk.studio(), " "));
    CHECK_THAT(app::winter_room(desk.studio(), "46 F")->value(), WithinAbs(7.78, 0.01));
    CHECK(app::winter_room(desk.studio(), "46").error().code == "room.temp.looks_fahrenheit");
    CHECK(app::winter_room(desk.studio(), "46").error().answers.front() == "7.8 °C");
    CHECK(app::winter_room(desk.studio(), "-60 C").error().code == "room.temp.not_a_room");
    CHECK(app::winter_room(desk.studio(), "nan").error().code == "text.not_finite");
    CHECK(app::winter_room(desk.studio(), "8 C, window open").error().code.starts_with("text."));
}

TEST_CASE("a single plan in a room that turned cold is longer, says so, and is refused where no room is so") {
    WinterDesk desk;
    desk.clock.advance(60.0);
    const auto learned = app::learn(desk.studio());
    app::PlanRequest request = desk.request("1", "blue");
    request.drop_at = plus_seconds(desk.studio().now(), 1800.0);
    const app::Plan warm = desk.planned(*learned, request);
    request.room_c = 5.0;
    const app::Plan cold = desk.planned(*learned, request);
    CHECK(*cold.out_s > *warm.out_s);
    CHECK_THAT(all_of(cold.cautions), Contains("As if the room were at 5.0 °C from now on, where it was taken as 19.0 °C."));
    CHECK_THAT(all_of(warm.cautions), !Contains("As if the room"));
    request.room_c = 99.0;
    CHECK(app::plan(desk.studio(), *learned, request).refusal->code == "plan.not_a_room");
}
