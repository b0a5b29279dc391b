// Bad text into every field of every action: never a stop, a refusal names field, value and remedy, and nothing of it is
// written.
#include "app/studio_desk.hpp"

#include "base/text.hpp"

#include <map>
#include <set>

using namespace tonebath;
using namespace tonebath::test;

namespace {

struct Bad {
    std::string name;
    std::string text;
};

std::vector<Bad> bad_texts() {
    return {{"empty", ""},
            {"blanks", "   \t "},
            {"NaN", "NaN"},
            {"infinite", "inf"},
            {"negative", "-5"},
            {"too large", "1e999"},
            {"very small", "1e-320"},
            {"large", "999999999999"},
            {"10 kB", std::string(10240, 'x')},
            {"10 kB of digits", std::string(10240, '7')},
            {"many lines", [] { std::string lines; for (int i = 0; i < 3000; ++i) { lines += "L-1\n"; } return lines; }()},
            {"non-Latin", "硫黄の肝 πάτινα печень"},
            {"right to left", "כסף 5"},
            {"decimal comma", "1,5"},
            {"decimal comma with a unit", "51,4 °C"},
            {"two lines", "L-1\nL-2"},
            {"line breaks", "\r\n\n"},
            {"emoji", "👩‍🏭🔥"},
            {"broken UTF-8", "\xC3\x28\xFF"},
            {"a zero byte", std::string("a\0b", 3)},
            {"a quote", "'; DELETE FROM bath; --"},
            {"a range without end", "L-1..L-999999999"}};
}

// What a required field is filled with, so that the form reaches the check of the field under test; by key and by noun.
const std::map<std::string, std::string> kGood{
    {"bath", "1"}, {"lot", "LS-2"}, {"piece", "L-1"}, {"strip", "1"}, {"metal", "sterling"}, {"vessel", "V1"}, {"thermometer", "T1"},
    {"batch", "31"}, {"order", "R-1"}, {"person", "MK"}, {"scale", "sterling"}, {"tone", "blue"}, {"target", "lid blue"}};

std::string good_text(const app::FieldSpec& field, int turn) {
    if (!field.choices.empty()) {
        return field.choices.front();
    }
    if (const auto known = kGood.find(field.key); known != kGood.end()) {
        return known->second;
    }
    switch (field.kind) {
        case app::FieldKind::number:
            return "0.5";
        case app::FieldKind::temperature:
            return "55";
        case app::FieldKind::duration:
            return "40";
        case app::FieldKind::volume:
            return "400 ml";
        case app::FieldKind::mass:
        case app::FieldKind::amount:
            return "1 g";
        case app::FieldKind::length:
            return "6 mm";
        case app::FieldKind::moment:
            return "now";
        case app::FieldKind::yes_no:
            return "yes";
        case app::FieldKind::reference:
            if (const auto known = kGood.find(field.refers_to); known != kGood.end()) {
                return known->second;
            }
            return "1";
        case app::FieldKind::choice:
        case app::FieldKind::text:
            break;
    }
    return "n" + std::to_string(turn);
}

struct Swept : Desk {
    Swept() {
        make_bath();
        check_bath();
        does("thermometer.add", {{"number", "T1"}});
        does("target.add", {{"name", "lid blue"}, {"scale", "sterling"}, {"tone", "blue"}});
        does("order.add", {{"number", "R-1"}});
        does("batch.add", {{"number", "31"}, {"design", "Limpet"}});
        does("strip.add", {{"number", "1"}, {"metal", "sterling"}});
        does("piece.add", {{"number", "L-1"}, {"metal", "sterling"}, {"batch", "31"}});
        clock.advance(10);
    }
    // What is laid out and set, besides records: refusals must leave it too.
    std::vector<std::string> everything() {
        std::vector<std::string> rows = content();
        store::Query query(log(), "SELECT key || '=' || value FROM setting ORDER BY key");
        while (query.next()) {
            rows.push_back(query.text(0));
        }
        return rows;
    }
};

}  // namespace

TEST_CASE("Bad text in any field of any action is answered in words, and a refusal writes nothing") {
    Swept desk;
    int turn = 0;
    std::size_t refusals = 0;
    std::size_t taken = 0;
    std::set<std::string> poor;  // each fault once
    std::vector<std::string> before = desk.everything();
    const auto note = [&poor](bool sound, const std::string& what) {
        if (!sound) {
            poor.insert(what);
        }
    };
    for (const app::ActionSpec& action : app::actions()) {
        for (const app::FieldSpec& tried : action.fields) {
            for (const Bad& bad : bad_texts()) {
                app::Form form;
                form.action = action.id;
                for (const app::FieldSpec& field : action.fields) {
                    if (field.required) {
                        form.typed[field.key] = good_text(field, ++turn);
                    }
                }
                form.typed[tried.key] = bad.text;
                desk.clock.advance(1.0);
                const std::string where = action.id + " " + tried.key + " (" + bad.name + ")";
                INFO(where);
                const Result<app::Outcome> outcome = desk.studio().carry_out(form);
                if (outcome) {
                    ++taken;
                    before = desk.everything();
                    note(!outcome->said.empty(), where + ": says nothing");
                    note(is_valid_utf8(outcome->said), where + ": says broken text");
                    note(outcome->said.size() < 2000, where + ": says too much");
                    continue;
                }
                ++refusals;
                const Refusal& refusal = outcome.error();
                note(desk.everything() == before, where + ": refused and written all the same");
                note(refusal.code != "log.trouble", where + ": only the tables stopped it: " + refusal.message);
                note(!refusal.code.empty() && !refusal.message.empty(), where + ": no message");
                note(!refusal.remedy.empty(), where + ": no remedy, " + refusal.code);
                note(!refusal.field.empty(), where + ": no field, " + refusal.code);
                note(refusal.value.size() <= 200, where + ": value not shortened");
                note(refusal.text().size() <= 2000, where + ": refusal of " + std::to_string(refusal.text().size()) + " bytes, " + refusal.code);
                note(is_valid_utf8(refusal.text()), where + ": broken text in the refusal");
            }
        }
    }
    std::string faults;
    for (const std::string& one : poor) {
        faults += one + "\n";
    }
    INFO(poor.size() << " faults in " << refusals << " refusals and " << taken << " taken:\n" << faults);
    CHECK(poor.empty());
    CHECK(refusals > 1000);
    CHECK(taken > 100);
    CHECK(desk.log().faults().empty());
}

TEST_CASE("What can never be a number, a temperature or a time is refused by the field that it was typed in") {
    Swept desk;
    int turn = 0;
    for (const app::ActionSpec& action : app::actions()) {
        for (const app::FieldSpec& tried : action.fields) {
            const bool figure = tried.kind == app::FieldKind::number || tried.kind == app::FieldKind::temperature || tried.kind == app::FieldKind::duration ||
                                tried.kind == app::FieldKind::volume || tried.kind == app::FieldKind::mass || tried.kind == app::FieldKind::length ||
                                tried.kind == app::FieldKind::moment;
            if (!figure) {
                continue;
            }
            for (const char* text : {"NaN", "inf", "1e999", "硫黄", "👩‍🏭"}) {
                app::Form form;
                form.action = action.id;
                for (const app::FieldSpec& field : action.fields) {
                    if (field.required) {
                        form.typed[field.key] = good_text(field, ++turn);
                    }
                }
                form.typed[tried.key] = text;
                const Result<app::Outcome> outcome = desk.studio().carry_out(form);
                INFO(action.id << " " << tried.key << " \"" << text << "\": " << (outcome ? outcome->said : outcome.error().code + " " + outcome.error().text()));
                CHECK_FALSE(outcome);
            }
        }
    }
}

TEST_CASE("A temperature with a decimal comma is read, or its refusal says how to write it") {
    Swept desk;
    const app::Form form = form_of("bath.read", {{"bath", "1"}, {"temp", "59,4"}});
    const Result<app::Outcome> outcome = desk.studio().carry_out(form);
    if (outcome) {
        CHECK(desk.last<Reading>().temp.celsius() == 59.4);
    } else {
        INFO(outcome.error().text());
        CHECK_THAT(outcome.error().text(), Catch::Matchers::Contains("59.4"));
    }
}
