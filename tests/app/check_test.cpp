#include "app/studio_desk.hpp"

#include "app/checks.hpp"
#include "app/views/checks_view.hpp"

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;

namespace {

// Nothing is answered here but by the test.
class ByHand : public Desk {
public:
    ByHand() { set_up(); }
    void bath() {
        does("bath.make-up", {{"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}, {"room-temp", "19"}});
        answers_lists = false;
        clock.advance(20.0 * 60.0);  // eyes, hands and eye flush are asked again
    }
    app::CheckState session() { return app::list_state(studio(), *studio().checklists().find("before_session"), app::about_bath(studio(), all<Bath>().back())); }
    void answer(const std::string& items, const std::string& list = "before_session") {
        does(form_of("check.confirm", {{"list", list}, {"bath", "1"}, {"item", items}}, {"check.quick"}));
    }
    void whole_session() {
        answer("acid_away: no pickle used\nair: tissue drifts away\nroom: one\neyes_hands: worn, nitrile\nknows: AP, calls out\neyewash: 6 s\ngo: done");
    }
    void strip(const std::string& number) { does("strip.add", {{"number", number}, {"metal", "sterling"}}); }
    void instrument(const std::string& kind) {
        REQUIRE(studio().write("meter", [&]() -> Result<app::Outcome> {
            Instrument meter;
            meter.made_at = studio().now();
            meter.id = studio().ids().next<Instrument>(meter.made_at);
            meter.name = kind;
            meter.kind = kind;
            store::insert(log(), meter);
            return app::Outcome{};
        }));
    }
};

}  // namespace

TEST_CASE("no piece goes into a bath at the bench before its list is answered") {
    ByHand desk;
    desk.bath();
    desk.strip("1");
    CHECK(desk.session().stops == 4);
    const Refusal open = desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}}, "check.open");
    CHECK_THAT(open.text(), Contains("4 of 4 stops open") && Contains("No acid") && Contains("check confirm --list before_session --bath 1"));

    SECTION("stops alone are not enough: a must is answered or passed over, and the last line closes the list") {
        desk.answer("acid_away: no pickle used\nair: tissue drifts away\nroom: one\neyes_hands: worn, nitrile");
        CHECK_THAT(desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}}, "check.open").text(), Contains("lines open") && Contains("Eye flush"));
        CHECK_THAT(desk.refused("check.confirm", {{"bath", "1"}, {"item", "ses.go: done"}}, "check.not_last").text(), Contains("ses.knows"));
        desk.answer("ses.knows: AP, calls out");
        desk.does("check.pass", {{"bath", "1"}, {"item", "ses.eyewash"}, {"who", "MK"}, {"reason", "tap under repair, bottle beside the bath"}});
        CHECK_THAT(desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}}, "check.open").text(), Contains("closes the list"));
        desk.answer("ses.go: done");
        desk.does("dip.drop", {{"bath", "1"}, {"strip", "1"}});
        const std::vector<CheckAnswer> passed = store::list<CheckAnswer>(desk.log(), "WHERE state = 'passed over'");
        REQUIRE(passed.size() == 1);
        CHECK_THAT(passed.front().reason, Contains("tap under repair"));
        CHECK(desk.one_text("SELECT count(*) FROM change_row WHERE record_id = '" + passed.front().id.text + "'") == "1");
    }
    SECTION("a stop cannot be passed over, by no name and no reason") {
        for (const char* stop : {"ses.acid_away", "ses.air", "ses.room", "ses.eyes_hands"}) {
            desk.refused("check.pass", {{"bath", "1"}, {"item", stop}, {"who", "MK"}, {"reason", "in a hurry"}}, "check.stop");
        }
        desk.refused("check.pass", {{"bath", "1"}, {"item", "ses.eyewash"}, {"who", "MK"}}, "form.missing");
        desk.refused("check.pass", {{"bath", "1"}, {"item", "ses.eyewash"}, {"reason", "in a hurry"}}, "form.missing");
        desk.refused("check.pass", {{"bath", "1"}, {"item", "ses.go"}, {"who", "MK"}, {"reason", "in a hurry"}}, "check.last_line");
        app::Form kept = form_of("dip.drop", {{"bath", "1"}, {"strip", "1"}}, {"check.open", "check.stop"});
        desk.refused(kept, "check.open");
    }
    SECTION("an answer must say how") {
        desk.refused("check.confirm", {{"bath", "1"}, {"item", "ses.air"}}, "check.no_response");
        desk.refused("check.confirm", {{"bath", "1"}, {"item", "ses.unknown: yes"}}, "check.no_item");
        desk.refused("check.confirm", {{"bath", "1"}, {"item", "unknown: yes"}}, "check.no_item");
        desk.refused("check.confirm", {{"bath", "1"}}, "form.missing");
        desk.refused("check.confirm", {{"item", "air: fan on"}}, "check.no_list");
        desk.refused("check.confirm", {{"list", "before_lunch"}, {"item", "air: fan on"}}, "check.no_list");
    }
    SECTION("past work needs none, and is marked") {
        desk.does("dip.enter", {{"bath", "1"}, {"strip", "1"}, {"length", "40"}});
        CHECK(desk.last<Dip>().past_work);
    }
    SECTION("it counts for this bath, this person and this session only") {
        desk.whole_session();
        const CheckRun use = desk.last<CheckRun>();
        CHECK(use.list_key == "before_session");
        CHECK(use.finish_kind == "liver_of_sulfur_lump");
        CHECK(use.done_at);
        desk.does("dip.drop", {{"bath", "1"}, {"strip", "1"}});
        SECTION("not for another bath") {
            desk.answers_lists = true;
            desk.does("bath.make-up", {{"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}});
            desk.answers_lists = false;
            desk.strip("2");
            desk.refused("dip.drop", {{"bath", "2"}, {"strip", "2"}}, "check.open");
        }
        SECTION("not for another person") {
            desk.does("person.add", {{"initials", "AP"}, {"role", "apprentice"}});
            desk.strip("2");
            desk.refused("dip.drop", {{"bath", "1"}, {"strip", "2"}, {"who", "AP"}}, "check.open");
        }
        SECTION("for two hours, not longer; the piece that is in can always come out") {
            desk.clock.advance(2 * 3600 + 1);
            desk.strip("2");
            CHECK_THAT(desk.refused("dip.drop", {{"bath", "1"}, {"strip", "2"}}, "check.open").text(), Contains("two hours"));
            desk.does("dip.out");
        }
        SECTION("not after a break of more than 15 minutes at the bath; a dip that hangs is no break") {
            desk.strip("2");
            desk.clock.advance(14 * 60);
            CHECK(desk.session().done);
            desk.clock.advance(10 * 60);
            CHECK(desk.session().done);  // strip 1 hangs in it
            desk.does("dip.out");
            desk.clock.advance(16 * 60);
            CHECK_THAT(desk.refused("dip.drop", {{"bath", "1"}, {"strip", "2"}}, "check.open").text(), Contains("a break of 16 minutes"));
            // A reading after the break heals nothing.
            desk.does("bath.read", {{"bath", "1"}, {"temp", "50"}});
            CHECK_FALSE(desk.session().done);
        }
        SECTION("not once it was withdrawn, and the record of it stays") {
            const std::size_t answers = desk.all<CheckAnswer>().size();
            desk.does("check.withdraw", {{"check", "1/1"}, {"why", "the fan had stopped"}});
            desk.strip("2");
            desk.refused("dip.drop", {{"bath", "1"}, {"strip", "2"}}, "check.open");
            CHECK(store::list<CheckRun>(desk.log(), "WHERE withdrawn_by = 'MK'").size() == 1);
            CHECK(desk.all<CheckAnswer>().size() == answers);
            desk.refused("check.withdraw", {{"check", "1/1"}}, "check.withdrawn");
        }
        SECTION("closed, it is commented on and never changed") {
            CHECK_THAT(desk.refused("check.confirm", {{"bath", "1"}, {"item", "ses.air: fan off"}}, "check.closed").remedy, Contains("Comment"));
            desk.refused("check.pass", {{"list", "before_session"}, {"bath", "1"}, {"item", "eyewash"}, {"who", "MK"}, {"reason", "tap"}}, "check.closed");
            const std::vector<CheckAnswer> before = desk.all<CheckAnswer>();
            desk.does("check.comment", {{"check", "1/1"}, {"words", "the tissue hung still at ten"}});
            desk.does("check.comment", {{"check", "1/1"}, {"words", "fan belt changed"}});
            CHECK_THAT(desk.all<CheckRun>().back().comment, Contains("MK: the tissue hung still at ten\n") && Contains("MK: fan belt changed"));
            CHECK(desk.all<CheckAnswer>().size() == before.size());
            REQUIRE(desk.studio().undo());
            CHECK_THAT(desk.all<CheckRun>().back().comment, Contains("hung still") && !Contains("belt"));
            CHECK(desk.all<CheckRun>().back().withdrawn_by.empty());
        }
    }
}

TEST_CASE("a list that was broken off for more than 15 minutes begins again") {
    ByHand desk;
    desk.bath();
    desk.answer("acid_away: no pickle used");
    desk.clock.advance(14 * 60);
    CHECK(desk.session().open_stops == 3);
    desk.answer("air: tissue drifts away");
    desk.clock.advance(16 * 60);
    CHECK(desk.session().open_stops == 4);
    CHECK_THAT(desk.session().lapsed, Contains("broken off"));
    desk.whole_session();
    CHECK(desk.session().done);
    CHECK(desk.all<CheckRun>().size() == 3);  // mixing, the one broken off, the new one
}

TEST_CASE("what was confirmed a few minutes before by the same person is shown with its time, never acid and air") {
    ByHand desk;
    const auto mark = [&](const char* key) {
        for (const app::ItemState& one : desk.session().items) {
            if (one.item.key == key) {
                return one.mark;
            }
        }
        return app::ItemMark::left;
    };
    desk.does("bath.make-up", {{"lot", "LS-2"}});
    desk.answers_lists = false;
    CHECK(mark("ses.eyes_hands") == app::ItemMark::held);
    CHECK(mark("ses.eyewash") == app::ItemMark::held);
    CHECK(mark("ses.acid_away") == app::ItemMark::open);
    CHECK(mark("ses.air") == app::ItemMark::open);
    SECTION("for 15 minutes") {
        desk.clock.advance(14 * 60);
        CHECK(mark("ses.eyes_hands") == app::ItemMark::held);
        desk.answer("acid_away: no pickle used");
        desk.clock.advance(5 * 60);
        CHECK(mark("ses.eyes_hands") == app::ItemMark::held);  // it was, when this list was begun
    }
    SECTION("not longer") {
        desk.clock.advance(16 * 60);
        CHECK(mark("ses.eyes_hands") == app::ItemMark::open);
    }
    SECTION("not when the mixing check was withdrawn") {
        desk.does("check.withdraw", {{"check", "before_mixing/1"}});
        CHECK(mark("ses.eyes_hands") == app::ItemMark::open);
    }
    SECTION("not for another person") {
        desk.does("person.add", {{"initials", "AP"}, {"role", "maker"}});
        desk.does("person.at-bench", {{"who", "AP"}});
        CHECK(mark("ses.eyes_hands") == app::ItemMark::open);
    }
}

TEST_CASE("lines answered faster than they can be read are asked about, once each") {
    ByHand desk;
    desk.bath();
    desk.does("check.confirm", {{"bath", "1"}, {"item", "acid_away: no pickle used"}});
    desk.clock.advance(0.5);
    const Refusal quick = desk.refused("check.confirm", {{"bath", "1"}, {"item", "ses.room: one"}}, "check.quick");
    CHECK(app::may_be_kept(quick));
    desk.does(form_of("check.confirm", {{"bath", "1"}, {"item", "ses.room: one"}}, {"check.quick"}));
    CHECK(desk.last<CheckAnswer>().quick);
    desk.clock.advance(10.0);
    desk.does("check.confirm", {{"bath", "1"}, {"item", "ses.air: tissue drifts away"}});
    CHECK_FALSE(desk.last<CheckAnswer>().quick);
}

TEST_CASE("what no instrument here can tell is advice, and the record says no meter") {
    ByHand desk;
    desk.bath();
    desk.whole_session();
    std::vector<CheckAnswer> meter = store::list<CheckAnswer>(desk.log(), "WHERE item_key = 'ses.meter'");
    REQUIRE(meter.size() == 1);
    CHECK(meter.front().state == AnswerState::no_meter);
    CHECK_THAT(meter.front().item_text, Contains("No meter here"));
    // On the register it is asked, with its figure.
    desk.clock.advance(3 * 3600);
    desk.instrument("gas_meter");
    desk.answer("acid_away: no pickle used\nair: tissue drifts away\nroom: one\neyes_hands: worn, nitrile\nknows: AP, calls out\neyewash: 6 s");
    CHECK(desk.session().open == 1);
    desk.clock.advance(30.0);
    desk.refused("check.confirm", {{"bath", "1"}, {"item", "ses.meter: on and clipped"}}, "check.no_number");
    desk.does("check.confirm", {{"bath", "1"}, {"item", "ses.meter: 0.4 ppm at the collar"}});
    CHECK(desk.last<CheckAnswer>().number == 0.4);
    CHECK(desk.last<CheckAnswer>().unit == "ppm");
}

TEST_CASE("during the session: after the first rinse, in no one's way while a piece hangs, and at once after an alarm") {
    ByHand desk;
    desk.bath();
    desk.whole_session();
    for (const char* number : {"1", "2", "3"}) {
        desk.strip(number);
    }
    desk.does("dip.drop", {{"bath", "1"}, {"strip", "1"}, {"lane", "1"}});
    desk.clock.advance(40.0);
    SECTION("the routine one") {
        desk.does("dip.drop", {{"bath", "1"}, {"strip", "2"}, {"lane", "2"}});  // before anything was rinsed
        desk.does("dip.out", {{"lane", "1"}});
        desk.does("dip.rinsed", {{"length", "20"}});
        desk.does("dip.drop", {{"bath", "1"}, {"strip", "3"}, {"lane", "1"}});  // strip 2 hangs: no list during other work
        desk.does("dip.out", {{"lane", "1"}});
        desk.does("dip.out", {{"lane", "2"}});
        const Refusal open = desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}}, "check.open");
        CHECK(open.field == "During the session");
        desk.answer("symptoms: all well\ntwo_rinses: 2\nno_boil: 56 °C\nbody: kept", "during");
        desk.does("dip.drop", {{"bath", "1"}, {"strip", "1"}});
        desk.does("dip.out");
        // Its last line ends the session: the next piece begins a new one.
        desk.answer("done: 10:30, 46 min", "during");
        CHECK_THAT(desk.refused("dip.drop", {{"bath", "1"}, {"strip", "2"}}, "check.open").text(), Contains("Before each bath session") && Contains("session was closed"));
    }
    SECTION("an alarm holds back the next drop, never the key that takes the piece out") {
        const app::Outcome told = desk.does("check.reopen", {{"bath", "1"}, {"what", "meter alarm"}});
        CHECK(told.made.at("emergency") == "gas");
        desk.refused("dip.drop", {{"bath", "1"}, {"strip", "2"}}, "check.open");
        desk.does("dip.out");
        desk.does("dip.rinsed", {{"length", "20"}});
        desk.whole_session();
        CHECK(desk.refused("dip.drop", {{"bath", "1"}, {"strip", "2"}}, "check.open").field == "During the session");
        desk.answer("symptoms: all well\ntwo_rinses: 2\nno_boil: 56\nbody: kept", "during");
        desk.does("dip.drop", {{"bath", "1"}, {"strip", "2"}});
    }
}

TEST_CASE("each make-up, coating and disposal stands behind its own list") {
    ByHand desk;
    desk.answers_lists = false;
    desk.clock.advance(60.0);
    desk.refused("bath.make-up", {{"lot", "LS-2"}}, "check.open");
    desk.does("bath.make-up", {{"lot", "LS-2"}, {"past", "yes"}});  // a gap on record, never held back
    CHECK(desk.last<Bath>().past_work);
    const std::string mixing = "acid_away: shelf\nair_on: fan 3\neyes_hands: nitrile\nright_product: LS-2, sheet of 2026\neyewash: 8:50\napron: worn\ndone: 9:00";
    desk.does(form_of("check.confirm", {{"list", "before_mixing"}, {"lot", "LS-2"}, {"item", mixing}}));
    desk.refused("bath.make-up", {{"kind", "selenium blackener"}}, "check.open");  // of another kind
    desk.does("bath.make-up", {{"lot", "LS-2"}});
    desk.clock.advance(1.0);
    CHECK_THAT(desk.refused("bath.make-up", {{"lot", "LS-2"}}, "check.open").text(), Contains("written down"));  // one list, one bath

    desk.refused("coating.begin", {{"stones", "9"}}, "check.open");
    desk.does("check.confirm", {{"list", "lacquer"}, {"item", "ignition: all off\nair: window\nno_oxidiser: none here\nppe: I\nsmall: 5 mL\npeople: shown\nwaste: can 1\ndone: 9:10"}});
    desk.does("coating.begin", {{"stones", "9"}});
    CHECK_THAT(desk.last<Coating>().check_said, Contains("lac.ignition: all off"));
    desk.does(form_of("coating.end", {}, {"coating.unfinished"}));

    desk.refused("disposal.add", {{"bath", "1"}, {"route", "collection"}}, "check.open");
    desk.does("disposal.add", {{"bath", "1"}, {"route", "collection"}, {"past", "yes"}});
    CHECK(desk.last<Disposal>().past_work);
    desk.does("check.confirm", {{"list", "after_disposal"}, {"bath", "1"},
                                {"item", "no_acid: shelf\nseparate: sulfide tub\nnot_drain: collection\nwaste_label: 0.4 L, today\nwash: washed\nair: 9:40\ndone: 9:41"}});
    desk.does("disposal.add", {{"bath", "1"}, {"route", "collection"}});
    CHECK_FALSE(desk.last<Disposal>().past_work);
    CHECK(store::list<CheckAnswer>(desk.log(), "WHERE item_key = 'aft.waste_label'").front().number == 0.4);
}

TEST_CASE("who may do what is held to, and a second person may stand by") {
    Desk desk;
    desk.make_bath();
    desk.does("strip.add", {{"number", "1"}, {"metal", "sterling"}});
    desk.does("person.add", {{"initials", "ST"}, {"role", "student"}});
    desk.does("person.add", {{"initials", "S2"}, {"role", "student"}});
    desk.does("person.at-bench", {{"who", "ST"}});
    desk.answers_lists = false;
    CHECK_THAT(desk.refused("bath.make-up", {{"lot", "LS-2"}}, "person.may_not_make_up").remedy, Contains("MK may"));
    desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}}, "person.may_not_dip_alone");
    desk.refused("coating.begin", {{"stones", "9"}}, "person.may_not_coat");
    desk.refused("disposal.add", {{"bath", "1"}, {"route", "collection"}}, "person.may_not_dispose");
    desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}, {"with", "S2"}}, "person.second_may_not");
    desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}, {"with", "ST"}}, "person.second_may_not");
    desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}, {"with", "MK"}}, "check.open");
    // For her the line about who knows is a stop, and is answered with the second person's name.
    const app::CheckState state = app::check_state(desk.studio(), desk.last<Bath>());
    CHECK(state.stops == 5);
    desk.refused("check.pass", {{"bath", "1"}, {"item", "ses.knows"}, {"who", "ST"}, {"reason", "busy"}}, "check.stop");
    // What MK passes over stands in MK's own list, not in that of ST.
    desk.does("check.pass", {{"bath", "1"}, {"item", "ses.knows"}, {"who", "MK"}, {"reason", "busy"}});
    CHECK(app::check_state(desk.studio(), desk.last<Bath>()).open == state.open);
    app::Form all = whole_answer(state, "bath", "1");
    all.typed["with"] = "MK";
    desk.does(all);
    desk.does("dip.drop", {{"bath", "1"}, {"strip", "1"}});
    CHECK(desk.last<CheckRun>().second.has_value());
}

TEST_CASE("nobody is no name") {
    Desk desk;
    desk.does("bath.make-up", {{"past", "yes"}});
    desk.refused("check.confirm", {{"bath", "1"}, {"item", "ses.air: fan on"}}, "check.no_name");
    desk.refused("bath.make-up", {}, "check.no_name");
}

TEST_CASE("a list with nothing but advice for a finish is not shown and holds nothing back") {
    Desk desk;
    desk.set_up();
    desk.answers_lists = false;
    for (const char* kind : {"wax", "water-based lacquer"}) {
        CHECK(app::states_at(desk.studio(), Gate::start_bath, app::about_kind(desk.studio(), find_kind(desk.studio().finish_kinds(), kind)->key)).empty());
    }
    CHECK(app::states_at(desk.studio(), Gate::start_bath, app::about_kind(desk.studio(), "acid_pickle")).front().items.front().item.key == "ses.sulfide_away");
}

TEST_CASE("the page is told which list is wanted, why, and each line's state") {
    ByHand desk;
    app::ChecksView view = app::checks_view(desk.studio());
    CHECK(view.key == "before_mixing");  // no bath is in use
    CHECK(view.counts == "0 of 6 answered");
    CHECK(view.items.front().current);
    CHECK_THAT(view.items.front().sources, Contains("1272/2008"));
    CHECK(view.items.front().consequence == "no bath can be made up until then");
    CHECK(view.signed_by == "MK");
    desk.bath();
    view = app::checks_view(desk.studio());
    CHECK(view.key == "before_session");
    CHECK(view.about == "bath 1, liver of sulfur, lump");
    CHECK(view.closing == "closes when the rest is answered");
    // Line by line with the view's own forms, each with the time it takes.
    for (int i = 0; i < 20 && !view.done; ++i) {
        for (const app::ChecksItem& item : view.items) {
            if (item.current) {
                desk.clock.advance(20.0);
                desk.does(item.key == "ses.eyewash" ? app::pass_form(view, item, "MK", "bottle beside the bath") : app::answer_form(view, item, item.offered));
                break;
            }
        }
        view = app::checks_view(desk.studio(), {.list = "before_session", .bath = "1", .kind = {}});
    }
    CHECK(view.done);
    CHECK(view.closed);
    CHECK_THAT(view.closing, Contains("closed at"));
    CHECK(view.items[2].answer == "who is in the room: number, and who supervises");
    CHECK_THAT(view.items[2].signed_by, Contains("MK "));
    CHECK(app::check_uses(desk.studio(), 1).front().answers.size() == 8);  // the meter's line is on record as well
}

TEST_CASE("a PIN is asked where one is set, kept as crypt makes it, and told to nobody") {
    Desk desk;
    desk.set_up();
    desk.does("person.add", {{"initials", "AP"}});
    desk.refused("person.pin", {{"who", "AP"}, {"pin", "12"}}, "person.pin_form");
    desk.does("person.pin", {{"who", "AP"}, {"pin", "4711"}});
    const std::string kept = desk.all<Person>().back().pin;
    CHECK(kept.starts_with("$y$"));
    CHECK_THAT(kept, !Contains("4711"));
    CHECK_THAT(desk.refused("person.at-bench", {{"who", "AP"}}, "person.pin_needed").text(), Contains("AP"));
    CHECK_THAT(desk.refused("person.at-bench", {{"who", "AP"}, {"pin", "0815"}}, "person.pin_wrong").text(), !Contains("0815"));
    desk.does("person.at-bench", {{"who", "AP"}, {"pin", "4711"}});
    CHECK(desk.studio().at_bench()->initials == "AP");
    desk.refused("person.pin", {{"who", "AP"}, {"pin", "1234"}}, "person.pin_wrong");
    desk.does("person.pin", {{"who", "AP"}, {"now", "4711"}});
    desk.does("person.at-bench", {{"who", "AP"}});
}
