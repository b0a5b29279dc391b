#include "app/views/today_view.hpp"

#include "app/learning.hpp"
#include "app/views/fill_in_view.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

std::string_view word_of(app::DayKind kind) {
    switch (kind) {
        case app::DayKind::bath: return "bath";
        case app::DayKind::batch: return "batch";
        case app::DayKind::order: return "order";
        case app::DayKind::throw_by: return "throw by";
        case app::DayKind::class_session: return "class";
    }
    return "";
}

std::string_view word_of(app::OwedKind kind) {
    switch (kind) {
        case app::OwedKind::follow_up: return "follow up";
        case app::OwedKind::ageing: return "ageing";
        case app::OwedKind::disposal: return "disposal";
        case app::OwedKind::fill_in: return "fill in";
        case app::OwedKind::order: return "order";
    }
    return "";
}

Json json_of_next(const app::NextDip& next) {
    return {{"batch", next.batch},
            {"words", next.words},
            {"waiting", next.waiting},
            {"bath", next.bath},
            {"tone", next.tone},
            {"part", next.part},
            {"lists", next.check_words},
            {"plan", next.plan ? json_of(*next.plan) : Json(nullptr)}};
}

Json json_of_today(const app::TodayView& view, bool demo) {
    Json day = Json::array();
    for (const app::DayItem& item : view.day) {
        day.push_back({{"kind", word_of(item.kind)},
                       {"hour", json_of(item.hour)},
                       {"head", item.head},
                       {"lines", item.lines},
                       {"to_do", item.to_do}});
    }
    Json owed = Json::array();
    for (const app::OwedItem& item : view.owed) {
        owed.push_back({{"kind", word_of(item.kind)},
                        {"noun", item.noun},
                        {"number", item.number},
                        {"line", item.line},
                        {"more", item.more},
                        {"since", json_of(item.since)}});
    }
    return {{"now", json_of(view.now)},
            {"invented", demo},
            {"day", day},
            {"next", view.next ? json_of_next(*view.next) : Json(nullptr)},
            {"owed", owed},
            {"baths_in_use", view.baths_in_use},
            {"advice", view.advice}};
}

Exit fill_in(const Session& session, app::Studio& studio) {
    const app::FillInList list = app::fill_in_list(studio);
    if (session.style == Style::json) {
        Json lines = Json::array();
        for (const app::FillIn& line : list.lines) {
            lines.push_back({{"noun", line.noun},
                             {"number", line.number},
                             {"missing", line.missing},
                             {"more", line.more},
                             {"since", json_of(line.made_at)},
                             {"action", line.action},
                             {"filled", line.filled},
                             {"command", app::fill_in_command(line)}});
        }
        print_json({{"invented", studio.demo()}, {"older_not_listed", list.more}, {"lines", lines}});
        return Exit::done;
    }
    std::string text = list.lines.empty() ? "Nothing waits to be filled in.\n" : "";
    for (const app::FillIn& line : list.lines) {
        text += fmt::format("{} {}: {} ({})\n    {}\n", line.noun, line.number, line.missing, line.more, app::fill_in_command(line));
    }
    print(text + (list.more ? "Older ones are not listed.\n" : ""));
    return Exit::done;
}

}  // namespace

void add_today_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command =
        parser.add_subcommand("today", "The day: baths in use, the next thing to dip with its time, what is owed");
    command->callback([&session, &chosen] {
        chosen = [&session] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) {
                const app::TodayView view = app::today_view(studio, app::learn(studio));
                if (session.style == Style::json) {
                    print_json(json_of_today(view, studio.demo()));
                } else {
                    print(app::today_text(studio, view));
                }
                return Exit::done;
            });
        };
    });
    CLI::App* blanks = parser.add_subcommand(
        "fill-in", "What was skipped at the bench or typed from memory, each with the command that fills it in");
    blanks->callback([&session, &chosen] {
        chosen = [&session] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return fill_in(session, studio); });
        };
    });
}

}  // namespace tonebath::command
