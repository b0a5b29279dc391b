#include "app/paper/bench_card.hpp"

#include "app/checks.hpp"
#include "app/studio.hpp"
#include "app/tone_span.hpp"
#include "app/views/baths_view.hpp"
#include "app/views/scales_view.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "report/writers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kStep_c = 3.0;        // ours
constexpr double kUsualBath_c = 55.0;  // ours: where no temperature is known, the table stands around this one
constexpr std::size_t kMostRows = 7;
constexpr std::size_t kFewestRows = 2;

std::string seconds(double value) {
    return text_of(Seconds::from_seconds(value));
}

// "38 to 42 s", "1:50 to 2:10".
std::string range(double low_s, double high_s) {
    const std::string high = seconds(high_s);
    std::string low = seconds(low_s);
    if (low.ends_with(" s") && high.ends_with(" s")) {
        low.resize(low.size() - 2);
    }
    return low + " to " + high;
}

// The hottest first, as a bath cools: two steps above the bath, the rest below.
report::Table times_by_temperature(Studio& studio, const Learned& learned, PlanRequest request, double bath_c) {
    report::Table table{.name = "Out at, by the thermometer", .head = {"thermometer", "out at", "aim"}, .arms_length = true};
    const double hottest_c = std::round(bath_c) + 2.0 * kStep_c;
    for (std::size_t row = 0; row < kMostRows; ++row) {
        request.temp_c = hottest_c - kStep_c * static_cast<double>(row);
        const Plan at = plan(studio, learned, request);
        table.rows.push_back({fixed_text(*request.temp_c, 0) + " °C", at.refusal ? "not told" : seconds(*at.out_s),
                              at.refusal ? "" : range(*at.aim_low_s, *at.aim_high_s)});
    }
    return table;
}

// Leaves out the far ends, the hottest and the coldest by turns, until the card is one page.
void fit_one_page(report::Report& card, std::size_t table_at, report::PaperSize size) {
    auto& rows = std::get<report::Table>(card.blocks[table_at]).rows;
    bool hottest = false;
    while (rows.size() > kFewestRows && report::pages_of(card, size) > 1) {
        rows.erase(hottest ? rows.begin() : rows.end() - 1);
        hottest = !hottest;
    }
}

report::Strip strip_of(const ScaleView& scale, const Id<Tone>& aim) {
    report::Strip strip{.bare_colour = scale.bare_colour};
    for (const ScaleTone& tone : scale.tones) {
        if (tone.id == aim) {
            strip.aim = static_cast<int>(strip.tones.size());
        }
        strip.tones.push_back({tone.word, tone.colour});
    }
    return strip;
}

report::Facts facts_of(const BathPortrait& bath, const Plan& plan) {
    report::Facts facts;
    facts.facts = {{"make-up", bath.title}, {"vessel", bath.line}};
    if (bath.temp_now_c) {
        facts.facts.push_back({"bath now", fixed_text(*bath.temp_now_c, 1) + " °C" +
                                               (bath.fade_words.empty() ? "" : ", " + bath.fade_words)});
    }
    if (bath.throw_by) {
        facts.facts.push_back({"throw by", date_time_text(*bath.throw_by)});
    }
    facts.facts.push_back({"this piece may land", tone_span(plan.lands_from, plan.lands_to)});
    facts.facts.push_back({"rests on", joined(plan.rests_on, ", ")});
    return facts;
}

// The stops of every list that holds this bath back, as it stands now; what no list asks is not made up.
report::Cautions cautions_of(Studio& studio, const Bath& bath) {
    report::Cautions cautions;
    std::string ends_in;
    const CheckAbout about = about_bath(studio, bath);
    for (const Checklist& list : studio.checklists().lists) {
        if (!list.holds(Gate::start_bath) || !asks_of(list, studio.finish_kind(bath.finish_kind))) {
            continue;
        }
        const CheckState check = list_state(studio, list, about);
        cautions.lines.push_back(fmt::format("{}: {}", check.title, check.words));
        for (const ItemState& state : check.items) {
            if (state.item.level == CheckLevel::stop) {
                cautions.lines.push_back("Stop unless: " + state.item.text);
            }
        }
        ends_in = check.ends_in;
    }
    if (cautions.lines.empty()) {
        cautions.lines.emplace_back("No list is asked for this finish.");
    } else {
        cautions.lines.push_back(std::move(ends_in));
    }
    return cautions;
}

}  // namespace

Result<report::Report> bench_card(Studio& studio, const Learned& learned, const PlanRequest& request,
                                  report::PaperSize size) {
    const Plan now = plan(studio, learned, request);
    if (now.refusal) {
        return *now.refusal;
    }
    const auto bath = bath_portrait(studio, request.bath_id, laws_of(learned));
    const std::vector<ScaleView> scales = scales_view(studio);
    const auto scale = std::ranges::find(scales, request.scale_id, &ScaleView::id);
    TB_CHECK(bath && scale != scales.end());  // the plan knew both
    const auto tone = std::ranges::find(scale->tones, request.tone_id, &ScaleTone::id);
    TB_CHECK(tone != scale->tones.end());

    const std::string number = bath->history.bath.number;
    report::Report card{.kind = "bench card",
                        .title = fmt::format("{}: {}, bath {}", scale->name, tone->word, number),
                        .line = studio.demo() ? "Invented demo studio" : "",
                        .foot = fmt::format("Bench card of bath {} · the times hold for this bath, this day", number),
                        .made_at = studio.now()};
    card.blocks.push_back(strip_of(*scale, request.tone_id));
    report::Figures figures{{{"out at", seconds(*now.out_s), "aim " + range(*now.aim_low_s, *now.aim_high_s)}}};
    if (now.look_s) {
        figures.figures.push_back({"look from", seconds(*now.look_s), "pull early rather than late"});
    }
    if (now.dose_s) {
        figures.figures.push_back({"equal to", seconds(*now.dose_s), "at 60 °C, fresh"});
    }
    card.blocks.push_back(std::move(figures));
    const double bath_c = bath->temp_now_c.value_or(kUsualBath_c);
    const std::size_t table_at = card.blocks.size();
    card.blocks.push_back(times_by_temperature(studio, learned, request, bath_c));
    card.blocks.push_back(facts_of(*bath, now));
    card.blocks.push_back(cautions_of(studio, bath->history.bath));
    fit_one_page(card, table_at, size);
    return card;
}

}  // namespace tonebath::app
