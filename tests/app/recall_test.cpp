#include "app/studio_desk.hpp"

#include "app/recall.hpp"
#include "app/resolve.hpp"

#include <algorithm>

using namespace tonebath;
using namespace tonebath::test;

namespace {

struct Year : Desk {
    Year() {
        make_bath();
        does("batch.add", {{"number", "31"}, {"design", "Limpet"}});
        does("piece.add", {{"number", "L-058..L-060"}, {"metal", "sterling"}, {"batch", "31"}});
        does("stone.add", {{"number", "S-1"}, {"kind", "pearl"}, {"piece", "L-059"}});
        does("strip.add", {{"number", "12"}, {"metal", "copper"}, {"note", "offcut of the lid"}});
        does("dip.enter", {{"bath", "1"}, {"piece", "L-058"}, {"length", "40"}});
        does("judgement.add", {{"piece", "L-058"}, {"tone", "blue"}});
        does("bath.make-up", {{"number", "2"}, {"at", "10 Feb 2026"}, {"note", "Café bowl"}});
    }
    std::vector<std::string> found(std::string_view typed) {
        std::vector<std::string> lines;
        for (const app::Hit& hit : app::find_anything(studio(), typed)) {
            lines.push_back(hit.noun + " " + hit.number);
        }
        return lines;
    }
    bool finds(std::string_view typed, const std::string& wanted) {
        const std::vector<std::string> lines = found(typed);
        return std::find(lines.begin(), lines.end(), wanted) != lines.end();
    }
};

}  // namespace

TEST_CASE("Anything is found by what one remembers of it") {
    Year year;
    CHECK(year.found("L-058").front() == "piece L-058");
    CHECK(year.found("bath 2").front() == "bath 2");
    CHECK(year.finds("l-058 whole", "part L-058 whole"));
    CHECK(year.finds("limpet", "batch 31"));
    CHECK(year.finds("LIMP", "piece L-060"));
    CHECK(year.finds("blue", "piece L-058"));   // judged so
    CHECK(year.finds("pearl", "piece L-059"));  // its stone
    CHECK(year.finds("pearl", "stone S-1"));
    CHECK(year.finds("copper", "test strip 12"));
    CHECK(year.finds("offcut lid", "test strip 12"));
    CHECK(year.finds("cafe", "bath 2"));  // accents aside
    CHECK(year.finds("LS-2", "lot LS-2"));
    CHECK(year.finds("LS-2", "bath 1"));  // made from it
    CHECK(year.finds("February", "bath 2"));
    CHECK(year.finds("feb 2026", "bath 2"));
    CHECK_FALSE(year.finds("feb 2025", "bath 2"));
    CHECK_FALSE(year.finds("feb", "bath 1"));
    CHECK(year.finds("mar 2026", "dip L-058/1"));
}

TEST_CASE("Nothing typed, and what is no question, finds nothing and breaks nothing") {
    Year year;
    CHECK(year.found("").empty());
    CHECK(year.found("   ").empty());
    CHECK(year.found("\" OR 1=1 --").empty());
    CHECK(year.found("*").empty());
    CHECK(year.found("AND NOT NEAR(").empty());
    CHECK(year.found(std::string(10240, 'x')).empty());
    CHECK(year.found("\xFF").empty());
    CHECK(year.found("銀の浴").empty());
}

TEST_CASE("Records are meant by number, by name and by place in a row") {
    Year year;
    const auto resolved = [&](std::string_view typed) {
        const Result<Dip> dip = app::resolve<Dip>(year.studio(), "Dip", typed);
        return dip ? app::name_of(year.studio(), *dip) : dip.error().code;
    };
    CHECK(resolved("L-058/1") == "L-058/1");
    CHECK(resolved("L-058") == "L-058/1");
    CHECK(resolved("L-058/2") == "dip.unknown");
    CHECK(resolved("L-058/x") == "dip.unknown");
    CHECK(resolved("nothing") == "dip.unknown");
    CHECK(resolved(year.last<Dip>().id.text) == "L-058/1");
    CHECK(app::resolve<ToneScale>(year.studio(), "Scale", "Sterling"));
    CHECK(app::resolve<Tone>(year.studio(), "Tone", "copper: brown"));
    CHECK_FALSE(app::resolve<Tone>(year.studio(), "Tone", "copper: blue"));
    CHECK(app::resolve<Bath>(year.studio(), "Bath", "BATH 1")->number == "1");
    const Result<Bath> none = app::resolve<Bath>(year.studio(), "Bath", "3");
    REQUIRE_FALSE(none);
    CHECK(none.error().answers == std::vector<std::string>{"1", "2"});
}
