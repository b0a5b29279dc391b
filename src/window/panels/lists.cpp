#include "window/panels/lists.hpp"

#include "app/actions.hpp"
#include "base/text.hpp"

#include <algorithm>
#include <array>

namespace tonebath::window {

namespace {

struct OtherAction {
    std::string_view id, words, help, page;
};
constexpr std::array<OtherAction, 1> kOthers{{
    {kListFillIn, "Fill in what was skipped", "blanks at the bench, values from memory", "Today"},
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

}  // namespace tonebath::window
