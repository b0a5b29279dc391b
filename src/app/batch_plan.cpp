#include "app/batch_plan.hpp"

#include "app/course.hpp"
#include "app/plan_course.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/lane_rounds.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace tonebath::app {

namespace {

constexpr double kLongestInterval_s = 180.0;

Refusal refused(std::string code, std::string field, std::string value, std::string message, std::string remedy) {
    return {.code = std::move(code), .field = std::move(field), .value = std::move(value), .message = std::move(message),
            .remedy = std::move(remedy), .answers = {}};
}

std::string seconds_words(double seconds) { return text_of(Seconds::from_seconds(seconds)); }

std::string order_words(science::LaneOrder order) {
    switch (order) {
        case science::LaneOrder::as_listed:
            return "as listed";
        case science::LaneOrder::longest_first:
            return "the longest first";
        case science::LaneOrder::shortest_first:
            return "the shortest first";
    }
    return {};
}

// Hottest temperature that the bath was read at.
double hottest_c(const BathHistory& history) {
    double hottest = history.readings.front().temp_c;
    for (const CourseReading& reading : history.readings) {
        hottest = std::max(hottest, reading.temp_c);
    }
    return hottest;
}

class BatchPlanner {
public:
    BatchPlanner(Studio& studio, const Learned& learned, const BatchAsk& ask) : studio_(studio), learned_(learned), ask_(ask) {}

    BatchPlan make() {
        if (!asked_soundly() || !doses()) {
            return std::move(plan_);
        }
        const auto course = plan_course(studio_, learned_, ask_.first);
        const double first_s = std::max(0.0, course->history.t_of(ask_.first.drop_at.value_or(studio_.now())));
        const double to_c = ask_.reheat_to_c.value_or(hottest_c(course->history));
        const science::Reheat reheat = [&](const science::BathCourse& before, double at_s) {
            readings_.push_back({.t_s = at_s, .temp_c = to_c, .shown_c = to_c, .reheated = true, .source = "planned"});
            science::BathCourse hot = before;
            if (auto curve = curve_with(course->history, readings_)) {
                hot.temp = *curve;
            }
            readings_.pop_back();
            return hot;
        };
        const science::RoundRule rule{.first_drop_s = first_s, .interval_s = ask_.interval_s, .longest_s = ask_.longest_s};
        const auto rounds = science::plan_rounds(course->course, course->law, rule, doses_, reheat);
        if (!rounds) {
            plan_.refusal = refused("plan.out_of_reach", "plan", {}, "this bath will not bring every piece of the batch to its tone within a day.",
                                    "Warm it, make it stronger, or plan fewer pieces.");
            return std::move(plan_);
        }
        for (std::size_t i = 0; i < rounds->size(); ++i) {
            const science::LaneRound& round = (*rounds)[i];
            const science::BathCourse now = round.reheated_at_s ? reheat(course->course, *round.reheated_at_s) : course->course;
            add_round(round, now, first_s, to_c);
            const bool last = i + 1 == rounds->size();
            const auto latest = std::max_element(plan_.lanes.begin(), plan_.lanes.end(), [](const BatchLane& a, const BatchLane& b) { return a.out_s < b.out_s; });
            add_course(now, round.lanes.lanes.front().drop_s, last ? first_s + latest->out_s : (*rounds)[i + 1].lanes.lanes.front().drop_s, first_s);
        }
        words(*rounds, to_c);
        return std::move(plan_);
    }

private:
    bool asked_soundly() {
        if (ask_.tones.empty() || ask_.tones.size() > kMostInBatch) {
            plan_.refusal = refused("batch.none", "Batch", std::to_string(ask_.tones.size()), fmt::format("a batch here has 1 to {} pieces.", kMostInBatch),
                                    "Say how many pieces are to be dipped.");
        } else if (!(ask_.interval_s >= science::kCueGap_s) || ask_.interval_s > kLongestInterval_s) {
            plan_.refusal = refused("batch.interval", "Every", fixed_text(ask_.interval_s, 1) + " s", "drops stand 4 s to 3 min apart: one pair of hands serves them.",
                                    "Type it as 15 s.");
        } else if (ask_.reheat_to_c && (*ask_.reheat_to_c < 0.0 || *ask_.reheat_to_c > 100.0)) {
            plan_.refusal = refused("batch.reheat", "Reheat to", fixed_text(*ask_.reheat_to_c, 1) + " °C", "a bath of water stands between 0 and 100 °C.",
                                    "Type it as 60 °C.");
        } else if (!(ask_.longest_s >= science::kCueGap_s) || ask_.longest_s > 3600.0) {
            plan_.refusal = refused("batch.longest", "Longest", fixed_text(ask_.longest_s, 1) + " s", "the longest time in the bath is 4 s to an hour here.",
                                    "Type it as 90 s.");
        }
        return !plan_.refusal;
    }

    // One plan for each tone asked for; its dose stands for every piece of that tone.
    bool doses() {
        std::map<std::string, double> by_tone;
        for (const Id<Tone>& tone : ask_.tones) {
            const auto known = by_tone.find(tone.text);
            if (known != by_tone.end()) {
                doses_.push_back(known->second);
                continue;
            }
            PlanRequest one = ask_.first;
            one.tone_id = tone;
            Plan plan = app::plan(studio_, learned_, one);
            if (plan.refusal || !plan.dose_s) {
                plan_.refusal = plan.refusal ? std::move(plan.refusal)
                                             : refused("plan.no_fit", "plan", {}, "no dose can be told for this tone.", "Dip a strip in this bath.");
                return false;
            }
            for (std::string& caution : plan.cautions) {
                if (std::find(cautions_.begin(), cautions_.end(), caution) == cautions_.end()) {
                    cautions_.push_back(std::move(caution));
                }
            }
            doses_.push_back(by_tone[tone.text] = *plan.dose_s);
        }
        return true;
    }

    void add_round(const science::LaneRound& round, const science::BathCourse& course, double first_s, double to_c) {
        BatchRound shown{.pieces = round.lanes.lanes.size(), .interval_s = round.lanes.interval_s, .order_words = order_words(round.lanes.order),
                         .from_s = round.lanes.lanes.front().drop_s - first_s};
        if (round.reheated_at_s) {
            shown.reheat_to_c = to_c;
        }
        plan_.rounds.push_back(std::move(shown));
        for (const science::Lane& lane : round.lanes.lanes) {
            const auto tone = store::find(studio_.log(), ask_.tones[lane.piece]);
            plan_.lanes.push_back({.piece = lane.piece + 1, .tone = tone ? tone->word : std::string(), .round = plan_.rounds.size(), .in_s = lane.drop_s - first_s,
                                   .out_s = lane.out_s - first_s, .in_bath_s = lane.out_s - lane.drop_s, .temp_c = course.temp.temp_c(lane.drop_s)});
        }
    }

    void add_course(const science::BathCourse& course, double from_s, double to_s, double first_s) {
        constexpr int kSteps = 16;
        for (int i = 0; i <= kSteps; ++i) {
            const double t_s = from_s + (to_s - from_s) * i / kSteps;
            plan_.course.push_back({.t_s = t_s - first_s, .temp_c = course.temp.temp_c(t_s)});
        }
    }

    void words(const std::vector<science::LaneRound>& rounds, double to_c) {
        const science::LaneRound& first = rounds.front();
        if (first.lanes.interval_s != ask_.interval_s) {
            plan_.words.push_back(fmt::format("Every {} instead of {}: else a drop and an out would fall within 4 s.", seconds_words(first.lanes.interval_s),
                                              seconds_words(ask_.interval_s)));
        }
        if (first.lanes.order != science::LaneOrder::as_listed) {
            plan_.words.push_back("Dip " + order_words(first.lanes.order) + ": in the order listed cues would fall within 4 s.");
        }
        for (const science::LaneRound& round : rounds) {
            if (round.reheated_at_s) {
                plan_.words.push_back(fmt::format("Reheat to {} before piece {}: else it would hang longer than {}.", text_of(Celsius::from_celsius(to_c), studio_.units()),
                                                  round.lanes.lanes.front().piece + 1, seconds_words(ask_.longest_s)));
            }
            if (round.too_long) {
                plan_.words.push_back(fmt::format("Some pieces hang longer than {}, and warming to {} does not change that: make the bath hotter or stronger.",
                                                  seconds_words(ask_.longest_s), text_of(Celsius::from_celsius(to_c), studio_.units())));
            }
            if (!round.collisions.empty()) {
                plan_.words.push_back(fmt::format("{} within 4 s of each other, and no order or interval avoids it: dip fewer at once.",
                                                  counted(round.collisions.size(), "pair of cues falls", "pairs of cues fall")));
            }
        }
        plan_.words.insert(plan_.words.end(), cautions_.begin(), cautions_.end());
    }

    Studio& studio_;
    const Learned& learned_;
    const BatchAsk& ask_;
    BatchPlan plan_;
    std::vector<double> doses_;
    std::vector<std::string> cautions_;
    std::vector<CourseReading> readings_;  // reheats under way, on top of the bath's own
};

}  // namespace

BatchPlan batch_plan(Studio& studio, const Learned& learned, const BatchAsk& ask) { return BatchPlanner(studio, learned, ask).make(); }

}  // namespace tonebath::app
