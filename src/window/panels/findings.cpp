#include "window/panels/findings.hpp"

#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "window/panels/planning_block.hpp"
#include "window/widgets/bars.hpp"
#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::window {

namespace {

constexpr float kLine_em = 1.5F;
constexpr float kBar_em = 13.5F;

// Words with a label before them in a column of its own.
struct Line {
    std::string label;
    std::string words;
};

float lines_height(const Ui& ui, float width, const std::vector<Line>& lines) {
    float height = 0.0F;
    for (const Line& line : lines) {
        height += ui.em(kLine_em) * static_cast<float>(ui.paint().wrap(Type::body, width - ui.em(1.75F), line.words).size()) + ui.em(0.375F);
    }
    return height;
}

void draw_lines(Ui& ui, const Rect& r, const std::vector<Line>& lines) {
    float y = r.y0;
    for (const Line& line : lines) {
        ui.paint().text(Type::strong, ui.colour(Role::copper), {r.x0, y + ui.em(1.125F)}, line.label);
        for (const std::string& words : ui.paint().wrap(Type::body, r.w() - ui.em(1.75F), line.words)) {
            ui.paint().text(Type::body, ui.colour(Role::ink), {r.x0 + ui.em(1.75F), y + ui.em(1.125F)}, words);
            y += ui.em(kLine_em);
        }
        y += ui.em(0.375F);
    }
}

PlotView chart_of(const app::DriftView& drift) {
    PlotView view{.id = "drift", .label = "Speed of bath after bath"};
    double top = drift.upper;
    for (const app::DriftMark& mark : drift.marks) {
        view.lines.push_back({.name = mark.name, .points = {{mark.x, mark.low}, {mark.x, mark.high}}, .thin = true});
        view.marks.push_back({.name = mark.name, .points = {{mark.x, mark.speed}}, .filled = mark.outside});
        top = std::max(top, mark.high);
    }
    view.x = {.low = drift.marks.front().x - 1.0, .high = drift.marks.back().x + 1.0, .name = drift.x_name, .most_ticks = 9};
    view.y = {.low = 0.0, .high = 1.1 * top, .name = "speed against what make-up, age and heat should give", .most_ticks = 4, .grid = false};
    const auto limit = [](double y, std::string words, bool below) {
        return PlotLimit{.y = y, .figure = fixed_text(y, 2), .words = std::move(words), .weight = PlotLimit::Weight::context, .words_below = below};
    };
    view.limits = {limit(drift.upper, drift.limit_words, false), limit(drift.lower, "", true)};
    for (const app::DriftStep& step : drift.steps) {
        if (step.from_speed == step.to_speed) {
            view.spans.push_back({.x0 = step.from_x, .x1 = step.to_x, .y = step.from_speed, .words = step.label});
        } else {
            view.lines.push_back({.name = step.label, .points = {{step.from_x, step.from_speed}, {step.to_x, step.to_speed}}, .words = step.label,
                                  .words_at = PlotPoint{step.to_x + 0.8, step.to_speed}});
        }
    }
    return view;
}

void group_bar(Ui& ui, const Rect& place, const app::GroupBar& bar, double widest, bool ranged) {
    Rect rest = place;
    const Rect track = rest.cut_top(ui.em(1.5F));
    signed_bar(ui, track.shrunk(0, ui.em(0.125F)),
               {.value = bar.tones, .widest = widest, .range = ranged ? std::optional(std::pair{bar.low, bar.high}) : std::nullopt,
                .colour = bar.differs ? Role::copper : Role::steel});
    ui.paint().text(bar.differs ? Type::strong : Type::label, ui.colour(Role::ink), {place.mid_x(), rest.y0 + ui.em(1.0F)}, bar.words, Align::centre);
}

}  // namespace

void Findings::lend(app::Reckoner& reckoner) {
    reckoner_ = &reckoner;
    learned_.reset();
    drift_.forget();
    groups_.forget();
    promises_.forget();
    batch_.clear();
    part_.clear();
}

void Findings::read(const std::shared_ptr<const app::Learned>& learned) {
    if (learned != learned_) {
        learned_ = learned;
        drift_stale_ = groups_stale_ = promises_stale_ = true;
    }
}

void Findings::show(std::string_view what) {
    shown_ = what == "drift" || what == "groups" || what == "promises" ? std::string(what) : std::string();
    scroll_ = {};
}

void Findings::set_scale(const std::string& scale) {
    if (scale != scale_) {
        scale_ = scale;
        batch_.clear();
        part_.clear();
        groups_.forget();
        groups_stale_ = true;
    }
}

void Findings::catch_up() {
    if (learned_ && reckoner_ != nullptr) {
        if (shown_ == "drift" && drift_stale_) {
            drift_.ask(*reckoner_, [learned = learned_](app::Studio& studio, const app::StillWanted&) { return app::drift_view(studio, *learned); });
            drift_stale_ = false;
        } else if (shown_ == "groups" && groups_stale_) {
            const app::CompareAsk ask{.by = from_word<app::CompareBy>(by_).value_or(app::CompareBy::who), .batch = batch_, .part = part_, .scale = scale_};
            groups_.ask(*reckoner_, [learned = learned_, ask](app::Studio& studio, const app::StillWanted&) { return app::groups_view(studio, *learned, ask); });
            groups_stale_ = false;
        } else if (shown_ == "promises" && promises_stale_) {
            promises_.ask(*reckoner_, [learned = learned_](app::Studio& studio, const app::StillWanted& wanted) { return app::marks_view(studio, *learned, wanted); },
                          app::Pace::slow);
            promises_stale_ = false;
        }
    }
    drift_.look();
    groups_.look();
    promises_.look();
}

void Findings::draw(Ui& ui, const Rect& r) {
    if (shown_ == "drift") {
        draw_drift(ui, r);
    } else if (shown_ == "groups") {
        draw_groups(ui, r);
    } else {
        draw_promises(ui, r);
    }
}

void Findings::draw_drift(Ui& ui, const Rect& r) {
    const app::DriftView* drift = drift_.latest();
    if (drift == nullptr) {
        words_card(ui, r, "Working it out …");
        return;
    }
    Rect card = begin_card(ui, r);
    section_head(ui, card, card.y0 + ui.em(0.75F), "Drift from bath to bath", drift->marks.empty() ? "" : "lines: 80 of 100; filled: beyond the limits");
    card.cut_top(ui.em(1.75F));
    std::vector<Line> lines;
    if (!drift->words.empty()) {
        lines.push_back({"", drift->words});
    }
    for (const app::DriftStep& step : drift->steps) {
        lines.push_back({step.label, step.words});
    }
    for (const std::string& words : drift->metals) {
        lines.push_back({"?", words});
    }
    if (!drift->marks.empty()) {
        const float words_h = std::min(lines_height(ui, card.w() - ui.em(1.0F), lines) + ui.em(0.5F), card.h() * 0.5F);
        Rect chart = card.cut_top(std::max(ui.em(9.0F), card.h() - words_h));
        chart.cut_left(ui.em(0.75F));
        plot(ui, chart, chart_of(*drift), plot_);
        card.cut_top(ui.em(0.5F));
    }
    const Rect content = begin_scroll(ui, "drift words", card, lines_height(ui, card.w() - ui.em(1.0F), lines), scroll_, true);
    draw_lines(ui, content, lines);
    end_scroll(ui);
    end_card(ui);
}

void Findings::draw_groups(Ui& ui, Rect r) {
    r.cut_top(ui.em(1.0F));  // for the names over the lists
    Rect choices = r.cut_top(ui.em(2.625F));
    if (choice_segmented(ui, "by", choices.cut_left(ui.em(18.5F)), "Compare by",
                         {{.id = "who", .label = "Who"}, {.id = "lot", .label = "Lot"}, {.id = "batch", .label = "Batch"}, {.id = "rack", .label = "Rack"}}, by_)) {
        groups_stale_ = true;
    }
    const app::GroupsView* groups = groups_.latest();
    if (groups != nullptr) {
        const auto options = [](const std::vector<std::string>& all, const std::string& every, const std::string& word) {
            std::vector<Option> out{{.id = "all", .label = every}};
            for (const std::string& one : all) {
                out.push_back({.id = "one " + one, .label = word + one});
            }
            return out;
        };
        const auto chosen_of = [](const std::string& name) { return name.empty() ? std::string("all") : "one " + name; };
        const auto name_of = [](const std::string& chosen) { return chosen == "all" ? std::string() : chosen.substr(4); };
        std::string batch = chosen_of(batch_);
        if (choice_list(ui, "batch", choices.cut_left(ui.em(10.0F)), "Of which batch", options(groups->batches, "every batch", "batch "), batch, batch_list_)) {
            batch_ = name_of(batch);
            groups_stale_ = true;
        }
        choices.cut_left(ui.em(0.75F));
        std::string part = chosen_of(part_);
        if (groups->parts.size() > 1 && choice_list(ui, "part", choices.cut_left(ui.em(10.0F)), "Which part", options(groups->parts, "every part", ""), part, part_list_)) {
            part_ = name_of(part);
            groups_stale_ = true;
        }
    }
    r.cut_top(ui.em(0.75F));
    if (groups == nullptr) {
        words_card(ui, r, "Working it out …");
        return;
    }
    Rect card = begin_card(ui, r);
    section_head(ui, card, card.y0 + ui.em(0.75F), groups->scale.empty() ? "Groups side by side" : "On " + groups->scale, "in tones: left lighter, right further");
    card.cut_top(ui.em(1.5F));
    const float bar_w = ui.em(kBar_em);
    const auto columns = [&](const Rect& row) {
        return std::pair{Rect{row.x1 - 2 * bar_w - ui.em(1.5F), row.y0, row.x1 - bar_w - ui.em(1.5F), row.y1}, Rect{row.x1 - bar_w, row.y0, row.x1, row.y1}};
    };
    std::vector<float> heights;
    float height = ui.em(2.0F);
    for (const app::GroupRow& row : groups->rows) {
        const auto lines = row.also.empty() ? 0 : ui.paint().wrap(Type::label, card.w() - ui.em(1.0F), row.also).size();
        heights.push_back(ui.em(3.5F) + ui.em(kLine_em) * static_cast<float>(lines) + ui.em(0.5F));
        height += heights.back();
    }
    const Rect content = begin_scroll(ui, "groups", card, height, scroll_, true);
    Rect rest = content;
    if (groups->rows.empty()) {
        ui.paint().text_wrapped(Type::body, ui.colour(Role::text), {rest.x0, rest.y0 + ui.em(1.5F)}, rest.w(), groups->none);
    } else {
        const Rect head = rest.cut_top(ui.em(2.0F));
        const auto [raw, equal] = columns(head);
        ui.paint().text(Type::label, ui.colour(Role::quiet), {raw.mid_x(), head.y0 + ui.em(1.25F)}, "as they look", Align::centre);
        ui.paint().text(Type::label, ui.colour(Role::quiet), {equal.mid_x(), head.y0 + ui.em(1.25F)}, "at equal dose, 80 of 100", Align::centre);
    }
    for (std::size_t i = 0; i < groups->rows.size(); ++i) {
        const app::GroupRow& row = groups->rows[i];
        Rect place = rest.cut_top(heights[i]);
        divider(ui, place.x0, place.x1, place.y0);
        place.cut_top(ui.em(0.25F));
        const Rect top = place.cut_top(ui.em(3.25F));
        const auto [raw, equal] = columns(top);
        const float name_w = raw.x0 - top.x0 - ui.em(1.0F);
        ui.paint().text(Type::strong, ui.colour(Role::ink), {top.x0, top.y0 + ui.em(1.25F)}, ui.paint().ellipsis(Type::strong, name_w, row.head));
        ui.paint().text(Type::label, ui.colour(Role::text), {top.x0, top.y0 + ui.em(2.5F)}, row.note);
        group_bar(ui, raw, row.raw, groups->widest, false);
        group_bar(ui, equal, row.equal, groups->widest, true);
        ui.paint().text_wrapped(Type::label, ui.colour(Role::text), {place.x0, place.y0 + ui.em(0.875F)}, place.w(), row.also, Align::left, ui.em(kLine_em));
    }
    end_scroll(ui);
    end_card(ui);
}

void Findings::draw_promises(Ui& ui, const Rect& r) {
    const app::MarksView* marks = promises_.latest();
    if (marks == nullptr) {
        words_card(ui, r, "Reckoning … Each promise is made again from what was on record before its dip. That takes some seconds; everything else goes on.");
        return;
    }
    Rect rest = r;
    Rect card = begin_card(ui, rest.cut_top(ui.em(marks->seen > 0 ? 8.5F : 5.0F)));
    section_head(ui, card, card.y0 + ui.em(0.75F), "Promises kept", marks->seen > 0 ? "the program's marks for itself" : "");
    card.cut_top(ui.em(1.25F));
    if (marks->seen > 0) {
        const Rect row = card.cut_top(ui.em(2.0F));
        interval_row(ui, row, row.x0 + ui.em(10.0F), row.x1 - ui.em(11.0F),
                     {.before = fmt::format("{} of {} inside", marks->inside, marks->seen),
                      .after = fmt::format("{} to {} in 100", fixed_text(100.0 * marks->low, 0), fixed_text(100.0 * marks->high, 0)), .low = marks->low, .high = marks->high,
                      .share = static_cast<double>(marks->inside) / static_cast<double>(marks->seen), .seen = static_cast<int>(marks->seen)});
    }
    ui.paint().text_wrapped(Type::label, ui.colour(Role::ink), {card.x0, card.y0 + ui.em(1.125F)}, card.w(), marks->words + " " + marks->verdict, Align::left, ui.em(1.375F));
    end_card(ui);
    rest.cut_top(ui.em(0.75F));
    if (marks->seen == 0) {
        return;
    }
    app::PlanningView table{.head = "Piece by piece", .note = "outside first", .words = {marks->not_counted},
                            .columns = {"Piece", "Dipped, bath", "Promised", "Became", ""}};
    if (marks->more > 0) {
        table.words.front() += fmt::format(" Not listed: {} more.", marks->more);
    }
    for (const app::MarksRow& row : marks->rows) {
        table.rows.push_back({.id = row.what, .cells = {row.what, row.when + ", " + row.bath, row.promised, row.became, row.mark}});
    }
    planning_block(ui, rest, "promises", table, scroll_);
}

}  // namespace tonebath::window
