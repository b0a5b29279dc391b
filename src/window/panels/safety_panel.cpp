#include "window/panels/safety_panel.hpp"

#include "app/studio.hpp"
#include "app/views/safety_view.hpp"
#include "base/quantity_text.hpp"
#include "window/panels/air_gauge.hpp"
#include "window/panels/checks_block.hpp"
#include "window/panels/safety_bottles.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/plot.hpp"
#include "window/widgets/table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

constexpr std::string_view kWanted = "wanted", kAir = "air", kSources = "sources", kLists = "lists", kBottles = "bottles", kBook = "book", kWaste = "waste";

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

// For a line: it ends where it meets the axis.
std::vector<PlotPoint> down_to(const std::vector<app::AirPoint>& points, double low) {
    std::vector<PlotPoint> drawn;
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (points[i].ppm >= low) {
            drawn.push_back({points[i].min, points[i].ppm});
            continue;
        }
        if (i > 0) {
            const double share = std::log(points[i - 1].ppm / low) / std::log(points[i - 1].ppm / std::max(points[i].ppm, low * 1e-9));
            drawn.push_back({std::lerp(points[i - 1].min, points[i].min, share), low});
        }
        break;
    }
    return drawn;
}

PlotView plot_of(const app::AirAnswer& air, double down_to_ppm) {
    PlotView view{.id = "air", .label = "Concentration in the room against minutes"};
    const double low = std::min(down_to_ppm, air.ppm) / 3.0;
    view.x = {.low = 0.0, .high = air.still.back().min, .unit = "min", .most_ticks = 6};
    view.y = {.kind = AxisKind::log,
              .low = low,
              .high = std::max(air.ppm, 100.0) * 1.5,
              .name = "ppm in the room's air",
              .most_ticks = 5};
    PlotLine still{
        .name = "fan off", .points = down_to(air.still, low), .axes_look = true, .words = "fan off, windows shut"};
    still.words_at = still.points[still.points.size() / 2];
    view.lines.push_back(still);
    if (!air.fan_poor.empty()) {
        PlotLine poor{
            .name = "fan on, poorly mixed", .points = down_to(air.fan_poor, low), .words = "fan on, poorly mixed"};
        poor.words_at = poor.points[poor.points.size() * 2 / 5];
        const PlotLine well{.name = "fan on, well mixed", .points = down_to(air.fan_well, low)};
        view.bands.push_back({.name = "fan on", .low = above(air.fan_well, low), .high = above(air.fan_poor, low)});
        view.lines.push_back(poor);
        view.lines.push_back(well);
        if (air.purge_long_min && *air.purge_long_min > 0.0 && *air.purge_long_min <= view.x.high) {
            view.spans.push_back({.x0 = *air.purge_short_min, .x1 = *air.purge_long_min, .y = down_to_ppm});
        }
    }
    for (const app::AirLimit& limit : air.limits) {
        const bool used =
            air.used && air.used->ppm == limit.ppm && air.used->body == limit.body && air.used->kind == limit.kind;
        const bool sitting = limit.average_min && *limit.average_min > 30.0;
        const bool shown = used || limit.body == "AEGL-2" || (limit.body == "OSHA PEL" && limit.kind == "ceiling") ||
                           (sitting && limit.trust == "second-hand" && limit.body == "EU IOELV");
        if (shown) {
            view.limits.push_back({.y = limit.ppm,
                                   .figure = fixed_text(limit.ppm, 0),
                                   .words = limit.words() + (used            ? ": the limit used"
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

class SafetyPage final : public Page {
public:
    [[nodiscard]] PageName name() const override { return PageName::safety; }
    [[nodiscard]] LoopArc arc() const override { return LoopArc::dip; }
    [[nodiscard]] std::string fact() const override { return view_.room_words; }

    void read(app::Studio& studio, const std::shared_ptr<const app::Learned>&) override {
        studio_ = &studio;
        view_ = app::safety_view(studio);
        bottles_.read(studio);
        book_.read(studio);
        waste_.read(studio);
        checks_.read(studio);
        lists_ = app::lists_to_choose(studio);
        read_at_ = studio.now();
    }

    // The room is kept beside the records, and a check lapses by itself.
    void catch_up() override {
        if (studio_ != nullptr && (stale_ || seconds_between(read_at_, studio_->now()) > 10.0)) {
            read(*studio_, nullptr);
            stale_ = false;
        }
    }
    [[nodiscard]] double seconds_to_next_change() const override {
        return checks_.view().holds_until ? 10.0 : std::numeric_limits<double>::infinity();
    }

    void told(const Told& told) override {
        checks_.told(told);
        stale_ = true;
    }

    void draw(Ui& ui, const Glance& glance, Wishes& wishes) override {
        Rect page = page_rect(ui);
        page.cut_top(ui.em(0.75F));
        const std::vector<Option> parts{{.id = std::string(kLists), .label = "Lists"},
                                        {.id = std::string(kBottles), .label = "Bottles"},
                                        {.id = std::string(kAir), .label = "Air"},
                                        {.id = std::string(kSources), .label = "Where the figures are from"},
                                        {.id = std::string(kBook), .label = "Near misses", .note = book_.waiting() == 0 ? "" : std::to_string(book_.waiting())},
                                        {.id = std::string(kWaste), .label = "Waste"}};
        Rect top = page.cut_top(ui.em(2.75F));
        part_ = ui.pressed(Key::s) ? std::string(kSources) : part_;
        choice_segmented(ui, "part", top, "Part of the page", parts, part_);
        page.cut_top(ui.em(0.75F));
        Rect last = page.cut_bottom(ui.em(2.25F));
        ui.paint().text(Type::strong, ui.colour(Role::ink), {last.x0, last.y1 - ui.em(0.5F)},
                        "If it happens: out, door shut behind you, nobody goes back in.");
        if (part_ == kBottles) {
            bottles_.draw(ui, page, glance, wishes);
        } else if (part_ == kBook) {
            book_.draw(ui, page, glance, wishes);
        } else if (part_ == kWaste) {
            waste_.draw(ui, page, glance, wishes);
        } else if (part_ == kLists) {
            draw_lists(ui, page, {top.x1 - ui.em(17.0F), top.y0, top.x1, top.y1}, glance, wishes);
        } else if (part_ == kSources) {
            draw_sources(ui, page);
        } else {
            draw_air(ui, page, glance, wishes);
        }
    }

    [[nodiscard]] std::vector<FootHint> hints() const override {
        return {{.id = std::string(kLists), .cap = "C", .words = "lists", .key = Key::c},
                {.id = std::string(kAir), .cap = "A", .words = "air", .key = Key::a},
                {.id = std::string(kBottles), .cap = "B", .words = "bottles", .key = Key::b},
                {.id = std::string(kBook), .cap = "M", .words = "near misses", .key = Key::m},
                {.id = std::string(kWaste), .cap = "W", .words = "waste", .key = Key::w}};
    }
    void hint_used(std::string_view id, Wishes& wishes) override {
        if (id.find('.') == std::string_view::npos) {
            part_ = std::string(id);
            return;
        }
        stale_ = true;
        WishSheet sheet{.action = std::string(id), .filled = {}};
        static_cast<void>(bottles_.fill(id, sheet.filled) || book_.fill(id, sheet.filled));
        wishes.add(std::move(sheet));
    }
    void show_view(std::string_view view) override {
        for (const std::string_view one : {kAir, kSources, kLists, kBottles, kBook, kWaste}) {
            part_ = one == view ? std::string(one) : part_;
        }
    }

private:
    void draw_air(Ui& ui, Rect page, const Glance& glance, Wishes& wishes) {
        if (!view_.air) {
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
        const Rect right = page.cut_right(ui.em(24.5F));
        page.cut_right(ui.em(1.5F));
        const Rect card = begin_card(ui, page);
        plot(ui, card, plot_of(*view_.air, view_.down_to_ppm), plot_);
        end_card(ui);
        draw_figures(ui, right, *view_.air);
    }

    void draw_figures(Ui& ui, const Rect& place, const app::AirAnswer& air) const {
        const Rect card = begin_card(ui, place);
        Painter& paint = ui.paint();
        float y = card.y0 + ui.em(0.75F);
        section_head(ui, card, y, "Down to " + fixed_text(view_.down_to_ppm, 0) + " ppm", "the longer first");
        y += ui.em(3.0F);
        paint.text(Type::figure, ui.colour(Role::ink), {card.x0, y},
                   air.purge_long_min ? fixed_text(*air.purge_long_min, 0) + " to " +
                                            fixed_text(air.purge_short_min.value_or(0.0), 0) + " min"
                                      : "no figure");
        y += ui.em(1.625F);
        // What the two figures assume stands under them; the other assumptions follow below.
        const auto told = [&](std::string_view begins) {
            std::string words;
            for (const app::AirFact& fact : air.facts) {
                if (fact.what.starts_with(begins)) {
                    words += (words.empty() ? "" : "; ") + fact.what + ", " + fact.how;
                }
            }
            return words;
        };
        y += paint.text_wrapped(Type::label, ui.colour(Role::text), {card.x0, y}, card.w(),
                                told("fan on") + (air.purge_long_min ? "; " : "no flow of a fan; ") + told("mixing"));
        y += ui.em(0.75F);
        paint.text(Type::leads, ui.colour(Role::ink), {card.x0, y},
                   air.purge_still_min ? minutes_words(*air.purge_still_min) : "no figure");
        y += ui.em(1.375F);
        y += paint.text_wrapped(Type::label, ui.colour(Role::text), {card.x0, y}, card.w(), told("fan off"));
        y += ui.em(0.75F);
        paint.text(Type::leads, ui.colour(Role::ink), {card.x0, y}, fixed_text(air.ppm, 1) + " ppm at once");
        y += ui.em(1.375F);
        y += paint.text_wrapped(Type::label, ui.colour(Role::text), {card.x0, y}, card.w(),
                                view_.about + "; " + fixed_text(air.ppm_at_25_c, 1) + " ppm at 25 °C");
        y += ui.em(0.75F);
        y += paint.text_wrapped(Type::strong, ui.colour(Role::look), {card.x0, y}, card.w(), air.at_vessel);
        y += ui.em(0.625F);
        paint.text(Type::strong, ui.colour(Role::ink), {card.x0, y}, "Assumed");
        y += ui.em(1.5F);
        for (const app::AirFact& fact : air.facts) {
            const float room = card.w() - paint.text_width(Type::label, fact.how) - ui.em(0.75F);
            if (fact.what.starts_with("fan") || fact.what.starts_with("mixing")) {
                continue;
            }
            paint.text(Type::label, ui.colour(Role::quiet), {card.x1, y}, fact.how, Align::right);
            y += std::max(paint.text_wrapped(Type::label, ui.colour(Role::text), {card.x0, y}, room, fact.what),
                          ui.em(1.25F));
        }
        paint.text_wrapped(Type::label, ui.colour(Role::ink), {card.x0, card.y1 - ui.em(0.25F)}, card.w(), air.decides);
        end_card(ui);
    }

    void draw_sources(Ui& ui, const Rect& page) {
        const Rect card = begin_card(ui, page);
        std::vector<std::string> lines = view_.air ? view_.air->sources : std::vector<std::string>{view_.why_no_air};
        for (const app::GasEffect& effect : view_.effects) {
            lines.push_back(fmt::format("{}: {} ({}; {}, {})", effect.ppm_words(), effect.effect, effect.bodies, effect.source_words, effect.trust));
        }
        float height = 0.0F;
        for (const std::string& line : lines) {
            height +=
                ui.em(1.5F) * static_cast<float>(ui.paint().wrap(Type::body, card.w() - ui.em(1.0F), line).size()) +
                ui.em(0.25F);
        }
        const Rect inside = begin_scroll(ui, "sources", card, height, scroll_, true);
        float y = inside.y0 + ui.em(1.0F);
        for (const std::string& line : lines) {
            y += ui.paint().text_wrapped(Type::body, ui.colour(Role::text), {inside.x0, y}, card.w() - ui.em(1.0F),
                                         line, Align::left, ui.em(1.5F)) +
                 ui.em(0.25F);
        }
        end_scroll(ui);
        end_card(ui);
    }

    void draw_lists(Ui& ui, Rect page, const Rect& choice, const Glance& glance, Wishes& wishes) {
        const Rect right = page.cut_right(std::min(ui.em(27.0F), page.w() * 0.4F));
        page.cut_right(ui.em(2.0F));
        air_gauge(ui, right, view_);
        std::vector<Option> options{{.id = std::string(kWanted), .label = "What is wanted now"}};
        for (const app::ChecksOther& list : lists_) {
            options.push_back({.id = list.key, .label = list.title});
        }
        if (choice_list(ui, "list", choice, "List", options, list_, list_state_)) {
            checks_.choose({.list = list_ == kWanted ? "" : list_, .bath = {}, .kind = {}});
            stale_ = true;
        }
        checks_.draw(ui, page, glance, wishes);
    }

    app::Studio* studio_ = nullptr;
    app::SafetyView view_;
    BottlesPart bottles_;
    NearMissPart book_;
    WastePart waste_;
    Stamp read_at_;
    bool stale_ = false;
    std::string part_ = std::string(kLists), list_ = std::string(kWanted);
    std::vector<app::ChecksOther> lists_;
    ChoiceState list_state_;
    ChecksBlock checks_;
    PlotState plot_;
    ScrollState scroll_;
};

}  // namespace

std::unique_ptr<Page> make_safety_page() {
    return std::make_unique<SafetyPage>();
}

}  // namespace tonebath::window
