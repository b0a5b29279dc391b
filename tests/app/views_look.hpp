// Looks at every page, the fit and the plans of a studio, and names each figure that is none.
#pragma once

#include "app/learning_desk.hpp"

#include "app/course.hpp"
#include "app/views/baths_view.hpp"
#include "app/views/bench_view.hpp"
#include "app/views/pieces_view.hpp"
#include "app/views/scales_view.hpp"
#include "app/views/today_view.hpp"
#include "app/views/tones_view.hpp"

#include <cmath>
#include <set>

namespace tonebath::test {

// Names what is not a finite figure.
class Figures {
public:
    void see(const std::string& what, double value) {
        if (!std::isfinite(value)) {
            none.insert(what);
        }
    }
    void see(const std::string& what, const std::optional<double>& value) {
        if (value) {
            see(what, *value);
        }
    }
    void see(const std::string& what, const app::Plan& plan) {
        see(what + " out", plan.out_s);
        see(what + " aim from", plan.aim_low_s);
        see(what + " aim to", plan.aim_high_s);
        see(what + " comes", plan.comes_s);
        see(what + " look", plan.look_s);
        see(what + " dose", plan.dose_s);
        see(what + " over", plan.over_chance);
        see(what + " strip from", plan.strip_low_s);
        see(what + " strip to", plan.strip_high_s);
        see(what + " alone", plan.alone.out_s);
        for (const app::RangeShare& share : plan.shares) {
            see(what + " share", share.percent);
        }
        if (plan.refusal && (plan.refusal->message.empty() || plan.refusal->remedy.empty())) {
            none.insert(what + " refused without words: " + plan.refusal->code);
        }
        if (plan.out_s && !(*plan.aim_low_s <= *plan.out_s && *plan.out_s <= *plan.aim_high_s)) {
            none.insert(what + " out of its own range");
        }
    }
    std::set<std::string> none;
};

inline void look_at_all(LearningDesk& desk, Figures& figures) {
    app::Studio& studio = desk.studio();
    const std::shared_ptr<const app::Learned> learned = app::learn(studio);
    const science::RateLaw law = app::law_of(*learned);
    figures.see("law", law.ea_kj_per_mol);
    for (const app::LearnedFigure& figure : app::learned_figures(*learned)) {
        figures.see(figure.name, figure.middle);
        figures.see(figure.name + " from", figure.low);
        figures.see(figure.name + " to", figure.high);
    }
    const app::TodayView today = app::today_view(studio, learned);
    if (today.next && today.next->plan) {
        figures.see("today", *today.next->plan);
    }
    static_cast<void>(app::today_text(studio, today));
    for (const app::BathRow& row : app::baths_list(studio).baths) {
        const auto portrait = app::bath_portrait(studio, row.id, app::laws_of(*learned));
        REQUIRE(portrait);
        figures.see("temperature now", portrait->temp_now_c);
        figures.see("strength now", portrait->strength_now);
        for (const app::TempPoint& point : portrait->expected) {
            figures.see("expected temperature", point.temp_c);
        }
        for (const app::ScaleView& scale : app::scales_view(studio)) {
            if (scale.records == 0 || scale.tones.size() < 2) {
                continue;
            }
            app::PlanRequest asked;
            asked.bath_id = row.id;
            asked.scale_id = scale.id;
            asked.tone_id = scale.tones[scale.tones.size() / 2].id;
            figures.see("plan", app::plan(studio, *learned, asked));
        }
    }
    for (const app::BenchLane& lane : app::bench_view(studio, learned).lanes) {
        figures.see("dose before", lane.dose_before_s);
        if (lane.plan) {
            figures.see("lane", *lane.plan);
        }
    }
    for (const app::PieceRow& row : app::piece_list(studio, "").rows) {
        static_cast<void>(app::piece_story(studio, row.id, app::laws_of(*learned)));
    }
    for (const Batch& batch : desk.all<Batch>()) {
        static_cast<void>(app::batch_spread(studio, batch.id));
    }
    const app::TonesView tones = app::tones_view(studio, learned, {});
    for (const app::ToneBegins& begins : tones.begins) {
        figures.see("tone begins", begins.middle_s);
        figures.see("tone begins to", begins.high_s);
    }
    for (const app::RecordRow& row : tones.rows) {
        for (const app::LearnedRecord& record : row.records) {
            figures.see("record " + record.what, record.dose_s);
        }
    }
}

inline std::string all_of(const std::set<std::string>& lines) {
    std::string text;
    for (const std::string& line : lines) {
        text += line + "\n";
    }
    return text;
}

}  // namespace tonebath::test
