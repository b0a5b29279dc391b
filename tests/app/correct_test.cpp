#include "app/studio_desk.hpp"

#include "store/change.hpp"

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

app::Form correction(const std::string& noun, const std::string& number, const std::string& field,
                     const std::string& value) {
    return form_of("record.correct", {{"noun", noun}, {"number", number}, {"field", field}, {"value", value}});
}

}  // namespace

TEST_CASE("Any field of any record can be corrected, and the old value is kept") {
    Desk desk;
    desk.make_bath();
    desk.clock.advance(300);
    desk.does("bath.read", {{"bath", "1"}, {"temp", "55"}});
    desk.does(correction("bath", "1", "water", "380 ml"));
    CHECK(desk.last<Bath>().water->ml() == 380.0);
    const auto changes = store::changes(desk.log(), 1, desk.last<Bath>().id.text);
    REQUIRE(changes.size() == 1);
    REQUIRE(changes.front().rows.size() == 1);
    CHECK_THAT(changes.front().rows.front().before_json, Contains("400"));
    CHECK_THAT(changes.front().rows.front().after_json, Contains("380"));

    desk.does(correction("bath", "1", "start-temp", "138 F"));
    CHECK_THAT(desk.last<Bath>().start_temp->celsius(), WithinAbs(58.889, 0.001));
    desk.does(correction("bath", "1", "room_temp_c", ""));
    CHECK_FALSE(desk.last<Bath>().room_temp);
    desk.does(correction("bath", "1", "amount", "2,1 g"));
    CHECK(*desk.last<Bath>().amount == 2.1);
    desk.does(correction("reading", "1/1", "temp", "54"));
    CHECK(desk.last<Reading>().temp.celsius() == 54.0);
    desk.does(correction("lot", "LS-2", "usual", "4"));
    CHECK(*desk.last<Lot>().usual_per_litre == 4.0);
    desk.does(correction("bath", "1", "agitation", "brisk"));
    CHECK(desk.last<Bath>().agitation == Agitation::brisk);
    desk.does("strip.add", {{"number", "7"}, {"metal", "sterling"}});
    desk.does(correction("strip", "strip 7", "metal", "copper"));
    CHECK(desk.one_text("SELECT m.name FROM strip JOIN metal m ON m.id = metal_id") == "copper");
}

TEST_CASE("A correction is held against the same rules") {
    Desk desk;
    desk.make_bath();
    const auto bad = [&](const std::string& field, const std::string& value, const std::string& code) {
        return desk.refused(correction("bath", "1", field, value), code);
    };
    CHECK_THAT(bad("start-temp", "140", "bath.temp.looks_fahrenheit").text(), Contains("60.0 °C"));
    bad("amount", "40 g", "bath.strength.tenths");
    bad("amount", "-1 g", "number.negative");
    bad("amount", "400 g", "lot.more_than_bought");
    bad("water", "warm", "text.not_a_number");
    bad("made-up", "", "correct.needed");
    bad("made-up", "1 Jan 2031", "moment.future");
    bad("colour", "blue", "correct.no_field");
    bad("id", "x", "correct.no_field");
    bad("vessel", "V9", "vessel.unknown");
    desk.refused(correction("kettle", "1", "water", "1"), "correct.no_noun");
    desk.refused(correction("bath", "2", "water", "1"), "bath.unknown");
    desk.does("bath.make-up");
    desk.refused(correction("bath", "2", "number", "1"), "number.taken");
    desk.refused(correction("check", "1/1", "note", "x"), "correct.kept_record");
    desk.refused(correction("press", "x", "lane", "2"), "correct.kept_record");
    app::Form kept = correction("bath", "1", "amount", "40 g");
    kept.kept.insert("bath.strength.tenths");
    desk.does(kept);
    bool marked = false;
    for (const Bath& bath : desk.all<Bath>()) {
        marked = marked || bath.note.find("kept as typed: amount 40 g") != std::string::npos;
    }
    CHECK(marked);
}

TEST_CASE("A corrected time corrects the length of its dip") {
    Desk desk;
    desk.make_bath();
    desk.does("strip.add", {{"number", "1"}, {"metal", "sterling"}});
    desk.clock.advance(600);
    desk.does("dip.enter", {{"bath", "1"}, {"strip", "1"}, {"dropped", "09:01:00"}, {"out", "09:01:40"}});
    desk.does(correction("dip", "1/1", "out", "09:02:00"));
    CHECK(desk.last<Dip>().in_bath->seconds() == 60.0);
    desk.refused(correction("dip", "1/1", "out", "09:00:30"), "dip.out_before_in");
    desk.does(correction("dip", "1", "length", "1:05"));
    CHECK(desk.last<Dip>().in_bath->seconds() == 65.0);
}

TEST_CASE("Only what nothing rests on can be removed") {
    Desk desk;
    desk.make_bath();
    desk.does("strip.add", {{"number", "1..2"}, {"metal", "sterling"}});
    desk.does("dip.enter", {{"bath", "1"}, {"strip", "1"}, {"length", "40"}});
    const auto removal = [](const std::string& noun, const std::string& number) {
        return form_of("record.remove", {{"noun", noun}, {"number", number}});
    };
    desk.refused(removal("strip", "1"), "remove.needed");
    desk.refused(removal("bath", "1"), "remove.needed");
    desk.does(removal("strip", "2"));
    desk.does(removal("dip", "1/1"));
    desk.does(removal("strip", "1"));
    desk.does("piece.add", {{"number", "L-1"}, {"metal", "sterling"}});
    desk.does(removal("piece", "L-1"));
    CHECK(desk.all<Part>().empty());
    desk.check_bath();
    desk.refused(removal("check", "1/1"), "remove.kept_record");
    desk.refused(removal("disposal", "1/1"), "remove.kept_record");
    desk.does("strip.add", {{"number", "3"}, {"metal", "sterling"}});
    desk.does("dip.drop", {{"bath", "1"}, {"strip", "3"}});
    desk.refused(removal("dip", "3"), "remove.timed_dip");
}
