#include "app/actions/pin_actions.hpp"

#include "app/actions/reader.hpp"
#include "app/pin.hpp"
#include "app/studio.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

Result<Outcome> set_pin(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<Person> person = in.record<Person>("who");
    const std::string now(form.text("now"));
    const std::string pin(form.text("pin"));
    if (person && !in.refused()) {
        // What was typed is told to nobody, not even in a refusal.
        if (!person->pin.empty() && !is_same_pin(now, person->pin)) {
            in.check(rules::refuse("person.pin_wrong", {in.typed("now").field, ""}, fmt::format("that is not the PIN of {}.", person->initials),
                                   "Type the one that holds now; without it nobody changes it here."));
        } else if (!pin.empty() && !is_pin(pin)) {
            in.check(rules::refuse("person.pin_form", {in.typed("pin").field, ""}, "a PIN is 4 to 12 digits.", "Type digits only, or leave it empty to take the PIN away."));
        }
    }
    if (in.refused()) {
        return in.refusal();
    }
    person->pin = pin.empty() ? std::string() : keep_pin(pin);
    if (!pin.empty() && person->pin.empty()) {
        return rules::refuse("person.pin_no_crypt", {in.typed("pin").field, ""}, "this system's crypt(3) knows no yescrypt.", "Go without a PIN here.");
    }
    return studio.write((pin.empty() ? "take away the PIN of " : "set the PIN of ") + person->initials, [&]() -> Result<Outcome> {
        store::update(studio.log(), *person);
        return Outcome{.said = fmt::format("{} {} a PIN now.", person->initials, pin.empty() ? "needs no longer" : "is at the bench only with"), .cautions = {},
                       .made = {{"person", person->id.text}}};
    });
}

}  // namespace

rules::Question check_pin(const Person& person, const rules::Typed& typed) {
    if (person.pin.empty() || is_same_pin(typed.text, person.pin)) {
        return std::nullopt;
    }
    return typed.text.empty() ? rules::refuse("person.pin_needed", {typed.field, ""}, fmt::format("{} is at the bench only with a PIN.", person.initials),
                                               "Type it; before a command --pin reads it from the terminal, unseen, or from its input.")
                              : rules::refuse("person.pin_wrong", {typed.field, ""}, fmt::format("that is not the PIN of {}.", person.initials), "Type it again.");
}

void add_pin_actions(Actions& table) {
    table.push_back({.id = "person.pin",
                     .label = "Set or take away a PIN",
                     .help = "Asked before this person is at the bench. It keeps honest people apart, no more: the log itself is not locked.",
                     .page = "Today",
                     .key = "",
                     .fields = {required(reference("who", "Who", "person", "initials")), field("now", "PIN now", FieldKind::text, "empty = none yet"),
                                field("pin", "New PIN", FieldKind::text, "4 to 12 digits; empty = take it away")},
                     .carry_out = set_pin});
}

}  // namespace tonebath::app
