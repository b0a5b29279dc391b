// Events of the window, in the order in which they happened, until the next frame takes them. Nothing is polled: a key
// that goes down and up between two frames is two events, so no short press is lost.
#pragma once

#include "window/widgets/input.hpp"

#include <cstdint>

namespace tonebath::window {

// One key as GLFW names it: its code (a place on an American keyboard) and what the person's own layout prints on it.
struct RawKey {
    int code = 0;                // GLFW_KEY_*
    const char* name = nullptr;  // from the layout, nullptr for keys without a sign
};
// Letters and digits go by the layout, the rest by the place. Keypad keys are the keys they double. Key::none: no use
// for it.
[[nodiscard]] Key key_of(const RawKey& raw);
[[nodiscard]] Mods mods_of(int glfw_mods);

class InputQueue {
public:
    void key(Key key, Mods mods, bool repeat, double pressed_s);
    // A typed sign. The signs / ? + - , . are keys by what they print, wherever the layout has them: they take the
    // place of the key event just before, which on some layouts is another key with shift.
    void typed(std::uint32_t code_point);
    void button(bool down, bool second, Mods mods);
    void pointer_at(Vec2 at) { next_.pointer = at; }
    void wheel(float notches) { next_.wheel += notches; }
    void mods(Mods mods) { next_.mods = mods; }
    void pointer_left() { next_.pointer = {-1, -1}; }
    void focus_lost();

    [[nodiscard]] bool empty() const { return next_.events.empty(); }
    // What came since the last call. The pointer's place and the keys held stay known.
    [[nodiscard]] InputFrame take();
    // Removes and reports one press of this key without others held: the shell's own keys.
    [[nodiscard]] bool take_press(Key key);

private:
    InputFrame next_;
    bool key_just_before_ = false;  // the last event is a fresh key press, with nothing after it
};

}  // namespace tonebath::window
