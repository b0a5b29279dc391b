// Student's t, for limits of a line through few strips.
#pragma once

#include <cstddef>

namespace tonebath::science {

// Half-width in standard errors of two-sided limits that hold in `share` of cases: t with df degrees of freedom
// (df at least 1), or the normal for df = 0, "error known". 0.95: 1.960, df 3: 3.182.
[[nodiscard]] double two_sided_quantile(double share, std::size_t df);

}  // namespace tonebath::science
