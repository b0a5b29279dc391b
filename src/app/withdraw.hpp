// Taking back what is never removed: checks, disposals, near misses and bench presses are withdrawn instead.
#pragma once

#include "app/form.hpp"
#include "model/desk.hpp"
#include "model/dip.hpp"
#include "model/safety.hpp"

#include <string>

namespace tonebath::store {
struct ChangeEntry;
}

namespace tonebath::app {

class Studio;

// Withdraws the check, the disposal, the near miss or the bench press that the change wrote, in a change of its own.
[[nodiscard]] Result<Outcome> withdraw_step(Studio& studio, const store::ChangeEntry& entry);

// Parts of it, each for use inside Studio::write.
void withdraw_check(Studio& studio, CheckRun run, const std::string& why);
void withdraw_near_miss(Studio& studio, NearMiss miss);
void withdraw_disposal(Studio& studio, Disposal disposal, const std::string& why);
// Marks the press undone and sets the dip back to before it: a drop takes the dip away, an out makes it run on,
// "rinsed" takes the rinse away. Refusal "press.too_late" when later records rest on it.
[[nodiscard]] Result<Outcome> undo_press(Studio& studio, Press press);

}  // namespace tonebath::app
