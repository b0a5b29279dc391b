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
    program.does({"class", "add", "--title", "Groyne", "--at", "31 Dec 2099 10:00", "--supervisor", "MK"});
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

TEST_CASE("A minor's consent, where the venue asks for it: it holds the class, is seen by a named person, and is asked of the next class") {
    const Program program;
    program.does({"person", "add", "--initials", "MK"});
    program.does({"class", "add", "--title", "Groyne", "--at", "31 Dec 2099 10:00", "--limit", "2", "--supervisor", "MK"});
    program.does({"class", "brief", "--seat", "1..2"});
    program.does({"class", "seat", "--seat", "2", "--minor", "yes"});
    CHECK(program.tells({"class", "sheet"}).at("refused").empty());  // this venue does not ask
    program.does({"class", "ask-consent"});
    auto sheet = program.tells({"class", "sheet"});
    REQUIRE(sheet.at("refused").size() == 1);
    CHECK(sheet.at("refused")[0].at("key") == "consent 2");
    CHECK(sheet.at("seats")[1].at("no_consent") == true);
    CHECK(program.refuses({"class", "start"}).at("refused") == "class.refused");
    // Watching is being there too; an empty seat is not.
    program.does({"class", "seat", "--seat", "2", "--use", "watching"});
    CHECK(program.tells({"class", "sheet"}).at("refused").size() == 1);
    program.does({"class", "seat", "--seat", "2", "--use", "in use"});
    CHECK(program.refuses({"class", "consent", "--seat", "1"}).at("refused") == "seat.no_minor");
    CHECK(program.refuses({"class", "consent", "--seat", "7"}).at("refused") == "seat.unknown");
    program.does({"class", "consent", "--seat", "2"});
    const auto seats = program.rows("seat");
    REQUIRE(seats.size() == 2);
    CHECK(seats[1].at("consent_by") == "MK");
    program.does({"class", "consent", "--seat", "2", "--take-back", "yes"});
    CHECK(program.refuses({"class", "start"}).at("refused") == "class.refused");
    program.does({"class", "consent", "--seat", "2"});
    program.does({"class", "start"});
    program.does({"class", "end"});
    program.does({"class", "add", "--title", "Groyne again", "--at", "31 Dec 2099 14:00", "--limit", "2", "--supervisor", "MK"});
    CHECK(program.tells({"class", "sheet"}).at("consent_asked") == true);
    program.does({"class", "add", "--title", "Long ago", "--at", "1 Mar 2024 14:00", "--limit", "2", "--past", "yes"});
    CHECK(program.tells({"class", "sheet", "C-3"}).at("consent_asked") == false);
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
