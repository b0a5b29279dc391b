// What a record pack says on paper, and the gaps that stand on its first page.
#pragma once

#include "app/paper/period.hpp"
#include "report/report.hpp"

#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

// What the records of the period do not tell, one sentence each; the weightiest first. Empty: none that the program can see.
[[nodiscard]] std::vector<std::string> pack_gaps(Studio& studio, const Period& period);

// Checks with signatures and times, what was passed over, near misses, baths, classes without names of students, lots and
// volumes in balance, disposals with the local rule, products and their sheets. `gaps` stand on page one. A name under a
// heading is what the log holds, not a signature by hand.
[[nodiscard]] report::Report pack_report(Studio& studio, const Period& period, const std::vector<std::string>& gaps);

}  // namespace tonebath::app
