#include "app/grade.hpp"

#include "app/learned.hpp"
#include "app/plan_course.hpp"
#include "app/resolve.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/tone_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

namespace tonebath::app {

namespace {

constexpr int kOneBathAtFault = 3;  // ours: so many pieces outside in one bath, and more than in all others, are told apart

class Grader {
public:
    Grader(Studio& studio, const Learned& learned, const std::function<bool()>& still_wanted) : studio_(studio), learned_(learned), still_wanted_(still_wanted) {}

    Grade grade() {
        for (std::size_t i = 0; i < learned_.records.size(); ++i) {
            judged_.push_back(i);
        }
        std::stable_sort(judged_.begin(), judged_.end(), [this](std::size_t a, std::size_t b) { return learned_.records[a].judged_at < learned_.records[b].judged_at; });
        std::vector<std::size_t> asked;
        for (std::size_t i = 0; i < learned_.records.size(); ++i) {
            if (counts(i)) {
                asked.push_back(i);
            }
        }
        std::stable_sort(asked.begin(), asked.end(), [this](std::size_t a, std::size_t b) { return dropped(b) < dropped(a); });
        std::vector<science::PromiseMark> marks;
        for (const std::size_t i : asked) {
            if (still_wanted_ && !still_wanted_()) {
                break;
            }
            add(i, marks);
        }
        grade_.record = science::promise_record(marks);
        say();
        return std::move(grade_);
    }

private:
    bool counts(std::size_t i) {
        const RecordRef& ref = learned_.records[i];
        if (ref.strip || learned_.fit.left_out[i]) {
            return false;
        }
        if (ref.kind == RecordKind::watched) {
            ++grade_.watched;
            return false;
        }
        if (!(dropped(i) < ref.judged_at) || ref.in_s <= 0.0) {
            ++grade_.without_time;
            return false;
        }
        return true;
    }

    Stamp dropped(std::size_t i) const {
        const RecordRef& ref = learned_.records[i];
        return learned_.baths[ref.bath].history.stamp_at(ref.in_s);
    }

    // How many records were judged before a moment: they name the fit.
    std::size_t known_by(const Stamp& moment) const {
        return static_cast<std::size_t>(std::partition_point(judged_.begin(), judged_.end(),
                                                             [&](std::size_t i) { return learned_.records[i].judged_at < moment; }) -
                                        judged_.begin());
    }

    // The vessel's constant as it was known when this bath was made up: from readings of the baths before it.
    const science::VesselConstant& cooling_then(std::size_t bath) {
        const auto found = cooling_.find(bath);
        if (found != cooling_.end()) {
            return found->second;
        }
        const BathHistory& history = learned_.baths[bath].history;
        return cooling_.emplace(bath, vessel_constant(studio_.log(), history.vessel, history.bath.id, history.bath.made_up_at)).first->second;
    }

    const science::ToneFit* fit_before(const Stamp& moment) {
        const std::size_t known = known_by(moment);
        if (const auto found = fits_.find(known); found != fits_.end()) {
            return &found->second;
        }
        if (fits_.size() >= kMostFits) {
            return nullptr;
        }
        science::ToneInput input = learned_.input;
        input.subjects.clear();
        // In the order of the whole log, so that the fit is the one that was made then.
        std::vector<std::size_t> rows(judged_.begin(), judged_.begin() + static_cast<std::ptrdiff_t>(known));
        std::sort(rows.begin(), rows.end());
        for (const std::size_t i : rows) {
            input.subjects.push_back(learned_.input.subjects[i]);
        }
        // Courses as they were known when the last of these records was made.
        for (std::size_t b = 0; b < input.baths.size(); ++b) {
            const BathHistory& history = learned_.baths[b].history;
            input.baths[b].course =
                course_known_by(history, history.t_of(rows.empty() ? moment : learned_.records[judged_[known - 1]].judged_at), cooling_then(b));
        }
        return &fits_.emplace(known, science::fit_tones(input, learned_.fit.priors)).first->second;
    }

    void add(std::size_t i, std::vector<science::PromiseMark>& marks) {
        const RecordRef& ref = learned_.records[i];
        const Stamp moment = dropped(i);
        const science::ToneFit* fit = fit_before(moment);
        if (fit == nullptr) {
            ++grade_.earlier;
            return;
        }
        const science::ToneSubject& subject = learned_.input.subjects[i];
        // Courses as foretold at the drop; what the piece had before it is known.
        std::vector<science::BathCourse> courses;
        courses.reserve(subject.dips.size());
        std::vector<science::DosePiece> dips;
        for (const science::ToneDip& dip : subject.dips) {
            const BathHistory& history = learned_.baths[dip.bath].history;
            courses.push_back(course_known_by(history, history.t_of(moment), cooling_then(dip.bath)));
            dips.push_back({.course = &courses.back(), .bath = dip.bath, .place = learned_.input.baths[dip.bath].place, .in_s = dip.in_s, .out_s = dip.out_s,
                            .agitation = dip.agitation});
        }
        const BathHistory& history = learned_.baths[ref.bath].history;
        science::PlanQuery query = query_for(learned_, history, std::nullopt, moment);
        query.scale = subject.scale;
        query.course = &courses.back();
        query.factors = subject.factors;
        const std::size_t last = fit->layout.tones[subject.scale];
        science::Promise promise{.reached = science::chances_after(*fit, query, dips)};
        // Two borders that no record parts may stand a hair out of order.
        for (std::size_t j = 1; j < promise.reached.size(); ++j) {
            promise.reached[j] = std::min(promise.reached[j], promise.reached[j - 1]);
        }
        const auto position = static_cast<std::size_t>(ref.tone);
        promise.least = position;
        promise.most = position;
        if (ref.kind == RecordKind::lighter && position > 0) {
            promise.least = 0;
            promise.most = position - 1;
        } else if (ref.kind == RecordKind::over) {
            promise.least = std::min(position + 1, last);
            promise.most = last;
        }
        const auto mark = science::mark_promise(promise);
        if (!mark) {
            ++grade_.without_time;
            return;
        }
        marks.push_back(*mark);
        const std::vector<Tone> tones = tones_of(studio_, {ref.scale});
        const auto word = [&tones](std::size_t at) { return at < tones.size() ? tones[at].word : std::string("?"); };
        grade_.pieces.push_back({.what = ref.what, .at = moment, .bath = history.bath.number,
                                 .judged = (ref.kind == RecordKind::over      ? "gone over "
                                            : promise.least != promise.most ? "lighter than "
                                                                            : "") +
                                           word(position),
                                 .from = word(mark->from), .to = word(mark->to), .mark = *mark});
    }

    void say() {
        const science::PromiseRecord& record = grade_.record;
        if (record.seen == 0) {
            grade_.words = "No piece has been judged yet that was dipped by the clock.";
            return;
        }
        const auto percent = [](double share) { return fixed_text(100.0 * share, 0); };
        grade_.words = fmt::format("{} of {} landed inside the range promised before the dip: between {} and {} in 100. Promised were {} in 100.", record.inside,
                                   counted(static_cast<std::size_t>(record.seen), "piece", "pieces"), percent(record.interval.lower), percent(record.interval.upper),
                                   percent(record.promised));
        // One bath that went wrong as a whole is one miss, not as many as it held pieces.
        std::map<std::string, std::pair<int, int>> outside_of;  // by bath: outside, judged
        for (const GradedPiece& piece : grade_.pieces) {
            if (piece.mark.inside) {
                outside_of[piece.bath].first += *piece.mark.inside ? 0 : 1;
                outside_of[piece.bath].second += 1;
            }
        }
        const auto worst = std::ranges::max_element(outside_of, {}, [](const auto& one) { return one.second.first; });
        const auto outside = record.seen - record.inside;
        if (worst != outside_of.end() && worst->second.first >= kOneBathAtFault && 2 * worst->second.first > outside) {
            grade_.words += fmt::format(" {} of the {} outside hung in bath {}: ask what was different there. Without it {} of {} landed inside.", worst->second.first, outside,
                                        worst->first, record.inside - (worst->second.second - worst->second.first), record.seen - worst->second.second);
        }
        switch (record.verdict) {
            case science::PromiseVerdict::too_few:
                grade_.verdict = fmt::format("Fewer than {} pieces: nothing can be said yet.", science::kFewestPromises);
                break;
            case science::PromiseVerdict::as_promised:
                grade_.verdict = "That is as promised, as far as so many pieces can tell. Pieces of one bath move together, so it is less sure than it looks.";
                break;
            case science::PromiseVerdict::too_narrow:
                grade_.verdict = "Fewer than promised: take the ranges as wider than they are shown.";
                break;
            case science::PromiseVerdict::too_wide:
                grade_.verdict = "More than promised: the ranges are wider than they need be.";
                break;
        }
    }

    Studio& studio_;
    const Learned& learned_;
    const std::function<bool()>& still_wanted_;
    Grade grade_;
    std::vector<std::size_t> judged_;                // rows in order of judging
    std::map<std::size_t, science::ToneFit> fits_;   // by the number of records known
    std::map<std::size_t, science::VesselConstant> cooling_;  // by bath
};

}  // namespace

Grade grade(Studio& studio, const Learned& learned, const std::function<bool()>& still_wanted) { return Grader(studio, learned, still_wanted).grade(); }

}  // namespace tonebath::app
