#include "app/views/stones_view.hpp"

#include "app/stone_notes.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace tonebath::app {

StonesView stones_view(Studio& studio) {
    StonesView view{.rows = stone_rows(studio)};
    view.find.reserve(view.rows.size());
    std::ranges::transform(view.rows, std::back_inserter(view.find), find_words);
    view.seen = static_cast<std::size_t>(std::ranges::count_if(view.rows, &StoneRow::seen));
    view.study = bottle_study(view.rows);
    view.cells = stone_grid(view.rows);
    std::ranges::stable_partition(view.cells, [](const StoneCell& cell) { return !cell.finish.empty(); });
    for (const BottleFinding* finding : view.findings()) {
        view.ask_back.push_back(trace_of(view.rows, finding->stones));
    }
    view.due = follow_ups_due(studio, view.rows);
    view.damage = damage_map(view.rows);
    const auto add = [&view](const std::string& kind) {
        if (!kind.empty() && std::ranges::find(view.kinds, kind) == view.kinds.end()) {
            view.kinds.push_back(kind);
        }
    };
    for (const StoneRow& row : view.rows) {
        add(row.kind);
    }
    if (const auto notes = read_stone_notes(studio.options().data / "stones.csv")) {
        for (const StoneNote& note : *notes) {
            add(note.kind);
        }
    }
    for (const bool sulfide : {true, false}) {
        for (const FinishKind& kind : studio.finish_kinds()) {
            if (in_family(kind, "sulfide") == sulfide) {
                view.finishes.emplace_back(kind.key, kind.name);
            }
        }
    }
    return view;
}

std::vector<const BottleFinding*> StonesView::findings() const {
    std::vector<const BottleFinding*> all;
    for (const BottleFinding& one : study.findings) {
        all.push_back(&one);
    }
    if (study.bare) {
        all.push_back(&*study.bare);
    }
    return all;
}

Backing StonesView::backing_of(std::string_view kind) const {
    const auto row = std::ranges::find(rows, kind, &StoneRow::kind);
    return row == rows.end() ? Backing::unknown : row->backing;
}

std::string cell_words(Studio& studio, const StoneCell& cell) {
    std::string words = cell.finish.empty() ? "no bath yet" : studio.finish_kind(cell.finish).name;
    if (cell.backing != Backing::none && cell.backing != Backing::unknown) {
        words += fmt::format("; {} back", word_of(cell.backing));
    }
    if (cell.coats > 0) {
        words += "; " + counted(static_cast<std::size_t>(cell.coats), "coat", "coats");
    }
    return words;
}

}  // namespace tonebath::app
