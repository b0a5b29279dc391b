#include "app/learning.hpp"
#include "app/resolve.hpp"
#include "app/views/scales_view.hpp"
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

struct TaughtScale {
    app::ScaleView scale;
    std::vector<app::ToneBegins> begins;
    std::size_t used = 0;
};

// Scales with records, or the one that was asked for.
std::vector<TaughtScale> taught_scales(app::Studio& studio, const app::Learned& learned,
                                       const std::optional<ToneScale>& only) {
    std::vector<TaughtScale> all;
    for (app::ScaleView& scale : app::scales_view(studio)) {
        TaughtScale one{.begins = app::tone_begins(learned, scale.id),
                        .used = app::learned_records(learned, scale.id).size()};
        if (!one.begins.empty() && (only ? only->id == scale.id : one.used > 0)) {
            one.scale = std::move(scale);
            all.push_back(std::move(one));
        }
    }
    return all;
}

std::string range_text(double middle, double low, double high, const std::string& unit) {
    return fmt::format("{} {} ({} to {})", fixed_text(middle, 2), unit, fixed_text(low, 2), fixed_text(high, 2));
}

std::string seconds(double value) {
    return text_of(Seconds::from_seconds(value));
}

std::string learned_text(const app::Learned& learned, const std::vector<TaughtScale>& scales) {
    std::string text = fmt::format("Learned from {}. In brackets: 80 of 100.\n",
                                   counted(app::records_used(learned), "record", "records"));
    for (const app::LearnedFigure& figure : app::learned_figures(learned)) {
        text += fmt::format("  {}: {}\n", figure.name, range_text(figure.middle, figure.low, figure.high, figure.unit));
        text += fmt::format("    before any record: {}\n",
                            range_text(figure.prior_middle, figure.prior_low, figure.prior_high, figure.unit));
        text += fmt::format("    from: {}\n", figure.source);
    }
    const app::LearnedChoices choices = app::learned_choices(learned);
    text += "  " + choices.fade_words + "\n  " + choices.shape_words + "\n";
    for (const TaughtScale& one : scales) {
        text += fmt::format("{}, {}: where each tone begins, seconds at 60 °C, fresh\n", one.scale.name,
                            counted(one.used, "record", "records"));
        for (std::size_t i = 0; i < one.begins.size() && i < one.scale.tones.size(); ++i) {
            const app::ToneBegins& begins = one.begins[i];
            text += i == 0 ? fmt::format("  {:<14} bare metal\n", one.scale.tones[i].word)
                           : fmt::format("  {:<14} {} ({} to {})\n", one.scale.tones[i].word, seconds(begins.middle_s),
                                         seconds(begins.low_s), seconds(begins.high_s));
        }
    }
    if (scales.empty()) {
        text += "No tone was judged after a timed dip yet: dip a strip first.\n";
    }
    return text;
}

Json json_of_learned(const app::Learned& learned, const std::vector<TaughtScale>& scales) {
    Json figures = Json::array();
    for (const app::LearnedFigure& figure : app::learned_figures(learned)) {
        figures.push_back({{"name", figure.name},
                           {"unit", figure.unit},
                           {"middle", json_of(figure.middle)},
                           {"low", json_of(figure.low)},
                           {"high", json_of(figure.high)},
                           {"prior_middle", json_of(figure.prior_middle)},
                           {"prior_low", json_of(figure.prior_low)},
                           {"prior_high", json_of(figure.prior_high)},
                           {"prior_source", figure.source}});
    }
    Json all_scales = Json::array();
    for (const TaughtScale& one : scales) {
        Json tones = Json::array();
        for (std::size_t i = 0; i < one.begins.size() && i < one.scale.tones.size(); ++i) {
            tones.push_back({{"tone", one.scale.tones[i].word},
                             {"begins_s", json_of(one.begins[i].middle_s)},
                             {"low_s", json_of(one.begins[i].low_s)},
                             {"high_s", json_of(one.begins[i].high_s)}});
        }
        all_scales.push_back({{"scale", one.scale.name}, {"records", one.used}, {"tones", tones}});
    }
    const app::LearnedChoices choices = app::learned_choices(learned);
    return {{"records", app::records_used(learned)},
            {"figures", figures},
            {"fade", choices.fades_evenly ? "zero order" : "first order"},
            {"log_evidence_zero_over_first_order", json_of(choices.fade_zero_over_first)},
            {"scatter", choices.long_tailed ? "student t, 4 degrees of freedom" : "normal"},
            {"log_evidence_long_tailed_over_normal", json_of(choices.tails_over_normal)},
            {"scales", all_scales}};
}

Exit tell(const Session& session, app::Studio& studio, const std::string& scale) {
    std::optional<ToneScale> only;
    if (!scale.empty()) {
        const auto found = app::resolve<ToneScale>(studio, "Scale", scale);
        if (!found) {
            return say_refusal(session, found.error());
        }
        only = *found;
    }
    const auto learned = app::learn(studio);
    const auto scales = taught_scales(studio, *learned, only);
    if (session.style == Style::json) {
        print_json(json_of_learned(*learned, scales));
    } else {
        print(learned_text(*learned, scales));
    }
    return Exit::done;
}

}  // namespace

void add_learned_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command =
        parser.add_subcommand("learned", "What the log has taught: heat, strength, fade, and where each tone begins");
    const auto scale = std::make_shared<std::string>();
    command->add_option("--scale", *scale, "Only this scale: sterling; without it all that have records");
    command->callback([&session, &chosen, scale] {
        chosen = [&session, scale] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return tell(session, studio, *scale); });
        };
    });
}

}  // namespace tonebath::command
