#include "app/explain_records.hpp"
#include "app/studio.hpp"
#include "app/tone_span.hpp"
#include "app/views/explain_view.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/normal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace tonebath::app {

namespace {

constexpr std::size_t kMostInside = 24;  // ours: rows of promises kept, beside all that were not

// The baths' own numbers as places, where all are rising whole numbers; else empty.
std::vector<double> numbers_of(const std::vector<DriftPoint>& points) {
    std::vector<double> numbers;
    for (const DriftPoint& point : points) {
        const auto number = parse_number("Bath", point.bath);
        if (!number || *number != std::floor(*number) || (!numbers.empty() && *number <= numbers.back())) {
            return {};
        }
        numbers.push_back(*number);
    }
    return numbers;
}

// Mean speed of the points from `first` to before `end`, of one lot or of all.
double mean_speed(const std::vector<DriftPoint>& points, std::size_t first, std::size_t end, const std::string& lot) {
    double sum = 0.0;
    double n = 0.0;
    for (std::size_t i = first; i < end; ++i) {
        if (lot.empty() || points[i].lot == lot) {
            sum += std::log(points[i].speed);
            n += 1.0;
        }
    }
    return n > 0.0 ? std::exp(sum / n) : 1.0;
}

DriftStep step_of(const DriftShift& shift, const std::vector<DriftPoint>& points, const std::vector<DriftMark>& marks) {
    const auto at = [&](const std::string& bath) {
        return static_cast<std::size_t>(std::ranges::find(points, bath, &DriftPoint::bath) - points.begin());
    };
    const std::size_t first = at(shift.from_bath);
    std::size_t last = shift.to_bath.empty() ? points.size() - 1 : at(shift.to_bath);
    while (last > first && !shift.lot.empty() && points[last].lot != shift.lot) {
        --last;  // a lot's shift is drawn as far as the lot was used
    }
    DriftStep step{.from_x = marks[first].x, .to_x = marks[last].x, .words = shift.words};
    if (shift.slow) {
        step.from_speed = first > 0 ? mean_speed(points, 0, first, shift.lot) : points[first].speed;
        step.to_speed = step.from_speed * shift.ratio;
    } else {
        step.from_speed = step.to_speed = mean_speed(points, first, last + 1, shift.lot);
    }
    return step;
}

std::string bar_words(bool differs, double tones, const std::optional<double>& lightness) {
    std::string words = differs ? off_words(tones) : "no difference";
    if (lightness) {
        words += fmt::format(" (L* {}{})", *lightness < 0.0 ? "−" : "+", fixed_text(std::abs(*lightness), 1));
    }
    return words;
}

GroupRow row_of(const CompareRow& row) {
    GroupRow out{.head = fmt::format("{} against {}", row.first, row.second),
                 .note = fmt::format("{} against {}", row.first_pieces, counted(row.second_pieces, "piece", "pieces")),
                 .raw = {.tones = row.raw_tones, .low = row.raw_tones, .high = row.raw_tones, .words = bar_words(row.raw_differs, row.raw_tones, row.raw_l),
                         .differs = row.raw_differs},
                 .equal = {.tones = row.equal_dose_tones, .low = row.equal_dose_tones - science::kEightyOfHundred * row.equal_dose_se_tones,
                           .high = row.equal_dose_tones + science::kEightyOfHundred * row.equal_dose_se_tones,
                           .words = bar_words(row.equal_dose_differs, row.equal_dose_tones, row.equal_dose_l), .differs = row.equal_dose_differs}};
    if (row.no_common_bath) {
        out.also = "No bath held pieces of both: bath and group cannot be told apart. ";
    }
    if (!row.confounded.empty()) {
        out.also += fmt::format("Between them differed too: {} ({}). ", joined(row.confounded, ", "), dose_words(row.dose_ratio));
    }
    if (row.raw_differs && !row.equal_dose_differs) {
        out.also += "At equal dose the difference goes: it is the dose, not the group.";
    }
    return out;
}

}  // namespace

DriftView drift_view(Studio& studio, const Learned& learned) {
    const Drift found = drift(studio, learned);
    DriftView view{.lower = found.lower, .upper = found.upper, .words = found.shifts.empty() ? found.words : std::string()};
    view.limit_words = found.trial ? "limits on trial: from fewer than 20 baths" : "limits from the first 20 baths";
    const std::vector<double> numbers = numbers_of(found.points);
    view.x_name = numbers.empty() ? "baths in order" : "bath";
    for (std::size_t i = 0; i < found.points.size(); ++i) {
        const DriftPoint& point = found.points[i];
        view.marks.push_back({.x = numbers.empty() ? static_cast<double>(i + 1) : numbers[i],
                              .name = fmt::format("bath {}{}, {}", point.bath, point.lot.empty() ? "" : ", " + point.lot, date_text(point.at)),
                              .speed = point.speed, .low = point.low, .high = point.high, .outside = point.outside});
    }
    for (const DriftShift& shift : found.shifts) {
        view.steps.push_back(step_of(shift, found.points, view.marks));
    }
    std::ranges::stable_sort(view.steps, {}, &DriftStep::from_x);
    for (std::size_t i = 0; i < view.steps.size(); ++i) {
        view.steps[i].label = i < 26 ? std::string(1, static_cast<char>('A' + i)) : std::to_string(i + 1);
    }
    for (const MetalDoubt& doubt : found.metals) {
        view.metals.push_back(doubt.words);
    }
    return view;
}

GroupsView groups_view(Studio& studio, const Learned& learned, const CompareAsk& ask) {
    const Comparison found = compare_groups(studio, learned, ask);
    GroupsView view{.scale = found.scale, .none = found.words};
    for (const CompareRow& row : found.rows) {
        view.rows.push_back(row_of(row));
        const GroupRow& made = view.rows.back();
        view.widest = std::max({view.widest, std::abs(made.raw.tones), std::abs(made.equal.low), std::abs(made.equal.high)});
    }
    // What can be asked about: the batches and parts on this scale.
    const ExplainBook book = explain_book(studio, learned);
    std::set<std::string> batches;
    std::set<std::string> parts;
    for (const ExplainRecord& one : book.records) {
        if (!one.strip && !one.batch.empty() && (ask.scale.empty() || book.scale_names.at(learned.records[one.subject].scale) == ask.scale)) {
            batches.insert(one.batch);
            if (!one.part.empty()) {
                parts.insert(one.part);
            }
        }
    }
    view.batches.assign(batches.begin(), batches.end());
    std::ranges::sort(view.batches, [](const std::string& a, const std::string& b) { return natural_less(b, a); });
    view.parts.assign(parts.begin(), parts.end());
    return view;
}

MarksView marks_view(Studio& studio, const Learned& learned, const std::function<bool()>& wanted) {
    const Grade found = grade(studio, learned, wanted);
    MarksView view{.seen = found.record.seen, .inside = found.record.inside, .low = found.record.interval.lower, .high = found.record.interval.upper,
                   .promised = found.record.promised, .words = found.words, .verdict = found.verdict};
    view.not_counted = fmt::format("Not counted: {} pulled by eye, {} without a time of their own, {} older ones.", found.watched, found.without_time, found.earlier);
    const auto add = [&view](const GradedPiece& piece) {
        view.rows.push_back({.what = piece.what, .when = date_text(piece.at), .bath = piece.bath,
                             .promised = tone_span(piece.from, piece.to), .became = piece.judged,
                             .mark = !piece.mark.inside ? "may be either" : *piece.mark.inside ? "inside" : "outside"});
    };
    for (const GradedPiece& piece : found.pieces) {
        if (piece.mark.inside == false) {
            add(piece);
        }
    }
    std::size_t others = 0;
    for (const GradedPiece& piece : found.pieces) {
        if (piece.mark.inside == false) {
            continue;
        }
        if (others++ < kMostInside) {
            add(piece);
        }
    }
    view.more = others > kMostInside ? others - kMostInside : 0;
    return view;
}

}  // namespace tonebath::app
