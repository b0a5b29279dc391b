#include "app/resolve.hpp"
#include "app/views/pieces_view.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

std::string place_words(const std::vector<Tone>& tones, const app::ScalePlace& place) {
    const auto index = static_cast<std::size_t>(std::max(0, place.tone));
    const std::string word = index < tones.size() ? tones[index].word : fmt::format("tone {}", place.tone);
    return fmt::format("{}, {} of the way through it", word, fixed_text(place.share, 2));
}

Exit spread(const Session& session, app::Studio& studio, const std::string& number) {
    const auto batch = app::resolve<Batch>(studio, "Batch", number);
    if (!batch) {
        return say_refusal(session, batch.error());
    }
    const auto found = app::batch_spread(studio, batch->id);
    if (!found) {
        return say_refusal(session, {.code = "batch.no_pieces",
                                     .field = "Batch",
                                     .value = batch->number,
                                     .message = "it has no pieces.",
                                     .remedy = "Add pieces to it and judge them first.",
                                     .answers = {}});
    }
    const std::vector<Tone> tones = app::tones_of(studio, {found->scale});
    if (session.style == Style::json) {
        Json pieces = Json::array();
        for (const app::BatchMate& mate : found->mates) {
            const auto index = static_cast<std::size_t>(std::max(0, mate.tone.tone));
            pieces.push_back({{"number", mate.number},
                              {"tone", index < tones.size() ? Json(tones[index].word) : Json(nullptr)},
                              {"position", mate.tone.tone},
                              {"share", json_of(mate.tone.share)},
                              {"outlier", mate.outlier}});
        }
        print_json({{"batch", found->batch},
                    {"pieces", found->pieces},
                    {"judged", found->judged},
                    {"middle", json_of(found->middle)},
                    {"mad", json_of(found->mad)},
                    {"target", found->target_word},
                    {"from_target", json_of(found->from_target)},
                    {"outliers", found->outliers},
                    {"words", found->words},
                    {"mates", pieces}});
        return Exit::done;
    }
    std::string text =
        fmt::format("Batch {}, {}: {}\n", found->batch, counted(found->pieces, "piece", "pieces"), found->words);
    if (found->from_target && !found->target_word.empty()) {
        text += fmt::format("  aim {}: the middle is {} tones {} it\n", found->target_word,
                            fixed_text(std::abs(*found->from_target), 2),
                            *found->from_target < 0.0 ? "lighter than" : "past");
    }
    for (const app::BatchMate& mate : found->mates) {
        text += fmt::format("  {:<10} {}{}\n", mate.number, place_words(tones, mate.tone),
                            mate.outlier ? "  stands out" : "");
    }
    print(text);
    return Exit::done;
}

}  // namespace

void add_spread_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command = parser.add_subcommand("spread", "How even a batch came out, and which pieces stand out");
    const auto batch = std::make_shared<std::string>();
    command->add_option("--batch", *batch, "Its number")->required();
    command->callback([&session, &chosen, batch] {
        chosen = [&session, batch] {
            return with_studio(session, Use::reads,
                               [&](app::Studio& studio) { return spread(session, studio, *batch); });
        };
    });
}

}  // namespace tonebath::command
