// Why, drift and compare by commands, on the demo studio and on a log that says too little.
#include "command/program.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

using namespace tonebath::test;
using Catch::Matchers::Contains;

TEST_CASE("Why, drift and compare by commands") {
    const Program program;
    const auto why = program.tells_of_demo({"why", "L-058"});
    REQUIRE_FALSE(why.empty());
    std::vector<std::string> named;
    for (const auto& part : why) {
        for (const auto& cause : part.at("causes")) {
            if (part.at("part") == "lid" && cause.at("named") == true) {
                named.push_back(cause.at("name"));
                CHECK(cause.at("log_low").get<double>() < cause.at("log_dose").get<double>());
                CHECK(cause.at("log_high").get<double>() < 0.0);
            }
        }
    }
    CHECK(named == std::vector<std::string>{"heat of the bath"});

    const Ended dark = program.start({"--demo", "why", "L-016"});
    REQUIRE(dark.code == 0);
    CHECK_THAT(dark.out, Contains("L-016 lid") && Contains("nothing recorded explains this") && Contains("not explained"));
    CHECK_THAT(dark.out, !Contains("named"));

    const auto drift = program.tells_of_demo({"drift"});
    CHECK(drift.at("points").size() == 46);
    std::vector<std::string> causes;
    for (const auto& shift : drift.at("shifts")) {
        causes.push_back(shift.at("cause"));
        if (shift.at("cause") == "lot") {
            CHECK(shift.at("lot") == "LS-1");
            CHECK_THAT(shift.at("words").get<std::string>(), Contains("Half of its strength"));
        }
    }
    std::ranges::sort(causes);
    CHECK(causes == std::vector<std::string>{"lot", "thermometer"});
    REQUIRE(drift.at("metals").size() == 1);
    CHECK(drift.at("metals")[0].at("batch") == "14");
    CHECK(drift.at("metals")[0].at("part") == "base");

    const auto who = program.tells_of_demo({"compare", "--by", "who", "--batch", "9", "--part", "lid"});
    REQUIRE(who.at("rows").size() == 1);
    const auto& row = who.at("rows")[0];
    CHECK(row.at("raw_differs") == true);
    CHECK(row.at("equal_dose_differs") == false);
    CHECK(row.at("confounded").front() == "heat of the bath");
    CHECK(row.at("dose_low").get<double>() < row.at("dose_ratio").get<double>());
    CHECK(row.at("dose_high").get<double>() > row.at("dose_ratio").get<double>());
}

TEST_CASE("Why, drift and compare say what is missing") {
    const Program program;
    program.does({"piece", "add", "--number", "L-1", "--metal", "sterling"});
    CHECK(program.refuses({"why", "L-999"}).at("value").get<std::string>().find("L-999") != std::string::npos);
    CHECK(program.refuses({"why", "L-1"}).at("refused") == "why.no_mates");
    CHECK_THAT(program.does({"drift"}), Contains("0 of the 8 baths needed") && Contains("too few"));
    CHECK(program.tells({"drift"}).at("shifts").empty());
    CHECK_THAT(program.does({"compare", "--by", "lot"}), Contains("No judged pieces"));
    CHECK(program.tells({"compare", "--by", "lot"}).at("rows").empty());
    CHECK(program.on_log({"compare", "--by", "moon"}).code == 2);
    CHECK(program.on_log({"why"}).code == 2);
}
