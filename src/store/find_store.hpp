// Free-text find over numbers, names, designs, notes and words of every noun.
#pragma once

#include "store/log.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace tonebath::store {

struct Found {
    std::string table;
    std::string record_id;
    std::string title;  // number, name, initials or tone word; empty where the noun has none (a dip, a reading)
    std::string words;  // what else was written in it
};

// Records that hold every word typed, each as the beginning of a word ("lim lid" finds "Limpet lid blue"), whatever the
// case or accents; whole runs of Chinese, Japanese or Korean letters are found anywhere. The record whose number or
// name is just what was typed comes first, then those whose number begins with it (shortest first), then the rest,
// newest first.
[[nodiscard]] std::vector<Found> find_text(Log& log, std::string_view typed, std::size_t limit = 50);

}  // namespace tonebath::store
