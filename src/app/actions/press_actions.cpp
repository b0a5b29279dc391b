#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "app/withdraw.hpp"
#include "model/rules/dip_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

std::optional<Press> last_press(Studio& studio) {
    std::vector<Press> presses =
        store::list<Press>(studio.log(), "WHERE undone = 0 ORDER BY at_utc_ms DESC, id DESC LIMIT 1");
    return presses.empty() ? std::nullopt : std::optional<Press>(presses.front());
}

Result<Outcome> take_back_press(Studio& studio, const Form&) {
    const std::optional<Press> press = last_press(studio);
    if (!press) {
        return Refusal{.code = "press.none",
                       .field = "Press",
                       .value = {},
                       .message = "there is no press to take back.",
                       .remedy = "Correct the dip instead; the old value is kept.",
                       .answers = {}};
    }
    return studio.write("take back the press " + press->act,
                        [&]() -> Result<Outcome> { return undo_press(studio, *press); });
}

// Gives the last press to another: the piece that really went in or came out. Its time stays.
Result<Outcome> move_press(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<Subject> subject = in.subject();
    const std::optional<Press> press = last_press(studio);
    std::optional<Dip> dip = press ? store::find(studio.log(), Id<Dip>{press->dip_id}) : std::nullopt;
    if (!in.refused() && (!dip || press->act == "rinsed")) {
        return Refusal{.code = "press.none",
                       .field = "Press",
                       .value = {},
                       .message = "there is no drop or out to give to another.",
                       .remedy = "Correct the dip instead; the old value is kept.",
                       .answers = {}};
    }
    const std::vector<Dip> running = running_dips(studio);
    std::optional<Dip> other;
    if (subject && press && press->act == "drop") {
        in.check(rules::not_in_bath({in.typed("piece").field, subject->name}, held_in(studio, *subject, running)));
    } else if (subject) {
        const auto found = std::find_if(running.begin(), running.end(),
                                        [&](const Dip& one) { return subject_of(studio, one).name == subject->name; });
        if (found == running.end()) {
            in.check(rules::refuse("dip.not_in", {in.typed("piece").field, subject->name}, "it is not in a bath.",
                                   "Choose one that is."));
        } else {
            other = *found;
        }
    }
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write("give the press to " + subject->name, [&]() -> Result<Outcome> {
        if (press->act == "drop") {
            dip->strip_id = subject->strip;
            dip->piece_id = subject->piece;
            dip->part_id = subject->part;
            store::update(studio.log(), *dip);
            return Outcome{.said = fmt::format("The drop was of {}; its time stays.", subject->name),
                           .cautions = {},
                           .made = {{"dip", dip->id.text}}};
        }
        other->out_at = dip->out_at;
        const bool boot_known = dip->in_bath && !dip->clock_gap && dip->dropped_boot_ms && other->dropped_boot_ms &&
                                other->boot_id == dip->boot_id;
        if (boot_known) {
            const double out_boot_ms = static_cast<double>(*dip->dropped_boot_ms) + dip->in_bath->seconds() * 1000.0;
            other->in_bath = Seconds::from_seconds(
                std::max(0.0, out_boot_ms - static_cast<double>(*other->dropped_boot_ms)) / 1000.0);
        } else {
            other->clock_gap = true;
            other->in_bath = Seconds::from_seconds(std::max(0.0, seconds_between(*other->dropped_at, *other->out_at)));
        }
        dip->out_at.reset();
        dip->in_bath.reset();
        dip->clock_gap = false;
        store::update(studio.log(), *dip);
        store::update(studio.log(), *other);
        Press moved = *press;
        moved.dip_id = other->id.text;
        moved.lane = other->lane;
        store::update(studio.log(), moved);
        return Outcome{
            .said = fmt::format("{} came out then; {} is in still.", subject->name, subject_of(studio, *dip).name),
            .cautions = {},
            .made = {{"dip", other->id.text}}};
    });
}

}  // namespace

void add_press_actions(Actions& table) {
    table.push_back({.id = "dip.undo-press",
                     .label = "Take the last press back",
                     .help = "The press stays on record as taken back.",
                     .page = "Bench",
                     .key = "U",
                     .fields = {},
                     .carry_out = take_back_press});
    table.push_back({.id = "dip.move-press",
                     .label = "Give the last press to another piece",
                     .help = "The wrong lane was pressed: its time goes to the right piece unchanged.",
                     .page = "Bench",
                     .key = "X",
                     .fields = {repeated(reference("piece", "Piece", "piece")),
                                repeated(reference("part", "Part", "part", "\"L-058 lid\"")),
                                repeated(reference("strip", "Strip", "strip"))},
                     .carry_out = move_press});
}

}  // namespace tonebath::app
