#include "window/panels/emergency_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::window {

void EmergencySheet::show_next() {
    if (pages_.empty()) {
        return;
    }
    shown_ = shown_ ? (*shown_ + 1) % pages_.size() : 0;
    fresh_ = true;
}

void EmergencySheet::show(std::string_view key) {
    const auto found = std::ranges::find(pages_, key, &app::EmergencyText::key);
    if (found != pages_.end()) {
        shown_ = static_cast<std::size_t>(found - pages_.begin());
        fresh_ = true;
    }
}

BenchPress EmergencySheet::draw(Ui& ui, const Theme& contrast, const std::optional<BenchKeyView>& bench_key) {
    if (!shown_) {
        return {};
    }
    if (fresh_) {
        opened_s_ = ui.now_s();
        fresh_ = false;
    }
    const app::EmergencyText& text = pages_[*shown_];
    EmergencyView view{.id = text.key,
                       .first = app::filled(text.first, numbers_),
                       .first_note = app::filled(text.first_note, numbers_),
                       .second = app::filled(text.second, numbers_),
                       .second_note = app::filled(text.second_note, numbers_)};
    if (text.least_minutes > 0) {
        const int open_s = static_cast<int>(ui.now_s() - opened_s_);
        view.counter_name = "page open for";
        view.counter = fmt::format("{}:{:02}", open_s / 60, open_s % 60);
        view.counter_note = fmt::format("rinse on past {}:00", text.least_minutes);
    }
    for (const app::EmergencyLine& row : text.rows) {
        EmergencyRow drawn{.head = row.head};
        for (const std::string& line : row.lines) {
            drawn.lines.push_back(filled(line, numbers_));
        }
        view.rows.push_back(std::move(drawn));
    }
    view.cards = {{"Emergency", numbers_.emergency_number}, {"Poison line", numbers_.poison_line}, {"You are at", numbers_.address}};
    const std::string next = pages_[(*shown_ + 1) % pages_.size()].title;
    view.hints = {{.id = "back", .cap = "Esc", .words = "back, nothing is asked", .key = KeyChord(Key::esc)},
                  {.id = "next", .cap = "F12", .words = next, .key = KeyChord(Key::f12)}};
    view.foot_note = "General words, not medical advice. Local rules and professionals decide.";
    view.bench_key = bench_key;
    const EmergencyResult result = emergency_page(ui, contrast, view);
    if (result.used == "back") {
        hide();
    } else if (result.used == "next") {
        show_next();
    }
    return result.bench;
}

}  // namespace tonebath::window
