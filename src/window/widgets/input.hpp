// What the hands did since the last frame. The shell (or a test) hands it to Ui::begin_frame; nothing is polled, so a
// press and its release within one frame are both seen.
#pragma once

#include "window/widgets/geometry.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::window {

enum class Key : std::uint8_t {
    none,
    a,
    b,
    c,
    d,
    e,
    f,
    g,
    h,
    i,
    j,
    k,
    l,
    m,
    n,
    o,
    p,
    q,
    r,
    s,
    t,
    u,
    v,
    w,
    x,
    y,
    z,
    d0,
    d1,
    d2,
    d3,
    d4,
    d5,
    d6,
    d7,
    d8,
    d9,
    f1,
    f2,
    f3,
    f4,
    f5,
    f6,
    f7,
    f8,
    f9,
    f10,
    f11,
    f12,
    space,
    enter,
    esc,
    tab,
    backspace,
    del,
    insert,
    home,
    end,
    page_up,
    page_down,
    up,
    down,
    left,
    right,
    slash,
    question,
    plus,
    minus,
    comma,
    period,
};
// As printed on a key cap: "A", "1", "F12", "Space", "Esc", "?".
[[nodiscard]] std::string_view key_cap(Key key);
[[nodiscard]] Key letter_key(char letter);  // 'a'..'z', 'A'..'Z', '0'..'9', else none
[[nodiscard]] Key digit_key(int digit);     // 0..9

struct Mods {
    bool alt = false;
    bool ctrl = false;
    bool shift = false;
    friend bool operator==(const Mods&, const Mods&) = default;
};
inline constexpr Mods kNoMods{};
inline constexpr Mods kAlt{.alt = true};
inline constexpr Mods kCtrl{.ctrl = true};
inline constexpr Mods kShift{.shift = true};

struct KeyPress {
    Key key = Key::none;
    Mods mods;
    bool repeat = false;   // made by holding the key down
    double pressed_s = 0;  // shell clock that runs through sleep, for a press that must be stamped
};
struct PointerPress {
    Vec2 at;
    bool down = true;     // false: let go
    bool second = false;  // the other button
    Mods mods;
};
struct TextTyped {
    std::string utf8;
};
struct InputEvent {
    enum class Kind : std::uint8_t { key, pointer, text } kind = Kind::key;
    KeyPress key;
    PointerPress pointer;
    TextTyped text;
};

struct InputFrame {
    Vec2 pointer{-1, -1};
    float wheel = 0;  // notches, up is positive
    Mods mods;
    std::vector<InputEvent> events;  // in the order they happened

    void add_key(Key key, Mods with = {}, bool repeat = false, double pressed_s = 0);
    void add_pointer(Vec2 at, bool down, Mods with = {});
    void add_text(std::string_view utf8);
};

}  // namespace tonebath::window
