// Creeping up on a tone: one dose in several dips, with a rinse and a look between them.
#pragma once

#include "science/dose.hpp"

#include <cstddef>
#include <span>
#include <vector>

namespace tonebath::science {

struct SplitOrder {
    double first_drop_s = 0.0;
    double dose_s = 0.0;      // all dips together, seconds at 60 °C, fresh
    double between_s = 30.0;  // from an out to the next drop: rinse and look
    // Seconds for which the bath's film goes on working after the lift, as in the bath (the maker's own figure).
    double carry_over_s = 0.0;
};

struct PlannedDip {
    double in_s = 0.0;
    double out_s = 0.0;
    double dose_s = 0.0;  // with carry-over
};

enum class SplitWhy {
    bad_input,
    no_dips,
    adds_to_more,       // the shares add to more than the dose
    carry_over_alone,   // carry-over gives a dip's share before it could be lifted
    dip_before_rinsed,  // between_s shorter than carry_over_s: no time to rinse
    never_reached,      // see out_time_s
};

// n equal shares, adding to 1.
[[nodiscard]] std::vector<double> equal_shares(std::size_t n);

// Dips with the stated shares of the dose (each above zero, together at most 1 within 1e-9). Their doses, carry-over
// included, add to dose_s times the sum of shares within 1e-9.
[[nodiscard]] Outcome<std::vector<PlannedDip>, SplitWhy> split_dose(const BathCourse& course, const RateLaw& law,
                                                                    const SplitOrder& order,
                                                                    std::span<const double> shares);

}  // namespace tonebath::science
