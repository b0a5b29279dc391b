#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "model/rules/bath_rules.hpp"
#include "model/rules/dip_rules.hpp"
#include "model/rules/temp_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

// Lengths of the pieces in the same bath: of the piece's own batch where at least three of it are there. Strips are
// dipped for different times on purpose and have no mates.
std::vector<Seconds> mates_of(Studio& studio, const Bath& bath, const Subject& subject, std::string& words) {
    if (!subject.of_piece) {
        return {};
    }
    const std::optional<Piece> own_piece = store::find(studio.log(), *subject.of_piece);
    const std::optional<Id<Batch>> batch = own_piece ? own_piece->batch_id : std::nullopt;
    std::vector<Seconds> all;
    std::vector<Seconds> of_batch;
    for (const Dip& dip : dips_in(studio, bath.id)) {
        const Subject mate = subject_of(studio, dip);
        if (!dip.in_bath || dip.strip_id || mate.of_piece == subject.of_piece) {
            continue;
        }
        all.push_back(*dip.in_bath);
        const std::optional<Piece> piece = mate.of_piece ? store::find(studio.log(), *mate.of_piece) : std::nullopt;
        if (batch && piece && piece->batch_id == batch) {
            of_batch.push_back(*dip.in_bath);
        }
    }
    const bool own = of_batch.size() >= 3;
    words = own ? fmt::format("the others of batch {} in bath {}", name_of(studio, *batch), bath.number)
                : fmt::format("the others in bath {}", bath.number);
    return own ? of_batch : all;
}

void read_times(Reader& in, Dip& dip) {
    dip.in_bath = in.duration("length");
    if (dip.in_bath) {
        in.check(rules::dip_length(in.typed("length"), *dip.in_bath));
    }
    dip.dropped_at = in.moment("dropped");
    dip.out_at = in.moment("out");
    if (dip.dropped_at && dip.out_at) {
        in.check(rules::dip_times(in.typed("out"), *dip.dropped_at, *dip.out_at));
        if (!dip.in_bath && !in.refused()) {
            dip.in_bath = Seconds::from_seconds(seconds_between(*dip.dropped_at, *dip.out_at));
            in.check(rules::above_zero(in.typed("out"), dip.in_bath->seconds(), "\"09:43:10\""));
        }
    } else if (dip.dropped_at && dip.in_bath) {
        dip.out_at = plus_seconds(*dip.dropped_at, dip.in_bath->seconds());
    }
    dip.at_about = in.moment("at");
    if (!dip.dropped_at && !dip.at_about) {
        dip.at_about = in.studio().now();
    }
}

Result<Outcome> enter(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<Bath> bath = in.record<Bath>("bath");
    const std::vector<Subject> subjects = in.subjects();
    Dip dip;
    read_times(in, dip);
    dip.temp = in.temperature("temp");
    if (dip.temp) {
        in.check(rules::bath_temp(in.typed("temp"), *dip.temp, studio.units()));
    }
    const std::optional<Seconds> rinse_length = in.duration("rinse");
    if (rinse_length) {
        in.check(rules::rinse_length(in.typed("rinse"), *rinse_length));
    }
    dip.agitation = in.choice<Agitation>("agitation");
    dip.watched = in.yes_no("watched").value_or(false);
    dip.target_id = in.id_of<Target>("target");
    if (in.given("aim") && !subjects.empty()) {
        const std::optional<Tone> aim = in.tone("aim", subjects.front());
        dip.aim_tone_id = aim ? std::optional<Id<Tone>>(aim->id) : std::nullopt;
    }
    dip.who = in.who();
    if (in.refused()) {
        return in.refusal();
    }
    dip.bath_id = bath->id;
    dip.past_work = true;
    const Stamp when = when_dipped(dip).value_or(studio.now());
    in.check(rules::dip_moment(in.typed(in.given("dropped") ? "dropped" : "at"), *bath, when));
    const bool from_memory = form.from_memory.count("length") > 0;
    for (const Subject& subject : subjects) {
        if (dip.in_bath) {
            std::string words;
            const std::vector<Seconds> mates = mates_of(studio, *bath, subject, words);
            in.check(rules::length_against_mates(in.typed(in.given("length") ? "length" : "out"), *dip.in_bath, mates,
                                                 words));
        }
        if (subject.part) {
            in.check(rules::part_alone({in.typed("part").field, subject.name}, subject.name, subject.joined, when));
        }
        if (const std::optional<Preparation> prepared = last_preparation(studio, subject);
            prepared && prepared->at <= when) {
            if (prepared->pickled == Answer::yes && prepared->rinses_after_pickle.value_or(1) == 0) {
                in.check(rules::ask("dip.acid_carried", {in.typed("piece").field, subject.name},
                                    "it was pickled and not rinsed before.",
                                    "Correct the preparation, or keep it where that is what was done."));
            }
        }
    }
    dip.note = in.note();
    dip.from_memory = in.from_memory<Dip>();
    if (in.refused()) {
        return in.refusal();
    }
    dip.made_at = studio.now();
    return studio.write("past dip of " + subjects.front().name, [&]() -> Result<Outcome> {
        Outcome outcome{.said = fmt::format(
                            "Dip of {} in bath {} written down as past work{}.",
                            subjects.size() == 1 ? subjects.front().name : fmt::format("{} pieces", subjects.size()),
                            bath->number, dip.in_bath ? ": " + text_of(*dip.in_bath) : ""),
                        .cautions = {},
                        .made = {}};
        for (const Subject& subject : subjects) {
            dip.id = studio.ids().next<Dip>(dip.made_at);
            dip.strip_id = subject.strip;
            dip.piece_id = subject.piece;
            dip.part_id = subject.part;
            store::insert(studio.log(), dip);
            if (rinse_length) {
                Rinse rinse;
                rinse.id = studio.ids().next<Rinse>(dip.made_at);
                rinse.dip_id = dip.id;
                rinse.at = dip.out_at.value_or(when);
                rinse.length = rinse_length;
                rinse.made_at = dip.made_at;
                rinse.from_memory = form.from_memory.count("rinse") > 0 ? "length_s" : "";
                store::insert(studio.log(), rinse);
            }
            outcome.made["dip"] = dip.id.text;
        }
        if (!dip.in_bath) {
            outcome.cautions.push_back("Without its length this dip teaches nothing about time.");
        } else if (from_memory) {
            outcome.cautions.push_back("Marked as from memory: it counts for less.");
        }
        if (!studio.finish_kind(bath->finish_kind).dose) {
            outcome.cautions.push_back(
                fmt::format("{} has no dose; the time is kept as it is.", studio.finish_kind(bath->finish_kind).name));
        }
        return outcome;
    });
}

}  // namespace

void add_past_dip_actions(Actions& table) {
    table.push_back(
        {.id = "dip.enter",
         .label = "Write down a past dip",
         .help = "Not timed here and no check with it: marked so, and listed as a gap.",
         .page = "Bench",
         .key = "E",
         .fields = {required(reference("bath", "Bath", "bath")),
                    repeated(reference("piece", "Piece", "piece", "one a line; \"L-131..L-138\"")),
                    repeated(reference("part", "Part", "part", "\"L-058 lid\"")),
                    repeated(reference("strip", "Strip", "strip")),
                    field("length", "In the bath for", FieldKind::duration, "\"40\" for 40 s, \"1:20\""),
                    field("dropped", "Dropped", FieldKind::moment, "where it is known"),
                    field("out", "Out", FieldKind::moment),
                    field("at", "About when", FieldKind::moment, "the day or hour it was"),
                    field("temp", "Temperature of the bath then", FieldKind::temperature),
                    field("rinse", "Rinsed for", FieldKind::duration), choice_of<Agitation>("agitation", "Moved"),
                    field("watched", "Watched", FieldKind::yes_no, "pulled just as it reached the tone"),
                    reference("target", "Target tone", "target"), reference("aim", "Aim", "tone", "a tone's word"),
                    who_field(), note_field()},
         .carry_out = enter});
}

}  // namespace tonebath::app
