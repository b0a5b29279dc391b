#include "app/withdraw.hpp"

#include "app/studio.hpp"
#include "app/subject.hpp"
#include "store/change.hpp"
#include "store/join.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

std::string initials(Studio& studio) {
    const std::optional<Person> person = studio.at_bench();
    return person ? person->initials : "not known";
}

void add_line(std::string& note, const std::string& line) {
    if (!line.empty()) {
        note += (note.empty() ? "" : "\n") + line;
    }
}

Refusal too_late(std::string message) {
    return Refusal{.code = "press.too_late",
                   .field = "press",
                   .value = {},
                   .message = std::move(message),
                   .remedy = "Correct the dip instead; the old value is kept.",
                   .answers = {}};
}

// A drop takes its dip away, where nothing was written down about it since.
Result<Outcome> undo_drop(Studio& studio, const Dip& dip, const std::string& name) {
    if (!is_running(dip)) {
        return too_late(fmt::format("{} came out again since.", name));
    }
    if (!store::list<Rinse>(studio.log(), "WHERE dip_id = ?1", {dip.id.text}).empty() ||
        !store::list<Judgement>(studio.log(), "WHERE dip_id = ?1", {dip.id.text}).empty()) {
        return too_late(fmt::format("more was written down about this dip of {} since.", name));
    }
    store::remove(studio.log(), dip.id);
    return Outcome{.said = fmt::format("The drop of {} is taken back.", name), .cautions = {}, .made = {}};
}

// After an out the dip runs on, as if it had never been pressed.
Result<Outcome> undo_out(Studio& studio, Dip dip, const std::string& name) {
    if (!store::list<Rinse>(studio.log(), "WHERE dip_id = ?1", {dip.id.text}).empty()) {
        return too_late(fmt::format("{} was rinsed since.", name));
    }
    for (const Dip& other : dips_of(studio, subject_of(studio, dip))) {
        if (other.id != dip.id && is_running(other)) {
            return too_late(fmt::format("{} went in again since.", name));
        }
    }
    dip.out_at.reset();
    dip.in_bath.reset();
    dip.clock_gap = false;
    dip.watched = false;
    store::update(studio.log(), dip);
    return Outcome{.said = fmt::format("{} is in the bath still; its time runs on.", name),
                   .cautions = {},
                   .made = {{"dip", dip.id.text}}};
}

Result<Outcome> undo_rinsed(Studio& studio, const Dip& dip, const std::string& name) {
    const std::vector<Rinse> rinses =
        store::list<Rinse>(studio.log(), "WHERE dip_id = ?1 ORDER BY made_utc_ms DESC, id DESC LIMIT 1", {dip.id.text});
    if (!rinses.empty()) {
        store::remove(studio.log(), rinses.front().id);
    }
    return Outcome{
        .said = fmt::format("The rinse of {} is taken back.", name), .cautions = {}, .made = {{"dip", dip.id.text}}};
}

}  // namespace

void withdraw_check(Studio& studio, CheckRun run, const std::string& why) {
    run.withdrawn_by = initials(studio);
    run.withdrawn_at = studio.now();
    add_line(run.note, why);
    store::update(studio.log(), run);
}

void withdraw_near_miss(Studio& studio, NearMiss miss) {
    miss.withdrawn_by = initials(studio);
    store::update(studio.log(), miss);
}

void withdraw_disposal(Studio& studio, Disposal disposal, const std::string& why) {
    disposal.withdrawn_by = initials(studio);
    add_line(disposal.note, fmt::format("withdrawn {}{}", date_time_text(studio.now()), why.empty() ? "" : ": " + why));
    store::update(studio.log(), disposal);
}

Result<Outcome> undo_press(Studio& studio, Press press) {
    press.undone = true;
    store::update(studio.log(), press);
    const std::optional<Dip> dip = store::find(studio.log(), Id<Dip>{press.dip_id});
    if (!dip) {
        return Outcome{.said = "The press is taken back.", .cautions = {}, .made = {}};
    }
    const std::string name = subject_of(studio, *dip).name;
    if (press.act == "drop") {
        return undo_drop(studio, *dip, name);
    }
    if (press.act == "out") {
        return undo_out(studio, *dip, name);
    }
    return press.act == "rinsed"
               ? undo_rinsed(studio, *dip, name)
               : Result<Outcome>(Outcome{.said = "The press is taken back.", .cautions = {}, .made = {}});
}

Result<Outcome> withdraw_step(Studio& studio, const store::ChangeEntry& entry) {
    if (entry.step.starts_with(store::kJoinStep)) {
        const std::optional<Person> who = studio.at_bench();
        const Result<Done> done = store::take_back_join(studio.log(), entry.id, studio.now(), who ? who->id.text : std::string(), initials(studio), studio.ids());
        return done ? Result<Outcome>(Outcome{.said = "Taken back: " + entry.step + ". Checks, disposals, near misses and presses stay, withdrawn, with what they stand on.",
                                              .cautions = {},
                                              .made = {}})
                    : Result<Outcome>(done.error());
    }
    return studio.write(
        "take back: " + entry.step,
        [&]() -> Result<Outcome> {
            Outcome all{.said = {}, .cautions = {}, .made = {}};
            for (const store::ChangeRow& row : entry.rows) {
                if (row.table == Press::kTable) {
                    const std::optional<Press> press = store::find(studio.log(), Id<Press>{row.record_id});
                    if (!press || press->undone) {
                        continue;
                    }
                    Result<Outcome> done = undo_press(studio, *press);
                    if (!done) {
                        return done;
                    }
                    all.said += (all.said.empty() ? "" : " ") + done->said;
                } else if (row.table == CheckRun::kTable) {
                    std::optional<CheckRun> run = store::find(studio.log(), Id<CheckRun>{row.record_id});
                    if (run && row.kind == "update" && row.after_json.starts_with("{\"comment\":")) {
                        run->comment.resize(run->comment.rfind('\n') == std::string::npos ? 0 : run->comment.rfind('\n'));
                        store::update(studio.log(), *run);
                        all.said = "The last comment is taken back; the check stands.";
                        continue;
                    }
                    if (run && run->withdrawn_by.empty()) {
                        withdraw_check(studio, *run, "");
                        all.said = "The check is withdrawn; it stays on record, and the stops are open again.";
                    }
                } else if (row.table == CheckAnswer::kTable) {
                    const std::optional<CheckAnswer> answer = store::find(studio.log(), Id<CheckAnswer>{row.record_id});
                    const std::optional<CheckRun> run =
                        answer ? store::find(studio.log(), answer->run_id) : std::nullopt;
                    if (run && run->withdrawn_by.empty()) {
                        withdraw_check(studio, *run, "");
                        all.said = "The check is withdrawn; it stays on record, and the stops are open again.";
                    }
                } else if (row.table == NearMiss::kTable) {
                    std::optional<NearMiss> miss = store::find(studio.log(), Id<NearMiss>{row.record_id});
                    if (miss && miss->withdrawn_by.empty()) {
                        withdraw_near_miss(studio, *std::move(miss));
                        all.said = "The entry is withdrawn; it stays in the book of near misses.";
                    }
                } else if (row.table == Disposal::kTable) {
                    const std::optional<Disposal> disposal = store::find(studio.log(), Id<Disposal>{row.record_id});
                    if (disposal && disposal->withdrawn_by.empty()) {
                        withdraw_disposal(studio, *disposal, "");
                        all.said = "The disposal is withdrawn; it stays on record.";
                    }
                }
            }
            if (all.said.empty()) {
                return Refusal{.code = "undo.kept_record",
                               .field = "undo",
                               .value = entry.step,
                               .message = "that step stays on record.",
                               .remedy = "Write a new one.",
                               .answers = {}};
            }
            return all;
        },
        entry.id);
}

}  // namespace tonebath::app
