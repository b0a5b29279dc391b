// Why, drift and compare by commands, on the demo studio.
#include "command/program.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

using namespace tonebath::test;

namespace {

nlohmann::json told(const Program& program, std::vector<std::string> words) {
    words.insert(words.begin(), {"--demo", "--json"});
    const Ended ended = program.start(words);
    INFO(ended.out << ended.err);
    REQUIRE(ended.code == 0);
    return nlohmann::json::parse(ended.out);
}

std::string said(const Program& program, std::vector<std::string> words) {
    words.insert(words.begin(), "--demo");
    const Ended ended = program.start(words);
    INFO(ended.out << ended.err);
    REQUIRE(ended.code == 0);
    return ended.out;
}

}  // namespace

TEST_CASE("Why, drift and compare by commands") {
    const Program program;
    const auto why = told(program, {"why", "L-058"});
    REQUIRE_FALSE(why.empty());
    bool heat = false;
    for (const auto& part : why) {
        for (const auto& cause : part.at("causes")) {
            heat = heat || (part.at("part") == "lid" && cause.at("name") == "heat of the bath" && cause.at("named") == true);
        }
    }
    CHECK(heat);
    const std::string words = said(program, {"why", "L-016"});
    INFO(words);
    CHECK(words.find("nothing recorded explains this") != std::string::npos);
    CHECK(words.find("not explained") != std::string::npos);

    const auto drift = told(program, {"drift"});
    CHECK(drift.at("points").size() == 46);
    std::vector<std::string> causes;
    for (const auto& shift : drift.at("shifts")) {
        causes.push_back(shift.at("cause"));
    }
    CHECK(std::count(causes.begin(), causes.end(), "thermometer") == 1);
    CHECK(std::count(causes.begin(), causes.end(), "lot") == 1);
    CHECK(drift.at("metals").size() == 1);
    CHECK(said(program, {"drift"}).find("Half of its strength") != std::string::npos);

    const auto who = told(program, {"compare", "--by", "who", "--batch", "9", "--part", "lid"});
    REQUIRE(who.at("rows").size() == 1);
    CHECK(who.at("rows")[0].at("raw_differs") == true);
    CHECK(who.at("rows")[0].at("equal_dose_differs") == false);
    CHECK(said(program, {"compare", "--by", "rack", "--batch", "20"}).find("heat of the bath") != std::string::npos);
}

TEST_CASE("Why, drift and compare say what is missing") {
    const Program program;
    CHECK(program.refuses({"why", "L-999"}).contains("code"));
    program.does({"piece", "add", "--number", "L-1", "--metal", "sterling"});
    CHECK(program.refuses({"why", "L-1"}).at("code") == "why.no_mates");
    CHECK(program.does({"drift"}).find("too few") != std::string::npos);
    CHECK(program.does({"compare", "--by", "lot"}).find("No judged pieces") != std::string::npos);
    CHECK(program.on_log({"compare", "--by", "moon"}).code == 2);
}
