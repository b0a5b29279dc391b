// Coating evenings planned and counted: by hand, on an empty log.
#include "app/coating.hpp"
#include "app/coats_plan.hpp"
#include "app/seal_shift.hpp"
#include "app/studio_desk.hpp"
#include "app/views/coats_view.hpp"

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

app::CoatsAnswer planned(Desk& desk, const app::CoatsAsked& asked) {
    const auto answer = app::coats_plan(desk.studio(), asked, app::coats_books(desk.studio()).evenings);
    INFO((answer ? std::string() : answer.error().text()));
    REQUIRE(answer);
    return *answer;
}
std::string refused(Desk& desk, const app::CoatsAsked& asked) {
    const auto answer = app::coats_plan(desk.studio(), asked, {});
    REQUIRE_FALSE(answer);
    CHECK_FALSE(answer.error().field.empty());
    CHECK_FALSE(answer.error().remedy.empty());
    return answer.error().code;
}

void begin(Desk& desk, Typed more = {}) {
    app::Form form = form_of("coating.begin", {{"stones", "36"}, {"who", "MK"}});
    for (const auto& [key, value] : more) {
        form.typed[key] = value;
    }
    desk.does(form);
}
// No dip is written down before it here.
app::Form work(Typed typed) { return form_of("after-work.add", typed, {"after_work.before_dip"}); }
app::CoatingState state(Desk& desk) {
    const auto open = app::open_coating(desk.studio());
    REQUIRE(open);
    return *open;
}

}  // namespace

TEST_CASE("36 stones of 25 s, three coats, ten minutes: loop 15 min, no idle, 45 min in all") {
    Desk desk;
    desk.does("bottle.add", {{"number", "LQ-1"}, {"recoat", "10 min"}, {"cure", "12 h"}, {"opened", "1 Mar 2026"}});
    const app::CoatsAnswer answer = planned(desk, {.stones = "36", .each = "25 s", .bottle = "LQ-1", .start = "31 Mar 2026 19:00"});
    CHECK(answer.plan.loop_s == 900.0);
    CHECK(answer.plan.idle_s == 0.0);
    CHECK(answer.plan.coats_s == 2700.0);
    CHECK(answer.loop_words == "36 in 15 min, so the loop is the wait");
    CHECK(time_text(answer.coats_end) == "19:45");
    CHECK(date_time_text(answer.bath_from) == "1 Apr 07:45");
    CHECK(answer.wait_words == "LQ-1's label");
    REQUIRE(answer.rounds.size() == 3);
    CHECK(time_text(answer.rounds[2]) == "19:30");
    CHECK_FALSE(answer.slower);

    // Worked back from the class: 12 h 45 min before ten.
    const app::CoatsAnswer late = planned(desk, {.stones = "36", .bottle = "LQ-1", .start = "31 Mar 2026 19:00", .by = "1 Apr 10:00"});
    REQUIRE(late.latest_start);
    CHECK(date_time_text(*late.latest_start) == "31 Mar 21:15");
    CHECK(planned(desk, {.stones = "36", .bottle = "LQ-1", .start = "31 Mar 2026 22:00", .by = "10:00"}).by_words == "For 1 Apr 10:00 it is too late by 45 min: they are cured 1 Apr 10:45.");
    // For a class: by when it begins.
    desk.does("class.add", {{"number", "C-1"}, {"at", "1 Apr 2026 10:00"}, {"limit", "6"}, {"seats", "6"}});
    CHECK(*planned(desk, {.stones = "36", .bottle = "LQ-1", .start = "31 Mar 2026 19:00", .by = "class C-1"}).latest_start == *late.latest_start);
    CHECK(refused(desk, {.stones = "36", .by = "class C-7"}).starts_with("class"));
    // Her own figures go before the label's.
    CHECK(planned(desk, {.stones = "6", .bottle = "LQ-1", .wait = "12 min"}).plan.idle_s == 720.0 - 150.0);
}

TEST_CASE("what cannot be is refused with the field, and a cure shorter than the wait is asked about") {
    Desk desk;
    CHECK(refused(desk, {}) == "coating.no_stones");
    CHECK(refused(desk, {.stones = "0"}) == "number.out_of_range");
    CHECK(refused(desk, {.stones = "2.5"}) == "text.not_whole");
    CHECK(refused(desk, {.stones = "9", .humidity = "0"}) == "coating.humidity");
    CHECK(refused(desk, {.stones = "9", .humidity = "100.5"}) == "coating.humidity");
    CHECK(refused(desk, {.stones = "9", .room = "70"}) == "room.temp.looks_fahrenheit");
    // 70 °F is 21.1 °C: beside 21 °C and 45 %, where the margin is 12.4 °C.
    CHECK_THAT(planned(desk, {.stones = "9", .room = "70 F", .humidity = "45"}).air->margin_c, WithinAbs(12.4, 0.1));
    CHECK(refused(desk, {.stones = "9", .wait = "10 min", .cure = "5 min"}) == "coating.cure_short");
    CHECK(app::coats_plan(desk.studio(), {.stones = "9", .wait = "10 min", .cure = "5 min"}, {}, true));
    CHECK(refused(desk, {.stones = "9", .start = "soon"}) == "text.not_a_moment");
}

TEST_CASE("a colder room stretches wait and cure by the computed factor, marked doubtful; damp air has none") {
    Desk desk;
    // By hand: exp(43900/8.314462 (1/283.15 - 1/293.15)) = 1.889, exp(35600/...) = 1.675.
    const app::CoatsAnswer cold = planned(desk, {.stones = "6", .room = "10", .humidity = "40"});
    REQUIRE(cold.slower);
    CHECK_THAT(*cold.slower, WithinAbs(1.889, 0.001));
    CHECK(cold.ask.wait_s == 19.0 * 60.0);
    CHECK(cold.ask.cure_s == 137.0 * 600.0);
    const std::string words = joined(cold.air_words, " ");
    CHECK_THAT(words, Contains("1.7 to 1.9 times") && Contains("doubtful") && Contains("sprayed lacquer"));
    CHECK_THAT(words, !Contains("Damp"));
    // What she types herself is not stretched.
    CHECK(planned(desk, {.stones = "6", .wait = "12 min", .room = "10"}).ask.wait_s == 720.0);
    desk.does("bottle.add", {{"number", "EP-1"}, {"kind", "two-part epoxy"}, {"recoat", "8 h"}, {"cure", "7 days"}});
    const app::CoatsAnswer epoxy = planned(desk, {.stones = "6", .bottle = "EP-1", .room = "10"});
    CHECK_FALSE(epoxy.slower);
    CHECK_THAT(joined(epoxy.air_words, " "), Contains("by reaction"));
    const app::CoatsAnswer damp = planned(desk, {.stones = "6", .room = "21", .humidity = "80"});
    CHECK(damp.damp);
    CHECK_FALSE(damp.slower);
    CHECK(damp.ask.wait_s == 600.0);
    CHECK_THAT(joined(damp.air_words, " "), Contains("by how much is not known"));
}

TEST_CASE("room air is told in her own unit") {
    Desk desk({.temperature = UnitChoice::Temperature::fahrenheit});
    // 70 °F and 45 %: as 21 °C and 45 %, 12.4 °C above the dew point, which is 22.3 °F.
    const std::string words = joined(planned(desk, {.stones = "6", .room = "70", .humidity = "45"}).air_words, " ");
    CHECK_THAT(words, Contains("°F below the room") && Contains("At least 20.0 °F above the dew point: met") && !Contains("°C"));
    CHECK_THAT(joined(planned(desk, {.stones = "6", .room = "50"}).air_words, " "), Contains("Colder than 68.0 °F"));
}

TEST_CASE("film from wet film and solids, cover from the stone's size") {
    Desk desk;
    // Published check (manufacturer's dry film sheet): 161 µm wet x 0.62 = 100 µm dry.
    const app::CoatsAnswer film = planned(desk, {.stones = "6", .coats = "2", .wet_um = "161", .solids = "62", .stone = "14"});
    CHECK_THAT(*film.dry_um, WithinAbs(99.82, 1e-9));
    CHECK(film.film_words == "161 µm wet leave 99.8 µm dry a coat, 200 µm in 2 coats.");
    CHECK_THAT(film.cover_words, Contains("7 mm from point to edge") && Contains("most of its back"));
    CHECK_THAT(planned(desk, {.stones = "6", .stone = "6"}).cover_words, Contains("whole back"));
    CHECK_THAT(planned(desk, {.stones = "6", .stone = "18"}).cover_words, Contains("edge bare"));
    CHECK_THAT(planned(desk, {.stones = "6", .wet_um = "80"}).film_words, Contains("not written down"));
    CHECK_THAT(*planned(desk, {.stones = "6", .wet_um = "100", .solids = "20", .thinner = "1"}).dry_um, WithinAbs(10.0, 1e-9));
}

TEST_CASE("rows tell their own waits; a stone passed over is found and gets the coat it lacks") {
    Desk desk;
    desk.does("person.add", {{"initials", "MK"}, {"role", "maker"}});
    begin(desk, {{"wait", "12 min"}});
    for (int stone = 1; stone <= 21; ++stone) {
        desk.does(stone == 4 ? "coat.skip" : "coat.on");
        desk.clock.advance(25.0);
    }
    app::CoatingState now = state(desk);
    CHECK(now.next_place == 22);
    std::vector<app::CoatRow> rows = app::coat_rows(now, desk.studio().now());
    REQUIRE(rows.size() == 4);
    CHECK(rows[0].phase == app::RowPhase::waiting);
    CHECK(rows[0].head == "coat 2 in 3:15");  // 720 s - 21 x 25 s
    CHECK(rows[2].head == "under way");
    CHECK(rows[2].more == "3 of 9 have coat 1");
    CHECK(rows[2].current);
    CHECK(rows[3].head == "coat 1 may go on");
    const app::CoatNow words = app::coat_now(now, desk.studio().now(), {});
    CHECK(words.head == "Stone 22");
    CHECK(words.coat == "coat 1 of 3");
    CHECK(words.where == "row 3, fourth from the left");
    CHECK(words.missed == "passed over: 4");

    desk.does("coat.on", {{"place", "4"}});
    now = state(desk);
    CHECK(now.places[3].done == 1);
    CHECK(now.places[3].passed == 0);
    CHECK(now.next_place == 22);
    desk.clock.advance(1.0);
    // Taken back, it lacks its coat again, and is asked for first.
    desk.does("coat.back");
    CHECK(state(desk).next_place == 4);
    desk.does("coat.on");
    desk.clock.advance(1.0);
    desk.does("coating.note", {{"note", "a hair on 7"}});
    desk.does(form_of("coating.end", {{"note", "tired"}}, {"coating.unfinished"}));
    CHECK_THAT(desk.last<Coating>().note, Contains("a hair on 7") && Contains("tired"));
}

TEST_CASE("one press for a row counts the row, and the loop of the rows is its own wait") {
    Desk desk;
    desk.does("person.add", {{"initials", "MK"}, {"role", "maker"}});
    begin(desk, {{"by-row", "yes"}, {"wait", "10 min"}});
    desk.does("coat.on");
    desk.clock.advance(225.0);
    app::CoatingState now = state(desk);
    CHECK(now.next_place == 10);
    CHECK(app::coat_now(now, desk.studio().now(), {}).head == "Row 2");
    CHECK(app::coat_rows(now, desk.studio().now())[0].head == "coat 2 in 6:15");
    desk.does("coat.back");
    CHECK(state(desk).next_place == 1);
}

TEST_CASE("the evening read back: pace, waits and whether hands rested") {
    Desk desk;
    desk.does("person.add", {{"initials", "MK"}, {"role", "maker"}});
    desk.does("bottle.add", {{"number", "LQ-1"}, {"recoat", "10 min"}, {"opened", "1 Mar 2026"}});
    begin(desk, {{"stones", "4"}, {"coats", "2"}, {"bottle", "LQ-1"}, {"room-temp", "19"}, {"humidity", "40"}});
    for (int layer = 0; layer < 2; ++layer) {
        for (int stone = 0; stone < 4; ++stone) {
            desk.does("coat.on");
            desk.clock.advance(30.0);
        }
        desk.clock.advance(480.0);
    }
    desk.does("coating.end");
    const std::vector<app::EveningRecord> evenings = app::coats_books(desk.studio()).evenings;
    REQUIRE(evenings.size() == 1);
    CHECK_THAT(*evenings[0].pace_s, WithinAbs(30.0, 1e-9));
    CHECK_THAT(*evenings[0].wait_s, WithinAbs(600.0, 1e-9));
    CHECK_FALSE(evenings[0].loop_was_wait);
    CHECK(evenings[0].bottle == "LQ-1");
    CHECK(app::coats_books(desk.studio()).bottles[0].words == std::vector<std::string>{"No slower than your other bottles, as far as its evenings show."});
}

TEST_CASE("damp evenings of hers that went well, seen often enough, are told and no longer asked about") {
    Desk desk;
    desk.make_bath();
    desk.does("piece.add", {{"number", "A-1"}, {"metal", "sterling"}});
    const auto coat_in_damp = [&](int stones) {
        app::Form form = form_of("coating.begin", {{"coats", "1"}, {"who", "MK"}, {"room-temp", "20"}, {"humidity", "80"}, {"stone", "S-1"}}, {"coating.damp"});
        for (int stone = 2; stone <= stones; ++stone) {
            form.typed["stone"] += "\nS-" + std::to_string(stone);
        }
        desk.does(form);
        for (int stone = 1; stone <= stones; ++stone) {
            desk.does("coat.on");
            desk.clock.advance(25.0);
        }
        desk.does("coating.end");
    };
    for (int stone = 1; stone <= 10; ++stone) {
        desk.does("stone.add", {{"number", "S-" + std::to_string(stone)}, {"piece", "A-1"}, {"kind", "foil crystal"}, {"backing", "foil"}, {"set", "30 Mar 2026"}});
    }
    coat_in_damp(10);
    desk.clock.advance(60.0);
    desk.does("dip.enter", {{"bath", "1"}, {"piece", "A-1"}, {"dropped", "1 min ago"}, {"length", "20 s"}, {"rinse", "30 s"}});
    const auto again = form_of("coating.begin", {{"stones", "10"}, {"who", "MK"}, {"room-temp", "20.5"}, {"humidity", "79"}});
    desk.clock.advance(86400.0 * 40.0);
    // Nine seen are too few to tell anything.
    desk.does("stone.look", {{"stone", "S-1..S-9"}, {"seen", "unharmed"}});
    CHECK_THAT(desk.refused(again, "coating.damp").message, Contains("sprayed lacquer"));
    desk.does("stone.look", {{"stone", "S-10"}, {"seen", "unharmed"}});
    const app::Outcome begun = desk.does(again);
    CHECK_THAT(joined(begun.cautions, " "), Contains("evening 1") && Contains("10 of 10 unharmed") && Contains("your own record"));
    // Another kind of lacquer is another matter.
    desk.does(form_of("coating.end", {}, {"coating.unfinished"}));
    desk.does("bottle.add", {{"number", "EP-1"}, {"kind", "two-part epoxy"}});
    app::Form other = again;
    other.typed["bottle"] = "EP-1";
    CHECK_THAT(desk.refused(other, "coating.damp").message, Contains("sprayed lacquer"));
}

TEST_CASE("what a seal does is told by pairs, in colour and in tones, and the plan leaves it so much to the seal") {
    Desk desk;
    desk.does("piece.add", {{"number", "A-0"}, {"metal", "sterling"}});
    // By hand: -1, -2, -3, -2, -2: mean -2, sd sqrt(2/4) = 0.7071, t(4) = 2.7764, limits -2 -+ 0.878.
    const std::vector<double> shifts{-1.0, -2.0, -3.0, -2.0, -2.0};
    for (std::size_t i = 0; i < shifts.size(); ++i) {
        const std::string piece = "A-" + std::to_string(i + 1);
        desk.does("piece.add", {{"number", piece}, {"metal", "sterling"}});
        const double before = 40.0 + 5.0 * static_cast<double>(i);  // pieces differ far more than the seal does
        desk.does("judgement.add", {{"piece", piece}, {"tone", "gold"}, {"fraction", "0.4"}, {"l", std::to_string(before)}, {"a", "2"}, {"b", "20"}});
        desk.clock.advance(3600.0);
        desk.does(work({{"piece", piece}, {"step", "sealed"}, {"with", "wax"}}));
        desk.clock.advance(3600.0);
        desk.does("judgement.add", {{"piece", piece}, {"tone", "gold"}, {"fraction", "0.7"}, {"moment", "after sealing"}, {"l", std::to_string(before + shifts[i])}, {"a", "2"}, {"b", "21"}});
        desk.clock.advance(3600.0);
    }
    for (const auto& [number, l] : {std::pair{"B-1", "30"}, {"B-2", "55"}, {"B-3", "70"}}) {
        desk.does("piece.add", {{"number", number}, {"metal", "sterling"}});
        desk.does("judgement.add", {{"piece", number}, {"tone", "gold"}, {"l", l}, {"a", "2"}, {"b", "20"}});
    }
    std::vector<app::SealShift> seals = app::seal_shifts(desk.studio());
    REQUIRE(seals.size() == 1);
    REQUIRE(seals[0].l);
    CHECK(seals[0].pairs.size() == 5);
    CHECK_THAT(seals[0].l->mean, WithinAbs(-2.0, 1e-9));
    CHECK_THAT(seals[0].l->high, WithinAbs(-2.0 + 0.8780, 1e-4));
    CHECK_THAT(seals[0].b->mean, WithinAbs(1.0, 1e-9));
    CHECK_THAT(seals[0].steps->mean, WithinAbs(0.3, 1e-9));
    // Unpaired, the same pieces show nothing.
    REQUIRE(seals[0].unpaired_l);
    CHECK(seals[0].unpaired_l->low < 0.0);
    CHECK(seals[0].unpaired_l->high > 0.0);

    // What lies between, or is missing before, is no pair.
    desk.does("piece.add", {{"number", "A-9"}, {"metal", "sterling"}});
    desk.does("judgement.add", {{"piece", "A-9"}, {"tone", "gold"}, {"l", "50"}, {"a", "2"}, {"b", "20"}});
    desk.clock.advance(60.0);
    desk.does(work({{"piece", "A-9"}, {"step", "rubbed back"}}));
    desk.clock.advance(60.0);
    desk.does(work({{"piece", "A-9"}, {"step", "sealed"}, {"with", "wax"}}));
    desk.clock.advance(60.0);
    desk.does("judgement.add", {{"piece", "A-9"}, {"tone", "gold"}, {"moment", "after sealing"}, {"l", "70"}, {"a", "2"}, {"b", "20"}});
    seals = app::seal_shifts(desk.studio());
    CHECK(seals[0].pairs.size() == 5);
    CHECK(seals[0].no_before == 1);

    desk.does("target.add", {{"name", "Lid gold"}, {"scale", "sterling"}, {"tone", "gold"}, {"moment", "after sealing"}});
    desk.does("target.add", {{"name", "Lid bare"}, {"scale", "sterling"}, {"tone", "gold"}});
    const auto target = [&](const std::string& name) { return store::list<Target>(desk.log(), "WHERE name = ?1", {name}).front(); };
    const auto aim = app::seal_aim(desk.studio(), target("Lid gold"));
    REQUIRE(aim);
    CHECK(aim->sealer == "wax");
    CHECK_THAT(aim->earlier_steps, WithinAbs(0.3, 1e-9));
    CHECK_FALSE(app::seal_aim(desk.studio(), target("Lid bare")));
}
