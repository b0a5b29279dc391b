#include "app/views/checks_view.hpp"

#include "app/check_meant.hpp"
#include "app/clearance.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/bath_store.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace tonebath::app {

namespace {

struct Wanted {
    const Checklist* list = nullptr;
    CheckAbout about;
    std::string bath;
    std::string why;
    bool pressing = false;  // something waits for it
};

const Checklist* list_of(Studio& studio, const CheckState& state) {
    return studio.checklists().find(state.list);
}

// Before the next dip of each bath in use.
void want_baths(Studio& studio, std::vector<Wanted>& wanted) {
    for (const Bath& bath : store::baths_in_use(studio.log(), 5)) {
        const CheckAbout about = about_bath(studio, bath);
        for (const CheckState& state : states_at(studio, Gate::start_bath, about)) {
            wanted.push_back({.list = list_of(studio, state),
                              .about = about,
                              .bath = bath.number,
                              .why = fmt::format("bath {}: {}", bath.number, state.words),
                              .pressing = !state.done});
        }
    }
}

// One that stands before a make-up, a coating or a disposal, or the month's: pressing only while it is under way.
void want_others(Studio& studio, std::vector<Wanted>& wanted) {
    for (const Checklist& list : studio.checklists().lists) {
        if (list.goes_along() || (list.holds(Gate::start_bath) && !list.holds(Gate::coat))) {
            continue;
        }
        const CheckAbout about = about_kind(studio, usual_kind(studio, list.holds(Gate::coat) ? Gate::coat : Gate::mix));
        if (!asks_of(list, studio.finish_kind(about.kind))) {
            continue;
        }
        const CheckState state = list_state(studio, list, about);
        wanted.push_back({.list = &list,
                          .about = about,
                          .bath = {},
                          .why = state.run && !state.closed ? "under way: " + state.words : list.when,
                          .pressing = state.run && !state.closed});
    }
}

std::vector<Wanted> all_wanted(Studio& studio) {
    std::vector<Wanted> wanted;
    want_baths(studio, wanted);
    const bool bath_in_use = !wanted.empty();
    want_others(studio, wanted);
    // What is under way or open first; before any bath is in use, the mixing list.
    std::stable_sort(wanted.begin(), wanted.end(), [&](const Wanted& a, const Wanted& b) {
        const auto place = [&](const Wanted& one) { return one.pressing ? 0 : !bath_in_use && one.list->holds(Gate::mix) ? 1 : 2; };
        return place(a) < place(b);
    });
    return wanted;
}

Wanted chosen(Studio& studio, const ChecksChoice& choice, const std::vector<Wanted>& wanted) {
    const Checklist* list = find_list(studio, choice.list);
    if (choice.list.empty() || list == nullptr) {
        return wanted.empty() ? Wanted{} : wanted.front();
    }
    Wanted one{.list = list, .about = {}, .bath = {}, .why = list->when, .pressing = false};
    const auto bath = choice.bath.empty() ? Result<Bath>(Refusal{}) : resolve<Bath>(studio, "Bath", choice.bath);
    if (bath && (list->holds(Gate::start_bath) || list->holds(Gate::dispose))) {
        one.about = about_bath(studio, *bath);
        one.bath = bath->number;
        return one;
    }
    if (choice.kind.empty()) {
        // The newest bath in use, where the list is asked for a bath.
        const auto same = std::find_if(wanted.begin(), wanted.end(), [&](const Wanted& other) { return other.list == list; });
        if (same != wanted.end()) {
            return *same;
        }
        const std::vector<Bath> baths = list->holds(Gate::start_bath) ? store::baths_in_use(studio.log(), 1) : std::vector<Bath>{};
        if (!baths.empty()) {
            one.about = about_bath(studio, baths.front());
            one.bath = baths.front().number;
            return one;
        }
    }
    one.about = about_kind(studio, choice.kind.empty() ? usual_kind(studio, list->holds(Gate::coat) ? Gate::coat : Gate::mix) : choice.kind);
    return one;
}

std::string consequence_of(const Checklist& list) {
    if (list.holds(Gate::mix)) {
        return "no bath can be made up until then";
    }
    if (list.holds(Gate::coat)) {
        return "no coating can begin until then";
    }
    if (list.holds(Gate::dispose)) {
        return "no disposal can be logged until then";
    }
    return list.gates.empty() ? "" : "no dip can begin until then";
}

std::string answer_words(const ItemState& one) {
    switch (one.mark) {
        case ItemMark::confirmed:
        case ItemMark::held:
            return one.response;
        case ItemMark::passed_over:
            return "passed over: " + one.reason;
        case ItemMark::no_meter:
            return "no meter";
        case ItemMark::left:
            return "left";
        case ItemMark::open:
            break;
    }
    return {};
}

ChecksItem item_of(Studio& studio, const Checklist& list, const CheckState& state, const ItemState& one) {
    ChecksItem item{.key = one.item.key,
                    .text = one.item.text,
                    .why = one.item.why,
                    .sources = {},
                    .level = one.item.level,
                    .mark = one.mark,
                    .answered = one.answered,
                    .current = false,
                    .completion = one.item.completion,
                    .can_close = one.item.completion && state.all_answered && !state.closed,
                    .can_pass = one.item.level == CheckLevel::must && !one.answered && !one.item.completion,
                    .local = one.item.defer_to_local,
                    .answer = answer_words(one),
                    .signed_by = {},
                    .asks = one.item.response,
                    .offered = one.last_time.empty() ? one.item.response : one.last_time,
                    .unit = one.asks_number ? one.item.number : "",
                    .consequence = one.item.level == CheckLevel::stop && !one.answered ? consequence_of(list) : ""};
    std::vector<std::string> sources;
    for (const std::string& key : one.item.source) {
        const auto words = studio.checklists().sources.find(key);
        sources.push_back(words == studio.checklists().sources.end() ? key : words->second);
    }
    item.sources = joined(sources, ". ");
    if (one.at) {
        item.signed_by = fmt::format("{} {}", one.who, time_text(*one.at));
        if (one.mark == ItemMark::held) {
            for (const Checklist& other : studio.checklists().lists) {
                const bool from = std::any_of(other.items.begin(), other.items.end(), [&](const ChecklistItem& its) { return its.key == one.item.duplicate_of; });
                item.signed_by += from ? ", " + folded(other.title) : "";
            }
        }
    }
    return item;
}

void take_person(Studio& studio, const CheckState& state, ChecksView& view) {
    const std::optional<Person> person = studio.at_bench();
    if (!person) {
        return;
    }
    view.signed_by = person->initials;
    if (state.run && state.run->second) {
        view.signed_by += ", with " + name_of(studio, *state.run->second);
    }
    static constexpr std::array<std::pair<Act, const char*>, 5> kActs{{{Act::make_up, "make up"},
                                                                        {Act::dip_alone, "dip alone"},
                                                                        {Act::coat, "coat"},
                                                                        {Act::dispose, "dispose"},
                                                                        {Act::supervise, "supervise"}}};
    std::vector<std::string> can;
    for (const auto& [act, words] : kActs) {
        if (may(*person, act)) {
            can.emplace_back(words);
        }
    }
    view.clearance = can.empty() ? "may do nothing alone: someone who may stands by" : "may " + joined(can, ", ");
}

}  // namespace

ChecksView checks_view(Studio& studio, const ChecksChoice& choice) {
    ChecksView view;
    if (studio.checklists().own_fault) {
        view.fault = studio.checklists().own_fault->text();
    }
    const std::vector<Wanted> wanted = all_wanted(studio);
    const Wanted now = chosen(studio, choice, wanted);
    if (now.list == nullptr) {
        return view;
    }
    const Checklist& list = *now.list;
    const CheckState state = list_state(studio, list, now.about);
    view.key = list.key;
    view.title = list.title;
    view.when = list.when;
    view.mode = list.mode;
    view.about = (now.bath.empty() ? "" : fmt::format("bath {}, ", now.bath)) + studio.finish_kind(now.about.kind).name;
    view.why = now.why;
    view.asked = state.asked;
    view.answered = state.asked - state.open;
    view.stops = state.stops;
    view.open_stops = state.open_stops;
    view.counts = fmt::format("{} of {} answered", view.answered, view.asked);
    view.state = state.words;
    view.lapsed = state.lapsed.empty() ? "" : "asked again: " + state.lapsed;
    view.closed = state.closed;
    view.done = state.done;
    view.closing = state.closed         ? fmt::format("closed at {}", time_text(*state.run->done_at))
                   : state.all_answered ? (list.goes_along() ? "closes when the session ends" : "the last line closes the list")
                                        : "closes when the rest is answered";
    view.holds_until = state.holds_until;
    view.max_seconds = list.max_seconds;
    view.offer_gas = state.run && state.run->note.starts_with("opened again");
    if (state.run) {
        view.started = state.run->at;
    }
    view.ends_in = list.ends_in;
    view.bath = now.bath;
    view.kind = now.about.kind;
    take_person(studio, state, view);
    bool found = false;
    for (const ItemState& one : state.items) {
        ChecksItem item = item_of(studio, list, state, one);
        const bool open = (one.asked() && !one.answered) || (item.can_close && !list.goes_along());
        item.current = open && !found;
        found = found || item.current;
        view.items.push_back(std::move(item));
    }
    for (const Wanted& other : wanted) {
        if (other.pressing && (other.list != now.list || other.bath != now.bath)) {
            view.others.push_back({.key = other.list->key, .title = other.list->title, .why = other.why, .bath = other.bath});
        }
    }
    return view;
}

std::vector<ChecksOther> lists_to_choose(Studio& studio) {
    std::vector<ChecksOther> lists;
    for (const Checklist& list : studio.checklists().lists) {
        lists.push_back({.key = list.key, .title = list.title, .why = list.when, .bath = {}});
    }
    return lists;
}

std::vector<CheckUse> check_uses(Studio& studio, std::size_t limit) {
    std::vector<CheckUse> uses;
    for (CheckRun& run : store::list<CheckRun>(studio.log(), "ORDER BY at_utc_ms DESC, id DESC LIMIT ?1", {static_cast<std::int64_t>(limit)})) {
        CheckUse use{.run = std::move(run), .bath = {}, .who = {}, .second = {}, .answers = {}};
        use.bath = use.run.bath_id ? name_of(studio, *use.run.bath_id) : "";
        use.who = use.run.who ? name_of(studio, *use.run.who) : "";
        use.second = use.run.second ? name_of(studio, *use.run.second) : "";
        use.answers = store::list<CheckAnswer>(studio.log(), "WHERE run_id = ?1 ORDER BY at_utc_ms, id", {use.run.id.text});
        uses.push_back(std::move(use));
    }
    return uses;
}

Form answer_form(const ChecksView& view, const ChecksItem& item, std::string_view response) {
    Form form{.action = "check.confirm"};
    form.typed["list"] = view.key;
    form.typed["item"] = fmt::format("{}: {}", item.key, response);
    form.typed[view.bath.empty() ? "kind" : "bath"] = view.bath.empty() ? view.kind : view.bath;
    return form;
}

Form pass_form(const ChecksView& view, const ChecksItem& item, std::string_view who, std::string_view reason) {
    Form form = answer_form(view, item, "");
    form.action = "check.pass";
    form.typed["item"] = item.key;
    form.typed["who"] = std::string(who);
    form.typed["reason"] = std::string(reason);
    return form;
}

}  // namespace tonebath::app
