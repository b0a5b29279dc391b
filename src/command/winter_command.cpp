#include "app/winter.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "command/air_command.hpp"
#include "command/bath_choice.hpp"
#include "command/json_text.hpp"
#include "model/rules/temp_rules.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

struct Asked {
    AimAsked aim;
    std::string bath, room, fresh, every, session, longest;
};

Result<app::WinterAsk> ask_of(app::Studio& studio, const Asked& asked) {
    app::WinterAsk ask;
    const auto usual = app::winter_aim(studio);
    const auto bath = bath_or_newest(studio, asked.bath);
    if (!bath) {
        return bath.error();
    }
    ask.first.bath_id = bath->id;
    const bool named = !asked.aim.tone.empty() || !asked.aim.metal.empty() || !asked.aim.target.empty();
    const auto tone = named || !usual ? aim_of(studio, asked.aim) : Result<Tone>(usual->tone);
    if (!tone) {
        return tone.error();
    }
    ask.first.scale_id = tone->scale_id;
    ask.first.tone_id = tone->id;
    const auto room = app::winter_room(studio, asked.room);
    if (!room) {
        return room.error();
    }
    ask.room_c = *room;
    if (!asked.fresh.empty()) {
        const auto temp = parse_temperature("Fresh at", asked.fresh, studio.units());
        if (!temp) {
            return temp.error();
        }
        if (const auto odd = rules::bath_temp({"Fresh at", asked.fresh}, *temp, studio.units())) {
            return *odd;
        }
        ask.fresh_c = temp->celsius();
    }
    for (const auto& [field, typed, to] : {std::tuple{"Every", &asked.every, &ask.every_s}, std::tuple{"Session", &asked.session, &ask.session_s},
                                           std::tuple{"Longest", &asked.longest, &ask.longest_s}}) {
        if (!typed->empty()) {
            const auto length = parse_duration(field, *typed);
            if (!length) {
                return length.error();
            }
            *to = length->seconds();
        }
    }
    return ask;
}

Json json_of_room(const app::WinterRoom& room) {
    return {{"room_c", json_of(room.room_c)},
            {"loses_c_per_min", json_of(room.loss_c_per_min)},
            {"first_s", json_of(room.first.out_s)},
            {"first_low_s", json_of(room.first.low_s)},
            {"first_high_s", json_of(room.first.high_s)},
            {"reheat_after_s", json_of(room.reheat_s)},
            {"pieces_to_a_heat", room.pieces ? Json(*room.pieces) : Json(nullptr)}};
}

void tell_json(const app::WinterPlan& plan, bool invented) {
    Json dips = Json::array();
    for (const app::WinterDip& dip : plan.dips) {
        dips.push_back({{"after_s", json_of(dip.at_s)},
                        {"as_it_was_c", json_of(dip.before_c)},
                        {"as_it_was_s", json_of(dip.before_s)},
                        {"colder_c", json_of(dip.colder_c)},
                        {"colder_s", json_of(dip.colder_s)}});
    }
    Json order = Json::array();
    for (const app::WinterHelp& help : plan.order) {
        order.push_back({{"what", help.what}, {"words", help.words}, {"from", help.from}, {"last_s", json_of(help.last_s)}, {"reheat_after_s", json_of(help.reheat_s)}});
    }
    // The constant in full: a thousandth is too coarse for it.
    print_json({{"bath", plan.bath},
                {"tone", plan.tone},
                {"bath_c", json_of(plan.start_c)},
                {"cooling_per_min", plan.k_per_min},
                {"dose_s", json_of(plan.dose_s)},
                {"room_from", plan.room_from},
                {"room_as_it_was_known", plan.room_before_known},
                {"as_it_was", json_of_room(plan.before)},
                {"colder", json_of_room(plan.colder)},
                {"dips", dips},
                {"order", order},
                {"words", plan.words},
                {"cautions", plan.cautions},
                {"invented", invented}});
}

void tell_text(const app::WinterPlan& plan, const UnitChoice& units, bool invented) {
    const auto degrees = [&](double celsius) { return text_of(Celsius::from_celsius(celsius), units); };
    const auto hangs = [](const std::optional<double>& seconds) { return seconds ? text_of(Seconds::from_seconds(*seconds)) : std::string("over a day"); };
    std::string text = fmt::format("{} in bath {}, the room at {} ({}){}\n", plan.tone, plan.bath, degrees(plan.colder.room_c), plan.room_from,
                                   invented ? "  (invented demo studio)" : "");
    for (const std::string& words : plan.words) {
        text += "  " + words + "\n";
    }
    text += fmt::format("  {:>9}   in a room of {:<16} in a room of {}\n", "after", degrees(plan.before.room_c), degrees(plan.colder.room_c));
    for (const app::WinterDip& dip : plan.dips) {
        text += fmt::format("  {:>5} min   {:>8} {:>10}        {:>8} {:>10}\n", fixed_text(dip.at_s / 60.0, 0), degrees(dip.before_c), hangs(dip.before_s),
                            degrees(dip.colder_c), hangs(dip.colder_s));
    }
    text += "  In this order:\n";
    std::size_t place = 0;
    for (const app::WinterHelp& help : plan.order) {
        text += fmt::format("  {}. {}: {}{}\n", ++place, help.what, help.words, help.from.empty() ? "" : " (" + help.from + ")");
    }
    for (const std::string& caution : plan.cautions) {
        text += "  note: " + caution + "\n";
    }
    print(text);
}

Exit tell(const Session& session, app::Studio& studio, const Asked& asked) {
    const auto ask = ask_of(studio, asked);
    if (!ask) {
        return say_refusal(session, ask.error());
    }
    const app::WinterPlan plan = app::winter_plan(studio, *app::learn(studio), *ask);
    if (plan.refusal) {
        return say_refusal(session, *plan.refusal);
    }
    if (session.style == Style::json) {
        tell_json(plan, studio.demo());
    } else {
        tell_text(plan, session.units, studio.demo());
    }
    return Exit::done;
}

}  // namespace

void add_winter_command(CLI::App& air, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command = air.add_subcommand("winter", "What a colder room does to the dose: drop by drop, when to reheat, and what to do first");
    const auto asked = std::make_shared<Asked>();
    command->add_option("--room-temp", asked->room, "The room with the window open or the fan on: \"8 C\", \"46 F\"; without it the last that was written down");
    command->add_option("--bath", asked->bath, "Its number; without it the newest in use");
    command->add_option("--tone", asked->aim.tone, "The tone's word: blue, or \"sterling: blue\"; without it the one aimed at last");
    command->add_option("--metal", asked->aim.metal, "Whose scale the word is on: sterling");
    command->add_option("--surface", asked->aim.surface, "bright, satin, matt, hammered, where it has a scale of its own");
    command->add_option("--target", asked->aim.target, "A target tone instead of tone and metal");
    command->add_option("--fresh", asked->fresh, "A fresh bath like it, made up at this, instead of the bath as it is: \"60 C\"");
    command->add_option("--every", asked->every, "Between drops; without it 5 min");
    command->add_option("--session", asked->session, "From the first drop to the last; without it 1 h");
    command->add_option("--longest", asked->longest, "A piece that would hang longer waits for a reheat; without it 90 s");
    command->callback([&session, &chosen, asked] {
        chosen = [&session, asked] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return tell(session, studio, *asked); });
        };
    });
}

}  // namespace tonebath::command
