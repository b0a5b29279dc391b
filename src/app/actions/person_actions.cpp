#include "app/actions/pin_actions.hpp"
#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/classes.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/change.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

constexpr std::string_view kNotBlanked =
    "Not reached: the change log, which is never shortened; the dated backups beside the log; and what was printed or exported.";

Result<Outcome> add_person(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Person person;
    person.initials = in.text("initials", Reader::kNumber);
    person.role = in.text("role", Reader::kNumber);
    const bool learns = folded(person.role) == "student";
    person.may_make_up = in.yes_no("may-make-up").value_or(!learns);
    person.may_dip_alone = in.yes_no("may-dip-alone").value_or(!learns);
    person.may_coat = in.yes_no("may-coat").value_or(!learns);
    person.may_dispose = in.yes_no("may-dispose").value_or(!learns);
    person.may_supervise = in.yes_no("may-supervise").value_or(!learns && folded(person.role) != "apprentice");
    in.check(rules::number_free(in.typed("initials"), "person",
                                number_taken(studio, "person", "initials", person.initials), ""));
    if (in.refused()) {
        return in.refusal();
    }
    person.made_at = studio.now();
    person.id = studio.ids().next<Person>(person.made_at);
    const bool first = store::list<Person>(studio.log(), "LIMIT 1").empty();
    return studio.write("write down " + person.initials, [&]() -> Result<Outcome> {
        store::insert(studio.log(), person);
        if (first) {
            studio.log().set_setting("at_bench", person.id.text);
        }
        return Outcome{.said = fmt::format("{} written down{}.", person.initials, first ? ", and at the bench" : ""),
                       .cautions = {},
                       .made = {{"person", person.id.text}}};
    });
}

Result<Outcome> go_to_bench(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<Person> person = in.record<Person>("who");
    if (person && !in.refused()) {
        in.check(check_pin(*person, in.typed("pin")));
    }
    if (in.refused()) {
        return in.refusal();
    }
    const std::optional<Person> before = studio.at_bench();
    const Outcome outcome{.said = fmt::format("{} is at the bench.", person->initials),
                          .cautions = {},
                          .made = {{"person", person->id.text}}};
    if (before && before->id == person->id) {
        return outcome;
    }
    // A fact of the log, and a line in the change log that says who took over from whom and when; the change log names who
    // wrote each step from here on.
    store::Change change(studio.log(), fmt::format("at the bench: {}, after {}", person->initials, before ? before->initials : "nobody"),
                         studio.now(), person->id.text, studio.ids());
    change.stands_alone();
    studio.log().set_setting("at_bench", person->id.text);
    change.commit();
    return outcome;
}

Result<Outcome> blank_person(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<Person> person = in.record<Person>("who");
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write("blank a person", [&]() -> Result<Outcome> {
        const Blanked blanked = blank_person_everywhere(studio, *person);
        return Outcome{.said = fmt::format("The initials are now \"{}\" everywhere, in {} too; the records stay.", blanked.after,
                                           counted(blanked.notes, "note", "notes")),
                       .cautions = {std::string(kNotBlanked)},
                       .made = {{"person", person->id.text}}};
    });
}

Result<Outcome> keep_records(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<int> months = in.whole("months");
    if (months) {
        in.check(rules::between(in.typed("months"), *months, 1, 600, "months"));
    }
    if (in.refused()) {
        return in.refusal();
    }
    keep_for_months(studio, months);
    return Outcome{.said = months ? fmt::format("Initials of students are kept for {}; after that they are listed.", counted(static_cast<std::size_t>(*months), "month", "months"))
                                  : "How long initials of students are kept is not said.",
                   .cautions = {"Your venue or your local law may ask for another length."},
                   .made = {}};
}

Result<Outcome> blank_kept_too_long(Studio& studio, const Form&) {
    const std::vector<KeptPerson> people = people_kept_too_long(studio);
    if (people.empty()) {
        return Refusal{.code = "person.none_due",
                       .field = "People",
                       .value = {},
                       .message = months_kept(studio) ? "nobody's initials are kept longer than you said." : "you have not said how long initials are kept.",
                       .remedy = "Say for how many months they are kept.",
                       .answers = {}};
    }
    return studio.write(fmt::format("blank {}", counted(people.size(), "person", "people")), [&]() -> Result<Outcome> {
        for (const KeptPerson& one : people) {
            static_cast<void>(blank_person_everywhere(studio, one.person));
        }
        return Outcome{.said = fmt::format("{} blanked; the records stay.", counted(people.size(), "person", "people")),
                       .cautions = {std::string(kNotBlanked)},
                       .made = {}};
    });
}

}  // namespace

void add_person_actions(Actions& table) {
    table.push_back({.id = "person.add",
                     .label = "Write down a person",
                     .help = "By initials, with what they may do. Nobody's full name is needed.",
                     .page = "Today",
                     .key = "P",
                     .fields = {required(field("initials", "Initials", FieldKind::text, "\"MK\"")),
                                choice_of("role", "Role", {"maker", "apprentice", "student", "travelling bench"}),
                                field("may-make-up", "May make up baths", FieldKind::yes_no),
                                field("may-dip-alone", "May dip alone", FieldKind::yes_no),
                                field("may-coat", "May coat", FieldKind::yes_no),
                                field("may-dispose", "May dispose", FieldKind::yes_no),
                                field("may-supervise", "May supervise", FieldKind::yes_no)},
                     .carry_out = add_person});
    table.push_back({.id = "person.at-bench",
                     .label = "Who is at the bench",
                     .help = "Everything written from now on carries these initials.",
                     .page = "Today",
                     .key = "W",
                     .fields = {required(reference("who", "Who", "person", "initials")),
                                field("pin", "PIN", FieldKind::text, "where one is set")},
                     .carry_out = go_to_bench});
    table.push_back({.id = "person.blank",
                     .label = "Blank a person",
                     .help = "Puts a number in place of the initials everywhere, in notes of seats, classes and near misses too; the records stay.",
                     .page = "Today",
                     .key = "",
                     .fields = {required(reference("who", "Who", "person", "initials"))},
                     .carry_out = blank_person});
    table.push_back({.id = "person.keep",
                     .label = "How long students' initials are kept",
                     .help = "After so many months without a class they are listed, and one action blanks them.",
                     .page = "Today",
                     .key = "",
                     .fields = {field("months", "Months", FieldKind::number, "empty = not said")},
                     .carry_out = keep_records});
    table.push_back({.id = "person.blank-due",
                     .label = "Blank those kept long enough",
                     .help = "All students of the list, in one step.",
                     .page = "Today",
                     .key = "",
                     .fields = {},
                     .carry_out = blank_kept_too_long});
}

}  // namespace tonebath::app
