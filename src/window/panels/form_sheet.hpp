// The sheet on which any action of the table is filled in: one field a line, made from the action's own list.
#pragma once

#include "app/actions.hpp"
#include "window/panels/page.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/table.hpp"

#include <map>
#include <optional>
#include <set>
#include <string>

namespace tonebath::window {

class FormSheet {
public:
    // Opens it with some fields filled in: an action, or one of the paper forms. TB_CHECK that it exists.
    void open(std::string_view action, const std::map<std::string, std::string>& filled);
    [[nodiscard]] bool is_open() const { return spec_ != nullptr; }
    // Draws it over the page and adds a WishForm when it is sent: by Ctrl+Enter from anywhere, by Enter on the last field
    // (on the others it goes to the next). Esc closes it; what was typed stays for the next opening of the same action
    // with the same fields filled in.
    void draw(Ui& ui, float hung_from_x, Wishes& wishes);
    // The answer to the form that was sent: closes it, or shows the question at the field that is meant.
    void told(const Told& told);
    [[nodiscard]] bool owns(const app::Form& form) const { return spec_ != nullptr && form.action == spec_->id; }

private:
    struct Line {
        FieldState text;
        ChoiceState list;
        std::string chosen;
    };
    [[nodiscard]] app::Form form() const;
    [[nodiscard]] std::string draw_fields(Ui& ui, const Rect& inside);
    void draw_line(Ui& ui, const Rect& place, std::size_t index);
    void go_on(std::size_t index);
    [[nodiscard]] float question_height(const Ui& ui, float width) const;
    [[nodiscard]] std::string draw_question(Ui& ui, const Rect& place) const;
    void answer_question(const std::string& answer, Wishes& wishes);

    const app::ActionSpec* spec_ = nullptr;
    std::map<std::string, Line> lines_;
    std::map<std::string, std::map<std::string, std::string>> left_;  // by what was opened: typed and not sent
    std::string opened_;      // action and what was filled in
    std::set<std::string> kept_;
    std::optional<Refusal> refusal_;
    ScrollState scroll_;
    std::string asked_;       // key of the field that the refusal means
    std::string focus_;       // field that gets the keys in the next frame
    std::string seen_focus_;  // path that had the keys in the last frame
    bool escaped_ = false;
    bool send_ = false;       // Enter on the last field
};

}  // namespace tonebath::window
