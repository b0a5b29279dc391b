// The Class sheet: seats and who confirmed the briefing, the bath plan by seat, why the class does not start, what is owed.
#pragma once

#include "app/reckoner.hpp"
#include "app/views/class_view.hpp"
#include "window/panels/page.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/plot.hpp"
#include "window/widgets/table.hpp"

#include <memory>
#include <string>
#include <vector>

namespace tonebath::window {

[[nodiscard]] SeatState seat_state(const app::ClassSeat& seat);

class ClassSheet {
public:
    // A class's number; empty: the one that goes on, else the next, else the last.
    void open(std::string number);
    [[nodiscard]] bool is_open() const { return open_; }
    // Reads its view anew: when it is opened, and while it is open whenever the log or the fit changed.
    void read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned, app::Reckoner& reckoner);
    [[nodiscard]] bool stale() const { return open_ && stale_; }
    void draw(Ui& ui, float hung_from_x, const Glance& glance, Wishes& wishes);
    // Shown at the foot of the window while the sheet lies there; the sheet itself listens for the keys.
    [[nodiscard]] std::vector<FootHint> hints() const;
    void hint_used(std::string_view id, Wishes& wishes);

private:
    [[nodiscard]] const app::ClassSeat* chosen() const;
    void choose_first();
    void move(int step);
    void listen(Ui& ui, const Glance& glance, Wishes& wishes);
    void wish(std::string_view action, Wishes& wishes) const;
    void draw_seats(Ui& ui, Rect place);
    void draw_seat(Ui& ui, const Rect& place, const app::ClassSeat& seat);
    void draw_plan(Ui& ui, Rect place);
    void draw_wire(Ui& ui, const Rect& place, const app::ClassPlan& plan) const;
    void draw_right(Ui& ui, Rect place, const Glance& glance, Wishes& wishes);
    void draw_buttons(Ui& ui, Rect place, const Glance& glance, Wishes& wishes);
    void draw_blocks(Ui& ui, Rect place) const;
    [[nodiscard]] RefusalView refusal() const;

    bool open_ = false, stale_ = false;
    std::string asked_;  // number it was opened for
    app::ClassView view_;
    app::Reckoned<app::ClassPlan> plan_;
    int chosen_ = 0;     // seat
    bool shows_plan_ = false;  // narrow: the plan in place of the seats
    ScrollState scroll_;
    PlotState curve_;
};

}  // namespace tonebath::window
