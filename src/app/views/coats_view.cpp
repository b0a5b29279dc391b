#include "app/views/coats_view.hpp"

#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::app {

namespace {

// "1:15", "0:08", "1:02:05": for what ticks.
std::string count_words(double seconds) {
    const auto whole = static_cast<long>(std::ceil(std::max(0.0, seconds)));
    return whole >= 3600 ? fmt::format("{}:{:02}:{:02}", whole / 3600, whole / 60 % 60, whole % 60) : fmt::format("{}:{:02}", whole / 60, whole % 60);
}

std::string nth_words(int n) {
    static constexpr std::array<std::string_view, 10> kWords{"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"};
    return n <= static_cast<int>(kWords.size()) ? std::string(kWords[static_cast<std::size_t>(n - 1)]) : fmt::format("number {}", n);
}

const CoatPlace& at(const CoatingState& state, int place) { return state.places[static_cast<std::size_t>(place - 1)]; }

std::string loop_of(const CoatingState& state) {
    const std::string loop = fmt::format("{} in {}", state.ask.stones, span_words(state.plan.loop_s));
    return state.ask.coats == 1 ? loop : state.plan.idle_s <= 0.0 ? loop + ", so the loop is the wait" : fmt::format("{}, then wait {}", loop, span_words(state.plan.idle_s));
}

std::string all_on(int coats) { return coats == 1 ? "its coat is on" : fmt::format("all {} coats on", coats); }

}  // namespace

std::vector<CoatRow> coat_rows(const CoatingState& state, const Stamp& now) {
    std::vector<CoatRow> rows;
    for (int number = 1; number <= state.rows(); ++number) {
        const auto [first, last] = state.places_of(number);
        CoatRow row{.row = number, .first = first, .last = last, .current = state.next_place && state.row_of(*state.next_place) == number};
        const CoatPlace* next = &at(state, first);
        int passed = 0;
        for (int place = first; place <= last; ++place) {
            next = at(state, place).done < next->done ? &at(state, place) : next;
            passed += at(state, place).passed;
        }
        const int layer = next->done + 1;
        int ahead = 0;
        for (int place = first; place <= last; ++place) {
            ahead += at(state, place).done >= layer ? 1 : 0;
        }
        if (layer > state.coating.coats) {
            row.phase = RowPhase::done;
            row.head = all_on(state.coating.coats);
            row.more = passed > 0 ? fmt::format("but {} passed over", counted(static_cast<std::size_t>(passed), "coat", "coats")) : fmt::format("stones {} to {}", first, last);
        } else if (ahead > 0) {
            row.phase = RowPhase::under_way;
            row.head = "under way";
            row.more = fmt::format("{} of {} have coat {}", ahead, last - first + 1, layer);
        } else {
            const auto from = state.row_from(number);
            if (from && now < *from) {
                row.phase = RowPhase::waiting;
                row.wait_s = seconds_between(now, *from);
                row.head = fmt::format("coat {} in {}", layer, count_words(*row.wait_s));
                row.more = fmt::format("stone {} began coat {} at {}", next->place, next->done, time_text_seconds(*next->begun));
            } else {
                row.head = fmt::format("coat {} may go on", layer);
                row.more = next->begun ? fmt::format("stone {} began {}, wait over", next->place, time_text_seconds(*next->begun)) : fmt::format("stones {} to {}", first, last);
            }
        }
        rows.push_back(std::move(row));
    }
    return rows;
}

CoatNow coat_now(const CoatingState& state, const Stamp& now, std::optional<int> place) {
    CoatNow words{.pace = fmt::format("{} a stone", span_words(state.ask.each_s)), .loop = loop_of(state)};
    std::vector<std::string> missed;
    for (const CoatPlace& one : state.places) {
        if (one.passed > 0) {
            missed.push_back(std::to_string(one.place));
        }
    }
    words.missed = missed.empty() ? "" : "passed over: " + joined(missed, ", ");
    const std::optional<int> chosen = place ? place : state.next_place;
    if (!chosen) {
        words.head = "All coats on";
        words.coat = counted(static_cast<std::size_t>(state.coating.coats), "coat", "coats");
        words.where = words.missed.empty() ? counted(static_cast<std::size_t>(state.coating.stones), "stone", "stones") : words.missed;
        return words;
    }
    const CoatPlace& one = at(state, *chosen);
    const int row = state.row_of(*chosen);
    const bool whole_row = state.coating.by_row && !place;
    words.head = whole_row ? fmt::format("Row {}", row) : fmt::format("Stone {}", *chosen);
    const bool refill = place && one.passed > 0;
    words.coat = refill ? "the coat it was passed over for" : fmt::format("coat {} of {}", one.done + 1, state.coating.coats);
    const auto [first, last] = state.places_of(row);
    words.where = whole_row ? fmt::format("stones {} to {}", *chosen, last) : fmt::format("row {}, {} from the left", row, nth_words(*chosen - first + 1));
    if (!one.stone.empty() && !whole_row) {
        words.where = one.stone + ", " + words.where;
    }
    if (one.begun) {
        const double left_s = seconds_between(now, plus_seconds(*one.begun, state.coating.wait.seconds()));
        words.wait = left_s > 0.0 ? "wait " + count_words(left_s) + " more" : "";
    }
    return words;
}

std::string hour_words(const Stamp& at, const Stamp& now) {
    const CivilTime there = civil({at.utc_ms, now.offset_min});
    const auto same_day = [&there](const CivilTime& day) { return there.year == day.year && there.month == day.month && there.day == day.day; };
    return same_day(civil(now)) ? time_text(at) : same_day(civil(plus_seconds(now, 86400.0))) ? time_text(at) + " tomorrow" : date_time_text(at);
}

FinishLine finish_line(const science::CoatAsk& ask, const Stamp& start, const Stamp& now) {
    const science::CoatPlan plan = science::coat_plan(ask);
    FinishLine line;
    const double whole_s = std::max(plan.coats_s, 1.0);
    line.ticks.push_back({0.0, time_text(start)});
    for (int layer = 2; layer <= ask.coats; ++layer) {
        line.ticks.push_back({science::coat_begins_s(ask, 1, layer) / whole_s, fmt::format("coat {}", layer)});
    }
    line.ticks.push_back({1.0, time_text(plus_seconds(start, plan.coats_s)) + " last coat"});
    line.now_share = std::clamp(seconds_between(start, now) / whole_s, 0.0, 1.0);
    line.bath = hour_words(plus_seconds(start, plan.bath_s), now);
    return line;
}

FinishLine finish_line(const CoatingState& state, const Stamp& now) {
    FinishLine line = finish_line(state.ask, state.first.value_or(now), now);
    // As it goes: whoever rests between strokes ends later.
    const Stamp end = state.coats_end(now);
    line.ticks.back().words = time_text(end) + " last coat";
    line.bath = hour_words(state.bath_from(now), now);
    int done = 0;
    for (const CoatPlace& place : state.places) {
        done += std::min(place.done, state.coating.coats);
    }
    const int all = state.coating.stones * state.coating.coats;
    if (state.plan.idle_s <= 0.0) {
        line.now_share = static_cast<double>(done) / all;
    } else if (state.next_place) {
        line.now_share = science::coat_begins_s(state.ask, *state.next_place, std::min(state.next_layer, state.coating.coats)) / std::max(state.plan.coats_s, 1.0);
    } else {
        line.now_share = 1.0;
    }
    return line;
}

CoatsBooks coats_books(Studio& studio) {
    CoatsBooks books;
    books.evenings = evening_records(studio, stone_rows(studio));
    books.bottles = bottle_trends(studio, books.evenings);
    books.seals = seal_shifts(studio);
    std::vector<Coating> last = store::list<Coating>(studio.log(), "ORDER BY started_utc_ms DESC, id DESC LIMIT 1");
    if (!last.empty()) {
        const auto bottle = last.front().bottle_id ? store::find(studio.log(), *last.front().bottle_id) : std::nullopt;
        books.last_bottle = bottle && !bottle->emptied_at ? bottle->number : "";
        books.last = std::move(last.front());
    }
    return books;
}

}  // namespace tonebath::app
