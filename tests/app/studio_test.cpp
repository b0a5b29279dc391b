#include "app/studio_desk.hpp"

#include "app/seed.hpp"
#include "base/files.hpp"

#include <unistd.h>

#include <filesystem>
#include <set>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;

namespace {

class Folder {
public:
    Folder() : path_(fs::temp_directory_path() / ("tonebath-studio-" + std::to_string(::getpid()))) {
        fs::remove_all(path_);
        fs::create_directories(path_);
    }
    ~Folder() { fs::remove_all(path_); }
    [[nodiscard]] const fs::path& path() const { return path_; }

private:
    fs::path path_;
};

app::StudioOptions options_for(const fs::path& log) {
    app::StudioOptions options;
    options.log = log;
    options.create = true;
    options.data = fs::path(TONEBATH_SOURCE_DIR) / "data";
    return options;
}

}  // namespace

TEST_CASE("A new log begins with the metals and words of the data, once") {
    const Folder folder;
    HandClock clock(*parse_iso("2026-03-31T09:00+01:00", 0));
    const app::StudioOptions options = options_for(folder.path() / "log.tonebath");
    std::size_t tones = 0;
    {
        const auto studio = app::Studio::open(options, clock);
        REQUIRE(studio);
        CHECK(store::list<Metal>((*studio)->log()).size() == 8);
        tones = store::list<Tone>((*studio)->log()).size();
        CHECK(tones > 40);
        CHECK_FALSE((*studio)->demo());
        CHECK_FALSE((*studio)->undo_step());
        CHECK_FALSE((*studio)->undo());
    }
    const auto again = app::Studio::open(options, clock);
    REQUIRE(again);
    CHECK(store::list<Tone>((*again)->log()).size() == tones);
}

TEST_CASE("Two programs that open the same new log write the first words once") {
    const Folder folder;
    HandClock clock(*parse_iso("2026-03-31T09:00+01:00", 0));
    const app::StudioOptions options = options_for(folder.path() / "log.tonebath");
    const auto studio = app::Studio::open(options, clock);
    REQUIRE(studio);
    const auto metals = app::read_metals(options.data / "metals.toml");
    const auto scales = app::read_scales(options.data / "tones.toml");
    REQUIRE(metals);
    REQUIRE(scales);
    // The second program looked before the first had written.
    REQUIRE(app::seed_words(**studio, *metals, *scales));
    CHECK(store::list<Metal>((*studio)->log()).size() == metals->size());
}

TEST_CASE("A log with an as-of time brings its own clock and says that it is invented") {
    const Folder folder;
    HandClock clock(*parse_iso("2031-01-01T00:00Z", 0));
    const app::StudioOptions options = options_for(folder.path() / "demo.tonebath");
    {
        const auto studio = app::Studio::open(options, clock);
        REQUIRE(studio);
        REQUIRE((*studio)->write("as of", [&]() -> Result<app::Outcome> {
            (*studio)->log().set_setting("demo", "yes");
            (*studio)->log().set_setting("as_of", "2026-03-31T09:42:00.000+01:00");
            return app::Outcome{};
        }));
    }
    const auto studio = app::Studio::open(options, clock);
    REQUIRE(studio);
    CHECK((*studio)->demo());
    CHECK(date_time_text((*studio)->now()).find("31 Mar 09:42") != std::string::npos);
}

TEST_CASE("A log open for reading is not written") {
    const Folder folder;
    HandClock clock(*parse_iso("2026-03-31T09:00+01:00", 0));
    app::StudioOptions options = options_for(folder.path() / "log.tonebath");
    REQUIRE(app::Studio::open(options, clock));
    options.read_only = true;
    const auto studio = app::Studio::open(options, clock);
    REQUIRE(studio);
    const auto outcome = (*studio)->carry_out(form_of("bath.make-up", {}));
    REQUIRE_FALSE(outcome);
    CHECK(outcome.error().code == "log.read_only");
}

TEST_CASE("A missing log and damaged data are refused with words") {
    const Folder folder;
    HandClock clock(*parse_iso("2026-03-31T09:00+01:00", 0));
    app::StudioOptions options = options_for(folder.path() / "none.tonebath");
    options.create = false;
    const auto missing = app::Studio::open(options, clock);
    REQUIRE_FALSE(missing);
    CHECK(missing.error().code == "log.missing");
    options.data = folder.path() / "nowhere";
    const auto no_data = app::Studio::open(options, clock);
    REQUIRE_FALSE(no_data);
    CHECK(no_data.error().code == "data.bad_file");
}

TEST_CASE("The table of actions is whole: words, pages, keys and fields") {
    std::set<std::string> ids;
    std::set<std::string> keys;
    const std::set<std::string> pages{"Today", "Bench", "Baths", "Tones", "Pieces", "Stones", "Coats", "Safety"};
    for (const app::ActionSpec& action : app::actions()) {
        INFO(action.id);
        CHECK(ids.insert(action.id).second);
        CHECK(action.id.find('.') != std::string::npos);
        CHECK_FALSE(action.label.empty());
        CHECK_FALSE(action.help.empty());
        CHECK(pages.count(action.page) == 1);
        CHECK(action.carry_out != nullptr);
        if (!action.key.empty() && action.key != "Space") {
            CHECK(keys.insert(action.page + " " + action.key).second);
        }
        std::set<std::string> fields;
        std::set<std::string> labels;
        for (const app::FieldSpec& field : action.fields) {
            INFO(field.key);
            CHECK(fields.insert(field.key).second);
            CHECK(labels.insert(field.label).second);  // answers find their field by its words
            CHECK((field.kind == app::FieldKind::choice) == !field.choices.empty());
            CHECK((field.kind == app::FieldKind::reference) == !field.refers_to.empty());
        }
    }
    CHECK(ids.size() > 35);
    CHECK(app::find_action("bath.make-up")->label == "Make up a bath");
    CHECK(app::find_action("bath.boil") == nullptr);
}

TEST_CASE("An action that is not there is refused") {
    Desk desk;
    desk.refused(form_of("bath.boil", {}), "form.unknown_action");
}

TEST_CASE("Undo and redo take every kind of step back and forth") {
    Desk desk;
    desk.make_bath();
    desk.does("strip.add", {{"number", "1"}, {"metal", "sterling"}});
    desk.does("piece.add", {{"number", "L-1"}, {"metal", "sterling"}});
    // Every action that writes records, with a form that it takes now.
    const std::vector<app::Form> forms{
        form_of("person.add", {{"initials", "AP"}}),
        form_of("lot.add", {{"number", "LS-3"}, {"form", "gel"}, {"amount", "200 g"}}),
        form_of("lot.open", {{"lot", "LS-2"}}),
        form_of("lot.weigh", {{"lot", "LS-2"}, {"left", "59 g"}}),
        form_of("lot.retire", {{"lot", "LS-2"}}),
        form_of("vessel.add", {{"number", "V2"}}),
        form_of("thermometer.add", {{"number", "T1"}}),
        form_of("bath.make-up", {{"number", "9"}}),
        form_of("bath.read", {{"bath", "1"}, {"temp", "59"}}),
        form_of("bath.top-up", {{"bath", "1"}, {"water", "50 ml"}}),
        form_of("bath.end", {{"bath", "1"}}),
        form_of("bath.other-finish", {{"kind", "heat patina"}, {"measure", "300"}, {"piece", "L-1"}}),
        form_of("strip.add", {{"metal", "copper"}}),
        form_of("piece.add", {{"number", "K-1..K-8"}, {"metal", "copper"}}),
        form_of("part.add", {{"piece", "L-1"}, {"name", "pin"}}, {"part.already_whole"}),
        form_of("piece.assemble", {{"piece", "L-1"}}),
        form_of("piece.sell", {{"piece", "L-1"}}),
        form_of("stone.add", {{"number", "S-1"}, {"piece", "L-1"}}),
        form_of("batch.add", {{"piece", "L-1"}}),
        form_of("order.add", {{"number", "R-1"}}),
        form_of("preparation.add", {{"piece", "L-1"}, {"degreased", "yes"}}),
        form_of("dip.enter", {{"bath", "1"}, {"strip", "1"}, {"length", "40"}, {"rinse", "30"}}),
        form_of("judgement.add", {{"strip", "1"}, {"tone", "blue"}}),
        form_of("after-work.add", {{"piece", "L-1"}, {"step", "dried"}}, {"after_work.before_dip"}),
        form_of("metal.add", {{"name", "tin"}}),
        form_of("scale.add", {{"metal", "copper"}, {"surface", "satin"}, {"words", "bare\nbrown\nblack"}}),
        form_of("tone.rename", {{"scale", "sterling"}, {"tone", "blue"}, {"word", "sea blue"}}),
        form_of("tone.add", {{"scale", "sterling"}, {"word", "teal"}, {"after", "blue"}}),
        form_of("tone.measure", {{"scale", "sterling"}, {"tone", "blue"}, {"l", "40"}, {"a", "0"}, {"b", "-20"}}),
        form_of("target.add", {{"name", "x"}, {"scale", "sterling"}, {"tone", "blue"}}),
        form_of("record.correct", {{"noun", "bath"}, {"number", "1"}, {"field", "water"}, {"value", "380 ml"}}),
        form_of("record.remove", {{"noun", "strip"}, {"number", "1"}})};
    const auto records = [&] {
        std::string all;
        for_each_noun([&]<class Noun>(const Noun&) {
            const std::vector<std::string>& columns = store::columns<Noun>();
            store::Query query(
                desk.log(), "SELECT " + joined(columns, ", ") + " FROM " + std::string(Noun::kTable) + " ORDER BY id");
            while (query.next()) {
                for (int i = 0; i < static_cast<int>(columns.size()); ++i) {
                    all += (query.unknown(i) ? "NULL" : query.text(i)) + "|";
                }
            }
        });
        return all;
    };
    for (const app::Form& form : forms) {
        INFO(form.action);
        desk.clock.advance(1);
        answer_lists(desk.studio(), form);
        const std::string before = records();
        desk.does(form);
        const std::string after = records();
        CHECK((after != before));
        const auto undone = desk.studio().undo();
        INFO((undone ? "" : undone.error().text()));
        REQUIRE(undone);
        CHECK((records() == before));
        const auto redone = desk.studio().redo();
        INFO((redone ? "" : redone.error().text()));
        REQUIRE(redone);
        CHECK((records() == after));
        REQUIRE(desk.studio().undo());
    }
}

TEST_CASE("Checks and disposals are withdrawn by undo, never removed") {
    Desk desk;
    desk.make_bath();
    desk.check_bath();
    desk.clock.advance(1);
    REQUIRE(desk.studio().undo());
    REQUIRE(desk.all<CheckRun>().size() == 2);  // before mixing, and before the session
    CHECK(desk.all<CheckRun>().front().withdrawn_by.empty());
    CHECK(desk.last<CheckRun>().withdrawn_by == "MK");
    desk.does("disposal.add", {{"bath", "1"}, {"volume", "100 ml"}, {"route", "collection"}, {"past", "yes"}});
    REQUIRE(desk.studio().undo());
    REQUIRE(desk.all<Disposal>().size() == 1);
    CHECK(desk.last<Disposal>().withdrawn_by == "MK");
    // Undo goes on with the step before: the make-up.
    REQUIRE(desk.studio().undo_step());
    CHECK_THAT(*desk.studio().undo_step(), Contains("make up bath 1"));
}
