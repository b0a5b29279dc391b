#include "app/matched.hpp"
#include "app/studio.hpp"
#include "app/tone_span.hpp"
#include "app/views/planning_view.hpp"
#include "base/quantity_text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kLongest_s = 600.0;   // ours: no slider goes further
constexpr double kPastLast = 1.15;     // ours: and so far beyond the time of the last tone
constexpr double kInLast = 1e-3;       // the end of the scale lies in its last tone
constexpr double kFineUnder_s = 60.0;  // ours: half seconds up to here, whole ones above

std::string seconds(double value) { return text_of(Seconds::from_seconds(value)); }

// How far the slider goes: past the last tone that comes at all, and past what was.
double end_of(const Matched& found) {
    double end = 2.0 * found.actual_s;
    for (const MatchedTone& one : found.tones) {
        end = std::max(end, kPastLast * one.middle_s.value_or(0.0));
    }
    return std::clamp(std::ceil(end), 10.0, std::max(kLongest_s, std::ceil(1.5 * found.actual_s)));
}

}  // namespace

MatchedView matched_view(Studio& studio, const Learned& learned, const Id<Piece>& piece) {
    MatchedView view;
    const auto record = store::find(studio.log(), piece);
    if (!record) {
        return view;
    }
    const auto found = what_would_have_matched(studio, learned, subject_of(studio, *record));
    if (!found) {
        view.none = found.error().text();
        return view;
    }
    const double end_of_scale = static_cast<double>(found->tones.size()) - kInLast;
    const auto held = [end_of_scale](double place) { return std::clamp(place, 0.0, end_of_scale); };
    const auto word = [&](double place) { return found->tones[static_cast<std::size_t>(held(place))].word; };
    view.head = fmt::format("{}, bath {}", found->what, found->bath);
    view.scale = found->scale;
    view.actual_words = fmt::format("{}, and it became {}", seconds(found->actual_s), word(found->place));
    const auto add = [&](double s) {
        if (const auto at = place_range_after(*found, s)) {
            view.stops.push_back({.seconds = s, .place = held(at->middle), .low = held(at->low), .high = held(at->high),
                                  .words = tone_span(word(at->low), word(at->high))});
        }
    };
    const double end_s = end_of(*found);
    const double step = end_s <= kFineUnder_s ? 0.5 : 1.0;
    bool actual_in = false;
    for (double s = step; s <= end_s; s += step) {
        if (!actual_in && s >= found->actual_s - 1e-9) {
            add(found->actual_s);
            view.actual = view.stops.empty() ? 0 : view.stops.size() - 1;
            actual_in = true;
        }
        if (std::abs(s - found->actual_s) > 0.05) {
            add(s);
        }
    }
    view.table = {.head = "In the same bath at the same moment", .columns = {"Tone", "Comes at", "Its middle"}};
    for (const MatchedTone& one : found->tones) {
        const bool past = one.middle_s && *one.middle_s <= 0.0;
        view.table.rows.push_back({.id = one.word,
                                   .cells = {one.word, past ? "before this dip" : one.comes_s ? seconds(*one.comes_s) : "never",
                                             past ? "before this dip" : one.middle_s ? seconds(*one.middle_s) : "never"},
                                   .strong = one.actual});
    }
    return view;
}

}  // namespace tonebath::app
