#include "window/shell/start_options.hpp"

#include <catch2/catch.hpp>

#include <string>
#include <vector>

using namespace tonebath::window;

namespace {

using Words = std::vector<const char*>;

std::string refusal_of(const Words& words) {
    const auto options = parse_start(words);
    return options ? "none" : options.error().code;
}

}  // namespace

TEST_CASE("The window's options are read, with a blank or an equals sign") {
    const Words words = {"--log",   "my log.tonebath", "--page=baths",        "--size", "1024x768", "--scale", "1.5",
                         "--theme", "chalk",           "--screenshot=out.png"};
    const auto options = parse_start(words);
    REQUIRE(options);
    CHECK(options->log == "my log.tonebath");
    CHECK(options->page == "baths");
    CHECK(options->size == WindowSize{1024, 768});
    CHECK(options->scale == 1.5F);
    CHECK(options->theme == "chalk");
    CHECK(options->screenshot == "out.png");
    CHECK_FALSE(options->demo);
    CHECK(parse_start(Words{"--demo"})->demo);
    CHECK_FALSE(parse_start(Words{})->size);
}

TEST_CASE("What is not understood is refused, each with its own code") {
    CHECK(refusal_of({"--size", "12x9"}) == "start.size");
    CHECK(refusal_of({"--size", "1280"}) == "start.size");
    CHECK(refusal_of({"--size", "1280x800x2"}) == "start.size");
    CHECK(refusal_of({"--size", "-1280x800"}) == "start.size");
    CHECK(refusal_of({"--size", "99999999999x800"}) == "start.size");
    CHECK(refusal_of({"--scale", "0"}) == "start.scale");
    CHECK(refusal_of({"--scale", "nan"}) == "start.scale");
    CHECK(refusal_of({"--scale", "1,5"}) == "start.scale");
    CHECK(refusal_of({"--theme", "neon"}) == "start.theme");
    CHECK(refusal_of({"--page"}) == "start.empty");
    CHECK(refusal_of({"--log="}) == "start.empty");
    CHECK(refusal_of({"--colour"}) == "start.unknown");
    CHECK(refusal_of({"--demo=yes"}) == "start.unknown");
    CHECK(refusal_of({"--demo", "--log", "x"}) == "start.demo_and_log");
    CHECK(refusal_of({"--scale", "0.5", "--size", "640x480"}) == "none");

    const auto refused = parse_start(Words{"--size", "12x9"});
    REQUIRE_FALSE(refused);
    CHECK_THAT(refused.error().text(), Catch::Contains("--size 12x9") && Catch::Contains("1280x800"));
}

TEST_CASE("A command is told from an option and its value") {
    CHECK(verb_of(Words{"bath", "list"}) == "bath");
    CHECK(verb_of(Words{"--log", "x.tonebath", "today"}) == "today");
    CHECK(verb_of(Words{"--log=x.tonebath", "--demo", "today"}) == "today");
    CHECK(verb_of(Words{"--log", "today"}) == std::nullopt);
    CHECK(verb_of(Words{"--screenshot", "a.png", "--demo"}) == std::nullopt);
    CHECK(verb_of(Words{}) == std::nullopt);
}
