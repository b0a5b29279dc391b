// Looks that are due on the page Stones: one touch answers; where harm was found one more, if she likes, says where.
#pragma once

#include "app/views/stones_view.hpp"
#include "window/panels/page.hpp"
#include "window/widgets/table.hpp"

#include <string>
#include <vector>

namespace tonebath::window {

class StonesDue {
public:
    // Another answer came.
    void take_up(const app::StonesView& view);
    // What was answered leaves the list at once; the next view is without it.
    void told(const Told& told, const app::StonesView& view);
    void draw(Ui& ui, Rect page, const app::StonesView& view, const Glance& glance, Wishes& wishes);
    [[nodiscard]] const std::string& chosen() const { return table_.chosen; }
    [[nodiscard]] std::size_t count() const { return rows_.size(); }

private:
    void choose(const app::StonesView& view);
    void draw_answers(Ui& ui, Rect place, Wishes& wishes);
    void draw_zones(Ui& ui, Rect place, Wishes& wishes);

    std::vector<std::size_t> rows_;      // of the view's list, without those just answered
    TableState table_;
    std::string refused_;
    std::string harmed_, harm_;          // the stone just found harmed, and how
};

}  // namespace tonebath::window
