// How an opened lot ages: when it was opened, what happened to it, where it stands, how fast its baths were one after
// another, and from when it is too weak to be worth making up.
#pragma once

#include "base/clock.hpp"
#include "model/lot.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Learned;
class Studio;

inline constexpr std::size_t kFewestForAgeing = 5;  // baths with a strip or piece judged; fewer tell nothing (ours)
inline constexpr double kUseless_times =
    3.0;  // a lot is useless when it takes three times as long (ours, as for a bath)

struct LotHappening {
    Stamp at;
    std::string words;  // "left open"
};
struct LotSpeed {
    std::string bath;
    Stamp at;
    double speed = 1.0, low = 1.0, high = 1.0;  // against the mean of the first 20 baths; 80 %
};
struct LotAgeing {
    Id<Lot> id;
    std::string lot;
    std::string kind;  // "liver of sulfur, lump"
    std::string place;
    std::optional<Stamp> opened;
    std::vector<LotHappening> happened;                      // oldest first
    std::vector<LotSpeed> speeds;                            // oldest first, since it was opened
    std::optional<double> half_weeks;                        // where a fall is told from chance
    std::optional<double> fresh_speed;                       // before that fall, as the speeds
    std::optional<Stamp> falls_from;                         // when it opened, or what happened to it since, whichever tells more
    std::string falls_since;                                 // "left open"; empty = since it was opened
    std::optional<Stamp> useless, useless_from, useless_to;  // middle, and 80 %; no `to` = it may never be
    std::string words;
};
// Lots in use whose kind has a dose, by number.
[[nodiscard]] std::vector<LotAgeing> lot_ageing(Studio& studio, const Learned& learned);

}  // namespace tonebath::app
