// A class: seats, briefing, limit, supervisor; what holds its bath back; and people who are blanked.
#include "app/studio_desk.hpp"

#include "app/classes.hpp"
#include "app/learning.hpp"
#include "app/views/class_view.hpp"

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;

namespace {

// A maker, a bath that is checked, and a class of four seats with it.
void set_up_class(Desk& desk) {
    desk.make_bath();
    desk.does("room.add", {{"name", "net store"}, {"size", "46 m3"}, {"seats", "4"}});
    desk.does("person.add", {{"initials", "AP"}, {"role", "apprentice"}});
    desk.does("class.add", {{"title", "Groyne"}, {"at", "31 Mar 2026 09:30"}, {"room", "net store"}, {"supervisor", "MK"}, {"second", "AP"}, {"bath", "1"}, {"aim", "sterling: blue"}});
    desk.does("strip.add", {{"metal", "sterling"}});
}

}  // namespace

TEST_CASE("a class bath takes nothing while a seat in use has not confirmed the briefing") {
    Desk desk;
    set_up_class(desk);
    CHECK(desk.last<ClassSession>().number == "C-1");
    CHECK(desk.all<Seat>().size() == 4);
    CHECK(desk.last<Bath>().class_id == desk.last<ClassSession>().id);
    desk.check_bath();
    const Refusal refused = desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}}, "class.open");
    CHECK_THAT(refused.remedy, Contains("Seat 1 has not confirmed the briefing"));
    desk.refused("class.start", {}, "class.refused");
    desk.does("class.brief", {{"seat", "1..3"}});
    desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}}, "class.open");
    desk.does("class.seat", {{"seat", "4"}, {"use", "watching"}});
    desk.does("class.start");
    desk.does("dip.drop", {{"bath", "1"}, {"strip", "1"}});
    desk.refused("class.end", {}, "class.dip_running");
    desk.clock.advance(40.0);
    // A seat that sits down while a piece is in never keeps that piece from coming out.
    desk.does("class.seat", {{"seat", "4"}, {"use", "in use"}});
    desk.does("dip.out", {{"strip", "1"}});
    desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}}, "class.open");
    desk.does("class.brief", {{"seat", "3"}, {"take-back", "yes"}});
    CHECK(app::why_no_dip(desk.studio(), desk.last<ClassSession>()).size() == 2);
    desk.does("class.end");
    desk.refused("class.brief", {{"class", "C-1"}, {"seat", "4"}}, "class.ended");
    desk.refused("class.brief", {{"class", "C-9"}, {"seat", "4"}}, "class_session.unknown");
}

TEST_CASE("the check before a class bath is one of the reasons that the start names") {
    Desk desk;
    set_up_class(desk);
    desk.does("class.brief", {{"seat", "1..4"}});
    const auto reasons = app::why_no_start(desk.studio(), desk.last<ClassSession>());
    REQUIRE(reasons.size() == 1);
    CHECK(reasons.front().check);
    CHECK(reasons.front().key == "check 1");
    CHECK(app::why_no_dip(desk.studio(), desk.last<ClassSession>()).empty());
    desk.check_bath();
    desk.does("class.start");
    desk.refused("class.start", {}, "class.started");
}

TEST_CASE("only one who is cleared supervises") {
    Desk desk;
    desk.refused("class.add", {}, "class.no_limit");  // there is no room yet that has one
    set_up_class(desk);
    desk.refused("class.add", {{"supervisor", "AP"}, {"limit", "3"}}, "class.supervisor");
    desk.refused("class.add", {{"supervisor", "MK"}, {"second", "MK"}, {"limit", "3"}}, "class.same_person");
    desk.does("class.add", {{"number", "K-1"}, {"limit", "3"}, {"at", "31 Mar 2026 09:10"}});
    desk.does("class.brief", {{"class", "K-1"}, {"seat", "1..3"}});
    const Refusal nobody = desk.refused("class.start", {{"class", "K-1"}}, "class.refused");
    CHECK_THAT(nobody.remedy, Contains("Nobody supervises"));
    // Cleared when the class was written down, and no longer on its day.
    desk.does("record.correct", {{"noun", "person"}, {"number", "MK"}, {"field", "may supervise"}, {"value", "no"}});
    desk.does("class.brief", {{"class", "C-1"}, {"seat", "1..4"}});
    desk.check_bath();
    const Refusal refused = desk.refused("dip.drop", {{"bath", "1"}, {"strip", "1"}}, "class.open");
    CHECK_THAT(refused.remedy, Contains("MK is not cleared to supervise"));
}

TEST_CASE("a seat over the limit needs a name and a reason") {
    Desk desk;
    set_up_class(desk);
    desk.refused("class.seat", {{"seat", "5"}}, "class.over_limit");
    desk.refused("class.seat", {{"seat", "5"}, {"over-by", "MK"}}, "class.over_limit");
    desk.refused("class.add", {{"room", "net store"}, {"seats", "6"}}, "class.over_limit");
    desk.does("class.seat", {{"seat", "5"}, {"use", "empty"}});  // nobody sits there
    desk.refused("class.seat", {{"seat", "5"}, {"use", "watching"}}, "class.over_limit");
    desk.does("class.seat", {{"seat", "5"}, {"use", "in use"}, {"over-by", "MK"}, {"over-why", "a pair shares one bench"}});
    const app::ClassView view = app::class_view(desk.studio());
    CHECK(view.count.taken == 5);
    CHECK(view.seats[4].over);
    CHECK(view.seats[4].let_in);
    CHECK_THAT(view.over_words, Contains("seat 5 let in by MK, a pair shares one bench"));
    for (const app::ClassReason& reason : view.reasons) {
        CHECK_FALSE(reason.key == "over 5");
    }
    // Typed in afterwards it stays a gap, and nothing is asked of it.
    desk.does("class.add", {{"room", "net store"}, {"seats", "6"}, {"at", "28 Mar 2026 10:00"}, {"past", "yes"}});
    const app::ClassView past = app::class_view(desk.studio(), "C-2");
    CHECK_THAT(past.over_words, Contains("6 seats where 4 is the limit"));
    CHECK_THAT(past.over_words, Contains("no reason written down"));
    CHECK(past.reasons.empty());
    desk.refused("class.seat", {{"seat", "99"}}, "seat.number");
    desk.refused("class.brief", {{"seat", "9"}}, "seat.unknown");
}

TEST_CASE("the bath plan gives each seat in use its seconds, and none to those who watch") {
    Desk desk;
    set_up_class(desk);
    desk.does("class.seat", {{"seat", "2"}, {"use", "watching"}});
    desk.does("class.seat", {{"seat", "3"}, {"aim", "sterling: gold"}});
    const auto learned = app::learn(desk.studio());
    const app::ClassPlan plan = app::class_plan(desk.studio(), *learned);
    INFO(plan.why_none);
    CHECK(plan.own);
    REQUIRE(plan.lanes.size() == 3);
    double blue_s = 0.0;
    double gold_s = 0.0;
    for (const app::ClassLane& lane : plan.lanes) {
        CHECK(lane.seat != 2);
        CHECK(lane.in_bath_s > 0.0);
        (lane.seat == 3 ? gold_s : blue_s) = lane.in_bath_s;
        CHECK((lane.seat == 3 ? lane.tone == "gold" : lane.tone == "blue"));
    }
    CHECK(gold_s < blue_s);
    REQUIRE(plan.course.size() > 2);
    CHECK(plan.course.front().temp_c > plan.course.back().temp_c);  // it cools while they queue
    // 09:30 is still to come: the first drop is then.
    CHECK(time_text(plan.lanes.front().in_at) == "09:30");
    // Without an aim there are no seconds, and it says so.
    desk.does("class.add", {{"number", "K-2"}, {"limit", "3"}, {"at", "31 Mar 2026 10:00"}});
    CHECK_THAT(app::class_plan(desk.studio(), *learned, "K-2").why_none, Contains("No tone is aimed at"));
}

TEST_CASE("incidents go into the book of near misses, and hand-outs are given") {
    Desk desk;
    set_up_class(desk);
    desk.does("class.incident", {{"words", "a rinse bowl tipped over, wiped up"}, {"bath", "1"}});
    const NearMiss entry = desk.last<NearMiss>();
    CHECK(entry.kind == NearMissKind::incident);
    CHECK(entry.number == "N-1");
    CHECK(entry.class_id == desk.last<ClassSession>().id);
    CHECK(entry.comment.empty());
    app::ClassView view = app::class_view(desk.studio());
    REQUIRE(view.incidents.size() == 1);
    CHECK_FALSE(view.handed_out);
    desk.does("class.hand-out");
    view = app::class_view(desk.studio());
    CHECK(view.handed_out);
    CHECK_THAT(view.keeps, Contains("No health facts are asked or kept"));
    // No field of a class or a seat asks for one.
    for (const app::ActionSpec& action : app::actions()) {
        if (action.id.starts_with("class.")) {
            for (const app::FieldSpec& field : action.fields) {
                for (const char* word : {"health", "allerg", "asthma", "pregnan", "age", "birth", "medic"}) {
                    INFO(action.id << " " << field.key);
                    CHECK(folded(field.label).find(word) == std::string::npos);
                }
            }
        }
    }
}

TEST_CASE("a person is blanked wherever they stand, and what that does not reach is said") {
    Desk desk;
    set_up_class(desk);
    desk.does("person.add", {{"initials", "JD"}, {"role", "student"}});
    desk.does("class.seat", {{"seat", "1"}, {"person", "JD"}, {"note", "JD came late; the JDX case is another"}});
    desk.does("class.seat", {{"seat", "5"}, {"over-by", "MK"}, {"over-why", "JD brought a friend"}});
    desk.does("class.incident", {{"words", "JD: bowl tipped over"}});
    const app::Outcome outcome = desk.does("person.blank", {{"who", "JD"}});
    REQUIRE_FALSE(outcome.cautions.empty());
    CHECK_THAT(outcome.cautions.front(), Contains("change log"));
    CHECK_THAT(outcome.cautions.front(), Contains("backups"));
    const auto seats = app::seats_of(desk.studio(), desk.last<ClassSession>().id);
    CHECK(seats[0].note == "person 1 came late; the JDX case is another");
    CHECK(seats[4].over_limit_why == "person 1 brought a friend");
    CHECK(desk.last<NearMiss>().words == "person 1: bowl tipped over");
    CHECK(app::class_view(desk.studio()).seats[0].who == "person 1");
    CHECK(desk.one_text("SELECT count(*) FROM find_entry WHERE title = 'JD' OR words LIKE '%JD %'") == "0");

    // Kept for as long as the studio says, then listed, then one step blanks them.
    desk.does("person.add", {{"initials", "EL"}, {"role", "student"}});
    desk.does("class.add", {{"number", "old"}, {"limit", "2"}, {"at", "1 Jun 2024 10:00"}, {"past", "yes"}});
    desk.does("class.seat", {{"class", "old"}, {"seat", "1"}, {"person", "EL"}});
    CHECK(app::people_kept_too_long(desk.studio()).empty());  // nothing is said yet
    desk.refused("person.blank-due", {}, "person.none_due");
    desk.does("person.keep", {{"months", "24"}});
    CHECK(app::people_kept_too_long(desk.studio()).empty());  // 22 months ago
    desk.does("person.keep", {{"months", "12"}});
    const auto people = app::people_kept_too_long(desk.studio());
    REQUIRE(people.size() == 1);
    CHECK(people.front().person.initials == "EL");
    desk.does("person.blank-due");
    CHECK(app::people_kept_too_long(desk.studio()).empty());
    CHECK(desk.one_text("SELECT count(*) FROM person WHERE blanked = 1") == "2");
    desk.refused("person.keep", {{"months", "0"}}, "number.out_of_range");
}
