// An order wanted again: the dose carries over, the seconds do not.
#include "app/repeat.hpp"
#include "app/learning_desk.hpp"

#include <cmath>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;

namespace {

struct RepeatDesk : LearningDesk {
    app::RepeatOrder again(const app::RepeatAsk& ask) {
        const auto order = app::repeat_order(studio(), *app::learn(studio()), ask);
        INFO((order ? std::string() : order.error().text()));
        REQUIRE(order);
        return *order;
    }
    const app::RepeatChange& change(const app::RepeatOrder& order, const std::string& what) {
        for (const app::RepeatChange& one : order.changes) {
            if (one.what == what) {
                return one;
            }
        }
        FAIL("nothing is said of " << what);
        return order.changes.front();
    }
    // Order R-1: three pieces, taken out of a bath held at 60 °C.
    void first_order(const std::string& target_dose, const std::string& judged = "blue") {
        does("target.add", {{"name", "Lid blue"},
                            {"scale", "sterling"},
                            {"tone", "blue"},
                            {"dose", target_dose},
                            {"tolerance", "0.5"},
                            {"keep-piece", "L-1"}});
        does("order.add", {{"number", "R-1"}, {"target", "Lid blue"}});
        does("batch.add", {{"number", "1"}, {"design", "Limpet"}, {"order", "R-1"}});
        does("piece.add", {{"number", "L-1..L-3"}, {"batch", "1"}, {"metal", "sterling"}});
        held_bath("1", "60");
        for (const char* piece : {"L-1", "L-2", "L-3"}) {
            does("dip.drop", {{"bath", "1"}, {"piece", piece}});
            clock.advance(40.0);
            does("dip.out");
            if (!judged.empty()) {
                does("judgement.add", {{"piece", piece}, {"tone", judged}});
            }
        }
        does("after-work.add", {{"batch", "1"}, {"step", "sealed"}, {"with", "wax"}});
        ends("1");
    }
};

}  // namespace

TEST_CASE("A dose of one temperature takes its own time at another, in a weaker bath") {
    // 90 s at 50 °C in a bath of strength 0.62 at 44 °C: 221 s by the rate law with 59.8 kJ/mol (exp(Ea/R (1/317.15 -
    // 1/323.15)) = 1.524; 90 x 1.524 / 0.62), 217 s by 1.95 times per 10 °C (1.95^0.6 = 1.493). Rate law as OpenStax
    // Chemistry 2e, section 12.5; reckoned by hand.
    const science::RateLaw law{.ea_kj_per_mol = 59.8};
    const auto dose = science::convert_dose(90.0, 50.0, law);
    REQUIRE(dose);
    const auto seconds = science::seconds_at(*dose, 44.0, 0.62, law);
    REQUIRE(seconds);
    CHECK(*seconds > 217.0);
    CHECK(*seconds < 222.0);
}

TEST_CASE("A stored dose gives today's time in today's bath") {
    RepeatDesk desk;
    desk.first_order("40");
    // Half the strength, and colder.
    desk.held_bath("2", "50", "1 g");
    const app::RepeatOrder order = desk.again({.number = "R-1"});
    CHECK(order.dose_from == app::DoseFrom::target);
    CHECK(order.dose_s == 40.0);
    REQUIRE(order.out_s);
    REQUIRE(order.then_s);
    CHECK(*order.then_s == 40.0);
    // By the law as it was learned: heat and strength, of this lot and bath.
    const auto learned = app::learn(desk.studio());
    const science::RateLaw law = app::law_of(*learned);
    const double speed =
        std::pow(0.5, law.strength_exponent) * std::exp(app::bath_log_speed(*learned, desk.bath("2").id));
    const auto plain = science::seconds_at(40.0, 50.0, speed, law);
    REQUIRE(plain);
    CHECK_THAT(*order.out_s, WithinRel(*plain, 0.02));
    CHECK(*order.out_s > 1.5 * *order.then_s);
    CHECK(*order.low_s < *order.out_s);
    CHECK(*order.high_s > *order.out_s);
    REQUIRE(order.strips_s.size() == 2);
    CHECK(order.strips_s.front() < *order.out_s);
    CHECK(order.strips_s.back() > *order.out_s);
    CHECK(order.keep_piece == "L-1");
    CHECK(order.tolerance_steps == 0.5);
    CHECK_THAT(order.keep_words, Contains("L-1") && Contains("0.5"));

    CHECK(desk.change(order, "lot").likeness == app::Likeness::same);
    CHECK(desk.change(order, "vessel").likeness == app::Likeness::same);
    CHECK(desk.change(order, "strength at make-up").likeness == app::Likeness::changed);
    CHECK(desk.change(order, "strength at make-up").then == "5.0 g/L");
    CHECK(desk.change(order, "sealed with").likeness == app::Likeness::not_known);
    CHECK(desk.change(order, "additives").likeness == app::Likeness::not_known);
    // What changed stands first.
    CHECK(order.changes.front().likeness == app::Likeness::changed);
    CHECK(order.changes.back().likeness == app::Likeness::same);

    SECTION("a piece of it gives the same") {
        CHECK_THAT(*desk.again({.number = "L-2"}).out_s, WithinRel(*order.out_s, 1e-9));
    }
    SECTION("another maker, another lot, another vessel, other water") {
        desk.ends("2");
        desk.does("person.add", {{"initials", "AP"}, {"role", "apprentice"}});
        desk.does("person.at-bench", {{"who", "AP"}});
        desk.does("lot.add", {{"number", "LS-9"}, {"amount", "100 g"}, {"usual", "5"}, {"opened", "today"}});
        desk.does("bath.make-up", {{"number", "3"},
                                   {"lot", "LS-9"},
                                   {"amount", "2 g"},
                                   {"water", "400 ml"},
                                   {"start-temp", "60"},
                                   {"vessel", "V1"},
                                   {"water-source", "rain"}});
        const app::RepeatOrder other = desk.again({.number = "R-1"});
        CHECK(desk.change(other, "lot").likeness == app::Likeness::changed);
        CHECK(desk.change(other, "vessel").likeness == app::Likeness::changed);
        CHECK(desk.change(other, "who").likeness == app::Likeness::changed);
        CHECK(desk.change(other, "kind of water").likeness == app::Likeness::not_known);
        CHECK(desk.change(other, "kind of water").now == "rain");
        // A lot never tried makes the range wider than one that was.
        desk.ends("3");
        desk.does("bath.make-up", {{"number", "4"},
                                   {"lot", "LS-2"},
                                   {"amount", "2 g"},
                                   {"water", "400 ml"},
                                   {"start-temp", "60"},
                                   {"vessel", "V1"}});
        const app::RepeatOrder known = desk.again({.number = "R-1"});
        CHECK(*other.high_s / *other.low_s > 1.05 * *known.high_s / *known.low_s);
    }
    SECTION("a repeat of a repeat goes back to the first, and its own pieces are those of now") {
        desk.does("order.add", {{"number", "R-2"}, {"repeat-of", "R-1"}});
        desk.does("order.add", {{"number", "R-3"}, {"repeat-of", "R-2"}});
        desk.does("piece.add", {{"number", "L-9"}, {"order", "R-3"}, {"metal", "fine silver"}});
        const app::RepeatOrder third = desk.again({.number = "R-3"});
        CHECK(third.pattern == "order R-1");
        CHECK_THAT(*third.out_s, WithinRel(*order.out_s, 1e-9));
        CHECK(desk.change(third, "metal").likeness == app::Likeness::changed);
        CHECK(desk.change(third, "metal").now == "fine silver");
    }
}

TEST_CASE("Without a stored dose the pieces that came to the tone give it, or strips find it again") {
    RepeatDesk desk;
    SECTION("judged pieces") {
        desk.first_order("");
        // In a bath as the first one the time is that of then; in a colder one it is not.
        desk.held_bath("2", "60");
        const app::RepeatOrder alike = desk.again({.number = "R-1"});
        CHECK(alike.dose_from == app::DoseFrom::records);
        CHECK_THAT(alike.dose_words, Contains("3 pieces"));
        REQUIRE(alike.out_s);
        CHECK_THAT(*alike.out_s, WithinRel(40.0, 0.15));
        desk.ends("2");
        desk.held_bath("3", "50");
        const app::RepeatOrder colder = desk.again({.number = "R-1"});
        CHECK(colder.dose_s == alike.dose_s);
        REQUIRE(colder.out_s);
        CHECK(*colder.out_s > 1.3 * *alike.out_s);
    }
    SECTION("none of them came to it, or none was judged: no time is given") {
        desk.first_order("", GENERATE(as<std::string>{}, "amber", ""));
        desk.held_bath("2", "50");
        const app::RepeatOrder order = desk.again({.number = "R-1"});
        CHECK_FALSE(order.dose_s);
        CHECK_FALSE(order.out_s);
        REQUIRE(order.no_time);
        CHECK(order.no_time->code == "repeat.no_dose");
        CHECK_FALSE(order.no_time->remedy.empty());
        // Strips in even ratio over the range in which the tone may lie.
        REQUIRE(order.strips_s.size() == 3);
        CHECK_THAT(order.strips_s[1] / order.strips_s[0], WithinRel(order.strips_s[2] / order.strips_s[1], 1e-6));
        CHECK_THAT(order.strip_words, Contains("find the tone again"));
        // The seconds of then stay on show and become no plan.
        CHECK(order.then_s == 40.0);
    }
}

TEST_CASE("A dose typed at another temperature is converted by the learned law") {
    RepeatDesk desk;
    desk.first_order("40");
    desk.held_bath("2", "50");
    const science::RateLaw law = app::law_of(*app::learn(desk.studio()));
    const app::RepeatOrder order = desk.again({.number = "R-1", .dose_s = 90.0, .dose_temp_c = 50.0});
    CHECK(order.dose_from == app::DoseFrom::typed);
    REQUIRE(order.dose_s);
    CHECK_THAT(*order.dose_s, WithinRel(90.0 * science::heat_factor(50.0, law.ea_kj_per_mol), 1e-9));
    for (const double bad : {0.0, -5.0, std::nan("")}) {
        const auto refused =
            app::repeat_order(desk.studio(), *app::learn(desk.studio()), {.number = "R-1", .dose_s = bad});
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == "repeat.bad_dose");
        CHECK_FALSE(refused.error().remedy.empty());
    }
    const auto too_hot = app::repeat_order(desk.studio(), *app::learn(desk.studio()),
                                           {.number = "R-1", .dose_s = 90.0, .dose_temp_c = 150.0});
    REQUIRE_FALSE(too_hot);
    CHECK(too_hot.error().code == "repeat.bad_dose");
}

TEST_CASE("What cannot be repeated says why") {
    RepeatDesk desk;
    const auto code = [&](const std::string& number) {
        const auto order = app::repeat_order(desk.studio(), *app::learn(desk.studio()), {.number = number});
        return order ? std::string() : order.error().code;
    };
    CHECK(code("R-1") == "repeat.unknown");
    desk.does("order.add", {{"number", "R-0"}});
    CHECK(code("R-0") == "repeat.no_tone");
    desk.first_order("40");
    CHECK(code("R-9") == "repeat.unknown");
    // No bath in use, and one whose temperature is not known: everything but the time.
    const app::RepeatOrder no_bath = desk.again({.number = "R-1"});
    REQUIRE(no_bath.no_time);
    CHECK(no_bath.no_time->code == "bath.none_in_use");
    CHECK_FALSE(no_bath.changes.empty());
    desk.does("bath.make-up", {{"number", "7"}, {"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}});
    const app::RepeatOrder cold = desk.again({.number = "R-1"});
    CHECK_FALSE(cold.out_s);
    REQUIRE(cold.no_time);
    CHECK(cold.no_time->code == "plan.no_temperature");
}
