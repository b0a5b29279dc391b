#include "model/nouns.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace tonebath {
namespace {

constexpr std::array<std::pair<std::string_view, std::string_view>, 19> kWords{{
    {"after_work", "after-work"},
    {"check_answer", "answer of a check"},
    {"check_run", "check"},
    {"class_session", "class"},
    {"client_order", "order"},
    {"follow_up", "follow-up"},
    {"judgement", "tone judgement"},
    {"local_rule", "local rule"},
    {"lot_weighing", "weighing"},
    {"near_miss", "near miss"},
    {"own_figure", "figure of your own"},
    {"own_limit", "limit of the air"},
    {"press", "bench key press"},
    {"stone_stay", "former place of a stone"},
    {"strip", "test strip"},
    {"target", "target tone"},
    {"thermometer_check", "thermometer check"},
    {"tone_scale", "tone scale"},
    {"top_up", "top up"},
}};

}  // namespace

std::string_view noun_word(std::string_view table) {
    const auto* const found =
        std::find_if(kWords.begin(), kWords.end(), [table](const auto& entry) { return entry.first == table; });
    return found == kWords.end() ? table : found->second;
}

}  // namespace tonebath
