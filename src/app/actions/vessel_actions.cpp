#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "model/rules/temp_rules.hpp"
#include "model/rules/work_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <cmath>

namespace tonebath::app {

namespace {

Result<Outcome> add_vessel(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Vessel vessel;
    vessel.number = in.text("number", Reader::kNumber);
    in.check(
        rules::number_free(in.typed("number"), "vessel", number_taken(studio, "vessel", "number", vessel.number), ""));
    vessel.kind = in.text("kind", Reader::kWords);
    vessel.volume = in.volume("volume");
    if (vessel.volume) {
        in.check(rules::above_zero(in.typed("volume"), vessel.volume->ml(), "\"400 ml\""));
    }
    vessel.cooling_per_min = in.number("cooling");
    if (vessel.cooling_per_min) {
        in.check(rules::between(in.typed("cooling"), *vessel.cooling_per_min, 0.0, 1.0, "per minute"));
    }
    vessel.covered = in.yes_no("covered").value_or(false);
    vessel.strips_only = in.yes_no("strips-only").value_or(false);
    vessel.note = in.note();
    if (in.refused()) {
        return in.refusal();
    }
    vessel.made_at = studio.now();
    vessel.id = studio.ids().next<Vessel>(vessel.made_at);
    return studio.write("vessel " + vessel.number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), vessel);
        return Outcome{.said = fmt::format("Vessel {} written down.", vessel.number),
                       .cautions = {},
                       .made = {{"vessel", vessel.id.text}}};
    });
}

Result<Outcome> add_thermometer(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Thermometer thermometer;
    thermometer.number = in.text("number", Reader::kNumber);
    in.check(rules::number_free(in.typed("number"), "thermometer",
                                number_taken(studio, "thermometer", "number", thermometer.number), ""));
    thermometer.in_use_from = in.moment("from");
    thermometer.note = in.note();
    if (in.refused()) {
        return in.refusal();
    }
    thermometer.made_at = studio.now();
    thermometer.id = studio.ids().next<Thermometer>(thermometer.made_at);
    return studio.write("thermometer " + thermometer.number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), thermometer);
        return Outcome{.said = fmt::format("Thermometer {} written down.", thermometer.number),
                       .cautions = {},
                       .made = {{"thermometer", thermometer.id.text}}};
    });
}

Result<Outcome> use_thermometer(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<Thermometer> thermometer = in.record<Thermometer>("thermometer");
    const Stamp from = in.moment_or_now("at");
    if (in.refused()) {
        return in.refusal();
    }
    thermometer->in_use_from = from;
    return studio.write("use thermometer " + thermometer->number, [&]() -> Result<Outcome> {
        store::update(studio.log(), *thermometer);
        return Outcome{.said = fmt::format("Thermometer {} in use from {}.", thermometer->number, date_time_text(from)),
                       .cautions = {},
                       .made = {{"thermometer", thermometer->id.text}}};
    });
}

Result<Outcome> check_thermometer(Studio& studio, const Form& form) {
    Reader in(studio, form);
    ThermometerCheck check;
    const std::optional<Thermometer> thermometer = in.record<Thermometer>("thermometer");
    const std::optional<Celsius> reads = in.temperature("reads");
    const bool boiling = folded(in.text("in", Reader::kWords)) == "boiling water";
    const std::optional<double> altitude = in.number("altitude");
    check.at = in.moment_or_now("at");
    check.applies_from = in.moment("applies-from").value_or(check.at);
    in.check(rules::in_order(in.typed("at"), "it was to count", check.applies_from, check.at));
    if (boiling) {
        in.check(rules::boiling_altitude(in.typed("altitude"), altitude));
    }
    check.truth = boiling ? rules::boiling_point(altitude.value_or(0.0)) : Celsius::from_celsius(0.0);
    if (reads) {
        check.reads = *reads;
        in.check(rules::offset_plausible(in.typed("reads"), *reads, check.truth));
    }
    check.note = in.note();
    if (in.refused()) {
        return in.refusal();
    }
    check.thermometer_id = thermometer->id;
    check.made_at = studio.now();
    check.id = studio.ids().next<ThermometerCheck>(check.made_at);
    const double offset = check.reads.celsius() - check.truth.celsius();
    return studio.write("check thermometer " + thermometer->number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), check);
        return Outcome{
            .said = fmt::format(
                "Thermometer {} reads {} °C {}: readings from {} on are corrected, the records stay as read.",
                thermometer->number, fixed_text(std::abs(offset), 1), offset >= 0.0 ? "high" : "low",
                date_time_text(check.applies_from)),
            .cautions = {},
            .made = {{"thermometer_check", check.id.text}}};
    });
}

}  // namespace

void add_vessel_actions(Actions& table) {
    table.push_back(
        {.id = "vessel.add",
         .label = "Write down a vessel",
         .help = "A bowl, cup or jar that baths are made up in.",
         .page = "Baths",
         .key = "V",
         .fields = {required(field("number", "Number on the vessel", FieldKind::text, "\"V1\"")),
                    field("kind", "Kind of vessel", FieldKind::text, "\"glass bowl\", \"bowl in a water bath\""),
                    field("volume", "Holds", FieldKind::volume, "\"400 ml\""),
                    field("cooling", "Cooling per minute", FieldKind::number, "empty = learned from readings"),
                    field("covered", "Covered", FieldKind::yes_no),
                    field("strips-only", "For strips only", FieldKind::yes_no), note_field()},
         .carry_out = add_vessel});
    table.push_back({.id = "thermometer.add",
                     .label = "Write down a thermometer",
                     .help = "So that a wrong one can be told from a weak lot.",
                     .page = "Baths",
                     .key = "",
                     .fields = {required(field("number", "Number on the thermometer", FieldKind::text, "\"T1\"")),
                                field("from", "In use from", FieldKind::moment), note_field()},
                     .carry_out = add_thermometer});
    table.push_back({.id = "thermometer.use",
                     .label = "Use a thermometer",
                     .help = "Readings without a named thermometer are taken to be from this one, from then on.",
                     .page = "Baths",
                     .key = "",
                     .fields = {required(reference("thermometer", "Thermometer", "thermometer")), at_field("From")},
                     .carry_out = use_thermometer});
    table.push_back(
        {.id = "thermometer.check",
         .label = "Check a thermometer",
         .help = "In ice water or boiling water. Later readings are corrected by it; what was read stays on record.",
         .page = "Baths",
         .key = "I",
         .fields = {required(reference("thermometer", "Thermometer", "thermometer")),
                    required(field("reads", "It reads", FieldKind::temperature, "\"4.0\" in ice water")),
                    required(choice_of("in", "In", {"ice water", "boiling water"})),
                    field("altitude", "Height above the sea, m", FieldKind::number, "for boiling water; 0 by the sea"),
                    at_field(), field("applies-from", "Counts from", FieldKind::moment, "empty = from this check on"),
                    note_field()},
         .carry_out = check_thermometer});
}

}  // namespace tonebath::app
