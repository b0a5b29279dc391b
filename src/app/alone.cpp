#include "app/alone.hpp"

#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/fade.hpp"
#include "science/two_strips.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kSameHeat_c = 2.0;  // a single strip speaks for no other heat than this near its own

constexpr double kAgree = 0.05;     // the two lines are told to agree within this share
constexpr double kWorthNaming = 0.3;  // of the difference: smaller causes are left out (ours)

struct Watched {
    double time_s = 0.0;
    double temp_c = 0.0;
    double age_h = 0.0;
    std::size_t record = 0;
};

std::vector<Watched> watched_strips(const Learned& learned, const std::string& scale, int position, const Id<Bath>* bath, const std::optional<Id<Lot>>& lot) {
    std::vector<Watched> strips;
    for (std::size_t i = 0; i < learned.records.size(); ++i) {
        const RecordRef& ref = learned.records[i];
        const LearnedBath& its = learned.baths[ref.bath];
        const bool fits = bath != nullptr ? its.history.bath.id == *bath : lot && its.history.bath.lot_id == lot;
        if (ref.kind != RecordKind::watched || !ref.strip || ref.scale != scale || ref.tone != position || !fits || learned.fit.left_out[i]) {
            continue;
        }
        strips.push_back({.time_s = ref.seconds, .temp_c = its.history.course.temp.temp_c(0.5 * (ref.in_s + ref.out_s)), .age_h = std::max(0.0, ref.in_s / 3600.0), .record = i});
    }
    return strips;
}

// Those of this bath when there are two, else those of its lot.
std::vector<Watched> strips_for(const Learned& learned, const BathHistory& bath, const std::string& scale, int position, bool& this_bath) {
    std::vector<Watched> strips = watched_strips(learned, scale, position, &bath.bath.id, std::nullopt);
    this_bath = strips.size() >= 2;
    return this_bath ? strips : watched_strips(learned, scale, position, nullptr, bath.bath.lot_id);
}

std::string why(science::StripLawWhy reason) {
    switch (reason) {
        case science::StripLawWhy::too_few:
            return "fewer than two watched strips";
        case science::StripLawWhy::bad_input:
            return "a strip's time or heat cannot be right";
        case science::StripLawWhy::same_strip:
            return "the same strip stands twice";
        case science::StripLawWhy::temps_too_close:
            return "the strips were dipped at nearly one heat";
        case science::StripLawWhy::hotter_was_slower:
            return "the hotter strip was the slower one: swapped?";
        case science::StripLawWhy::too_far_outside:
            return "this heat is too far from those of the strips";
    }
    return "";
}

}  // namespace

AloneLine strips_alone(const Learned& learned, const BathHistory& bath, const std::string& scale, int position, double start_s) {
    AloneLine line;
    bool this_bath = true;
    const std::vector<Watched> strips = strips_for(learned, bath, scale, position, this_bath);
    if (strips.empty()) {
        line.words = "no watched strip of this tone";
        return line;
    }
    const double temp_c = bath.course.temp.temp_c(start_s);
    if (strips.size() == 1) {
        if (std::abs(strips.front().temp_c - temp_c) <= kSameHeat_c) {
            line.out_s = strips.front().time_s;
        }
        line.words = "one watched strip says nothing of other heats";
        return line;
    }
    std::vector<science::WatchedStrip> plain;
    for (const Watched& strip : strips) {
        plain.push_back({.time_s = strip.time_s, .temp_c = strip.temp_c});
    }
    const auto law = science::strip_law(plain);
    if (law) {
        line.ea_kj_per_mol = law->ea_kj_per_mol;
        line.times_per_10_c = law->factor_per_10_c;
        const auto predicted = science::predict(*law, temp_c);
        if (!predicted) {
            line.words = why(predicted.why());
            return line;
        }
        line.out_s = predicted->time_s;
        line.low_s = predicted->limits_80.low;
        line.high_s = predicted->limits_80.high;
        line.words = fmt::format("{} watched strips{} give {} times per 10 °C", strips.size(), this_bath ? "" : " of this lot", fixed_text(law->factor_per_10_c, 2));
        return line;
    }
    line.words = why(law.why());
    if (law.why() != science::StripLawWhy::temps_too_close) {
        return line;
    }
    // One heat: the line of strength by age, when the bath is at that heat now.
    double mean_c = 0.0;
    std::vector<science::AgedStrip> aged;
    for (const Watched& strip : strips) {
        mean_c += strip.temp_c / static_cast<double>(strips.size());
        aged.push_back({.age_h = strip.age_h, .time_s = strip.time_s});
    }
    if (std::abs(mean_c - temp_c) > kSameHeat_c) {
        return line;
    }
    const auto fade = science::fade_line(aged, science::FadeKind::first_order);
    const auto now = fade ? science::time_at_age(*fade, start_s / 3600.0) : science::Outcome<science::AgedTime, science::FadeWhy>(science::FadeWhy::one_age);
    if (now) {
        line.by_age = true;
        line.out_s = now->time_s;
        line.low_s = now->limits_80.low;
        line.high_s = now->limits_80.high;
        line.words = fmt::format("{} watched strips at one heat, by age", strips.size());
    } else {
        double log_sum = 0.0;
        for (const Watched& strip : strips) {
            log_sum += std::log(strip.time_s);
        }
        line.out_s = std::exp(log_sum / static_cast<double>(strips.size()));
        line.words = fmt::format("{} watched strips at one heat and age", strips.size());
    }
    return line;
}

std::string agreement(const Learned& learned, const BathHistory& bath, const std::string& scale, int position, double start_s, const AloneLine& alone, double usual_s,
                      const std::string& word) {
    const double apart = std::log(usual_s / *alone.out_s);
    const std::string comes = fmt::format("With what is usual {} comes at {}: ", word, text_of(Seconds::from_seconds(usual_s)));
    if (std::abs(apart) <= std::log1p(kAgree)) {
        return comes + "the two agree within 5 %.";
    }
    // What the strips alone leave out, as log of the time it adds now against then; the strips on average.
    bool this_bath = true;
    const std::vector<Watched> strips = strips_for(learned, bath, scale, position, this_bath);
    const auto n = static_cast<double>(strips.size());
    const science::RateLaw law = laws_of(learned).of(bath);
    const double now_c = bath.course.temp.temp_c(start_s);
    const double now_strength = science::log_strength_ratio(bath.course, start_s);
    const double now_speed = bath_log_speed(learned, bath.bath.id);
    double age = alone.by_age ? 0.0 : -std::log(science::strength_left(start_s / 3600.0, law));
    double strength = 0.0;
    double speed = 0.0;
    double heat = 0.0;
    double mean_age_h = 0.0;
    for (const Watched& strip : strips) {
        const RecordRef& ref = learned.records[strip.record];
        const BathHistory& its = learned.baths[ref.bath].history;
        mean_age_h += strip.age_h / n;
        age += alone.by_age ? 0.0 : std::log(science::strength_left(strip.age_h, laws_of(learned).of(its))) / n;
        strength += law.strength_exponent * (science::log_strength_ratio(its.course, ref.in_s) - now_strength) / n;
        speed += (bath_log_speed(learned, its.bath.id) - now_speed) / n;
        const auto log_heat = [&](double ea) { return std::log(science::heat_factor(now_c, ea) / science::heat_factor(strip.temp_c, ea)); };
        heat += (log_heat(alone.ea_kj_per_mol.value_or(0.0)) - log_heat(law.ea_kj_per_mol)) / n;
    }
    const auto hours = [](double h) { return fixed_text(h, 1) + " h"; };
    std::vector<std::pair<double, std::string>> causes{
        {age, fmt::format("the strips were dipped when their bath was {} old, and it is {} old now", hours(mean_age_h), hours(start_s / 3600.0))},
        {strength, strength > 0.0 ? "this bath is weaker than theirs were" : "this bath is stronger than theirs were"},
        {speed, fmt::format("this bath is {} than theirs", speed > 0.0 ? "slower" : "faster")},
        {heat, alone.times_per_10_c ? fmt::format("the strips alone give {} times per 10 °C, all records {}", fixed_text(*alone.times_per_10_c, 2),
                                                  fixed_text(science::factor_per_10_c(law.ea_kj_per_mol, now_c), 2))
                                    : "they were dipped at another heat"},
        {apart - age - strength - speed - heat,
         fmt::format("{} {} few beside the other records and what is usual", counted(strips.size(), "strip", "strips"), strips.size() == 1 ? "is" : "are")}};
    std::ranges::sort(causes, [&](const auto& a, const auto& b) { return a.first * apart > b.first * apart; });
    std::vector<std::string> named{causes.front().second};
    if (causes[1].first / apart >= kWorthNaming) {
        named.push_back(causes[1].second);
    }
    return comes + fmt::format("{} % apart, because {}.", fixed_text(100.0 * std::expm1(std::abs(apart)), 0), joined(named, "; and "));
}

}  // namespace tonebath::app
