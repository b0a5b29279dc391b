// One subject's log dose taken apart, for comparisons: what each recorded circumstance adds, what was seen, what is left.
#pragma once

#include "science/tone_model.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

enum class DosePart { time_in_bath, heat, strength, fade, agitation, bath, lot, factors };
inline constexpr std::size_t kDoseParts = 8;

struct ToneAccount {
    std::array<double, kDoseParts> part = {};  // log dose by DosePart, posterior means; they add up to expected
    double expected = 0.0;
    double heat_per_kj = 0.0;  // by which heat moves with 1 kJ/mol
    // What was seen, on the same scale: middle of the tone's band, or the limit of a one-sided record.
    double seen = 0.0;
    double seen_sd = 0.0;     // of reading it so (a band of width w: w / sqrt(12))
    double scatter_sd = 0.0;  // piece scatter, or the watched error
    bool one_sided = false;
    double left_over() const { return seen - expected; }
};

// nullopt: no such subject, or one that was left out of the fit.
[[nodiscard]] std::optional<ToneAccount> account_of(const ToneFit& fit, const ToneInput& input, std::size_t subject);

// Why did this piece differ from its mates? Each recorded difference sized through the model.
struct SizedCause {
    DosePart part = DosePart::time_in_bath;
    double size = 0.0;   // log dose, this piece minus the mean of its mates
    double share = 0.0;  // of the difference seen
    bool named = false;  // large enough, in the right direction, and part of an explanation
};
struct WhyDifferent {
    double seen_difference = 0.0;  // log dose
    double noise_sd = 0.0;         // what scatter and reading alone would do
    bool differs = false;          // more than twice the noise; else nothing is named
    std::vector<SizedCause> causes;  // largest first
    double unexplained = 0.0;
    // The difference is real, no recorded circumstance makes half of it: "nothing recorded explains this".
    bool nothing_recorded_explains = false;
    bool one_sided = false;  // the piece or most mates stand at the end of the scale: the difference is at least this
};
// Mates may not hold `odd`; those left out of the fit are passed over. nullopt: fewer than two mates, or no account.
[[nodiscard]] std::optional<WhyDifferent> why_different(const ToneFit& fit, const ToneInput& input, std::size_t odd,
                                                        std::span<const std::size_t> mates);
// The same from accounts whose `seen` the caller knows better (a measured lightness).
[[nodiscard]] std::optional<WhyDifferent> why_accounts_differ(const ToneAccount& odd, std::vector<ToneAccount> mates);

// Two groups of pieces: as they look, and at equal dose.
struct GroupComparison {
    std::size_t first = 0;  // pieces used
    std::size_t second = 0;
    double raw = 0.0;     // mean seen, first minus second (log dose)
    double raw_se = 0.0;
    double equal_dose = 0.0;  // mean left over, first minus second
    double equal_dose_se = 0.0;
    bool raw_differs = false;         // more than three times its error: many groups are looked at
    bool equal_dose_differs = false;
    std::vector<SizedCause> between;  // what differs on average between the groups; named where it is 0.1 or more
    bool no_common_bath = false;      // no bath holds pieces of both: bath and group cannot be told apart
};
[[nodiscard]] std::optional<GroupComparison> compare_groups(const ToneFit& fit, const ToneInput& input,
                                                            std::span<const std::size_t> first,
                                                            std::span<const std::size_t> second);
// The same from accounts; whether they share a bath is the caller's to say.
[[nodiscard]] std::optional<GroupComparison> compare_accounts(std::vector<ToneAccount> first,
                                                              std::vector<ToneAccount> second);

}  // namespace tonebath::science
