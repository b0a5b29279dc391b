// The emergency pages: black and white, bench size, whatever theme is chosen. They ask nothing and stop nothing.
#pragma once

#include "window/widgets/buttons.hpp"

namespace tonebath::window {

struct EmergencyRow {
    std::string head;                // "Skin"
    std::vector<std::string> lines;  // at most two
};
struct EmergencyCard {
    std::string name;   // "Emergency"
    std::string value;  // the studio's own; empty reads "not filled in"
};
struct EmergencyView {
    std::string id;     // "splash"
    std::string first;  // "Eye: running water now"
    std::string first_note;
    std::string second;  // "At least 15 minutes"
    std::string second_note;
    std::string counter_name;  // "page open for"; empty: no box
    std::string counter;       // "0:42"
    std::string counter_note;
    std::vector<EmergencyRow> rows;
    std::vector<EmergencyCard> cards;  // numbers and address
    std::vector<FootHint> hints;
    std::string foot_note;
    std::optional<BenchKeyView> bench_key;  // stays alive during a dip
};
struct EmergencyResult {
    std::string used;  // id of a hint
    BenchPress bench;
};
// Covers the whole screen, in a layer of its own. contrast: the black and white theme.
EmergencyResult emergency_page(Ui& ui, const Theme& contrast, const EmergencyView& view);

}  // namespace tonebath::window
