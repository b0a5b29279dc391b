#include "app/studio_desk.hpp"

#include "app/log_care.hpp"
#include "store/change.hpp"

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

TEST_CASE("Unticked is not no") {
    Desk desk;
    desk.does("piece.add", {{"number", "L-1..L-3"}, {"metal", "sterling"}});
    desk.does("preparation.add",
              {{"piece", "L-1..L-3"}, {"surface", "bright"}, {"degreased", "yes"}, {"water-sheeted", "no"}});
    REQUIRE(desk.all<Preparation>().size() == 3);
    const Preparation done = desk.last<Preparation>();
    CHECK(done.degreased == Answer::yes);
    CHECK(done.water_sheeted == Answer::no);
    CHECK(done.pickled == Answer::unknown);
    CHECK_FALSE(done.rinses_after_pickle);
    desk.refused("preparation.add", {{"degreased", "yes"}}, "subject.missing");
    desk.refused("preparation.add", {{"piece", "L-1"}, {"degreased", "perhaps"}}, "choice.unknown");
    desk.refused("preparation.add", {{"piece", "L-1"}, {"rinses", "two"}}, "text.not_a_number");
}

TEST_CASE("The order of the work is asked about") {
    Desk desk;
    desk.make_bath();
    desk.does("batch.add", {{"number", "31"}});
    desk.does("piece.add", {{"number", "L-1..L-2"}, {"metal", "sterling"}, {"batch", "31"}});
    desk.refused("after-work.add", {{"piece", "L-1"}, {"step", "rubbed back"}}, "after_work.before_dip");
    desk.does("dip.enter", {{"bath", "1"}, {"piece", "L-1..L-2"}, {"length", "40"}, {"dropped", "09:00"}});
    desk.clock.advance(600);
    desk.refused("preparation.add", {{"piece", "L-1"}, {"degreased", "yes"}}, "preparation.after_dip");
    desk.does("preparation.add", {{"piece", "L-1"}, {"degreased", "yes"}, {"at", "08:50"}});
    desk.refused("after-work.add", {{"piece", "L-1"}, {"step", "stop bath"}}, "after_work.stop_before_rinse");
    desk.does("after-work.add", {{"piece", "L-1"}, {"step", "rinsed"}});
    desk.does("after-work.add", {{"piece", "L-1"}, {"step", "stop bath"}});
    desk.does("after-work.add", {{"batch", "31"}, {"step", "dried"}});
    desk.does("stone.add", {{"number", "S-1"}, {"backing", "foil"}, {"piece", "L-1"}, {"set", "1 Mar 2026"}});
    CHECK_THAT(
        desk.refused("after-work.add", {{"piece", "L-1"}, {"step", "tumbled"}}, "after_work.tumbles_foil").text(),
        Contains("stone S-1"));
    desk.refused("after-work.add", {{"batch", "31"}, {"step", "tumbled"}}, "after_work.tumbles_foil");
    desk.does("after-work.add", {{"piece", "L-2"}, {"step", "tumbled"}, {"length", "20 min"}});
    desk.refused("after-work.add", {{"piece", "L-2"}, {"step", "polished"}}, "choice.unknown");
    desk.does("after-work.add", {{"piece", "L-2"}, {"step", "sealed"}, {"with", "wax"}});
    CHECK(desk.last<AfterWork>().with == "wax");
}

TEST_CASE("A thermometer check corrects later readings only") {
    Desk desk;
    desk.does("thermometer.add", {{"number", "T1"}, {"from", "3 Feb 2026"}});
    const app::Outcome outcome = desk.does(
        "thermometer.check", {{"thermometer", "T1"}, {"reads", "4.0"}, {"in", "ice water"}, {"at", "1 Mar 2026"}});
    CHECK_THAT(outcome.said, Contains("4.0 °C high") && Contains("1 Mar"));
    const ThermometerCheck check = desk.last<ThermometerCheck>();
    CHECK(check.applies_from == check.at);
    CHECK(check.truth.celsius() == 0.0);  // ice water: 0 °C
    desk.refused("thermometer.check", {{"thermometer", "T1"}, {"reads", "99"}, {"in", "boiling water"}},
                 "thermometer.no_altitude");
    desk.does("thermometer.check",
              {{"thermometer", "T1"}, {"reads", "99"}, {"in", "boiling water"}, {"altitude", "1500"}});
    CHECK_THAT(desk.last<ThermometerCheck>().truth.celsius(), WithinAbs(95.0, 0.3));
    desk.refused("thermometer.check", {{"thermometer", "T1"}, {"reads", "40"}, {"in", "ice water"}},
                 "thermometer.far_off");
    desk.refused("thermometer.check", {{"thermometer", "T1"}, {"reads", "4"}, {"in", "soup"}}, "choice.unknown");
}

TEST_CASE("People by initials, and who is at the bench") {
    Desk desk;
    desk.does("person.add", {{"initials", "MK"}, {"role", "maker"}});
    CHECK(desk.studio().at_bench()->initials == "MK");
    desk.does("person.add", {{"initials", "AP"}, {"role", "student"}});
    CHECK(desk.studio().at_bench()->initials == "MK");
    desk.refused("person.add", {{"initials", "mk"}}, "number.taken");
    desk.clock.advance(60.0);
    desk.does("person.at-bench", {{"who", "AP"}});
    // Who took over from whom, and when, stands in the change log; saying it again adds nothing.
    const std::vector<store::ChangeEntry> taken_over = store::changes(desk.log(), 1);
    REQUIRE(taken_over.size() == 1);
    CHECK(taken_over.front().step == "at the bench: AP, after MK");
    CHECK(taken_over.front().who_id == desk.studio().at_bench()->id.text);
    CHECK(taken_over.front().at == desk.studio().now());
    desk.does("person.at-bench", {{"who", "AP"}});
    CHECK(store::changes(desk.log(), 1).front().seq == taken_over.front().seq);
    CHECK(app::log_changes(desk.studio(), 1, "").rows.size() == 1);
    // Undo passes it over and takes back the step before it.
    CHECK(desk.studio().undo_step() == "write down AP");
    CHECK(desk.studio().at_bench()->initials == "AP");
    desk.refused("bath.make-up", {}, "person.may_not_make_up");
    desk.does("bath.make-up", {{"who", "MK"}});
    desk.does("person.blank", {{"who", "AP"}});
    CHECK(desk.studio().at_bench()->initials == "person 1");
    desk.refused("person.at-bench", {{"who", "AP"}}, "person.unknown");
}
