// Plans at the bench: readings mid-dip, split dips, parts, top-ups, thermometers, finishes without a dose.
#include "app/learning_desk.hpp"

#include "app/course.hpp"
#include "app/views/bench_view.hpp"

#include <cmath>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

TEST_CASE("A reading typed mid-dip changes the out-time at once") {
    LearningDesk desk;
    desk.does("vessel.add", {{"number", "V2"}, {"kind", "glass bowl"}, {"volume", "400 ml"}});
    desk.does("bath.make-up", {{"number", "1"}, {"lot", "LS-2"}, {"amount", "0.4 g"}, {"water", "400 ml"}, {"start-temp", "60"}, {"room-temp", "19"}, {"vessel", "V2"}});
    desk.check_bath();
    desk.does("strip.add", {{"number", "1"}, {"metal", "sterling"}});
    desk.does("bench.lay-out", {{"bath", "1"}, {"strip", "1"}, {"aim", "blue"}});
    const std::shared_ptr<const app::Learned> learned = app::learn(desk.studio());
    desk.clock.advance(120);
    desk.does("dip.drop", {{"bath", "1"}, {"strip", "1"}, {"lane", "1"}});
    desk.clock.advance(5);
    const auto out_s = [&] {
        const app::BenchView view = app::bench_view(desk.studio(), learned);
        REQUIRE(view.lanes.size() == 1);
        REQUIRE(view.lanes[0].state == LaneState::in_bath);
        REQUIRE(view.lanes[0].plan);
        INFO((view.lanes[0].plan->refusal ? view.lanes[0].plan->refusal->text() : std::string()));
        REQUIRE(view.lanes[0].plan->out_s);
        return *view.lanes[0].plan->out_s;
    };
    const double expected = out_s();
    // Colder than the cooling curve had it: the same fit gives a later out-time, at once and without a new fit.
    desk.does("bath.read", {{"bath", "1"}, {"temp", "54"}});
    const double colder = out_s();
    CHECK(colder > 1.05 * expected);
    desk.clock.advance(3);
    desk.does("bath.read", {{"bath", "1"}, {"temp", "62"}, {"reheated", "yes"}});
    CHECK(out_s() < colder);
}

TEST_CASE("Two dips of half the dose make one") {
    LearningDesk desk;
    desk.held_bath("1", "50");
    desk.strip("1", "1", 80, "blue");
    desk.strip("2", "1", 82, "blue");
    SECTION("in the bath that taught it") {}
    SECTION("in one that is faster than usual: the speed counts for what is done as for what is left") {
        // The same make-up and heat in another bath takes half the time.
        desk.ends("1");
        desk.held_bath("2", "50");
        for (const char* strip : {"3", "4", "5", "6"}) {
            desk.strip(strip, "2", 42, "blue");
        }
    }
    const std::string bath = desk.last<Bath>().number;
    const std::shared_ptr<const app::Learned> learned = app::learn(desk.studio());
    const app::Plan whole = desk.planned(*learned, desk.request(bath, "blue"));
    REQUIRE(whole.dose_s);
    // At one heat half the dose is half the time; the fade of a minute is far below a hundredth.
    app::PlanRequest half = desk.request(bath, "blue");
    half.dose_done_s = 0.5 * *whole.dose_s;
    CHECK_THAT(*desk.planned(*learned, half).out_s, WithinRel(0.5 * *whole.out_s, 0.01));

    // The same at the bench: dipped for half the time, the second dip is planned for the other half.
    desk.does("piece.add", {{"number", "L-1"}, {"metal", "sterling"}});
    desk.does("bench.lay-out", {{"bath", bath}, {"piece", "L-1"}, {"aim", "blue"}});
    desk.does("dip.drop", {{"bath", bath}, {"piece", "L-1"}, {"lane", "1"}});
    desk.clock.advance(0.5 * *whole.out_s);
    desk.does("dip.out");
    desk.clock.advance(1.0);
    desk.does("dip.rinsed", {{"piece", "L-1"}});
    desk.clock.advance(1.0);
    const Stamp second = desk.studio().now();
    desk.does("dip.drop", {{"bath", bath}, {"piece", "L-1"}, {"lane", "1"}});
    const app::BenchView view = app::bench_view(desk.studio(), learned);
    REQUIRE(view.lanes.size() == 1);
    CHECK(view.lanes[0].dip->dropped_at == second);
    CHECK_THAT(view.lanes[0].dose_before_s, WithinRel(0.5 * *whole.dose_s, 0.01));
    REQUIRE(view.lanes[0].plan);
    REQUIRE(view.lanes[0].plan->out_s);
    CHECK_THAT(*view.lanes[0].plan->out_s, WithinRel(0.5 * *whole.out_s, 0.01));
    // And when it has hung so long, it has had the whole dose.
    desk.clock.advance(0.5 * *whole.out_s);
    const auto dose = app::dose_at(view, view.lanes[0], desk.studio().now(), desk.clock.boot());
    REQUIRE(dose);
    CHECK_THAT(*dose, WithinRel(*whole.dose_s, 0.01));
}

TEST_CASE("A piece of two metals has two tones") {
    LearningDesk desk;
    desk.held_bath("1", "60");
    desk.does("piece.add", {{"number", "B-1"}});
    desk.does("part.add", {{"piece", "B-1"}, {"name", "lid"}, {"metal", "sterling"}});
    desk.does("part.add", {{"piece", "B-1"}, {"name", "cup"}, {"metal", "copper"}});
    desk.does("piece.assemble", {{"piece", "B-1"}});
    desk.clock.advance(60);
    desk.does("dip.drop", {{"bath", "1"}, {"piece", "B-1"}});
    desk.clock.advance(40);
    desk.does("dip.out");
    desk.does("judgement.add", {{"part", "B-1 lid"}, {"tone", "blue"}});
    desk.does("judgement.add", {{"part", "B-1 cup"}, {"tone", "light brown"}});
    desk.refused("judgement.add", {{"part", "B-1 cup"}, {"tone", "magenta"}}, "tone.not_on_scale");
    const std::shared_ptr<const app::Learned> learned = app::learn(desk.studio());
    const auto lids = app::learned_records(*learned, desk.scale("sterling"));
    const auto cups = app::learned_records(*learned, desk.scale("copper"));
    REQUIRE(lids.size() == 1);
    REQUIRE(cups.size() == 1);
    CHECK(lids[0].what == "B-1 lid");
    CHECK(lids[0].tone == 6);
    CHECK_THAT(lids[0].seconds, WithinAbs(40.0, 1e-6));
    CHECK(cups[0].what == "B-1 cup");
    CHECK(cups[0].tone == 1);
    // What is known of the lid says nothing of where copper's words begin: that plan stands on other words.
    const app::Plan lid = desk.planned(*learned, desk.request("1", "blue"));
    const app::Plan cup = desk.planned(*learned, desk.request("1", "dark brown", "copper"));
    CHECK(LearningDesk::spread(cup) > LearningDesk::spread(lid));
    CHECK_THAT(all_of(lid.rests_on), Contains("1 piece in this bath"));
}

TEST_CASE("What is added to a bath and what leaves it move its strength and its times") {
    LearningDesk desk;
    desk.held_bath("1", "60");
    desk.strip("1", "1", 40, "blue");
    const std::shared_ptr<const app::Learned> learned = app::learn(desk.studio());
    const auto comes = [&] { return *desk.planned(*learned, desk.request("1", "blue")).comes_s; };
    const double fresh = comes();
    desk.clock.advance(1);
    SECTION("as much again of the stock: near double, faster by 2 to the power of what strength does (0.8 ± 0.2)") {
        desk.does("bath.top-up", {{"bath", "1"}, {"amount", "2 g"}});
        desk.clock.advance(1);
        CHECK_THAT(fresh / comes(), WithinRel(std::pow(2.0, 0.8), 0.1));
    }
    SECTION("as much again of water: half as strong, slower") {
        desk.does("bath.top-up", {{"bath", "1"}, {"water", "400 ml"}});
        desk.clock.advance(1);
        CHECK_THAT(comes() / fresh, WithinRel(std::pow(2.0, 0.8), 0.1));
    }
    SECTION("a tenth boiled away: stronger, faster") {
        desk.does("bath.top-up", {{"bath", "1"}, {"volume-now", "360 ml"}});
        desk.clock.advance(1);
        CHECK_THAT(fresh / comes(), WithinRel(std::pow(400.0 / 360.0, 0.8), 0.05));
    }
}

TEST_CASE("A thermometer check corrects readings from when it counts, and changes none of them") {
    LearningDesk desk;
    desk.does("thermometer.add", {{"number", "T1"}, {"from", "1 Mar 2026"}});
    desk.does("bath.make-up", {{"number", "1"}, {"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}, {"room-temp", "19"}, {"vessel", "W1"}});
    desk.clock.advance(60);
    desk.does("bath.read", {{"bath", "1"}, {"temp", "60"}});
    desk.clock.advance(600);
    const auto read = [&] {
        const auto history = app::bath_history(desk.log(), desk.bath("1").id);
        REQUIRE(history);
        REQUIRE_FALSE(history->readings.empty());
        CHECK(history->readings.front().shown_c == 60.0);
        return history->readings.front().temp_c;
    };
    const double before = *desk.planned("1", "blue").comes_s;
    SECTION("from now on: earlier readings stand") {
        desk.does("thermometer.check", {{"thermometer", "T1"}, {"reads", "4.0"}, {"in", "ice water"}});
        CHECK_THAT(read(), WithinAbs(60.0, 1e-9));
        desk.clock.advance(60);
        desk.does("bath.read", {{"bath", "1"}, {"temp", "60"}});
        const auto history = app::bath_history(desk.log(), desk.bath("1").id);
        CHECK_THAT(history->readings.back().temp_c, WithinAbs(56.0, 0.05));
        CHECK(*desk.planned("1", "blue").comes_s > 1.1 * before);
    }
    SECTION("counted from an earlier day: the reading is corrected, the plan follows") {
        desk.does("thermometer.check", {{"thermometer", "T1"}, {"reads", "4.0"}, {"in", "ice water"}, {"applies-from", "30 Mar 2026"}});
        CHECK_THAT(read(), WithinAbs(56.0, 0.05));
        CHECK(*desk.planned("1", "blue").comes_s > 1.1 * before);
    }
}

TEST_CASE("A finish without a dose gets no time, and one whose temperature is not known gets none yet") {
    LearningDesk desk;
    desk.does("bath.other-finish", {{"number", "7"}, {"kind", "ammonia fuming with salt"}, {"measure", "6"}, {"measure-in", "hours"}});
    desk.does("bath.make-up", {{"number", "8"}, {"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}});
    const std::shared_ptr<const app::Learned> learned = app::learn(desk.studio());
    const auto why = [&](const std::string& bath, const std::string& tone) {
        const app::Plan plan = app::plan(desk.studio(), *learned, desk.request(bath, tone));
        CHECK_FALSE(plan.out_s);
        REQUIRE(plan.refusal);
        CHECK_FALSE(plan.refusal->message.empty());
        CHECK_FALSE(plan.refusal->remedy.empty());
        return plan.refusal->code;
    };
    CHECK(why("7", "blue") == "dose.not_of_kind");
    CHECK(why("8", "blue") == "plan.no_temperature");
    desk.does("bath.read", {{"bath", "8"}, {"temp", "60"}});
    CHECK(why("8", "bright") == "plan.bare");
    desk.planned("8", "blue");
}

TEST_CASE("A vessel that does not cool at all still has a temperature") {
    LearningDesk desk;
    desk.does("vessel.add", {{"number", "Z"}, {"cooling", "0"}});
    desk.does("bath.make-up", {{"number", "9"}, {"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}, {"vessel", "Z"}});
    const auto history = app::bath_history(desk.log(), desk.bath("9").id);
    REQUIRE(history);
    CHECK(history->temp_known);
    CHECK_THAT(history->course.temp.temp_c(3600.0), WithinAbs(60.0, 0.1));
    desk.planned("9", "blue");
}
