// Pages made only to look at the widgets: every component once, and a bench and a day put together from them.
#pragma once

#include "window/widgets/emergency.hpp"
#include "window/widgets/field.hpp"
#include "window/widgets/plot.hpp"
#include "window/widgets/table.hpp"
#include "window/widgets/ui.hpp"

namespace tonebath::testing {

struct SheetState {
    window::FieldState weighed, water, rinse, time, asked, reading, find;
    window::PlotState plot;
    window::TableState table;
    window::ChoiceState list;
    std::string metal = "sterling";
    bool sound = true;
    std::string pressed;  // id of the last thing used
    SheetState();
};

void components_sheet(window::Ui& ui, SheetState& state);
void bench_sheet(window::Ui& ui, SheetState& state);
void day_sheet(window::Ui& ui, SheetState& state);
void baths_sheet(window::Ui& ui, SheetState& state);
void pieces_sheet(window::Ui& ui, SheetState& state);
void class_sheet(window::Ui& ui, SheetState& state);
void lanes_sheet(window::Ui& ui);
window::EmergencyResult emergency_sheet(window::Ui& ui);

// Places in a sheet are given in pixels at scale 1.
[[nodiscard]] float at(const window::Ui& ui, float px_at_scale_1);
[[nodiscard]] window::Rect box(const window::Ui& ui, float x, float y, float w, float h);

}  // namespace tonebath::testing
