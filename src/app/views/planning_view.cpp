#include "app/views/planning_view.hpp"

#include "app/batch_plan.hpp"
#include "app/heat_choice.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "store/bath_store.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

std::string seconds(double value) { return text_of(Seconds::from_seconds(value)); }

// The newest bath in use, or the words that say what is missing.
std::optional<Bath> bath_for(Studio& studio, const std::shared_ptr<const Learned>& learned, PlanningView& view) {
    const auto in_use = store::baths_in_use(studio.log(), 1);
    if (in_use.empty()) {
        view.words.emplace_back("No bath is in use: make one up first.");
        return std::nullopt;
    }
    if (!learned) {
        view.words.emplace_back("Reading what the log has taught …");
        return std::nullopt;
    }
    view.note = "Bath " + in_use.front().number;
    return in_use.front();
}

}  // namespace

PlanningView batch_view(Studio& studio, const std::shared_ptr<const Learned>& learned, const Id<ToneScale>& scale, const Id<Tone>& tone, std::size_t pieces) {
    PlanningView view{.head = "A batch from now"};
    const auto bath = bath_for(studio, learned, view);
    if (!bath) {
        return view;
    }
    const BatchPlan plan = batch_plan(studio, *learned, {.first = {.bath_id = bath->id, .scale_id = scale, .tone_id = tone}, .tones = std::vector<Id<Tone>>(pieces, tone)});
    if (plan.refusal) {
        view.words.push_back(plan.refusal->text());
        return view;
    }
    view.words = plan.words;
    view.columns = {"Piece", "In", "Out", "In the bath", "Bath then"};
    for (const BatchLane& lane : plan.lanes) {
        view.rows.push_back({.id = std::to_string(lane.piece),
                             .cells = {std::to_string(lane.piece), seconds(lane.in_s), seconds(lane.out_s), seconds(lane.in_bath_s),
                                       text_of(Celsius::from_celsius(lane.temp_c), studio.units())}});
    }
    return view;
}

PlanningView next_bath_view(Studio& studio, const std::shared_ptr<const Learned>& learned, const Id<ToneScale>& scale, const Id<Tone>& tone) {
    PlanningView view{.head = "Heat and make-up of the next bath"};
    const auto bath = bath_for(studio, learned, view);
    if (!bath) {
        return view;
    }
    const HeatChoice choice = heat_choice(studio, *learned, {.like = bath->id, .scale_id = scale, .tone_id = tone});
    if (choice.refusal) {
        view.words.push_back(choice.refusal->text());
        return view;
    }
    view.note = "like bath " + bath->number;
    view.words.push_back(choice.words);
    view.columns = {"Heat", "Make-up", "Time", "Aim range", "Stays", "Lands on it"};
    for (std::size_t i = 0; i < choice.cells.size(); ++i) {
        const HeatCell& cell = choice.cells[i];
        view.rows.push_back({.id = std::to_string(i),
                             .cells = {text_of(Celsius::from_celsius(cell.temp_c), studio.units()), fixed_text(cell.make_up, 1) + " times", seconds(cell.out_s),
                                       seconds(cell.low_s) + " to " + seconds(cell.high_s), seconds(cell.window_s),
                                       fixed_text(100.0 * cell.on_tone, 0) + " in 100"},
                             .strong = choice.best == i});
    }
    return view;
}

RescueView rescue_view(Studio& studio, const Id<Piece>& piece) {
    RescueView view;
    const auto found = rescue(studio, {.piece = piece});
    if (!found) {
        view.words.push_back(found.error().text());
        return view;
    }
    view.note = "the strictest thing on it decides";
    view.words.push_back(found->head + ".");
    for (const std::string& question : found->ask_first) {
        view.words.push_back("Ask first: " + question);
    }
    for (const Rework& one : found->rework) {
        view.words.push_back("Rework: " + one.what + ", " + date_time_text(one.at));
    }
    for (const RescueChoice& one : found->choices) {
        RescueRow row{.name = one.name, .state = one.state, .state_word = std::string(word_of(one.state)), .source = "Source: " + one.source};
        if (!one.why.empty()) {
            row.words.push_back("On this piece: " + one.why + ".");
        }
        for (const std::string& words : one.own) {
            row.words.push_back("Your own log: " + words + ".");
        }
        if (one.conflict) {
            row.words.push_back("Published: " + joined(one.noted, "; ") + ". The two do not agree: the stricter decides here; try a spare first.");
        }
        // How to do it only where it may be done.
        if (one.state != RescueState::closed) {
            row.words.push_back(one.how);
            if (!one.warning.empty()) {
                row.words.push_back(one.warning);
            }
        }
        view.rows.push_back(std::move(row));
    }
    return view;
}

}  // namespace tonebath::app
