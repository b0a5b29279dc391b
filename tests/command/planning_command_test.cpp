// Plans beyond one dip, on the invented studio: every command answers in words and in JSON that agree with themselves.
#include "command/program.hpp"

#include <catch2/catch.hpp>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;

namespace {

nlohmann::json tells_of_demo(const Program& program, std::vector<std::string> words) {
    words.insert(words.begin(), {"--demo", "--json"});
    const Ended ended = program.start(words);
    INFO(ended.out << ended.err);
    REQUIRE(ended.code == 0);
    return nlohmann::json::parse(ended.out);
}

}  // namespace

TEST_CASE("a batch, the next bath and the program's marks of the demo") {
    const Program program;
    const nlohmann::json batch = tells_of_demo(program, {"plan-batch", "--metal", "sterling", "--lanes", "gold,blue,blue", "--every", "20"});
    REQUIRE(batch["lanes"].size() == 3);
    double gold_s = 0.0;
    double blue_s = 0.0;
    for (const nlohmann::json& lane : batch["lanes"]) {
        CHECK_THAT(lane["out_s"].get<double>() - lane["in_s"].get<double>(), Catch::Matchers::WithinAbs(lane["in_bath_s"].get<double>(), 0.002));
        (lane["tone"] == "gold" ? gold_s : blue_s) = lane["in_bath_s"].get<double>();
    }
    CHECK(gold_s < blue_s);
    CHECK(batch["invented"] == true);

    const nlohmann::json next = tells_of_demo(program, {"plan-bath", "--metal", "sterling", "--tone", "blue"});
    CHECK(next["cells"].size() > 12);
    if (!next["best"].is_null()) {
        CHECK(next["best"]["low_s"].get<double>() >= 20.0);
        CHECK(next["best"]["high_s"].get<double>() <= 90.0);
    }

    const nlohmann::json marks = tells_of_demo(program, {"grade"});
    CHECK(marks["seen"].get<long>() >= marks["inside"].get<long>());
    CHECK(marks["seen"].get<long>() > 20);
    long inside = 0;
    for (const nlohmann::json& piece : marks["pieces"]) {
        inside += piece["inside"] == true ? 1 : 0;
    }
    CHECK(inside == marks["inside"].get<long>());
}

TEST_CASE("what a piece of the demo allows, and what would have matched it") {
    const Program program;
    const nlohmann::json rescue = tells_of_demo(program, {"rescue", "L-058"});
    CHECK(rescue["choices"].size() == 8);
    const nlohmann::json metals = tells_of_demo(program, {"two-metals", "L-058", "--seconds", "40"});
    CHECK(metals["parts"].size() == 2);
    CHECK_THAT(metals["warnings"].dump(), Contains("Two metals in one bath"));
    const nlohmann::json matched = tells_of_demo(program, {"matched", "L-058"});
    for (const nlohmann::json& tone : matched["tones"]) {
        if (tone["actual"] == true) {
            CHECK(tone["middle_s"] == matched["actual_s"]);
        }
    }
    CHECK(program.start({"--demo", "matched", "L-999"}).code == 1);
    CHECK(program.start({"--demo", "plan-batch", "--metal", "sterling", "--tone", "blue", "--pieces", "0"}).code == 1);
}
