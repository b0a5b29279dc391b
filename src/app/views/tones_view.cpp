#include "app/views/tones_view.hpp"

#include "app/course.hpp"
#include "app/studio.hpp"
#include "store/record.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace tonebath::app {

namespace {

const ScaleView* scale_of(const std::vector<ScaleView>& scales, const std::string& id) {
    for (const ScaleView& scale : scales) {
        if (scale.id.text == id) {
            return &scale;
        }
    }
    return scales.empty() ? nullptr : &scales.front();
}

std::optional<LearnedFigure> figure_named(const std::vector<LearnedFigure>& figures, std::string_view start) {
    for (const LearnedFigure& figure : figures) {
        if (figure.name.starts_with(start)) {
            return figure;
        }
    }
    return std::nullopt;
}

void read_rows(const Learned& learned, TonesView& view) {
    std::map<std::string, RecordRow> by_lot;
    RecordRow today{.name = "Bath " + view.bath, .today = true};
    for (LearnedRecord& record : learned_records(learned, {view.scale})) {
        ++view.strips;
        if (!view.bath.empty() && record.bath == view.bath) {
            today.records.push_back(std::move(record));
            continue;
        }
        const std::string name = record.lot.empty() ? "lot not known" : record.lot;
        by_lot[name].name = name;
        by_lot[name].records.push_back(std::move(record));
    }
    if (!today.records.empty()) {
        view.rows.push_back(std::move(today));
    }
    for (auto& [name, row] : by_lot) {
        view.rows.push_back(std::move(row));
    }
}

// Seconds to the aimed tone in a fresh bath of the usual strength, held at each temperature.
void heat_curve(const Learned& learned, TonesView& view) {
    if (view.aim < 1 || static_cast<std::size_t>(view.aim) >= view.begins.size()) {
        return;
    }
    const science::RateLaw law = law_of(learned);
    const auto aim = static_cast<std::size_t>(view.aim);
    const bool last = aim + 1 >= view.begins.size();
    const double dose_s = last ? view.begins[aim].middle_s * 1.2 : std::sqrt(view.begins[aim].middle_s * view.begins[aim + 1].middle_s);
    const double spread = std::log(view.begins[aim].high_s / view.begins[aim].middle_s);
    const auto faster = figure_named(view.figures, "times faster");
    for (double temp_c = 35.0; temp_c <= 70.0; temp_c += 1.0) {
        const auto middle = science::seconds_at(dose_s, temp_c, 1.0, law);
        if (!middle) {
            continue;
        }
        // Doubt of the tone's place and of the temperature effect, away from 60 °C, added in quadrature.
        const double per_10 = faster ? std::log(faster->high / faster->middle) : 0.3;
        const double away = std::abs(temp_c - 60.0) / 10.0 * per_10;
        const double wide = std::exp(std::hypot(spread, away));
        view.by_heat.push_back({.x = temp_c, .y = *middle, .low = *middle / wide, .high = *middle * wide});
    }
}

// Strength by age, of the bath in use; without one of open hot baths.
void hours_curve(const Learned& learned, const std::optional<BathHistory>& bath, TonesView& view) {
    const bool covered = bath && stands_covered(*bath);
    const science::RateLaw law = law_of(learned, covered);
    if (law.fade == science::FadeKind::none) {
        return;
    }
    const auto half = figure_named(view.figures, covered ? "half gone after, covered" : "half gone after, open");
    const double wide = half && half->middle > 0.0 ? half->high / half->middle : 2.0;
    for (double hours = 0.0; hours <= 8.0; hours += 0.25) {
        science::RateLaw slow = law;
        science::RateLaw quick = law;
        slow.fade_per_h /= wide;
        quick.fade_per_h *= wide;
        view.by_hours.push_back({.x = hours, .y = science::strength_left(hours, law), .low = science::strength_left(hours, quick),
                                 .high = science::strength_left(hours, slow)});
    }
}

}  // namespace

TonesView tones_view(Studio& studio, const std::shared_ptr<const Learned>& learned, const TonesAsk& ask) {
    TonesView view{.scales = scales_view(studio)};
    const ScaleView* scale = scale_of(view.scales, ask.scale);
    if (scale == nullptr) {
        return view;
    }
    view.scale = scale->id.text;
    view.usual = usual_figures(studio);
    const auto count = static_cast<int>(scale->tones.size());
    view.aim = ask.aim >= 0 && ask.aim < count ? ask.aim : std::max(0, count * 2 / 3);
    if (view.aim < count) {
        view.aim_word = scale->tones[static_cast<std::size_t>(view.aim)].word;
    }
    const auto in_use = baths_to_plan(studio);
    std::optional<BathHistory> today;
    if (!in_use.empty()) {
        view.bath = in_use.front().number;
        view.bath_id = in_use.front().id;
        today = bath_history(studio.log(), in_use.front().id);
        if (today) {
            const double now_s = today->t_of(studio.now());
            view.bath_age_h = now_s / 3600.0;
            if (today->temp_known) {
                view.bath_temp_c = today->course.temp.temp_c(now_s);
            }
        }
    }
    if (!learned) {
        view.no_plan_words = "Reading what the log has taught …";
        return view;
    }
    view.begins = tone_begins(*learned, scale->id);
    view.figures = learned_figures(*learned);
    const LearnedChoices choices = learned_choices(*learned);
    view.choices = {choices.fade_words, choices.shape_words};
    read_rows(*learned, view);
    heat_curve(*learned, view);
    hours_curve(*learned, today, view);
    if (in_use.empty()) {
        view.no_plan_words = "No bath is in use: make one up, and its time is told here.";
    } else if (view.aim < count) {
        view.plan = plan(studio, *learned, {.bath_id = in_use.front().id, .scale_id = scale->id,
                                            .tone_id = scale->tones[static_cast<std::size_t>(view.aim)].id});
        if (view.plan->refusal) {
            view.no_plan_words = view.plan->refusal->text();
        }
    }
    return view;
}

}  // namespace tonebath::app
