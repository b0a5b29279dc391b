#include "app/studio_desk.hpp"

#include "app/checks.hpp"

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;

namespace {

std::size_t stops_of(Desk& desk, const std::string& bath) {
    for (const Bath& one : desk.all<Bath>()) {
        if (one.number == bath) {
            return app::check_state(desk.studio(), one).stops;
        }
    }
    return 0;
}

}  // namespace

TEST_CASE("No piece goes into a bath at the bench before its three stops") {
    Desk desk;
    desk.make_bath();
    desk.does("strip.add", {{"number", "1"}, {"metal", "sterling"}});
    CHECK(stops_of(desk, "1") == 3);
    const Refusal open = desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}}, "check.open");
    CHECK_THAT(open.text(), Contains("No acid") && Contains("Air is moving") && Contains("Goggles and gloves"));

    SECTION("two of three are not enough") {
        desk.does("check.confirm",
                  {{"bath", "1"}, {"item", "ses.air: fan on, tissue drifts\nses.eyes_hands: worn, nitrile"}});
        CHECK(app::check_state(desk.studio(), desk.last<Bath>()).open_stops == 1);
        const Refusal one = desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}}, "check.open");
        CHECK_THAT(one.text(), Contains("No acid") && !Contains("Goggles"));
    }
    SECTION("all three, by a named person") {
        desk.check_bath();
        const CheckRun run = desk.last<CheckRun>();
        CHECK(run.who.has_value());
        CHECK(run.done_at.has_value());
        CHECK(desk.all<CheckAnswer>().size() == 3);
        CHECK_THAT(desk.all<CheckAnswer>().front().item_text, Contains("No acid"));
        desk.does("dip.drop", {{"bath", "1"}, {"strip", "1"}});
        SECTION("not for another bath") {
            desk.does("bath.make-up", {{"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}});
            desk.does("strip.add", {{"number", "2"}, {"metal", "sterling"}});
            desk.refused("dip.drop", {{"bath", "2"}, {"strip", "2"}}, "check.open");
        }
        SECTION("for two hours, not longer; the piece that is in can always come out") {
            desk.does("strip.add", {{"number", "2"}, {"metal", "sterling"}});
            desk.clock.advance(2 * 3600 + 1);
            desk.refused("dip.drop", {{"bath", "1"}, {"strip", "2"}}, "check.open");
            desk.does("dip.out");
        }
        SECTION("not once it was withdrawn, and the record of it stays") {
            desk.does("check.withdraw", {{"check", "1/1"}, {"why", "the fan had stopped"}});
            desk.does("strip.add", {{"number", "2"}, {"metal", "sterling"}});
            desk.refused("dip.drop", {{"bath", "1"}, {"strip", "2"}}, "check.open");
            CHECK(desk.last<CheckRun>().withdrawn_by == "MK");
            CHECK(desk.all<CheckAnswer>().size() == 3);
            desk.refused("check.withdraw", {{"check", "1/1"}}, "check.withdrawn");
        }
    }
    SECTION("an answer must say how") {
        desk.refused("check.confirm", {{"bath", "1"}, {"item", "ses.air"}}, "check.no_response");
        desk.refused("check.confirm", {{"bath", "1"}, {"item", "ses.unknown: yes"}}, "check.no_item");
        desk.refused("check.confirm", {{"bath", "1"}}, "form.missing");
    }
    SECTION("past work needs none, and is marked") {
        desk.does("dip.enter", {{"bath", "1"}, {"strip", "1"}, {"length", "40"}});
        CHECK(desk.last<Dip>().past_work);
    }
}

TEST_CASE("Nobody is no name") {
    Desk desk;
    desk.does("bath.make-up");
    desk.refused("check.confirm", {{"bath", "1"}, {"item", "ses.air: fan on"}}, "check.no_name");
}

TEST_CASE("A stop stands on both sides of every pair that must never meet") {
    Desk desk;
    desk.does("bath.other-finish", {{"kind", "HCl-based blackener"}});
    const app::CheckState state = app::check_state(desk.studio(), desk.last<Bath>());
    REQUIRE(state.stops == 3);
    CHECK(state.items.front().item.key == "ses.sulfide_away");
    CHECK_THAT(state.ends_in, Contains("local rules") && Contains("licensed"));
}
