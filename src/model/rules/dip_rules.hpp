// Dips and rinses: what can be dropped, what can come out, and lengths that are asked about.
#pragma once

#include "model/dip.hpp"
#include "model/finish_kind.hpp"
#include "model/rules/rule.hpp"
#include "model/work.hpp"

#include <span>

namespace tonebath::rules {

// "dip.before_make_up", "dip.bath_ended".
[[nodiscard]] Question dip_moment(const Typed& typed, const Bath& bath, const Stamp& at);
// `running_in` is the number of the bath the piece hangs in now, empty when it hangs in none: "dip.already_in".
[[nodiscard]] Question not_in_bath(const Typed& typed, std::string_view running_in);
// "dip.lane_taken".
[[nodiscard]] Question lane_free(const Typed& typed, std::string_view taken_by);
// Out before in ("dip.out_before_in"); longer than a day ("dip.too_long").
[[nodiscard]] Question dip_times(const Typed& out_typed, const Stamp& dropped, const Stamp& out);
// Above zero, at most a day.
[[nodiscard]] Question dip_length(const Typed& typed, Seconds length);
// A length typed afterwards that stands far from its mates' (three times the median or a third of it, of at least three
// mates): "dip.length_outlier". Our cut-off.
[[nodiscard]] Question length_against_mates(const Typed& typed, Seconds length, std::span<const Seconds> mates,
                                            std::string_view mates_words);
// "rinse.too_long": longer than 15 minutes is a rinse that was never ended.
[[nodiscard]] Question rinse_length(const Typed& typed, Seconds length);
// A part dipped by itself after the day it was joined to its piece: "dip.part_after_assembly".
[[nodiscard]] Question part_alone(const Typed& typed, std::string_view part, std::optional<Stamp> joined,
                                  const Stamp& dipped);
// Joined before it was dipped by itself: the same from the other side, "part.joined_before_dip".
[[nodiscard]] Question joined_before_dip(const Typed& typed, std::string_view part, const Stamp& joined,
                                         std::optional<Stamp> last_dip_alone);
// The last preparation of what is dropped: pickled and not rinsed must not meet a sulfide bath ("dip.acid_carried",
// refused); pickled and the rinses not written down is asked about ("dip.rinses_unknown").
[[nodiscard]] Question acid_carried(const Typed& typed, const FinishKind& kind, const Preparation* last);
// Dropped again without a rinse written down since the last dip: a caution, never a stop. Empty when all is well.
[[nodiscard]] std::string no_rinse_caution(std::string_view what, bool dipped_before, bool rinsed_since);

}  // namespace tonebath::rules
