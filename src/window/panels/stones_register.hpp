// The register on the page Stones: every stone found by typing, the chosen one's story, and what to ask back of those found.
#pragma once

#include "app/views/stones_view.hpp"
#include "window/widgets/field.hpp"
#include "window/widgets/table.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::window {

class StonesRegister {
public:
    // The log was read again.
    void stale() { found_stale_ = story_stale_ = true; }
    // Chooses this stone; what was typed is taken back where it hides it.
    void choose(const app::StonesView& view, const std::string& number);
    // Finds and reads what the last frame asked for.
    void catch_up(app::Studio& studio, const app::StonesView& view);
    void draw(Ui& ui, Rect place, const app::StonesView& view);
    [[nodiscard]] const std::string& chosen() const { return table_.chosen; }

private:
    void draw_list(Ui& ui, Rect place, const app::StonesView& view);
    void draw_story(Ui& ui, Rect place);

    FieldState find_;
    TableState table_;
    std::vector<std::size_t> found_;          // places in the view's rows
    std::optional<app::StoneStory> story_;
    std::optional<app::StoneTrace> trace_;    // of those found, while it is shown
    bool found_stale_ = true, story_stale_ = true, tracing_ = false;
    ScrollState story_scroll_, trace_scroll_;
};

}  // namespace tonebath::window
