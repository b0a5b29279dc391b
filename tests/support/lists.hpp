// Answers the lists that stand before an act, as someone would who looked at every line: for tests of other things.
#pragma once

#include "app/checks.hpp"
#include "app/form.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "model/nouns.hpp"

#include <optional>
#include <string>

namespace tonebath::test {

// The form that answers one list, whole, with its last line.
inline app::Form whole_answer(const app::CheckState& state, const std::string& subject, const std::string& named) {
    app::Form form{.action = "check.confirm"};
    form.typed["list"] = state.list;
    form.typed[subject] = named;
    std::string items;
    for (const app::ItemState& one : state.items) {
        const bool last = one.item.completion && !one.asked() && state.list != "during";
        if ((one.asked() && !one.answered) || last) {
            items += (items.empty() ? "" : "\n") + one.item.key + ": " + one.item.response + (one.asks_number ? ", 21" : "");
        }
    }
    form.typed["item"] = items;
    form.kept = {"check.quick"};
    return form;
}

// The next list that must be answered before `act` may be carried out; nothing when none is open.
inline std::optional<app::Form> answer_before(app::Studio& studio, const app::Form& act) {
    const bool past = act.text("past") == "yes";
    std::optional<Id<Person>> who;
    if (!act.text("who").empty()) {
        if (const auto person = app::resolve<Person>(studio, "Who", act.text("who"))) {
            who = person->id;
        }
    }
    Gate gate = Gate::start_bath;
    app::CheckAbout about;
    std::string subject = "kind", named;
    const auto bath = act.text("bath").empty() ? Result<Bath>(Refusal{}) : app::resolve<Bath>(studio, "Bath", act.text("bath"));
    if (act.action == "dip.drop" && bath && !bath->ended_at) {
        about = app::about_bath(studio, *bath, who);
        subject = "bath";
        named = bath->number;
    } else if (act.action == "bath.make-up" && !past) {
        gate = Gate::mix;
        std::string kind = "liver_of_sulfur_lump";
        if (const auto lot = app::resolve<Lot>(studio, "Lot", act.text("lot")); !act.text("lot").empty() && lot) {
            kind = lot->finish_kind;
        } else if (const FinishKind* typed = find_kind(studio.finish_kinds(), act.text("kind"))) {
            kind = typed->key;
        }
        about = app::about_kind(studio, kind, who);
        named = kind;
    } else if (act.action == "bath.top-up" && !past && !act.text("amount").empty() && bath && !bath->past_work) {
        gate = Gate::mix;
        about = app::about_kind(studio, bath->finish_kind, who);
        named = bath->finish_kind;
    } else if (act.action == "coating.begin") {
        gate = Gate::coat;
        about = app::about_kind(studio, "lacquer_solvent", who);
        named = about.kind;
    } else if (act.action == "disposal.add" && !past) {
        gate = Gate::dispose;
        about = bath ? app::about_bath(studio, *bath, who) : app::about_kind(studio, app::usual_kind(studio, gate), who);
        subject = bath ? "bath" : "kind";
        named = bath ? bath->number : about.kind;
    } else {
        return std::nullopt;
    }
    if (!about.who) {
        return std::nullopt;
    }
    for (const app::CheckState& state : app::states_at(studio, gate, about)) {
        if (!state.done) {
            app::Form form = whole_answer(state, subject, named);
            if (!act.text("who").empty()) {
                form.typed["who"] = std::string(act.text("who"));
            }
            return form;
        }
    }
    return std::nullopt;
}

// All of them, straight into the studio; by MK where nobody is at the bench yet.
inline void answer_lists(app::Studio& studio, const app::Form& act) {
    const bool gated = act.action == "bath.make-up" || (act.action == "bath.top-up" && !act.text("amount").empty()) || act.action == "coating.begin" || act.action == "disposal.add";
    if (gated && act.text("past") != "yes" && act.text("who").empty() && !studio.at_bench()) {
        static_cast<void>(studio.carry_out({.action = "person.add", .typed = {{"initials", "MK"}}}));
    }
    for (std::optional<app::Form> form = answer_before(studio, act); form; form = answer_before(studio, act)) {
        if (!studio.carry_out(*form)) {
            return;
        }
    }
}

}  // namespace tonebath::test
