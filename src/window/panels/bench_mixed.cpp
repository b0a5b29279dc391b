// The bench's words before a piece of two metals goes in: where its other parts would be.
#include "window/panels/bench_panel.hpp"

#include "app/learning.hpp"
#include "app/reckoner.hpp"
#include "app/studio.hpp"
#include "window/widgets/marks.hpp"

#include <algorithm>

namespace tonebath::window {

void BenchPage::lend(app::Reckoner& reckoner) {
    reckoner_ = &reckoner;
    mixed_.forget();
}

void BenchPage::read_mixed() {
    std::vector<app::MixedLane> asked;
    std::vector<int> numbers;
    for (const app::BenchLane& one : view_.lanes) {
        if (one.state == LaneState::waiting && one.plan && one.plan->out_s && one.subject.of_piece && one.aim_id && view_.bath) {
            asked.push_back({.lane = one.number, .piece = *one.subject.of_piece,
                             .request = {.bath_id = view_.bath->bath.id, .scale_id = {one.scale}, .tone_id = *one.aim_id, .drop_at = one.planned_for},
                             .seconds = *one.plan->out_s});
            numbers.push_back(one.number);
        }
    }
    if (numbers != mixed_of_) {
        mixed_.forget();
        mixed_of_ = numbers;
    }
    if (!asked.empty() && learned_ && reckoner_ != nullptr) {
        mixed_.ask(*reckoner_, [learned = learned_, asked](app::Studio& studio, const app::StillWanted&) { return app::mixed_lanes(studio, *learned, asked); });
        mixed_.look();
    }
}

const app::MixedView* BenchPage::mixed_of(const app::BenchLane& lane) const {
    const auto* views = mixed_.latest();
    const auto at = std::find(mixed_of_.begin(), mixed_of_.end(), lane.number);
    if (views == nullptr || lane.state != LaneState::waiting || at == mixed_of_.end()) {
        return nullptr;
    }
    const auto index = static_cast<std::size_t>(at - mixed_of_.begin());
    return index < views->size() && !(*views)[index].words.empty() ? &(*views)[index] : nullptr;
}

void BenchPage::draw_mixed(Ui& ui, const Rect& place, const app::BenchLane& lane) {
    const app::MixedView* mixed = mixed_of(lane);
    if (mixed == nullptr) {
        return;
    }
    Painter& paint = ui.paint();
    draw_mark(ui, Mark::ask, {place.x0 + ui.em(0.75F), place.y0 + ui.em(0.875F)}, ui.em(0.6875F));
    paint.text(Type::strong, ui.colour(Role::ink), {place.x0 + ui.em(2.0F), place.y0 + ui.em(1.25F)}, paint.ellipsis(Type::strong, place.w() - ui.em(2.0F), "Before " + mixed->piece + " goes in"));
    const float line = ui.em(1.375F);
    std::vector<std::string> lines;
    for (const std::string& words : mixed->words) {
        for (const std::string& wrapped : paint.wrap(Type::label, place.w(), words)) {
            lines.push_back(wrapped);
        }
    }
    const auto room = static_cast<std::size_t>(std::max(1.0F, (place.h() - ui.em(1.5F)) / line));
    if (lines.size() > room) {
        lines.resize(room);
        lines.back() = "… more on Tones";
    }
    float y = place.y0 + ui.em(1.5F);
    for (const std::string& one : lines) {
        y += line;
        paint.text(Type::label, ui.colour(Role::text), {place.x0, y}, one);
    }
}

}  // namespace tonebath::window
