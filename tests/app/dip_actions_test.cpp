#include "app/studio_desk.hpp"

#include "app/facts.hpp"

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

// A bath behind its check, three strips and four pieces.
struct Bench : Desk {
    Bench() {
        make_bath();
        check_bath();
        does("strip.add", {{"number", "1..3"}, {"metal", "sterling"}, {"surface", "bright"}});
        does("piece.add", {{"number", "L-131..L-134"}, {"metal", "sterling"}, {"design", "Limpet"}});
    }
};

}  // namespace

TEST_CASE("A dip is timed by the clock that runs through sleep") {
    Bench desk;
    desk.does("dip.drop",
              {{"bath", "1"}, {"strip", "1"}, {"planned-low", "38"}, {"planned", "42"}, {"planned-high", "0:47"}});
    CHECK(desk.all<Press>().size() == 1);
    desk.clock.advance(43.25);
    // The wall clock is set back an hour meanwhile: the boot clock does not notice.
    desk.clock.set_wall(plus_seconds(desk.clock.now(), -3600.0));
    desk.does("dip.out", {{"watched", "yes"}});
    const Dip dip = desk.last<Dip>();
    CHECK_THAT(dip.in_bath->seconds(), WithinAbs(43.25, 1e-9));
    CHECK_FALSE(dip.clock_gap);
    CHECK(dip.watched);
    CHECK(*dip.planned_s == 42.0);
    CHECK(*dip.planned_high_s == 47.0);
    const std::vector<Press> presses = desk.all<Press>();
    REQUIRE(presses.size() == 2);
    CHECK(presses[0].boot_ms + 43250 == presses[1].boot_ms + (presses[0].act == "drop" ? 0 : 86500));
}

TEST_CASE("After a restart the wall clock decides, and the gap is marked") {
    Bench desk;
    desk.does("dip.drop", {{"bath", "1"}, {"strip", "1"}});
    desk.clock.restart(95.0);
    const app::Outcome outcome = desk.does("dip.out");
    const Dip dip = desk.last<Dip>();
    CHECK_THAT(dip.in_bath->seconds(), WithinAbs(95.0, 1e-6));
    CHECK(dip.clock_gap);
    CHECK_THAT(outcome.cautions.front(), Contains("restarted"));
}

TEST_CASE("What cannot be is refused at the bench") {
    Bench desk;
    desk.does("dip.drop", {{"bath", "1"}, {"piece", "L-131"}, {"lane", "1"}});
    CHECK_THAT(desk.refused("dip.drop", {{"bath", "1"}, {"piece", "l-131"}}, "dip.already_in").text(),
               Contains("Piece L-131") && Contains("bath 1"));
    desk.refused("dip.drop", {{"bath", "1"}, {"part", "L-131 whole"}}, "dip.already_in");
    desk.refused("dip.drop", {{"bath", "1"}, {"piece", "L-132"}, {"lane", "1"}}, "dip.lane_taken");
    desk.refused("dip.drop", {{"bath", "1"}}, "subject.missing");
    desk.refused("dip.drop", {{"bath", "1"}, {"piece", "L-999"}}, "piece.unknown");
    desk.refused("dip.drop", {{"bath", "1"}, {"piece", "L-132"}, {"planned", "40"}, {"planned-low", "50"}},
                 "dip.plan_order");
    desk.refused("dip.out", {{"piece", "L-133"}}, "dip.not_in");
    desk.refused("bath.end", {{"bath", "1"}}, "bath.still_in");
    desk.does("dip.drop", {{"bath", "1"}, {"piece", "L-132"}, {"lane", "2"}});
    CHECK(desk.refused("dip.out", {}, "dip.which").answers.size() == 2);
    desk.does("dip.out", {{"lane", "2"}});
    desk.does("dip.out");
    desk.refused("dip.out", {}, "dip.none");
    desk.does("bath.end", {{"bath", "1"}});
    desk.refused("dip.drop", {{"bath", "1"}, {"piece", "L-133"}}, "dip.bath_ended");
}

TEST_CASE("The rinse runs from the lift to its press") {
    Bench desk;
    desk.does("dip.drop", {{"bath", "1"}, {"piece", "L-131"}});
    desk.clock.advance(40);
    desk.does("dip.out");
    desk.clock.advance(31);
    desk.does("dip.rinsed");
    CHECK(desk.last<Rinse>().length->seconds() == 31.0);
    desk.refused("dip.rinsed", {}, "dip.none");

    desk.does("dip.drop", {{"bath", "1"}, {"piece", "L-132"}});
    desk.clock.advance(40);
    desk.does("dip.out");
    desk.clock.advance(20 * 60);
    CHECK_THAT(desk.refused("dip.rinsed", {}, "rinse.too_long").text(), Contains("20:00"));
    const app::Outcome again = desk.does("dip.drop", {{"bath", "1"}, {"piece", "L-132"}});
    CHECK_THAT(again.cautions.front(), Contains("No rinse of L-132"));
}

TEST_CASE("A wrong press is taken back or given to the right piece, and stays on record") {
    Bench desk;
    desk.does("dip.drop", {{"bath", "1"}, {"piece", "L-131"}, {"lane", "1"}});
    SECTION("a drop taken back") {
        desk.does("dip.undo-press");
        CHECK(desk.all<Dip>().empty());
        REQUIRE(desk.all<Press>().size() == 1);
        CHECK(desk.last<Press>().undone);
        desk.refused("dip.undo-press", {}, "press.none");
    }
    SECTION("an out taken back: the dip runs on by its own clock") {
        desk.clock.advance(30);
        desk.does("dip.out");
        desk.does("dip.undo-press");
        CHECK(app::running_dips(desk.studio()).size() == 1);
        desk.clock.advance(12);
        desk.does("dip.out");
        CHECK(desk.last<Dip>().in_bath->seconds() == 42.0);
    }
    SECTION("undo of the step does the same") {
        REQUIRE(desk.studio().undo());
        CHECK(desk.all<Dip>().empty());
        CHECK(desk.last<Press>().undone);
    }
    SECTION("a drop given to another piece keeps its time") {
        const Stamp dropped = *desk.last<Dip>().dropped_at;
        desk.clock.advance(5);
        desk.does("dip.move-press", {{"piece", "L-133"}});
        CHECK(*desk.last<Dip>().dropped_at == dropped);
        CHECK(app::subject_of(desk.studio(), desk.last<Dip>()).name == "L-133");
    }
    SECTION("an out given to another lane keeps its time") {
        desk.clock.advance(15);
        desk.does("dip.drop", {{"bath", "1"}, {"piece", "L-132"}, {"lane", "2"}});
        desk.clock.advance(30);
        desk.does("dip.out", {{"lane", "1"}});
        desk.clock.advance(7);
        desk.does("dip.move-press", {{"piece", "L-132"}});
        for (const Dip& dip : desk.all<Dip>()) {
            if (dip.lane == 2) {
                CHECK(dip.in_bath->seconds() == 30.0);
            } else {
                CHECK(app::is_running(dip));
            }
        }
    }
}

TEST_CASE("Past work is written down afterwards, marked, and asked about where it stands apart") {
    Bench desk;
    for (const char* piece : {"L-131", "L-132", "L-133"}) {
        desk.does("dip.drop", {{"bath", "1"}, {"piece", piece}});
        desk.clock.advance(40);
        desk.does("dip.out");
    }
    const app::Form late =
        form_of("dip.enter", {{"bath", "1"}, {"piece", "L-134"}, {"length", "300"}, {"rinse", "20"}}, {}, {"length"});
    const Refusal refusal = desk.refused(late, "dip.length_outlier");
    CHECK_THAT(refusal.text(), Contains("In the bath for 300") && Contains("40 s"));
    SECTION("kept: marked in the note and as from memory") {
        app::Form form = late;
        app::give_answer(form, refusal, "Keep it");
        desk.does(form);
        const Dip dip = desk.last<Dip>();
        CHECK(dip.past_work);
        CHECK(dip.from_memory == "in_bath_s");
        CHECK_THAT(dip.note, Contains("kept as typed: In the bath for 300"));
        CHECK(desk.last<Rinse>().length->seconds() == 20.0);
    }
    SECTION("left blank: the dip is there, its length is not known") {
        app::Form form = late;
        app::give_answer(form, refusal, "Blank");
        desk.does(form);
        CHECK_FALSE(desk.last<Dip>().in_bath);
        CHECK_FALSE(app::is_running(desk.last<Dip>()));
    }
    SECTION("times") {
        const auto bad = [&](Typed typed, const std::string& code) { return desk.refused("dip.enter", typed, code); };
        CHECK_THAT(
            bad({{"bath", "1"}, {"piece", "L-134"}, {"dropped", "09:01"}, {"out", "09:00:20"}}, "dip.out_before_in")
                .text(),
            Contains("before it went in"));
        bad({{"bath", "1"}, {"piece", "L-134"}, {"length", "-40"}}, "number.negative");
        bad({{"bath", "1"}, {"piece", "L-134"}, {"length", "3 days"}}, "dip.too_long");
        bad({{"bath", "1"}, {"piece", "L-134"}, {"length", "40"}, {"temp", "150"}}, "bath.temp.looks_fahrenheit");
        bad({{"bath", "1"}, {"piece", "L-134"}, {"length", "40"}, {"dropped", "30 Mar 2026 09:00"}},
            "dip.before_make_up");
        bad({{"bath", "1"}, {"piece", "L-134"}, {"length", "40"}, {"rinse", "1 h"}}, "rinse.too_long");
        desk.does("dip.enter", {{"bath", "1"}, {"piece", "L-134"}, {"dropped", "09:00:10"}, {"out", "09:01:05"}});
        CHECK(desk.last<Dip>().in_bath->seconds() == 55.0);
    }
    SECTION("1:20 and 80 are the same") {
        desk.does("dip.enter", {{"bath", "1"}, {"strip", "1"}, {"length", "1:20"}});
        desk.does("dip.enter", {{"bath", "1"}, {"strip", "2"}, {"length", "80"}});
        CHECK(desk.one_real("SELECT count(*) FROM dip WHERE in_bath_s = 80") == 2.0);
    }
}

TEST_CASE("A part dipped by itself after it was joined is asked about, from both sides") {
    Bench desk;
    desk.does("piece.add", {{"number", "B-1"}});
    desk.does("part.add", {{"piece", "B-1"}, {"name", "tabs"}, {"metal", "sterling"}, {"assembled", "20 Mar 2026"}});
    desk.does("part.add", {{"piece", "B-1"}, {"name", "base"}, {"metal", "red brass"}});
    desk.refused("dip.drop", {{"bath", "1"}, {"part", "B-1 tabs"}}, "dip.part_after_assembly");
    desk.does("dip.drop", {{"bath", "1"}, {"piece", "B-1"}, {"part", "base"}});
    desk.clock.advance(60);
    desk.does("dip.out");
    CHECK(app::subject_of(desk.studio(), desk.last<Dip>()).name == "B-1 base");
    desk.refused("piece.assemble", {{"piece", "B-1"}, {"at", "25 Mar 2026"}}, "part.joined_before_dip");
    desk.does("piece.assemble", {{"piece", "B-1"}});
}

TEST_CASE("Pickled and not rinsed never goes into a sulfide bath at the bench") {
    Bench desk;
    const app::Form pickled = form_of("preparation.add", {{"piece", "L-131"}, {"pickled", "yes"}, {"rinses", "0"}});
    desk.refused(pickled, "preparation.no_rinse");
    app::Form kept = pickled;
    kept.kept.insert("preparation.no_rinse");
    desk.does(kept);
    CHECK(desk.refused("dip.drop", {{"bath", "1"}, {"piece", "L-131"}}, "dip.acid_carried").answers.empty());
    desk.clock.advance(1);
    desk.does("preparation.add", {{"piece", "L-131"}, {"pickled", "yes"}});
    desk.refused("dip.drop", {{"bath", "1"}, {"piece", "L-131"}}, "dip.rinses_unknown");
    desk.clock.advance(1);
    desk.does("preparation.add", {{"piece", "L-131"}, {"pickled", "yes"}, {"rinses", "2"}});
    desk.does("dip.drop", {{"bath", "1"}, {"piece", "L-131"}});
}
