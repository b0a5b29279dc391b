// How the window looks and sounds and which units are read first: theme, size, movement, sound, units.
#pragma once

#include "base/quantity_text.hpp"
#include "window/widgets/buttons.hpp"

#include <string>
#include <utility>

namespace tonebath::window {

struct WindowChoices {
    std::string theme = "slate";  // "slate", "chalk", "black and white"
    float scale = 1.0F;           // the person's own, 0.75 to 3
    bool reduced_motion = false;
    int sound = 2;       // 0 off, 1 quiet, 2 medium, 3 loud
    bool voice = false;  // lanes are spoken, where a speech program is installed
    UnitChoice units;
};

class SettingsSheet {
public:
    void open() { open_ = true; }
    [[nodiscard]] bool is_open() const { return open_; }
    // Changes `choices` at once; they are taken up in the next frame.
    void draw(Ui& ui, float hung_from_x, WindowChoices& choices);
    // True once after the button that plays the out was used.
    [[nodiscard]] bool take_sound_test() { return std::exchange(sound_test_, false); }

private:
    bool open_ = false;
    bool sound_test_ = false;
};

}  // namespace tonebath::window
