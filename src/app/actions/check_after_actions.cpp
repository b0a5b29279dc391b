#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/checks.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "app/withdraw.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

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

Result<Outcome> comment(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<CheckRun> run = in.record<CheckRun>("check");
    const std::string words = in.text("words", Reader::kWords);
    const std::optional<Id<Person>> who = in.who();
    if (run && !in.refused() && !who) {
        in.check(rules::refuse("check.no_name", in.typed("who"), "a comment carries initials.", "Type the initials, or say first who is at the bench."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    run->comment += fmt::format("{}{} {}: {}", run->comment.empty() ? "" : "\n", date_time_text(studio.now()), name_of(studio, *who), words);
    return studio.write("comment on a check", [&]() -> Result<Outcome> {
        store::update(studio.log(), *run);
        return Outcome{.said = "The comment stands beside the check; what was answered is unchanged.", .cautions = {}, .made = {{"check_run", run->id.text}}};
    });
}

// All uses of the lists before this bath's next dip, by whoever.
std::vector<CheckRun> uses_at(Studio& studio, const Id<Bath>& bath) {
    std::vector<CheckRun> uses;
    for (const Checklist& list : studio.checklists().lists) {
        if (list.holds(Gate::start_bath)) {
            for (CheckRun& run : store::list<CheckRun>(studio.log(), "WHERE list_key = ?1 AND bath_id = ?2 AND withdrawn_by = ''", {list.key, bath.text})) {
                if (seconds_between(run.at, studio.now()) < kCheckHolds_s) {
                    uses.push_back(std::move(run));
                }
            }
        }
    }
    return uses;
}

Result<Outcome> open_again(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<Bath> bath = in.record<Bath>("bath");
    const std::string what = in.text("what", Reader::kWords);
    const std::string why = in.text("why", Reader::kWords);
    const std::optional<Id<Person>> who = in.who();
    if (bath && bath->ended_at) {
        in.check(rules::refuse("dip.bath_ended", in.typed("bath"), fmt::format("bath {} was ended on {}.", bath->number, date_time_text(*bath->ended_at)),
                               "Choose a bath in use."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    const std::string said = what + (why.empty() ? "" : ": " + why);
    return studio.write(fmt::format("lists of bath {} open again: {}", bath->number, what), [&]() -> Result<Outcome> {
        for (const CheckRun& run : uses_at(studio, bath->id)) {
            withdraw_check(studio, run, said);
        }
        Outcome outcome{.said = fmt::format("Bath {}: no new dip begins until its lists are answered again. What is in may come out.", bath->number),
                        .cautions = {"F12 shows the gas page. Smell is no guide."},
                        .made = {{"emergency", "gas"}}};
        const CheckAbout about = about_bath(studio, *bath, who);
        for (const Checklist& list : studio.checklists().lists) {
            if (list.goes_along() && list.holds(Gate::start_bath) && asks_of(list, studio.finish_kind(about.kind))) {
                CheckRun run;
                run.at = run.made_at = studio.now();
                run.id = studio.ids().next<CheckRun>(run.at);
                run.list_key = list.key;
                run.list_version = list.version;
                run.bath_id = bath->id;
                run.finish_kind = about.kind;
                run.room_id = about.room_id;
                run.who = about.who;
                run.note = "opened again: " + said;
                store::insert(studio.log(), run);
                outcome.made["check_run"] = run.id.text;
            }
        }
        return outcome;
    });
}

}  // namespace

void add_check_after_actions(Actions& table) {
    table.push_back({.id = "check.reopen",
                     .label = "Open the lists again",
                     .help = "The meter sounds, the extraction stops, someone is unwell: no new dip begins until the lists are answered again.",
                     .page = "Bench",
                     .key = "A",  // alarm
                     .fields = {required(reference("bath", "Bath", "bath")),
                                required(choice_of("what", "What happened", {"meter alarm", "extraction off", "someone unwell", "something else"})),
                                field("why", "In words", FieldKind::text), who_field()},
                     .carry_out = open_again});
    table.push_back({.id = "check.comment",
                     .label = "Comment on a check",
                     .help = "A check that was closed is never changed; a comment stands beside it with initials and time.",
                     .page = "Safety",
                     .key = "",
                     .fields = {required(reference("check", "Check", "check_run", "\"46/1\", the first check of bath 46")),
                                required(field("words", "Comment", FieldKind::text)), who_field()},
                     .carry_out = comment});
    table.push_back({.id = "check.withdraw",
                     .label = "Withdraw a check",
                     .help = "When it turns out not to be so. The check stays on record; its stops are open again.",
                     .page = "Safety",
                     .key = "",
                     .fields = {required(reference("check", "Check", "check_run", "\"46/1\", the first check of bath 46")),
                                field("why", "Why", FieldKind::text)},
                     .carry_out = withdraw});
}

}  // namespace tonebath::app
