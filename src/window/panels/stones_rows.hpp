// Blocks of the page Stones that only draw.
#pragma once

#include "app/views/stones_view.hpp"
#include "window/widgets/table.hpp"

#include <string>

namespace tonebath::window {

// Foil backs by coats and bottle: every stone once, what was seen of it, and the bar. Returns the height used.
void draw_bottle_groups(Ui& ui, const Rect& place, const app::BottleStudy& study, ScrollState& scroll);

// Stones seen harmed, by zone and size.
void draw_damage(Ui& ui, const Rect& place, const std::vector<app::DamageZone>& damage);

// What is known of a kind and a finish: own log, published notes with source and trust, warnings.
void draw_gate(Ui& ui, Rect place, const app::StoneGate& gate, ScrollState& scroll);

// What the meaning of the octagons is, in one line ending at the right edge.
void draw_stone_legend(Ui& ui, const Rect& line);

}  // namespace tonebath::window
