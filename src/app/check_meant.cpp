#include "app/check_meant.hpp"

#include "app/actions/tables.hpp"
#include "app/studio.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

bool has_item(const Checklist& list, std::string_view name) {
    return std::any_of(list.items.begin(), list.items.end(), [&](const ChecklistItem& item) { return is_called(item, name); });
}

const Checklist* list_with(Studio& studio, std::string_view key) {
    for (const Checklist& list : studio.checklists().lists) {
        if (std::any_of(list.items.begin(), list.items.end(), [&](const ChecklistItem& item) { return item.key == folded(key); })) {
            return &list;
        }
    }
    return nullptr;
}

// At a bath: the list that is wanted now, when it has the item; else the first that has it.
const Checklist* list_at_bath(Studio& studio, const CheckAbout& about, const std::vector<std::string>& items) {
    std::vector<const Checklist*> candidates;
    for (const CheckState& state : states_at(studio, Gate::start_bath, about)) {
        const auto at = state.done ? candidates.end() : candidates.begin();
        candidates.insert(at, studio.checklists().find(state.list));
    }
    for (const Checklist& list : studio.checklists().lists) {
        if (list.holds(Gate::start_bath) || list.holds(Gate::dispose)) {
            candidates.push_back(&list);
        }
    }
    const auto found = std::find_if(candidates.begin(), candidates.end(), [&](const Checklist* list) {
        return items.empty() || has_item(*list, items.front());
    });
    return found != candidates.end() ? *found : candidates.empty() ? nullptr : candidates.front();
}

Refusal no_list(Reader& in) {
    std::vector<std::string> keys;
    for (const Checklist& list : in.studio().checklists().lists) {
        keys.push_back(list.key);
    }
    return rules::refuse("check.no_list", in.typed("list"), in.given("list") ? "there is no such list." : "which list is not said.",
                         fmt::format("The lists are {}.", rules::in_a_row(keys)), keys);
}

// Kind named by the form: its own words, or the lot's.
std::optional<std::string> kind_typed(Reader& in) {
    if (const std::optional<Lot> lot = in.record<Lot>("lot")) {
        return lot->finish_kind;
    }
    const FinishKind* kind = in.kind("kind");
    return kind != nullptr && !in.refused() ? std::optional(kind->key) : std::nullopt;
}

}  // namespace

const Checklist* find_list(Studio& studio, std::string_view typed) {
    const std::string wanted = folded(typed);
    for (const Checklist& list : studio.checklists().lists) {
        if (list.key == wanted || folded(list.title) == wanted) {
            return &list;
        }
    }
    return nullptr;
}

std::vector<FieldSpec> check_meant_fields() {
    return {field("list", "List", FieldKind::text, "\"before_mixing\", or its title; empty = by the items or the bath"),
            reference("bath", "Bath", "bath"),
            field("kind", "Kind of finish", FieldKind::text, "before a bath is made up; empty = the lot's, or as last time"),
            reference("lot", "Lot", "lot", "before a bath is made up of it"),
            reference("class", "Class", "class_session")};
}

std::optional<CheckMeant> check_meant(Reader& in, const std::vector<std::string>& items) {
    Studio& studio = in.studio();
    const std::optional<Bath> bath = in.record<Bath>("bath");
    const std::optional<Id<ClassSession>> class_id = in.id_of<ClassSession>("class");
    const std::optional<std::string> kind = kind_typed(in);
    const std::string typed = in.text("list", Reader::kWords);
    const std::optional<Id<Person>> who = in.who();
    if (!in.refused() && !who) {
        in.check(rules::refuse("check.no_name", in.typed("who"), "a check carries the initials of who looked.", "Type the initials, or say first who is at the bench."));
    }
    if (in.refused()) {
        return std::nullopt;
    }
    CheckMeant meant;
    if (!typed.empty()) {
        meant.list = find_list(studio, typed);
    } else if (!items.empty() && items.front().find('.') != std::string::npos) {
        meant.list = list_with(studio, items.front());
    }
    if (bath) {
        meant.about = about_bath(studio, *bath, who);
        if (meant.list == nullptr && typed.empty()) {
            meant.list = list_at_bath(studio, meant.about, items);
        }
    }
    if (meant.list == nullptr) {
        in.check(no_list(in));
        return std::nullopt;
    }
    // A list that stands before a make-up or a coating, and one of the whole studio, are not answered for a bath.
    const bool of_bath = meant.list->holds(Gate::start_bath) || meant.list->holds(Gate::dispose);
    if (!bath || !of_bath) {
        meant.about = about_kind(studio, kind.value_or(bath ? bath->finish_kind : usual_kind(studio, meant.list->holds(Gate::coat) ? Gate::coat : Gate::mix)), who);
    }
    meant.about.class_id = class_id;
    if (bath && of_bath && bath->ended_at && !meant.list->holds(Gate::dispose)) {
        in.check(rules::refuse("dip.bath_ended", in.typed("bath"),
                               fmt::format("bath {} was ended on {}.", bath->number, date_time_text(*bath->ended_at)),
                               "Choose a bath in use, or make one up."));
        return std::nullopt;
    }
    meant.words = meant.about.bath_id ? "bath " + bath->number : studio.finish_kind(meant.about.kind).name;
    return meant;
}

}  // namespace tonebath::app
