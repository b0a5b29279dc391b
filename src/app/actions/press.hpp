// A press of the bench key as a record, and what it does to a dip. For use inside Studio::write.
#pragma once

#include "model/dip.hpp"
#include "model/safety.hpp"

#include <optional>
#include <string>

namespace tonebath::app {

class Studio;

// Both clocks as they are now.
void write_press(Studio& studio, const std::string& act, std::optional<int> lane, const Id<Dip>& dip);
// Fills in out_at and in_bath: by the boot clock where the drop was stamped on the same one (it runs through sleep),
// else by the wall clock with clock_gap; a wall clock that was set back before the drop leaves in_bath unknown.
void lift_out(Studio& studio, Dip& dip);

}  // namespace tonebath::app
