#include "window/panels/list_sheet.hpp"

#include <algorithm>

namespace tonebath::window {

void ListSheet::open(std::string title, std::string hint,
                     std::function<std::vector<ListEntry>(const std::string&)> entries, std::string typed) {
    open_ = true;
    focus_field_ = true;
    title_ = std::move(title);
    hint_ = std::move(hint);
    entries_ = std::move(entries);
    text_ = {};
    text_.set(std::move(typed));
    shown_ = entries_(text_.text());
    caps_ = shown_.empty() || std::any_of(shown_.begin(), shown_.end(), [](const ListEntry& entry) { return !entry.cap.empty(); });
    table_ = {};
    table_.chosen = shown_.empty() ? "" : shown_.front().id;
}

std::string ListSheet::draw(Ui& ui, float hung_from_x) {
    if (!open_) {
        return {};
    }
    Sheet sheet(ui, title_, title_, hung_from_x);
    Rect inside = sheet.inside();
    const Rect head = inside.cut_top(ui.em(2.5F));
    page_head(ui, head.x0, head.y0 + ui.em(1.75F), title_);
    inside.cut_top(field_name_height(ui));
    const FieldResult typed = field(ui, "text", inside.cut_top(field_height(ui)),
                                    {.label = hint_, .empty = "type a word or a number", .kind = FieldKind::text,
                                     .plain_letters = true},
                                    text_);
    inside.cut_top(ui.em(0.75F));
    if (focus_field_) {
        ui.focus("text", true);
        focus_field_ = false;
    }
    if (typed.changed) {
        shown_ = entries_(text_.text());
        table_.chosen = shown_.empty() ? "" : shown_.front().id;
        table_.reveal = true;
    }
    TableView view{.id = "list", .label = title_, .row_count = static_cast<int>(shown_.size()), .row_em = 2.75F, .head = false,
                   .empty = "Nothing of that name."};
    if (caps_) {
        view.columns = {{.id = "cap", .width_em = 6.0F}, {.id = "words"}, {.id = "more", .width_em = 16.0F, .align = Align::right}};
    } else {
        view.columns = {{.id = "words"}, {.id = "more", .align = Align::right}};
    }
    view.row = [this](int row) {
        const ListEntry& entry = shown_[static_cast<std::size_t>(row)];
        return TableRow{.id = entry.id, .label = entry.words};
    };
    view.cell = [this](Ui& cell_ui, int row, const Column& column, const Rect& place, bool chosen) {
        const ListEntry& entry = shown_[static_cast<std::size_t>(row)];
        if (column.id == "cap" && !entry.cap.empty()) {
            key_cap_at(cell_ui, entry.cap, place.x0, place.mid_y(), cell_ui.colour(Role::edge), cell_ui.colour(Role::text));
        } else if (column.id == "words") {
            cell_ui.paint().text_in(chosen ? Type::strong : Type::body, cell_ui.colour(Role::ink), place, entry.words);
        } else if (column.id == "more") {
            cell_ui.paint().text_in(Type::label, cell_ui.colour(Role::quiet), place, entry.more, Align::right);
        }
    };
    const TableResult list = table(ui, inside, view, table_);
    std::string chosen = list.opened;
    if (chosen.empty() && typed.entered && !table_.chosen.empty()) {
        chosen = table_.chosen;
    }
    if (!chosen.empty() || sheet.closed() || typed.escaped) {
        open_ = false;
    }
    return chosen;
}

}  // namespace tonebath::window
