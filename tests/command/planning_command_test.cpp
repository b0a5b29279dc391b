// Plans beyond one dip, on the invented studio: every command answers in words and in JSON that agree with themselves.
#include "command/program.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <map>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;

TEST_CASE("a batch, the next bath, the program's marks, the bench card and a colder room of the demo") {
    const Program program;
    const nlohmann::json batch = program.tells_of_demo({"plan-batch", "--metal", "sterling", "--lanes", "gold,blue,blue", "--every", "20"});
    REQUIRE(batch["lanes"].size() == 3);
    double gold_s = 0.0;
    double blue_s = 0.0;
    for (const nlohmann::json& lane : batch["lanes"]) {
        CHECK_THAT(lane["out_s"].get<double>() - lane["in_s"].get<double>(), Catch::Matchers::WithinAbs(lane["in_bath_s"].get<double>(), 0.002));
        (lane["tone"] == "gold" ? gold_s : blue_s) = lane["in_bath_s"].get<double>();
    }
    CHECK(gold_s < blue_s);
    CHECK(batch["invented"] == true);

    const nlohmann::json next = program.tells_of_demo({"plan-bath", "--metal", "sterling", "--tone", "blue"});
    CHECK(next["cells"].size() > 12);
    if (!next["best"].is_null()) {
        CHECK(next["best"]["low_s"].get<double>() >= 20.0);
        CHECK(next["best"]["high_s"].get<double>() <= 90.0);
    }

    const nlohmann::json marks = program.tells_of_demo({"grade"});
    CHECK(marks["seen"].get<long>() >= marks["inside"].get<long>());
    CHECK(marks["seen"].get<long>() > 20);
    long inside = 0;
    for (const nlohmann::json& piece : marks["pieces"]) {
        inside += piece["inside"] == true ? 1 : 0;
    }
    CHECK(inside == marks["inside"].get<long>());
    // Most that landed outside hung in one bath: the words count them here and name it.
    std::map<std::string, long> outside;
    for (const nlohmann::json& piece : marks["pieces"]) {
        outside[piece["bath"]] += piece["inside"] == false ? 1 : 0;
    }
    const auto worst = std::max_element(outside.begin(), outside.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
    REQUIRE(worst != outside.end());
    const long all_outside = marks["seen"].get<long>() - inside;
    if (2 * worst->second > all_outside) {
        CHECK_THAT(marks["words"].get<std::string>(),
                   Contains(std::to_string(worst->second) + " of the " + std::to_string(all_outside) + " outside hung in bath " + worst->first));
    }

    // The bench card lists the stops of the lists that hold this bath back, and of no other.
    const nlohmann::json card = program.tells_of_demo({"card", "--metal", "sterling", "--tone", "blue"});
    const std::string text = card.dump();
    for (const char* part : {"Before each bath session:", "During the session:", "Stop unless: No headache"}) {
        INFO(text);
        CHECK(text.find(part) != std::string::npos);
    }
    for (const char* part : {"Before mixing", "Lacquer and foil-back", "After the session"}) {
        CHECK(text.find(part) == std::string::npos);
    }

    // A colder room, on this bath.
    const nlohmann::json demo = program.tells_of_demo({"air", "winter", "--room-temp", "8 C"});
    CHECK(demo.at("colder").at("room_c") == 8.0);
    CHECK(demo.at("room_from") == "as typed");
    REQUIRE(demo.at("dips").size() == 13);
    for (const nlohmann::json& dip : demo.at("dips")) {
        CHECK(dip.at("colder_c").get<double>() <= dip.at("as_it_was_c").get<double>());
        CHECK(dip.at("colder_s").get<double>() >= dip.at("as_it_was_s").get<double>() - 0.002);
    }
    CHECK(demo.at("order")[0].at("what") == "Air first");
    CHECK(demo.at("invented") == true);
}

TEST_CASE("a figure of one's own by command: the plan changes, and goes back with undo") {
    const Program program;
    program.does({"person", "add", "--initials", "MK", "--role", "maker"});
    program.does({"lot", "add", "--number", "LS-2", "--amount", "100 g", "--usual", "5", "--opened", "2 Mar 2025", "--bought", "1 Mar 2025"});
    program.does({"vessel", "add", "--number", "W1", "--volume", "2 l", "--cooling", "0.00001"});
    program.mixes("LS-2");
    program.does({"bath", "make-up", "--number", "1", "--lot", "LS-2", "--amount", "2 g", "--water", "400 ml", "--start-temp", "50", "--room-temp", "19", "--vessel", "W1"});
    const auto out_s = [&] { return program.tells({"plan", "--tone", "blue", "--metal", "sterling"}).at("out_s").get<double>(); };
    const auto heat = [&] {
        const nlohmann::json all = program.tells({"priors"});
        for (const nlohmann::json& one : all.at("priors")) {
            if (one.at("figure") == "temperature-effect") {
                return one;
            }
        }
        return nlohmann::json();
    };
    const double before = out_s();
    CHECK(heat().at("middle") == 45.0);
    program.does({"usual", "set", "--figure", "temperature-effect", "--middle", "90", "--low", "88", "--high", "92", "--source", "our own trials", "--trust", "good"});
    // From 45 to 90 kJ/mol at 50 °C against 60 °C: exp(45000 / 8.314 (1/323.15 - 1/333.15)) = 1.65 times longer.
    CHECK_THAT(out_s() / before, Catch::Matchers::WithinRel(1.65, 0.01));
    CHECK(heat().at("middle") == 90.0);
    CHECK(heat().at("source") == "our own trials");
    CHECK(heat().at("trust") == "good");
    CHECK(heat().at("who") == "MK");
    CHECK(program.rows("usual").size() == 1);
    CHECK_THAT(program.does({"log", "changes"}), Contains("own figure for temperature-effect"));
    // The bath ages between two commands: half a minute's fading is 0.15 %.
    program.does({"log", "undo"});
    CHECK_THAT(out_s(), Catch::Matchers::WithinRel(before, 0.01));
    CHECK(heat().at("middle") == 45.0);
    program.does({"log", "redo"});
    CHECK_THAT(out_s() / before, Catch::Matchers::WithinRel(1.65, 0.01));
    program.does({"usual", "set", "--figure", "temperature-effect", "--as-usual", "yes"});
    CHECK_THAT(out_s(), Catch::Matchers::WithinRel(before, 0.01));
}

TEST_CASE("what is left in a bath by command: fade against use, and by when a new one should stand") {
    // Row by row: half gone after 4 h open and hot, so 0.71 of it after 2 h, a third at 6.34 h; 100 nm of Ag2S take 9.4 µg of
    // sulfide sulfur per cm2 and 2 g counted as K2S hold 581 mg (docs/formulas/capacity.md): 3 pieces of 20 cm2 take 0.56 mg.
    const Program program;
    program.does({"person", "add", "--initials", "MK", "--role", "maker"});
    program.does({"lot", "add", "--number", "LS-2", "--amount", "100 g", "--usual", "5", "--opened", "2 Mar 2025", "--bought", "1 Mar 2025"});
    program.does({"vessel", "add", "--number", "W1", "--volume", "2 l", "--cooling", "0.00001"});
    program.mixes("LS-2");
    program.does({"bath", "make-up", "--number", "1", "--lot", "LS-2", "--amount", "2 g", "--water", "400 ml", "--start-temp", "60", "--room-temp", "19", "--vessel", "W1", "--at",
                  "2 h ago"});
    program.does({"piece", "add", "--number", "L-1..L-3", "--metal", "sterling"});
    for (const char* piece : {"L-1", "L-2", "L-3"}) {
        program.does({"dip", "enter", "--bath", "1", "--piece", piece, "--length", "40", "--dropped", "1 h ago"});
    }
    const nlohmann::json left = program.tells({"bath", "left"});
    CHECK(left.at("bath") == "1");
    CHECK_THAT(left.at("strength").get<double>(), Catch::Matchers::WithinAbs(0.707, 0.005));
    CHECK_THAT(left.at("faded_share").get<double>(), Catch::Matchers::WithinAbs(0.293, 0.005));
    CHECK_THAT(left.at("used_share").get<double>(), Catch::Matchers::WithinAbs(0.56 / 581.0, 0.0006));
    CHECK(left.at("head") == "Fade ends it, not use.");
    CHECK_THAT(left.at("new_bath").get<std::string>(), Contains("three times slower"));
    CHECK_THAT(program.does({"bath", "left"}), Contains("strength 0.71, half gone in about 4.0 h"));
    CHECK(program.refuses({"bath", "left", "--bath", "99"}).at("refused").get<std::string>().starts_with("bath."));
}

TEST_CASE("what a piece of the demo allows, and what would have matched it") {
    const Program program;
    const nlohmann::json rescue = program.tells_of_demo({"rescue", "L-058"});
    CHECK(rescue["choices"].size() == 8);
    CHECK_THAT(rescue["choices"].dump(), Contains("foil crystal, 3 coats") && Contains("take care"));
    const nlohmann::json metals = program.tells_of_demo({"two-metals", "L-058", "--seconds", "40"});
    CHECK(metals["parts"].size() == 2);
    CHECK_THAT(metals["warnings"].dump(), Contains("Two metals in one bath"));
    const nlohmann::json matched = program.tells_of_demo({"matched", "L-058"});
    for (const nlohmann::json& tone : matched["tones"]) {
        if (tone["actual"] == true) {
            CHECK(tone["middle_s"] == matched["actual_s"]);
        }
    }
    CHECK(program.start({"--demo", "matched", "L-999"}).code == 1);
    CHECK(program.start({"--demo", "plan-batch", "--metal", "sterling", "--tone", "blue", "--pieces", "0"}).code == 1);
}

TEST_CASE("a colder room by command: words and JSON, drop by drop, and what is asked badly") {
    const Program program;
    program.does({"person", "add", "--initials", "MK", "--role", "maker"});
    program.does({"lot", "add", "--number", "LS-2", "--amount", "100 g", "--usual", "5", "--opened", "2 Mar 2025", "--bought", "1 Mar 2025"});
    program.does({"vessel", "add", "--number", "B1", "--volume", "400 ml", "--cooling", "0.035"});
    CHECK(program.refuses({"air", "winter", "--room-temp", "8 C"}).at("refused") == "bath.none_in_use");
    program.mixes("LS-2");
    program.does({"bath", "make-up", "--number", "1", "--lot", "LS-2", "--amount", "2 g", "--water", "400 ml", "--start-temp", "60", "--room-temp", "19", "--vessel", "B1"});
    const std::vector<std::string> ask{"air", "winter", "--tone", "blue", "--metal", "sterling", "--fresh", "60 C", "--session", "20 min", "--every", "10 min"};
    const auto with = [&](std::vector<std::string> more) {
        more.insert(more.begin(), ask.begin(), ask.end());
        return more;
    };
    // 20 min at 0.035 a minute: 8 + 52 e^-0.7 = 33.82 °C where it was 19 + 41 e^-0.7 = 39.36.
    const nlohmann::json told = program.tells(with({"--room-temp", "46.4 F"}));
    CHECK_THAT(told.at("dips")[2].at("colder_c").get<double>(), Catch::Matchers::WithinAbs(33.82, 0.02));
    CHECK_THAT(told.at("dips")[2].at("as_it_was_c").get<double>(), Catch::Matchers::WithinAbs(39.36, 0.02));
    const std::string words = program.does(with({"--room-temp", "8 C"}));
    for (const char* part : {"In this order:", "1. Air first", "2. Heat through a water bath", "3. A lid between dips", "4. Fewer pieces to a heat", "20 min", "33.8 °C"}) {
        INFO(words);
        CHECK(words.find(part) != std::string::npos);
    }
    for (const auto& [typed, code] : {std::pair{"-60 C", "room.temp.not_a_room"}, std::pair{"46", "room.temp.looks_fahrenheit"}, std::pair{"nan", "text.not_finite"},
                                      std::pair{"cold", "text.not_a_number"}}) {
        CHECK(program.refuses(with({"--room-temp", typed})).at("refused") == code);
    }
    CHECK(program.refuses({"air", "winter", "--tone", "blue", "--metal", "sterling", "--fresh", "20 C", "--room-temp", "25 C"}).at("refused") == "winter.room_hotter");
    // The single plan takes the same what-if.
    const auto plan = program.tells({"plan", "--tone", "blue", "--metal", "sterling", "--room-temp", "8 C"});
    CHECK(plan.dump().find("As if the room were at 8.0 °C") != std::string::npos);
}
