// Three parts of the page Safety: the bottles (the register, and what stands out now), the book of near misses, the
// waste.
#pragma once

#include "app/chemicals.hpp"
#include "app/near_misses.hpp"
#include "app/waste.hpp"
#include "window/panels/page.hpp"
#include "window/widgets/table.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::window {

// What the part says when it was read with nothing in it, and a button to begin.
class BottlesPart {
public:
    void read(app::Studio& studio);
    void draw(Ui& ui, Rect page, const Glance& glance, Wishes& wishes);
    // The chosen product fills in a form of this part; true when the form takes one.
    [[nodiscard]] bool fill(std::string_view action, std::map<std::string, std::string>& filled) const;

private:
    [[nodiscard]] const app::ChemicalRow* chosen() const;
    void draw_register(Ui& ui, Rect place, const Glance& glance, Wishes& wishes);
    void draw_out(Ui& ui, const Rect& place);
    void draw_chosen(Ui& ui, Rect place, const Glance& glance, Wishes& wishes);
    app::ChemicalRegister register_;
    app::BenchList bench_;
    TableState table_;
    ScrollState out_scroll_, sheet_scroll_;
    float out_h_ = 0;  // px, as drawn last
};

class NearMissPart {
public:
    void read(app::Studio& studio);
    void draw(Ui& ui, Rect page, const Glance& glance, Wishes& wishes);
    [[nodiscard]] bool fill(std::string_view action, std::map<std::string, std::string>& filled) const;
    [[nodiscard]] std::size_t waiting() const;  // entries that wait for a comment

private:
    std::vector<app::NearMissRow> rows_;
    TableState table_;
    ScrollState scroll_;
};

class WastePart {
public:
    void read(app::Studio& studio);
    void draw(Ui& ui, Rect page, const Glance& glance, Wishes& wishes);

private:
    void draw_balance(Ui& ui, const Rect& place);
    void draw_rules(Ui& ui, const Rect& place, const Glance& glance, Wishes& wishes);
    app::WasteBalance balance_;
    std::vector<app::WasteMonth> months_;
    std::vector<app::RuleRow> rules_;
    std::vector<app::LotBalance> lots_;
    ScrollState left_, right_;
    float left_h_ = 0, right_h_ = 0;  // px, as drawn last
};

}  // namespace tonebath::window
