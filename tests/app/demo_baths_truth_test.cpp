// What was planted in the demo's jars, baths and thermometers is really in its records.
#include "demo_fixture.hpp"
#include "store/change.hpp"
#include "store/record.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <map>
#include <set>

namespace tonebath::demo_test {
namespace {

using Catch::Matchers::WithinAbs;

std::vector<std::string> baths_of_lot(const std::string& lot, const std::string& from, const std::string& until) {
    std::vector<std::string> numbers;
    for (const Bath& bath : store::list<Bath>(
             demo(),
             "WHERE lot_id = (SELECT id FROM lot WHERE number = ?1) AND made_up_utc_ms >= ?2 AND made_up_utc_ms < ?3",
             {lot, parse_iso(from, 0)->utc_ms, parse_iso(until, 0)->utc_ms})) {
        numbers.push_back(bath.number);
    }
    return numbers;
}

double slowness(store::Log& log, const std::vector<std::string>& baths) {
    std::vector<double> all;
    for (const std::string& number : baths) {
        for (const double one : slowness_of(log, number)) {
            all.push_back(one);
        }
    }
    return mean(all);
}

}  // namespace

TEST_CASE("P1: the open jar loses strength from its day on, the other does not", "[demo]") {
    const auto& p = planted("P1");
    const double before = slowness(demo(), baths_of_lot("LS-1", "2025-10-01", "2025-11-28"));
    const std::vector<std::string> after = baths_of_lot("LS-1", "2025-11-28", "2026-04-01");
    CHECK(std::set<std::string>(after.begin(), after.end()) ==
          p["records"]["baths_after"].get<std::set<std::string>>());
    // Of that day's two strips alone; the line through all of them is what the program has.
    const double on_the_day = slowness(demo(), {p["records"]["bath_of_5_january"]});
    CHECK_THAT(std::exp(before - on_the_day), WithinAbs(p["expect"]["speed_on_5_january"].get<double>(),
                                                        p["tolerance"]["speed_on_5_january"].get<double>()));
    const std::string other = p["records"]["other_lot"];
    const double other_before = slowness(demo(), baths_of_lot(other, "2025-11-01", "2025-11-28"));
    const double other_after = slowness(demo(), baths_of_lot(other, "2025-11-28", "2026-02-01"));
    CHECK_THAT(std::exp(other_before - other_after), WithinAbs(p["expect"]["other_lot_ratio"].get<double>(),
                                                               p["tolerance"]["other_lot_ratio"].get<double>()));
    CHECK(count(demo(),
                "SELECT count(*) FROM lot_weighing WHERE event = 'left open' AND lot_id = (SELECT id FROM lot WHERE "
                "number = 'LS-1')") == 1);
    CHECK(count(demo(), "SELECT count(*) FROM lot WHERE retired_utc_ms IS NOT NULL") == 0);
}

TEST_CASE("P2: three racks in a cooling bath", "[demo]") {
    const auto& p = planted("P2");
    app::BathHistory history = history_of(demo(), p["records"]["bath"]);
    const science::RateLaw heat_alone{.ea_kj_per_mol = p["expect"]["ea_kj_per_mol"]};
    std::map<int, std::vector<double>> doses;
    std::map<int, std::vector<double>> lightness;
    for (const Piece& piece : pieces_of_batch(demo(), p["records"]["batch"])) {
        const Part lid = part_of(demo(), piece, "lid");
        const auto dips = store::list<Dip>(demo(), "WHERE part_id = ?1", {lid.id.text});
        REQUIRE(dips.size() == 1);
        CHECK(dips.front().bath_id == history.bath.id);
        CHECK(dips.front().in_bath->seconds() == p["expect"]["seconds"].get<double>());
        doses[*piece.rack].push_back(*app::dose_of(history, dips.front(), heat_alone));
        lightness[*piece.rack].push_back(*measured_of(demo(), piece, lid).l);
    }
    REQUIRE(doses.size() == 3);
    const double within = p["tolerance"]["share"];
    CHECK_THAT(mean(doses[2]) / mean(doses[1]), WithinAbs(p["expect"]["rack_2_dose_share"].get<double>(), within));
    CHECK_THAT(mean(doses[3]) / mean(doses[1]), WithinAbs(p["expect"]["rack_3_dose_share"].get<double>(), within));
    CHECK(mean(lightness[1]) + 3.0 < mean(lightness[2]));
    CHECK(mean(lightness[2]) + 2.0 < mean(lightness[3]));
    CHECK(piece_of(demo(), p["records"]["example"]).rack == 3);
    // The lot is as it was the week before and the week after.
    CHECK_THAT(slowness(demo(), {"28"}) - slowness(demo(), {"24", "29"}), WithinAbs(0.0, 0.08));
}

TEST_CASE("P8: the new probe makes all lots look weaker until its check is entered from its first day", "[demo]") {
    const auto& p = planted("P8");
    const std::vector<std::string> february = texts(p["records"]["baths"]);
    const auto log = fresh_demo();
    // Against the same lots before, so that only the day can speak.
    const auto looks = [&] {
        std::map<std::string, std::vector<double>> by_lot;
        for (const std::string& number : february) {
            for (const double one : slowness_of(*log, number)) {
                by_lot[history_of(*log, number).lot->number].push_back(one);
            }
        }
        std::vector<double> apart;
        for (const auto& [lot, now] : by_lot) {
            const double before = slowness(*log, baths_of_lot(lot, "2025-11-01", "2026-02-03"));
            for (const double one : now) {
                apart.push_back(before - one);
            }
        }
        CHECK(by_lot.size() == texts(p["records"]["lots"]).size());
        return std::exp(mean(apart));
    };
    const double within = p["tolerance"]["looks_weaker"];
    const double weaker = 1.0 - looks();
    CHECK(weaker > p["expect"]["looks_weaker_low"].get<double>() - within);
    CHECK(weaker < p["expect"]["looks_weaker_high"].get<double>() + within);

    const auto checks =
        store::list<ThermometerCheck>(*log, "WHERE thermometer_id = (SELECT id FROM thermometer WHERE number = ?1)",
                                      {p["records"]["thermometer"].get<std::string>()});
    REQUIRE(checks.size() == 1);
    CHECK(checks.front().applies_from == checks.front().at);
    CHECK(checks.front().reads.celsius() - checks.front().truth.celsius() ==
          p["expect"]["reads_too_high_c"].get<double>());
    CHECK(date_text(checks.front().at) == "1 Mar 2026");
    {
        IdSource ids(1);
        ThermometerCheck back = checks.front();
        back.id = ids.next<ThermometerCheck>(back.at);
        back.applies_from = *parse_iso(p["records"]["since"].get<std::string>(), 0);
        store::Change change(*log, "check from the first day on", back.at, "", ids);
        store::insert(*log, back);
        change.commit();
    }
    CHECK_THAT(looks(), WithinAbs(p["expect"]["after_correction"].get<double>(),
                                  p["tolerance"]["after_correction"].get<double>()));
}

TEST_CASE("P11: two baths were never checked, all others by every stop of the list, in words", "[demo]") {
    std::vector<std::string> without;
    for (const Bath& bath : store::list<Bath>(
             demo(),
             "WHERE NOT EXISTS (SELECT 1 FROM check_run c WHERE c.bath_id = bath.id) ORDER BY made_up_utc_ms")) {
        without.push_back(bath.number);
    }
    CHECK(without == texts(planted("P11")["records"]["baths_without_check"]));
    // Of the list before a session four lines are stops for a sulfide bath.
    CHECK(count(demo(),
                "SELECT count(*) FROM check_run c WHERE c.list_key = 'before_session' AND (SELECT count(*) FROM check_answer a "
                "WHERE a.run_id = c.id AND a.level = 'stop' AND a.state = 'confirmed' AND a.response <> '' AND a.item_text <> '') <> 4") == 0);
    CHECK(count(demo(), "SELECT count(DISTINCT bath_id) FROM check_run WHERE list_key = 'before_session'") == count(demo(), "SELECT count(*) FROM bath") - 2);
}

TEST_CASE("P12: grams of the first jar that nobody can account for", "[demo]") {
    const double bought = real(demo(), "SELECT bought_amount FROM lot WHERE number = 'LS-1'");
    const double used =
        real(demo(), "SELECT sum(amount) FROM bath WHERE lot_id = (SELECT id FROM lot WHERE number = 'LS-1')");
    const double left = real(demo(),
                             "SELECT left_amount FROM lot_weighing WHERE left_amount IS NOT NULL AND lot_id = (SELECT "
                             "id FROM lot WHERE number = 'LS-1')");
    CHECK(bought - used - left == planted("P12")["expect"]["unaccounted_g"].get<double>());
}

TEST_CASE("P15: what was made up, what left, and where the rest is", "[demo]") {
    const auto& p = planted("P15");
    const double within = p["tolerance"]["l"];
    CHECK_THAT(real(demo(), "SELECT sum(water_ml) / 1000 FROM bath"),
               WithinAbs(p["expect"]["made_l"].get<double>(), within));
    CHECK_THAT(real(demo(), "SELECT sum(volume_ml) / 1000 FROM disposal"),
               WithinAbs(p["expect"]["disposed_l"].get<double>(), within));
    // Each bath is named by at most one disposal, after its end; all but three are.
    std::set<std::string> named;
    for (const Disposal& disposal : store::list<Disposal>(demo(), "ORDER BY at_utc_ms")) {
        CHECK(disposal.route == "collection");
        CHECK(disposal.rule.empty() == (disposal.at < *parse_iso("2025-11-04", 0)));
        CHECK(disposal.rule_id.has_value() != disposal.rule.empty());
        CHECK(disposal.note.find("baths " + joined(split(disposal.baths, '\n'), ", ")) == 0);
        const std::string list = disposal.note.substr(6, disposal.note.find(';') - 6);
        for (const std::string& part : split(list, ',')) {
            const std::string number(trimmed(part));
            CHECK(named.insert(number).second);
            CHECK(*history_of(demo(), number).bath.ended_at < disposal.at);
        }
    }
    CHECK(named.size() == 43);
    for (const char* which : {"owed_bath", "in_use", "unlogged_bath"}) {
        CHECK(named.count(p["records"][which].get<std::string>()) == 0);
    }
}

TEST_CASE("P16: the repeat order stands on another jar, another probe and other sheet, and needs another time",
          "[demo]") {
    const auto& p = planted("P16");
    const auto repeat = store::list<Order>(demo(), "WHERE number = ?1", {p["records"]["repeat"].get<std::string>()});
    const auto first = store::list<Order>(demo(), "WHERE number = ?1", {p["records"]["order"].get<std::string>()});
    REQUIRE((repeat.size() == 1 && first.size() == 1));
    CHECK(repeat.front().repeat_of == first.front().id);
    const app::BathHistory now = history_of(demo(), p["records"]["bath_now"]);
    const Piece piece = pieces_of_batch(demo(), p["records"]["batch"]).front();
    CHECK(piece.order_id == first.front().id);
    const Part lid = part_of(demo(), piece, "lid");
    const Dip dip = dips_on(demo(), piece, lid).front();
    const auto then = app::bath_history(demo(), dip.bath_id);
    REQUIRE(then);
    const auto lots = texts(p["records"]["lots"]);
    CHECK(then->lot->number == lots[0]);
    CHECK(now.lot->number == lots[1]);
    const auto thermometer = [&](const Id<Bath>& bath) {
        store::Query query(demo(),
                           "SELECT DISTINCT number FROM thermometer WHERE id IN (SELECT thermometer_id FROM reading "
                           "WHERE bath_id = ?1)",
                           {bath.text});
        REQUIRE(query.next());
        return query.text(0);
    };
    CHECK(thermometer(dip.bath_id) == texts(p["records"]["thermometers"])[0]);
    CHECK(thermometer(now.bath.id) == texts(p["records"]["thermometers"])[1]);
    CHECK(part_of(demo(), piece, "cup").note == texts(p["records"]["sheets"])[0]);
    CHECK(part_of(demo(), pieces_of_batch(demo(), "31").front(), "cup").note == texts(p["records"]["sheets"])[1]);
    const auto dose = app::dose_of(*then, dip, made_by());
    REQUIRE(dose);
    const auto seconds = science::matched_seconds(
        now.course, made_by(), now.t_of(*parse_iso(truth().at("as_of").get<std::string>(), 0)), *dose);
    REQUIRE(seconds);
    CHECK(*seconds / dip.in_bath->seconds() > p["expect"]["time_ratio_above"].get<double>());
}

}  // namespace tonebath::demo_test
