#include "window/panels/safety_air.hpp"

#include "app/studio.hpp"
#include "base/air_quantity.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

constexpr std::string_view kSitting = "sitting", kEvening = "evening", kMeasured = "measured", kHood = "hood", kWinter = "winter";

std::string minutes_words(double min) {
    return min < 180.0 ? fixed_text(min, 0) + " min" : "over " + fixed_text(std::floor(min / 60.0), 0) + " hours";
}

// For a band: what lies below the axis lies on it.
std::vector<PlotPoint> above(const std::vector<app::AirPoint>& points, double low) {
    std::vector<PlotPoint> drawn;
    for (const app::AirPoint& point : points) {
        drawn.push_back({point.min, std::max(point.ppm, low)});
    }
    return drawn;
}

// Where the straight line (on a log axis) between two points meets the level.
PlotPoint meets(const app::AirPoint& one, const app::AirPoint& other, double level) {
    if (one.ppm <= 0.0 || other.ppm <= 0.0) {  // begins from nothing
        return {std::lerp(one.min, other.min, (level - one.ppm) / (other.ppm - one.ppm)), level};
    }
    return {std::lerp(one.min, other.min, std::log(level / one.ppm) / std::log(other.ppm / one.ppm)), level};
}

// For a line: it begins and ends where it meets the axis.
std::vector<PlotPoint> within(const std::vector<app::AirPoint>& points, double low) {
    std::vector<PlotPoint> drawn;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const bool in = points[i].ppm >= low;
        if (i > 0 && in != (points[i - 1].ppm >= low)) {
            drawn.push_back(meets(points[i - 1], points[i], low));
        }
        if (in) {
            drawn.push_back({points[i].min, points[i].ppm});
        }
    }
    return drawn;
}

PlotView plot_of(const app::AirAnswer& air, double down_to_ppm) {
    PlotView view{.id = "air", .label = "Concentration in the room against minutes"};
    constexpr double kAboveLine = 1.18;  // times: words stand clear of their line on the log axis
    const double low = std::min(down_to_ppm, std::min(air.ppm, air.highest_fan_ppm.value_or(air.ppm))) / 3.0;
    view.x = {.low = 0.0, .high = air.still.back().min, .unit = "min", .most_ticks = 6};
    view.y = {.kind = AxisKind::log, .low = low, .high = std::max({air.ppm, 100.0, air.used ? air.used->ppm : 0.0, air.used_mean ? air.used_mean->ppm : 0.0}) * 1.5, .name = "ppm in the room's air", .most_ticks = 5};
    PlotLine still{.name = "fan off", .points = within(air.still, low), .axes_look = true, .words = "fan off, windows shut"};
    still.words_at = still.points[still.points.size() / 2];
    view.lines.push_back(still);
    if (!air.fan_poor.empty()) {
        PlotLine poor{.name = "fan on, poorly mixed", .points = within(air.fan_poor, low), .words = "fan on, poorly mixed"};
        if (!poor.points.empty()) {
            poor.words_at = poor.points[poor.points.size() * 2 / 5];
            poor.words_at->y *= kAboveLine;
        }
        const PlotLine well{.name = "fan on, well mixed", .points = within(air.fan_well, low)};
        view.bands.push_back({.name = "fan on", .low = above(air.fan_well, low), .high = above(air.fan_poor, low)});
        view.lines.push_back(poor);
        view.lines.push_back(well);
        if (air.purge_long_min && *air.purge_long_min > 0.0 && *air.purge_long_min <= view.x.high) {
            view.spans.push_back({.x0 = *air.purge_short_min, .x1 = *air.purge_long_min, .y = down_to_ppm});
        }
    }
    for (const app::AirLimit& limit : air.limits) {
        const auto same = [&](const std::optional<app::AirLimit>& one) { return one && one->ppm == limit.ppm && one->body == limit.body && one->kind == limit.kind; };
        const bool used = same(air.used);
        const bool used_mean = same(air.used_mean);
        const bool sitting = limit.average_min && *limit.average_min > 30.0;
        const bool shown = used || used_mean || limit.body == "AEGL-2" || (limit.body == "OSHA PEL" && limit.kind == "ceiling") ||
                           (sitting && limit.trust == "second-hand" && limit.body == "EU IOELV");
        if (shown) {
            view.limits.push_back({.y = limit.ppm,
                                   .figure = fixed_text(limit.ppm, 0),
                                   .words = limit.words() + (used            ? ": the limit used"
                                                             : used_mean     ? ": held against the mean"
                                                             : limit.context ? ": context, not a limit"
                                                             : sitting       ? ": for a sitting"
                                                                             : ""),
                                   .weight = used                       ? PlotLimit::Weight::used
                                             : limit.context || sitting ? PlotLimit::Weight::context
                                                                        : PlotLimit::Weight::plain,
                                   .words_below = sitting});
        }
    }
    return view;
}

// A figure of the answer and what it assumes.
struct Figure {
    std::string big, words;
};

// What is assumed of the fan or the mixing, as it was told.
std::string assumed(const app::AirAnswer& air, std::string_view begins) {
    std::string words;
    for (const app::AirFact& fact : air.facts) {
        if (fact.what.starts_with(begins)) {
            words += (words.empty() ? "" : "; ") + fact.what + ", " + fact.how;
        }
    }
    return words;
}

std::vector<Figure> figures_of(const app::AirAnswer& air, const std::string& about) {
    const std::string by_fan = assumed(air, "fan on") + (air.air_changes ? "; " : "no flow of a fan; ") + assumed(air, "mixing");
    const std::string of_all = about + (air.measured ? "" : "; " + fixed_text(air.ppm_at_25_c, 1) + " ppm at 25 °C");
    if (!air.mean_ppm) {
        return {{air.purge_long_min ? fixed_text(*air.purge_long_min, 0) + " to " + fixed_text(air.purge_short_min.value_or(0.0), 0) + " min" : "no figure", by_fan},
                {air.purge_still_min ? minutes_words(*air.purge_still_min) : "no figure", assumed(air, "fan off")},
                {fixed_text(air.ppm, 1) + (air.measured ? " ppm by the meter" : " ppm at once"), of_all}};
    }
    std::vector<Figure> all{{fixed_text(air.ppm, 1) + " ppm", "at the highest, fan off; " + of_all}};
    if (air.lel_percent) {
        all.push_back({fixed_text(*air.lel_percent, 1) + " % of the lower explosive limit", "heavier than air, it gathers low"});
    }
    all.push_back({fixed_text(*air.mean_ppm, 2) + " ppm over 8 h", "fan off" + (air.mean_fan_ppm ? "; fan on, poorly mixed, " + fixed_text(*air.mean_fan_ppm, 2) + " ppm" : std::string())});
    if (air.highest_fan_ppm) {
        all.push_back({fixed_text(*air.highest_fan_ppm, 1) + " ppm, fan on", "poorly mixed; " + by_fan});
    }
    return all;
}

std::string held_against(const app::AirAnswer& air) {
    std::string words = air.used ? fmt::format("Held against {} ppm: {}.", fixed_text(air.used->ppm, 0), air.used->words()) : "No limit is held against it.";
    return words + (air.used_mean ? fmt::format(" The mean against {} ppm: {}.", fixed_text(air.used_mean->ppm, 0), air.used_mean->words()) : "");
}

}  // namespace

void AirPart::read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned) {
    studio_ = &studio;
    view_ = app::safety_view(studio);
    solvents_ = app::solvent_names(studio);
    solvent_ = solvent_.empty() && !solvents_.empty() ? solvents_.front() : solvent_;
    winter_.read(studio, learned);
    stale_ = true;
}

bool AirPart::cools() const { return question_ == kWinter; }

void AirPart::turn(bool to_winter) { show(to_winter ? kWinter : kAcid); }

void AirPart::show(std::string_view question) {
    for (const std::string_view one : {kAcid, kSitting, kEvening, kMeasured, kHood, kWinter}) {
        if (one == question) {
            question_ = std::string(one);
            stale_ = true;
        }
    }
}

void AirPart::catch_up(bool shown) {
    winter_.catch_up(shown && cools());
    if (shown && stale_ && studio_ != nullptr) {
        stale_ = false;
        reckon();
    }
}

void AirPart::reckon() {
    told_.reset();
    hood_.reset();
    refusal_.reset();
    const auto typed = [this](Field field) { return std::string(trimmed(fields_[field].text())); };
    if (question_ == kHood) {
        const auto ranges = app::read_air_speeds(studio_->options().data / "air_speeds.csv");
        const auto ask = app::hood_asked(*studio_, {.opening = typed(opening), .flow = typed(flow), .speed = typed(speed), .distance = typed(distance)});
        const auto hood = !ranges ? Result<app::HoodAnswer>(ranges.error()) : !ask ? Result<app::HoodAnswer>(ask.error()) : app::hood_of(*ask, *ranges);
        if (hood) {
            hood_ = *hood;
        } else {
            refusal_ = hood.error();
        }
        return;
    }
    if (question_ == kAcid || question_ == kWinter) {
        return;
    }
    const app::AirQuestion question = question_ == kSitting ? app::AirQuestion::sitting : question_ == kEvening ? app::AirQuestion::evening : app::AirQuestion::measured;
    const auto told = app::air_as_typed(*studio_, question, {.hours = typed(hours), .solvent = solvent_, .ml = typed(ml), .min = typed(minutes), .ppm = typed(ppm)});
    if (told) {
        told_ = *told;
    } else {
        refusal_ = told.error();
    }
}

void AirPart::draw(Ui& ui, Rect page, const Glance& glance, Wishes& wishes) {
    const std::vector<Option> questions{{.id = std::string(kAcid), .label = "If acid met the bath"}, {.id = std::string(kSitting), .label = "Sitting"},
                                        {.id = std::string(kEvening), .label = "Lacquer evening"}, {.id = std::string(kMeasured), .label = "Meter"},
                                        {.id = std::string(kHood), .label = "Hood"}, {.id = std::string(kWinter), .label = "A colder room"}};
    const float right_em = cools() ? kWinterRight_em : 24.5F;
    const Rect strip{page.x0, page.y0, page.x1 - ui.em(right_em + 1.5F), page.y0 + ui.em(kStrip_em)};
    const std::string before = question_;
    if (ui.width() != Width::narrow) {
        choice_segmented(ui, "air part", strip, "What is asked of the air", questions, question_);
    } else {
        // Its name stands above it.
        choice_list(ui, "air part", {strip.x0, strip.y0 + ui.em(0.8F), strip.x0 + ui.em(17.0F), strip.y1 + ui.em(0.7F)}, "What is asked of the air", questions, question_, question_list_);
    }
    stale_ = stale_ || before != question_;
    if (cools()) {
        winter_.draw(ui, page, glance, wishes);
        return;
    }
    if (question_ == kAcid && !view_.air) {
        page.cut_top(ui.em(kStrip_em + 0.75F));
        const EmptyView empty{.id = "no air",
                              .scale = &ui.look().silver,
                              .fact = view_.has_room ? "No figure for the air." : "No room is written down.",
                              .todo = view_.has_room ? view_.why_no_air : "Its size and its fan make the figures.",
                              .button = glance.read_only || view_.has_room ? "" : "Write down the room",
                              .key = Key::r,
                              .copper = true};
        if (empty_state(ui, page.centred(std::min(page.w(), ui.em(58.0F)), ui.em(8.0F)), empty)) {
            wishes.add(WishSheet{.action = "room.set"});
        }
        return;
    }
    Rect right = page.cut_right(ui.em(right_em));
    page.cut_right(ui.em(1.5F));
    page.cut_top(ui.em(kStrip_em + 0.75F));
    if (question_ == kAcid) {
        draw_answer(ui, page, right, *view_.air, view_.about, view_.down_to_ppm);
        return;
    }
    const bool two_rows = question_ == kHood || question_ == kEvening;
    draw_fields(ui, right.cut_top((field_name_height(ui) + field_height(ui) + ui.em(0.75F)) * (two_rows ? 2.0F : 1.0F) + ui.em(2.0F)));
    right.cut_top(ui.em(0.75F));
    if (refusal_) {
        words_card(ui, page, refusal_->text());
        words_card(ui, right, "At the vessel it is far higher and not computed. Smell is no guide.");
    } else if (hood_) {
        draw_hood(ui, page, right);
    } else if (told_) {
        draw_answer(ui, page, right, told_->answer, told_->about, told_->down_to_ppm);
    }
}

void AirPart::draw_fields(Ui& ui, Rect place) {
    struct Spec {
        Field field;
        const char* id;
        const char* label;
        const char* unit;
        const char* empty;
        FieldKind kind = FieldKind::number;
    };
    const std::vector<Spec> specs = question_ == kSitting    ? std::vector<Spec>{{hours, "hours", "It comes off over", "h", "2"}}
                                    : question_ == kMeasured ? std::vector<Spec>{{ppm, "ppm", "The meter shows", "ppm", "type it"}}
                                    : question_ == kHood
                                        ? std::vector<Spec>{{opening, "opening", "Opening", "", "of the room", FieldKind::text}, {flow, "flow", "Flow", "", "of the room", FieldKind::text},
                                                            {speed, "speed", "Or speed at its face", "", "not measured", FieldKind::text}, {distance, "distance", "From it to the bath", "", "of the room", FieldKind::text}}
                                        : std::vector<Spec>{{ml, "ml", "Dries off", "", "3 ml", FieldKind::text}, {minutes, "minutes", "In", "min", "45"}};
    Rect card = begin_card(ui, place, Role::slab, 1.0F);
    if (question_ == kEvening) {
        std::vector<Option> options;
        for (const std::string& name : solvents_) {
            options.push_back({.id = name, .label = name, .note = {}, .refused = {}});
        }
        card.cut_top(field_name_height(ui));
        if (choice_list(ui, "solvent", card.cut_top(field_height(ui)), "Solvent of the lacquer", options, solvent_, solvent_list_)) {
            stale_ = true;
        }
        card.cut_top(ui.em(0.75F));
    }
    for (std::size_t i = 0; i < specs.size(); i += 2) {
        card.cut_top(field_name_height(ui));
        const std::vector<Rect> boxes = card.cut_top(field_height(ui)).columns(2, ui.em(0.75F));
        card.cut_top(ui.em(0.75F));
        for (std::size_t j = i; j < std::min(i + 2, specs.size()); ++j) {
            const Spec& spec = specs[j];
            const FieldResult typed = field(ui, spec.id, boxes[j - i], {.label = spec.label, .unit = spec.unit, .empty = spec.empty, .kind = spec.kind}, fields_[spec.field]);
            stale_ = stale_ || typed.changed;
        }
    }
    end_card(ui);
}

void AirPart::draw_answer(Ui& ui, Rect page, const Rect& right, const app::AirAnswer& air, const std::string& about, double down_to_ppm) {
    const Rect card = begin_card(ui, page);
    plot(ui, card, plot_of(air, down_to_ppm), plot_);
    end_card(ui);
    draw_figures(ui, right, air, about, down_to_ppm);
}

void AirPart::draw_figures(Ui& ui, const Rect& place, const app::AirAnswer& air, const std::string& about, double down_to_ppm) {
    Rect card = begin_card(ui, place);
    Painter& paint = ui.paint();
    // Always in view: what is not computed, and who decides.
    const float warned = ui.em(1.25F) * static_cast<float>(paint.wrap(Type::strong, card.w(), air.at_vessel).size());
    const Rect last = card.cut_bottom(warned + ui.em(2.5F));
    const Rect inside = begin_scroll(ui, "figures", card, figures_h_, figures_scroll_);
    const float w = inside.w();
    float y = inside.y0 + ui.em(1.125F);
    section_head(ui, {inside.x0, inside.y0, inside.x1, card.y1}, y, air.mean_ppm ? "In the room's air" : "Down to " + fixed_text(down_to_ppm, 0) + " ppm",
                 air.mean_ppm ? "the highest first" : "the longer first");
    y += ui.em(3.0F);
    bool first = true;
    for (const Figure& one : figures_of(air, about)) {
        y += first ? 0.0F : ui.em(0.75F);
        paint.text(first ? Type::figure : Type::leads, ui.colour(Role::ink), {inside.x0, y}, one.big);
        y += ui.em(first ? 1.625F : 1.375F);
        y += paint.text_wrapped(Type::label, ui.colour(Role::text), {inside.x0, y}, w, one.words);
        if (first && air.mean_ppm) {
            y += paint.text_wrapped(Type::label, ui.colour(Role::ink), {inside.x0, y}, w, held_against(air));
        }
        first = false;
    }
    y += ui.em(0.75F);
    paint.text(Type::strong, ui.colour(Role::ink), {inside.x0, y}, "Assumed");
    y += ui.em(1.5F);
    for (const app::AirFact& fact : air.facts) {
        const float room = w - paint.text_width(Type::label, fact.how) - ui.em(0.75F);
        if (!air.mean_ppm && (fact.what.starts_with("fan") || fact.what.starts_with("mixing"))) {
            continue;  // said under the figures
        }
        paint.text(Type::label, ui.colour(Role::quiet), {inside.x1, y}, fact.how, Align::right);
        y += std::max(paint.text_wrapped(Type::label, ui.colour(Role::text), {inside.x0, y}, room, fact.what), ui.em(1.25F));
    }
    figures_h_ = y - inside.y0;
    end_scroll(ui);
    paint.text_wrapped(Type::strong, ui.colour(Role::look), {last.x0, last.y0 + ui.em(1.5F)}, last.w(), air.at_vessel, Align::left, ui.em(1.25F));
    paint.text_wrapped(Type::label, ui.colour(Role::ink), {last.x0, last.y1 - ui.em(0.25F)}, last.w(), air.decides);
    end_card(ui);
}

void AirPart::draw_hood(Ui& ui, const Rect& place, const Rect& right) {
    const Rect card = begin_card(ui, place);
    Painter& paint = ui.paint();
    const Rect inside = begin_scroll(ui, "hood", card, hood_h_, hood_scroll_);
    const float w = inside.w() - ui.em(0.5F);
    float y = inside.y0 + ui.em(1.125F);
    const auto block = [&](const std::string& head, const std::string& note, double speed_m_s, const std::vector<app::SpeedHeld>& all) {
        section_head(ui, {inside.x0, y, inside.x1, card.y1}, y, head, note);
        y += ui.em(3.0F);
        paint.text(Type::figure, ui.colour(Role::ink), {inside.x0, y}, air_speed_text(speed_m_s));
        y += ui.em(1.75F);
        for (const app::SpeedHeld& one : all) {
            draw_mark(ui, one.stands == app::SpeedStands::within ? Mark::done : Mark::look, {inside.x0 + ui.em(0.5F), y - ui.em(0.3125F)}, ui.em(0.5F));
            y += paint.text_wrapped(Type::body, ui.colour(Role::text), {inside.x0 + ui.em(1.625F), y}, w - ui.em(1.625F),
                                    one.words + (one.flow_for_low_m3_h && one.stands == app::SpeedStands::below ? ": from " + air_flow_text(*one.flow_for_low_m3_h) : ""), Align::left, ui.em(1.5F)) +
                 ui.em(0.25F);
        }
        y += ui.em(1.5F);
    };
    block("In its face", air_flow_text(hood_->flow_m3_h) + " through " + opening_text(hood_->area_m2), hood_->face_m_s, hood_->face);
    if (hood_->capture_m_s) {
        block("At the bath", distance_text(*hood_->distance_m) + " in front of it, by a formula from memory", *hood_->capture_m_s, hood_->capture);
    } else {
        y += paint.text_wrapped(Type::body, ui.colour(Role::text), {inside.x0, y}, w, "How far the bath stands from it is not known: type it, and the speed there is told.");
    }
    hood_h_ = y - inside.y0;
    end_scroll(ui);
    end_card(ui);
    words_card(ui, right, joined(hood_->notes, " ") + " " + hood_->decides);
}

}  // namespace tonebath::window
