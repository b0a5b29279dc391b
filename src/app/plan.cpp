#include "app/plan.hpp"

#include "app/alone.hpp"
#include "app/circumstances.hpp"
#include "app/learned.hpp"
#include "app/plan_course.hpp"
#include "app/resolve.hpp"
#include "app/seal_shift.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/normal.hpp"
#include "science/promise_record.hpp"
#include "science/tone_plan.hpp"
#include "store/bath_store.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kCeilingAim = 0.3;         // of a tone step past the last border: the ceiling has no middle (ours)
constexpr double kOldReading_s = 25 * 60.0; // a reading older than this is asked about (row A2)
constexpr double kFarBeyond_c = 30.0;       // and beyond the tried range by this much no time is given (ours)
constexpr double kGoodEnough = 0.15;        // an aim range within 15 % needs no more strips

Refusal no_plan(std::string code, std::string message, std::string remedy) {
    return {.code = std::move(code), .field = "plan", .value = {}, .message = std::move(message), .remedy = std::move(remedy), .answers = {}};
}

std::string seconds_words(double seconds) { return text_of(Seconds::from_seconds(seconds)); }

class Planner {
public:
    Planner(Studio& studio, const Learned& learned, const PlanRequest& request) : studio_(studio), learned_(learned), request_(request) {}

    Plan make() {
        if (!prepare()) {
            return std::move(plan_);
        }
        const auto found = science::plan_tone(learned_.fit, query_);
        if (!found) {
            plan_.refusal = found.why() == science::PlanWhy::out_of_reach
                                ? no_plan("plan.out_of_reach", "this bath will not bring the tone within six hours, or does it at once.",
                                          "Warm it, make it stronger or weaker, or make a new one.")
                                : no_plan("plan.no_fit", "what the log has taught does not give a time.", "Dip a strip in this bath.");
            return std::move(plan_);
        }
        if (found->beyond.temp_c > kFarBeyond_c && !found->beyond.nothing_tried) {
            plan_.refusal = no_plan("plan.far_beyond", fmt::format("this bath is {} °C outside all that was tried.", fixed_text(found->beyond.temp_c, 0)),
                                    "Dip a strip at this heat first.");
            return std::move(plan_);
        }
        times(*found);
        landing(*found);
        shares(*found);
        rests_on();
        cautions(*found);
        alone();
        strip(*found);
        return std::move(plan_);
    }

private:
    bool prepare() {
        history_ = bath_history(studio_.log(), request_.bath_id);
        const auto scale = learned_.scale_index.find(request_.scale_id.text);
        const auto tone = store::find(studio_.log(), request_.tone_id);
        if (!history_ || !tone) {
            plan_.refusal = no_plan("plan.no_such", "the bath or the tone is no longer in the log.", "Choose another.");
            return false;
        }
        tone_ = *tone;
        if (!studio_.finish_kind(history_->bath.finish_kind).dose) {
            plan_.refusal = no_plan("dose.not_of_kind", "this finish has no dose, so no time can be told.", "Judge it by its own measure.");
            return false;
        }
        const double drop_s = std::max(0.0, history_->t_of(request_.drop_at.value_or(studio_.now())));
        const double now_s = std::max(0.0, history_->t_of(studio_.now()));
        if (request_.room_c) {
            room_before_c_ = history_->room_c;
            if (!move_to_room(*history_, std::min(drop_s, now_s), *request_.room_c)) {
                plan_.refusal = no_plan("plan.not_a_room", fmt::format("no room is at {} °C.", fixed_text(*request_.room_c, 1)),
                                        "Type a temperature that a room has, or leave it out for the room as it was.");
                return false;
            }
        }
        if (request_.temp_c && !suppose_temperature(*history_, drop_s, *request_.temp_c)) {
            plan_.refusal = no_plan("plan.not_water", fmt::format("no bath is at {} °C.", fixed_text(*request_.temp_c, 1)),
                                    "Type a temperature that water has, or leave it out for the bath as it is.");
            return false;
        }
        if (!history_->temp_known) {
            plan_.refusal = no_plan("plan.no_temperature", "no temperature of this bath is written down.", "Type a reading, and the time is told.");
            return false;
        }
        if (scale == learned_.scale_index.end()) {
            plan_.refusal = no_plan("plan.no_scale", "this scale has fewer than two tones.", "Add the words of its tones first.");
            return false;
        }
        if (tone_.position == 0) {
            plan_.refusal = no_plan("plan.bare", "bare metal is where it begins.", "Choose a tone further along the scale.");
            return false;
        }
        history_->course.agitation = 1.0;
        query_ = query_for(learned_, *history_, request_.agitation, request_.drop_at.value_or(studio_.now()));
        query_.scale = scale->second;
        circumstances();
        const bool last = static_cast<std::size_t>(tone_.position) == learned_.fit.layout.tones[query_.scale];
        begins_at_ = static_cast<double>(tone_.position - 1);
        query_.aim = std::max(0.0, begins_at_ + (request_.as_it_comes ? 0.0 : last ? kCeilingAim : 0.5) - before_sealing());
        query_.course = &history_->course;
        law_ = laws_of(learned_).of(*history_);
        return true;
    }

    // A target told as after sealing is reached by bath and seal together: so many tones are left to the seal.
    double before_sealing() {
        std::optional<Target> target = request_.target_id ? store::find(studio_.log(), *request_.target_id) : std::nullopt;
        if (!target && request_.subject) {
            target = target_of(studio_, *request_.subject);
        }
        if (!target || target->tone_id != request_.tone_id) {
            return 0.0;
        }
        // As learned; a target that is newer than the fit is read by itself.
        const auto known = learned_.seal_aims.find(target->id.text);
        const auto aim = known != learned_.seal_aims.end() ? std::optional(known->second) : seal_aim(studio_, *target);
        if (!aim) {
            return 0.0;
        }
        plan_.cautions.push_back(aim->words + ".");
        return aim->earlier_steps;
    }

    // What is written of the piece, and of a bath that the fit has not seen.
    void circumstances() {
        std::vector<Counted> all;
        if (request_.subject) {
            const auto scale = store::find(studio_.log(), request_.scale_id);
            const Stamp now = studio_.now();
            const Stamp drop = request_.drop_at.value_or(now);
            all.push_back(count_preparation(studio_, learned_, *request_.subject, scale ? std::optional(scale->metal_id) : std::nullopt, now < drop ? drop : now));
        }
        if (!query_.bath) {
            all.push_back(count_bath(studio_, learned_, history_->bath));
        }
        for (const Counted& one : all) {
            query_.factors.insert(query_.factors.end(), one.levels.begin(), one.levels.end());
            query_.untried_log_sd = std::hypot(query_.untried_log_sd, one.untried_log_sd);
            plan_.counts_in.insert(plan_.counts_in.end(), one.words.begin(), one.words.end());
            plan_.cautions.insert(plan_.cautions.end(), one.cautions.begin(), one.cautions.end());
        }
    }

    // Seconds that leave out what the piece already has; 0 when it is there already.
    double less_dose_done(double seconds) const {
        if (request_.dose_done_s <= 0.0) {
            return seconds;
        }
        const auto whole = dose_of_time(seconds);
        if (!whole || *whole <= request_.dose_done_s) {
            return 0.0;
        }
        const auto out = science::matched_seconds(speeded_course(), law_, query_.start_s, *whole - request_.dose_done_s);
        return out ? *out : seconds;
    }

    science::BathCourse speeded_course() const { return app::speeded_course(learned_, request_, *history_); }

    std::optional<double> dose_of_time(double seconds) const {
        return science::dose_s(speeded_course(), law_, query_.start_s, query_.start_s + seconds);
    }

    void times(const science::TonePlan& found) {
        plan_.out_s = less_dose_done(found.aim.middle_s);
        plan_.aim_low_s = less_dose_done(found.aim.low_s);
        plan_.aim_high_s = less_dose_done(found.aim.high_s);
        plan_.look_s = std::min(less_dose_done(found.look_now_s), *plan_.aim_low_s);
        plan_.dose_s = dose_of_time(found.aim.middle_s);
        plan_.over_chance = found.chance_over;
        science::PlanQuery comes = query_;
        comes.aim = begins_at_;
        if (const auto plan = science::plan_tone(learned_.fit, comes)) {
            plan_.comes_s = less_dose_done(plan->aim.middle_s);
            comes_ = plan->aim;
        }
    }

    // Where 80 in 100 such pieces land, as places on the scale: the tone's position and the share inside it.
    void landing(const science::TonePlan& found) {
        const std::vector<Tone> tones = tones_of(studio_, request_.scale_id);
        plan_.lands_from_place = science::place_of_chance(found.piece.reached, 0.9);
        plan_.lands_to_place = science::place_of_chance(found.piece.reached, 0.1);
        const auto word = [&](double at) { return tones[std::min(static_cast<std::size_t>(at), tones.size() - 1)].word; };
        plan_.lands_from = word(plan_.lands_from_place);
        plan_.lands_to = word(plan_.lands_to_place);
    }

    void shares(const science::TonePlan& found) {
        const science::RangeCauses& c = found.causes;
        const auto add = [&](std::string cause, double share) {
            if (share > 0.01) {
                plan_.shares.push_back({.cause = std::move(cause), .percent = 100.0 * std::expm1(science::kEightyOfHundred * found.log_sd * std::sqrt(share))});
            }
        };
        add("where " + tone_.word + " begins", c.where_tone_begins);
        add("this bath", c.this_bath);
        add("this lot", c.lot);
        add("effect of heat", c.temperature_effect);
        add("effect of strength", c.strength_effect);
        add("agitation", c.agitation);
        add("fade", c.fade);
        add("surface, preparation and water", c.factors);
        add("beyond what was tried", c.beyond_tried);
        std::sort(plan_.shares.begin(), plan_.shares.end(), [](const RangeShare& a, const RangeShare& b) { return a.percent > b.percent; });
    }

    void rests_on() {
        std::size_t here = 0, here_pieces = 0, lot = 0, others = 0;
        for (std::size_t i = 0; i < learned_.records.size(); ++i) {
            const RecordRef& ref = learned_.records[i];
            if (learned_.fit.left_out[i] || ref.scale != request_.scale_id.text) {
                continue;
            }
            const LearnedBath& bath = learned_.baths[ref.bath];
            if (bath.history.bath.id == request_.bath_id) {
                ++(ref.strip ? here : here_pieces);
            } else if (history_->bath.lot_id && bath.history.bath.lot_id == history_->bath.lot_id) {
                ++lot;
            } else {
                ++others;
            }
        }
        if (here > 0) {
            plan_.rests_on.push_back(counted(here, "strip", "strips") + " in this bath");
        }
        if (here_pieces > 0) {
            plan_.rests_on.push_back(counted(here_pieces, "piece", "pieces") + " in this bath");
        }
        if (lot > 0) {
            plan_.rests_on.push_back(counted(lot, "record", "records") + " in " + (history_->lot ? history_->lot->number : "this lot"));
        }
        if (others > 0) {
            plan_.rests_on.push_back(counted(others, "record", "records") + " in other lots");
        }
        if (plan_.rests_on.empty()) {
            plan_.rests_on.push_back("what is usual elsewhere only: dip a strip first");
            nothing_of_hers_ = true;
        }
        std::size_t readings = 0;
        for (const CourseReading& reading : history_->readings) {
            if (reading.source == "reading") {
                ++readings;
            }
        }
        plan_.rests_on.push_back(request_.temp_c ? "a temperature that you named" : readings == 0 ? "the make-up temperature" : counted(readings, "reading", "readings"));
    }

    void cautions(const science::TonePlan& found) {
        for (const std::string& assumed : history_->assumed) {
            plan_.cautions.push_back("Assumed: " + assumed + ".");
        }
        const auto last = history_->course.temp.last_reading_s();
        if (request_.temp_c) {
            plan_.cautions.push_back(fmt::format("As if the bath were at {} when it is dropped: no such reading is written down.",
                                                 text_of(Celsius::from_celsius(*request_.temp_c), studio_.units())));
        } else if (last && query_.start_s - *last > kOldReading_s) {
            plan_.cautions.push_back("The last temperature is " + seconds_words(query_.start_s - *last) + " old: read it again.");
        }
        if (request_.room_c) {
            plan_.cautions.push_back(fmt::format("As if the room were at {} from now on, where it was taken as {}.", text_of(Celsius::from_celsius(*request_.room_c), studio_.units()),
                                                 text_of(Celsius::from_celsius(room_before_c_), studio_.units())));
        }
        if (found.beyond.any() && !found.beyond.nothing_tried) {
            std::vector<std::string> how;
            if (found.beyond.temp_c > 0.5) {
                how.push_back(fixed_text(found.beyond.temp_c, 0) + " °C in heat");
            }
            if (found.beyond.log_strength > 0.05) {
                how.push_back(fixed_text(std::exp(found.beyond.log_strength), 1) + " times in strength");
            }
            if (found.beyond.age_h > 0.25) {
                how.push_back(fixed_text(found.beyond.age_h, 1) + " h in age");
            }
            if (!how.empty()) {
                plan_.cautions.push_back("Outside what was tried by " + joined(how, " and ") + ": the range is wider for it.");
            }
        }
        if (found.open_end) {
            plan_.cautions.push_back("The range has no end within six hours.");
        }
        if (nothing_of_hers_) {
            plan_.cautions.push_back("Nothing is known of this metal in your baths: dip a strip first.");
        }
    }

    void alone() {
        plan_.alone = strips_alone(learned_, *history_, request_.scale_id.text, tone_.position, query_.start_s);
        if (!plan_.alone.out_s || !comes_) {
            return;
        }
        plan_.agree_words = agreement(learned_, *history_, request_.scale_id.text, tone_.position, query_.start_s, plan_.alone, comes_->middle_s, tone_.word);
    }

    void strip(const science::TonePlan& found) {
        if (found.aim.half_width() <= kGoodEnough) {
            plan_.strip_words = "Within 15 %: no more strips are needed.";
            return;
        }
        const auto worth = science::strip_worth(learned_.fit, query_);
        if (!worth) {
            return;
        }
        const science::StripOffer& offer = worth->watched;
        plan_.strip_at_s = offer.time_s;
        plan_.strip_low_s = less_dose_done(found.aim.middle_s * std::exp(-science::kEightyOfHundred * offer.log_sd_after));
        plan_.strip_high_s = less_dose_done(found.aim.middle_s * std::exp(science::kEightyOfHundred * offer.log_sd_after));
        plan_.strip_words = fmt::format("One strip, pulled as {} comes (about {}), would bring it to {} to {}.", tone_.word, seconds_words(offer.time_s),
                                        seconds_words(*plan_.strip_low_s), seconds_words(*plan_.strip_high_s));
        plan_.strip_words += worth->watched_to_15_percent
                                 ? fmt::format(" {} would do for 15 %.", counted(static_cast<std::size_t>(*worth->watched_to_15_percent), "watched strip", "watched strips"))
                                 : std::string(" No number of strips will reach 15 % in this bath.");
    }

    Studio& studio_;
    const Learned& learned_;
    const PlanRequest& request_;
    Plan plan_;
    std::optional<BathHistory> history_;
    Tone tone_;
    science::PlanQuery query_;
    science::RateLaw law_;
    std::optional<science::TimeRange> comes_;
    double begins_at_ = 0.0;
    bool nothing_of_hers_ = false;
    double room_before_c_ = 0.0;
};

}  // namespace

std::vector<Bath> baths_to_plan(Studio& studio, std::size_t limit) {
    std::vector<Bath> baths = store::baths_in_use(studio.log(), limit);
    std::erase_if(baths, [&studio](const Bath& bath) { return !studio.finish_kind(bath.finish_kind).dose; });
    return baths;
}

Plan plan(Studio& studio, const Learned& learned, const PlanRequest& request) { return Planner(studio, learned, request).make(); }

}  // namespace tonebath::app
