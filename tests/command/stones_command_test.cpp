// Stones by commands: what each met is what its piece's dips say, and what is not understood is refused.
#include "command/program.hpp"

#include <catch2/catch.hpp>

#include <string>

using namespace tonebath::test;
using Catch::Matchers::WithinAbs;

namespace {

// Bath 1, made up nearly three hours ago, and piece A-1.
void make_up_with_piece(const Program& program) {
    program.does({"person", "add", "--initials", "MK"});
    program.does({"lot", "add", "--number", "LS-1", "--form", "lump", "--amount", "100 g"});
    program.mixes("LS-1");
    program.does({"bath", "make-up", "--lot", "LS-1", "--amount", "2 g", "--water", "400 ml", "--start-temp", "60", "--at", "170 min ago"});
    program.does({"piece", "add", "--number", "A-1", "--metal", "sterling"});
}

}  // namespace

TEST_CASE("what a stone met is the sum of its piece's dips since it was set") {
    const Program program;
    make_up_with_piece(program);
    const auto dip = [&](const std::string& dropped, const std::string& length, const std::string& rinse) {
        program.does({"dip", "enter", "--bath", "1", "--piece", "A-1", "--dropped", dropped, "--length", length, "--rinse", rinse});
    };
    dip("150 min ago", "11 s", "30 s");
    program.does({"stone", "add", "--number", "S-1", "--piece", "A-1", "--kind", "pearl", "--set", "140 min ago"});
    dip("130 min ago", "20 s", "30 s");
    dip("120 min ago", "12.5 s", "5 s");
    const auto met = program.tells({"stones", "met", "S-1"});
    REQUIRE(met.at("met").size() == 1);
    CHECK_THAT(met.at("met")[0].at("seconds").get<double>(), WithinAbs(32.5, 1e-9));
    CHECK(met.at("met")[0].at("dips") == 2);
    CHECK(met.at("met")[0].at("short_rinses") == 1);
    CHECK_THAT(met.at("met")[0].at("hottest_c").get<double>(), WithinAbs(60.0, 1e-9));
    // Bath by bath: each dip with its seconds, the bath's heat at that time (cooled from 60 °C) and its rinse.
    CHECK_FALSE(met.at("since").is_null());
    REQUIRE(met.at("baths").size() == 1);
    CHECK(met.at("baths")[0].at("bath") == "1");
    CHECK_THAT(met.at("baths")[0].at("seconds").get<double>(), WithinAbs(32.5, 1e-9));
    const auto dips = met.at("baths")[0].at("dips");
    REQUIRE(dips.size() == 2);
    CHECK(dips[0].at("seconds") == 20.0);
    CHECK(dips[0].at("rinse_s") == 30.0);
    CHECK(dips[1].at("rinse_s") == 5.0);
    CHECK(dips[1].at("by_curve") == true);
    CHECK(dips[0].at("temp_c").get<double>() < 60.0);
    CHECK(dips[1].at("temp_c").get<double>() < dips[0].at("temp_c").get<double>());
    CHECK_THAT(program.does({"stones", "met", "S-1"}), Catch::Matchers::Contains("bath 1, 20 s at about") && Catch::Matchers::Contains("33 s in 2 dips"));
    const auto grid = program.tells({"stones", "grid"});
    REQUIRE(grid.at("cells").size() == 1);
    CHECK(grid.at("cells")[0].at("band") == "30 to 60 s");
    CHECK(grid.at("cells")[0].at("count").at("words") == "untested");
}

TEST_CASE("stones: what is not understood is refused with the way out") {
    const Program program;
    program.does({"piece", "add", "--number", "A-1", "--metal", "sterling"});
    CHECK(program.refuses({"stones", "grid", "--backing", "mirror"}).at("field") == "Backing");
    CHECK(program.refuses({"stones", "gate", "pearl", "liver of sulfur, lump", "--backing", "mirror"}).at("field") == "Backing");
    CHECK(program.refuses({"stones", "gate", "pearl", "tea"}).at("field") == "Finish");
    CHECK(program.refuses({"stones", "ask-back", "LQ-9"}).at("value") == "LQ-9");
    CHECK(program.refuses({"stones", "met", "S-9"}).at("field") == "Stone");
    CHECK(program.on_log({"stones", "grid", "--coats", "-1"}).code == 2);
}

TEST_CASE("a coating evening by commands: planned to the minute, pressed, and told where it stands") {
    const Program program;
    program.does({"person", "add", "--initials", "MK"});
    program.does({"bottle", "add", "--number", "LQ-1", "--recoat", "10 min", "--cure", "12 h"});
    const auto plan = program.tells({"coats", "plan", "--stones", "36", "--each", "25 s", "--bottle", "LQ-1", "--for", "23:59", "--stone", "14"});
    CHECK(plan.at("loop_s") == 900.0);
    CHECK(plan.at("idle_s") == 0.0);
    CHECK(plan.at("coats_s") == 2700.0);
    CHECK(plan.at("wait_from") == "LQ-1's label");
    CHECK_FALSE(plan.at("latest_start").is_null());
    CHECK(program.refuses({"coats", "plan", "--stones", "36", "--room", "70"}).at("field") == "Room");
    CHECK(program.refuses({"coats", "plan", "--stones", "36", "--humidity", "101"}).at("field") == "Humidity");
    CHECK(program.refuses({"coats", "plan", "--stones", "36", "--bottle", "LQ-9"}).at("field") == "Bottle");
    CHECK_THAT(program.tells({"--fahrenheit", "coats", "plan", "--stones", "9", "--room", "70", "--humidity", "45"}).at("air").at("margin_c").get<double>(), WithinAbs(12.4, 0.1));

    CHECK(program.tells({"coats", "now"}).at("under_way") == false);
    program.does({"check", "confirm", "--list", "lacquer", "--who", "MK", "--item",
                  "ignition: all off\nair: window\nno_oxidiser: none here\nppe: I\nsmall: 5 mL\npeople: shown\nwaste: can 1\ndone: 9:10"});
    program.does({"coating", "begin", "--stones", "4", "--bottle", "LQ-1", "--who", "MK"});
    program.does({"coat", "on"});
    const auto now = program.tells({"coats", "now"});
    CHECK(now.at("next_place") == 2);
    CHECK(now.at("rows").size() == 1);
    CHECK(now.at("places")[0].at("done") == 1);
}

TEST_CASE("a stone that moved takes what it met along, and a part's dips count from the day it was joined") {
    const Program program;
    make_up_with_piece(program);
    program.does({"piece", "add", "--number", "A-2", "--metal", "sterling"});
    const auto dip = [&](const std::string& piece, const std::string& dropped, const std::string& length) {
        program.does({"dip", "enter", "--bath", "1", "--piece", piece, "--dropped", dropped, "--length", length, "--rinse", "30 s"});
    };
    program.does({"stone", "add", "--number", "S-1", "--piece", "A-1", "--kind", "pearl", "--set", "160 min ago"});
    dip("A-1", "150 min ago", "10 s");
    dip("A-2", "145 min ago", "70 s");
    program.does({"stone", "move", "--stone", "S-1", "--piece", "A-2", "--at", "140 min ago"});
    dip("A-1", "130 min ago", "80 s");
    dip("A-2", "120 min ago", "5 s");
    const auto met = program.tells({"stones", "met", "S-1"});
    CHECK(met.at("piece") == "A-2");
    CHECK_THAT(met.at("met")[0].at("seconds").get<double>(), WithinAbs(15.0, 1e-9));
    CHECK(met.at("met")[0].at("short_rinses") == 0);
    REQUIRE(met.at("baths")[0].at("dips").size() == 2);
    CHECK(met.at("baths")[0].at("dips")[0].at("of") == "A-1");
    CHECK(met.at("baths")[0].at("dips")[1].at("of") == "A-2");
    program.does({"after-work", "add", "--piece", "A-1", "--step", "dried", "--at", "110 min ago"});
    program.does({"after-work", "add", "--piece", "A-2", "--step", "sealed", "--with", "wax", "--at", "100 min ago"});
    program.does({"stone", "look", "--stone", "S-1", "--seen", "dulled", "--zone", "face"});
    const auto story = program.tells({"stones", "met", "S-1"});
    REQUIRE(story.at("after_work").size() == 1);
    CHECK(story.at("after_work")[0].at("with") == "wax");
    CHECK(story.at("looks")[0].at("zone") == "face");
    CHECK(story.at("harm") == "dulled");
    // One touch may have left out where; it is added to the newest look, and only to harm.
    program.does({"stone", "zone", "--stone", "S-1", "--zone", "edge"});
    CHECK(program.tells({"stones", "met", "S-1"}).at("looks")[0].at("zone") == "edge");
    CHECK(program.tells({"stones", "damage"}).at("zones")[2].at("up_to_8_mm") == 1);
    program.does({"stone", "add", "--number", "S-2", "--piece", "A-2", "--kind", "pearl"});
    CHECK(program.refuses({"stone", "zone", "--stone", "S-2", "--zone", "edge"}).at("field") == "Stone");
    CHECK(program.tells({"stones", "find", "pearl dulled"}).at("stones").size() == 1);
    CHECK(program.tells({"stones", "find", "garnet"}).at("stones").empty());
}

TEST_CASE("a tender stone is told of before the bath, and looks fall due when the studio says") {
    const Program program;
    program.does({"person", "add", "--initials", "MK"});
    program.does({"lot", "add", "--number", "LS-1", "--form", "lump", "--amount", "100 g"});
    program.mixes("LS-1");
    program.does({"bath", "make-up", "--lot", "LS-1", "--amount", "2 g", "--water", "400 ml", "--start-temp", "60", "--at", "9 days ago"});
    program.does({"piece", "add", "--number", "A-1", "--metal", "sterling"});
    program.does({"stone", "add", "--number", "S-1", "--piece", "A-1", "--kind", "turquoise, untreated", "--backing", "none", "--set", "9 days ago"});
    CHECK_THAT(program.does({"bench", "lay-out", "--bath", "1", "--piece", "A-1"}), Catch::Matchers::Contains("tender to alkalis and sulfides"));
    program.does({"dip", "enter", "--bath", "1", "--piece", "A-1", "--length", "20 s", "--dropped", "8 days ago"});
    CHECK(program.tells({"stones", "due"}).at("due").empty());
    CHECK_THAT(program.does({"stone", "look-days", "--days", "60, 7"}), Catch::Matchers::Contains("7, 60 days"));
    CHECK(program.tells({"stones", "due"}).at("due")[0].at("days") == 7);
    CHECK(program.refuses({"stone", "look-days", "--days", "soon"}).at("field") == "Days");
}

TEST_CASE("bottles and seals of the demo by commands") {
    const Program program;
    const auto study = program.tells_of_demo({"stones", "bottles"});
    CHECK(study.at("findings")[0].at("compared")[0].at("curve").size() > 1);
    CHECK_THAT(program.start({"--demo", "stones", "bottles", "--figures"}).out, Catch::Matchers::Contains("Fisher's exact test"));
    const auto bottles = program.tells_of_demo({"coats", "bottles"}).at("bottles");
    REQUIRE(bottles.size() == 3);
    CHECK(bottles[2].at("bottle") == "LQ-3");
    CHECK(bottles[2].at("slow") == true);
    CHECK(bottles[0].at("slow") == false);
    CHECK(program.tells_of_demo({"coats", "seals"}).at("seals").size() == 3);
}
