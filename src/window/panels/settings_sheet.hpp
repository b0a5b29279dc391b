// How the window looks and which units are read first: theme, size, movement, units.
#pragma once

#include "base/quantity_text.hpp"
#include "window/widgets/buttons.hpp"

#include <string>

namespace tonebath::window {

struct WindowChoices {
    std::string theme = "slate";  // "slate", "chalk", "black and white"
    float scale = 1.0F;           // the person's own, 0.75 to 3
    bool reduced_motion = false;
    UnitChoice units;
};

class SettingsSheet {
public:
    void open() { open_ = true; }
    [[nodiscard]] bool is_open() const { return open_; }
    // Changes `choices` at once; they are taken up in the next frame.
    void draw(Ui& ui, float hung_from_x, WindowChoices& choices);

private:
    bool open_ = false;
};

}  // namespace tonebath::window
