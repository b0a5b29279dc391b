#include "app/check_lapse.hpp"

#include "app/studio.hpp"
#include "base/text.hpp"
#include "model/rules/rule.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

bool hangs_in(Studio& studio, const Id<Bath>& bath) {
    store::Query query(studio.log(),
                       "SELECT 1 FROM dip WHERE bath_id = ?1 AND dropped_utc_ms IS NOT NULL AND out_utc_ms IS NULL AND "
                       "in_bath_s IS NULL LIMIT 1",
                       {bath.text});
    return query.next();
}

// A dip of the session that began then came out and was rinsed, or hung to drip for a minute.
bool dipped_since(Studio& studio, const Id<Bath>& bath, const Stamp& since) {
    store::Query query(studio.log(),
                       "SELECT 1 FROM dip WHERE bath_id = ?1 AND past_work = 0 AND dropped_utc_ms >= ?2 AND (out_utc_ms <= "
                       "?3 OR id IN (SELECT dip_id FROM rinse)) LIMIT 1",
                       {bath.text, since.utc_ms, plus_seconds(studio.now(), -60.0).utc_ms});
    return query.next();
}

// Begun or opened again at this bath by anyone, and not all answered since: it stays so until it is answered.
bool begun_and_open(Studio& studio, const Checklist& list, const CheckAbout& about) {
    const std::vector<CheckRun> newest = store::list<CheckRun>(
        studio.log(), "WHERE list_key = ?1 AND bath_id = ?2 AND withdrawn_by = '' ORDER BY at_utc_ms DESC, id DESC LIMIT 1",
        {list.key, about.bath_id->text});
    if (newest.empty() || newest.front().done_at) {
        return false;
    }
    CheckAbout other = about;
    other.who = newest.front().who;
    const std::vector<CheckAnswer> answers = answers_of(studio, newest.front().id);
    const std::vector<ItemState> items = list_state(studio, list, other).items;
    return std::any_of(items.begin(), items.end(), [&](const ItemState& one) {
        return one.asked() && std::none_of(answers.begin(), answers.end(), [&](const CheckAnswer& answer) {
                   return answer.item_key == one.item.key &&
                          (answer.state == AnswerState::confirmed || (answer.state == AnswerState::passed_over && one.item.level == CheckLevel::must));
               });
    });
}

// What is open, in words: the stops first, at most three.
std::string open_words(const CheckState& state) {
    std::vector<std::string> open;
    for (const CheckLevel level : {CheckLevel::stop, CheckLevel::must}) {
        for (const ItemState& one : state.items) {
            if (one.asked() && !one.answered && one.item.level == level) {
                open.push_back(shortened(one.item.text, 90));
            }
        }
    }
    const std::size_t more = open.size() > 3 ? open.size() - 3 : 0;
    open.resize(open.size() - more);
    return joined(open, ". ") + (more > 0 ? fmt::format(". And {} more", more) : "");
}

Refusal check_open(Studio& studio, const CheckState& state, const CheckAbout& about) {
    std::string subject = fmt::format(" --kind \"{}\"", studio.finish_kind(about.kind).name);
    if (about.bath_id) {
        const auto bath = store::find(studio.log(), *about.bath_id);
        subject = bath ? " --bath " + bath->number : "";
    }
    const std::string how = state.all_answered ? "the last line, which closes the list, is not answered"
                            : state.open_stops > 0
                                ? fmt::format("{} of {} stops open: {}", state.open_stops, state.stops, open_words(state))
                                : fmt::format("{} of {} lines open: {}", state.open, state.asked, open_words(state));
    return Refusal{.code = "check.open",
                   .field = state.title,
                   .value = {},
                   .message = how + (state.lapsed.empty() ? "." : fmt::format(". Asked again: {}.", state.lapsed)),
                   .remedy = fmt::format("Look, then answer it on page Safety, or by \"check confirm --list {}{}\"; past work can be "
                                         "written down without it.",
                                         state.list, subject),
                   .answers = {}};
}

}  // namespace

std::vector<CheckState> states_at(Studio& studio, Gate gate, const CheckAbout& about) {
    std::vector<CheckState> states;
    std::optional<Stamp> session;  // begun with the last list before it
    for (const Checklist& list : studio.checklists().lists) {
        if (!list.holds(gate) || !asks_of(list, studio.finish_kind(about.kind))) {
            continue;
        }
        if (!list.goes_along()) {
            states.push_back(list_state(studio, list, about));
            session = states.back().done && states.back().run ? states.back().run->done_at : session;
            continue;
        }
        if (!about.bath_id) {
            continue;
        }
        CheckState state = list_state(studio, list, about);
        const bool first_time = session && dipped_since(studio, *about.bath_id, *session) && !hangs_in(studio, *about.bath_id);
        if (state.run || first_time || begun_and_open(studio, list, about)) {
            states.push_back(std::move(state));
        }
    }
    return states;
}

CheckState check_state(Studio& studio, const Bath& bath) {
    std::vector<CheckState> states = states_at(studio, Gate::start_bath, about_bath(studio, bath));
    const auto open = std::find_if(states.begin(), states.end(), [](const CheckState& one) { return !one.done; });
    CheckState state;
    if (states.empty()) {
        state.done = true;
        state.words = "No list is asked for this finish.";
    } else {
        state = open != states.end() ? std::move(*open) : std::move(states.front());
    }
    if (bath.ended_at) {
        state.done = false;
        state.words = fmt::format("Bath {} was ended.", bath.number);
    }
    return state;
}

CheckState check_state(Studio& studio, const Id<Bath>& bath) {
    const std::optional<Bath> found = store::find(studio.log(), bath);
    return found ? check_state(studio, *found) : CheckState{};
}

std::optional<Id<Person>> second_at(Studio& studio, Gate gate, const CheckAbout& about) {
    for (const CheckState& state : states_at(studio, gate, about)) {
        if (state.run && state.run->second) {
            return state.run->second;
        }
    }
    return std::nullopt;
}

std::string said_at(Studio& studio, Gate gate, const CheckAbout& about) {
    std::vector<std::string> said;
    for (const CheckState& state : states_at(studio, gate, about)) {
        for (const ItemState& one : state.items) {
            if (one.answered && !one.item.completion) {
                said.push_back(fmt::format("{}: {}", one.item.key, one.response.empty() ? "passed over, " + one.reason : one.response));
            }
        }
    }
    return joined(said, "\n");
}

std::string usual_kind(Studio& studio, Gate gate) {
    if (gate == Gate::coat) {
        return "lacquer_solvent";
    }
    store::Query query(studio.log(), "SELECT finish_kind FROM bath ORDER BY made_utc_ms DESC, id DESC LIMIT 1");
    return query.next() ? query.text(0) : "liver_of_sulfur_lump";
}

std::optional<Refusal> held_back(Studio& studio, Gate gate, const CheckAbout& about) {
    if (studio.checklists().own_fault) {
        return studio.checklists().own_fault;
    }
    const std::vector<CheckState> states = states_at(studio, gate, about);
    if (!states.empty() && !about.who) {
        return Refusal{.code = "check.no_name",
                       .field = "Who",
                       .value = {},
                       .message = "a list carries the initials of who looked.",
                       .remedy = "Type the initials, or say first who is at the bench.",
                       .answers = {}};
    }
    const auto open = std::find_if(states.begin(), states.end(), [](const CheckState& one) { return !one.done; });
    return open == states.end() ? std::nullopt : std::optional<Refusal>(check_open(studio, *open, about));
}

}  // namespace tonebath::app
