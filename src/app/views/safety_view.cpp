#include "app/views/safety_view.hpp"

#include "app/rooms.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
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
    const auto limits = air_limits(studio);
    const auto answer = limits ? air_of(ask, *limits, {}) : Result<AirAnswer>(limits.error());
    if (answer) {
        view.air = *answer;
    } else {
        view.why_no_air = answer.error().message + " " + answer.error().remedy;
    }
    return view;
}

namespace {

// Above 0, or the usual where nothing was typed.
Result<double> figure_typed(std::string_view field, const std::string& typed, double usual) {
    if (typed.empty()) {
        return usual;
    }
    const Result<double> figure = parse_number(field, typed);
    if (figure) {
        if (const auto refused = rules::above_zero({field, typed}, *figure, "\"2\"")) {
            return *refused;
        }
    }
    return figure;
}

// Fills in what the question is about; its words.
Result<std::string> take_question(Studio& studio, AirQuestion question, const AirTyped& typed, AirAsk& ask) {
    if (question == AirQuestion::measured) {
        if (typed.ppm.empty()) {
            return Refusal{.code = "air.not_typed", .field = "Meter", .value = {}, .message = "nothing is typed yet.", .remedy = "Type the ppm that your meter shows.", .answers = {}};
        }
        const Result<double> ppm = figure_typed("Meter", typed.ppm, 0.0);
        if (!ppm) {
            return ppm.error();
        }
        ask.measured_ppm = *ppm;
        return std::string("by your meter");
    }
    if (question == AirQuestion::evening) {
        const Result<Millilitres> ml = typed.ml.empty() ? Result<Millilitres>(Millilitres::from_ml(3.0)) : parse_volume("How much", typed.ml, studio.units());
        const Result<double> min = figure_typed("Minutes", typed.min, ask.evening_min);
        if (!ml || !min) {
            return ml ? min.error() : ml.error();
        }
        ask.solvent = typed.solvent.empty() ? "ethyl acetate" : typed.solvent;
        ask.liquid_ml = ml->ml();
        ask.evening_min = *min;
        return fmt::format("{} of {}", text_of(*ml, studio.units()), ask.solvent);
    }
    const auto bench = sulfide_on_bench(studio);
    if (!bench) {
        return Refusal{.code = "air.no_bath", .field = "Bath", .value = {}, .message = "no sulfide bath is in use.", .remedy = "Make one up; its gas is told here.", .answers = {}};
    }
    const Result<double> hours = figure_typed("Hours", typed.hours, 2.0);
    if (!hours) {
        return hours.error();
    }
    ask.sitting_h = *hours;
    ask.grams = bench->grams;
    ask.sulfide = bench->sulfide;
    ask.reckoned = bench->reckoned;
    return fmt::format("bath {}: {}", bench->bath, bench->words);
}

}  // namespace

Result<AirTold> air_as_typed(Studio& studio, AirQuestion question, const AirTyped& typed) {
    AirAsk ask;
    if (const auto room = room_now(studio)) {
        take_room(ask, *room);
    }
    const Result<std::string> about = take_question(studio, question, typed, ask);
    const auto limits = air_limits(studio);
    const auto solvents = read_solvents(studio.options().data / "solvents.csv");
    if (!about || !limits || !solvents) {
        return !about ? about.error() : !limits ? limits.error() : solvents.error();
    }
    Result<AirAnswer> answer = air_of(ask, *limits, *solvents);
    if (!answer) {
        return answer.error();
    }
    return AirTold{.answer = std::move(answer).value(), .about = *about, .down_to_ppm = ask.down_to_ppm};
}

std::vector<std::string> solvent_names(Studio& studio) {
    std::vector<std::string> names;
    if (const auto solvents = read_solvents(studio.options().data / "solvents.csv")) {
        for (const Solvent& one : *solvents) {
            names.push_back(one.name);
        }
    }
    return names;
}

}  // namespace tonebath::app
