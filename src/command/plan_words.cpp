#include "command/plan_words.hpp"

#include "app/tone_span.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

namespace tonebath::command {

namespace {

std::string seconds(double value) {
    return text_of(Seconds::from_seconds(value));
}

std::string alone_text(const app::AloneLine& alone) {
    std::string text = "  your strips alone: ";
    if (alone.out_s) {
        text += seconds(*alone.out_s);
        if (alone.low_s && alone.high_s) {
            text += fmt::format(" ({} to {})", seconds(*alone.low_s), seconds(*alone.high_s));
        }
        text += ", ";
    }
    text += alone.words.empty() ? std::string("nothing yet") : alone.words;
    return text + "\n";
}

}  // namespace

std::string plan_text(const app::Plan& plan, const std::string& tone) {
    if (plan.refusal) {
        return "  " + plan.refusal->text() + "\n";
    }
    std::string text = fmt::format("  out at {}, aim {} to {}\n", seconds(*plan.out_s), seconds(*plan.aim_low_s),
                                   seconds(*plan.aim_high_s));
    if (plan.look_s) {
        text += fmt::format("  look from {}\n", seconds(*plan.look_s));
    }
    if (plan.comes_s) {
        text += fmt::format("  {} comes at about {}\n", tone, seconds(*plan.comes_s));
    }
    if (plan.dose_s) {
        text += fmt::format("  equal to {} at 60 °C, fresh\n", seconds(*plan.dose_s));
    }
    text += "  this piece may land: " + app::tone_span(plan.lands_from, plan.lands_to) + "\n";
    if (plan.over_chance) {
        text += fmt::format("  goes past {} in {} of 100\n", tone, fixed_text(100.0 * *plan.over_chance, 0));
    }
    std::vector<std::string> why;
    for (const app::RangeShare& share : plan.shares) {
        why.push_back(fmt::format("{} ±{} %", share.cause, fixed_text(share.percent, 0)));
    }
    if (!why.empty()) {
        text += "  why the range: " + joined(why, ", ") + "\n";
    }
    text += alone_text(plan.alone);
    if (!plan.agree_words.empty()) {
        text += "  " + plan.agree_words + "\n";
    }
    text += "  rests on " + joined(plan.rests_on, ", ") + "\n";
    for (const std::string& one : plan.counts_in) {
        text += "  counts in " + one + "\n";
    }
    if (!plan.strip_words.empty()) {
        text += "  " + plan.strip_words + "\n";
    }
    for (const std::string& caution : plan.cautions) {
        text += "  note: " + caution + "\n";
    }
    return text;
}

}  // namespace tonebath::command
