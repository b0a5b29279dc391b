// How the invented studio's baths truly behave. Numbers are made up (they stand for no chemistry): the demo's records
// are made from them, and the program must find them again.
#pragma once

#include "base/clock.hpp"

#include <optional>
#include <string_view>
#include <vector>

namespace tonebath::app {

struct DemoFaults;

enum class DemoAlloy { fine_silver, sterling, copper, red_brass, yellow_brass };

// One stretch of cooling: from at_s after make-up the bath stands at temp_c and cools from there.
struct DemoHeat {
    double at_s = 0.0;
    double temp_c = 0.0;
};

// The true course of one bath; times in seconds since make-up.
struct DemoBathLaw {
    std::vector<DemoHeat> heats;  // the first at 0
    double room_c = 20.0;
    double k_per_min = 0.035;
    double lot_factor = 1.0;     // of this lot on that day
    double probe_error_c = 0.0;  // what the thermometer shows too much
    double known_error_c = 0.0;  // how much of it the maker knows and takes off
    double yellow_speed = 0.06;  // of yellow brass

    [[nodiscard]] double temp_c(double t_s) const;
    // Seconds at 55 °C, fresh, on this alloy, between two moments. Simpson's rule on steps of at most 5 s.
    [[nodiscard]] double dose_s(double t0_s, double t1_s, DemoAlloy alloy) const;
    // Seconds from t0_s that the maker reckons with: a fresh lot, no fade, the temperature as she believes it.
    [[nodiscard]] double reckoned_s(double t0_s, double wanted_dose_s, DemoAlloy alloy) const;
    // Seconds from t0_s that truly give the dose.
    [[nodiscard]] double true_s(double t0_s, double wanted_dose_s, DemoAlloy alloy) const;

private:
    [[nodiscard]] double speed(double t_s, DemoAlloy alloy, bool as_reckoned) const;
    [[nodiscard]] double seconds_for(double t0_s, double wanted_dose_s, DemoAlloy alloy, bool as_reckoned) const;
};

// What a lot's speed is on a day, against fresh. In the demo LS-1 was left open on 28 November and halves in about six weeks
// (P1).
[[nodiscard]] double demo_lot_factor(std::string_view lot, const Stamp& day, const DemoFaults& faults);

// Words of a scale with the doses in their middle. Between two words lies the geometric mean of their doses.
struct DemoTone {
    std::string_view word;
    double dose_s = 0.0;
};
[[nodiscard]] const std::vector<DemoTone>& demo_tones(DemoAlloy alloy);
[[nodiscard]] double demo_dose_of(DemoAlloy alloy, std::string_view word);
// Dose at which the word begins.
[[nodiscard]] double demo_begin_of(DemoAlloy alloy, std::string_view word);
// The word at a dose; "bright" below the first.
[[nodiscard]] std::string_view demo_word_at(DemoAlloy alloy, double dose_s);

// Measured colour at a dose. L* falls with dose; a* and b* come from a small table. Display data, invented: no film
// behaves as plainly as this.
struct DemoColour {
    double l = 72.0, a = 0.0, b = 0.0;
};
[[nodiscard]] DemoColour demo_colour(double dose_s);
[[nodiscard]] double demo_dose_of_l(double l);  // the other way; held within 0.2 and 160 s

}  // namespace tonebath::app
