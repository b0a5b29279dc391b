#include "window/widgets/input.hpp"

#include <array>

namespace tonebath::window {

namespace {

constexpr std::array<std::string_view, 70> kCaps{
    "",    "A",     "B",     "C",   "D",   "E",         "F",   "G",   "H",    "I",   "J",       "K",
    "L",   "M",     "N",     "O",   "P",   "Q",         "R",   "S",   "T",    "U",   "V",       "W",
    "X",   "Y",     "Z",     "0",   "1",   "2",         "3",   "4",   "5",    "6",   "7",       "8",
    "9",   "F1",    "F2",    "F3",  "F4",  "F5",        "F6",  "F7",  "F8",   "F9",  "F10",     "F11",
    "F12", "Space", "Enter", "Esc", "Tab", "Backspace", "Del", "Ins", "Home", "End", "Page up", "Page down",
    "↑",   "↓",     "←",     "→",   "/",   "?",         "+",   "-",   ",",    ".",
};

}  // namespace

std::string_view key_cap(Key key) {
    return kCaps[static_cast<std::size_t>(key)];
}

Key letter_key(char letter) {
    if (letter >= 'a' && letter <= 'z') {
        return static_cast<Key>(static_cast<int>(Key::a) + (letter - 'a'));
    }
    if (letter >= 'A' && letter <= 'Z') {
        return static_cast<Key>(static_cast<int>(Key::a) + (letter - 'A'));
    }
    if (letter >= '0' && letter <= '9') {
        return digit_key(letter - '0');
    }
    return Key::none;
}

Key digit_key(int digit) {
    return digit < 0 || digit > 9 ? Key::none : static_cast<Key>(static_cast<int>(Key::d0) + digit);
}

void InputFrame::add_key(Key key, Mods with, bool repeat, double pressed_s) {
    InputEvent event;
    event.kind = InputEvent::Kind::key;
    event.key = {key, with, repeat, pressed_s};
    events.push_back(std::move(event));
}

void InputFrame::add_pointer(Vec2 at, bool down, Mods with) {
    InputEvent event;
    event.kind = InputEvent::Kind::pointer;
    event.pointer = {at, down, false, with};
    events.push_back(std::move(event));
    pointer = at;
}

void InputFrame::add_text(std::string_view utf8) {
    InputEvent event;
    event.kind = InputEvent::Kind::text;
    event.text.utf8 = std::string(utf8);
    events.push_back(std::move(event));
}

}  // namespace tonebath::window
