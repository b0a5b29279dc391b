#include "app/air.hpp"

#include "app/rooms.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "model/rules/rule.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace tonebath::app {

namespace {

using science::Sulfide;

constexpr double kShift_h = 8.0;  // that a shift's limit is averaged over
constexpr double kZero_k = 273.15, kAt25_k = 298.15;
constexpr std::array<std::pair<std::string_view, Sulfide>, 6> kFormulas{{{"K2S", Sulfide::k2s},
                                                                         {"K2S3", Sulfide::k2s3},
                                                                         {"K2S5", Sulfide::k2s5},
                                                                         {"KHS", Sulfide::khs},
                                                                         {"Na2S", Sulfide::na2s},
                                                                         {"(NH4)2S", Sulfide::nh4_2s}}};

Refusal no(std::string code, std::string field, std::string value, std::string message, std::string remedy) {
    return Refusal{.code = std::move(code),
                   .field = std::move(field),
                   .value = std::move(value),
                   .message = std::move(message),
                   .remedy = std::move(remedy),
                   .answers = {}};
}

std::string_view known_words(AirKnown known) {
    return EnumWords<AirKnown>::words[static_cast<std::size_t>(known)];
}

science::Airing airing(const AirAsk& ask, double flow_m3_h, double mixing) {
    return {.room_m3 = *ask.room_m3, .flow_m3_h = flow_m3_h, .mixing = mixing};
}

std::vector<AirPoint> course_of(const science::Airing& air, double ppm, double to_min) {
    std::vector<AirPoint> points;
    constexpr int kSteps = 60;
    for (int i = 0; i <= kSteps; ++i) {
        const double min = to_min * i / kSteps;
        points.push_back({min, science::level_after(air, {.start = ppm}, min / 60.0).value_or(0.0)});
    }
    return points;
}

// Coming off at an even rate for so long, then nothing more.
std::vector<AirPoint> evening_of(const science::Airing& air, double ppm_m3_h, double evening_min, double to_min) {
    std::vector<AirPoint> points;
    constexpr int kSteps = 60;
    const double end = science::level_after(air, {.source_per_h = ppm_m3_h}, evening_min / 60.0).value_or(0.0);
    for (int i = 0; i <= kSteps; ++i) {
        const double min = to_min * i / kSteps;
        const auto level = min <= evening_min ? science::level_after(air, {.source_per_h = ppm_m3_h}, min / 60.0)
                                              : science::level_after(air, {.start = end}, (min - evening_min) / 60.0);
        points.push_back({min, level.value_or(0.0)});
    }
    return points;
}

double highest(const std::vector<AirPoint>& points) {
    double top = 0.0;
    for (const AirPoint& point : points) {
        top = std::max(top, point.ppm);
    }
    return top;
}

void room_facts(const AirAsk& ask, AirAnswer& answer) {
    answer.facts.push_back(
        {fmt::format("room {} m³, {} °C, 1 atm", rules::figure(*ask.room_m3), rules::figure(ask.temp_c)), "room"});
    if (ask.flow_m3_h) {
        answer.air_changes = science::air_changes_per_h(airing(ask, *ask.flow_m3_h, 1.0));
        answer.facts.push_back({fmt::format("fan on: {} m³/h, {} air changes an hour", rules::figure(*ask.flow_m3_h),
                                            rules::figure(*answer.air_changes)),
                                std::string(known_words(ask.flow_known))});
    } else {
        answer.facts.push_back({"fan: no figure for its flow", "not known"});
    }
    answer.facts.push_back({fmt::format("fan off: {} air changes an hour", rules::figure(ask.still_per_h)),
                            ask.still_known ? "room" : "assumed"});
    answer.facts.push_back(
        {fmt::format("mixing factor {} to 1", rules::figure(ask.mixing)), ask.mixing_known ? "room" : "assumed"});
    answer.sources.push_back(
        "mixing, decay, air changes: CDC 2003, table B.1, and MMWR 43 (RR-13); Abulencia and Theodore, ch. 20; read");
}

void add_limits(const std::vector<AirLimit>& limits, AirAnswer& answer) {
    std::copy_if(limits.begin(), limits.end(), std::back_inserter(answer.limits),
                 [&](const AirLimit& one) { return one.substance == answer.substance; });
    // The highest is held against a ceiling or a short time, the mean over eight hours against a shift.
    if (const AirLimit* used = limit_for(limits, answer.substance, AirCase::sudden)) {
        answer.used = *used;
    }
    if (const AirLimit* used = answer.mean_ppm ? limit_for(limits, answer.substance, AirCase::sitting) : nullptr) {
        answer.used_mean = *used;
    }
    for (const AirLimit& one : answer.limits) {
        answer.sources.push_back(fmt::format("{} ppm {}: {}", rules::figure(one.ppm), one.words(), one.source));
    }
}

// A level that is there at once, and how it falls.
void add_decay(const AirAsk& ask, AirAnswer& answer) {
    const science::Airing closed = airing(ask, ask.still_per_h * *ask.room_m3, 1.0);
    answer.purge_still_min = science::purge_min(closed, answer.ppm, ask.down_to_ppm);
    double to_min = 120.0;
    if (ask.flow_m3_h) {
        const science::Airing poor = airing(ask, *ask.flow_m3_h, ask.mixing);
        const science::Airing well = airing(ask, *ask.flow_m3_h, 1.0);
        answer.purge_long_min = science::purge_min(poor, answer.ppm, ask.down_to_ppm);
        answer.purge_short_min = science::purge_min(well, answer.ppm, ask.down_to_ppm);
        to_min = std::clamp(std::ceil(answer.purge_long_min.value_or(120.0) * 1.4 / 30.0) * 30.0, 60.0, 720.0);
        answer.fan_poor = course_of(poor, answer.ppm, to_min);
        answer.fan_well = course_of(well, answer.ppm, to_min);
    }
    answer.still = course_of(closed, answer.ppm, to_min);
}

// So many litres of gas or vapour, coming off evenly, and the mean over eight hours.
void add_even_source(const AirAsk& ask, double litres, double over_min, AirAnswer& answer) {
    const double ppm_m3_h = litres * 1000.0 / (over_min / 60.0);
    const double to_min = std::max(120.0, over_min * 2.0);
    const auto mean = [&](const science::Airing& air) { return science::mean_level(air, ppm_m3_h, over_min / 60.0, kShift_h); };
    const science::Airing closed = airing(ask, ask.still_per_h * *ask.room_m3, 1.0);
    answer.still = evening_of(closed, ppm_m3_h, over_min, to_min);
    answer.ppm = highest(answer.still);
    answer.ppm_at_25_c = answer.ppm * kAt25_k / (kZero_k + ask.temp_c);
    answer.mean_ppm = mean(closed);
    if (ask.flow_m3_h) {
        const science::Airing poor = airing(ask, *ask.flow_m3_h, ask.mixing);
        answer.fan_poor = evening_of(poor, ppm_m3_h, over_min, to_min);
        answer.fan_well = evening_of(airing(ask, *ask.flow_m3_h, 1.0), ppm_m3_h, over_min, to_min);
        answer.highest_fan_ppm = highest(answer.fan_poor);
        answer.mean_fan_ppm = mean(poor);
    }
    answer.sources.emplace_back("mean over eight hours: what came off less what is left, over what was carried out; computed");
}

constexpr std::string_view kGasAtVessel =
    "At the vessel it is far higher and not computed; one litre of gas in a ten litre bucket is 10 %, and it burns from 4 %. "
    "Smell is no guide.";

Result<AirAnswer> gas_of(const AirAsk& ask, const std::vector<AirLimit>& limits) {
    AirAnswer answer{.substance = "hydrogen sulfide", .what = ask.sitting_h ? AirCase::sitting : AirCase::sudden};
    const auto gas = science::worst_case_h2s(*ask.sulfide, *ask.grams, *ask.room_m3, ask.temp_c);
    const auto gas_25 = science::worst_case_h2s(*ask.sulfide, *ask.grams, *ask.room_m3, 25.0);
    if (!gas || !gas_25) {
        return no("air.no_figure", "How much", rules::figure(*ask.grams), "no figure can be made of that.",
                  "Type grams above 0 and the room's temperature.");
    }
    answer.ppm = gas->ppm;
    answer.mg_m3 = gas->mg_m3;
    answer.litres = gas->gas_l;
    answer.ppm_at_25_c = gas_25->ppm;
    answer.sources = {"grams to gas: standard atomic weights, one mole of gas a mole of sulfide; computed"};
    answer.facts = ask.reckoned;
    answer.facts.push_back({fmt::format("all {} g gives gas, as {}", rules::figure(*ask.grams), formula_of(*ask.sulfide)), "worst"});
    if (ask.sitting_h) {
        add_even_source(ask, answer.litres, *ask.sitting_h * 60.0, answer);
        answer.mg_m3 = science::mg_m3_of_ppm(answer.ppm, science::kH2s_g_per_mol, ask.temp_c).value_or(0.0);
        answer.facts.push_back({fmt::format("it comes off evenly over {} h", rules::figure(*ask.sitting_h)), "assumed"});
    } else {
        add_decay(ask, answer);
        answer.facts.push_back({"gas comes off at once", "worst"});
    }
    answer.facts.push_back(
        {fmt::format("{} mg/m³, {} litres of gas", rules::figure(answer.mg_m3), rules::figure(answer.litres)), "the same"});
    answer.at_vessel = kGasAtVessel;
    room_facts(ask, answer);
    add_limits(limits, answer);
    return answer;
}

// What a meter showed, taken as the whole room's.
AirAnswer measured_of(const AirAsk& ask, const std::vector<AirLimit>& limits) {
    AirAnswer answer{.substance = "hydrogen sulfide", .what = AirCase::sudden, .measured = true, .ppm = *ask.measured_ppm};
    answer.ppm_at_25_c = answer.ppm;
    answer.mg_m3 = science::mg_m3_of_ppm(answer.ppm, science::kH2s_g_per_mol, ask.temp_c).value_or(0.0);
    answer.litres = answer.ppm * *ask.room_m3 / 1000.0;
    answer.facts = {{fmt::format("{} ppm by your meter, taken as the whole room's", rules::figure(answer.ppm)), "measured"},
                    {fmt::format("{} mg/m³, {} litres of gas", rules::figure(answer.mg_m3), rules::figure(answer.litres)), "the same"},
                    {"no source left", "assumed"}};
    answer.sources = {"the reading: your own meter, as good as its last test"};
    add_decay(ask, answer);
    answer.at_vessel = kGasAtVessel;
    room_facts(ask, answer);
    add_limits(limits, answer);
    return answer;
}

Result<AirAnswer> vapour_of(const AirAsk& ask, const std::vector<AirLimit>& limits,
                            const std::vector<Solvent>& solvents) {
    const auto solvent = std::find_if(solvents.begin(), solvents.end(),
                                      [&](const Solvent& one) { return one.name == folded(ask.solvent); });
    if (solvent == solvents.end()) {
        std::vector<std::string> names;
        for (const Solvent& one : solvents) {
            names.push_back(one.name);
        }
        return no("air.no_solvent", "Solvent", ask.solvent, "there is no such solvent here.",
                  fmt::format("Choose one of {}.", rules::in_a_row(names)));
    }
    AirAnswer answer{.substance = solvent->name, .what = AirCase::sudden};
    const auto litres =
        science::vapour_l(*ask.liquid_ml, solvent->density_g_per_ml, solvent->molar_g_per_mol, ask.temp_c);
    if (!litres || ask.evening_min <= 0.0) {
        return no("air.no_figure", "How much", rules::figure(*ask.liquid_ml), "no figure can be made of that.",
                  "Type millilitres and minutes above 0.");
    }
    answer.litres = *litres;
    add_even_source(ask, *litres, ask.evening_min, answer);
    answer.mg_m3 = science::mg_m3_of_ppm(answer.ppm, solvent->molar_g_per_mol, ask.temp_c).value_or(0.0);
    answer.lel_percent = answer.ppm / 1e4 / solvent->lel_percent * 100.0;
    answer.facts = {{fmt::format("all {} ml dries off evenly in {} min", rules::figure(*ask.liquid_ml),
                                 rules::figure(ask.evening_min)),
                     "assumed"},
                    {fmt::format("{} mg/m³ at the highest, {} litres of vapour", rules::figure(answer.mg_m3),
                                 rules::figure(answer.litres)),
                     "the same"},
                    {fmt::format("lower explosive limit {} % of the air; flash point {} °C",
                                 rules::figure(solvent->lel_percent), rules::figure(solvent->flash_c)),
                     "read"},
                    {fmt::format("density {} g/ml", rules::figure(solvent->density_g_per_ml)), "memory"}};
    answer.sources.emplace_back("explosive limit and flash point: NIOSH pocket guide, before 2019, read; density from memory");
    answer.at_vessel =
        "At the vessel it is far higher and not computed. The vapour is heavier than air and gathers low, where a "
        "flame or a hot plate lights it. Smell is no guide.";
    room_facts(ask, answer);
    add_limits(limits, answer);
    return answer;
}

}  // namespace

std::optional<Sulfide> sulfide_called(std::string_view name) {
    for (const auto& [formula, solid] : kFormulas) {
        if (folded(formula) == folded(name)) {
            return solid;
        }
    }
    return std::nullopt;
}

std::string_view formula_of(Sulfide solid) {
    const auto* const found =
        std::find_if(kFormulas.begin(), kFormulas.end(), [&](const auto& one) { return one.second == solid; });
    return found == kFormulas.end() ? std::string_view{} : found->first;
}

Result<AirAnswer> air_of(const AirAsk& ask, const std::vector<AirLimit>& limits, const std::vector<Solvent>& solvents) {
    if (!ask.room_m3) {
        return no("air.no_room", "Room", "", "no room is written down.",
                  "Write down the room's size first, or name it here.");
    }
    if (!(*ask.room_m3 >= kSmallestRoom_m3)) {
        return no("room.too_small", "Room", fmt::format("{} m³", rules::figure(*ask.room_m3)),
                  "nobody can stand and work in that.",
                  "Cubic metres are length × width × height in metres: 6.0 × 3.2 × 2.4 m is 46 m³.");
    }
    if (!(ask.mixing >= 1.0 && ask.mixing <= science::kWorstMixing) || !(ask.down_to_ppm > 0.0) ||
        !(ask.temp_c >= -30.0 && ask.temp_c <= 60.0) || ask.flow_m3_h.value_or(0.0) < 0.0 ||
        !(ask.still_per_h >= 0.0) || !(ask.sitting_h.value_or(1.0) >= 0.1 && ask.sitting_h.value_or(1.0) <= kShift_h) ||
        !(ask.evening_min <= kShift_h * 60.0) || !(ask.measured_ppm.value_or(1.0) > 0.0 && ask.measured_ppm.value_or(1.0) <= 1e6)) {
        return no("air.out_of_range", "Room", "",
                  "a mixing factor is 1 to 10, a temperature -30 to 60 °C, an evening or a sitting at most 8 h, the rest not below 0.",
                  "Type it again.");
    }
    Result<AirAnswer> answer = [&]() -> Result<AirAnswer> {
        if (ask.measured_ppm) {
            return measured_of(ask, limits);
        }
        if (!ask.solvent.empty() && ask.liquid_ml) {
            return vapour_of(ask, limits, solvents);
        }
        if (ask.sulfide && ask.grams && *ask.grams > 0.0) {
            return gas_of(ask, limits);
        }
        return no("air.no_strength", "How much", "", "strength not stated on the sheet.",
                  "A gel or a liquid has no figure without the highest percentage on its safety sheet; grams of dry "
                  "lump count as K2S.");
    }();
    if (!answer) {
        return answer;
    }
    AirAnswer whole = std::move(answer).value();
    whole.decides = "Your local rules and a licensed professional decide.";
    return whole;
}

}  // namespace tonebath::app
