// Rows: a list or a table with a frozen head, one chosen row, and only the visible rows drawn. And places that scroll.
#pragma once

#include "window/widgets/ui.hpp"

namespace tonebath::window {

struct ScrollState {
    float offset = 0;  // px from the top
};
// Clips to `view` and returns where the content begins; end_scroll must follow. Wheel, page keys while `keys`.
Rect begin_scroll(Ui& ui, std::string_view id, const Rect& view, float content_h, ScrollState& state,
                  bool keys = false);
void end_scroll(Ui& ui);

struct Column {
    std::string id;
    std::string head;
    float width_em = 0;  // 0: a share of what is left
    Align align = Align::left;
    bool drop_when_narrow = false;
};
struct TableState {
    std::string chosen;  // id of the row
    ScrollState scroll;
    bool reveal = false;  // scroll to the chosen row in the next frame
};
struct TableRow {
    std::string id;     // the record's own
    std::string label;  // words for the probe: "L-058, gold"
};
struct TableView {
    std::string id;
    std::string label;
    std::vector<Column> columns;
    int row_count = 0;
    float row_em = 3.25F;  // at least 2.625
    bool head = true;
    bool arrows_always = true;  // up and down choose rows whenever no text is typed
    std::string empty;          // one line when there are no rows
    std::function<TableRow(int row)> row;
    // Draws one cell; `place` is the cell without its padding. Called for the visible rows only.
    std::function<void(Ui&, int row, const Column& column, const Rect& place, bool chosen)> cell;
    std::string open_words;  // what Enter does with a row, for the probe
};
struct TableResult {
    bool chosen_changed = false;
    std::string opened;  // id of the row on which Enter was pressed, or which was clicked while chosen
};
TableResult table(Ui& ui, const Rect& r, const TableView& view, TableState& state);

}  // namespace tonebath::window
