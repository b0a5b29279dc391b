// Baths and jars as the page shows them, and the portrait of one bath on one time line.
#pragma once

#include "app/course.hpp"
#include "app/views/pieces_view.hpp"
#include "science/dose.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

enum class BathState { in_use, ended, owed, gone };

struct BathRow {
    Id<Bath> id;
    std::string number;
    BathState state = BathState::in_use;
    std::string line;   // "in use, 45.9 °C"; "owed: 400 ml"; "collected 27 Mar"
    std::string more;   // "3 strips, 18 dips"
};

struct JarRow {
    Id<Lot> id;
    std::string number;
    std::string line;                  // "59 g of 100"
    std::string more;                  // "7 g not accounted for"
    std::optional<double> full;        // 0..1
    bool asks = false;                 // not everything is accounted for
    bool ages = false;                 // its finish has a dose: strips tell how it ages
};

struct BathsList {
    std::vector<BathRow> baths;        // newest first
    std::vector<JarRow> jars;
};
[[nodiscard]] BathsList baths_list(Studio& studio);

struct TempPoint {
    double hour = 0.0;                 // local hour of the make-up day; runs past 24
    double temp_c = 0.0;
    double low_c = 0.0, high_c = 0.0;  // one standard deviation either side
};

// A dip or strip hung at its minute.
struct HangingDip {
    double hour = 0.0;
    std::string group;                 // "3 strips", "rack 1"
    std::string scale;
    std::optional<ScalePlace> tone;
};

struct BathPortrait {
    BathHistory history;
    std::string title;                 // "LS-2 dry lump, 2.0 g in 400 ml hard tap water"
    std::string line;                  // "vessel V3, bowl in a water bath. Made up 09:30 by AP."
    bool in_use = false;
    double now_hour = 0.0;
    std::optional<double> temp_now_c;
    std::vector<TempPoint> measured;   // to now, or to the end
    std::vector<TempPoint> expected;   // from now, if left alone
    std::vector<TempPoint> readings;
    std::vector<HangingDip> dips;
    std::optional<double> strength_now;  // 1 = fresh
    std::string fade_words;            // "strength 0.83, half gone in about 4.3 h"
    std::optional<Stamp> throw_by;     // three times slower by then
    std::string left_head;             // "Fade ends it, not use."
    std::string left_words;
    std::optional<double> faded_share;   // of the fresh strength, by standing
    std::optional<double> used_share;    // of the sulfide, taken by metal; an upper bound for the metal, of a doubtful content
    std::string new_bath_words;          // by when, or after how many pieces more
    std::vector<std::string> assumed;
};
[[nodiscard]] std::optional<BathPortrait> bath_portrait(Studio& studio, const Id<Bath>& bath, const Laws& laws);

}  // namespace tonebath::app
