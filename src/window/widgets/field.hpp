// A field: its name above, the value large, the unit inside at the right. A kind question opens under it with answers
// that each have a letter of their own; while it is open Enter takes nothing. What was typed is never thrown away.
#pragma once

#include "window/widgets/buttons.hpp"
#include "window/widgets/text_edit.hpp"

namespace tonebath::window {

struct FieldState {
    TextEdit edit;
    float scroll = 0;       // px
    bool dirty = false;     // changed since `entered`
    bool had_keys = false;  // in the last frame
    [[nodiscard]] const std::string& text() const { return edit.text(); }
    void set(std::string text) {
        edit.set(std::move(text));
        dirty = false;
    }
};

struct QuestionAnswer {
    std::string id;
    std::string label;  // "60.0 °C, reheated"
    KeyChord key;
};
struct Question {
    std::string guess;                    // "That looks like °F: 140 °F is 60.0 °C."
    std::string asks;                     // "Last reading 47.6 °C at 10:35: reheated since?"
    std::vector<QuestionAnswer> answers;  // none is the default
    [[nodiscard]] bool open() const { return !guess.empty(); }
};

enum class FieldKind : std::uint8_t { number, text };
struct FieldView {
    std::string label;       // its name
    bool name_shown = true;  // false: the name stands elsewhere on the page
    std::string unit;        // "°C"; empty for none
    std::string empty = "not known";
    FieldKind kind = FieldKind::number;
    bool from_memory = false;            // brass dashes under the value, words in the name
    bool kept_against_question = false;  // carries a mark
    bool big = false;                    // title letters: the one reading of a page
    bool plain_letters = false;          // lead instead of leads: find
    std::string note;                    // at the right when there is no unit: "18 pieces"
    std::string refused;                 // cannot be typed in, and why
    Question question;
};
struct FieldResult {
    bool changed = false;  // by a key this frame
    bool entered = false;  // Enter with no question open, or the field was left after a change
    bool left = false;     // lost the keys
    std::string answer;    // id of the answer that was chosen
    bool escaped = false;  // Esc while it had the keys
};
// r is the box itself; the name stands above it (label_above), the question to the right and the answers under it when
// `question_place` and `answers_place` are given, else the question is drawn under the box.
FieldResult field(Ui& ui, std::string_view id, const Rect& r, const FieldView& view, FieldState& state,
                  const Rect* question_place = nullptr, const Rect* answers_place = nullptr);
[[nodiscard]] float field_height(const Ui& ui, bool big = false);  // box, px
[[nodiscard]] float field_name_height(const Ui& ui);               // what the name takes above the box, px

}  // namespace tonebath::window
