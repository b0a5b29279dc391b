#include "window/widgets/text_edit.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <array>

namespace tonebath::testing {

using namespace tonebath::window;

namespace {

void press(TextEdit& edit, Key key, Mods mods = {}) {
    std::string clipboard;
    bool written = false;
    edit.press({key, mods, false, 0}, clipboard, written);
}

bool at_sign_start(const std::string& text, std::size_t at) {
    return at <= text.size() && (at == text.size() || (static_cast<unsigned char>(text[at]) & 0xc0U) != 0x80);
}

}  // namespace

TEST_CASE("typing, moving and erasing go by whole signs", "[text edit]") {
    TextEdit edit("60 °C");
    press(edit, Key::backspace);
    press(edit, Key::backspace);
    CHECK(edit.text() == "60 ");
    edit.insert("°F");
    press(edit, Key::left);
    press(edit, Key::left);
    press(edit, Key::del);
    CHECK(edit.text() == "60 F");
    press(edit, Key::home);
    edit.insert("1");
    CHECK(edit.text() == "160 F");
    press(edit, Key::end, kShift);
    CHECK(edit.marked() == "60 F");
    edit.insert("4.5");
    CHECK(edit.text() == "14.5");
    CHECK_FALSE(edit.has_mark());
}

TEST_CASE("words are jumped and erased with the control key", "[text edit]") {
    TextEdit edit("limpet 12 jan");
    press(edit, Key::left, kCtrl);
    CHECK(edit.caret() == 10);
    press(edit, Key::backspace, kCtrl);
    CHECK(edit.text() == "limpet jan");
    press(edit, Key::home);
    press(edit, Key::right, {.ctrl = true, .shift = true});
    CHECK(edit.marked() == "limpet ");
}

TEST_CASE("copy, cut, paste and undo", "[text edit]") {
    TextEdit edit("2.0");
    std::string clipboard;
    bool written = false;
    edit.press({Key::a, kCtrl, false, 0}, clipboard, written);
    edit.press({Key::x, kCtrl, false, 0}, clipboard, written);
    CHECK(edit.text().empty());
    CHECK(clipboard == "2.0");
    CHECK(written);
    edit.press({Key::v, kCtrl, false, 0}, clipboard, written);
    edit.press({Key::v, kCtrl, false, 0}, clipboard, written);
    CHECK(edit.text() == "2.02.0");
    edit.press({Key::z, kCtrl, false, 0}, clipboard, written);
    CHECK(edit.text() == "2.0");
    edit.press({Key::z, kCtrl, false, 0}, clipboard, written);
    edit.press({Key::z, kCtrl, false, 0}, clipboard, written);
    CHECK(edit.text() == "2.0");
    edit.insert("a\nb\tc\x01");
    CHECK(edit.text() == "2.0a b c");
}

TEST_CASE("no row of presses breaks a sign or leaves the text", "[text edit]") {
    CHECK(rc::check([] {
        TextEdit edit(*rc::gen::element<std::string>("", "60 °C", "žluťoučký", "😀 a", "₂₂"));
        std::string clipboard = "µ";
        bool written = false;
        const auto steps = *rc::gen::container<std::vector<int>>(rc::gen::inRange(0, 44));
        const std::array<Key, 11> keys{Key::left, Key::right, Key::home, Key::end, Key::backspace, Key::del,
                                       Key::a,    Key::c,     Key::x,    Key::v,   Key::z};
        for (const int step : steps) {
            if (step == 43) {
                edit.insert("é");
            } else {
                const Key key = keys[static_cast<std::size_t>(step) % keys.size()];
                const bool letter = key <= Key::z;
                edit.press({key, {.ctrl = letter || step % 2 == 1, .shift = step % 3 == 0}, false, 0}, clipboard,
                           written);
            }
            RC_ASSERT(at_sign_start(edit.text(), edit.caret()));
            RC_ASSERT(at_sign_start(edit.text(), edit.mark_from()));
            RC_ASSERT(edit.mark_from() <= edit.mark_to());
            RC_ASSERT(edit.mark_to() <= edit.text().size());
        }
    }));
}

}  // namespace tonebath::testing
