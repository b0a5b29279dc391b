// The few facts that every page shows.
#pragma once

#include <string>

namespace tonebath::app {

class Studio;

struct GlanceView {
    std::string who;           // initials at the bench; empty = nobody chosen
    bool empty = true;         // no lot, bath, strip or piece yet
    bool dip_running = false;
    int people = 0;            // on file, blanked ones and students left out
};
[[nodiscard]] GlanceView glance_view(Studio& studio);

}  // namespace tonebath::app
