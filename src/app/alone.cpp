#include "app/alone.hpp"

#include "base/quantity_text.hpp"
#include "science/fade.hpp"
#include "science/two_strips.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kSameHeat_c = 2.0;  // a single strip speaks for no other heat than this near its own

struct Watched {
    double time_s = 0.0;
    double temp_c = 0.0;
    double age_h = 0.0;
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
        strips.push_back({.time_s = ref.seconds, .temp_c = its.history.course.temp.temp_c(0.5 * (ref.in_s + ref.out_s)), .age_h = std::max(0.0, ref.in_s / 3600.0)});
    }
    return strips;
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
    std::vector<Watched> strips = watched_strips(learned, scale, position, &bath.bath.id, std::nullopt);
    bool this_bath = true;
    if (strips.size() < 2) {
        strips = watched_strips(learned, scale, position, nullptr, bath.bath.lot_id);
        this_bath = false;
    }
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

}  // namespace tonebath::app
