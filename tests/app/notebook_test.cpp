// An old notebook comes in as past work: what can be read is read, what cannot stays words, and a gap stays a gap.
#include "app/exchange/notebook.hpp"
#include "app/studio_desk.hpp"
#include "base/files.hpp"

#include <catch2/catch.hpp>
#include <rapidcheck.h>

#include <cstdlib>

using namespace tonebath;
using namespace tonebath::test;
using app::Meaning;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
namespace fs = std::filesystem;

namespace {

// A file that is gone at the end.
class Notebook {
public:
    explicit Notebook(const std::string& text) {
        std::string pattern = (fs::temp_directory_path() / "tonebath-notebook-XXXXXX").string();
        REQUIRE(mkdtemp(pattern.data()) != nullptr);
        folder_ = pattern;
        write_file_whole(file(), text);
    }
    ~Notebook() { fs::remove_all(folder_); }
    Notebook(const Notebook&) = delete;
    Notebook& operator=(const Notebook&) = delete;
    [[nodiscard]] fs::path file() const { return folder_ / "notebook.csv"; }

private:
    fs::path folder_;
};

app::NotebookView looked(Desk& desk, const app::NotebookAsk& ask) {
    const auto before = desk.content();
    const auto view = app::look_at_notebook(desk.studio(), ask);
    INFO((view ? "" : view.error().text()));
    REQUIRE(view);
    CHECK(desk.content() == before);
    return *view;
}

app::Outcome brought(Desk& desk, const app::NotebookAsk& ask) {
    const auto done = app::bring_notebook(desk.studio(), ask);
    INFO((done ? "" : done.error().code + " " + done.error().text()));
    REQUIRE(done);
    return *done;
}

const app::NotebookColumn& column(const app::NotebookView& view, const std::string& name) {
    const auto found = std::find_if(view.columns.begin(), view.columns.end(), [&](const auto& one) { return one.name == name; });
    REQUIRE(found != view.columns.end());
    return *found;
}

constexpr const char* kOld =
    "Date;Item;Metal;Jar;LOS;Water;Temp;Secs;Colour;weather\r\n"
    "12/3/2019;ring 1;sterling;old jar;2 g;400 ml;warm;40;blue;rain\r\n"
    "12/3/2019;ring 2;sterling;old jar;;;55;40-45;blue;\r\n"
    "13.3.2019;;copper;LS-2;3;1 cup;131 F;1:20;a sort of plum;\"windy; cold\"\r\n"
    "14 March 2019;ring 1;;;pea;;;;;\r\n";

}  // namespace

TEST_CASE("the preview says what each column is taken for and what of it stays words") {
    Desk desk;
    desk.set_up();
    const Notebook notebook(kOld);
    const auto view = looked(desk, {.file = notebook.file()});
    CHECK(view.separator == ';');
    CHECK(view.rows == 4);
    CHECK(view.undated == 0);
    CHECK(column(view, "Date").meaning == Meaning::day);
    CHECK(column(view, "Item").meaning == Meaning::piece);
    CHECK(column(view, "Secs").meaning == Meaning::length);
    CHECK(column(view, "weather").meaning == Meaning::note);
    const auto& temp = column(view, "Temp");
    CHECK((temp.read == 2 && temp.words == 1 && temp.blank == 1));
    CHECK(temp.first_word == "warm");
    CHECK(temp.first_line == 2);
    const auto words = app::notebook_words(view);
    CHECK_THAT(words.at(6), Contains("Temp: temperature, guessed") && Contains("1 gap") && Contains("1 cell left as words, the first on line 2: warm"));
}

TEST_CASE("rows become past dips; warm is a note, a gap is a gap, one undo takes all of it back") {
    Desk desk;
    desk.set_up();
    const auto before = desk.content();
    const Notebook notebook(kOld);
    const auto outcome = brought(desk, {.file = notebook.file()});
    CHECK_THAT(outcome.said, Contains("4 dips"));
    const auto dips = desk.all<Dip>();
    REQUIRE(dips.size() == 4);
    for (const Dip& dip : dips) {
        CHECK(dip.past_work);
        CHECK_FALSE(dip.dropped_at);
        CHECK(dip.at_about);
    }
    CHECK_FALSE(dips[0].temp);
    CHECK_THAT(dips[0].note, Contains("Temp: warm") && Contains("weather: rain"));
    CHECK(dips[0].in_bath->seconds() == 40.0);
    CHECK(dips[1].temp->celsius() == 55.0);
    CHECK_FALSE(dips[1].in_bath);
    CHECK_THAT(dips[1].note, Contains("Secs: 40-45"));
    CHECK_THAT(dips[2].temp->celsius(), WithinAbs(55.0, 1e-9));
    CHECK(dips[2].in_bath->seconds() == 80.0);
    CHECK_THAT(dips[2].note, Contains("a sort of plum") && Contains("windy; cold"));
    CHECK_FALSE(dips[3].in_bath);
    CHECK_FALSE(dips[3].temp);
    CHECK_THAT(dips[3].note, Contains("LOS: pea"));
    CHECK(iso_text(*dips[0].at_about).substr(0, 10) == "2019-03-12");
    CHECK(iso_text(*dips[3].at_about).substr(0, 10) == "2019-03-14");
    CHECK(dips[0].piece_id == dips[3].piece_id);

    const auto baths = desk.all<Bath>();
    REQUIRE(baths.size() == 3);  // a day and a jar share one
    CHECK(dips[0].bath_id == dips[1].bath_id);
    CHECK(baths[0].past_work);
    CHECK_FALSE(baths[0].lot_id);
    CHECK_FALSE(baths[0].amount);
    CHECK_THAT(baths[0].note, Contains("old jar") && Contains("2 g"));
    CHECK(baths[0].water->ml() == 400.0);
    CHECK(baths[1].lot_id);
    CHECK(baths[1].amount == 3.0);
    CHECK_THAT(baths[1].water->ml(), WithinAbs(236.6, 0.05));  // a US cup
    CHECK(baths[2].finish_kind == "unknown");

    const auto tones = desk.all<Judgement>();
    REQUIRE(tones.size() == 2);
    CHECK(tones[0].dip_id == dips[0].id);
    REQUIRE(desk.studio().undo());
    auto after = desk.content();
    auto had = before;
    after.pop_back();
    had.pop_back();
    CHECK(after == had);
}

TEST_CASE("columns are told, units chosen, the month before the day") {
    Desk desk;
    desk.set_up();
    const Notebook notebook("when it was,what,how hot,how long,where from\n3/12/2019,A,131,2,1\n3/12/2019,B,,,1\n");
    app::NotebookAsk ask{.file = notebook.file(), .columns = {{Meaning::day, "When it was"}, {Meaning::piece, "what"}, {Meaning::temperature, "how hot"}, {Meaning::length, "how long"}, {Meaning::bath, "where from"}}};
    ask.units.temperature = UnitChoice::Temperature::fahrenheit;
    ask.minutes = true;
    ask.month_first = true;
    static_cast<void>(brought(desk, ask));
    const auto dips = desk.all<Dip>();
    REQUIRE(dips.size() == 2);
    CHECK(iso_text(*dips[0].at_about).substr(0, 10) == "2019-03-12");
    CHECK_THAT(dips[0].temp->celsius(), WithinAbs(55.0, 1e-9));
    CHECK(dips[0].in_bath->seconds() == 120.0);
    CHECK_FALSE(dips[1].temp);
    CHECK(desk.last<Bath>().number == "1");
    // A second notebook with a bath of that number keeps it apart.
    static_cast<void>(brought(desk, ask));
    CHECK(desk.all<Bath>().size() == 2);
    CHECK(desk.one_text("SELECT group_concat(number, '|') FROM (SELECT number FROM bath ORDER BY number)") == "1|1, notebook");
    CHECK(desk.all<Piece>().size() == 2);
    ask.columns[Meaning::metal] = "ore";
    const auto none = app::look_at_notebook(desk.studio(), ask);
    REQUIRE_FALSE(none);
    CHECK(none.error().code == "notebook.no_column");
    CHECK_THAT(none.error().remedy, Contains("how hot"));
}

TEST_CASE("a row without a day is not placed by guessing") {
    Desk desk;
    desk.set_up();
    const Notebook notebook("date,piece,secs\n2019-03-12,A,40\nyesterday,B,40\n12/3/19,C,40\n31/2/2019,D,40\n");
    const auto before = desk.content();
    const auto refused = app::bring_notebook(desk.studio(), {.file = notebook.file()});
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == "notebook.no_day");
    CHECK(refused.error().field == "line 3");
    CHECK(desk.content() == before);
    CHECK(looked(desk, {.file = notebook.file()}).undated == 3);
    const auto outcome = brought(desk, {.file = notebook.file(), .leave_undated = true});
    CHECK_THAT(outcome.said, Contains("1 dip"));
    CHECK_THAT(outcome.cautions.back(), Contains("3 rows without a day"));
}

TEST_CASE("a cell without a digit never becomes a number") {
    Desk desk;
    desk.set_up();
    CHECK(rc::check("whatever the words", [&] {
        const auto cell = *rc::gen::container<std::string>(rc::gen::element('w', 'a', 'r', 'm', ' ', '-', '.', '+', 'e', 'C', 's', '/', ':'));
        const Notebook notebook("date,piece,temp,secs,water,los\n2019-03-12,A,\"" + cell + "\",\"" + cell + "\",\"" + cell + "\",\"" + cell + "\"\n");
        const auto view = app::look_at_notebook(desk.studio(), {.file = notebook.file()});
        RC_ASSERT(view.has_value());
        for (const char* name : {"temp", "secs", "water", "los"}) {
            RC_ASSERT(column(*view, name).read == 0);
        }
    }));
}

TEST_CASE("bad notebooks are refused with their line, and a stopped one leaves nothing") {
    Desk desk;
    desk.set_up();
    const auto code = [&](const std::string& text) {
        const Notebook notebook(text);
        const auto before = desk.content();
        const auto done = app::bring_notebook(desk.studio(), {.file = notebook.file()});
        REQUIRE_FALSE(done);
        CHECK_FALSE(done.error().remedy.empty());
        CHECK(desk.content() == before);
        return done.error().code + " " + done.error().field;
    };
    CHECK(code("") == "notebook.empty File");
    CHECK(code("date,piece\n2019-03-12,A\n2019-03-12\n") == "notebook.bad_row notebook.csv line 3");
    CHECK(code("date,piece\n2019-03-12,\"A\n") == "notebook.bad_row notebook.csv line 2");
    CHECK(code("date,piece\n2019-03-12,A\xFF\n") == "notebook.bad_row notebook.csv line 2");
    CHECK(app::look_at_notebook(desk.studio(), {.file = "/not/there.csv"}).error().code == "notebook.unreadable");
    std::string many = "date,piece,secs\n";
    for (int i = 0; i < 2500; ++i) {
        many += "2019-03-12,A,40\n";
    }
    const Notebook notebook(many);
    const auto before = desk.content();
    const auto stopped = app::bring_notebook(desk.studio(), {.file = notebook.file()}, [](std::string_view, double) { return false; });
    REQUIRE_FALSE(stopped);
    CHECK(stopped.error().code == "notebook.stopped");
    CHECK(desk.content() == before);
}
