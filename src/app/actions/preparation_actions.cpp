#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "model/rules/work_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

// Unticked is not "no".
Answer answer_of(Reader& in, std::string_view key) {
    const std::optional<bool> said = in.yes_no(key);
    return !said ? Answer::unknown : *said ? Answer::yes : Answer::no;
}

Result<Outcome> add_preparation(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::vector<Subject> subjects = in.subjects();
    Preparation done;
    done.at = in.moment_or_now("at");
    done.surface = in.text("surface", Reader::kWords);
    done.degreased = answer_of(in, "degreased");
    done.degreased_how = in.text("degreased-how", Reader::kWords);
    if (!done.degreased_how.empty() && done.degreased == Answer::unknown) {
        done.degreased = Answer::yes;
    }
    done.water_sheeted = answer_of(in, "water-sheeted");
    done.pickled = answer_of(in, "pickled");
    done.rinses_after_pickle = in.whole("rinses");
    in.check(rules::pickle_rinsed(in.typed("rinses"), done.pickled, done.rinses_after_pickle));
    for (const Subject& subject : subjects) {
        std::optional<Stamp> first;
        for (const Dip& dip : dips_of(studio, subject)) {
            if (when_dipped(dip)) {
                first = when_dipped(dip);
                break;
            }
        }
        in.check(rules::before_dip(in.typed(in.given("at") ? "at" : "degreased"), done.at, first));
    }
    done.who = in.who();
    done.note = in.note();
    done.from_memory = in.from_memory<Preparation>();
    if (in.refused()) {
        return in.refusal();
    }
    done.made_at = studio.now();
    return studio.write("prepare " + subjects.front().name, [&]() -> Result<Outcome> {
        Outcome outcome{.said = fmt::format(
                            "Preparation of {} written down.",
                            subjects.size() == 1 ? subjects.front().name : fmt::format("{} pieces", subjects.size())),
                        .cautions = {},
                        .made = {}};
        for (const Subject& subject : subjects) {
            done.id = studio.ids().next<Preparation>(done.made_at);
            done.strip_id = subject.strip;
            done.piece_id = subject.piece;
            done.part_id = subject.part;
            done.batch_id = subject.batch;
            store::insert(studio.log(), done);
            outcome.made["preparation"] = done.id.text;
        }
        if (done.water_sheeted == Answer::no) {
            outcome.cautions.push_back("A water break is a sign of grease: degrease again, or blotches may come.");
        }
        if (done.pickled == Answer::yes && done.rinses_after_pickle.value_or(0) < 2) {
            outcome.cautions.push_back(
                "Two rinses after the pickle before any sulfide bath: acid makes toxic gas there.");
        }
        return outcome;
    });
}

}  // namespace

void add_preparation_actions(Actions& table) {
    table.push_back(
        {.id = "preparation.add",
         .label = "Write down the preparation",
         .help = "What was done to the surface before the bath. What is not ticked is not known, which is not \"no\".",
         .page = "Pieces",
         .key = "P",
         .fields = {repeated(reference("piece", "Piece", "piece", "one a line; \"L-131..L-138\"")),
                    repeated(reference("part", "Part", "part", "\"L-058 lid\"")),
                    repeated(reference("strip", "Strip", "strip")),
                    reference("batch", "Batch", "batch", "stands for each of its pieces"),
                    field("surface", "Surface", FieldKind::text, "\"bright\", \"satin\", \"matt\", \"hammered\""),
                    field("degreased", "Degreased", FieldKind::yes_no),
                    field("degreased-how", "Degreased how", FieldKind::text, "\"pumice and brush\""),
                    field("water-sheeted", "Water sheeted", FieldKind::yes_no, "no = a water break was seen"),
                    field("pickled", "Pickled", FieldKind::yes_no),
                    field("rinses", "Rinses after the pickle", FieldKind::number, "how many"), at_field(), who_field(),
                    note_field()},
         .carry_out = add_preparation});
}

}  // namespace tonebath::app
