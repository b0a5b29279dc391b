// What was skipped: every blank is listed with the form that fills it in, and is gone when the form was sent.
#include "app/studio_desk.hpp"

#include "app/views/fill_in_view.hpp"
#include "app/views/today_view.hpp"

#include <algorithm>
#include <map>
#include <set>

using namespace tonebath;
using namespace tonebath::test;

namespace {

const app::FillIn* line_of(const app::FillInList& list, const std::string& number, const std::string& missing) {
    const auto found = std::find_if(list.lines.begin(), list.lines.end(),
                                    [&](const app::FillIn& line) { return line.number == number && line.missing == missing; });
    return found == list.lines.end() ? nullptr : &*found;
}

void check_form(const app::FillIn& line) {
    INFO(line.number << ": " << line.missing << " by " << line.action);
    const app::ActionSpec* spec = app::find_action(line.action);
    REQUIRE(spec != nullptr);
    for (const auto& [key, value] : line.filled) {
        INFO(key << " = " << value);
        CHECK_FALSE(value.empty());
        CHECK(std::any_of(spec->fields.begin(), spec->fields.end(), [&key = key](const app::FieldSpec& field) { return field.key == key; }));
    }
}

}  // namespace

TEST_CASE("A new log has no blanks, and a whole record makes none") {
    Desk desk;
    CHECK(app::fill_in_list(desk.studio()).lines.empty());
    desk.does("person.add", {{"initials", "MK"}});
    desk.does("lot.add", {{"number", "LS-1"}, {"form", "lump"}, {"amount", "100 g"}});
    desk.does("bath.make-up", {{"lot", "LS-1"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}});
    desk.does("strip.add", {{"number", "1"}, {"metal", "sterling"}});
    desk.does("preparation.add", {{"strip", "1"}, {"degreased", "yes"}});
    CHECK(app::fill_in_list(desk.studio()).lines.empty());
}

TEST_CASE("Every blank is filled in by the form it names") {
    Desk desk;
    desk.does("lot.add", {{"number", "LS-1"}, {"form", "lump"}, {"amount", "100 g"}});
    desk.does("bath.make-up", {{"lot", "LS-1"}});
    desk.does("strip.add", {{"number", "7"}, {"metal", "sterling"}});
    desk.does("piece.add", {{"number", "L-001"}});
    desk.does("part.add", {{"piece", "L-001"}, {"name", "lid"}});
    desk.does("dip.enter", {{"bath", "1"}, {"strip", "7"}, {"dropped", "20 min ago"}});
    desk.does(form_of("bath.make-up", {{"lot", "LS-1"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "58"}}, {}, {"start-temp"}));
    desk.does("bath.end", {{"bath", "2"}, {"kept-back", "400 ml"}});

    const std::map<std::string, std::pair<std::string, std::string>> answers{{"no tone judged", {"tone", "blue"}},
                                                                             {"no preparation ticked", {"degreased", "yes"}},
                                                                             {"how long it was in the bath", {"value", "40"}},
                                                                             {"how much of the lot", {"value", "2 g"}},
                                                                             {"how much water", {"value", "400 ml"}},
                                                                             {"no temperature at all", {"value", "60"}},
                                                                             {"ended, no disposal logged", {"route", "collection"}},
                                                                             {"which metal", {"value", "sterling"}},
                                                                             {"start_temp_c is from memory", {"value", "58"}}};
    std::set<std::string> met;
    std::size_t left = app::fill_in_list(desk.studio()).lines.size();
    const std::size_t at_first = left;
    CHECK(at_first >= 8);
    while (left > 0) {
        const app::FillIn line = app::fill_in_list(desk.studio()).lines.front();
        check_form(line);
        INFO(line.number << ": " << line.missing << ", " << line.more);
        const auto answer = answers.find(line.missing);
        REQUIRE(answer != answers.end());
        met.insert(line.missing);
        app::Form form{.action = line.action, .typed = line.filled};
        form.typed[answer->second.first] = answer->second.second;
        desk.does(form);
        const app::FillInList after = app::fill_in_list(desk.studio());
        REQUIRE(std::none_of(after.lines.begin(), after.lines.end(), [&line](const app::FillIn& one) { return one.id == line.id; }));
        left = after.lines.size();
    }
    CHECK(met.size() == answers.size());  // with its length the dip asks for its tone
}

TEST_CASE("A dip at the bench that skipped all, and today's count") {
    Desk desk;
    desk.make_bath();
    for (const char* number : {"3", "4"}) {
        desk.does("strip.add", {{"number", number}, {"metal", "sterling"}});
    }
    desk.check_bath();
    for (const char* number : {"3", "4"}) {
        desk.does("dip.drop", {{"bath", "1"}, {"strip", number}});
        desk.clock.advance(40.0);
        desk.does("dip.out", {{"strip", number}});
    }
    const app::FillInList list = app::fill_in_list(desk.studio());
    for (const char* missing : {"no tone judged", "no rinse written down"}) {
        INFO(missing);
        const app::FillIn* line = line_of(list, "strip 3", missing);
        REQUIRE(line != nullptr);
        CHECK(line->more.find("in bath 1") != std::string::npos);
        check_form(*line);
    }
    // Prepared together: one line, one form, one command.
    const app::FillIn* both = line_of(list, "2 strips", "no preparation ticked");
    REQUIRE(both != nullptr);
    CHECK(both->filled.at("strip") == "4\n3");
    CHECK(app::fill_in_command(*both).find("--strip 4 --strip 3") != std::string::npos);
    desk.does(app::Form{.action = both->action, .typed = both->filled});
    CHECK(line_of(app::fill_in_list(desk.studio()), "2 strips", "no preparation ticked") == nullptr);
    const app::FillIn* rinse = line_of(list, "strip 3", "no rinse written down");
    CHECK(app::fill_in_command(*rinse) == "tonebath dip rinsed --dip 3/1");
    const app::TodayView today = app::today_view(desk.studio(), nullptr);
    const auto owed = std::find_if(today.owed.begin(), today.owed.end(), [](const app::OwedItem& item) { return item.kind == app::OwedKind::fill_in; });
    REQUIRE(owed != today.owed.end());
    CHECK(owed->line == std::to_string(list.lines.size() - 1) + " blanks at the bench");

    CHECK(app::fill_in_list(desk.studio(), 2).more);
    CHECK(app::fill_in_list(desk.studio(), 2).lines.size() == 2);
}

TEST_CASE("A finish without a dose is never the bath that a time is told for") {
    Desk desk;
    desk.make_bath();
    desk.does("piece.add", {{"number", "L-001"}});
    desk.does("batch.add", {{"number", "1"}, {"design", "Limpet"}, {"piece", "L-001"}});
    desk.clock.advance(60.0);
    desk.does("bath.other-finish", {{"kind", "heat patina"}});
    const app::TodayView today = app::today_view(desk.studio(), nullptr);
    CHECK(today.baths_in_use == 2);
    REQUIRE(today.next);
    CHECK(today.next->bath == "1");
    REQUIRE(app::baths_to_plan(desk.studio()).size() == 1);
    CHECK(app::baths_to_plan(desk.studio()).front().number == "1");
}
