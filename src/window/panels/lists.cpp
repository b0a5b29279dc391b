#include "window/panels/lists.hpp"

#include "app/actions.hpp"
#include "app/classes.hpp"
#include "app/kit.hpp"
#include "app/records.hpp"
#include "app/repeat.hpp"
#include "app/season.hpp"
#include "app/work_figures.hpp"
#include "base/text.hpp"

#include <algorithm>
#include <array>

namespace tonebath::window {

namespace {

struct OtherAction {
    std::string_view id, words, help, page;
};
constexpr std::array<OtherAction, 9> kOthers{{
    {kListFillIn, "Fill in what was skipped", "blanks at the bench, values from memory", "Today"},
    {kListRepeat, "Repeat an order", "an order wanted again: today's time, what changed, strips to dip first", "Pieces"},
    {kListLog, "Look after the log", "back up now, rehearse a restore", "everywhere"},
    {kListJoin, "Join another bench's log", "a second case, a second studio: what is new comes in, nothing twice", "everywhere"},
    {kListMinutes, "What pieces take", "minutes and cost of a piece: set-up spread over its batch, rework, what went over", "Pieces"},
    {kListMistakes, "What mistakes cost", "pieces gone over, rework, stones harmed this quarter", "Pieces"},
    {kListKit, "Kit for the class", "parts, stones, gloves and strips by the seat, with spare", "Today"},
    {kListSeason, "This week last year", "and month beside month", "Today"},
    {kListPaper, "Paper and files", "print a bench card, labels, a door card; write a record pack; export, import", "everywhere"},
}};

bool fits_all(const std::vector<std::string>& words, const std::string& all) {
    return std::all_of(words.begin(), words.end(), [&all](const std::string& word) { return all.find(word) != std::string::npos; });
}

}  // namespace

std::vector<ListEntry> actions_for(const std::string& typed, const std::vector<FootHint>& keys_here) {
    std::vector<ListEntry> entries;
    const std::string wanted = folded(trimmed(typed));
    const std::vector<std::string> words = split(wanted, ' ');
    for (const OtherAction& one : kOthers) {
        if (fits_all(words, folded(std::string(one.words) + " " + std::string(one.help)))) {
            entries.push_back({.id = std::string(one.id), .cap = "", .words = std::string(one.words), .more = std::string(one.page)});
        }
    }
    for (const app::ActionSpec& spec : app::actions()) {
        const std::string all = folded(spec.label + " " + spec.help + " " + spec.page + " " + spec.id);
        if (fits_all(words, all)) {
            const auto key = std::find_if(keys_here.begin(), keys_here.end(), [&](const FootHint& one) { return one.id == spec.id; });
            entries.push_back({.id = spec.id, .cap = key == keys_here.end() ? "" : key->cap, .words = spec.label, .more = spec.page});
        }
    }
    std::stable_sort(entries.begin(), entries.end(), [&wanted](const ListEntry& a, const ListEntry& b) {
        return folded(a.words).find(wanted) < folded(b.words).find(wanted);
    });
    return entries;
}

std::vector<ListEntry> fill_ins_for(const app::FillInList& list, const std::string& typed) {
    std::vector<ListEntry> entries;
    const std::vector<std::string> words = split(folded(typed), ' ');
    for (const app::FillIn& line : list.lines) {
        if (fits_all(words, folded(line.noun + " " + line.number + " " + line.missing + " " + line.more))) {
            entries.push_back({.id = line.id, .cap = line.number, .words = line.missing, .more = line.more});
        }
    }
    return entries;
}

std::vector<ListEntry> orders_for(app::Studio& studio, const std::string& typed) {
    std::vector<ListEntry> entries;
    const auto orders = app::records(studio, {.noun = "order"});
    if (!orders) {
        return entries;
    }
    const auto text = [&](const std::vector<app::Cell>& row, std::string_view column) {
        for (std::size_t i = 0; i < orders->columns.size(); ++i) {
            if (orders->columns[i].name == column && std::holds_alternative<std::string>(row[i])) {
                return std::get<std::string>(row[i]);
            }
        }
        return std::string();
    };
    const std::vector<std::string> words = split(folded(typed), ' ');
    for (auto row = orders->rows.rbegin(); row != orders->rows.rend(); ++row) {
        ListEntry entry{.id = text(*row, "number"), .cap = text(*row, "number"), .words = text(*row, "target_id"), .more = {}};
        if (const std::string of = text(*row, "repeat_of"); !of.empty()) {
            entry.more = "repeat of " + of;
        }
        if (fits_all(words, folded(entry.cap + " " + entry.words + " " + entry.more))) {
            entries.push_back(std::move(entry));
        }
    }
    return entries;
}

bool is_figures(std::string_view id) { return id == kListMinutes || id == kListMistakes || id == kListSeason || id == kListKit; }

WordsPage figures_page(app::Studio& studio, std::string_view id) {
    if (id == kListMinutes) {
        return {.title = "What pieces take", .text = app::work_text(app::work_figures(studio))};
    }
    if (id == kListMistakes) {
        return {.title = "What mistakes cost", .text = app::mistakes_text(app::mistake_figures(studio))};
    }
    if (id == kListSeason) {
        return {.title = "This week last year", .text = app::seasons_text(app::seasons(studio))};
    }
    const auto session = app::class_to_show(studio);
    const auto kit = session ? app::kit_for(studio, {.class_number = session->number}) : Result<app::Kit>(Refusal{.message = "No class is written down.", .remedy = "Write one down first: Alt C."});
    return {.title = "Kit for the class", .text = kit ? app::kit_text(*kit) : kit.error().text() + "\n"};
}

WordsPage repeat_page(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned, const std::string& number) {
    if (!learned) {
        return {.title = number + " again", .text = "Reading what the log has taught …\n"};
    }
    const auto order = app::repeat_order(studio, *learned, {.number = number});
    if (!order) {
        return {.title = number + " again", .text = order.error().text() + "\n"};
    }
    WordsPage page{.title = order->number + " again, " + order->tone, .text = "As " + order->pattern + ".\n"};
    for (const std::string& line : app::repeat_words(*order)) {
        page.text += "- " + line + "\n";
    }
    // What is no longer as it was stands first, by itself.
    for (const app::Likeness likeness : {app::Likeness::changed, app::Likeness::not_known, app::Likeness::same}) {
        std::string lines;
        for (const app::RepeatChange& change : order->changes) {
            if (change.likeness == likeness) {
                lines += "- " + app::then_and_now(change) + "\n";
            }
        }
        if (!lines.empty()) {
            page.text += std::string("## ") + (likeness == app::Likeness::changed     ? "No longer the same"
                                               : likeness == app::Likeness::not_known ? "Not known, then or now"
                                                                                      : "The same as then") + "\n" + lines;
        }
    }
    return page;
}

}  // namespace tonebath::window
