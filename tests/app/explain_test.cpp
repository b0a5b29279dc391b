// What was planted in the demo is found by the program, within the tolerances of the truth kept apart from it.
#include "faults_studio.hpp"

#include "store/change.hpp"
#include "store/record.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <map>

namespace tonebath::demo_test {
namespace {

using Catch::Matchers::WithinAbs;

FaultsStudio& demo_studio() {
    static FaultsStudio one;
    return one;
}

std::string told(const app::Drift& drift) {
    std::string text = drift.words + "\n";
    for (const app::DriftShift& shift : drift.shifts) {
        text += shift.words + "\n";
    }
    for (const app::MetalDoubt& doubt : drift.metals) {
        text += doubt.words + "\n";
    }
    return text;
}

std::vector<app::DriftShift> of_cause(const app::Drift& drift, app::DriftCause cause) {
    std::vector<app::DriftShift> found;
    std::ranges::copy_if(drift.shifts, std::back_inserter(found), [&](const auto& s) { return s.cause == cause; });
    return found;
}

}  // namespace

TEST_CASE("P1, P3, P8: the open jar, the other brass and the new probe are found, and nothing else is blamed", "[explain]") {
    const app::Drift drift = demo_studio().drift();
    INFO(told(drift));
    CHECK(drift.points.size() == 46);
    CHECK_FALSE(drift.trial);

    const auto& jar = planted("P1");
    const auto lots = of_cause(drift, app::DriftCause::lot);
    REQUIRE(lots.size() == 1);
    CHECK(lots[0].lot == jar["records"]["lot"].get<std::string>());
    CHECK(lots[0].slow);
    REQUIRE(lots[0].half_life_days);
    // "About six weeks".
    CHECK_THAT(*lots[0].half_life_days / 7.0, WithinAbs(6.0, 1.5));
    const double late_days = seconds_between(*parse_iso(jar["records"]["since"].get<std::string>(), 0), lots[0].from) / 86400.0;
    CHECK(late_days > -14.0);
    CHECK(late_days < 21.0);

    const auto& probe = planted("P8");
    const auto thermometers = of_cause(drift, app::DriftCause::thermometer);
    REQUIRE(thermometers.size() == 1);
    CHECK(date_text(thermometers[0].from) == "3 Feb 2026");
    CHECK(thermometers[0].to_bath == texts(probe["records"]["baths"]).back());
    const double within = probe["tolerance"]["looks_weaker"];
    CHECK(1.0 - thermometers[0].ratio > probe["expect"]["looks_weaker_low"].get<double>() - within);
    CHECK(1.0 - thermometers[0].ratio < probe["expect"]["looks_weaker_high"].get<double>() + within);
    CHECK(drift.shifts.size() == 2);

    const auto& brass = planted("P3");
    REQUIRE(drift.metals.size() == 1);
    CHECK(drift.metals[0].batch == brass["records"]["batch"].get<std::string>());
    CHECK(drift.metals[0].part == "base");
    CHECK(drift.metals[0].lighter_l > brass["expect"]["base_lighter_by_at_least"].get<double>());
    CHECK(std::abs(drift.metals[0].other_parts_l) < brass["expect"]["tabs_differ_by_at_most"].get<double>());
}

TEST_CASE("P8: with the check dated from the probe's first day the jump is gone", "[explain]") {
    FaultsStudio own;
    store::Log& log = own.studio->log();
    ThermometerCheck check = store::list<ThermometerCheck>(
        log, "WHERE thermometer_id = (SELECT id FROM thermometer WHERE number = 'T2')").front();
    IdSource ids(1);
    check.id = ids.next<ThermometerCheck>(check.at);
    check.applies_from = *parse_iso(planted("P8")["records"]["since"].get<std::string>(), 0);
    store::Change change(log, "check from the first day on", check.at, "", ids);
    store::insert(log, check);
    change.commit();
    own.learned = app::learn(*own.studio);
    const app::Drift drift = own.drift();
    INFO(told(drift));
    CHECK(of_cause(drift, app::DriftCause::thermometer).empty());
    CHECK(of_cause(drift, app::DriftCause::lot).size() == 1);
    CHECK(drift.shifts.size() == 1);
}

TEST_CASE("P2: the third rack is lighter because the bath had cooled, not because of the lot", "[explain]") {
    const auto& p = planted("P2");
    const app::WhyAnswer why = demo_studio().why(p["records"]["example"], "lid");
    INFO(why.words);
    CHECK(why.differs);
    CHECK(why.seen_tones < 0.0);
    REQUIRE_FALSE(why.rows.empty());
    CHECK(why.rows[0].name == "heat of the bath");
    CHECK(why.rows[0].named);
    for (const app::WhyRow& row : why.rows) {
        CHECK((row.name == "heat of the bath" || !row.named));
    }
    CHECK_FALSE(why.nothing_recorded_explains);
    const app::Comparison racks = app::compare_groups(*demo_studio().studio, *demo_studio().learned,
                                                      {.by = app::CompareBy::rack, .batch = p["records"]["batch"], .part = "lid"});
    REQUIRE(racks.rows.size() == 2);
    // From the temperatures alone, with the effect of heat as it was learned of sterling: the demo makes it with 58 kJ/mol.
    const app::ExplainBook& book = demo_studio().book();
    const auto sterling = std::ranges::find(book.scale_names, "sterling", &std::pair<const std::string, std::string>::second);
    REQUIRE(sterling != book.scale_names.end());
    const app::MetalHeat heat = book.heats.at(sterling->first);
    INFO("sterling " << heat.ea_kj_per_mol << " within " << heat.sd);
    CHECK(std::abs(heat.ea_kj_per_mol - p["expect"]["ea_kj_per_mol"].get<double>()) < 3.0 * heat.sd);
    const auto share = [&](double temp_c) {
        return science::heat_factor(temp_c, heat.ea_kj_per_mol) / science::heat_factor(55.0, heat.ea_kj_per_mol);
    };
    const double within = p["tolerance"]["share"];
    CHECK_THAT(share(46.0), WithinAbs(p["expect"]["rack_2_dose_share"].get<double>(), within));
    CHECK_THAT(share(40.0), WithinAbs(p["expect"]["rack_3_dose_share"].get<double>(), within));
    // A lid's whole dose holds the few seconds of the joined piece in the next bath as well, where all racks were alike.
    std::map<int, std::vector<double>> doses;
    for (const Piece& piece : pieces_of_batch(demo(), p["records"]["batch"])) {
        doses[*piece.rack].push_back(dose_on(demo(), piece, part_of(demo(), piece, "lid")));
    }
    for (const int rack : {2, 3}) {
        const app::CompareRow& row = racks.rows[static_cast<std::size_t>(rack - 2)];
        INFO(row.words);
        CHECK(row.second == "20 rack 1");
        const double truth = mean(doses[rack]) / mean(doses[1]);
        CHECK_THAT(row.dose_ratio, WithinAbs(truth, within));
        CHECK(row.dose_low < truth);
        CHECK(row.dose_high > truth);
    }
}

TEST_CASE("P13: the apprentice's pieces are darker as they look and alike at equal dose", "[explain]") {
    const auto& p = planted("P13");
    double raw = 0.0;
    double equal = 0.0;
    for (const std::string& batch : texts(p["records"]["batches"])) {
        const app::Comparison who = app::compare_groups(*demo_studio().studio, *demo_studio().learned,
                                                        {.by = app::CompareBy::who, .batch = batch, .part = "lid"});
        REQUIRE(who.rows.size() == 1);
        const app::CompareRow& row = who.rows[0];
        INFO(row.words);
        const double sign = row.first == "AP" ? 1.0 : -1.0;
        CHECK(row.raw_differs);
        CHECK_FALSE(row.equal_dose_differs);
        CHECK(std::ranges::find(row.confounded, "heat of the bath") != row.confounded.end());
        REQUIRE(row.raw_l);
        REQUIRE(row.equal_dose_l);
        raw += 0.5 * sign * *row.raw_l;
        equal += 0.5 * sign * *row.equal_dose_l;
    }
    CHECK_THAT(raw, WithinAbs(p["expect"]["raw_l"].get<double>(), p["tolerance"]["raw_l"].get<double>()));
    CHECK_THAT(equal, WithinAbs(p["expect"]["equal_dose_l"].get<double>(), p["tolerance"]["equal_dose_l"].get<double>()));
}

TEST_CASE("P14: nothing recorded explains the dark lid, and none of its mates is so told", "[explain]") {
    const auto& p = planted("P14");
    const app::WhyAnswer why = demo_studio().why(p["records"]["piece"], "lid");
    INFO(why.words);
    CHECK(why.nothing_recorded_explains);
    CHECK(why.also_differs.empty());
    CHECK(std::ranges::none_of(why.rows, &app::WhyRow::named));
    REQUIRE(why.seen_l);
    CHECK_THAT(-*why.seen_l, WithinAbs(p["expect"]["darker_l"].get<double>(), p["tolerance"]["darker_l"].get<double>()));
    CHECK(why.unexplained_low > 0.0);
    for (const std::string& mate : texts(p["records"]["mates"])) {
        CHECK_FALSE(demo_studio().why(mate, "lid").nothing_recorded_explains);
    }
}

TEST_CASE("P17: the time typed from memory is asked about", "[explain]") {
    const auto& p = planted("P17");
    const app::WhyAnswer why = demo_studio().why(p["records"]["piece"], p["records"]["part"]);
    REQUIRE(why.doubtful.size() == 1);
    CHECK(why.doubtful[0].find("300 s") != std::string::npos);
    CHECK(demo_studio().why("L-011", "lid").doubtful.empty());
}

}  // namespace tonebath::demo_test
