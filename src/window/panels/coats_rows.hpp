// Pieces of the page Coats that only draw: the rows as they lie on the bench, the evening as one line, the room's air.
#pragma once

#include "app/coats_plan.hpp"
#include "app/views/coats_view.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/plot.hpp"
#include "window/widgets/table.hpp"

namespace tonebath::window {

// The rows with every stone; a click on one gives its place. `chosen`: the stone whose turn it is.
[[nodiscard]] std::optional<int> draw_coat_rows(Ui& ui, const Rect& place, const app::CoatingState& state, const std::vector<app::CoatRow>& rows,
                                                std::optional<int> chosen, ScrollState& scroll);

// The evening from its first stroke to its last, and from when a bath may begin.
void draw_finish(Ui& ui, const Rect& place, const app::FinishLine& line);
[[nodiscard]] float finish_height(const Ui& ui);

// The room's air against its dew point, both rules, and lines of words below.
struct AirCard {
    std::optional<Celsius> room;
    std::optional<science::RoomAir> air;
    std::string note;                  // "read 18:52"
    std::vector<std::pair<std::string, std::string>> heads;  // strong, then words under it, below the rules
    std::vector<std::string> words;
    std::string bottle, bottle_words;  // its tag, and what its label says
    std::string none;                  // where there is no reading
};
void draw_air_card(Ui& ui, const Rect& place, const AirCard& view, const UnitChoice& units, ScrollState& scroll);

// Bottles with their evenings; what sealers do.
void draw_bottles(Ui& ui, Rect place, const std::vector<app::BottleTrend>& bottles, const UnitChoice& units, TableState& state, ScrollState& scroll, PlotState& moved);
void draw_seals(Ui& ui, Rect place, const std::vector<app::SealShift>& seals, ScrollState& scroll);

}  // namespace tonebath::window
