// What is usual and the studio's own in its place; logged circumstances as factors; going on from the last fit; copper alone.
#include "app/learning_desk.hpp"

#include "app/plan_course.hpp"
#include "app/usual.hpp"
#include "app/views/baths_view.hpp"
#include "app/views/bench_view.hpp"
#include "app/views/tones_view.hpp"

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

    CHECK(own.who == "MK");
    CHECK(own.trust == "own");
    CHECK(own.own_since == desk.studio().now());

    // It is a step like any other: in the change log, and taken back and brought forward.
    const double with_own = *desk.planned("1", "blue").out_s;
    desk.does("log.undo");
    CHECK_FALSE(usual(desk, "temperature-effect").own);
    CHECK_THAT(*desk.planned("1", "blue").out_s, WithinRel(before, 1e-9));
    desk.does("log.redo");
    CHECK_THAT(*desk.planned("1", "blue").out_s, WithinRel(with_own, 1e-9));
    // A second figure in its place keeps the first in the change log, and undo goes back to that, not to what is usual.
    desk.clock.advance(60);
    desk.does("usual.set", {{"figure", "temperature-effect"}, {"middle", "20"}, {"low", "18"}, {"high", "22"}, {"trust", "good"}});
    CHECK(usual(desk, "temperature-effect").trust == "good");
    CHECK(desk.all<OwnFigure>().size() == 1);
    CHECK(desk.one_real("SELECT json_extract(before_json, '$.middle') FROM change_row WHERE table_name = 'own_figure' ORDER BY id DESC LIMIT 1") == 90.0);
    desk.does("log.undo");
    CHECK_THAT(usual(desk, "temperature-effect").middle, WithinAbs(90.0, 1e-12));
    CHECK_THAT(*desk.planned("1", "blue").out_s, WithinRel(with_own, 0.01));  // a minute older
    // Corrected like any other record, and held to the same rules.
    desk.does("record.correct", {{"noun", "own_figure"}, {"number", "temperature-effect"}, {"field", "middle"}, {"value", "91"}});
    CHECK_THAT(usual(desk, "temperature-effect").middle, WithinAbs(91.0, 1e-12));
    desk.refused("record.correct", {{"noun", "own_figure"}, {"number", "temperature-effect"}, {"field", "middle"}, {"value", "95"}}, "usual.order");

    desk.does("usual.set", {{"figure", "temperature-effect"}, {"as-usual", "yes"}});
    CHECK_FALSE(usual(desk, "temperature-effect").own);
    CHECK_THAT(*desk.planned("1", "blue").out_s, WithinRel(before, 0.01));

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

    // And a piece is planned by what is written of it: one over the factor's speed, and the words say so.
    const auto learned = app::learn(desk.studio());
    desk.does("piece.add", {{"number", "L-1"}, {"metal", "sterling"}});
    const auto asked = [&](bool of_piece) {
        app::PlanRequest request = desk.request("1", "blue");
        if (of_piece) {
            request.subject = app::subject_of(desk.studio(), desk.last<Piece>());
        }
        return desk.planned(*learned, request);
    };
    const app::Plan plain = asked(false);
    CHECK(asked(true).out_s == plain.out_s);  // nothing is written of it: as most records are
    CHECK(asked(true).counts_in.empty());
    SECTION("its own preparation") { desk.does("preparation.add", {{"piece", "L-1"}, {"surface", "satin"}}); }
    SECTION("its part's") { desk.does("preparation.add", {{"part", "L-1"}, {"surface", "Satin"}}); }
    SECTION("its batch's") {
        desk.does("batch.add", {{"number", "7"}, {"piece", "L-1"}});
        desk.does("preparation.add", {{"batch", "7"}, {"surface", "satin"}});
    }
    const app::Plan of_piece = asked(true);
    CHECK_THAT(*of_piece.out_s / *plain.out_s, WithinRel(1.0 / four.middle, 0.01));
    CHECK_THAT(*of_piece.comes_s / *plain.comes_s, WithinRel(1.0 / four.middle, 0.01));
    REQUIRE(of_piece.counts_in.size() == 1);
    CHECK_THAT(of_piece.counts_in.front(), Contains("surface satin") && Contains("longer than bright") && Contains("4 records"));

    // The bench plans its lane the same.
    desk.does("bench.lay-out", {{"bath", "1"}, {"piece", "L-1"}, {"aim", "blue"}});
    const app::BenchView bench = app::bench_view(desk.studio(), learned);
    REQUIRE(bench.lanes.size() == 1);
    REQUIRE(bench.lanes[0].plan);
    CHECK(bench.lanes[0].plan->out_s == of_piece.out_s);

    // A surface that was never dipped counts as the commonest, and the doubt of one (0.15) widens the range.
    desk.clock.advance(1);
    desk.does("preparation.add", {{"part", "L-1"}, {"surface", "hammered"}});
    const app::Plan never = asked(true);
    const auto log_sd = [](const app::Plan& plan) { return std::log(*plan.aim_high_s / *plan.aim_low_s) / (2.0 * 1.2816); };
    CHECK(never.counts_in.empty());
    CHECK_THAT(*never.out_s, WithinRel(*plain.out_s, 0.01));
    CHECK_THAT(all_of(never.cautions), Contains("No record yet of surface hammered") && Contains("bright"));
    CHECK_THAT(std::pow(log_sd(never), 2) - std::pow(log_sd(plain), 2), WithinAbs(0.15 * 0.15, 0.003));
}

TEST_CASE("A covered bath is drawn, told and planned by the fade of covered baths") {
    // Half-lives 4 h open and hot, 24 h covered (tests/cases/chemistry): a third is left after log2(3) half-lives.
    LearningDesk desk;
    desk.does("vessel.add", {{"number", "C1"}, {"cooling", "0.00001"}, {"covered", "yes"}});
    desk.held_bath("1", "60");
    desk.ends("1");
    desk.does("bath.make-up", {{"number", "2"}, {"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}, {"room-temp", "19"}, {"vessel", "C1"}});
    const auto learned = app::learn(desk.studio());
    const app::Laws laws = app::laws_of(*learned);
    const auto third_h = [&](const std::string& number) {
        const auto portrait = app::bath_portrait(desk.studio(), desk.bath(number).id, laws);
        REQUIRE(portrait);
        REQUIRE(portrait->throw_by);
        return seconds_between(desk.bath(number).made_up_at, *portrait->throw_by) / 3600.0;
    };
    CHECK_THAT(third_h("1"), WithinRel(4.0 * std::log2(3.0), 0.02));
    CHECK_THAT(third_h("2"), WithinRel(24.0 * std::log2(3.0), 0.02));
    const app::BenchView bench = app::bench_view(desk.studio(), learned);
    REQUIRE(bench.bath);
    CHECK(bench.bath->bath.number == "2");
    CHECK_THAT(bench.law.fade_per_h, WithinRel(std::log(2.0) / 24.0, 0.02));

    // Six hours on: the open bath has a third left, the covered one 84 %; a piece's story tells the dose of each by its own.
    desk.clock.advance(6.0 * 3600.0);
    const app::TonesView tones = app::tones_view(desk.studio(), learned, {});
    const auto at_six = std::ranges::find_if(tones.by_hours, [](const app::CurvePoint& point) { return std::abs(point.x - 6.0) < 1e-9; });
    REQUIRE(at_six != tones.by_hours.end());
    CHECK_THAT(at_six->y, WithinRel(std::pow(0.5, 6.0 / 24.0), 0.01));
    desk.does("piece.add", {{"number", "L-1"}, {"metal", "sterling"}});
    desk.does("dip.enter", {{"piece", "L-1"}, {"bath", "2"}, {"length", "60 s"}});
    const double covered = *app::learned_dose(desk.studio(), learned.get(), desk.last<Dip>());
    CHECK_THAT(covered, WithinRel(60.0 * std::pow(0.5, 6.0 / 24.0), 0.02));
    CHECK_THAT(*desk.planned(*learned, desk.request("2", "blue")).dose_s / *desk.planned(*learned, desk.request("2", "blue")).out_s, WithinRel(covered / 60.0, 0.01));
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
    // With strips that scatter by 60 % no number of them narrows a plan enough, and the plan says so instead of asking for more.
    desk.does("usual.set", {{"figure", "watched"}, {"middle", "0.6"}});
    CHECK_THAT(desk.planned("1", "blue").strip_words, Contains("No number of strips will reach 15 % in this bath"));
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
