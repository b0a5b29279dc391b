#include "window/widgets/text_edit.hpp"

#include <algorithm>

namespace tonebath::window {

namespace {

constexpr std::size_t kStepsKept = 200;

bool continues(char c) {
    return (static_cast<unsigned char>(c) & 0xc0U) == 0x80;
}

bool parts_words(char c) {
    return c == ' ' || c == ',' || c == '.' || c == '/' || c == '-' || c == ':';
}

}  // namespace

void TextEdit::set(std::string text) {
    text_ = std::move(text);
    caret_ = anchor_ = text_.size();
    steps_.clear();
}

void TextEdit::insert(std::string_view utf8) {
    std::string clean;
    for (const char c : utf8) {
        if (c == '\n' || c == '\t') {
            clean += ' ';
        } else if (static_cast<unsigned char>(c) >= 0x20 && c != 0x7f) {
            clean += c;
        }
    }
    if (clean.empty()) {
        return;
    }
    remember();
    erase_mark();
    text_.insert(caret_, clean);
    caret_ += clean.size();
    anchor_ = caret_;
}

void TextEdit::place_caret(std::size_t at, bool keep_mark) {
    caret_ = std::min(at, text_.size());
    while (caret_ > 0 && caret_ < text_.size() && continues(text_[caret_])) {
        --caret_;
    }
    if (!keep_mark) {
        anchor_ = caret_;
    }
}

void TextEdit::mark_all() {
    anchor_ = 0;
    caret_ = text_.size();
}

bool TextEdit::press(const KeyPress& key, std::string& clipboard, bool& clipboard_written) {
    const bool keep = key.mods.shift;
    if (key.mods.ctrl && key.key == Key::a) {
        mark_all();
        return true;
    }
    if (key.mods.ctrl && (key.key == Key::c || key.key == Key::x)) {
        if (has_mark()) {
            clipboard = marked();
            clipboard_written = true;
            if (key.key == Key::x) {
                remember();
                erase_mark();
            }
        }
        return true;
    }
    if (key.mods.ctrl && key.key == Key::v) {
        insert(clipboard);
        return true;
    }
    if (key.mods.ctrl && key.key == Key::z) {
        undo();
        return true;
    }
    if (key.key == Key::left) {
        place_caret(!keep && has_mark() ? mark_from() : key.mods.ctrl ? word_before(caret_) : before(caret_), keep);
    } else if (key.key == Key::right) {
        place_caret(!keep && has_mark() ? mark_to() : key.mods.ctrl ? word_after(caret_) : after(caret_), keep);
    } else if (key.key == Key::home) {
        place_caret(0, keep);
    } else if (key.key == Key::end) {
        place_caret(text_.size(), keep);
    } else if (key.key == Key::backspace || key.key == Key::del) {
        const bool back = key.key == Key::backspace;
        if (!has_mark()) {
            anchor_ = back ? (key.mods.ctrl ? word_before(caret_) : before(caret_))
                           : (key.mods.ctrl ? word_after(caret_) : after(caret_));
        }
        if (has_mark()) {
            remember();
            erase_mark();
        }
    } else {
        return false;
    }
    return true;
}

void TextEdit::undo() {
    if (steps_.empty()) {
        return;
    }
    text_ = std::move(steps_.back().text);
    caret_ = anchor_ = std::min(steps_.back().caret, text_.size());
    steps_.pop_back();
}

void TextEdit::erase_mark() {
    const std::size_t from = mark_from();
    text_.erase(from, mark_to() - from);
    caret_ = anchor_ = from;
}

void TextEdit::remember() {
    if (steps_.size() >= kStepsKept) {
        steps_.erase(steps_.begin());
    }
    steps_.push_back({text_, caret_});
}

std::size_t TextEdit::before(std::size_t at) const {
    if (at == 0) {
        return 0;
    }
    --at;
    while (at > 0 && continues(text_[at])) {
        --at;
    }
    return at;
}

std::size_t TextEdit::after(std::size_t at) const {
    if (at >= text_.size()) {
        return text_.size();
    }
    ++at;
    while (at < text_.size() && continues(text_[at])) {
        ++at;
    }
    return at;
}

std::size_t TextEdit::word_before(std::size_t at) const {
    while (at > 0 && parts_words(text_[at - 1])) {
        --at;
    }
    while (at > 0 && !parts_words(text_[at - 1])) {
        --at;
    }
    return at;
}

std::size_t TextEdit::word_after(std::size_t at) const {
    while (at < text_.size() && !parts_words(text_[at])) {
        ++at;
    }
    while (at < text_.size() && parts_words(text_[at])) {
        ++at;
    }
    return at;
}

}  // namespace tonebath::window
