#include "app/paper/air_sheet.hpp"

#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "model/rules/rule.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

std::string ppm_words(double ppm) { return fixed_text(ppm, 1) + " ppm"; }

report::Figures figures_of(const AirAnswer& air, double down_to_ppm) {
    report::Figures figures{{{air.measured ? "by the meter" : air.mean_ppm ? "at the highest" : "at once", ppm_words(air.ppm), "fan off; at 25 °C " + ppm_words(air.ppm_at_25_c)}}};
    if (air.mean_ppm) {
        figures.figures.push_back({"over 8 h", fixed_text(*air.mean_ppm, 2) + " ppm", air.mean_fan_ppm ? "fan on " + fixed_text(*air.mean_fan_ppm, 2) + " ppm" : "fan off"});
    } else if (air.purge_long_min) {
        figures.figures.push_back({"down to " + fixed_text(down_to_ppm, 0) + " ppm",
                                   fmt::format("{} to {} min", fixed_text(*air.purge_long_min, 0), fixed_text(air.purge_short_min.value_or(0.0), 0)), "fan on, no source left"});
    }
    return figures;
}

}  // namespace

report::Report air_sheet(Studio& studio, const AirAnswer& air, const std::string& about, double down_to_ppm) {
    report::Report sheet{.kind = "air sheet",
                         .title = air.substance + " in the room's air",
                         .line = about + (studio.demo() ? " · invented demo studio" : ""),
                         .foot = air.decides,
                         .made_at = studio.now()};
    sheet.blocks.push_back(figures_of(air, down_to_ppm));
    sheet.blocks.push_back(report::Cautions{{air.at_vessel}});
    report::Facts held;
    if (air.used) {
        held.facts.push_back({"held against", fmt::format("{} ppm, {}", rules::figure(air.used->ppm), air.used->words())});
    }
    if (air.used_mean) {
        held.facts.push_back({"the mean against", fmt::format("{} ppm, {}", rules::figure(air.used_mean->ppm), air.used_mean->words())});
    }
    if (air.lel_percent) {
        held.facts.push_back({"of the lower explosive limit", fixed_text(*air.lel_percent, 1) + " %"});
    }
    if (!held.facts.empty()) {
        sheet.blocks.push_back(std::move(held));
    }
    sheet.blocks.push_back(report::Heading{"Assumed"});
    report::Facts assumed;
    for (const AirFact& fact : air.facts) {
        assumed.facts.push_back({fact.how, fact.what});
    }
    sheet.blocks.push_back(std::move(assumed));
    sheet.blocks.push_back(report::Heading{"Where the figures are from"});
    sheet.blocks.push_back(report::Lines{air.sources});
    sheet.blocks.push_back(report::Lines{{air.decides}});
    return sheet;
}

}  // namespace tonebath::app
