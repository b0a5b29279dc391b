#include "demo_fixture.hpp"

#include "app/demo/demo.hpp"
#include "app/demo/invented_law.hpp"
#include "store/record.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <fstream>
#include <numeric>

namespace tonebath::demo_test {

std::unique_ptr<store::Log> fresh_demo(std::uint64_t seed) {
    auto log = store::Log::in_memory();
    const auto made = app::make_demo(*log, {.data = std::string(TONEBATH_SOURCE_DIR) + "/data", .seed = seed});
    REQUIRE(made);
    return log;
}

store::Log& demo() {
    static const std::unique_ptr<store::Log> log = fresh_demo();
    return *log;
}

const nlohmann::json& truth() {
    static const nlohmann::json all = [] {
        std::ifstream in(std::string(TONEBATH_CASES_DIR) + "/demo/truth.json");
        return nlohmann::json::parse(in);
    }();
    return all;
}

const nlohmann::json& planted(const std::string& id) {
    return truth().at("planted").at(id);
}

std::vector<std::string> texts(const nlohmann::json& list) {
    return list.get<std::vector<std::string>>();
}

std::int64_t count(store::Log& log, const std::string& sql, const std::vector<store::Bound>& values) {
    store::Query query(log, sql, values);
    REQUIRE(query.next());
    return query.integer(0);
}

double real(store::Log& log, const std::string& sql, const std::vector<store::Bound>& values) {
    store::Query query(log, sql, values);
    REQUIRE(query.next());
    REQUIRE_FALSE(query.unknown(0));
    return query.real(0);
}

science::RateLaw made_by() {
    return {
        .ea_kj_per_mol = 58.0, .strength_exponent = 0.8, .fade = science::FadeKind::first_order, .fade_per_h = 0.16};
}

app::BathHistory history_of(store::Log& log, const std::string& bath_number) {
    const auto baths = store::list<Bath>(log, "WHERE number = ?1", {bath_number});
    REQUIRE(baths.size() == 1);
    auto history = app::bath_history(log, baths.front().id);
    REQUIRE(history);
    REQUIRE(history->temp_known);
    return *history;
}

Piece piece_of(store::Log& log, const std::string& number) {
    const auto pieces = store::list<Piece>(log, "WHERE number = ?1", {number});
    REQUIRE(pieces.size() == 1);
    return pieces.front();
}

Part part_of(store::Log& log, const Piece& piece, const std::string& name) {
    const auto parts = store::list<Part>(log, "WHERE piece_id = ?1 AND name = ?2", {piece.id.text, name});
    REQUIRE(parts.size() == 1);
    return parts.front();
}

std::vector<Dip> dips_on(store::Log& log, const Piece& piece, const Part& part) {
    return store::list<Dip>(log,
                            "WHERE part_id = ?1 OR piece_id = ?2 ORDER BY COALESCE(dropped_utc_ms, at_about_utc_ms)",
                            {part.id.text, piece.id.text});
}

double dose_on(store::Log& log, const Piece& piece, const Part& part) {
    double sum = 0.0;
    for (const Dip& dip : dips_on(log, piece, part)) {
        const auto history = app::bath_history(log, dip.bath_id);
        REQUIRE(history);
        const auto dose = app::dose_of(*history, dip, made_by());
        REQUIRE(dose);
        sum += *dose;
    }
    return sum;
}

Judgement measured_of(store::Log& log, const Piece& piece, const Part& part) {
    const auto all = store::list<Judgement>(log,
                                            "WHERE (part_id = ?1 OR piece_id = ?2) AND lab_l IS NOT NULL AND moment = "
                                            "'before relief' ORDER BY at_utc_ms DESC, id DESC LIMIT 1",
                                            {part.id.text, piece.id.text});
    REQUIRE(all.size() == 1);
    return all.front();
}

std::vector<Piece> pieces_of_batch(store::Log& log, const std::string& batch) {
    auto pieces =
        store::list<Piece>(log, "WHERE batch_id = (SELECT id FROM batch WHERE number = ?1) ORDER BY number", {batch});
    REQUIRE_FALSE(pieces.empty());
    return pieces;
}

double mean(const std::vector<double>& values) {
    REQUIRE_FALSE(values.empty());
    return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

std::vector<double> slowness_of(store::Log& log, const std::string& bath_number) {
    const app::BathHistory history = history_of(log, bath_number);
    std::vector<double> all;
    for (const Dip& dip : store::list<Dip>(log,
                                           "WHERE bath_id = ?1 AND watched = 1 AND strip_id IN (SELECT s.id FROM strip "
                                           "s JOIN metal m ON m.id = s.metal_id "
                                           "WHERE m.name = 'sterling')",
                                           {history.bath.id.text})) {
        const auto tone = store::find(log, *dip.aim_tone_id);
        REQUIRE(tone);
        const auto dose = app::dose_of(history, dip, made_by());
        REQUIRE(dose);
        // The demo's own doses are told at 55 °C.
        const double at_55 = *dose / science::heat_factor(55.0, made_by().ea_kj_per_mol);
        all.push_back(std::log(at_55 / app::demo_begin_of(app::DemoAlloy::sterling, tone->word)));
    }
    REQUIRE_FALSE(all.empty());
    return all;
}

}  // namespace tonebath::demo_test
