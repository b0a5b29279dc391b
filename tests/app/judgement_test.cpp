#include "app/studio_desk.hpp"

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;

namespace {

struct Bench : Desk {
    Bench() {
        make_bath();
        does("strip.add", {{"number", "1..4"}, {"metal", "sterling"}});
        does("piece.add", {{"number", "B-1"}});
        does("part.add", {{"piece", "B-1"}, {"name", "tabs"}, {"metal", "sterling"}});
        does("part.add", {{"piece", "B-1"}, {"name", "base"}, {"metal", "yellow brass"}});
        clock.advance(600);
    }
    void dipped(const std::string& strip, const std::string& length, const std::string& at) {
        does(form_of("dip.enter", {{"bath", "1"}, {"strip", strip}, {"length", length}, {"dropped", at}}));
    }
};

}  // namespace

TEST_CASE("A tone is a word of the scale of its metal") {
    Bench desk;
    desk.does("dip.enter", {{"bath", "1"}, {"piece", "B-1"}, {"length", "40"}, {"dropped", "09:01"}});
    const Refusal refusal =
        desk.refused("judgement.add", {{"part", "B-1 base"}, {"tone", "blue"}}, "tone.not_on_scale");
    CHECK_THAT(refusal.text(), Contains("Tone blue") && Contains("yellow brass") && Contains("reddish"));
    CHECK(refusal.answers.size() == 4);
    desk.does("judgement.add", {{"part", "B-1 tabs"}, {"tone", "Blue"}});
    desk.does("judgement.add", {{"part", "B-1 base"}, {"tone", "reddish"}});
    CHECK(desk.all<Judgement>().size() == 2);
    CHECK(desk.last<Judgement>().dip_id == desk.last<Dip>().id);
    // Two metals on one piece: its tone as a whole has no scale.
    CHECK_THAT(desk.refused("judgement.add", {{"piece", "B-1"}, {"tone", "blue"}}, "tone.metal_unknown").text(),
               Contains("sterling: blue"));
    desk.does("judgement.add", {{"piece", "B-1"}, {"tone", "sterling: blue"}});
}

TEST_CASE("The order of the tones on silver is accepted, an inversion is questioned") {
    Bench desk;
    // Gold, magenta, blue, dark grey after longer and longer: the order of growth that makers report.
    desk.dipped("1", "10", "09:01:00");
    desk.dipped("2", "20", "09:02:00");
    desk.dipped("3", "40", "09:03:00");
    desk.dipped("4", "80", "09:04:00");
    desk.does("judgement.add", {{"strip", "1"}, {"tone", "gold"}});
    desk.does("judgement.add", {{"strip", "2"}, {"tone", "magenta"}});
    SECTION("in order") {
        desk.does("judgement.add", {{"strip", "3"}, {"tone", "blue"}});
        desk.does("judgement.add", {{"strip", "4"}, {"tone", "dark grey"}});
    }
    SECTION("lighter after longer") {
        const Refusal refusal = desk.refused("judgement.add", {{"strip", "3"}, {"tone", "straw"}}, "tone.inverted");
        CHECK_THAT(refusal.text(), Contains("Tone straw") && Contains("strip") && Contains("40 s"));
        app::Form form = form_of("judgement.add", {{"strip", "3"}, {"tone", "straw"}});
        app::give_answer(form, refusal, "Keep it");
        desk.does(form);
        CHECK_THAT(desk.last<Judgement>().note, Contains("kept as typed: Tone straw"));
    }
    SECTION("lighter than it was judged before, unless it was rubbed back") {
        desk.clock.advance(10);
        desk.refused("judgement.add", {{"strip", "2"}, {"tone", "straw"}}, "tone.lighter_again");
    }
}

TEST_CASE("Black is a ceiling") {
    Bench desk;
    desk.dipped("1", "200", "09:01:00");
    desk.refused("judgement.add", {{"strip", "1"}, {"tone", "black"}, {"sense", "gone over"}}, "tone.past_ceiling");
    desk.refused("judgement.add", {{"strip", "1"}, {"tone", "bright"}, {"sense", "lighter than"}}, "tone.before_bare");
    desk.does("judgement.add", {{"strip", "1"}, {"tone", "black"}});
}

TEST_CASE("What a judgement must have") {
    Bench desk;
    desk.dipped("1", "40", "09:01:00");
    desk.refused("judgement.add", {{"strip", "1"}}, "judgement.nothing");
    desk.refused("judgement.add", {{"tone", "blue"}}, "subject.missing");
    desk.refused("judgement.add", {{"strip", "1..2"}, {"tone", "blue"}}, "subject.several");
    desk.refused("judgement.add", {{"strip", "1"}, {"l", "40"}}, "tone.lab_incomplete");
    desk.refused("judgement.add", {{"strip", "1"}, {"tone", "blue"}, {"fraction", "1.2"}}, "number.out_of_range");
    desk.refused("judgement.add", {{"strip", "1"}, {"tone", "blue"}, {"place", "bottom"}}, "choice.unknown");
    desk.does("judgement.add", {{"strip", "1"}, {"l", "34,2"}, {"a", "-3"}, {"b", "−12.5"}});
    CHECK(*desk.last<Judgement>().b == -12.5);
    CHECK_FALSE(desk.last<Judgement>().tone_id);
    const app::Outcome early = desk.does("judgement.add", {{"strip", "2"}, {"tone", "bright"}});
    CHECK_THAT(early.cautions.front(), Contains("No dip"));
}

TEST_CASE("Judged and said in one go: the strip was pulled just as the tone came") {
    Bench desk;
    desk.refused("judgement.add", {{"strip", "1"}, {"tone", "blue"}, {"watched", "yes"}}, "judgement.watched_nothing");
    desk.dipped("1", "40", "09:01:00");
    desk.refused("judgement.add", {{"strip", "1"}, {"tone", "blue"}, {"sense", "gone over"}, {"watched", "yes"}},
                 "judgement.watched_nothing");
    CHECK_FALSE(desk.last<Dip>().watched);
    desk.does("judgement.add", {{"strip", "1"}, {"tone", "blue"}, {"watched", "yes"}});
    CHECK(desk.last<Dip>().watched);
    // One step: the mark on the dip goes with the judgement.
    REQUIRE(desk.studio().undo());
    CHECK(desk.all<Judgement>().empty());
    CHECK_FALSE(desk.last<Dip>().watched);
}

TEST_CASE("The studio renames, adds and measures its tones") {
    Bench desk;
    desk.dipped("1", "40", "09:01:00");
    desk.does("judgement.add", {{"strip", "1"}, {"tone", "blue"}});
    desk.does("tone.rename", {{"scale", "sterling"}, {"tone", "blue"}, {"word", "deep blue"}});
    CHECK(desk.one_text("SELECT tone.word FROM judgement JOIN tone ON tone.id = tone_id") == "deep blue");
    desk.refused("tone.rename", {{"scale", "sterling"}, {"tone", "deep blue"}, {"word", "Gold"}}, "tone.word_taken");
    desk.refused("tone.rename", {{"scale", "sterling"}, {"tone", "teal"}, {"word", "x"}}, "tone.not_on_scale");
    desk.does("tone.add", {{"scale", "sterling"}, {"word", "teal"}, {"after", "deep blue"}});
    store::Query query(
        desk.log(),
        "SELECT group_concat(word, ',') FROM (SELECT word FROM tone JOIN tone_scale s ON s.id = scale_id JOIN metal "
        "m ON m.id = metal_id WHERE m.name = 'sterling' ORDER BY position)");
    REQUIRE(query.next());
    CHECK(query.text(0) == "bright,straw,gold,amber,magenta,purple,deep blue,teal,gunmetal,dark grey,black");
    desk.refused("tone.add", {{"scale", "sterling"}, {"word", "blacker"}, {"after", "black"}}, "tone.after_ceiling");
    desk.does("tone.measure", {{"scale", "sterling"}, {"tone", "teal"}, {"l", "40"}, {"a", "-10"}, {"b", "-5"}});
    desk.does("scale.add",
              {{"metal", "sterling"}, {"surface", "satin"}, {"words", "bare, grey, black"}, {"ceiling", "black"}});
    desk.refused("scale.add", {{"metal", "sterling"}, {"words", "a, b"}}, "scale.taken");
    desk.refused("scale.add", {{"metal", "copper"}, {"surface", "satin"}, {"words", "a, A"}}, "tone.word_taken");
    desk.does("strip.add", {{"number", "9"}, {"metal", "sterling"}, {"surface", "Satin"}});
    desk.refused("judgement.add", {{"strip", "9"}, {"tone", "gold"}}, "tone.not_on_scale");
    desk.does("judgement.add", {{"strip", "9"}, {"tone", "grey"}});
}

TEST_CASE("Targets say where and when they are judged") {
    Desk desk;
    const app::Outcome outcome = desk.does("target.add", {{"name", "Limpet lid blue"},
                                                          {"scale", "sterling"},
                                                          {"tone", "blue"},
                                                          {"place", "recess"},
                                                          {"moment", "after sealing"},
                                                          {"dose", "40 s"}});
    CHECK_THAT(outcome.said, Contains("sterling blue, recess, after sealing"));
    CHECK(*desk.last<Target>().dose_s == 40.0);
    desk.refused("target.add", {{"name", "limpet lid blue"}, {"scale", "sterling"}, {"tone", "blue"}}, "number.taken");
    desk.refused("target.add", {{"name", "x"}, {"scale", "tin"}, {"tone", "blue"}}, "tone_scale.unknown");
    desk.refused("target.add", {{"name", "x"}, {"scale", "sterling"}, {"tone", "blue"}, {"dose", "0"}}, "number.zero");
}
