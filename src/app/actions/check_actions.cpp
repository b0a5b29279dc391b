#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/checks.hpp"
#include "app/studio.hpp"
#include "app/withdraw.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

struct Answered {
    ChecklistItem item;
    std::string response;
};

bool is_called(const ChecklistItem& item, std::string_view name) {
    const std::string wanted = folded(name);
    const std::size_t dot = item.key.find('.');
    return item.key == wanted || (dot != std::string::npos && item.key.substr(dot + 1) == wanted);
}

// "ses.air: window fan on", one a line.
std::vector<Answered> read_answers(Reader& in, const Form& form, const CheckState& state) {
    std::vector<Answered> answered;
    std::vector<std::string> asked;
    for (const ItemState& one : state.items) {
        if (one.item.level != CheckLevel::advise) {
            asked.push_back(one.item.key);
        }
    }
    for (const std::string& line : split(form.text("item"), '\n')) {
        const rules::Typed typed{in.typed("item").field, trimmed(line)};
        if (typed.text.empty()) {
            continue;
        }
        in.check(rules::plain_text(typed, Reader::kWords));
        const std::size_t colon = typed.text.find(':');
        const std::string_view name = trimmed(typed.text.substr(0, colon));
        const std::string_view response =
            colon == std::string_view::npos ? std::string_view{} : trimmed(typed.text.substr(colon + 1));
        const auto found = std::find_if(state.items.begin(), state.items.end(),
                                        [&](const ItemState& one) { return is_called(one.item, name); });
        if (found == state.items.end()) {
            in.check(rules::refuse("check.no_item", typed, "that is not asked for this finish.",
                                   fmt::format("It asks {}.", rules::in_a_row(asked))));
            continue;
        }
        if (response.empty() && found->item.level != CheckLevel::advise) {
            in.check(rules::refuse("check.no_response", typed,
                                   fmt::format("\"{}\" wants to know how.", found->item.text),
                                   fmt::format("Type it after a colon: {}, for example \"{}: {}\".",
                                               found->item.response, found->item.key, found->item.response)));
            continue;
        }
        answered.push_back({.item = found->item, .response = std::string(response)});
    }
    if (answered.empty()) {
        in.check(Refusal{.code = "check.nothing",
                         .field = std::string(in.typed("item").field),
                         .value = {},
                         .message = "nothing was answered.",
                         .remedy = fmt::format("Look, then type what you saw for {}.", rules::in_a_row(asked)),
                         .answers = {}});
    }
    return answered;
}

// The check of this person for this bath that is under way, or a new one.
CheckRun run_under_way(Studio& studio, const Bath& bath, const Id<Person>& who, const Stamp& at) {
    const std::vector<CheckRun> open = store::list<CheckRun>(
        studio.log(),
        "WHERE bath_id = ?1 AND who = ?2 AND done_utc_ms IS NULL AND withdrawn_by = '' ORDER BY at_utc_ms DESC LIMIT 1",
        {bath.id.text, who.text});
    if (!open.empty() && seconds_between(open.front().at, at) < kCheckHolds_s) {
        return open.front();
    }
    CheckRun run;
    run.list_key = studio.before_bath().key;
    run.list_version = studio.before_bath().version;
    run.bath_id = bath.id;
    run.who = who;
    run.at = at;
    run.made_at = at;
    return run;
}

Result<Outcome> confirm(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<Bath> bath = in.record<Bath>("bath");
    const std::optional<Id<Person>> who = in.who();
    if (!in.refused() && !who) {
        in.check(Refusal{.code = "check.no_name",
                         .field = std::string(in.typed("who").field),
                         .value = {},
                         .message = "a check carries the initials of who looked.",
                         .remedy = "Type the initials, or say first who is at the bench.",
                         .answers = {}});
    }
    if (bath && bath->ended_at) {
        in.check(rules::refuse("dip.bath_ended", in.typed("bath"),
                               fmt::format("bath {} was ended on {}.", bath->number, date_time_text(*bath->ended_at)),
                               "Choose a bath in use, or make one up."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    const std::vector<Answered> answered = read_answers(in, form, check_state(studio, *bath));
    if (in.refused()) {
        return in.refusal();
    }
    const Stamp at = studio.now();
    return studio.write("check before bath " + bath->number, [&]() -> Result<Outcome> {
        CheckRun run = run_under_way(studio, *bath, *who, at);
        if (run.id.empty()) {
            run.id = studio.ids().next<CheckRun>(at);
            store::insert(studio.log(), run);
        }
        for (const Answered& one : answered) {
            CheckAnswer answer;
            answer.id = studio.ids().next<CheckAnswer>(at);
            answer.run_id = run.id;
            answer.item_key = one.item.key;
            answer.item_text = one.item.text;
            answer.level = std::string(word_of(one.item.level));
            answer.response = one.response;
            answer.who = who;
            answer.at = at;
            answer.made_at = at;
            store::insert(studio.log(), answer);
        }
        const CheckState state = check_state(studio, *bath);
        if (state.done) {
            run.done_at = at;
            store::update(studio.log(), run);
        }
        Outcome outcome{.said = state.words, .cautions = {}, .made = {{"check_run", run.id.text}}};
        for (const ItemState& one : state.items) {
            if (one.item.level == CheckLevel::advise) {
                outcome.cautions.push_back(one.item.text + ".");
            }
        }
        outcome.cautions.push_back(state.ends_in);
        return outcome;
    });
}

Result<Outcome> withdraw(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<CheckRun> run = in.record<CheckRun>("check");
    const std::string why = in.text("why", Reader::kWords);
    if (run && !run->withdrawn_by.empty()) {
        in.check(rules::refuse("check.withdrawn", in.typed("check"),
                               fmt::format("it was withdrawn by {}.", run->withdrawn_by), "Make the check again."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write("withdraw a check", [&]() -> Result<Outcome> {
        withdraw_check(studio, *run, why);
        return Outcome{.said = "The check is withdrawn; it stays on record, and the stops are open again.",
                       .cautions = {},
                       .made = {{"check_run", run->id.text}}};
    });
}

}  // namespace

void add_check_actions(Actions& table) {
    table.push_back(
        {.id = "check.confirm",
         .label = "Check before a bath",
         .help = "Do, then check. A stop cannot be passed over; your local rules and a licensed professional decide.",
         .page = "Bench",
         .key = "K",
         .fields = {required(reference("bath", "Bath", "bath")),
                    required(repeated(field("item", "What was looked at", FieldKind::text,
                                            "one a line: \"ses.air: window fan on\""))),
                    who_field()},
         .carry_out = confirm});
    table.push_back(
        {.id = "check.withdraw",
         .label = "Withdraw a check",
         .help = "When it turns out not to be so. The check stays on record; its stops are open again.",
         .page = "Bench",
         .key = "",
         .fields = {required(reference("check", "Check", "check_run", "\"46/1\", the first check of bath 46")),
                    field("why", "Why", FieldKind::text)},
         .carry_out = withdraw});
}

}  // namespace tonebath::app
