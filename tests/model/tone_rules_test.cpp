#include "model/rules/tone_rules.hpp"
#include "model/rules/dip_rules.hpp"

#include <catch2/catch.hpp>

using namespace tonebath;
using Catch::Matchers::Contains;

namespace {

const Stamp kStart = *parse_iso("2026-03-31T09:00+01:00", 0);

rules::JudgedDip dip(const std::string& what, int position, double seconds, double dropped_min = 0.0) {
    return {.what = what,
            .tone_word = "tone " + std::to_string(position),
            .tone_position = position,
            .dropped = plus_seconds(kStart, dropped_min * 60.0),
            .in_bath = Seconds::from_seconds(seconds)};
}

rules::Question inverted(const rules::JudgedDip& mine, const rules::JudgedDip& other) {
    return rules::inversion({"Tone", "x"}, mine, std::vector<rules::JudgedDip>{other});
}

}  // namespace

TEST_CASE("Lighter after longer in the same bath is questioned, from both sides") {
    const rules::Question longer = inverted(dip("mine", 3, 60), dip("strip 12", 6, 40));
    REQUIRE(longer);
    CHECK_THAT(longer->text(), Contains("strip 12") && Contains("40 s") && Contains("60 s"));
    CHECK(rules::may_be_kept(*longer));
    CHECK(inverted(dip("mine", 6, 40), dip("strip 12", 3, 60)));
}

TEST_CASE("The usual order, small differences and cooled baths are not questioned") {
    CHECK_FALSE(inverted(dip("mine", 6, 60), dip("other", 3, 40)));        // darker after longer
    CHECK_FALSE(inverted(dip("mine", 3, 60), dip("other", 3, 40)));        // the same
    CHECK_FALSE(inverted(dip("mine", 5, 48), dip("other", 6, 40)));        // 1.2 times the time: within scatter
    CHECK_FALSE(inverted(dip("mine", 3, 60, 45.0), dip("other", 6, 40)));  // 45 min later: cooler and weaker
    CHECK(inverted(dip("mine", 3, 60, 10.0), dip("other", 6, 40)));
    CHECK(inverted(dip("mine", 3, 60), dip("other", 6, 40, 90.0)));  // longer and in the fresher bath
}

TEST_CASE("Nothing is past the ceiling and nothing before bare metal") {
    Tone black;
    black.position = 9;
    black.word = "black";
    black.ceiling = true;
    Tone bright;
    bright.word = "bright";
    CHECK(rules::sense_fits({"Tone", "black"}, Sense::gone_over, black, 9));
    CHECK_FALSE(rules::sense_fits({"Tone", "black"}, Sense::is, black, 9));
    CHECK(rules::sense_fits({"Tone", "bright"}, Sense::lighter_than, bright, 9));
    CHECK_FALSE(rules::sense_fits({"Tone", "bright"}, Sense::gone_over, bright, 9));
}

TEST_CASE("A length is held against at least three mates") {
    const std::vector<Seconds> three(3, Seconds::from_seconds(40));
    const auto asked = [&](double s, std::size_t mates) {
        return rules::length_against_mates({"In the bath for", "300"}, Seconds::from_seconds(s),
                                           std::span(three).first(mates), "the others")
            .has_value();
    };
    CHECK(asked(300, 3));
    CHECK(asked(10, 3));
    CHECK(asked(120, 3));
    CHECK_FALSE(asked(119, 3));
    CHECK_FALSE(asked(14, 3));
    CHECK_FALSE(asked(300, 2));
}

TEST_CASE("A measured colour is whole and in range") {
    CHECK_FALSE(rules::lab({"L*", ""}, std::nullopt, std::nullopt, std::nullopt));
    CHECK_FALSE(rules::lab({"L*", "50"}, 50.0, -3.0, 20.0));
    CHECK(rules::lab({"L*", "50"}, 50.0, std::nullopt, 20.0)->code == "tone.lab_incomplete");
    CHECK(rules::lab({"L*", "101"}, 101.0, 0.0, 0.0)->code == "tone.lab_range");
    CHECK(rules::lab({"L*", "50"}, 50.0, 140.0, 0.0)->code == "tone.lab_range");
}

TEST_CASE("A tone that the scale does not have names those it has") {
    const Refusal refusal =
        rules::not_on_scale({"Tone", "blue"}, "yellow brass", {"bright", "reddish", "tan", "brown"});
    CHECK_THAT(refusal.text(),
               Contains("Tone blue") && Contains("yellow brass") && Contains("bright, reddish, tan, brown"));
    CHECK(refusal.answers.size() == 4);
}
