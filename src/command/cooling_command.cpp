#include "app/course.hpp"
#include "app/learning.hpp"
#include "app/views/baths_view.hpp"
#include "base/check.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "command/action_commands.hpp"
#include "command/bath_choice.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

Exit tell(const Session& session, app::Studio& studio, const std::string& number) {
    const auto bath = bath_or_newest(studio, number);
    if (!bath) {
        return say_refusal(session, bath.error());
    }
    const auto history = app::bath_history(studio.log(), bath->id);
    if (!history || !history->temp_known) {
        return say_refusal(session, {.code = "plan.no_temperature",
                                     .field = "Bath",
                                     .value = bath->number,
                                     .message = "no temperature of this bath is written down.",
                                     .remedy = "Type a reading first.",
                                     .answers = {}});
    }
    const auto& fit = history->course.temp.fit();
    const double now_s = history->t_of(bath->ended_at.value_or(studio.now()));
    const double now_c = history->course.temp.temp_c(now_s);
    if (session.style == Style::json) {
        Json readings = Json::array();
        for (const app::CourseReading& reading : history->readings) {
            readings.push_back({{"min", json_of(reading.t_s / 60.0)},
                                {"temp_c", json_of(reading.temp_c)},
                                {"shown_c", json_of(reading.shown_c)},
                                {"reheated", reading.reheated},
                                {"source", reading.source}});
        }
        // The constant in full: a thousandth is too coarse for it.
        print_json({{"bath", bath->number},
                    {"cooling_per_min", fit.k_per_min},
                    {"low_per_min", fit.low_per_min},
                    {"high_per_min", fit.high_per_min},
                    {"rests_on_readings", fit.readings},
                    {"off_by_c", json_of(fit.residual_sd_c)},
                    {"room_c", json_of(history->room_c)},
                    {"room_known", history->room_known},
                    {"temp_c", json_of(now_c)},
                    {"readings", readings},
                    {"assumed", history->assumed}});
        return Exit::done;
    }
    std::string text =
        fmt::format("Bath {} cools at {} per minute ({} to {}, 95 of 100), from {} in a room of {}\n", bath->number,
                    fixed_text(fit.k_per_min, 4), fixed_text(fit.low_per_min, 4), fixed_text(fit.high_per_min, 4),
                    counted(fit.readings, "temperature", "temperatures"),
                    text_of(Celsius::from_celsius(history->room_c), session.units));
    for (const app::CourseReading& reading : history->readings) {
        text += fmt::format("  {:>7} min  {}  {}{}\n", fixed_text(reading.t_s / 60.0, 1),
                            text_of(Celsius::from_celsius(reading.temp_c), session.units), reading.source,
                            reading.reheated ? ", reheated" : "");
    }
    text += fmt::format("  {}: {}\n", bath->ended_at ? "at its end" : "now",
                        text_of(Celsius::from_celsius(now_c), session.units));
    for (const std::string& one : history->assumed) {
        text += "  assumed: " + one + "\n";
    }
    print(text);
    return Exit::done;
}

Exit tell_left(const Session& session, app::Studio& studio, const std::string& number) {
    const auto bath = bath_or_newest(studio, number);
    if (!bath) {
        return say_refusal(session, bath.error());
    }
    const auto portrait = app::bath_portrait(studio, bath->id, app::laws_of(*app::learn(studio)));
    TB_CHECK(portrait.has_value());
    if (session.style == Style::json) {
        print_json({{"bath", bath->number},
                    {"in_use", portrait->in_use},
                    {"temp_c", json_of(portrait->temp_now_c)},
                    {"strength", json_of(portrait->strength_now)},
                    {"throw_by", portrait->throw_by ? Json(iso_text(*portrait->throw_by)) : Json(nullptr)},
                    {"faded_share", json_of(portrait->faded_share)},
                    {"used_share", json_of(portrait->used_share)},
                    {"head", portrait->left_head},
                    {"words", portrait->left_words},
                    {"new_bath", portrait->new_bath_words},
                    {"assumed", portrait->assumed}});
        return Exit::done;
    }
    std::string text = fmt::format("Bath {}, {}\n", bath->number, portrait->title);
    for (const std::string& line : {portrait->fade_words, portrait->left_head, portrait->left_words, portrait->new_bath_words}) {
        text += line.empty() ? "" : "  " + line + "\n";
    }
    for (const std::string& one : portrait->assumed) {
        text += "  assumed: " + one + "\n";
    }
    print(text);
    return Exit::done;
}

}  // namespace

void add_cooling_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command =
        group_of(parser, "bath").add_subcommand("cooling", "How fast a bath cools, from its readings and its vessel");
    const auto bath = std::make_shared<std::string>();
    command->add_option("--bath", *bath, "Its number; without it the newest in use");
    command->callback([&session, &chosen, bath] {
        chosen = [&session, bath] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return tell(session, studio, *bath); });
        };
    });
    CLI::App* left = group_of(parser, "bath").add_subcommand("left", "What is left in a bath: fade against use, and by when a new one should stand");
    left->add_option("--bath", *bath, "Its number; without it the newest in use");
    left->callback([&session, &chosen, bath] {
        chosen = [&session, bath] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return tell_left(session, studio, *bath); });
        };
    });
}

}  // namespace tonebath::command
