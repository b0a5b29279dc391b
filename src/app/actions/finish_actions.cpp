#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/bench_list.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "model/rules/bath_rules.hpp"
#include "model/rules/temp_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

// Seconds in the bath where the finish's own measure is a time.
std::optional<Seconds> as_time(const FinishKind& kind, std::optional<double> value) {
    if (!value) {
        return std::nullopt;
    }
    if (kind.measure == "seconds") {
        return Seconds::from_seconds(*value);
    }
    if (kind.measure == "minutes") {
        return Seconds::from_minutes(*value);
    }
    return kind.measure == "hours" ? std::optional<Seconds>(Seconds::from_minutes(*value * 60.0)) : std::nullopt;
}

double most_of(const FinishKind& kind) {
    // Ours: two weeks of fume, a metal just below the melting of silver, what nobody counts beyond.
    return kind.measure == "hours"      ? 336.0
           : kind.measure == "metal °C" ? 950.0
           : kind.measure == "seconds"  ? 86400.0
                                        : 1440.0;
}

void read_measure(Reader& in, Bath& bath, const FinishKind& kind) {
    bath.measure_value = in.number("measure");
    const std::string unit = in.text("measure-in", Reader::kNumber);
    if (bath.measure_value || !unit.empty()) {
        in.check(rules::measure_fits_kind(in.typed(unit.empty() ? "measure" : "measure-in"), unit, kind));
    }
    if (bath.measure_value) {
        in.check(rules::above_zero(in.typed("measure"), *bath.measure_value, "3"));
        in.check(rules::between(in.typed("measure"), *bath.measure_value, 0.0, most_of(kind), kind.measure));
        bath.measure = kind.measure;
    }
    if (in.given("dose")) {
        in.check(rules::dose_of_kind(in.typed("dose"), kind));
    }
}

Result<Outcome> other_finish(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Bath bath;
    bath.made_at = studio.now();
    bath.made_up_at = in.moment_or_now("at");
    bath.number = in.given("number") ? in.text("number", Reader::kNumber) : next_number(studio, "bath");
    in.check(rules::number_free(in.typed("number"), "bath", number_taken(studio, "bath", "number", bath.number),
                                next_number(studio, "bath")));
    const FinishKind* kind = in.kind("kind");
    if (in.refused()) {
        return in.refusal();
    }
    bath.finish_kind = kind->key;
    read_measure(in, bath, *kind);
    const std::optional<Lot> lot = in.record<Lot>("lot");
    if (lot && lot->finish_kind != kind->key) {
        in.check(rules::refuse("bath.kind_of_lot", in.typed("lot"),
                               fmt::format("lot {} is {}.", lot->number, studio.finish_kind(lot->finish_kind).name),
                               "Choose another lot or another kind.", {std::string(rules::kBlank)}));
    }
    if (in.given("amount")) {
        in.check(rules::amount_fits_kind(in.typed("amount"), *kind));
        bath.amount = in.amount("amount", lot ? lot->unit : kind->unit.value_or(AmountUnit::g));
        if (bath.amount) {
            in.check(rules::above_zero(in.typed("amount"), *bath.amount, "\"10 ml\""));
        }
        if (bath.amount && lot && !in.refused()) {
            in.check(rules::enough_in_lot(in.typed("amount"), *bath.amount, *lot, lot_left(studio, *lot)));
        }
    }
    bath.lot_id = lot ? std::optional<Id<Lot>>(lot->id) : std::nullopt;
    bath.water = in.volume("water");
    if (bath.water) {
        in.check(rules::above_zero(in.typed("water"), bath.water->ml(), "\"200 ml\""));
    }
    bath.room_temp = in.temperature("room-temp");
    if (bath.room_temp) {
        in.check(rules::room_temp(in.typed("room-temp"), *bath.room_temp, studio.units()));
    }
    bath.vessel_id = in.id_of<Vessel>("vessel");
    bath.additives = in.text("additives", Reader::kWords);
    in.check(rules::additives(in.typed("additives"), *kind, true));
    bath.who = in.who();
    bath.past_work = true;  // no check is asked here, and nothing is timed
    const bool on_pieces = in.given("piece") || in.given("part") || in.given("strip");
    const std::vector<Subject> subjects = on_pieces ? in.subjects() : std::vector<Subject>{};
    bath.note = in.note();
    bath.from_memory = in.from_memory<Bath>();
    if (in.refused()) {
        return in.refusal();
    }
    bath.id = studio.ids().next<Bath>(bath.made_at);
    return with_bench_stops(studio, studio.write(fmt::format("{} {}", kind->name, bath.number), [&]() -> Result<Outcome> {
        store::insert(studio.log(), bath);
        for (const Subject& subject : subjects) {
            Dip dip;
            dip.id = studio.ids().next<Dip>(bath.made_at);
            dip.bath_id = bath.id;
            dip.strip_id = subject.strip;
            dip.piece_id = subject.piece;
            dip.part_id = subject.part;
            dip.at_about = bath.made_up_at;
            dip.in_bath = as_time(*kind, bath.measure_value);
            dip.who = bath.who;
            dip.past_work = true;
            dip.made_at = bath.made_at;
            store::insert(studio.log(), dip);
        }
        Outcome outcome{.said = fmt::format("{} written down as bath {}", kind->name, bath.number),
                        .cautions = {},
                        .made = {{"bath", bath.id.text}}};
        outcome.said +=
            bath.measure_value ? fmt::format(": {} {}.", rules::figure(*bath.measure_value), bath.measure) : ".";
        if (!kind->never_meets.empty() && kind->never_meets != "-") {
            outcome.cautions.push_back(
                fmt::format("Keep it apart from {}. Its safety sheet and your local rules decide.", kind->never_meets));
        }
        return outcome;
    }));
}

}  // namespace

void add_finish_actions(Actions& table) {
    table.push_back(
        {.id = "bath.other-finish",
         .label = "Write down another finish",
         .help =
             "A bath or treatment of any kind of finish with its own measure: seconds, passes, hours of fume, metal "
             "°C. A dose only where the finish has one.",
         .page = "Baths",
         .key = "A",
         .fields = {field("number", "Number", FieldKind::text, "empty = the next one"),
                    required(field("kind", "Kind of finish", FieldKind::text,
                                   "\"ammonia fuming with salt\", \"heat patina\"")),
                    field("measure", "How much", FieldKind::number, "in the finish's own measure"),
                    field("measure-in", "Measured in", FieldKind::text,
                          "\"seconds\", \"passes\", \"hours\", \"metal °C\""),
                    field("dose", "Dose", FieldKind::duration, "only for a finish that has one"),
                    reference("lot", "Lot", "lot"), field("amount", "Amount", FieldKind::amount),
                    field("water", "Water", FieldKind::volume),
                    field("room-temp", "Room temperature", FieldKind::temperature),
                    reference("vessel", "Vessel", "vessel"), field("additives", "Additives", FieldKind::text),
                    repeated(reference("piece", "Piece", "piece", "one a line; \"L-131..L-138\"")),
                    repeated(reference("part", "Part", "part", "\"L-058 lid\"")),
                    repeated(reference("strip", "Strip", "strip")), at_field(), who_field(), note_field()},
         .carry_out = other_finish});
}

}  // namespace tonebath::app
