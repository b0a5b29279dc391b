// Outcome<T, Why>: a figure, or the reason why none can be given. The reason is an enumerator (or a small value with
// one), never a sentence: later layers find the words.
#pragma once

#include "base/check.hpp"

#include <utility>
#include <variant>

namespace tonebath::science {

template <class T, class Why>
class [[nodiscard]] Outcome {
public:
    Outcome(T value) : state_(std::in_place_index<0>, std::move(value)) {}
    Outcome(Why why) : state_(std::in_place_index<1>, std::move(why)) {}

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
    [[nodiscard]] const Why& why() const {
        TB_CHECK(!has_value());
        return std::get<1>(state_);
    }

private:
    std::variant<T, Why> state_;
};

}  // namespace tonebath::science
