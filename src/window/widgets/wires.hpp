// Order and time on a wire: the day with its tags (Today), and a piece's story (Pieces).
#pragma once

#include "window/widgets/blocks.hpp"

namespace tonebath::window {

struct DayTag {
    std::string id;
    double hour = 0;   // local hour of the day, 9.5 = half past nine
    std::string head;  // "09:50 Batch 31"
    std::vector<std::string> lines;
    bool paper = false;        // this one: still to come and hers to act on
    std::optional<Mark> mark;  // lower right
    std::string cap;           // key cap, upper right
    KeyChord key;
    float row_share = 0;  // 0: hangs at the first height; 1: one lower
};
struct DayView {
    std::string id = "day";
    double from_hour = 7;
    double to_hour = 19;
    double now_hour = 0;
    std::vector<DayTag> tags;  // in order of time
    bool short_tags = false;   // narrow: head only
};
// r.y0: top of the hour words. Returns the id of the tag that was used.
std::string day_wire(Ui& ui, const Rect& r, const DayView& view);
[[nodiscard]] float day_wire_height(const Ui& ui, const DayView& view);

struct StoryBead {
    std::string id;
    std::string when;  // "12 Jan 11:05"
    std::string what;
    std::string more;     // label line under it
    bool filled = false;  // the one that matters
    bool strong = false;
    std::optional<Mark> mark;  // drawn in place of the bead
};
struct StoryView {
    std::string id = "story";
    std::vector<StoryBead> beads;  // oldest first
    float when_em = 6.25F;         // width of the time column
    bool open_end = true;          // the wire runs on below the last bead
};
// Returns the height used.
float story_wire(Ui& ui, const Rect& r, const StoryView& view);

}  // namespace tonebath::window
