#include "app/demo/invented_law.hpp"

#include "app/demo/demo.hpp"
#include "app/demo/invented_year.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kGas_j_per_mol_k = 8.314462618;
constexpr double kInventedReference_k = 328.15;  // 55 °C
constexpr double kInventedFade_per_h = 0.16;
constexpr double kBareL = 72.0;
constexpr double kFallL = 46.0;
constexpr double kFallDose_s = 40.0;

double energy_kj(DemoAlloy alloy) {
    return alloy == DemoAlloy::fine_silver || alloy == DemoAlloy::sterling ? 58.0 : 45.0;
}

double eagerness(DemoAlloy alloy, double yellow_speed) {
    switch (alloy) {
        case DemoAlloy::fine_silver: return 0.85;
        case DemoAlloy::sterling: return 1.0;
        case DemoAlloy::copper: return 1.6;
        case DemoAlloy::red_brass: return 0.5;
        case DemoAlloy::yellow_brass: return yellow_speed;
    }
    return 1.0;
}

}  // namespace

double DemoBathLaw::temp_c(double t_s) const {
    DemoHeat heat = heats.front();
    for (const DemoHeat& one : heats) {
        if (one.at_s <= t_s) {
            heat = one;
        }
    }
    return room_c + (heat.temp_c - room_c) * std::exp(-k_per_min * (t_s - heat.at_s) / 60.0);
}

double DemoBathLaw::speed(double t_s, DemoAlloy alloy, bool as_reckoned) const {
    const double believed = temp_c(t_s) + (as_reckoned ? probe_error_c - known_error_c : 0.0);
    const double heat = std::exp(-energy_kj(alloy) * 1000.0 / kGas_j_per_mol_k *
                                 (1.0 / (believed + 273.15) - 1.0 / kInventedReference_k));
    const double strength = as_reckoned ? 1.0 : lot_factor * std::exp(-kInventedFade_per_h * t_s / 3600.0);
    return eagerness(alloy, yellow_speed) * strength * heat;
}

double DemoBathLaw::dose_s(double t0_s, double t1_s, DemoAlloy alloy) const {
    const int halves = 2 * std::max(1, static_cast<int>(std::ceil((t1_s - t0_s) / 10.0)));
    const double step = (t1_s - t0_s) / halves;
    double sum = speed(t0_s, alloy, false) + speed(t1_s, alloy, false);
    for (int i = 1; i < halves; ++i) {
        sum += (i % 2 == 1 ? 4.0 : 2.0) * speed(t0_s + step * i, alloy, false);
    }
    return sum * step / 3.0;
}

double DemoBathLaw::seconds_for(double t0_s, double wanted_dose_s, DemoAlloy alloy, bool as_reckoned) const {
    constexpr double kStep_s = 0.25;
    constexpr double kLongest_s = 3600.0;
    double dose = 0.0;
    for (double t = 0.0; t < kLongest_s; t += kStep_s) {
        const double more = kStep_s * speed(t0_s + t + kStep_s / 2.0, alloy, as_reckoned);
        if (dose + more >= wanted_dose_s) {
            return t + kStep_s * (wanted_dose_s - dose) / more;
        }
        dose += more;
    }
    return kLongest_s;
}

double DemoBathLaw::reckoned_s(double t0_s, double wanted_dose_s, DemoAlloy alloy) const {
    return seconds_for(t0_s, wanted_dose_s, alloy, true);
}

double DemoBathLaw::true_s(double t0_s, double wanted_dose_s, DemoAlloy alloy) const {
    return seconds_for(t0_s, wanted_dose_s, alloy, false);
}

double demo_lot_factor(std::string_view lot, const Stamp& day, const DemoFaults& faults) {
    double left = 1.0;
    if (lot == faults.jar) {
        // So much after 38 days; it goes on so.
        const double days = seconds_between(plus_seconds(demo_moment(faults.jar_month, faults.jar_day), 57600.0), day) / 86400.0;
        left = days > 0.0 ? std::exp(std::log(faults.jar_left) * days / 38.0) : 1.0;
    }
    return left * (lot == "LS-1" ? 1.0 : lot == "LS-2" ? 1.05 : lot == "LS-3" ? 0.90 : 0.97);
}

const std::vector<DemoTone>& demo_tones(DemoAlloy alloy) {
    static const std::vector<DemoTone> silver{{"straw", 8.0},     {"gold", 14.0},      {"amber", 18.0},
                                              {"magenta", 22.0},  {"purple", 27.0},    {"blue", 34.0},
                                              {"gunmetal", 55.0}, {"dark grey", 70.0}, {"black", 90.0}};
    static const std::vector<DemoTone> copper{
        {"light brown", 8.0}, {"brown", 18.0}, {"purplish brown", 30.0}, {"dark brown", 50.0}, {"brown-black", 90.0}};
    static const std::vector<DemoTone> brass{
        {"tan", 8.0}, {"light brown", 16.0}, {"brown", 30.0}, {"dark brown", 60.0}};
    switch (alloy) {
        case DemoAlloy::fine_silver:
        case DemoAlloy::sterling: return silver;
        case DemoAlloy::copper: return copper;
        case DemoAlloy::red_brass:
        case DemoAlloy::yellow_brass: return brass;
    }
    return silver;
}

double demo_dose_of(DemoAlloy alloy, std::string_view word) {
    for (const DemoTone& tone : demo_tones(alloy)) {
        if (tone.word == word) {
            return tone.dose_s;
        }
    }
    return 0.0;
}

double demo_begin_of(DemoAlloy alloy, std::string_view word) {
    const std::vector<DemoTone>& tones = demo_tones(alloy);
    for (std::size_t i = 0; i < tones.size(); ++i) {
        if (tones[i].word == word) {
            return i == 0 ? tones[0].dose_s * std::sqrt(tones[0].dose_s / tones[1].dose_s)
                          : std::sqrt(tones[i - 1].dose_s * tones[i].dose_s);
        }
    }
    return 0.0;
}

std::string_view demo_word_at(DemoAlloy alloy, double dose_s) {
    std::string_view word = "bright";
    for (const DemoTone& tone : demo_tones(alloy)) {
        if (demo_begin_of(alloy, tone.word) <= dose_s) {
            word = tone.word;
        }
    }
    return word;
}

DemoColour demo_colour(double dose_s) {
    struct Row {
        double dose_s, a, b;
    };
    static constexpr std::array<Row, 8> kRows{{{0.0, -0.5, 3.0},
                                               {8.0, 0.5, 14.0},
                                               {14.0, 4.0, 26.0},
                                               {22.0, 19.0, 4.0},
                                               {27.0, 16.0, -12.0},
                                               {34.0, 4.0, -19.0},
                                               {55.0, -2.0, -6.0},
                                               {90.0, 0.0, -1.0}}};
    DemoColour colour{
        .l = kBareL - kFallL * (1.0 - std::exp(-dose_s / kFallDose_s)), .a = kRows.back().a, .b = kRows.back().b};
    for (std::size_t i = 1; i < kRows.size(); ++i) {
        if (dose_s < kRows[i].dose_s) {
            const double share = std::max(0.0, dose_s - kRows[i - 1].dose_s) / (kRows[i].dose_s - kRows[i - 1].dose_s);
            colour.a = kRows[i - 1].a + share * (kRows[i].a - kRows[i - 1].a);
            colour.b = kRows[i - 1].b + share * (kRows[i].b - kRows[i - 1].b);
            break;
        }
    }
    return colour;
}

double demo_dose_of_l(double l) {
    const double left = std::clamp((l - (kBareL - kFallL)) / kFallL, std::exp(-4.0), std::exp(-0.005));
    return -kFallDose_s * std::log(left);
}

}  // namespace tonebath::app
