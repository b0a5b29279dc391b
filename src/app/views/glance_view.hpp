// The few facts that every page shows.
#pragma once

#include <string>

namespace tonebath::app {

class Studio;

struct GlanceView {
    std::string who;           // initials at the bench; empty = nobody chosen
    bool empty = true;         // no lot, bath, strip or piece yet
    bool dip_running = false;
};
[[nodiscard]] GlanceView glance_view(Studio& studio);
// More than one may stand at the bench: people on file, blanked ones and students left out.
[[nodiscard]] bool many_at_bench(Studio& studio);

}  // namespace tonebath::app
