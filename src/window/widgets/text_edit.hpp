// Editing one line of text: the rules of a text field without any drawing. Positions are bytes at the start of a sign.
#pragma once

#include "window/widgets/input.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace tonebath::window {

class TextEdit {
public:
    TextEdit() = default;
    explicit TextEdit(std::string text) { set(std::move(text)); }

    void set(std::string text);  // caret to the end, nothing marked; forgets its undo steps
    [[nodiscard]] const std::string& text() const { return text_; }
    [[nodiscard]] std::size_t caret() const { return caret_; }
    [[nodiscard]] std::size_t mark_from() const { return caret_ < anchor_ ? caret_ : anchor_; }
    [[nodiscard]] std::size_t mark_to() const { return caret_ < anchor_ ? anchor_ : caret_; }
    [[nodiscard]] bool has_mark() const { return caret_ != anchor_; }
    [[nodiscard]] std::string marked() const { return text_.substr(mark_from(), mark_to() - mark_from()); }

    void insert(std::string_view utf8);  // line breaks become spaces, other control signs are dropped
    void place_caret(std::size_t at, bool keep_mark);
    void mark_all();
    // True when the press was an editing key. Ctrl+C, X and V use `clipboard` both ways.
    bool press(const KeyPress& key, std::string& clipboard, bool& clipboard_written);
    void undo();

private:
    struct Step {
        std::string text;
        std::size_t caret = 0;
    };
    void erase_mark();
    void remember();
    [[nodiscard]] std::size_t before(std::size_t at) const;
    [[nodiscard]] std::size_t after(std::size_t at) const;
    [[nodiscard]] std::size_t word_before(std::size_t at) const;
    [[nodiscard]] std::size_t word_after(std::size_t at) const;

    std::string text_;
    std::size_t caret_ = 0;
    std::size_t anchor_ = 0;
    std::vector<Step> steps_;
};

}  // namespace tonebath::window
