#include "app/matched.hpp"

#include "app/course.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "science/normal.hpp"
#include "store/record.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kLastTone = 1.25;  // ours: a last tone has no end; its width is drawn as a quarter more dose
constexpr double kJudgedLow = 0.1, kJudgedHigh = 0.9;  // 80 of 100 of a tone judged as a whole
constexpr double kReadLog = science::kEightyOfHundred * 0.06;             // 80 of 100 of a place that was touched on the strip, on log dose
constexpr double kBare = 0.5;       // ours: bare metal has no beginning; it is drawn from half the first border's dose

Refusal no_match(std::string code, const std::string& what, std::string message, std::string remedy) {
    return {.code = std::move(code), .field = "Piece", .value = what, .message = std::move(message), .remedy = std::move(remedy), .answers = {}};
}

// Dose at which tone `index` begins; past the last border, and before the first, at a width of ours.
double border_s(const Matched& matched, std::size_t index) {
    if (index == 0) {
        return kBare * matched.begins_s[1];
    }
    return index < matched.begins_s.size() ? matched.begins_s[index] : kLastTone * matched.begins_s.back();
}

double log_dose_at(const Matched& matched, double place) {
    const auto index = static_cast<std::size_t>(std::clamp(place, 0.0, static_cast<double>(matched.begins_s.size()) - 1e-9));
    const double share = place - static_cast<double>(index);
    const double low = std::log(border_s(matched, index));
    return low + share * (std::log(border_s(matched, index + 1)) - low);
}

double place_at(const Matched& matched, double log_dose) {
    const std::size_t tones = matched.begins_s.size();
    std::size_t index = 0;
    while (index + 1 < tones && log_dose >= std::log(border_s(matched, index + 1))) {
        ++index;
    }
    const double low = std::log(border_s(matched, index));
    const double high = std::log(border_s(matched, index + 1));
    return std::clamp(static_cast<double>(index) + (log_dose - low) / (high - low), 0.0, static_cast<double>(tones));
}

}  // namespace

std::optional<double> place_after(const Matched& matched, double seconds) {
    const auto dose = science::dose_s(matched.course, matched.law, matched.in_s, matched.in_s + seconds);
    if (!dose || *dose + matched.dose_before_s <= 0.0) {
        return dose ? std::optional(0.0) : std::nullopt;
    }
    return place_at(matched, std::log(*dose + matched.dose_before_s) + matched.log_shift);
}

std::optional<MatchedPlace> place_range_after(const Matched& matched, double seconds) {
    const auto middle = place_after(matched, seconds);
    const auto dose = science::dose_s(matched.course, matched.law, matched.in_s, matched.in_s + seconds);
    if (!middle || *dose + matched.dose_before_s <= 0.0) {
        return middle ? std::optional(MatchedPlace{}) : std::nullopt;
    }
    const double log_dose = std::log(*dose + matched.dose_before_s);
    const double actual = std::log(matched.dose_s + matched.dose_before_s);
    return MatchedPlace{.middle = *middle, .low = place_at(matched, log_dose + log_dose_at(matched, matched.place_low) - actual),
                        .high = place_at(matched, log_dose + log_dose_at(matched, matched.place_high) - actual)};
}

std::optional<double> seconds_for(const Matched& matched, double place) {
    const double wanted_s = std::exp(log_dose_at(matched, place) - matched.log_shift) - matched.dose_before_s;
    if (wanted_s <= 0.0) {
        return 0.0;
    }
    const auto seconds = science::matched_seconds(matched.course, matched.law, matched.in_s, wanted_s);
    return seconds ? std::optional(*seconds) : std::nullopt;
}

Result<Subject> dipped_subject(Studio& studio, const std::string& typed) {
    if (const auto piece = resolve<Piece>(studio, "Piece", typed)) {
        return subject_of(studio, *piece);
    }
    if (const auto part = resolve<Part>(studio, "Piece", typed)) {
        return subject_of(studio, *part);
    }
    if (const auto strip = resolve<Strip>(studio, "Piece", typed)) {
        return subject_of(*strip);
    }
    return resolve<Piece>(studio, "Piece", typed).error();
}

Result<Matched> what_would_have_matched(Studio& studio, const Learned& learned, const Subject& subject) {
    std::vector<Judgement> judgements = judgements_of(studio, subject);
    if (subject.piece && judgements.empty()) {
        // A piece judged part by part: the part judged last speaks.
        judgements = store::list<Judgement>(studio.log(), "WHERE part_id IN (SELECT id FROM part WHERE piece_id = ?1) ORDER BY at_utc_ms, id", {subject.piece->text});
    }
    const Judgement* judged = nullptr;
    for (const Judgement& one : judgements) {
        if (one.tone_id && one.moment == Moment::before_relief && (judged == nullptr || judged->at <= one.at)) {
            judged = &one;
        }
    }
    if (judged == nullptr) {
        return no_match("matched.not_judged", subject.name, "its tone before relief is not written down.", "Judge it first.");
    }
    const auto tone = store::find(studio.log(), *judged->tone_id);
    if (!tone) {
        return no_match("matched.not_judged", subject.name, "its tone is no longer on a scale.", "Judge it again.");
    }
    // The part that was judged, where the judgement is of one.
    Subject dipped = subject;
    if (judged->part_id && !subject.part) {
        if (const auto part = store::find(studio.log(), *judged->part_id)) {
            dipped = subject_of(studio, *part);
        }
    }
    Matched matched{.what = dipped.name, .scale = tone->scale_id.text, .tone = tone->position};
    std::vector<Dip> dips = dips_of(studio, dipped);
    std::erase_if(dips, [&](const Dip& dip) { return when_dipped(dip).value_or(dip.made_at) > judged->at; });
    if (dips.empty() || is_running(dips.back())) {
        return no_match("matched.no_dip", subject.name, "no finished dip stands before its judgement.", "Write the dip down first.");
    }
    const Laws laws = laws_of(learned);
    for (std::size_t i = 0; i < dips.size(); ++i) {
        auto history = bath_history(studio.log(), dips[i].bath_id);
        if (!history || !history->temp_known) {
            return no_match("matched.no_temperature", subject.name, "a temperature of its bath is not written down.", "Correct the bath, and ask again.");
        }
        const auto times = dip_times(*history, dips[i]);
        if (!times || times->out_s <= times->in_s) {
            return no_match("matched.no_dip", subject.name, "one of its dips has no time written down.", "Correct the dip, and ask again.");
        }
        science::BathCourse course = history->course;
        course.log_speed = bath_log_speed(learned, dips[i].bath_id);
        course.agitation *= times->agitation;
        matched.law = laws.of(*history);
        const auto dose = science::dose_s(course, matched.law, times->in_s, times->out_s);
        if (!dose || *dose <= 0.0) {
            return no_match("matched.no_dip", subject.name, "no dose comes of one of its dips.", "Correct its times, and ask again.");
        }
        if (i + 1 < dips.size()) {
            matched.dose_before_s += *dose;
            continue;
        }
        matched.dose_s = *dose;
        matched.actual_s = times->out_s - times->in_s;
        matched.in_s = times->in_s;
        matched.course = std::move(course);
        matched.bath = history->bath.number;
        matched.assumed = history->assumed;
    }
    for (const ToneBegins& one : tone_begins(learned, tone->scale_id)) {
        matched.begins_s.push_back(one.middle_s);
    }
    const std::vector<Tone> tones = tones_of(studio, tone->scale_id);
    if (matched.begins_s.size() < 2 || matched.begins_s.size() != tones.size()) {
        return no_match("matched.not_judged", subject.name, "its scale has fewer than two tones.", "Add the words of its tones first.");
    }
    if (static_cast<std::size_t>(tone->position) + 1 == tones.size() || judged->sense != Sense::is) {
        return no_match("matched.ceiling", subject.name,
                        judged->sense == Sense::is ? "it is at the end of the scale: more time adds nothing, so nothing can be reckoned back from it."
                                                   : "it was judged only as lighter than a tone or gone over it.",
                        "Dip a strip for half the time, and judge that.");
    }
    matched.place = tone->position + judged->fraction.value_or(0.5);
    if (judged->fraction) {
        const double log_dose = log_dose_at(matched, matched.place);
        matched.place_low = place_at(matched, log_dose - kReadLog);
        matched.place_high = place_at(matched, log_dose + kReadLog);
    } else {
        matched.place_low = tone->position + kJudgedLow;
        matched.place_high = tone->position + kJudgedHigh;
    }
    matched.log_shift = log_dose_at(matched, matched.place) - std::log(matched.dose_s + matched.dose_before_s);
    for (const Tone& one : tones) {
        const auto at = static_cast<double>(one.position);
        MatchedTone row{.tone = one.position, .word = one.word, .comes_s = one.position == 0 ? std::optional(0.0) : seconds_for(matched, at), .actual = one.position == tone->position};
        row.middle_s = row.actual ? seconds_for(matched, matched.place) : seconds_for(matched, at + 0.5);
        matched.tones.push_back(std::move(row));
    }
    return matched;
}

}  // namespace tonebath::app
