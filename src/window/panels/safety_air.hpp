// The air on page Safety: what could be in it (if acid met the bath, over a sitting, of a lacquer evening, by a meter), what
// a hood draws, and what a colder room does to the dose.
#pragma once

#include "app/hood.hpp"
#include "app/views/safety_view.hpp"
#include "window/panels/page.hpp"
#include "window/panels/safety_winter.hpp"
#include "window/widgets/plot.hpp"
#include "window/widgets/table.hpp"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::window {

class AirPart {
public:
    void lend(app::Reckoner& reckoner) { winter_.lend(reckoner); }
    void read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned);
    void catch_up(bool shown);
    void draw(Ui& ui, Rect page, const Glance& glance, Wishes& wishes);
    void draw_sources(Ui& ui, Rect page, const Glance& glance, Wishes& wishes);

    [[nodiscard]] const app::SafetyView& view() const { return view_; }
    [[nodiscard]] bool cools() const;  // shows the colder room, whose bath goes on cooling
    void turn(bool to_winter);         // by its key: to the colder room, or back
    // "sitting", "winter" …; an unknown word is passed over.
    void show(std::string_view question);
    void type_room(std::string_view typed) { winter_.type_room(typed); }

private:
    enum Field { hours, ml, minutes, ppm, opening, flow, speed, distance, kFields };
    void reckon();
    void draw_fields(Ui& ui, Rect place);
    void draw_answer(Ui& ui, Rect page, const Rect& right, const app::AirAnswer& air, const std::string& about, double down_to_ppm);
    void draw_figures(Ui& ui, const Rect& place, const app::AirAnswer& air, const std::string& about, double down_to_ppm);
    void draw_hood(Ui& ui, const Rect& place, const Rect& right);

    app::Studio* studio_ = nullptr;
    app::SafetyView view_;
    static constexpr std::string_view kAcid = "acid";  // the question that stands without a form
    std::string question_{kAcid};
    std::array<FieldState, kFields> fields_;
    std::vector<std::string> solvents_;
    std::string solvent_;
    std::optional<app::AirTold> told_;
    std::optional<app::HoodAnswer> hood_;
    std::optional<Refusal> refusal_;
    bool stale_ = true;
    WinterPart winter_;
    ChoiceState question_list_, solvent_list_;
    PlotState plot_;
    ScrollState scroll_, figures_scroll_, hood_scroll_;
    float figures_h_ = 0, hood_h_ = 0;  // px, as drawn last
};

}  // namespace tonebath::window
