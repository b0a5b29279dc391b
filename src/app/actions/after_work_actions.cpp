#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "model/rules/dip_rules.hpp"
#include "model/rules/work_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

void check_step(Reader& in, Studio& studio, const Subject& subject, const AfterWork& work) {
    std::optional<Dip> last;
    for (const Dip& dip : dips_of(studio, subject)) {
        if (when_dipped(dip) && *when_dipped(dip) <= work.at) {
            last = dip;
        } else if (!last) {
            last = dip;
        }
    }
    in.check(rules::after_dip(in.typed("step"), work.step, work.at, last ? when_dipped(*last) : std::nullopt));
    if (last) {
        in.check(rules::stop_bath_after_rinse(in.typed("step"), work.step, rinsed_since(studio, subject, *last)));
    }
    if (work.step == AfterStep::tumbled && subject.of_piece) {
        const std::vector<Stone> stones = stones_on(studio, *subject.of_piece, work.at);
        in.check(rules::tumbling(in.typed("step"), work.step, stones));
    }
    if (work.step == AfterStep::tumbled && subject.batch) {
        for (const Piece& piece : store::list<Piece>(studio.log(), "WHERE batch_id = ?1", {subject.batch->text})) {
            const std::vector<Stone> stones = stones_on(studio, piece.id, work.at);
            in.check(rules::tumbling(in.typed("step"), work.step, stones));
        }
    }
}

Result<Outcome> add_after_work(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::vector<Subject> subjects = in.subjects();
    AfterWork work;
    const std::optional<AfterStep> step = in.choice<AfterStep>("step");
    work.at = in.moment_or_now("at");
    work.with = in.text("with", Reader::kWords);
    work.length = in.duration("length");
    if (work.length) {
        in.check(rules::dip_length(in.typed("length"), *work.length));
    }
    work.who = in.who();
    if (in.refused()) {
        return in.refusal();
    }
    work.step = *step;
    for (const Subject& subject : subjects) {
        check_step(in, studio, subject, work);
    }
    work.note = in.note();
    work.from_memory = in.from_memory<AfterWork>();
    if (in.refused()) {
        return in.refusal();
    }
    work.made_at = studio.now();
    return studio.write(fmt::format("{} {}", word_of(work.step), subjects.front().name), [&]() -> Result<Outcome> {
        Outcome outcome{
            .said = fmt::format(
                "{}: {}.", subjects.size() == 1 ? subjects.front().name : fmt::format("{} pieces", subjects.size()),
                word_of(work.step)),
            .cautions = {},
            .made = {}};
        for (const Subject& subject : subjects) {
            work.id = studio.ids().next<AfterWork>(work.made_at);
            work.piece_id = subject.piece;
            work.part_id = subject.part;
            work.batch_id = subject.batch;
            store::insert(studio.log(), work);
            outcome.made["after_work"] = work.id.text;
        }
        if (work.step == AfterStep::sealed) {
            outcome.cautions.push_back("Judge the tone again after sealing: it moves.");
        }
        return outcome;
    });
}

}  // namespace

void add_after_work_actions(Actions& table) {
    table.push_back(
        {.id = "after-work.add",
         .label = "Write down after-work",
         .help = "Rinsed, stop bath, dried, rubbed back, brushed, tumbled, sealed.",
         .page = "Pieces",
         .key = "W",
         .fields = {repeated(reference("piece", "Piece", "piece", "one a line; \"L-131..L-138\"")),
                    repeated(reference("part", "Part", "part", "\"L-058 lid\"")),
                    reference("batch", "Batch", "batch", "stands for each of its pieces"),
                    required(choice_of<AfterStep>("step", "Step")),
                    field("with", "With", FieldKind::text, "\"wax\", \"brass brush\", \"felt pad\""),
                    field("length", "For how long", FieldKind::duration), at_field(), who_field(), note_field()},
         .carry_out = add_after_work});
}

}  // namespace tonebath::app
