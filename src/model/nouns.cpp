#include "model/nouns.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace tonebath {
namespace {

constexpr std::array<std::pair<std::string_view, std::string_view>, 15> kWords{{
    {"after_work", "after-work"},
    {"check_answer", "answer of a check"},
    {"check_run", "check"},
    {"client_order", "order"},
    {"follow_up", "follow-up"},
    {"judgement", "tone judgement"},
    {"lot_weighing", "weighing"},
    {"own_figure", "figure of your own"},
    {"press", "bench key press"},
    {"stone_stay", "former place of a stone"},
    {"strip", "test strip"},
    {"target", "target tone"},
    {"thermometer_check", "thermometer check"},
    {"tone_scale", "tone scale"},
    {"top_up", "top up"},
}};

constexpr std::array<std::string_view, 4> kKept{CheckRun::kTable, CheckAnswer::kTable, Disposal::kTable, Press::kTable};

}  // namespace

std::string_view noun_word(std::string_view table) {
    const auto* const found =
        std::find_if(kWords.begin(), kWords.end(), [table](const auto& entry) { return entry.first == table; });
    return found == kWords.end() ? table : found->second;
}

bool is_kept_table(std::string_view table) {
    return std::find(kKept.begin(), kKept.end(), table) != kKept.end();
}

}  // namespace tonebath
