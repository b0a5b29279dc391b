#include "model/rules/work_rules.hpp"
#include "model/rules/dip_rules.hpp"

#include <catch2/catch.hpp>

using namespace tonebath;
using Catch::Matchers::Contains;

namespace {

const Stamp kNoon = *parse_iso("2026-03-31T12:00+01:00", 0);
Stamp minutes(double after) {
    return plus_seconds(kNoon, after * 60.0);
}
Stamp days(double after) {
    return plus_seconds(kNoon, after * 86400.0);
}

}  // namespace

TEST_CASE("Degreased after the dip, relief before it") {
    CHECK(rules::before_dip({"When", "12:05"}, minutes(5), kNoon)->code == "preparation.after_dip");
    CHECK_FALSE(rules::before_dip({"When", "11:55"}, minutes(-5), kNoon));
    CHECK_FALSE(rules::before_dip({"When", "12:05"}, minutes(5), std::nullopt));
    CHECK(rules::after_dip({"Step", "rubbed back"}, AfterStep::rubbed_back, minutes(-5), kNoon)->code ==
          "after_work.before_dip");
    CHECK(rules::after_dip({"Step", "rubbed back"}, AfterStep::rubbed_back, kNoon, std::nullopt));
    CHECK_FALSE(rules::after_dip({"Step", "rubbed back"}, AfterStep::rubbed_back, minutes(5), kNoon));
}

TEST_CASE("A stop bath comes after a water rinse, never straight from sulfide") {
    CHECK(rules::stop_bath_after_rinse({"Step", "stop bath"}, AfterStep::stop_bath, false));
    CHECK_FALSE(rules::stop_bath_after_rinse({"Step", "stop bath"}, AfterStep::stop_bath, true));
    CHECK_FALSE(rules::stop_bath_after_rinse({"Step", "dried"}, AfterStep::dried, false));
}

TEST_CASE("Tumbling with foil set, and with a backing that is not known") {
    Stone foil;
    foil.number = "S-1";
    foil.backing = Backing::foil;
    Stone garnet;
    garnet.backing = Backing::none;
    Stone unknown;
    const auto asked = [](AfterStep step, std::vector<Stone> stones) {
        return rules::tumbling({"Step", "tumbled"}, step, stones).has_value();
    };
    CHECK(asked(AfterStep::tumbled, {garnet, foil}));
    CHECK(asked(AfterStep::tumbled, {unknown}));
    CHECK_FALSE(asked(AfterStep::tumbled, {garnet}));
    CHECK_FALSE(asked(AfterStep::brushed, {foil}));
}

TEST_CASE("Pickled, and how often rinsed") {
    CHECK(rules::pickle_rinsed({"Rinses", "0"}, Answer::yes, 0)->code == "preparation.no_rinse");
    CHECK_FALSE(rules::pickle_rinsed({"Rinses", "2"}, Answer::yes, 2));
    CHECK_FALSE(rules::pickle_rinsed({"Rinses", ""}, Answer::yes, std::nullopt));
    CHECK_FALSE(rules::pickle_rinsed({"Rinses", "0"}, Answer::no, 0));
    CHECK(rules::pickle_rinsed({"Rinses", "-1"}, Answer::no, -1));

    FinishKind sulfide;
    sulfide.families = {"sulfide"};
    Preparation done;
    CHECK_FALSE(rules::acid_carried({"Piece", "L-1"}, sulfide, nullptr));
    CHECK_FALSE(rules::acid_carried({"Piece", "L-1"}, sulfide, &done));  // unticked is not "yes"
    done.pickled = Answer::yes;
    CHECK(rules::may_be_kept(*rules::acid_carried({"Piece", "L-1"}, sulfide, &done)));
    done.rinses_after_pickle = 0;
    CHECK_FALSE(rules::may_be_kept(*rules::acid_carried({"Piece", "L-1"}, sulfide, &done)));
    done.rinses_after_pickle = 1;
    CHECK_FALSE(rules::acid_carried({"Piece", "L-1"}, sulfide, &done));
}

TEST_CASE("Days in the wrong order are refused, the same day never") {
    CHECK(rules::lot_dates({"Opened", "x"}, days(1), days(-1)));
    CHECK_FALSE(rules::lot_dates({"Opened", "x"}, minutes(5), kNoon));
    CHECK_FALSE(rules::lot_dates({"Opened", "x"}, std::nullopt, kNoon));
    CHECK(rules::in_order({"Sold", "x"}, "it was assembled", days(1), days(-1)));
    CHECK(rules::part_alone({"Part", "lid"}, "lid", days(-3), kNoon));
    CHECK_FALSE(rules::part_alone({"Part", "lid"}, "lid", std::nullopt, kNoon));
    CHECK_FALSE(rules::part_alone({"Part", "lid"}, "lid", days(2), kNoon));
    CHECK(rules::joined_before_dip({"Joined on", "x"}, "lid", days(-3), kNoon));
    CHECK_FALSE(rules::joined_before_dip({"Joined on", "x"}, "lid", days(3), kNoon));
}

TEST_CASE("A boiling check needs the height above the sea") {
    CHECK(rules::boiling_altitude({"Height", ""}, std::nullopt)->code == "thermometer.no_altitude");
    CHECK_FALSE(rules::boiling_altitude({"Height", "0"}, 0.0));
    CHECK(rules::boiling_altitude({"Height", "9000"}, 9000.0));
    CHECK(rules::offset_plausible({"It reads", "30"}, Celsius::from_celsius(30), Celsius::from_celsius(0)));
    CHECK_FALSE(rules::offset_plausible({"It reads", "4"}, Celsius::from_celsius(4), Celsius::from_celsius(0)));
}

TEST_CASE("More left than bought, but for the scale's gram") {
    Lot lot;
    lot.number = "LS-1";
    lot.bought_amount = 100.0;
    CHECK(rules::left_of_bought({"Left", "150 g"}, 150.0, lot));
    CHECK_FALSE(rules::left_of_bought({"Left", "100.5 g"}, 100.5, lot));
    CHECK(rules::left_of_bought({"Left", "-1 g"}, -1.0, lot)->code == "number.negative");
}
