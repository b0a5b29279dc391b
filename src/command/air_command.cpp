#include "command/air_command.hpp"

#include "app/air.hpp"
#include "base/quantity_text.hpp"
#include "command/action_commands.hpp"
#include "command/json_text.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

struct Asked {
    app::AirAsk ask;
    std::string as;
    std::optional<double> room_m3, flow_m3_h, changes_per_h, mixing, temp_c, grams, ml, still_per_h;
};

Json points_of(const std::vector<app::AirPoint>& points) {
    Json all = Json::array();
    for (const app::AirPoint& point : points) {
        all.push_back({{"min", json_of(point.min)}, {"ppm", json_of(point.ppm)}});
    }
    return all;
}

Json json_of_limit(const app::AirLimit& limit) {
    return {{"ppm", limit.ppm},     {"kind", limit.kind},      {"average_min", json_of(limit.average_min)},
            {"body", limit.body},   {"year", limit.year},      {"source", limit.source},
            {"trust", limit.trust}, {"context", limit.context}};
}

app::AirAsk ask_of(app::Studio& studio, const Asked& asked, std::string& about) {
    app::AirAsk ask = asked.ask;
    if (!asked.room_m3) {
        if (const auto room = app::room_now(studio)) {
            app::take_room(ask, *room);
        }
    }
    ask.room_m3 = asked.room_m3 ? asked.room_m3 : ask.room_m3;
    ask.flow_m3_h = asked.flow_m3_h ? asked.flow_m3_h : ask.flow_m3_h;
    if (asked.changes_per_h && ask.room_m3) {
        ask.flow_m3_h = *asked.changes_per_h * *ask.room_m3;
    }
    ask.mixing_known = ask.mixing_known || asked.mixing.has_value();
    ask.mixing = asked.mixing.value_or(ask.mixing);
    ask.still_known = ask.still_known || asked.still_per_h.has_value();
    ask.still_per_h = asked.still_per_h.value_or(ask.still_per_h);
    ask.temp_c = asked.temp_c.value_or(ask.temp_c);
    ask.liquid_ml = asked.ml;
    if (!ask.solvent.empty()) {
        about = ask.solvent;
        return ask;
    }
    if (asked.grams) {
        ask.grams = asked.grams;
        ask.sulfide = app::sulfide_called(asked.as);
        about = asked.as;
        return ask;
    }
    if (const auto bench = app::sulfide_on_bench(studio)) {
        ask.grams = bench->grams;
        ask.sulfide = bench->sulfide;
        about = "bath " + bench->bath + ": " + bench->words;
    }
    return ask;
}

std::string span_words(const app::AirAnswer& answer) {
    if (!answer.purge_long_min) {
        return "no figure: no flow of a fan is known";
    }
    return fmt::format("{} to {} min", fixed_text(*answer.purge_long_min, 0), fixed_text(*answer.purge_short_min, 0));
}

void tell_text(const app::AirAnswer& answer, const app::AirAsk& ask, const std::string& about) {
    std::string text = fmt::format("{} in the room's air, {}: {} ppm ({} mg/m³), fan off\n", answer.substance, about,
                                   fixed_text(answer.ppm, 1), fixed_text(answer.mg_m3, 1));
    text += fmt::format("  at 25 °C and 1 atm: {} ppm\n", fixed_text(answer.ppm_at_25_c, 1));
    if (answer.used) {
        text += fmt::format("  held against {} ppm: {}\n", fixed_text(answer.used->ppm, 0), answer.used->words());
    }
    if (answer.lel_percent) {
        text += fmt::format("  {} % of the lower explosive limit\n", fixed_text(*answer.lel_percent, 1));
        if (answer.highest_fan_ppm) {
            text +=
                fmt::format("  fan on, poorly mixed: {} ppm at the highest\n", fixed_text(*answer.highest_fan_ppm, 1));
        }
    } else {
        text += fmt::format("  down to {} ppm with the fan on and no source left: {}\n", fixed_text(ask.down_to_ppm, 1),
                            span_words(answer));
        if (answer.purge_still_min) {
            text += fmt::format("  fan off: {} min\n", fixed_text(*answer.purge_still_min, 0));
        }
    }
    text += "  " + answer.at_vessel + "\n";
    for (const app::AirFact& fact : answer.facts) {
        text += fmt::format("  {} ({})\n", fact.what, fact.how);
    }
    for (const std::string& source : answer.sources) {
        text += "  from " + source + "\n";
    }
    print(text + "  " + answer.decides + "\n");
}

Exit tell(const Session& session, app::Studio& studio, const Asked& asked) {
    const auto limits = app::read_air_limits(session.data / "air_limits.csv");
    const auto solvents = app::read_solvents(session.data / "solvents.csv");
    if (!limits || !solvents) {
        return say_refusal(session, limits ? solvents.error() : limits.error());
    }
    std::string about;
    const app::AirAsk ask = ask_of(studio, asked, about);
    const auto answer = app::air_of(ask, *limits, *solvents);
    if (!answer) {
        return say_refusal(session, answer.error());
    }
    if (session.style != Style::json) {
        tell_text(*answer, ask, about);
        return Exit::done;
    }
    Json facts = Json::array();
    for (const app::AirFact& fact : answer->facts) {
        facts.push_back({{"what", fact.what}, {"how", fact.how}});
    }
    Json drawn = Json::array();
    for (const app::AirLimit& limit : answer->limits) {
        drawn.push_back(json_of_limit(limit));
    }
    print_json({{"about", about},
                {"substance", answer->substance},
                {"ppm", json_of(answer->ppm)},
                {"ppm_at_25_c", json_of(answer->ppm_at_25_c)},
                {"mg_m3", json_of(answer->mg_m3)},
                {"litres", json_of(answer->litres)},
                {"air_changes_per_h", json_of(answer->air_changes)},
                {"down_to_ppm", json_of(ask.down_to_ppm)},
                {"fan_on_long_min", json_of(answer->purge_long_min)},
                {"fan_on_short_min", json_of(answer->purge_short_min)},
                {"fan_off_min", json_of(answer->purge_still_min)},
                {"highest_fan_on_ppm", json_of(answer->highest_fan_ppm)},
                {"percent_of_explosive_limit", json_of(answer->lel_percent)},
                {"limit", answer->used ? json_of_limit(*answer->used) : Json(nullptr)},
                {"limits", drawn},
                {"fan_off", points_of(answer->still)},
                {"fan_on_poorly_mixed", points_of(answer->fan_poor)},
                {"fan_on_well_mixed", points_of(answer->fan_well)},
                {"assumed", facts},
                {"sources", answer->sources},
                {"at_the_vessel", answer->at_vessel},
                {"decides", answer->decides}});
    return Exit::done;
}

}  // namespace

void add_air_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command = parser.add_subcommand(
        "air",
        "The worst case of the room's air: of the bath in use, of grams of a sulfide, or of a lacquer's solvent");
    const auto asked = std::make_shared<Asked>();
    asked->as = "K2S";
    command->add_option("--grams", asked->grams, "Grams of sulfide; without it the bath in use");
    command->add_option("--as", asked->as, "What they count as; dry lump is K2S")
        ->check(CLI::IsMember({"K2S", "K2S3", "K2S5", "KHS", "Na2S", "(NH4)2S"}));
    command->add_option("--solvent", asked->ask.solvent, "Of a lacquer, instead of grams: ethyl acetate");
    command->add_option("--ml", asked->ml, "Millilitres of it that dry off");
    command->add_option("--minutes", asked->ask.evening_min, "In how many minutes");
    command->add_option("--room-m3", asked->room_m3, "Cubic metres, instead of the room that is written down");
    command->add_option("--flow", asked->flow_m3_h, "m³ an hour of the fan");
    command->add_option("--air-changes", asked->changes_per_h, "An hour, instead of the flow");
    command->add_option("--fan-off", asked->still_per_h, "Air changes an hour with the fan off");
    command->add_option("--mixing", asked->mixing, "The worst mixing factor, 1 to 10");
    command->add_option("--temp", asked->temp_c, "Of the room, °C");
    command->add_option("--down-to", asked->ask.down_to_ppm, "ppm that the air is brought down to");
    command->callback([&session, &chosen, asked] {
        chosen = [&session, asked] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return tell(session, studio, *asked); });
        };
    });
}

}  // namespace tonebath::command
