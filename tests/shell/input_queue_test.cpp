#include "window/shell/input_queue.hpp"

#include <GLFW/glfw3.h>
#include <catch2/catch.hpp>

using namespace tonebath::window;

namespace {

using Kind = InputEvent::Kind;

}  // namespace

TEST_CASE("Letters go by the layout, other keys by their place") {
    CHECK(key_of({GLFW_KEY_A, "a"}) == Key::a);
    CHECK(key_of({GLFW_KEY_Q, "a"}) == Key::a);          // French layout: A is where Americans have Q
    CHECK(key_of({GLFW_KEY_SEMICOLON, "m"}) == Key::m);  // and M is beside L
    CHECK(key_of({GLFW_KEY_M, ","}) == Key::none);       // its comma comes as a typed sign
    CHECK(key_of({GLFW_KEY_F, "\xd0\xb0"}) == Key::f);   // Cyrillic: by the place
    CHECK(key_of({GLFW_KEY_1, "&"}) == Key::d1);         // French layout: digits stand on shift
    CHECK(key_of({GLFW_KEY_KP_7, nullptr}) == Key::d7);
    CHECK(key_of({GLFW_KEY_KP_ENTER, nullptr}) == Key::enter);
    CHECK(key_of({GLFW_KEY_SPACE, nullptr}) == Key::space);
    CHECK(key_of({GLFW_KEY_F1, nullptr}) == Key::f1);
    CHECK(key_of({GLFW_KEY_F12, nullptr}) == Key::f12);
    CHECK(key_of({GLFW_KEY_F13, nullptr}) == Key::none);
    CHECK(key_of({GLFW_KEY_LEFT_SHIFT, nullptr}) == Key::none);
    CHECK(key_of({GLFW_KEY_UNKNOWN, nullptr}) == Key::none);
}

TEST_CASE("Presses within one frame all arrive, in order and with their stamps") {
    InputQueue queue;
    queue.pointer_at({10, 20});
    queue.key(Key::a, kCtrl, false, 100.0);
    queue.key(Key::backspace, kNoMods, false, 100.01);
    queue.key(Key::backspace, kNoMods, true, 100.02);
    queue.button(true, false, kNoMods);
    queue.pointer_at({30, 20});
    queue.button(false, false, kShift);
    queue.wheel(1);
    queue.wheel(0.5F);

    const InputFrame frame = queue.take();
    REQUIRE(frame.events.size() == 5);
    CHECK(frame.events[0].key.key == Key::a);
    CHECK(frame.events[0].key.mods == kCtrl);
    CHECK(frame.events[0].key.pressed_s == 100.0);
    CHECK(frame.events[1].key.key == Key::backspace);
    CHECK_FALSE(frame.events[1].key.repeat);
    CHECK(frame.events[2].key.repeat);
    CHECK(frame.events[3].pointer.down);
    CHECK(frame.events[3].pointer.at == Vec2{10, 20});
    CHECK_FALSE(frame.events[4].pointer.down);
    CHECK(frame.events[4].pointer.at == Vec2{30, 20});
    CHECK(frame.wheel == 1.5F);

    SECTION("and only once, while the pointer stays where it is") {
        const InputFrame next = queue.take();
        CHECK(next.events.empty());
        CHECK(next.wheel == 0);
        CHECK(next.pointer == Vec2{30, 20});
        CHECK(next.mods == kShift);
    }
    SECTION("keys held are forgotten when another window gets them") {
        queue.focus_lost();
        CHECK(queue.take().mods == kNoMods);
    }
}

TEST_CASE("Signs are keys by what they print, wherever the layout has them") {
    InputQueue queue;
    SECTION("slash on shift 7, as on German keyboards") {
        queue.key(Key::d7, kShift, false, 1.0);
        queue.typed('/');
        const InputFrame frame = queue.take();
        REQUIRE(frame.events.size() == 2);
        CHECK(frame.events[0].key.key == Key::slash);
        CHECK(frame.events[0].key.mods == kNoMods);
        CHECK(frame.events[0].key.pressed_s == 1.0);
        CHECK(frame.events[1].text.utf8 == "/");
    }
    SECTION("question mark on shift slash, and on a key that has no other use") {
        queue.key(Key::slash, kShift, false, 0);
        queue.typed('?');
        queue.key(Key::none, kShift, false, 0);
        queue.typed('?');
        const InputFrame frame = queue.take();
        REQUIRE(frame.events.size() == 4);
        CHECK(frame.events[0].key.key == Key::question);
        CHECK(frame.events[2].key.key == Key::question);
    }
    SECTION("a sign that was composed or pasted has no key of its own") {
        queue.key(Key::space, kNoMods, false, 0);
        queue.typed(' ');
        queue.typed('?');
        const InputFrame frame = queue.take();
        REQUIRE(frame.events.size() == 3);
        CHECK(frame.events[0].key.key == Key::space);
        CHECK(frame.events[2].kind == Kind::text);
    }
    SECTION("a key without a use is not handed on") {
        queue.key(Key::none, kNoMods, false, 0);
        queue.typed(0xE9);
        const InputFrame frame = queue.take();
        REQUIRE(frame.events.size() == 1);
        CHECK(frame.events[0].text.utf8 == "é");
    }
}

TEST_CASE("Typed signs arrive as UTF-8") {
    InputQueue queue;
    for (const std::uint32_t sign : {0x41U, 0xDFU, 0x20ACU, 0x1F525U}) {
        queue.typed(sign);
    }
    const InputFrame frame = queue.take();
    REQUIRE(frame.events.size() == 4);
    CHECK(frame.events[0].text.utf8 == "A");
    CHECK(frame.events[1].text.utf8 == "\xc3\x9f");
    CHECK(frame.events[2].text.utf8 == "\xe2\x82\xac");
    CHECK(frame.events[3].text.utf8 == "\xf0\x9f\x94\xa5");
}

TEST_CASE("The shell's own key is taken out, and nothing else") {
    InputQueue queue;
    queue.key(Key::f12, kNoMods, false, 0);
    queue.key(Key::f11, kAlt, false, 0);
    CHECK_FALSE(queue.take_press(Key::f11));
    queue.key(Key::f11, kNoMods, false, 0);
    CHECK(queue.take_press(Key::f11));
    CHECK_FALSE(queue.take_press(Key::f11));
    CHECK(queue.take().events.size() == 2);
}
