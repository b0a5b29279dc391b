#include "model/rules/rule.hpp"

#include "base/quantity_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::rules {

bool may_be_kept(const Refusal& refusal) {
    return std::find(refusal.answers.begin(), refusal.answers.end(), kKeepIt) != refusal.answers.end();
}

Refusal refuse(std::string code, const Typed& typed, std::string message, std::string remedy,
               std::vector<std::string> answers) {
    return Refusal{.code = std::move(code),
                   .field = std::string(typed.field),
                   .value = shown(trimmed(typed.text)),
                   .message = std::move(message),
                   .remedy = std::move(remedy),
                   .answers = std::move(answers)};
}

Refusal ask(std::string code, const Typed& typed, std::string message, std::string remedy,
            std::vector<std::string> answers) {
    answers.emplace_back(kKeepIt);
    return refuse(std::move(code), typed, std::move(message), std::move(remedy), std::move(answers));
}

bool names_unit(std::string_view typed) {
    return std::any_of(typed.begin(), typed.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
               static_cast<unsigned char>(c) == 0xC2U;  // ° is C2 B0
    });
}

std::string figure(double value) {
    if (value == 0.0 || !std::isfinite(value)) {
        return fixed_text(value, 0);
    }
    const int before = static_cast<int>(std::floor(std::log10(std::abs(value)))) + 1;
    std::string text = fixed_text(value, std::clamp(3 - before, 0, 6));
    if (text.find('.') != std::string::npos) {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') {
            text.pop_back();
        }
    }
    return text;
}

std::string amount_words(double amount, AmountUnit unit) {
    switch (unit) {
        case AmountUnit::g: return text_of(Grams::from_grams(amount));
        case AmountUnit::ml: return text_of(Millilitres::from_ml(amount));
        case AmountUnit::drops: return figure(amount) + (amount == 1.0 ? " drop" : " drops");
    }
    return figure(amount);
}

std::string in_a_row(const std::vector<std::string>& words) {
    return joined(words, ", ");
}

Question plain_text(const Typed& typed, std::size_t at_most_bytes) {
    if (typed.text.size() > at_most_bytes) {
        return refuse("text.too_long", typed,
                      fmt::format("that is {} characters long, and this holds {}.", typed.text.size(), at_most_bytes),
                      "Shorten it; a longer story goes into the note, in parts.");
    }
    if (!is_valid_utf8(typed.text)) {
        return refuse("text.not_text", typed, "some of it is not text.", "Type it again, or paste it as plain text.");
    }
    const bool control = std::any_of(typed.text.begin(), typed.text.end(), [](char c) {
        const auto byte = static_cast<unsigned char>(c);
        return (byte < 0x20U && c != '\n' && c != '\t' && c != '\r') || byte == 0x7FU;
    });
    if (control) {
        return refuse("text.not_text", typed, "it holds signs that cannot be shown.",
                      "Type it again, or paste it as plain text.");
    }
    return std::nullopt;
}

Question above_zero(const Typed& typed, double value, std::string_view example) {
    if (value > 0.0) {
        return std::nullopt;
    }
    return refuse(
        value < 0.0 ? "number.negative" : "number.zero", typed,
        value < 0.0 ? "that is below zero." : "zero is nothing at all.",
        fmt::format("Type a number above zero, for example {}, or leave it empty when it is not known.", example));
}

Question between(const Typed& typed, double value, double low, double high, std::string_view unit) {
    if (value >= low && value <= high) {
        return std::nullopt;
    }
    const std::string tail = unit.empty() ? "" : " " + std::string(unit);
    return refuse("number.out_of_range", typed,
                  fmt::format("that is not between {} and {}{}.", figure(low), figure(high), tail),
                  "Type it again, or leave it empty when it is not known.");
}

Question not_in_future(const Typed& typed, const Stamp& at, const Stamp& now) {
    if (seconds_between(now, at) <= 60.0) {
        return std::nullopt;
    }
    return refuse("moment.future", typed,
                  fmt::format("{} has not come yet: it is {} now.", date_time_text(at), date_time_text(now)),
                  "Type when it was, for example \"10 min ago\", or leave it empty for now.");
}

Question number_free(const Typed& typed, std::string_view noun, bool taken, std::string_view next_free) {
    if (!taken) {
        return std::nullopt;
    }
    std::vector<std::string> answers;
    if (!next_free.empty()) {
        answers.emplace_back(next_free);
    }
    return refuse("number.taken", typed, fmt::format("there is a {} called that already.", noun),
                  next_free.empty() ? std::string("Call it otherwise; two that are called alike cannot be told apart.")
                                    : fmt::format("Call it otherwise; {} is not taken yet.", next_free),
                  std::move(answers));
}

}  // namespace tonebath::rules
