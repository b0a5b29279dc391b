// Classes and rooms by commands, to the end of a class.
#include "command/program.hpp"

#include <catch2/catch.hpp>

using namespace tonebath::test;

TEST_CASE("A class by commands: rooms, seats, briefing, refusal, start, incident, end") {
    const Program program;
    program.does({"person", "add", "--initials", "MK"});
    CHECK(program.refuses({"class", "sheet"}).at("refused") == "class.none");
    program.does({"room", "add", "--name", "net store", "--size", "6.0 x 3.2 x 2.4 m", "--flow", "162 cfm", "--seats", "3"});
    program.does({"room", "add", "--name", "hall", "--size", "12000 ft3"});
    program.does({"room", "use", "--name", "net store"});
    const auto rooms = program.rows("room");
    REQUIRE(rooms.size() == 2);
    CHECK(rooms[0].at("limit_by") == "MK");
    program.does({"class", "add", "--title", "Groyne", "--at", "31 Dec 2099 10:00", "--room", "net store", "--supervisor", "MK"});
    CHECK(program.refuses({"class", "seat", "--seat", "4"}).at("refused") == "class.over_limit");
    program.does({"class", "seat", "--seat", "4", "--over-by", "MK", "--over-why", "a pair"});
    CHECK(program.refuses({"class", "start"}).at("refused") == "class.refused");
    program.does({"class", "brief", "--seat", "1..3"});
    auto sheet = program.tells({"class", "sheet"});
    CHECK(sheet.at("class") == "C-1");
    CHECK(sheet.at("briefed") == 3);
    REQUIRE(sheet.at("refused").size() == 1);
    CHECK(sheet.at("refused")[0].at("seat") == 4);
    CHECK(sheet.at("over_limit").get<std::string>().find("let in by MK, a pair") != std::string::npos);
    program.does({"class", "seat", "--seat", "4", "--use", "watching"});
    program.does({"class", "start"});
    program.does({"class", "incident", "--words", "a rinse bowl tipped over"});
    program.does({"class", "hand-out"});
    program.does({"class", "end"});
    sheet = program.tells({"class", "sheet", "C-1"});
    CHECK(sheet.at("incidents").size() == 1);
    CHECK(sheet.at("state").get<std::string>().starts_with("ended"));
    const auto classes = program.rows("class");
    REQUIRE(classes.size() == 1);
    CHECK(classes[0].at("supervisor") == "MK");
    CHECK(classes[0].at("room_id") == "net store");
    CHECK(program.rows("seat").size() == 4);
    CHECK(program.tells({"class", "show", "C-1"}).size() == 1);
    const auto people = program.tells({"class", "people"});
    CHECK(people.at("kept_months").is_null());
    program.does({"person", "keep", "--months", "24"});
    CHECK(program.tells({"class", "people"}).at("kept_months") == 24);
    const std::string words = program.does({"class", "sheet"});
    for (const char* part : {"Groyne", "watching, no lane, goggles on", "No health facts are asked or kept", "seat 4 let in by MK"}) {
        INFO(words);
        CHECK(words.find(part) != std::string::npos);
    }
}

TEST_CASE("The invented studio's class of today, with each seat's seconds") {
    const Program program;
    const auto sheet = program.tells_of_demo({"class", "sheet"});
    CHECK(sheet.at("class") == "C-9");
    CHECK(sheet.at("invented") == true);
    CHECK(sheet.at("refused").size() == 3);
    const auto& lanes = sheet.at("plan").at("lanes");
    INFO(sheet.at("plan").dump());
    CHECK(lanes.size() == 9);
    for (const auto& lane : lanes) {
        CHECK(lane.at("seat") != 9);
        CHECK(lane.at("in_bath_s").get<double>() > 0.0);
    }
    const auto crowded = program.tells_of_demo({"class", "sheet", "C-6"});
    CHECK(crowded.at("taken") == 12);
    CHECK(crowded.at("limit") == 10);
}
