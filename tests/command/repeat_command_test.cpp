// The demo's order of October, wanted again in March.
#include "command/program.hpp"

#include <catch2/catch.hpp>

#include <map>

using namespace tonebath::test;
using Catch::Matchers::WithinRel;

TEST_CASE("A repeat order gives today's time and what changed, never the seconds of then") {
    const Program program;
    const auto first = program.tells_of_demo({"repeat", "R-07"});
    const auto again = program.tells_of_demo({"repeat", "R-12"});
    CHECK(again.at("pattern") == first.at("pattern"));
    CHECK(first.at("pieces") == 6);
    CHECK(first.at("keep_piece") == "L-003");
    CHECK(first.at("tolerance_tones") == 0.5);
    CHECK(first.at("strips_s").size() == 2);
    CHECK(first.at("out_s").get<double>() > 1.5 * first.at("then_s").get<double>());
    std::map<std::string, std::string> is;
    std::map<std::string, nlohmann::json> change;
    for (const auto& one : first.at("changes")) {
        is[one.at("what").get<std::string>()] = one.at("is").get<std::string>();
        change[one.at("what").get<std::string>()] = one;
    }
    CHECK(is.at("lot") == "changed");
    CHECK(change.at("lot").at("then") == "LS-1");
    CHECK(change.at("lot").at("now") == "LS-2");
    CHECK(is.at("thermometer") == "changed");
    CHECK(change.at("thermometer").at("now").get<std::string>().find("T2, reads 4.0 °C high") != std::string::npos);
    CHECK(is.at("cup, source of the metal") == "changed");
    CHECK(is.at("lid, metal") == "the same");
    CHECK(is.at("lid, surface") == "the same");

    // A dose typed at another temperature becomes the same dose at 60 °C that the learned law makes of it, and twice
    // the dose takes nearly twice the time (a little more: the bath cools and fades).
    const auto typed = program.tells_of_demo({"repeat", "R-07", "--dose", "24.7", "--dose-temp", "60"});
    CHECK_THAT(typed.at("out_s").get<double>(), WithinRel(first.at("out_s").get<double>(), 1e-3));
    const auto colder = program.tells_of_demo({"repeat", "R-07", "--dose", "24.7", "--dose-temp", "50"});
    const double faster = program.tells_of_demo({"learned"}).at("figures").at(0).at("middle").get<double>();
    CHECK_THAT(typed.at("dose_s").get<double>() / colder.at("dose_s").get<double>(), WithinRel(faster, 0.02));
    const auto twice = program.tells_of_demo({"repeat", "R-07", "--dose", "49.4"});
    CHECK(twice.at("out_s").get<double>() > 2.0 * first.at("out_s").get<double>());
    CHECK(twice.at("out_s").get<double>() < 2.2 * first.at("out_s").get<double>());
    const Ended words = program.start({"repeat", "R-07", "--demo"});
    CHECK(words.out.find("today in bath 46") != std::string::npos);
    CHECK(words.out.find("Dip two strips first") != std::string::npos);
}
