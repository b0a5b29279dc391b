// A part of the air on page Safety: what a colder room does to the dose, and what to do first.
#pragma once

#include "app/reckoner.hpp"
#include "app/winter.hpp"
#include "window/panels/page.hpp"
#include "window/widgets/plot.hpp"
#include "window/widgets/table.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::window {

// The questions of the air stand side by side above its left half, so high.
inline constexpr float kStrip_em = 2.75F;
inline constexpr float kWinterRight_em = 26.5F;  // the column beside it

class WinterPart {
public:
    void lend(app::Reckoner& reckoner);
    // Asks anew only where it is shown.
    void read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned);
    void catch_up(bool shown);
    // As if it were typed into the field of the room.
    void type_room(std::string_view typed);
    void draw(Ui& ui, Rect page, const Glance& glance, Wishes& wishes);

private:
    void ask();
    void take_room(const std::string& typed);
    void draw_refusal(Ui& ui, const Rect& place);
    void draw_session(Ui& ui, Rect place, const app::WinterPlan& plan);
    void draw_asked(Ui& ui, Rect place, const Glance& glance);
    void draw_order(Ui& ui, const Rect& place, const app::WinterPlan& plan);

    app::Studio* studio_ = nullptr;
    app::Reckoner* reckoner_ = nullptr;
    std::shared_ptr<const app::Learned> learned_;
    std::optional<app::WinterAim> aim_;
    std::string tone_;                      // id of the tone that was chosen; empty = the one aimed at last
    std::vector<Tone> tones_;               // of its scale
    std::string last_room_;                 // in words: what counts while nothing is typed
    std::optional<double> room_c_;
    std::optional<Refusal> room_refused_;
    app::Reckoned<app::WinterPlan> plan_;
    Stamp asked_at_;
    bool stale_ = true;
    FieldState room_;
    ChoiceState list_;
    PlotState plot_state_;
    TableState table_;
    ScrollState scroll_;
    float order_h_ = 0;  // px, as drawn last
};

}  // namespace tonebath::window
