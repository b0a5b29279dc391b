#include "model/rules/dip_rules.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::rules {

namespace {

constexpr double kDay_s = 86400.0;

}  // namespace

Question dip_moment(const Typed& typed, const Bath& bath, const Stamp& at) {
    // Past work is often known to the day only, and then stands at midnight.
    if (at < bath.made_up_at && date_text(at) != date_text(bath.made_up_at)) {
        return refuse(
            "dip.before_make_up", typed,
            fmt::format("bath {} was made up on {}, after that.", bath.number, date_time_text(bath.made_up_at)),
            "Type a later time, choose another bath, or correct the make-up.");
    }
    if (bath.ended_at && at >= *bath.ended_at) {
        return refuse("dip.bath_ended", typed,
                      fmt::format("bath {} was ended on {}.", bath.number, date_time_text(*bath.ended_at)),
                      "Choose a bath in use, or make one up.");
    }
    return std::nullopt;
}

Question not_in_bath(const Typed& typed, std::string_view running_in) {
    if (running_in.empty()) {
        return std::nullopt;
    }
    return refuse("dip.already_in", typed, fmt::format("it is in bath {} now.", running_in),
                  "Lift it out first, or type the number of another piece.");
}

Question lane_free(const Typed& typed, std::string_view taken_by) {
    if (taken_by.empty()) {
        return std::nullopt;
    }
    return refuse("dip.lane_taken", typed, fmt::format("{} hangs in that lane.", taken_by),
                  "Choose a free lane, or lift that piece out first.");
}

Question dip_times(const Typed& out_typed, const Stamp& dropped, const Stamp& out) {
    const double length_s = seconds_between(dropped, out);
    if (length_s < 0.0) {
        return refuse("dip.out_before_in", out_typed,
                      fmt::format("that is before it went in, at {}.", time_text_seconds(dropped)),
                      "Were the two times changed over? Type them again.");
    }
    if (length_s > kDay_s) {
        return refuse("dip.too_long", out_typed, "that is longer than a day in the bath.",
                      "Type both times again, with the date where it was another day.");
    }
    return std::nullopt;
}

Question dip_length(const Typed& typed, Seconds length) {
    if (Question none = above_zero(typed, length.seconds(), "\"40\" for 40 s, or \"1:20\"")) {
        return none;
    }
    if (length.seconds() > kDay_s) {
        return refuse("dip.too_long", typed, "that is longer than a day in the bath.",
                      "Type it again: a bare number is seconds, \"1:20\" is minutes and seconds.");
    }
    return std::nullopt;
}

Question length_against_mates(const Typed& typed, Seconds length, std::span<const Seconds> mates,
                              std::string_view mates_words) {
    if (mates.size() < 3) {
        return std::nullopt;
    }
    std::vector<double> sorted;
    for (const Seconds mate : mates) {
        sorted.push_back(mate.seconds());
    }
    std::sort(sorted.begin(), sorted.end());
    const std::size_t half = sorted.size() / 2;
    const double median = sorted.size() % 2 == 1 ? sorted[half] : 0.5 * (sorted[half - 1] + sorted[half]);
    if (length.seconds() < 3.0 * median && length.seconds() > median / 3.0) {
        return std::nullopt;
    }
    return ask("dip.length_outlier", typed,
               fmt::format("{} were in for {} to {}, {} in the middle.", mates_words,
                           text_of(Seconds::from_seconds(sorted.front())),
                           text_of(Seconds::from_seconds(sorted.back())), text_of(Seconds::from_seconds(median))),
               "Was the out pressed late? Leave it empty when the length is not known, or keep it.",
               {std::string(kBlank)});
}

Question rinse_length(const Typed& typed, Seconds length) {
    if (length.seconds() < 0.0) {
        return above_zero(typed, length.seconds(), "\"30\" for 30 s");
    }
    if (length.seconds() <= 900.0) {
        return std::nullopt;
    }
    return ask("rinse.too_long", typed,
               fmt::format("a rinse of {} is longer than a quarter of an hour.", text_of(length)),
               "Leave it empty when it was not timed, or keep it.", {std::string(kBlank)});
}

Question part_alone(const Typed& typed, std::string_view part, std::optional<Stamp> joined, const Stamp& dipped) {
    if (!joined || dipped < *joined || date_text(dipped) == date_text(*joined)) {
        return std::nullopt;
    }
    return ask(
        "dip.part_after_assembly", typed,
        fmt::format("{} was joined to its piece on {}: since then the bath meets the whole piece and its stones.", part,
                    date_text(*joined)),
        "Dip the piece instead, correct the day it was assembled on, or keep it.");
}

Question joined_before_dip(const Typed& typed, std::string_view part, const Stamp& joined,
                           std::optional<Stamp> last_dip_alone) {
    if (!last_dip_alone || joined > *last_dip_alone || date_text(joined) == date_text(*last_dip_alone)) {
        return std::nullopt;
    }
    return ask("part.joined_before_dip", typed,
               fmt::format("{} was dipped by itself on {}, after that day.", part, date_text(*last_dip_alone)),
               "Type a later day, correct the dip, or keep it; the stones of the piece count that dip only when it was "
               "joined before.");
}

Question acid_carried(const Typed& typed, const FinishKind& kind, const Preparation* last) {
    if (last == nullptr || last->pickled != Answer::yes || !in_family(kind, "sulfide")) {
        return std::nullopt;
    }
    if (!last->rinses_after_pickle) {
        return ask("dip.rinses_unknown", typed, "it was pickled, and no rinse after the pickle is written down.",
                   "Rinse it twice and write that down; acid on it makes toxic gas in this bath.");
    }
    if (*last->rinses_after_pickle == 0) {
        return refuse("dip.acid_carried", typed, "it was pickled and not rinsed: acid makes toxic gas in this bath.",
                      "Rinse it twice in plain water, then write the preparation down again.");
    }
    return std::nullopt;
}

std::string no_rinse_caution(std::string_view what, bool dipped_before, bool rinsed_since) {
    if (!dipped_before || rinsed_since) {
        return {};
    }
    return fmt::format("No rinse of {} is written down since its last dip: what clung to it went on working.", what);
}

}  // namespace tonebath::rules
