// What is usual and the studio's own in its place; logged circumstances as factors; going on from the last fit; copper alone.
#include "app/learning_desk.hpp"

#include "app/usual.hpp"

#include <algorithm>
#include <cmath>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

app::UsualFigure usual(LearningDesk& desk, const std::string& key) {
    const auto all = app::usual_figures(desk.studio());
    const auto found = std::ranges::find(all, key, &app::UsualFigure::key);
    REQUIRE(found != all.end());
    return *found;
}

}  // namespace

TEST_CASE("What is usual is shown with source and trust, and gives way to the studio's own") {
    LearningDesk desk;
    for (const app::UsualFigure& one : app::usual_figures(desk.studio())) {
        INFO(one.key);
        CHECK_FALSE(one.source.empty());
        CHECK_FALSE(one.trust.empty());
        CHECK_FALSE(one.own);
        if (one.low) {
            CHECK(*one.low < one.middle);
            CHECK(one.middle < *one.high);
        }
    }
    // Ea 45 ± 20 kJ/mol (tests/cases/chemistry): 80 of 100 within 1.2816 sd.
    const app::UsualFigure heat = usual(desk, "temperature-effect");
    CHECK_THAT(heat.middle, WithinAbs(45.0, 1e-12));
    CHECK_THAT(*heat.low, WithinAbs(45.0 - 1.2816 * 20.0, 1e-3));
    CHECK_THAT(usual(desk, "fade-open").middle, WithinRel(4.0, 0.01));

    // A bath made up at 50 °C, no strip: Ea decides how long it takes. From 45 to 90 kJ/mol at 50 °C against 60 °C it is
    // exp(45000 / 8.314 (1/323.15 - 1/333.15)) = 1.65 times longer.
    desk.held_bath("1", "50");
    const double before = *desk.planned("1", "blue").out_s;
    desk.does("usual.set", {{"figure", "temperature-effect"}, {"middle", "90"}, {"low", "88"}, {"high", "92"}, {"source", "our own trials"}});
    const app::UsualFigure own = usual(desk, "temperature-effect");
    CHECK(own.own);
    CHECK(own.source == "our own trials");
    CHECK_THAT(own.published_middle, WithinAbs(45.0, 1e-12));
    CHECK_THAT(*desk.planned("1", "blue").out_s / before, WithinRel(1.65, 0.01));
    const auto figures = app::learned_figures(*app::learn(desk.studio()));
    CHECK_THAT(figures.front().source, Contains("our own trials"));

    desk.does("usual.set", {{"figure", "temperature-effect"}, {"as-usual", "yes"}});
    CHECK_FALSE(usual(desk, "temperature-effect").own);
    CHECK_THAT(*desk.planned("1", "blue").out_s, WithinRel(before, 1e-9));

    desk.refused("usual.set", {{"figure", "temperature-effect"}, {"middle", "40"}}, "usual.limits");
    desk.refused("usual.set", {{"figure", "temperature-effect"}, {"middle", "40"}, {"low", "50"}, {"high", "60"}}, "usual.order");
    desk.refused("usual.set", {{"figure", "watched"}, {"middle", "0.05"}, {"low", "0.01"}, {"high", "0.1"}}, "usual.limits");
    desk.refused("usual.set", {{"figure", "still"}}, "usual.no_middle");
}

TEST_CASE("Surface, preparation and water are factors that stay small until the records speak") {
    LearningDesk desk;
    desk.held_bath("1", "60");
    const auto pulled = [&](const std::string& number, const std::string& surface, double seconds) {
        desk.does("strip.add", {{"number", number}, {"metal", "sterling"}, {"surface", surface}});
        desk.does("dip.drop", {{"bath", "1"}, {"strip", number}});
        desk.clock.advance(seconds);
        desk.does("dip.out", {{"watched", "yes"}});
        desk.does("judgement.add", {{"strip", number}, {"tone", "blue"}});
    };
    const auto satin = [&] {
        for (const app::LearnedFigure& one : app::learned_figures(*app::learn(desk.studio()))) {
            if (one.name.find("surface") != std::string::npos) {
                return one;
            }
        }
        FAIL("no figure of the surface");
        return app::LearnedFigure{};
    };
    // Satin takes a third longer; the fade of a few minutes is small beside it.
    pulled("1", "bright", 40);
    pulled("2", "bright", 40);
    pulled("3", "satin", 53);
    const app::LearnedFigure one_strip = satin();
    CHECK_THAT(one_strip.name, Contains("satin against bright"));
    CHECK(one_strip.middle < 0.97);
    CHECK(one_strip.middle > 40.0 / 53.0);  // shrunk towards no difference
    pulled("4", "bright", 40);
    for (const char* number : {"5", "6", "7"}) {
        pulled(number, "satin", 53);
        pulled(std::string("1") + number, "bright", 40);
    }
    const app::LearnedFigure four = satin();
    CHECK(four.middle < one_strip.middle);
    CHECK(four.high - four.low < one_strip.high - one_strip.low);
    CHECK_THAT(four.middle, WithinAbs(40.0 / 53.0, 0.05));
}

TEST_CASE("A strip more goes on from the last fit and tells the same as a fit from nothing") {
    LearningDesk desk;
    desk.held_bath("1", "60");
    for (int i = 1; i <= 4; ++i) {
        desk.strip(std::to_string(i), "1", 36.0 + 3.0 * i, "blue");
    }
    const auto before = app::learn(desk.studio());
    CHECK_FALSE(app::went_on_from_before(*before));
    desk.strip("5", "1", 49, "blue");
    const auto after = app::learn(desk.studio(), before.get());
    const auto fresh = app::learn(desk.studio());
    CHECK(app::went_on_from_before(*after));
    const app::Plan warm = desk.planned(*after, desk.request("1", "blue"));
    const app::Plan cold = desk.planned(*fresh, desk.request("1", "blue"));
    CHECK_THAT(*warm.out_s, WithinRel(*cold.out_s, 0.01));
    CHECK_THAT(*warm.aim_low_s, WithinRel(*cold.aim_low_s, 0.02));
    CHECK_THAT(*warm.aim_high_s, WithinRel(*cold.aim_high_s, 0.02));
    // Another figure in place of what is usual: nothing of the last fit holds.
    desk.does("usual.set", {{"figure", "watched"}, {"middle", "0.1"}});
    CHECK_FALSE(app::went_on_from_before(*app::learn(desk.studio(), after.get())));
}

TEST_CASE("Copper without published constants learns where its tones begin from its own strips") {
    LearningDesk desk;
    desk.held_bath("1", "60");
    const std::vector<app::ToneBegins> before = app::tone_begins(*app::learn(desk.studio()), desk.scale("copper"));
    REQUIRE(before.size() > 3);
    const std::string word = desk.one_text("SELECT word FROM tone WHERE scale_id = '" + desk.scale("copper").text + "' AND position = 2");
    for (int i = 1; i <= 4; ++i) {
        desk.strip(std::to_string(i), "1", 60.0, word, true, "copper");
    }
    const std::vector<app::ToneBegins> after = app::tone_begins(*app::learn(desk.studio()), desk.scale("copper"));
    // 60 s at 60 °C, the usual make-up: a dose of 60 s but for minutes of fading and the offsets of one lot and one bath.
    CHECK_THAT(after[2].middle_s, WithinRel(60.0, 0.35));
    CHECK(std::abs(std::log(after[2].middle_s / 60.0)) < 0.5 * std::abs(std::log(before[2].middle_s / 60.0)));
    CHECK(after[2].high_s / after[2].low_s < 0.5 * before[2].high_s / before[2].low_s);
    CHECK(after[1].middle_s < after[2].middle_s);
    CHECK(after[2].middle_s < after[3].middle_s);
}
