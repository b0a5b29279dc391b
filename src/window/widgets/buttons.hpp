// Buttons, key caps, the bench key, switches and choices. Every one carries an id, a label and, where it cannot be
// used, the reason, which is drawn beside it. All return true (or a result) in the frame they are used.
#pragma once

#include "window/widgets/marks.hpp"

namespace tonebath::window {

struct KeyChord {
    Key key = Key::none;
    Mods mods;
    KeyChord() = default;
    KeyChord(Key k, Mods m = kNoMods) : key(k), mods(m) {}
};
[[nodiscard]] std::string chord_cap(const KeyChord& chord);  // "Space", "Alt C"

struct ButtonStyle {
    std::string refused;  // not empty: cannot be used, and why ("air check open, press 8")
    Mark refused_mark = Mark::stop;
    bool reason_beside = true;  // draw the reason to the right of the button
    Type type = Type::strong;   // leads on big ones
    bool enter_too = false;     // for the page's copper button: Enter does what Space does
    bool bench = false;         // pressed in gloves: checked for 48 px
    bool take_key = true;       // false: print the key, but someone else listens for it
};
// Filled copper: at most one a page, none while a question is open.
bool button_do(Ui& ui, std::string_view id, const Rect& r, std::string_view label, KeyChord key = {},
               const ButtonStyle& style = {});
bool button_plain(Ui& ui, std::string_view id, const Rect& r, std::string_view label, KeyChord key = {},
                  const ButtonStyle& style = {});
bool button_quiet(Ui& ui, std::string_view id, const Rect& r, std::string_view label, KeyChord key = {},
                  const ButtonStyle& style = {});
// Width that a button needs for its words and key, px.
[[nodiscard]] float button_width(const Ui& ui, std::string_view label, KeyChord key = {}, Type type = Type::strong);

// The copper bar at the bench: the key cap, what it will do and to whom, and what comes after. Space and Enter are its
// own, in every layer. The press carries its time stamp.
struct BenchKeyView {
    std::string id = "bench key";
    std::string label;     // "Lift out L-131, into the rinse"
    std::string then;      // "then rinse 30 s"
    std::string refused;   // cannot be pressed, and why
    bool compact = false;  // lanes: words after the cap instead of in the middle
    bool owns_keys = true;
};
struct BenchPress {
    bool pressed = false;
    std::optional<double> pressed_s;  // stamp of the key press; absent for a pointer
};
BenchPress bench_key(Ui& ui, const Rect& r, const BenchKeyView& view);

// An outlined key cap, left edge at x, middle at mid_y. edge: thicker lower edge (not inside buttons). Returns its
// width.
float key_cap_at(Ui& ui, std::string_view cap, float x, float mid_y, Colour line, Colour ink, bool edge = true);
[[nodiscard]] float key_cap_width(const Ui& ui, std::string_view cap);

// A cap with its words after it, returns the right end x. Clickable when id is not empty (then `used` is set).
float key_hint(Ui& ui, std::string_view cap, std::string_view words, float x, float mid_y);

struct FootHint {
    std::string id;   // also the action's id
    std::string cap;  // "Space", "U", "← →"
    std::string words;
    KeyChord key;  // listened for when set
};
struct FootResult {
    std::string used;        // id of the hint that was pressed or clicked
    bool emergency = false;  // F12 or its cap
};
// The bottom of every page: at most five hints, F12 at the right, and when the last entry was written.
FootResult foot(Ui& ui, const std::vector<FootHint>& hints, std::string_view written, bool written_ok = true);
[[nodiscard]] Rect foot_rect(const Ui& ui);

// On or off, with its words at the right. Returns true when it was changed.
bool toggle(Ui& ui, std::string_view id, const Rect& r, std::string_view label, bool& on, KeyChord key = {},
            std::string_view refused = {});

struct Option {
    std::string id;  // stable
    std::string label;
    std::string note;     // a count or a unit at the right, quiet
    std::string refused;  // cannot be chosen, and why
};
// Side by side, the chosen one in paper. Left and right arrows move it while it has the keys. Returns true on change.
bool choice_segmented(Ui& ui, std::string_view id, const Rect& r, std::string_view label,
                      const std::vector<Option>& options, std::string& chosen, bool arrows_always = false);
// A field that opens a list below. Arrows, Enter, Esc, and typing the first letters.
struct ChoiceState {
    bool open = false;
    int marked = 0;
    float scroll = 0;
};
bool choice_list(Ui& ui, std::string_view id, const Rect& r, std::string_view label, const std::vector<Option>& options,
                 std::string& chosen, ChoiceState& state, std::string_view refused = {});

}  // namespace tonebath::window
