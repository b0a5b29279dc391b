// How long things last when some are still whole or were not seen again: Kaplan-Meier curve, its limits, and the
// log-rank test. Formulas, sources and errors: docs/formulas/counts_and_survival.md.
#pragma once

#include "science/counts.hpp"

#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

// Time to the failure, or to the last time it was seen whole, in the caller's unit (days, seconds in the bath); not
// below 0.
struct Followed {
    double time = 0.0;
    bool failed = false;
};

struct SurvivalStep {
    double time = 0.0;
    long at_risk = 0;  // just before `time`; those last seen whole at `time` are still counted
    long failed = 0;
    long unseen_after = 0;  // last seen whole at `time`
    double survival = 1.0;
    std::optional<double> standard_error;  // Greenwood; nothing where survival is 0
    std::optional<ShareInterval> limits;   // log-log; nothing where survival is 1 or 0
};

struct SurvivalCurve {
    std::vector<SurvivalStep> steps;  // one for each distinct time, rising; empty when nothing was followed
    // Time at which half have failed: where the curve falls below 1/2, or the middle of the stretch at exactly 1/2.
    // Nothing when the curve stays above.
    std::optional<double> median;
    // Its limits from the log-log limits of the curve; nothing where the limit is never reached.
    std::optional<double> median_lower;
    std::optional<double> median_upper;

    // Survival just after `time`; 1 before the first step. Past the last step nothing is known unless all had failed.
    [[nodiscard]] std::optional<double> at(double time) const;
};

// 0 < confidence < 1, two-sided.
[[nodiscard]] SurvivalCurve kaplan_meier(std::span<const Followed> followed, double confidence = 0.95);

struct LogRank {
    std::vector<double> observed;  // failures in each group
    std::vector<double> expected;  // failures expected there if all groups were alike
    double chi_square = 0.0;
    int degrees = 0;  // groups with anything at risk at a failure, less one
    double p = 1.0;   // of a chi-square this large or larger
};
// Mantel-Haenszel (log-rank) test between two or more groups, with the hypergeometric variance. When fewer than two
// groups were at risk together at any failure there is nothing to compare: degrees 0, p 1.
[[nodiscard]] LogRank log_rank(std::span<const std::vector<Followed>> groups);

}  // namespace tonebath::science
