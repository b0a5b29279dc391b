// Published worked examples against the program's own functions. Source of every figure: the row's book and section
// (OpenStax Chemistry 2e; OpenStax Calculus). Tolerance: half of the last printed digit or 1 %, whichever is more, and
// 4 % on A1 and A2, whose books round to two figures; beside it 0.1 % against the row's recomputed value.
#include "chemistry_cases.hpp"
#include "science/cooling.hpp"
#include "science/dilution.hpp"
#include "science/dose.hpp"
#include "science/fade.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <set>

using namespace tonebath::science;
using tonebath::cases::numbers_in;
using tonebath::cases::Row;

namespace {

using Numbers = std::vector<double>;
using Solve = std::function<Numbers(const Numbers& given, const Numbers& asked)>;

Numbers values_in(const std::string& text) {
    Numbers values;
    for (const auto& number : numbers_in(text)) {
        values.push_back(number.value);
    }
    return values;
}

Numbers dilution(const Row& row, const Numbers& g) {
    if (row.at("asked").starts_with("C2")) {
        return {diluted_strength(g.at(0), g.at(1), g.at(2)).value()};
    }
    if (row.at("asked").starts_with("V2")) {
        return {end_volume_for(g.at(0), g.at(1), g.at(2)).value()};
    }
    if (row.at("asked").starts_with("V1")) {
        return {stock_volume_for(g.at(0), g.at(1), g.at(2)).value()};
    }
    return {stock_mass_for(g.at(0), g.at(2), g.at(1)).value()};  // D10
}

// Millilitres in, litres asked for.
double unit_of_answer(const Row& row) {
    const bool in_litres = row.at("published_answer").ends_with(" L");
    return in_litres && row.at("given").find(" mL") != std::string::npos ? 1e-3 : 1.0;
}

double kelvin(double k) {
    return k - 273.15;
}

// start, room, then a temperature after a time; asked for the times of others. Any one unit of temperature and time.
Numbers cooling_times(const Numbers& g, const Numbers& to) {
    const double k = k_from_two(g.at(0), g.at(2), g.at(1), g.at(3)).value();
    Numbers times;
    for (const double t : to) {
        times.push_back(minutes_to_reach(g.at(0), t, g.at(1), k).value());
    }
    return times;
}

const std::map<std::string, Solve>& solutions() {
    static const std::map<std::string, Solve> table = {
        {"K1", [](const Numbers& g, const Numbers&) { return Numbers{time_until_gone(g[1] / 100.0, g[0]).value()}; }},
        {"K2", [](const Numbers& g, const Numbers&) { return Numbers{time_until_gone(g[1] / 100.0, g[0]).value()}; }},
        {"K3", [](const Numbers& g, const Numbers&) { return Numbers{rate_of_half_life(g[0]).value()}; }},
        {"K4", [](const Numbers& g, const Numbers&) { return Numbers{half_life_of(g[0]).value()}; }},
        {"A1", [](const Numbers& g,
                  const Numbers&) { return Numbers{ea_from_factor(g[2] / g[0], kelvin(g[1]), kelvin(g[3])).value()}; }},
        {"A2", [](const Numbers& g,
                  const Numbers&) { return Numbers{ea_from_factor(g[2] / g[0], kelvin(g[1]), kelvin(g[3])).value()}; }},
        {"N1", cooling_times},
        {"N2", cooling_times},
        {"N3",
         [](const Numbers& g, const Numbers&) {
             return Numbers{-k_from_two(g[0], g[2], g[1], g[3]).value(), cooling_times(g, {150.0}).at(0)};
         }},
        {"N4", [](const Numbers& g, const Numbers& asked) { return cooling_times(g, {g[1] + asked.at(0)}); }},
        {"N5",
         [](const Numbers& g, const Numbers&) { return Numbers{TempCurve::newton(g[0], g[1], -g[2]).temp_c(600.0)}; }},
        // hours in, minutes out
        {"N6", [](const Numbers& g, const Numbers& asked) { return Numbers{60.0 * cooling_times(g, asked).at(0)}; }},
    };
    return table;
}

// Laws that are no part of the program: second-order loss, and a rule of thumb for rates instead of Arrhenius.
const std::set<std::string> kNotOurs = {"K5", "K6", "K7", "A3"};

// What the row's answer text means where it is not simply its numbers.
Numbers answer(const std::string& id, const std::string& text, const Numbers& plain) {
    if (id == "N5") {
        return {34.325};  // "same; T(10)=34.325 C": at 10 minutes
    }
    if (id == "N6" && text.find("h") != std::string::npos) {
        return {60.0 * plain.at(0) + plain.at(1)};
    }
    return plain;
}

}  // namespace

TEST_CASE("worked examples of published textbooks come out as printed") {
    std::size_t checked = 0;
    for (const Row& row : tonebath::cases::chemistry_rows("worked_examples.csv")) {
        const std::string& id = row.at("id");
        if (std::string("DKAN").find(id[0]) == std::string::npos || kNotOurs.contains(id)) {
            continue;
        }
        CAPTURE(id, row.at("given"), row.at("published_answer"));
        const Numbers given = values_in(row.at("given"));
        Numbers found = id[0] == 'D' ? dilution(row, given) : solutions().at(id)(given, values_in(row.at("asked")));
        found[0] *= unit_of_answer(row);
        const auto printed = numbers_in(row.at("published_answer"));
        const Numbers published = answer(id, row.at("published_answer"), values_in(row.at("published_answer")));
        const Numbers recomputed = answer(id, "", values_in(row.at("recomputed_here")));
        REQUIRE(published.size() >= found.size());
        const double share = id == "A1" || id == "A2" ? 0.04 : 0.01;
        for (std::size_t i = 0; i < found.size(); ++i) {
            const double slack = std::max(share * std::abs(published[i]), printed.at(i).half_unit);
            CHECK_THAT(found[i], Catch::Matchers::WithinAbs(published[i], slack));
            CHECK_THAT(found[i], Catch::Matchers::WithinRel(recomputed.at(i), 1e-3));
        }
        ++checked;
    }
    CHECK(checked == 13 + 4 + 2 + 6);  // rows D, K1 to K4, A1 and A2, N
}

TEST_CASE("make-up arithmetic refuses what cannot be") {
    const double nan = std::nan("");
    CHECK_FALSE(diluted_strength(0.0, 1.0, 1.0));
    CHECK_FALSE(diluted_strength(5.0, -1.0, 1.0));
    CHECK_FALSE(end_volume_for(5.0, 1.0, nan));
    CHECK_FALSE(stock_mass_for(10.0, 20.0, 100.0));  // stronger than the stock
    CHECK_FALSE(stock_mass_for(120.0, 20.0, 100.0));
    CHECK_FALSE(log_ratio_to({2.0, 0.0}, 5.0));
    CHECK_FALSE(topped_up({2.0, 400.0}, -1.0, 0.0));
    CHECK_FALSE(topped_up({2.0, 400.0}, 0.0, -400.0));
}

TEST_CASE("strength against the usual make-up follows top-ups and water") {
    using Catch::Matchers::WithinAbs;
    const Contents bath{2.0, 400.0};  // 5 g/L
    CHECK_THAT(log_ratio_to(bath, 5.0).value(), WithinAbs(0.0, 1e-15));
    CHECK_THAT(log_ratio_to(topped_up(bath, 0.0, 400.0).value(), 5.0).value(), WithinAbs(-std::log(2.0), 1e-12));
    CHECK_THAT(log_ratio_to(topped_up(bath, 2.0, 0.0).value(), 5.0).value(), WithinAbs(std::log(2.0), 1e-12));
    CHECK_THAT(log_ratio_to(topped_up(bath, 0.0, -40.0).value(), 5.0).value(), WithinAbs(-std::log(0.9), 1e-12));
}
