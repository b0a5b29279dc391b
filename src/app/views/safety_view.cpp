#include "app/views/safety_view.hpp"

#include "app/rooms.hpp"
#include "app/studio.hpp"
#include "model/rules/rule.hpp"

#include <fmt/format.h>

namespace tonebath::app {

SafetyView safety_view(Studio& studio) {
    SafetyView view;
    AirAsk ask;
    view.down_to_ppm = ask.down_to_ppm;
    if (const auto room = room_now(studio)) {
        view.has_room = true;
        view.room_words = fmt::format("room {} m³", rules::figure(room->volume_m3));
        take_room(ask, *room);
    }
    if (auto effects = read_gas_effects(studio.options().data / "gas_effects.csv")) {
        view.effects = std::move(effects).value();
        for (GasEffect& effect : view.effects) {
            const auto words = studio.checklists().sources.find(effect.source);
            effect.source_words = words == studio.checklists().sources.end() ? effect.source : words->second;
        }
    }
    const auto bench = sulfide_on_bench(studio);
    if (!bench) {
        view.why_no_air = "No sulfide bath is in use.";
        return view;
    }
    view.bath = bench->bath;
    view.about = fmt::format("bath {}: {}", bench->bath, bench->words);
    ask.grams = bench->grams;
    ask.sulfide = bench->sulfide;
    ask.reckoned = bench->reckoned;
    const auto limits = read_air_limits(studio.options().data / "air_limits.csv");
    const auto answer = limits ? air_of(ask, *limits, {}) : Result<AirAnswer>(limits.error());
    if (answer) {
        view.air = *answer;
    } else {
        view.why_no_air = answer.error().message + " " + answer.error().remedy;
    }
    return view;
}

}  // namespace tonebath::app
