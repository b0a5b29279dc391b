// The log out into files and in again: byte for byte the same, or refused with file, line and column and nothing written.
#include "app/demo/demo.hpp"
#include "app/exchange/columns.hpp"
#include "app/exchange/csv.hpp"
#include "app/exchange/export.hpp"
#include "app/exchange/import.hpp"
#include "app/exchange/schema.hpp"
#include "app/log_care.hpp"
#include "app/records.hpp"
#include "app/studio_desk.hpp"
#include "base/files.hpp"
#include "store/change.hpp"
#include "store/query.hpp"
#include "store/random_record.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <rapidcheck.h>

#include <cstdlib>
#include <set>
#include <sstream>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;

namespace {

class Folder {
public:
    Folder() {
        std::string pattern = (fs::temp_directory_path() / "tonebath-exchange-XXXXXX").string();
        REQUIRE(mkdtemp(pattern.data()) != nullptr);
        path_ = pattern;
    }
    ~Folder() { fs::remove_all(path_); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    fs::path operator/(const std::string& name) const { return path_ / name; }

private:
    fs::path path_;
};

// Name and bytes of every file of a folder.
std::map<std::string, std::string> files_in(const fs::path& folder) {
    std::map<std::string, std::string> files;
    for (const auto& entry : fs::directory_iterator(folder)) {
        files[entry.path().filename().string()] = read_file(entry.path());
    }
    return files;
}

std::map<std::string, std::string> exported(app::Studio& studio, const fs::path& folder, app::FileForm form) {
    const auto done = app::export_log(studio, folder, form);
    INFO((done ? std::string() : done.error().text()));
    REQUIRE(done);
    return files_in(folder);
}

app::Outcome imported(app::Studio& studio, const fs::path& folder) {
    const auto done = app::import_log(studio, folder);
    INFO((done ? std::string() : done.error().text()));
    REQUIRE(done);
    return *done;
}

// The list of an export tells whose records they are; the rest must be the same.
std::map<std::string, std::string> without_list(std::map<std::string, std::string> files) {
    files.erase(std::string(app::kExportList));
    return files;
}

// Some of everything, with references and texts of every kind.
void fill_at_random(Desk& desk, std::uint32_t seed) {
    store::RandomRecords random(seed);
    REQUIRE(desk.studio().write("at random", [&]() -> Result<app::Outcome> {
        for_each_noun([&]<class Noun>(const Noun&) {
            for (int i = 0; i < 8; ++i) {
                store::insert(desk.log(), random.next<Noun>());
            }
        });
        return app::Outcome{};
    }));
}

// What a question on the log gives, a line each.
std::string listed(Desk& desk, const std::string& sql) {
    store::Query query(desk.log(), sql);
    std::string lines;
    while (query.next()) {
        lines += query.text(0) + "\n";
    }
    return lines;
}

// A folder with one lot and one weighing of it, to be spoiled: written once, copied for each test.
fs::path small_export(const Folder& folder, const std::string& name = "small", app::FileForm form = app::FileForm::csv) {
    static const Folder written;
    const fs::path from = written / std::string(app::ending_of(form));
    if (!fs::exists(from)) {
        Desk desk;
        desk.does("person.add", {{"initials", "MK"}, {"role", "maker"}});
        desk.does("lot.add", {{"number", "LS-2"}, {"amount", "100 g"}, {"usual", "5"}});
        desk.does("lot.weigh", {{"lot", "LS-2"}, {"left", "60 g"}});
        static_cast<void>(exported(desk.studio(), from, form));
    }
    fs::copy(from, folder / name);
    return folder / name;
}

fs::path without_its_list(const fs::path& folder) {
    fs::remove(folder / app::kExportList);
    return folder;
}

void replace_in(const fs::path& file, const std::string& what, const std::string& with) {
    std::string text = read_file(file);
    const std::size_t at = text.find(what);
    REQUIRE(at != std::string::npos);
    write_file_whole(file, text.replace(at, what.size(), with));
}

Refusal refused_import(const fs::path& folder, const std::string& code) {
    Desk desk;
    const auto before = desk.content();
    const auto done = app::import_log(desk.studio(), folder);
    INFO((done ? done->said : done.error().code + " " + done.error().text()));
    REQUIRE_FALSE(done);
    CHECK(done.error().code == code);
    CHECK_FALSE(done.error().remedy.empty());
    CHECK(desk.content() == before);
    CHECK(app::is_empty_log(desk.studio()));
    return done.error();
}

}  // namespace

TEST_CASE("every number in a file has its unit, and a pin is in no list of columns") {
    std::set<std::string_view> tables;
    for (const app::ExchangeNoun& noun : app::exchange_nouns()) {
        CHECK(tables.insert(noun.table).second);
        CHECK(noun.columns.front().kind == app::CellKind::id);
        for (const app::ExchangeColumn& column : noun.columns) {
            INFO(noun.table << "." << column.name);
            CHECK((column.kind == app::CellKind::number) <= !column.unit.empty());
            CHECK((column.kind == app::CellKind::reference) <= tables.contains(column.refers_to));
            CHECK(column.name != "pin");
        }
    }
    CHECK(tables.size() == std::tuple_size_v<AllNouns>);
}

TEST_CASE("the published schemas are those of the columns as they are") {
    const fs::path folder = fs::path(TONEBATH_SOURCE_DIR) / "data" / "schema";
    const auto schemas = app::schemas();
    CHECK(files_in(folder).size() == schemas.size());
    for (const auto& [name, text] : schemas) {
        INFO(name << ": write them again with \"tonebath log schema --out data/schema\"");
        CHECK(read_file(folder / name) == text);
    }
}

TEST_CASE("a text that a spreadsheet would reckon is led in, and comes back as it was") {
    for (const char* text : {"=1+1", "+49", "-", "@x", "\tx", "\rx", "'=1", "''-x", "＝1"}) {
        INFO(text);
        CHECK(app::defused(text) == "'" + std::string(text));
    }
    for (const char* text : {"", "'", "'quoted'", "1=1", "warm - later", " =1"}) {
        CHECK(app::defused(text) == text);
    }
    CHECK(rc::check("whatever the text", [] {
        const auto parts = *rc::gen::container<std::vector<std::string>>(rc::gen::element<std::string>("'", "=", "+", "-", "@", "\t", "\r", "\n", "a", "＝", "é", "\"", ","));
        std::string text;
        for (const std::string& part : parts) {
            text += part;
        }
        const std::string cell = app::defused(text);
        RC_ASSERT(app::undefused(cell) == text);
        RC_ASSERT(cell.empty() || std::string_view("=+-@\t\r\n").find(cell.front()) == std::string_view::npos);
    }));
}

TEST_CASE("CSV as RFC 4180 has it: quotation marks, line ends, and what is wrong with its line") {
    const auto read = [](const std::string& text, app::CsvForm form = {}) {
        std::istringstream in(text);
        app::CsvReader csv(in, form);
        std::vector<std::vector<std::string>> records;
        while (csv.next()) {
            records.push_back(csv.cells());
        }
        return std::tuple(records, csv.fault(), csv.line());
    };
    using Records = std::vector<std::vector<std::string>>;
    // The examples of section 2 of the RFC, from memory.
    CHECK(std::get<0>(read("aaa,bbb,ccc\r\nzzz,yyy,xxx")) == Records{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}});
    CHECK(std::get<0>(read("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx")) == Records{{"aaa", "b\r\nbb", "ccc"}, {"zzz", "yyy", "xxx"}});
    CHECK(std::get<0>(read("\"aaa\",\"b\"\"bb\",\"ccc\"")) == Records{{"aaa", "b\"bb", "ccc"}});
    CHECK(std::get<0>(read("\xEF\xBB\xBF" "a;b\n\n;\r", {.separator = ';'})) == Records{{"a", "b"}, {"", ""}});
    const auto open = read("a,b\r\nc,\"d\r\ne,f\r\n");
    CHECK_THAT(std::get<1>(open), Contains("never closed"));
    CHECK(std::get<2>(open) == 2);
    CHECK_THAT(std::get<1>(read("a,b\"c\r\n")), Contains("middle of a cell"));
    CHECK_THAT(std::get<1>(read("a,\"b\"c\r\n")), Contains("after a closing"));
    CHECK(rc::check("whatever the cells", [&] {
        const auto cell = rc::gen::container<std::string>(rc::gen::element('a', ' ', ',', '"', '\r', '\n', '\'', '\0', ';'));
        const auto cells = *rc::gen::nonEmpty(rc::gen::container<std::vector<std::string>>(cell));
        RC_PRE(cells.size() > 1);
        std::string line;
        for (std::size_t i = 0; i < cells.size(); ++i) {
            line += i == 0 ? "" : ",";
            app::append_csv_cell(line, cells[i]);
        }
        RC_ASSERT(std::get<0>(read(line + "\r\n")) == Records{cells});
    }));
}

TEST_CASE("records of every noun with odd texts go out and come in unchanged") {
    const auto form = GENERATE(app::FileForm::csv, app::FileForm::json);
    const auto seed = GENERATE(range(1U, 4U));
    CAPTURE(seed);
    const Folder folder;
    Desk desk;
    fill_at_random(desk, seed);
    // Words that have a meaning to a spreadsheet, to CSV and to JSON.
    desk.does("chemical.add", {{"name", "=HYPERLINK(\"x\")"}, {"note", "'-1,5\";\\u0000 ends in a blank? "}});
    const auto first = exported(desk.studio(), folder / "first", form);
    CHECK(first.at("export.json").find("\"invented_studio\": false") != std::string::npos);
    Desk other;
    static_cast<void>(imported(other.studio(), folder / "first"));
    CHECK(other.log().faults().empty());
    CHECK(exported(other.studio(), folder / "second", form) == first);
}

TEST_CASE("the invented studio goes out and comes in, undone and done again by one step each") {
    const Folder folder;
    const fs::path file = folder / "demo.tonebath";
    REQUIRE(app::write_demo(file, fs::path(TONEBATH_SOURCE_DIR) / "data"));
    const SystemClock clock;
    const auto demo = app::Studio::open({.log = file, .data = fs::path(TONEBATH_SOURCE_DIR) / "data"}, clock);
    REQUIRE(demo);
    const auto first = without_list(exported(**demo, folder / "first", app::FileForm::csv));
    const auto as_json = without_list(exported(**demo, folder / "json", app::FileForm::json));
    Desk desk;
    CHECK(app::is_empty_log(desk.studio()));
    const auto empty = desk.content();
    const std::string words_at_first = listed(desk, "SELECT record_id FROM find_entry ORDER BY 1");
    const std::string rules_at_first = listed(desk, "SELECT name || sql FROM sqlite_master WHERE type = 'trigger' ORDER BY 1");
    const app::Outcome outcome = imported(desk.studio(), folder / "first");
    CHECK_THAT(outcome.said, Contains("records brought in"));
    REQUIRE(outcome.cautions.size() == 1);
    CHECK_THAT(outcome.cautions.front(), Contains("invented"));
    CHECK(without_list(exported(desk.studio(), folder / "second", app::FileForm::json)) == as_json);

    // Checks and presses are never removed by undo, but an import is taken back whole.
    const auto undone = desk.studio().undo();
    INFO((undone ? undone->said : undone.error().code + " " + undone.error().text()));
    REQUIRE(undone);
    auto after = desk.content();
    after.pop_back();  // the change log has grown
    auto before = empty;
    before.pop_back();
    CHECK(after == before);
    CHECK(app::is_empty_log(desk.studio()));
    CHECK(listed(desk, "SELECT record_id FROM find_entry ORDER BY 1") == words_at_first);  // nothing is found that is gone
    const auto again = desk.studio().redo();
    INFO((again ? again->said : again.error().code + " " + again.error().text()));
    REQUIRE(again);
    CHECK(without_list(exported(desk.studio(), folder / "third", app::FileForm::csv)) == first);
    CHECK(desk.log().faults().empty());
    // What keeps checks is in its place again.
    CHECK(listed(desk, "SELECT name || sql FROM sqlite_master WHERE type = 'trigger' ORDER BY 1") == rules_at_first);
    store::Change change(desk.log(), "try", desk.clock.now(), "", desk.studio().ids());
    CHECK_THROWS_AS(store::run(desk.log(), "DELETE FROM check_answer"), store::StoreError);
}

TEST_CASE("no pin leaves the log, in no form") {
    const Folder folder;
    Desk desk;
    desk.does("person.add", {{"initials", "MK"}, {"role", "maker"}});
    desk.does("person.pin", {{"who", "MK"}, {"pin", "4821"}});
    const std::string kept = desk.last<Person>().pin;
    REQUIRE(kept.size() > 20);
    std::string all = app::as_json(*app::records(desk.studio(), {.noun = "person"})) + app::as_json(app::log_changes(desk.studio(), 100));
    for (const app::FileForm form : {app::FileForm::csv, app::FileForm::json}) {
        for (const auto& [name, text] : exported(desk.studio(), folder / std::string(app::ending_of(form)), form)) {
            all += text;
        }
    }
    CHECK(all.find(kept) == std::string::npos);
    CHECK(all.find(kept.substr(0, 12)) == std::string::npos);
    CHECK(all.find("4821") == std::string::npos);
    CHECK(all.find("MK") != std::string::npos);
    Desk other;
    static_cast<void>(imported(other.studio(), folder / ".csv"));
    CHECK(other.last<Person>().pin.empty());
}

TEST_CASE("what is wrong in a file is told with file, line, column, value and remedy, and nothing is written") {
    const Folder folder;
    const fs::path small = without_its_list(small_export(folder));
    const auto spoil = [&](const std::string& file, const std::string& what, const std::string& with) { replace_in(small / file, what, with); };
    SECTION("a number with a unit") {
        spoil("lot.csv", ",100,5,", ",100 g,5,");
        const Refusal refusal = refused_import(small, "import.bad_file");
        CHECK(refusal.field == "lot.csv line 2, bought_amount");
        CHECK(refusal.value == "100 g");
        CHECK_THAT(refusal.text(), Contains("not a number") && Contains("no unit") && Contains("Nothing was written"));
    }
    SECTION("a word that is none") {
        spoil("lot.csv", ",lump,", ",pebble,");
        const Refusal refusal = refused_import(small, "import.bad_file");
        CHECK(refusal.field == "lot.csv line 2, form");
        CHECK_THAT(refusal.remedy, Contains("lump, gel, liquid"));
    }
    SECTION("31 February") {
        spoil("lot_weighing.csv", "2026-03-31T09:00", "2026-02-31T09:00");
        CHECK(refused_import(small, "import.bad_file").field == "lot_weighing.csv line 2, at");
    }
    SECTION("neither yes nor no") {
        spoil("person.csv", ",yes,", ",TRUE,");
        CHECK(refused_import(small, "import.bad_file").value == "TRUE");
    }
    SECTION("a cell too many") {
        spoil("lot.csv", ",100,5,", ",100,5,,");
        CHECK_THAT(refused_import(small, "import.bad_file").message, Contains("15 cells") && Contains("14"));
    }
    SECTION("a number twice") {
        const std::string text = read_file(small / "person.csv");
        std::string line = text.substr(text.find("\r\n") + 2);
        line[35] = line[35] == '0' ? '1' : '0';
        write_file_whole(small / "person.csv", text + line);
        const Refusal refusal = refused_import(small, "import.bad_file");
        CHECK(refusal.field == "person.csv line 3");
        CHECK_THAT(refusal.message, Contains("initials"));
    }
    SECTION("a column that is none, and one that is missing") {
        spoil("lot.csv", "bought_amount", "bought");
        CHECK_THAT(refused_import(small, "import.bad_file").message, Contains("twice"));
        spoil("lot.csv", "opened,unit,bought", "opened,unit,weight");
        CHECK_THAT(refused_import(small, "import.bad_file").message, Contains("no such column"));
    }
    SECTION("a quotation mark that never closes") {
        spoil("lot.csv", ",lump,", ",\"lump,");
        CHECK_THAT(refused_import(small, "import.bad_file").message, Contains("never closed"));
    }
    SECTION("a record whose lot is not there") {
        const std::string text = read_file(small / "lot.csv");
        write_file_whole(small / "lot.csv", text.substr(0, text.find("\r\n") + 2));
        const Refusal refusal = refused_import(small, "import.missing_record");
        CHECK(refusal.field == "lot_weighing.csv line 2");
        CHECK_THAT(refusal.message, Contains("refers to a lot"));
    }
    SECTION("a file that is none, two forms, none at all") {
        write_file_whole(small / "lots.csv", "x");
        CHECK(refused_import(small, "import.unknown_file").field == "lots.csv");
        fs::rename(small / "lots.csv", small / "stone.json");
        static_cast<void>(refused_import(small, "import.two_forms"));
        fs::create_directory(folder / "bare");
        static_cast<void>(refused_import(folder / "bare", "import.nothing"));
        static_cast<void>(refused_import(folder / "not there", "import.nothing"));
    }
    SECTION("bytes that are not UTF-8") {
        spoil("lot.csv", "LS-2", "LS\xFF");
        CHECK(refused_import(small, "import.bad_file").field == "lot.csv line 2, number");
    }
    SECTION("an older file without a column that may be empty is taken") {
        const std::string text = read_file(small / "lot_weighing.csv");
        std::istringstream in(text);
        app::CsvReader csv(in);
        std::string shorter;
        while (csv.next()) {
            for (std::size_t i = 0; i + 1 < csv.cells().size(); ++i) {  // without from_memory
                shorter += (i == 0 ? "" : ",") + csv.cells()[i];
            }
            shorter += "\r\n";
        }
        write_file_whole(small / "lot_weighing.csv", shorter);
        Desk desk;
        static_cast<void>(imported(desk.studio(), small));
        CHECK(desk.last<LotWeighing>().left_amount == 60.0);
    }
}

TEST_CASE("JSON that is not as its schema says is refused with its line") {
    const Folder folder;
    without_its_list(small_export(folder, "json", app::FileForm::json));
    const fs::path lot = folder / "json" / "lot.json";
    const auto spoil = [&](const std::string& what, const std::string& with) {
        replace_in(lot, what, with);
        return refused_import(folder / "json", "import.bad_file");
    };
    SECTION("text for a number") {
        const Refusal refusal = spoil("\"bought_amount\": 100", "\"bought_amount\": \"100\"");
        CHECK(refusal.field == "lot.json line 2, bought_amount");
        CHECK_THAT(refusal.message, Contains("a number belongs there"));
    }
    SECTION("a half that is no JSON") { CHECK_THAT(spoil("\"bought_amount\": 100", "\"bought_amount\": 10 0").message, Contains("not JSON")); }
    SECTION("a list inside") { CHECK_THAT(spoil("\"bought_amount\": 100", "\"bought_amount\": [100]").message, Contains("plain values")); }
    SECTION("a name of no column") { CHECK_THAT(spoil("\"bought_amount\": 100", "\"weight\": 100").message, Contains("no such column")); }
    SECTION("cut short") { CHECK_THAT(spoil("\n]\n", "").message, Contains("not JSON")); }
}

TEST_CASE("an export that was changed, cut or written by a newer program is found by its list") {
    const Folder folder;
    static_cast<void>(small_export(folder, "out"));
    SECTION("a record is gone, and the rest is whole") {
        const std::string text = read_file(folder / "out" / "lot.csv");
        write_file_whole(folder / "out" / "lot.csv", text.substr(0, text.find("\r\n") + 2));
        CHECK(refused_import(folder / "out", "import.not_as_listed").field == "lot.csv");
    }
    SECTION("a file is gone") {
        fs::remove(folder / "out" / "stone.csv");
        CHECK(refused_import(folder / "out", "import.not_as_listed").field == "stone.csv");
    }
    SECTION("newer") {
        replace_in(folder / "out" / "export.json", "\"schema\": ", "\"schema\": 9");
        CHECK_THAT(refused_import(folder / "out", "import.newer").message, Contains("newer Tonebath"));
    }
    SECTION("no list any more") {
        write_file_whole(folder / "out" / "export.json", "{}");
        CHECK(refused_import(folder / "out", "import.bad_file").field == "export.json");
    }
}

TEST_CASE("a log that holds anything takes no import, and says what to do") {
    const Folder folder;
    const fs::path small = small_export(folder);
    Desk desk;
    desk.does("person.add", {{"initials", "AP"}, {"role", "apprentice"}});
    const auto before = desk.content();
    const auto refused = app::import_log(desk.studio(), small);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == "import.not_empty");
    CHECK_THAT(refused.error().remedy, Contains("--log"));
    CHECK(desk.content() == before);
    // Emptied again by undo, it takes it.
    REQUIRE(desk.studio().undo());
    static_cast<void>(imported(desk.studio(), small));
    CHECK(desk.all<LotWeighing>().size() == 1);
    // A word of a scale that was renamed counts as well.
    Desk other;
    other.does("tone.rename", {{"scale", "sterling"}, {"tone", "straw"}, {"word", "hay"}});
    CHECK_FALSE(app::is_empty_log(other.studio()));
}

TEST_CASE("export and import are stopped where the watch says so, and leave nothing behind") {
    const Folder folder;
    Desk desk;
    fill_at_random(desk, 9);
    int looks = 0;
    double last = -1.0;
    const auto done = app::export_log(desk.studio(), folder / "all", app::FileForm::csv, [&](std::string_view, double share) {
        CHECK(share >= last);
        CHECK(share <= 1.0);
        last = share;
        ++looks;
        return true;
    });
    REQUIRE(done);
    CHECK(last == 1.0);
    REQUIRE(looks > 5);
    const auto stop = GENERATE(0, 3);
    int seen = 0;
    const auto stopping = [&](std::string_view, double) { return seen++ < stop; };
    const auto stopped = app::export_log(desk.studio(), folder / "half", app::FileForm::json, stopping);
    REQUIRE_FALSE(stopped);
    CHECK(stopped.error().code == "export.stopped");
    CHECK_FALSE(fs::exists(folder / "half"));
    CHECK(std::distance(fs::directory_iterator(folder / ""), fs::directory_iterator()) == 1);
    Desk other;
    const auto before = other.content();
    seen = 0;
    const auto in = app::import_log(other.studio(), folder / "all", stopping);
    REQUIRE_FALSE(in);
    CHECK(in.error().code == "import.stopped");
    CHECK(other.content() == before);
}

TEST_CASE("an export writes over nothing, and into an empty folder") {
    const Folder folder;
    Desk desk;
    fs::create_directory(folder / "empty");
    CHECK(app::export_log(desk.studio(), folder / "empty/", app::FileForm::csv));
    const auto again = app::export_log(desk.studio(), folder / "empty", app::FileForm::csv);
    REQUIRE_FALSE(again);
    CHECK(again.error().code == "export.folder_not_empty");
    write_file_whole(folder / "file", "x");
    CHECK(app::export_log(desk.studio(), folder / "file", app::FileForm::csv).error().code == "export.folder_not_empty");
    CHECK(app::export_log(desk.studio(), folder / "file/below", app::FileForm::csv).error().code == "export.not_written");
}
