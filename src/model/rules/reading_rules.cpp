#include "model/rules/reading_rules.hpp"

#include "model/rules/temp_rules.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::rules {

namespace {

constexpr double kUsualCooling_per_min = 0.025;
constexpr double kBeside_c = 3.0;
constexpr double kOld_s = 25.0 * 60.0;

Celsius newton(Celsius from, Celsius room, double k_per_min, double minutes) {
    return Celsius::from_celsius(room.celsius() + (from.celsius() - room.celsius()) * std::exp(-k_per_min * minutes));
}

std::string last_words(const KnownTemp& last) {
    return fmt::format("{} at {}", text_of(last.temp), time_text(last.at));
}

std::string minutes_words(double seconds) {
    return fmt::format("{} min", fixed_text(seconds / 60.0, 0));
}

// The °F question, with the reheat asked in the same breath where it would be one.
Question fahrenheit(Question question, Celsius temp, const ReadingFacts& facts) {
    const Celsius meant = Celsius::from_fahrenheit(temp.celsius());
    const std::string figure_c = text_of(meant);
    if (!facts.before || meant.celsius() < facts.before->temp.celsius() + 1.0) {
        return question;
    }
    question->message += fmt::format(" Last reading {}: reheated since?", last_words(*facts.before));
    question->answers = {figure_c + ", reheated", figure_c + ", not reheated", std::string(kBlank)};
    return question;
}

}  // namespace

Question reading_moment(const Typed& at_typed, const Stamp& at, const ReadingFacts& facts) {
    if (Question early = not_in_future(at_typed, at, facts.now)) {
        return early;
    }
    if (at < facts.bath->made_up_at) {
        return refuse("reading.before_make_up", at_typed,
                      fmt::format("bath {} was made up on {}, after that.", facts.bath->number,
                                  date_time_text(facts.bath->made_up_at)),
                      "Type a later time, choose another bath, or correct the make-up.");
    }
    if (facts.bath->ended_at && at > *facts.bath->ended_at) {
        return refuse(
            "reading.after_end", at_typed,
            fmt::format("bath {} was ended on {}.", facts.bath->number, date_time_text(*facts.bath->ended_at)),
            "Type an earlier time, or choose another bath.");
    }
    return std::nullopt;
}

Question reading_temp(const Typed& temp_typed, Celsius temp, const Stamp& at, std::optional<bool> reheated,
                      const ReadingFacts& facts, const UnitChoice& units) {
    if (Question odd = bath_temp(temp_typed, temp, units)) {
        return odd->code == "bath.temp.looks_fahrenheit" ? fahrenheit(odd, temp, facts) : odd;
    }
    if (!facts.before || reheated.value_or(false)) {
        return std::nullopt;
    }
    const KnownTemp& last = *facts.before;
    if (temp.celsius() >= last.temp.celsius() + 1.0) {
        return ask(
            "reading.hotter", temp_typed,
            fmt::format("the last reading was {}, and a bath left alone cools: reheated since?", last_words(last)),
            "Say whether it was reheated, type it again, or keep it as it is.", {"reheated", "not reheated"});
    }
    const double minutes = seconds_between(last.at, at) / 60.0;
    const Celsius room = facts.bath->room_temp.value_or(Celsius::from_celsius(19.0));
    const double k_per_min =
        facts.vessel && facts.vessel->cooling_per_min ? *facts.vessel->cooling_per_min : kUsualCooling_per_min;
    const double expected = newton(last.temp, room, k_per_min, minutes).celsius();
    const double fastest = newton(last.temp, room, 3.0 * k_per_min, minutes).celsius();
    const double slowest = newton(last.temp, room, 0.25 * k_per_min, minutes).celsius();
    if (temp.celsius() < std::min(fastest, expected) - kBeside_c) {
        return ask(
            "reading.rinse_bowl", temp_typed,
            fmt::format("after {} in {} it should be near {}: was the probe in the rinse bowl?", last_words(last),
                        minutes_words(minutes * 60.0), text_of(Celsius::from_celsius(expected))),
            "Read it again in the bath, or keep it where cold water was added.", {std::string(kBlank)});
    }
    const bool holds_heat = facts.vessel && folded(facts.vessel->kind).find("water bath") != std::string::npos;
    if (!holds_heat && temp.celsius() > slowest + kBeside_c) {
        return ask(
            "reading.stale", temp_typed,
            fmt::format("after {} in {} it should be near {}: is this an older reading, or was it reheated?",
                        last_words(last), minutes_words(minutes * 60.0), text_of(Celsius::from_celsius(expected))),
            "Read it again, say when it was read, or keep it.", {"reheated", "not reheated"});
    }
    return std::nullopt;
}

std::string age_caution(const Stamp& at, const Stamp& now) {
    const double age_s = seconds_between(at, now);
    if (age_s < kOld_s) {
        return {};
    }
    return fmt::format("That reading is {} old: from there on the expected cooling is used.",
                       age_s < 7200.0 ? minutes_words(age_s) : fmt::format("{} h", fixed_text(age_s / 3600.0, 0)));
}

}  // namespace tonebath::rules
