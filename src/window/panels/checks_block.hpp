// A list as it is answered: one item in hand, why it stands there and who says so, one key for what was stated last time, a
// field for anything else. The same on the page Safety and at the bench.
#pragma once

#include "app/views/checks_view.hpp"
#include "window/panels/page.hpp"
#include "window/widgets/field.hpp"
#include "window/widgets/table.hpp"

#include <optional>
#include <string>

namespace tonebath::window {

class ChecksBlock {
public:
    // Which list is shown; as it is wanted now when empty.
    void choose(app::ChecksChoice choice);
    [[nodiscard]] const app::ChecksChoice& choice() const { return choice_; }
    void read(app::Studio& studio);
    [[nodiscard]] const app::ChecksView& view() const { return view_; }
    // The answer to a form of a check; others are passed over.
    void told(const Told& told);
    // `first`: the key of the first answer; Enter where the bench key does not own it.
    void draw(Ui& ui, Rect place, const Glance& glance, Wishes& wishes, Key first = Key::enter);

private:
    void draw_head(Ui& ui, Rect& place) const;
    void draw_foot(Ui& ui, const Rect& place) const;
    [[nodiscard]] std::string foot_words() const;
    void draw_question(Ui& ui, Rect place, Wishes& wishes);
    void draw_items(Ui& ui, const Rect& place, const Glance& glance, Wishes& wishes, Key first);
    void draw_entry(Ui& ui, const Rect& place, const app::ChecksItem& item, Wishes& wishes);
    void pick_by_arrows(Ui& ui);
    void send(const app::ChecksItem& item, std::string_view response, Wishes& wishes);
    [[nodiscard]] const app::ChecksItem* in_hand() const;

    app::ChecksChoice choice_;
    app::ChecksView view_;
    std::string open_;          // key of the item that was chosen; empty = the next one
    bool entry_open_ = false;
    bool entry_focus_ = false;
    bool reveal_ = true;        // bring the item in hand into sight
    FieldState entry_;
    std::optional<Refusal> refusal_;
    std::optional<app::Form> asked_form_;
    ScrollState scroll_;
};

}  // namespace tonebath::window
