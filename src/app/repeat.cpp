#include "app/repeat.hpp"

#include "app/course.hpp"
#include "app/plan.hpp"
#include "app/repeat_changes.hpp"
#include "app/repeat_pattern.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/normal.hpp"
#include "science/spread.hpp"
#include "science/strip_plan.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace tonebath::app {

namespace {

constexpr double kStoredLogSd = 0.06;   // ours: what a stored dose is good for, as a watched strip's own error
constexpr std::size_t kStrips = 2;      // to bracket a time that is known
constexpr std::size_t kFindStrips = 3;  // to find a tone again

std::string seconds_words(double seconds) {
    return text_of(Seconds::from_seconds(seconds));
}

class Repeater {
public:
    Repeater(Studio& studio, const Learned& learned, const RepeatAsk& ask)
        : studio_(studio), learned_(learned), ask_(ask) {}

    Result<RepeatOrder> make() {
        auto pattern = repeat_pattern(studio_, ask_.number);
        if (!pattern) {
            return pattern.error();
        }
        pattern_ = std::move(pattern).value();
        law_ = law_of(learned_);
        order_.number = ask_.number;
        order_.pattern = pattern_.name;
        order_.pieces = pattern_.pieces.size();
        if (!find_tone()) {
            return Refusal{.code = "repeat.no_tone",
                           .field = "Order or piece",
                           .value = shown(ask_.number),
                           .message = "no target tone is written down for it, and no tone was judged.",
                           .remedy = "Give the order a target tone first.",
                           .answers = {}};
        }
        dips_ = dips_on_scale(studio_, pattern_.pieces, order_.scale_id);
        find_bath();
        then();
        if (const auto refused = find_dose()) {
            return *refused;
        }
        time_today();
        strips();
        keep_piece();
        order_.changes = repeat_changes(studio_, pattern_, dips_, bath_);
        return std::move(order_);
    }

private:
    // The target's tone, else the last one judged of the pieces before relief.
    bool find_tone() {
        std::optional<Tone> tone;
        if (pattern_.target) {
            order_.target = pattern_.target->name;
            tone = store::find(studio_.log(), pattern_.target->tone_id);
        }
        for (const Piece& piece : pattern_.pieces) {
            if (tone) {
                break;
            }
            const auto judged =
                store::list<Judgement>(studio_.log(),
                                       "WHERE tone_id IS NOT NULL AND sense = 'is' AND moment = 'before relief' AND "
                                       "(piece_id = ?1 OR part_id IN (SELECT id FROM part "
                                       "WHERE piece_id = ?1)) ORDER BY at_utc_ms DESC, id DESC LIMIT 1",
                                       {piece.id.text});
            if (!judged.empty()) {
                tone = store::find(studio_.log(), *judged.front().tone_id);
            }
        }
        if (!tone) {
            return false;
        }
        tone_ = *tone;
        order_.tone = tone_.word;
        order_.tone_id = tone_.id;
        order_.scale_id = tone_.scale_id;
        return true;
    }

    void find_bath() {
        if (ask_.bath_id) {
            bath_ = store::find(studio_.log(), *ask_.bath_id);
        } else {
            const auto in_use = baths_to_plan(studio_);
            bath_ = in_use.empty() ? std::nullopt : std::optional<Bath>(in_use.front());
        }
        order_.bath = bath_ ? bath_->number : std::string();
    }

    void then() {
        std::vector<double> lengths;
        std::set<std::string, decltype(&natural_less)> baths(&natural_less);
        std::optional<Stamp> first;
        for (const std::vector<Dip>& of_piece : dips_) {
            double sum_s = 0.0;
            for (const Dip& dip : of_piece) {
                sum_s += dip.in_bath ? dip.in_bath->seconds() : 0.0;
                const auto bath = store::find(studio_.log(), dip.bath_id);
                baths.insert(bath ? bath->number : std::string("?"));
                const auto when = when_dipped(dip);
                first = when && (!first || *when < *first) ? when : first;
            }
            if (sum_s > 0.0) {
                lengths.push_back(sum_s);
            }
        }
        if (lengths.empty()) {
            order_.then_words = "no timed dip of it is written down";
            return;
        }
        order_.then_s = science::median_of(lengths);
        order_.then_words =
            fmt::format("{} in bath {}{}", seconds_words(*order_.then_s), joined({baths.begin(), baths.end()}, ", "),
                        first ? ", " + date_text(*first) : std::string());
    }

    // Doses of the pieces that came to this very tone, as the fit sees them.
    std::vector<double> doses_of_pieces() const {
        std::set<std::string> names;
        for (const Piece& piece : pattern_.pieces) {
            names.insert(piece.number);
            for (const Part& part : parts_of(studio_, piece)) {
                names.insert(piece.number + " " + part.name);
            }
        }
        std::vector<double> doses;
        for (const LearnedRecord& record : learned_records(learned_, order_.scale_id)) {
            const bool came_to_it = record.kind == RecordKind::judged || record.kind == RecordKind::watched ||
                                    record.kind == RecordKind::ceiling;
            if (came_to_it && record.tone == tone_.position && record.dose_s > 0.0 && names.contains(record.what)) {
                doses.push_back(record.dose_s);
            }
        }
        return doses;
    }

    std::optional<Refusal> find_dose() {
        if (ask_.dose_s) {
            const bool water = ask_.dose_temp_c >= 0.0 && ask_.dose_temp_c <= 100.0;
            order_.dose_s = water ? science::convert_dose(*ask_.dose_s, ask_.dose_temp_c, law_) : std::nullopt;
            if (!order_.dose_s || !(*order_.dose_s > 0.0)) {
                return Refusal{
                    .code = "repeat.bad_dose",
                    .field = "Dose",
                    .value = fixed_text(*ask_.dose_s, 1) + " s at " + fixed_text(ask_.dose_temp_c, 1) + " °C",
                    .message = "that is no dose that a bath can give.",
                    .remedy = "Type seconds above 0 and a temperature of 0 to 100 °C.",
                    .answers = {}};
            }
            order_.dose_from = DoseFrom::typed;
            order_.dose_words = fmt::format("typed: {} at {}", seconds_words(*ask_.dose_s),
                                            text_of(Celsius::from_celsius(ask_.dose_temp_c), studio_.units()));
            return std::nullopt;
        }
        if (pattern_.target && pattern_.target->dose_s && *pattern_.target->dose_s > 0.0) {
            order_.dose_s = pattern_.target->dose_s;
            order_.dose_from = DoseFrom::target;
            order_.dose_words = "stored with the target tone \"" + pattern_.target->name + "\"";
            return std::nullopt;
        }
        const std::vector<double> doses = doses_of_pieces();
        if (doses.empty()) {
            order_.dose_words =
                fmt::format("no dose is stored, and no timed piece of {} was judged {}", pattern_.name, tone_.word);
            return std::nullopt;
        }
        order_.dose_s = science::median_of(doses);
        order_.dose_from = DoseFrom::records;
        order_.dose_words =
            fmt::format("the middle of {} judged {}", counted(doses.size(), "piece", "pieces"), tone_.word);
        // Scatter of the pieces about their middle, so much less for so many of them.
        std::vector<double> off;
        for (const double dose : doses) {
            off.push_back(std::abs(std::log(dose / *order_.dose_s)));
        }
        dose_log_sd_ =
            std::max(kStoredLogSd, 1.4826 * science::median_of(off) * 1.2533 / std::sqrt(static_cast<double>(doses.size())));
        return std::nullopt;
    }

    std::optional<Plan> plan_today() {
        if (!bath_) {
            order_.no_time = Refusal{.code = "bath.none_in_use",
                                     .field = "Bath",
                                     .value = {},
                                     .message = "no bath is in use.",
                                     .remedy = "Make one up, or name one with --bath.",
                                     .answers = {}};
            return std::nullopt;
        }
        Plan today =
            plan(studio_, learned_, {.bath_id = bath_->id, .scale_id = order_.scale_id, .tone_id = order_.tone_id});
        if (today.refusal) {
            order_.no_time = today.refusal;
            return std::nullopt;
        }
        return today;
    }

    void time_today() {
        plan_ = plan_today();
        if (!plan_) {
            return;
        }
        for (const std::string& caution : plan_->cautions) {
            order_.cautions.push_back(caution);
        }
        if (!order_.dose_s) {
            order_.no_time = Refusal{.code = "repeat.no_dose",
                                     .field = "Dose",
                                     .value = {},
                                     .message = order_.dose_words + ", so no time is given.",
                                     .remedy = "Find the tone again with strips.",
                                     .answers = {}};
            return;
        }
        auto history = bath_history(studio_.log(), bath_->id);
        TB_CHECK(history.has_value());
        science::BathCourse& course = history->course;
        course.log_speed = bath_log_speed(learned_, bath_->id);
        const double start_s = std::max(0.0, history->t_of(studio_.now()));
        const auto out = science::matched_seconds(course, laws_of(learned_).of(*history), start_s, *order_.dose_s);
        // Everything that makes today's time unsure except where the tone begins: the dose stands for that.
        double square = dose_log_sd_ * dose_log_sd_;
        for (const RangeShare& share : plan_->shares) {
            if (!share.cause.starts_with("where ")) {
                const double log_sd = std::log1p(share.percent / 100.0) / science::kEightyOfHundred;
                square += log_sd * log_sd;
            }
        }
        if (!out) {
            order_.no_time = Refusal{.code = "plan.out_of_reach",
                                     .field = "Bath",
                                     .value = bath_->number,
                                     .message = "this bath will not give that dose within a day.",
                                     .remedy = "Warm it, make it stronger, or make a new one.",
                                     .answers = {}};
            return;
        }
        order_.out_s = *out;
        order_.low_s = *out * std::exp(-science::kEightyOfHundred * std::sqrt(square));
        order_.high_s = *out * std::exp(science::kEightyOfHundred * std::sqrt(square));
    }

    void strips() {
        std::vector<std::string> words;
        if (order_.out_s) {
            order_.strips_s =
                science::bracketing_times_s(*order_.low_s, *order_.high_s, kStrips).value_or(std::vector<double>{});
        } else if (plan_) {
            order_.strips_s = science::bracketing_times_s(*plan_->aim_low_s, *plan_->aim_high_s, kFindStrips)
                                  .value_or(std::vector<double>{});
        }
        for (const double time_s : order_.strips_s) {
            words.push_back(seconds_words(time_s));
        }
        if (words.empty()) {
            order_.strip_words =
                "Two strips come first, of the metal and surface in hand; their times are told once a bath with a "
                "temperature is in use.";
        } else if (order_.out_s) {
            order_.strip_words =
                fmt::format("Dip two strips first, of the metal and surface in hand: {}. Judge both and ask again.",
                            joined(words, " and "));
        } else {
            order_.strip_words = fmt::format(
                "To find the tone again dip strips of the metal and surface in hand for {}; judge each, then take one "
                "out just as {} comes.",
                joined(words, ", "), tone_.word);
        }
    }

    void keep_piece() {
        if (pattern_.target) {
            order_.keep_piece = pattern_.target->keep_piece;
            order_.tolerance_steps = pattern_.target->tolerance_steps;
        }
        if (order_.keep_piece.empty()) {
            for (const Piece& piece : pattern_.pieces) {
                if (piece.keep_piece) {
                    order_.keep_piece = piece.number;
                    break;
                }
            }
        }
        order_.keep_words = order_.keep_piece.empty() ? "No keep-piece is written down to hold it against"
                                                      : "Hold it against keep-piece " + order_.keep_piece;
        order_.keep_words += order_.tolerance_steps ? fmt::format(": within {} of a tone is near enough.",
                                                                  fixed_text(*order_.tolerance_steps, 1))
                                                    : "; how near is near enough is not written down.";
    }

    Studio& studio_;
    const Learned& learned_;
    const RepeatAsk& ask_;
    RepeatPattern pattern_;
    RepeatOrder order_;
    Tone tone_;
    std::vector<std::vector<Dip>> dips_;
    std::optional<Bath> bath_;
    std::optional<Plan> plan_;
    science::RateLaw law_;
    double dose_log_sd_ = kStoredLogSd;
};

}  // namespace

Result<RepeatOrder> repeat_order(Studio& studio, const Learned& learned, const RepeatAsk& ask) {
    return Repeater(studio, learned, ask).make();
}

}  // namespace tonebath::app
