// What every rule of the model shares: a rule looks at typed values and at what the log holds, and has nothing to say,
// or asks a kind question (which may be answered "Keep it"), or refuses.
#pragma once

#include "base/clock.hpp"
#include "base/result.hpp"
#include "model/lot.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::rules {

// Answers with a meaning of their own; every other answer is text for the field.
inline constexpr std::string_view kKeepIt = "Keep it";  // the code goes into Form::kept; the value is marked
inline constexpr std::string_view kBlank = "Blank";     // leave the field empty: not known

// A field as it stands on screen and what was typed into it.
struct Typed {
    std::string_view field;
    std::string_view text;
};

using Question = std::optional<Refusal>;

[[nodiscard]] bool may_be_kept(const Refusal& refusal);
// A refusal that stands. `message` and `remedy` are one sentence each.
[[nodiscard]] Refusal refuse(std::string code, const Typed& typed, std::string message, std::string remedy,
                             std::vector<std::string> answers = {});
// A question: as a refusal, with "Keep it" as its last answer.
[[nodiscard]] Refusal ask(std::string code, const Typed& typed, std::string message, std::string remedy,
                          std::vector<std::string> answers = {});

// True when the text names its unit itself ("140 F", "60 °C").
[[nodiscard]] bool names_unit(std::string_view typed);
// "2.0 g", "15 ml", "4 drops".
[[nodiscard]] std::string amount_words(double amount, AmountUnit unit);
// At most three digits that matter: "0.083", "20", "1.95".
[[nodiscard]] std::string figure(double value);
// "straw, gold, amber".
[[nodiscard]] std::string in_a_row(const std::vector<std::string>& words);

// At most `at_most`, in free words; broken UTF-8 and control characters other than line ends are refused.
[[nodiscard]] Question plain_text(const Typed& typed, std::size_t at_most_bytes);
// Above zero.
[[nodiscard]] Question above_zero(const Typed& typed, double value, std::string_view example);
[[nodiscard]] Question between(const Typed& typed, double value, double low, double high, std::string_view unit);
// Not later than a minute from now.
[[nodiscard]] Question not_in_future(const Typed& typed, const Stamp& at, const Stamp& now);
// Codes "number.taken": `next_free` is offered.
[[nodiscard]] Question number_free(const Typed& typed, std::string_view noun, bool taken, std::string_view next_free);

}  // namespace tonebath::rules
