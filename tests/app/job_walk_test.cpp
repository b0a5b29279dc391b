// The whole of a day's work through forms alone, from an empty log: bath, readings, strips, a rack, judging, the
// repeat.
#include "app/studio_desk.hpp"

using namespace tonebath;
using namespace tonebath::test;

TEST_CASE("A maker's day, from an empty log to judged pieces and a bath disposed of") {
    Desk desk;
    desk.does("person.add", {{"initials", "MK"}, {"role", "maker"}});
    desk.does("person.add", {{"initials", "AP"}, {"role", "apprentice"}});
    desk.does("lot.add", {{"number", "LS-2"}, {"amount", "100 g"}, {"bought", "1 Mar 2026"}});
    desk.does("lot.open", {{"lot", "LS-2"}, {"at", "2 Mar 2026"}});
    desk.does("vessel.add", {{"number", "V1"}, {"kind", "glass bowl"}, {"volume", "400 ml"}});
    desk.does("thermometer.add", {{"number", "T1"}, {"from", "1 Mar 2026"}});
    desk.does("thermometer.check", {{"thermometer", "T1"}, {"reads", "0.2"}, {"in", "ice water"}});
    desk.does("target.add", {{"name", "Limpet lid blue"}, {"scale", "sterling"}, {"tone", "blue"}});
    desk.does("order.add", {{"number", "R-07"}, {"target", "Limpet lid blue"}});
    desk.does("batch.add", {{"number", "31"}, {"design", "Limpet"}, {"order", "R-07"}, {"target", "Limpet lid blue"}});
    desk.does("piece.add", {{"number", "L-131..L-138"}, {"batch", "31"}, {"rack", "1"}, {"metal", "sterling"}});
    desk.does("bath.make-up", {{"number", "46"},
                               {"lot", "LS-2"},
                               {"amount", "2 g"},
                               {"water", "400 ml"},
                               {"start-temp", "60.0"},
                               {"room-temp", "19"},
                               {"vessel", "V1"}});
    for (const char* temp : {"55.6", "51.7", "48.3"}) {
        desk.clock.advance(240);
        desk.does("bath.read", {{"bath", "46"}, {"temp", temp}});
    }
    desk.does("preparation.add", {{"batch", "31"}, {"degreased", "yes"}, {"water-sheeted", "yes"}});
    desk.does("strip.add", {{"number", "1..2"}, {"metal", "sterling"}});
    desk.check_bath("46");
    for (const auto& [strip, seconds, tone] : {std::tuple{"1", 20.0, "amber"}, std::tuple{"2", 44.0, "blue"}}) {
        desk.does("dip.drop", {{"bath", "46"}, {"strip", strip}});
        desk.clock.advance(seconds);
        desk.does("dip.out", {{"watched", "yes"}});
        desk.clock.advance(20.0);
        desk.does("dip.rinsed");
        desk.does("judgement.add", {{"strip", strip}, {"tone", tone}});
    }
    // A rack of eight, one lane each, fifteen seconds apart.
    for (int i = 0; i < 8; ++i) {
        desk.does("dip.drop", {{"bath", "46"},
                               {"piece", "L-13" + std::to_string(i + 1)},
                               {"lane", std::to_string(i + 1)},
                               {"target", "Limpet lid blue"},
                               {"planned", "46"}});
        desk.clock.advance(5.0);
    }
    desk.clock.advance(6.0);
    for (int i = 0; i < 8; ++i) {
        desk.does("dip.out", {{"lane", std::to_string(i + 1)}});
        desk.clock.advance(5.0);
    }
    for (int i = 0; i < 8; ++i) {
        desk.does("dip.rinsed", {{"piece", "L-13" + std::to_string(i + 1)}});
    }
    for (int i = 0; i < 8; ++i) {
        desk.does("judgement.add", {{"piece", "L-13" + std::to_string(i + 1)}, {"tone", i == 7 ? "purple" : "blue"}});
    }
    desk.does("after-work.add", {{"batch", "31"}, {"step", "dried"}});
    desk.does("after-work.add", {{"batch", "31"}, {"step", "rubbed back"}, {"with", "felt pad"}});
    desk.does("after-work.add", {{"batch", "31"}, {"step", "sealed"}, {"with", "wax"}});
    desk.does("judgement.add", {{"piece", "L-131"}, {"tone", "gunmetal"}, {"moment", "after sealing"}});
    desk.does("order.add", {{"number", "R-12"}, {"repeat-of", "R-07"}});
    desk.does("bath.end", {{"bath", "46"}});
    desk.does("disposal.add",
              {{"bath", "46"}, {"volume", "400 ml"}, {"route", "collection"}, {"rule", "letter of 4 Nov 2025"}});

    const std::vector<Dip> dips = desk.all<Dip>();
    CHECK(dips.size() == 10);
    for (const Dip& dip : dips) {
        CHECK(dip.in_bath.has_value());
        CHECK_FALSE(dip.clock_gap);
        CHECK(dip.who.has_value());
        CHECK((dip.strip_id.has_value() || dip.in_bath->seconds() == 46.0));
    }
    CHECK(desk.all<Press>().size() == 30);
    CHECK(desk.all<Rinse>().size() == 10);
    CHECK(desk.all<Judgement>().size() == 11);
    CHECK(desk.log().faults().empty());
    // Every step can still be told: who wrote it, and what it was.
    CHECK(desk.one_real("SELECT count(*) FROM change WHERE step = ''") == 0.0);
}
