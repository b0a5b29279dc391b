// Result<T>: a value, or a refusal that a person can act on.
// Member names follow std::expected, so that it can take its place when the compiler has it.
#pragma once

#include "base/check.hpp"

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace tonebath {

// What stops a request, in words for the person at the bench.
struct Refusal {
    std::string code;     // stable key for tests and scripts, for example "bath.temp.looks_fahrenheit"
    std::string field;    // the field that is meant, in the words on screen; empty when none is
    std::string value;    // what was typed, shortened for the screen
    std::string message;  // what is wrong, one sentence
    std::string remedy;   // what to do next, one sentence
    // Answers on offer for a kind question ("60.0 °C, reheated"); each is the text to put in the field or a flag to set.
    std::vector<std::string> answers;

    // All of it on one line: "temperature 150: that is hotter than water boils. Type it again, or ..."
    [[nodiscard]] std::string text() const {
        std::string line = field;
        if (!value.empty()) {
            line += line.empty() ? value : " " + value;
        }
        if (!line.empty()) {
            line += ": ";
        }
        line += message;
        if (!remedy.empty()) {
            line += " " + remedy;
        }
        return line;
    }
};

template <class T>
class [[nodiscard]] Result {
public:
    Result(T value) : state_(std::in_place_index<0>, std::move(value)) {}
    Result(Refusal refusal) : state_(std::in_place_index<1>, std::move(refusal)) {}

    [[nodiscard]] bool has_value() const { return state_.index() == 0; }
    explicit operator bool() const { return has_value(); }

    [[nodiscard]] const T& value() const& {
        TB_CHECK(has_value());
        return std::get<0>(state_);
    }
    [[nodiscard]] T&& value() && {
        TB_CHECK(has_value());
        return std::get<0>(std::move(state_));
    }
    [[nodiscard]] const T& operator*() const& { return value(); }
    [[nodiscard]] const T* operator->() const { return &value(); }
    [[nodiscard]] const Refusal& error() const {
        TB_CHECK(!has_value());
        return std::get<1>(state_);
    }
    [[nodiscard]] T value_or(T other) const { return has_value() ? std::get<0>(state_) : std::move(other); }

private:
    std::variant<T, Refusal> state_;
};

// For what returns nothing but may be refused.
struct Done {};

}  // namespace tonebath
