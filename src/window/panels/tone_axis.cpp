#include "window/panels/tone_axis.hpp"

#include "base/quantity_text.hpp"
#include "window/widgets/plot.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

constexpr std::size_t kMostRows = 5;
constexpr std::size_t kMostRowsNarrow = 3;  // today's bath and two lots
constexpr float kRow_em = 1.875F;

// The axis runs from half the first tone's beginning to half as far again past the last one's.
struct DoseAxis {
    double low = 0.0, high = 1.0;
    float x0 = 0.0F, x1 = 1.0F;

    [[nodiscard]] float share(double dose_s) const {
        return static_cast<float>(std::clamp((std::log(std::max(dose_s, 1e-9)) - low) / (high - low), 0.0, 1.0));
    }
    [[nodiscard]] float x(double dose_s) const { return x0 + (x1 - x0) * share(dose_s); }
};

std::size_t rows_shown(const Ui& ui, const app::TonesView& view) {
    return std::min(view.rows.size(), ui.width() == Width::narrow ? kMostRowsNarrow : kMostRows);
}

void draw_record(Ui& ui, const DoseAxis& axis, const app::LearnedRecord& record, float y, Colour c) {
    const float x = axis.x(record.dose_s);
    switch (record.kind) {
        case app::RecordKind::watched:
            ui.paint().circle({x, y}, ui.em(0.33F), c);
            break;
        case app::RecordKind::judged:
            ui.paint().ring({x, y}, ui.em(0.3F), c, ui.paint().fine(1.6F));
            break;
        case app::RecordKind::lighter:
        case app::RecordKind::over:
        case app::RecordKind::ceiling: {
            const float way = record.kind == app::RecordKind::lighter ? 1.0F : -1.0F;
            const std::array<Vec2, 3> arrow{Vec2{x - way * ui.em(0.3F), y - ui.em(0.35F)}, Vec2{x + way * ui.em(0.35F), y},
                                            Vec2{x - way * ui.em(0.3F), y + ui.em(0.35F)}};
            ui.paint().polyline(arrow, c, ui.paint().fine(1.8F));
            break;
        }
    }
}

}  // namespace

float tone_axis_height(const Ui& ui, const app::TonesView& view) {
    const auto rows = static_cast<float>(std::max<std::size_t>(rows_shown(ui, view), 1));
    return ui.em(kRow_em * rows + 14.5F);
}

ToneAxisResult tone_axis(Ui& ui, const Rect& r, const app::TonesView& view, const DrawnScale& scale) {
    ToneAxisResult result;
    Painter& paint = ui.paint();
    Rect place = r;
    const std::size_t rows = rows_shown(ui, view);
    const Rect records = place.cut_top(ui.em(kRow_em) * static_cast<float>(std::max<std::size_t>(rows, 1)));
    const float strip_h = strip_height(ui, StripSize::plan);
    const Rect strip_place = Rect::at(place.x0, place.y0 + ui.em(1.75F), place.w(), strip_h);
    StripView strip{.scale = &scale, .words = view.begins.empty(), .id = "aim", .label = "Tone aimed at"};
    strip.aim = ToneSpan{{view.aim, 0.0F}, {view.aim, 1.0F}};

    const bool placed = view.begins.size() == scale.tones.size() && view.begins.size() >= 2;
    DoseAxis axis;
    const Rect run{strip_place.x0 + std::round(strip_h * ui.look().strip.tab), strip_place.y0, strip_place.x1, strip_place.y1};
    axis.x0 = run.x0;
    axis.x1 = run.x1;
    if (placed) {
        axis.low = std::log(view.begins[1].middle_s * 0.4);
        axis.high = std::log(view.begins.back().middle_s * 2.0);
        for (std::size_t i = 0; i < view.begins.size(); ++i) {
            strip.borders.push_back(i == 0 ? 0.0F : axis.share(view.begins[i].middle_s));
        }
        strip.borders.push_back(1.0F);
    }
    // Records by lot.
    if (rows == 0) {
        paint.text(Type::body, ui.colour(Role::text), {records.x0, records.y0 + ui.em(1.25F)},
                   "No record of this metal yet: the strip below stands where the published prior puts it, and may be far off.");
    }
    for (std::size_t i = 0; i < rows && placed; ++i) {
        const app::RecordRow& row = view.rows[i];
        const float y = records.y0 + ui.em(kRow_em) * (static_cast<float>(i) + 0.5F);
        paint.text(row.today ? Type::strong : Type::label, ui.colour(row.today ? Role::ink : Role::text), {records.x0, y + ui.em(0.3F)},
                   paint.ellipsis(Type::strong, ui.em(5.0F), row.name));
        paint.hline(records.x0 + ui.em(5.25F), records.x1, std::round(y), ui.colour(Role::line), ui.px(1));
        for (const app::LearnedRecord& record : row.records) {
            draw_record(ui, axis, record, y, ui.colour(row.today ? Role::copper : Role::steel));
        }
    }
    const StripTouch touch = tone_strip(ui, strip_place, strip, StripSize::plan);
    if (touch.clicked || touch.activated) {
        result.aim = touch.place.tone;
    }
    if (!placed) {
        return result;
    }
    // Words on two lines, then where each tone begins and how sure, then the axis itself.
    float y = strip_place.y1 + ui.em(1.375F);
    float last_x[2] = {-1e9F, -1e9F};
    for (std::size_t i = 1; i < scale.tones.size(); ++i) {
        const float x = 0.5F * (strip.borders[i] + strip.borders[i + 1]) * run.w() + run.x0;
        const float w = paint.text_width(Type::label, scale.tones[i].word);
        const std::size_t line = last_x[0] + ui.em(0.5F) < x - w * 0.5F ? 0 : 1;
        paint.text(Type::label, ui.colour(static_cast<int>(i) == view.aim ? Role::ink : Role::text), {x, y + ui.em(1.0F) * static_cast<float>(line)},
                   scale.tones[i].word, Align::centre);
        last_x[line] = x + w * 0.5F;
    }
    y += ui.em(2.0F);
    for (std::size_t i = 1; i < view.begins.size(); ++i) {
        const app::ToneBegins& one = view.begins[i];
        const float row_y = y + (i % 2 == 0 ? ui.em(0.625F) : 0.0F);
        const float x0 = axis.x(one.low_s);
        const float x1 = axis.x(one.high_s);
        const float x = axis.x(one.middle_s);
        paint.line({x0, row_y}, {x1, row_y}, ui.colour(Role::edge), paint.fine(1.4F));
        for (const float end : {x0, x1}) {
            paint.line({end, row_y - ui.em(0.25F)}, {end, row_y + ui.em(0.25F)}, ui.colour(Role::edge), paint.fine(1.4F));
        }
        const float d = ui.em(0.3F);
        const std::array<Vec2, 4> diamond{Vec2{x, row_y - d}, Vec2{x + d, row_y}, Vec2{x, row_y + d}, Vec2{x - d, row_y}};
        paint.polygon(diamond, ui.colour(Role::ink));
    }
    y += ui.em(1.375F);
    paint.hline(run.x0, run.x1, std::round(y), ui.colour(Role::edge), ui.px(1));
    const Axis doses{.kind = AxisKind::log, .low = std::exp(axis.low), .high = std::exp(axis.high), .most_ticks = 6};
    const float name_w = paint.text(Type::label, ui.colour(Role::quiet), {r.x0, y + ui.em(1.375F)}, "dose");
    for (const double tick : axis_ticks(doses)) {
        paint.vline(std::round(axis.x(tick)), y, y + ui.em(0.35F), ui.colour(Role::edge), ui.px(1));
        const std::string words = text_of(Seconds::from_seconds(tick));
        if (axis.x(tick) - paint.text_width(Type::label, words) * 0.5F > r.x0 + name_w + ui.em(0.5F)) {
            paint.text(Type::label, ui.colour(Role::quiet), {axis.x(tick), y + ui.em(1.375F)}, words, Align::centre);
        }
    }
    paint.text(Type::label, ui.colour(Role::text), {r.x0, y + ui.em(2.875F)},
               paint.ellipsis(Type::label, r.w(), "Seconds at 60 °C, fresh. Diamond: a tone begins (80 in 100). Dot: pulled as it came, ring: judged, arrow: a bound."));
    return result;
}

}  // namespace tonebath::window
