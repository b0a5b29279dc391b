#include "app/repeat.hpp"

#include "base/quantity_text.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

std::string seconds(double value) { return text_of(Seconds::from_seconds(value)); }

}  // namespace

std::string_view word_of(Likeness likeness) {
    switch (likeness) {
        case Likeness::same: return "the same";
        case Likeness::changed: return "changed";
        case Likeness::not_known: return "not known";
    }
    return "";
}

std::vector<std::string> repeat_words(const RepeatOrder& order) {
    std::vector<std::string> lines;
    if (order.dose_s) {
        lines.push_back(fmt::format("dose: {} at 60 °C, fresh; {}", seconds(*order.dose_s), order.dose_words));
    }
    if (order.out_s) {
        lines.push_back(fmt::format("today in bath {}: {}, aim {} to {}", order.bath, seconds(*order.out_s), seconds(*order.low_s),
                                    seconds(*order.high_s)));
    } else if (order.no_time) {
        lines.push_back(order.no_time->text());
    }
    lines.push_back("then: " + order.then_words +
                    (order.out_s && order.then_s ? fmt::format("; today is {} times that", fixed_text(*order.out_s / *order.then_s, 2)) : ""));
    lines.push_back(order.strip_words);
    lines.push_back(order.keep_words);
    for (const std::string& caution : order.cautions) {
        lines.push_back("note: " + caution);
    }
    return lines;
}

std::string then_and_now(const RepeatChange& change) {
    if (change.likeness == Likeness::same) {
        return change.what + ": " + change.now;
    }
    if (change.then.empty() && change.now.empty()) {
        return change.what + ": not written down, then or now";
    }
    const std::string none = "not written down";
    return change.what + ": " + (change.then.empty() ? none : change.then) + ", now " + (change.now.empty() ? none : change.now);
}

std::string repeat_text(const RepeatOrder& order) {
    std::string text = fmt::format("{} again, {} as {}{}\n", order.number, order.tone, order.pattern,
                                   order.pieces > 0 ? ", " + counted(order.pieces, "piece", "pieces") : std::string());
    for (const std::string& line : repeat_words(order)) {
        text += "  " + line + "\n";
    }
    text += "Then and now:\n";
    for (const RepeatChange& change : order.changes) {
        text += fmt::format("  {:<10} {}\n", word_of(change.likeness), then_and_now(change));
    }
    return text;
}

}  // namespace tonebath::app
