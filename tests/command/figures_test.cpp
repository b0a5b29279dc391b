// Figures whose answer is known from outside, asked for by commands alone.
#include "command/program.hpp"

#include <catch2/catch.hpp>

using namespace tonebath::test;
using Catch::Matchers::WithinAbs;

namespace {

void set_up(const Program& program) {
    program.does({"person", "add", "--initials", "MK", "--role", "maker"});
    program.does({"lot", "add", "--number", "LS-2", "--amount", "100 g", "--usual", "5", "--bought", "1 Mar 2025",
                  "--opened", "2 Mar 2025"});
}

}  // namespace

TEST_CASE("Two strips written down give the time at a third temperature, by commands") {
    // 40 s at 60 °C and 78 s at 50 °C: Ea = R log(78/40) / (1/323.15 - 1/333.15) = 59.8 kJ/mol (OpenStax Chemistry 2e,
    // section 12.5), so 68.0 s at 52 °C and 78/40 = 1.95 times from 50 to 60 °C.
    const Program program;
    set_up(program);
    program.does(
        {"vessel", "add", "--number", "W1", "--kind", "bowl in a water bath", "--volume", "2 l", "--cooling", "0"});
    program.mixes("LS-2");
    program.does({"bath",         "make-up",     "--number",    "1",       "--lot",
                  "LS-2",         "--amount",    "2 g",         "--water", "400 ml",
                  "--start-temp", "60",          "--room-temp", "19",      "--vessel",
                  "W1",           "--agitation", "gentle",      "--at",    "2025-03-31T09:00+01:00",
                  "--past",       "yes"});
    program.does({"strip", "add", "--number", "1..2", "--metal", "sterling"});
    program.does({"dip", "enter", "--bath", "1", "--strip", "1", "--length", "40", "--dropped",
                  "2025-03-31T09:02+01:00", "--temp", "60", "--watched", "yes"});
    program.does({"dip", "enter", "--bath", "1", "--strip", "2", "--length", "78", "--dropped",
                  "2025-03-31T09:06+01:00", "--temp", "50", "--watched", "yes"});
    for (const char* strip : {"1", "2"}) {
        program.does({"judgement", "add", "--strip", strip, "--tone", "blue"});
    }
    program.does(
        {"bath", "read", "--bath", "1", "--temp", "52", "--at", "2025-03-31T09:09+01:00", "--reheated", "yes"});
    const auto plan = program.tells(
        {"plan", "--bath", "1", "--tone", "blue", "--metal", "sterling", "--at", "2025-03-31T09:10+01:00"});
    const auto& alone = plan.at("strips_alone");
    REQUIRE(alone.at("out_s").is_number());
    CHECK_THAT(alone.at("out_s").get<double>(), WithinAbs(68.0, 1.0));
    CHECK_THAT(alone.at("times_per_10_c").get<double>(), WithinAbs(1.95, 0.01));
    CHECK_THAT(alone.at("ea_kj_per_mol").get<double>(), WithinAbs(59.8, 0.1));
    CHECK_THAT(plan.at("comes_s").get<double>(), WithinAbs(alone.at("out_s").get<double>(), 3.0));
    CHECK(plan.at("aim_low_s").get<double>() < plan.at("out_s").get<double>());
    CHECK(plan.at("out_s").get<double>() < plan.at("aim_high_s").get<double>());

    // What if it were at 52 °C, told in either unit, is the plan of a bath that was read at 52 °C; hotter is quicker.
    const auto at_temp = [&program](const std::string& temp) {
        return program.tells({"plan", "--bath", "1", "--tone", "blue", "--metal", "sterling", "--at", "2025-03-31T09:10+01:00", "--temp", temp});
    };
    const double out_s = plan.at("out_s").get<double>();
    CHECK_THAT(at_temp("52 C").at("out_s").get<double>(), WithinAbs(out_s, 0.02 * out_s));
    CHECK_THAT(at_temp("125.6 F").at("out_s").get<double>(), WithinAbs(at_temp("52").at("out_s").get<double>(), 0.01));
    CHECK(at_temp("60").at("out_s").get<double>() < 0.8 * out_s);
    CHECK(at_temp("42").at("out_s").get<double>() > 1.3 * out_s);
    CHECK(at_temp("60").dump().find("As if the bath were at 60.0 °C") != std::string::npos);

    // The same in words, with every part of the plan in it.
    const std::string words =
        program.does({"plan", "--bath", "1", "--tone", "sterling: blue", "--at", "2025-03-31T09:10+01:00"});
    for (const char* part :
         {"out at", "aim", "look from", "blue comes at about", "equal to", "may land", "of 100", "why the range",
          "your strips alone: 68 s", "1.95 times per 10 °C", "rests on 2 strips in this bath"}) {
        INFO(words);
        CHECK(words.find(part) != std::string::npos);
    }
    // Aimed where blue begins it comes out earlier; with half of it done already, earlier still; unmoved, later.
    const auto out_with = [&](std::vector<std::string> more) {
        std::vector<std::string> ask{
            "plan", "--bath", "1", "--tone", "blue", "--metal", "sterling", "--at", "2025-03-31T09:10+01:00"};
        ask.insert(ask.end(), more.begin(), more.end());
        return program.tells(ask).at("out_s").get<double>();
    };
    CHECK_THAT(out_with({"--as-it-comes"}), WithinAbs(plan.at("comes_s").get<double>(), 0.5));
    CHECK_THAT(out_with({"--dose-done", std::to_string(0.5 * plan.at("dose_s").get<double>())}),
               WithinAbs(0.5 * out_s, 0.02 * out_s));
    CHECK(out_with({"--agitation", "still"}) > 1.3 * out_s);

    // What the log has taught by them: hotter is faster by more than was usual.
    const auto learned = program.tells({"learned"});
    CHECK(learned.at("records") == 2);
    const auto& heat = learned.at("figures").at(0);
    CHECK(heat.at("middle").get<double>() > heat.at("prior_middle").get<double>());
    CHECK(heat.at("high").get<double>() - heat.at("low").get<double>() <
          heat.at("prior_high").get<double>() - heat.at("prior_low").get<double>());
    CHECK_FALSE(heat.at("prior_source").get<std::string>().empty());
    // Tones begin one after the other, each within its own range.
    double before_s = 0.0;
    for (const auto& tone : learned.at("scales").at(0).at("tones")) {
        const double begins_s = tone.at("begins_s").get<double>();
        INFO(tone.dump());
        CHECK((begins_s > before_s || tone.at("tone") == "bright"));
        CHECK(tone.at("low_s").get<double>() <= begins_s);
        CHECK(tone.at("high_s").get<double>() >= begins_s);
        before_s = begins_s;
    }
    CHECK(before_s > 40.0);  // the last of them, black, comes after blue
}

TEST_CASE("Three readings give the cooling constant, by commands") {
    // 60.0, 55.6, 51.7 °C at 0, 4, 8 min in a room of 19 °C: log(41/32.7)/8 = 0.02828 per minute (Newton's law).
    const Program program;
    set_up(program);
    program.does({"vessel", "add", "--number", "V1", "--kind", "glass bowl", "--volume", "400 ml"});
    program.mixes("LS-2");
    program.does({"bath", "make-up", "--number", "1", "--lot", "LS-2", "--amount", "2 g", "--water", "400 ml",
                  "--start-temp", "60.0", "--room-temp", "19", "--vessel", "V1", "--at", "2025-03-31T09:00+01:00"});
    program.does({"bath", "read", "--bath", "1", "--temp", "55.6", "--at", "2025-03-31T09:04+01:00"});
    program.does({"bath", "read", "--bath", "1", "--temp", "51.7", "--at", "2025-03-31T09:08+01:00"});
    const auto cooling = program.tells({"bath", "cooling", "--bath", "1"});
    CHECK_THAT(cooling.at("cooling_per_min").get<double>(), WithinAbs(0.0283, 0.0005));
    CHECK(cooling.at("low_per_min").get<double>() < 0.0283);
    CHECK(cooling.at("high_per_min").get<double>() > 0.0283);
    CHECK(cooling.at("readings").size() == 3);
    CHECK(cooling.at("room_known") == true);
    const std::string words = program.does({"bath", "cooling"});
    CHECK(words.find("per minute") != std::string::npos);
    CHECK(words.find("51.7 °C") != std::string::npos);
    CHECK(program.does({"--fahrenheit", "bath", "cooling"}).find("125.1 °F") != std::string::npos);
}
