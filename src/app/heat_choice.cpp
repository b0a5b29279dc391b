#include "app/heat_choice.hpp"

#include "app/circumstances.hpp"
#include "app/course.hpp"
#include "app/learned.hpp"
#include "app/plan_course.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/lane_rounds.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr std::array<double, 6> kHeats_c{40.0, 45.0, 50.0, 55.0, 60.0, 65.0};
constexpr std::array<double, 4> kMakeUps{0.5, 1.0, 1.5, 2.0};
constexpr double kHandError_s = 1.5;  // ours: how exactly a hand lifts a piece at a cue
constexpr double kNearlyAsSure = 0.02;  // chances of landing that differ by less count as equal: the wider window decides
constexpr double kLastToneWide = 2.0;  // the last tone has no end: its window is counted to twice the time at which it comes

Refusal no_choice(std::string code, std::string message, std::string remedy) {
    return {.code = std::move(code), .field = "plan", .value = {}, .message = std::move(message), .remedy = std::move(remedy), .answers = {}};
}

class Chooser {
public:
    Chooser(Studio& studio, const Learned& learned, const HeatAsk& ask) : studio_(studio), learned_(learned), ask_(ask) {}

    HeatChoice choose() {
        if (!prepare()) {
            return std::move(choice_);
        }
        for (const double temp_c : kHeats_c) {
            for (const double make_up : kMakeUps) {
                add_cell(temp_c, make_up);
            }
        }
        pick();
        return std::move(choice_);
    }

private:
    bool prepare() {
        history_ = bath_history(studio_.log(), ask_.like);
        const auto tone = store::find(studio_.log(), ask_.tone_id);
        const auto scale = learned_.scale_index.find(ask_.scale_id.text);
        if (!history_ || !tone) {
            choice_.refusal = no_choice("plan.no_such", "the bath or the tone is no longer in the log.", "Choose another.");
        } else if (!studio_.finish_kind(history_->bath.finish_kind).dose) {
            choice_.refusal = no_choice("dose.not_of_kind", "this finish has no dose, so no time can be told.", "Judge it by its own measure.");
        } else if (scale == learned_.scale_index.end()) {
            choice_.refusal = no_choice("plan.no_scale", "this scale has fewer than two tones.", "Add the words of its tones first.");
        } else if (tone->position == 0) {
            choice_.refusal = no_choice("plan.bare", "bare metal is where it begins.", "Choose a tone further along the scale.");
        }
        if (choice_.refusal) {
            return false;
        }
        choice_.tone = tone->word;
        query_ = query_for(learned_, *history_, std::nullopt, history_->bath.made_up_at);
        query_.factors = query_.bath ? learned_.input.baths[*query_.bath].factors : count_bath(studio_, learned_, history_->bath).levels;  // the same water
        query_.bath.reset();  // a fresh bath: its own offset is not known yet
        query_.scale = scale->second;
        tone_index_ = static_cast<std::size_t>(tone->position - 1);
        last_ = static_cast<std::size_t>(tone->position) == learned_.fit.layout.tones[query_.scale];
        if (history_->lot) {
            choice_.unit = std::string(word_of(history_->lot->unit));
        }
        for (const std::string& assumed : history_->assumed) {
            choice_.cautions.push_back("Assumed: " + assumed + ".");
        }
        return true;
    }

    std::optional<science::TimeRange> range_at(const science::BathCourse& course, double aim, science::TonePlan* whole = nullptr) {
        query_.course = &course;
        query_.aim = aim;
        auto found = science::plan_tone(learned_.fit, query_);
        if (!found) {
            return std::nullopt;
        }
        if (whole != nullptr) {
            *whole = *found;
        }
        return found->aim;
    }

    double chance_on_tone(double seconds) const {
        const auto reached = science::chances_at(learned_.fit, query_, seconds);
        if (tone_index_ >= reached.size()) {
            return 0.0;
        }
        return reached[tone_index_] - (tone_index_ + 1 < reached.size() ? reached[tone_index_ + 1] : 0.0);
    }

    void add_cell(double temp_c, double make_up) {
        const science::BathCourse course{.temp = science::TempCurve::newton(temp_c, history_->room_c, history_->course.temp.fit().k_per_min > 0.0
                                                                                                          ? history_->course.temp.fit().k_per_min
                                                                                                          : history_->cooling.k_per_min),
                                         .strength = {{.t_s = 0.0, .log_ratio = std::log(make_up)}}};
        const auto begins = static_cast<double>(tone_index_);
        science::TonePlan plan;
        const auto comes = range_at(course, begins);
        const auto over = last_ ? comes : range_at(course, begins + 1.0);
        const auto aim = range_at(course, begins + (last_ ? 0.3 : 0.5), &plan);
        if (!aim || !comes || !over) {
            return;
        }
        HeatCell cell{.temp_c = temp_c, .make_up = make_up, .out_s = aim->middle_s, .low_s = aim->low_s, .high_s = aim->high_s};
        cell.window_s = last_ ? (kLastToneWide - 1.0) * comes->middle_s : over->middle_s - comes->middle_s;
        cell.window_share = cell.window_s / cell.out_s;
        // Lifted a hand's error early, on time, and late.
        cell.on_tone = 0.25 * chance_on_tone(std::max(0.1, cell.out_s - kHandError_s)) + 0.5 * chance_on_tone(cell.out_s) +
                       0.25 * chance_on_tone(cell.out_s + kHandError_s);
        cell.practical = cell.low_s >= science::kShortestPractical_s && cell.high_s <= science::kLongestPractical_s;
        cell.beyond_tried = plan.beyond.any();
        if (history_->usual_per_litre && history_->bath.water) {
            cell.amount = make_up * *history_->usual_per_litre * history_->bath.water->ml() / 1000.0;
        }
        choice_.cells.push_back(cell);
    }

    void pick() {
        double surest = 0.0;
        for (const HeatCell& cell : choice_.cells) {
            surest = cell.practical ? std::max(surest, cell.on_tone) : surest;
        }
        for (std::size_t i = 0; i < choice_.cells.size(); ++i) {
            const HeatCell& cell = choice_.cells[i];
            if (cell.practical && cell.on_tone >= surest - kNearlyAsSure &&
                (!choice_.best || cell.window_s > choice_.cells[*choice_.best].window_s)) {
                choice_.best = i;
            }
        }
        if (!choice_.best) {
            const bool any = std::any_of(choice_.cells.begin(), choice_.cells.end(), [](const HeatCell& cell) {
                return cell.out_s >= science::kShortestPractical_s && cell.out_s <= science::kLongestPractical_s;
            });
            choice_.words = any ? "No heat and make-up has its whole range within 20 to 90 s yet: the range is too wide. Dip a strip, and ask again."
                                : "No heat from 40 to 65 °C with half to double make-up brings " + choice_.tone + " within 20 to 90 s.";
            return;
        }
        const HeatCell& best = choice_.cells[*choice_.best];
        choice_.words = fmt::format("Make it up at {} with {}: {} at {} (aim {} to {}), and it stays {} for {}.", text_of(Celsius::from_celsius(best.temp_c), studio_.units()),
                                    best.make_up == 1.0 ? std::string("the usual make-up") : fixed_text(best.make_up, 1) + " times the usual make-up", choice_.tone,
                                    seconds(best.out_s), seconds(best.low_s), seconds(best.high_s), choice_.tone, seconds(best.window_s));
        if (best.amount) {
            choice_.words += fmt::format(" That is {} {} in {}.", fixed_text(*best.amount, 1), choice_.unit, text_of(*history_->bath.water, studio_.units()));
        }
        if (best.beyond_tried) {
            choice_.words += " It lies outside what was tried: dip a strip first.";
        }
    }

    static std::string seconds(double value) { return text_of(Seconds::from_seconds(value)); }

    Studio& studio_;
    const Learned& learned_;
    const HeatAsk& ask_;
    HeatChoice choice_;
    std::optional<BathHistory> history_;
    science::PlanQuery query_;
    std::size_t tone_index_ = 0;
    bool last_ = false;
};

}  // namespace

HeatChoice heat_choice(Studio& studio, const Learned& learned, const HeatAsk& ask) { return Chooser(studio, learned, ask).choose(); }

}  // namespace tonebath::app
