#include "app/learning.hpp"
#include "app/resolve.hpp"
#include "app/views/pieces_view.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

Json json_of_place(const std::optional<app::ScalePlace>& place) {
    return place ? Json{{"position", place->tone}, {"share", json_of(place->share)}} : Json(nullptr);
}

Json json_of_story(const app::PieceStory& story) {
    Json steps = Json::array();
    for (const app::StoryStep& step : story.steps) {
        steps.push_back({{"at", json_of(step.at)}, {"what", step.what}, {"more", step.more}});
    }
    return {{"piece", story.piece.number},
            {"title", story.title},
            {"line", story.line},
            {"aim", story.aim_word},
            {"tone", json_of_place(story.tone)},
            {"batch", story.spread_words},
            {"steps", steps}};
}

std::string story_text(const app::PieceStory& story) {
    std::string text = fmt::format("{}  {}\n", story.piece.number, story.title);
    if (!story.line.empty()) {
        text += "  " + story.line + "\n";
    }
    if (!story.aim_word.empty()) {
        text += "  aim " + story.aim_word + "\n";
    }
    for (const app::StoryStep& step : story.steps) {
        text += fmt::format("  {} {}  {}{}\n", date_text(step.at), time_text(step.at), step.what,
                            step.more.empty() ? "" : "; " + step.more);
    }
    if (story.steps.empty()) {
        text += "  nothing is written down of it yet\n";
    }
    if (!story.spread_words.empty()) {
        text += "  its batch: " + story.spread_words + "\n";
    }
    return text;
}

}  // namespace

void add_story_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command = parser.add_subcommand("story", "One piece from first to last, and how its batch came out");
    const auto number = std::make_shared<std::string>();
    command->add_option("piece", *number, "Its number")->required();
    command->callback([&session, &chosen, number] {
        chosen = [&session, number] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) {
                const auto piece = app::resolve<Piece>(studio, "Piece", *number);
                if (!piece) {
                    return say_refusal(session, piece.error());
                }
                const auto story = app::piece_story(studio, piece->id, app::laws_of(*app::learn(studio)));
                TB_CHECK(story.has_value());
                if (session.style == Style::json) {
                    print_json(json_of_story(*story));
                } else {
                    print(story_text(*story));
                }
                return Exit::done;
            });
        };
    });
}

}  // namespace tonebath::command
