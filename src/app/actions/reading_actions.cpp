#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "model/rules/reading_rules.hpp"
#include "model/rules/temp_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

Result<Outcome> add_reading(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Reading reading;
    const std::optional<Bath> bath = in.record<Bath>("bath");
    const std::optional<Celsius> temp = in.temperature("temp");
    reading.at = in.moment_or_now("at");
    const std::optional<bool> reheated = in.yes_no("reheated");
    reading.reheated = reheated.value_or(false);
    reading.thermometer_id = in.id_of<Thermometer>("thermometer");
    reading.who = in.who();
    if (in.refused()) {
        return in.refusal();
    }
    reading.temp = *temp;
    reading.bath_id = bath->id;
    const std::optional<Vessel> vessel = bath->vessel_id ? store::find(studio.log(), *bath->vessel_id) : std::nullopt;
    const rules::ReadingFacts facts = reading_facts(studio, *bath, vessel ? &*vessel : nullptr, reading.at);
    in.check(rules::reading_moment(in.typed("at"), reading.at, facts));
    in.check(rules::reading_temp(in.typed("temp"), *temp, reading.at, reheated, facts, studio.units()));
    if (bath->room_temp) {
        in.check(rules::room_against_bath(in.typed("temp"), bath->room_temp, temp));
    }
    reading.kept = in.kept_any();
    reading.note = in.note();
    reading.from_memory = in.from_memory<Reading>();
    if (in.refused()) {
        return in.refusal();
    }
    reading.made_at = studio.now();
    reading.id = studio.ids().next<Reading>(reading.made_at);
    return studio.write(
        fmt::format("reading {} in bath {}", text_of(reading.temp), bath->number), [&]() -> Result<Outcome> {
            store::insert(studio.log(), reading);
            Outcome outcome{
                .said = fmt::format("Bath {}: {} at {}{}.", bath->number, text_of(reading.temp, studio.units()),
                                    time_text(reading.at), reading.reheated ? ", reheated" : ""),
                .cautions = {},
                .made = {{"reading", reading.id.text}}};
            if (std::string old = rules::age_caution(reading.at, studio.now()); !old.empty()) {
                outcome.cautions.push_back(std::move(old));
            }
            return outcome;
        });
}

}  // namespace

void add_reading_actions(Actions& table) {
    table.push_back(
        {.id = "bath.read",
         .label = "Read the temperature",
         .help = "As the thermometer shows it; a thermometer check corrects it later without changing it.",
         .page = "Baths",
         .key = "R",
         .fields = {required(reference("bath", "Bath", "bath")),
                    required(field("temp", "Temperature", FieldKind::temperature, "\"51.4\", \"124 F\"")),
                    at_field("Read"), field("reheated", "Reheated since the last reading", FieldKind::yes_no),
                    reference("thermometer", "Thermometer", "thermometer", "empty = the one in use"), who_field(),
                    note_field()},
         .carry_out = add_reading});
}

}  // namespace tonebath::app
