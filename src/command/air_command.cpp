#include "command/air_command.hpp"

#include "app/air.hpp"
#include "app/hood.hpp"
#include "app/paper/air_sheet.hpp"
#include "app/paper/paper.hpp"
#include "app/rooms.hpp"
#include "base/air_quantity.hpp"
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
    std::string room, size, flow, temp;  // as typed, with their units
    std::string out, paper = "a4";
    std::optional<double> room_m3, flow_m3_h, changes_per_h, mixing, temp_c, grams, ml, still_per_h, sitting_h, measured_ppm;
};

// What was typed with a unit, as figures. A refusal, or nothing.
std::optional<Refusal> read_typed(const Session& session, Asked& asked) {
    if (!asked.size.empty()) {
        const auto size = parse_room_size("Room", asked.size);
        if (!size) {
            return size.error();
        }
        asked.room_m3 = size->volume_m3;
    }
    if (!asked.flow.empty()) {
        const auto flow = parse_air_flow("Flow", asked.flow);
        if (!flow) {
            return flow.error();
        }
        asked.flow_m3_h = *flow;
    }
    if (!asked.temp.empty()) {
        const auto temp = parse_temperature("Temperature", asked.temp, session.units);
        if (!temp) {
            return temp.error();
        }
        asked.temp_c = temp->celsius();
    }
    return std::nullopt;
}

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

Result<app::AirAsk> ask_of(app::Studio& studio, const Asked& asked, std::string& about) {
    app::AirAsk ask = asked.ask;
    if (!asked.room_m3) {
        const auto room = app::room_called(studio, asked.room);
        if (!room && !asked.room.empty()) {
            return room.error();
        }
        if (room) {
            app::take_room(ask, *room);
        }
    }
    ask.sitting_h = asked.sitting_h;
    ask.measured_ppm = asked.measured_ppm;
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
    if (ask.measured_ppm) {
        about = "by your meter";
        return ask;
    }
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
        ask.reckoned = bench->reckoned;
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
    const bool spread = answer.mean_ppm.has_value();
    std::string text = fmt::format("{} in the room's air, {}: {} ppm ({} mg/m³){}\n", answer.substance, about, fixed_text(answer.ppm, 1),
                                   fixed_text(answer.mg_m3, 1), answer.measured ? "" : spread ? " at the highest, fan off" : ", fan off");
    text += fmt::format("  at 25 °C and 1 atm: {} ppm\n", fixed_text(answer.ppm_at_25_c, 1));
    if (answer.used) {
        text += fmt::format("  held against {} ppm: {}\n", fixed_text(answer.used->ppm, 0), answer.used->words());
    }
    if (answer.lel_percent) {
        text += fmt::format("  {} % of the lower explosive limit\n", fixed_text(*answer.lel_percent, 1));
    }
    if (spread) {
        if (answer.highest_fan_ppm) {
            text +=
                fmt::format("  fan on, poorly mixed: {} ppm at the highest\n", fixed_text(*answer.highest_fan_ppm, 1));
        }
        text += fmt::format("  mean over 8 h: {} ppm fan off{}\n", fixed_text(*answer.mean_ppm, 2),
                            answer.mean_fan_ppm ? fmt::format(", {} ppm fan on, poorly mixed", fixed_text(*answer.mean_fan_ppm, 2)) : "");
        if (answer.used_mean) {
            text += fmt::format("  held against {} ppm: {}\n", fixed_text(answer.used_mean->ppm, 0), answer.used_mean->words());
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

Exit tell(const Session& session, app::Studio& studio, Asked asked) {
    if (const auto refusal = read_typed(session, asked)) {
        return say_refusal(session, *refusal);
    }
    const auto limits = app::air_limits(studio);
    const auto solvents = app::read_solvents(session.data / "solvents.csv");
    if (!limits || !solvents) {
        return say_refusal(session, limits ? solvents.error() : limits.error());
    }
    std::string about;
    const auto ask = ask_of(studio, asked, about);
    const auto answer = ask ? app::air_of(*ask, *limits, *solvents) : Result<app::AirAnswer>(ask.error());
    if (!answer) {
        return say_refusal(session, answer.error());
    }
    if (!asked.out.empty()) {
        const auto saved = app::save_pdf(app::air_sheet(studio, *answer, about, ask->down_to_ppm), *from_word<report::PaperSize>(asked.paper), asked.out);
        if (!saved) {
            return say_refusal(session, saved.error());
        }
    }
    if (session.style != Style::json) {
        tell_text(*answer, *ask, about);
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
                {"down_to_ppm", json_of(ask->down_to_ppm)},
                {"fan_on_long_min", json_of(answer->purge_long_min)},
                {"fan_on_short_min", json_of(answer->purge_short_min)},
                {"fan_off_min", json_of(answer->purge_still_min)},
                {"highest_fan_on_ppm", json_of(answer->highest_fan_ppm)},
                {"mean_8h_fan_off_ppm", json_of(answer->mean_ppm)},
                {"mean_8h_fan_on_ppm", json_of(answer->mean_fan_ppm)},
                {"limit_8h", answer->used_mean ? json_of_limit(*answer->used_mean) : Json(nullptr)},
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

Json json_of_held(const std::vector<app::SpeedHeld>& all) {
    Json held = Json::array();
    for (const app::SpeedHeld& one : all) {
        const char* stands = one.stands == app::SpeedStands::below    ? "below"
                             : one.stands == app::SpeedStands::within ? "within"
                                                                      : "above";
        held.push_back({{"situation", one.range.situation},
                        {"low_m_s", one.range.low_m_s},
                        {"high_m_s", one.range.high_m_s},
                        {"stands", stands},
                        {"flow_for_low_m3_h", json_of(one.flow_for_low_m3_h)},
                        {"body", one.range.body},
                        {"year", one.range.year},
                        {"source", one.range.source},
                        {"trust", one.range.trust}});
    }
    return held;
}

Exit tell_hood(const Session& session, app::Studio& studio, const app::HoodTyped& asked) {
    const auto ranges = app::read_air_speeds(session.data / "air_speeds.csv");
    const auto ask = app::hood_asked(studio, asked);
    if (!ranges || !ask) {
        return say_refusal(session, ranges ? ask.error() : ranges.error());
    }
    const auto hood = app::hood_of(*ask, *ranges);
    if (!hood) {
        return say_refusal(session, hood.error());
    }
    if (session.style == Style::json) {
        print_json({{"opening_m2", json_of(hood->area_m2)},
                    {"flow_m3_h", json_of(hood->flow_m3_h)},
                    {"face_m_s", json_of(hood->face_m_s)},
                    {"distance_m", json_of(hood->distance_m)},
                    {"capture_m_s", json_of(hood->capture_m_s)},
                    {"face", json_of_held(hood->face)},
                    {"capture", json_of_held(hood->capture)},
                    {"notes", hood->notes},
                    {"sources", hood->sources},
                    {"decides", hood->decides}});
        return Exit::done;
    }
    std::string text = fmt::format("{} through {}: {} at the face\n", air_flow_text(hood->flow_m3_h),
                                   opening_text(hood->area_m2), air_speed_text(hood->face_m_s));
    const auto add = [&text](const std::vector<app::SpeedHeld>& all) {
        for (const app::SpeedHeld& one : all) {
            text += "  " + one.words;
            text += one.stands == app::SpeedStands::below ? ": from " + air_flow_text(*one.flow_for_low_m3_h) + "\n" : "\n";
        }
    };
    add(hood->face);
    if (hood->capture_m_s) {
        text += fmt::format("{} at {} in front of it, by a formula from memory\n", air_speed_text(*hood->capture_m_s),
                            distance_text(*hood->distance_m));
        add(hood->capture);
    }
    for (const std::string& note : hood->notes) {
        text += "  " + note + "\n";
    }
    for (const std::string& source : hood->sources) {
        text += "  from " + source + "\n";
    }
    print(text + "  " + hood->decides + "\n");
    return Exit::done;
}

void add_hood(CLI::App& air, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command =
        air.add_subcommand("hood", "The speed of the air in a hood's face and in front of it, against what was published");
    const auto asked = std::make_shared<app::HoodTyped>();
    command->add_option("--opening", asked->opening, "\"0.6 x 0.4 m\", \"30 x 25 in\", \"0.24 m2\"; without it that of the room");
    command->add_option("--flow", asked->flow, "\"276 m3/h\", \"162 cfm\"; without it that of the room");
    command->add_option("--speed", asked->speed, "At the face, as a vane meter shows it: \"0.5 m/s\", \"100 ft/min\"");
    command->add_option("--distance", asked->distance, "From the opening to the bath: \"0.2 m\", \"8 in\"; without it that of the room");
    command->callback([&session, &chosen, asked] {
        chosen = [&session, asked] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return tell_hood(session, studio, *asked); });
        };
    });
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
    command->add_option("--room", asked->room, "Its name; without it the one that is worked in");
    command->add_option("--sitting-h", asked->sitting_h, "Hours over which the gas comes off evenly, instead of at once");
    command->add_option("--measured", asked->measured_ppm, "ppm of hydrogen sulfide that a meter showed, instead of a worst case");
    command->add_option("--size", asked->size, "Of the room, instead of the one that is written down: \"6.0 x 3.2 x 2.4 m\", \"1600 ft3\"");
    command->add_option("--room-m3", asked->room_m3, "The same in cubic metres");
    command->add_option("--flow", asked->flow, "Of the fan: \"276 m3/h\", \"162 cfm\", \"77 l/s\"");
    command->add_option("--air-changes", asked->changes_per_h, "An hour, instead of the flow");
    command->add_option("--fan-off", asked->still_per_h, "Air changes an hour with the fan off");
    command->add_option("--mixing", asked->mixing, "The worst mixing factor, 1 to 10");
    command->add_option("--temp", asked->temp, "Of the room: \"20 C\", \"68 F\"");
    command->add_option("--down-to", asked->ask.down_to_ppm, "ppm that the air is brought down to");
    command->add_option("--out", asked->out, "The PDF to write it to as well, with body, year and trust of each limit");
    command->add_option("--paper", asked->paper, "a4 or letter")->check(CLI::IsMember({"a4", "letter"}));
    add_hood(*command, session, chosen);
    add_winter_command(*command, session, chosen);
    command->callback([&session, &chosen, asked, command] {
        if (!command->get_subcommands().empty()) {
            return;  // one of its own commands was chosen
        }
        chosen = [&session, asked] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return tell(session, studio, *asked); });
        };
    });
}

}  // namespace tonebath::command
