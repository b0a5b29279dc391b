#include "window/shell/input_queue.hpp"

#include <GLFW/glfw3.h>

#include <algorithm>
#include <array>
#include <string>
#include <utility>

namespace tonebath::window {
namespace {

struct Pair {
    int code;
    Key key;
};

constexpr std::array kByPlace = {
    Pair{GLFW_KEY_SPACE, Key::space}, Pair{GLFW_KEY_ENTER, Key::enter},       Pair{GLFW_KEY_KP_ENTER, Key::enter},
    Pair{GLFW_KEY_ESCAPE, Key::esc},  Pair{GLFW_KEY_TAB, Key::tab},           Pair{GLFW_KEY_BACKSPACE, Key::backspace},
    Pair{GLFW_KEY_DELETE, Key::del},  Pair{GLFW_KEY_INSERT, Key::insert},     Pair{GLFW_KEY_HOME, Key::home},
    Pair{GLFW_KEY_END, Key::end},     Pair{GLFW_KEY_PAGE_UP, Key::page_up},   Pair{GLFW_KEY_PAGE_DOWN, Key::page_down},
    Pair{GLFW_KEY_UP, Key::up},       Pair{GLFW_KEY_DOWN, Key::down},         Pair{GLFW_KEY_LEFT, Key::left},
    Pair{GLFW_KEY_RIGHT, Key::right}, Pair{GLFW_KEY_SLASH, Key::slash},       Pair{GLFW_KEY_KP_DIVIDE, Key::slash},
    Pair{GLFW_KEY_MINUS, Key::minus}, Pair{GLFW_KEY_KP_SUBTRACT, Key::minus}, Pair{GLFW_KEY_KP_ADD, Key::plus},
    Pair{GLFW_KEY_COMMA, Key::comma}, Pair{GLFW_KEY_PERIOD, Key::period},     Pair{GLFW_KEY_KP_DECIMAL, Key::period},
};

std::string utf8_of(std::uint32_t c) {
    const auto tail = [c](unsigned shift) { return static_cast<char>(0x80U | ((c >> shift) & 0x3FU)); };
    if (c < 0x80) {
        return {static_cast<char>(c)};
    }
    if (c < 0x800) {
        return {static_cast<char>(0xC0U | (c >> 6U)), tail(0)};
    }
    if (c < 0x10000) {
        return {static_cast<char>(0xE0U | (c >> 12U)), tail(6), tail(0)};
    }
    return {static_cast<char>(0xF0U | (c >> 18U)), tail(12), tail(6), tail(0)};
}

Key key_of_sign(std::uint32_t c) {
    switch (c) {
        case '/': return Key::slash;
        case '?': return Key::question;
        case '+': return Key::plus;
        case '-': return Key::minus;
        case ',': return Key::comma;
        case '.': return Key::period;
        default: return Key::none;
    }
}

}  // namespace

Key key_of(const RawKey& raw) {
    if (raw.name != nullptr && raw.name[0] != '\0' && raw.name[1] == '\0' && raw.code < GLFW_KEY_ESCAPE) {
        if (const Key key = letter_key(raw.name[0]); key != Key::none) {
            return key;
        }
    }
    if (raw.code >= GLFW_KEY_0 && raw.code <= GLFW_KEY_9) {
        return digit_key(raw.code - GLFW_KEY_0);
    }
    if (raw.code >= GLFW_KEY_KP_0 && raw.code <= GLFW_KEY_KP_9) {
        return digit_key(raw.code - GLFW_KEY_KP_0);
    }
    // A letter's place counts only where the layout prints no Latin letter on it (Cyrillic, Greek).
    if (raw.code >= GLFW_KEY_A && raw.code <= GLFW_KEY_Z) {
        const bool latin_sign = raw.name != nullptr && raw.name[0] > 0 && raw.name[1] == '\0';
        return latin_sign ? Key::none : letter_key(static_cast<char>('a' + (raw.code - GLFW_KEY_A)));
    }
    if (raw.code >= GLFW_KEY_F1 && raw.code <= GLFW_KEY_F12) {
        return static_cast<Key>(static_cast<int>(Key::f1) + (raw.code - GLFW_KEY_F1));
    }
    const auto place =
        std::find_if(kByPlace.begin(), kByPlace.end(), [&](const Pair& p) { return p.code == raw.code; });
    return place != kByPlace.end() ? place->key : Key::none;
}

Mods mods_of(int glfw_mods) {
    return {.alt = (glfw_mods & GLFW_MOD_ALT) != 0,
            .ctrl = (glfw_mods & GLFW_MOD_CONTROL) != 0,
            .shift = (glfw_mods & GLFW_MOD_SHIFT) != 0};
}

void InputQueue::key(Key key, Mods mods, bool repeat, double pressed_s) {
    next_.mods = mods;
    next_.add_key(key, mods, repeat, pressed_s);
    key_just_before_ = true;
}

void InputQueue::typed(std::uint32_t code_point) {
    const Key sign = key_of_sign(code_point);
    if (sign != Key::none && key_just_before_) {
        KeyPress& press = next_.events.back().key;
        press.key = sign;
        press.mods.shift = false;
    }
    next_.add_text(utf8_of(code_point));
    key_just_before_ = false;
}

void InputQueue::button(bool down, bool second, Mods mods) {
    next_.mods = mods;
    next_.add_pointer(next_.pointer, down, mods);
    next_.events.back().pointer.second = second;
    key_just_before_ = false;
}

void InputQueue::focus_lost() {
    next_.mods = {};
    key_just_before_ = false;
}

InputFrame InputQueue::take() {
    InputFrame taken = std::exchange(next_, InputFrame{});
    next_.pointer = taken.pointer;
    next_.mods = taken.mods;
    key_just_before_ = false;
    // Keys without a use of ours were queued only so that a sign could take their place.
    std::erase_if(taken.events,
                  [](const InputEvent& e) { return e.kind == InputEvent::Kind::key && e.key.key == Key::none; });
    return taken;
}

bool InputQueue::take_press(Key key) {
    const auto press = std::find_if(next_.events.begin(), next_.events.end(), [&](const InputEvent& e) {
        return e.kind == InputEvent::Kind::key && e.key.key == key && e.key.mods == kNoMods && !e.key.repeat;
    });
    if (press == next_.events.end()) {
        return false;
    }
    next_.events.erase(press);
    key_just_before_ = false;
    return true;
}

}  // namespace tonebath::window
