// Blocks of the page Stones that only draw.
#pragma once

#include "app/views/stones_view.hpp"
#include "window/widgets/plot.hpp"
#include "window/widgets/table.hpp"

#include <string>

namespace tonebath::window {

// Before the first stone; true when its button was pressed.
bool draw_no_stones(Ui& ui, const Rect& page, bool read_only);

// Foil backs by coats and bottle: every stone once, what was seen of it, and the bar. Returns the height used.
void draw_bottle_groups(Ui& ui, const Rect& place, const app::BottleStudy& study, ScrollState& scroll);

// The figures behind a finding: counts, tests, and how many were unharmed day after day.
void draw_figures(Ui& ui, Rect place, const app::BottleFinding& finding, ScrollState& scroll, PlotState& moved);

// Stones, pieces and orders to ask back.
void draw_trace(Ui& ui, Rect place, const app::StoneTrace& trace, ScrollState& scroll);

// One column of a cell of the grid; `finish`: its finish, back and coats in words.
void draw_stone_cell(Ui& ui, const app::StoneCell& cell, const std::string& finish, std::string_view column, const Rect& place);

// Stones seen harmed, by zone and size.
void draw_damage(Ui& ui, const Rect& place, const std::vector<app::DamageZone>& damage);

// What is known of a kind and a finish: own log, published notes with source and trust, warnings.
void draw_gate(Ui& ui, Rect place, const app::StoneGate& gate, ScrollState& scroll);

// What the meaning of the octagons is, in one line ending at the right edge.
void draw_stone_legend(Ui& ui, const Rect& line);

}  // namespace tonebath::window
