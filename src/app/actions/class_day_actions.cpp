// A class on its day: briefing, start, end, hand-outs, and what happened.
#include "app/actions/class_form.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

// What a seat signs for, with a name and a time on it.
struct Signing {
    std::string_view step, withdrawn_step;    // "briefing", "briefing taken back"
    std::string_view said, withdrawn_said;    // "confirmed the briefing", "not briefed"
    std::string_view nobody;                  // why it needs a name
    std::optional<Stamp> Seat::* at;
    std::optional<Id<Person>> Seat::* by;
    bool minors_only = false;
};
constexpr Signing kBriefing{.step = "briefing",
                            .withdrawn_step = "briefing taken back",
                            .said = "confirmed the briefing",
                            .withdrawn_said = "not briefed",
                            .nobody = "a briefing carries the initials of who gave it.",
                            .at = &Seat::briefed_at,
                            .by = &Seat::briefed_by};
constexpr Signing kConsent{.step = "consent",
                           .withdrawn_step = "consent taken back",
                           .said = "showed the consent",
                           .withdrawn_said = "without consent",
                           .nobody = "that a consent was seen carries the initials of who saw it.",
                           .at = &Seat::consent_at,
                           .by = &Seat::consent_by,
                           .minors_only = true};

Result<Outcome> sign(Studio& studio, const Form& form, const Signing& signing) {
    Reader in(studio, form);
    const std::optional<ClassSession> session = class_typed(in);
    const std::vector<int> numbers = seat_numbers(in);
    const Stamp at = in.moment_or_now("at");
    const std::optional<Id<Person>> who = in.who();
    const bool withdrawn = in.yes_no("take-back").value_or(false);
    if (!in.refused() && !who) {
        in.check(rules::refuse("class.no_name", in.typed("who"), std::string(signing.nobody),
                               "Type the initials, or say first who is at the bench."));
    }
    if (session) {
        check_not_ended(in, *session);
    }
    if (in.refused()) {
        return in.refusal();
    }
    std::vector<Seat> seats = seats_of(studio, session->id);
    std::vector<Seat> signed_now;
    for (const int number : numbers) {
        const std::string text = std::to_string(number);
        const rules::Typed typed{in.typed("seat").field, text};
        const auto seat = std::find_if(seats.begin(), seats.end(), [number](const Seat& one) { return one.number == number; });
        if (seat == seats.end()) {
            return rules::refuse("seat.unknown", typed, fmt::format("class {} has no such seat.", session->number),
                                 fmt::format("It has {}.", counted(seats.size(), "seat", "seats")));
        }
        if (signing.minors_only && !seat->minor) {
            return rules::refuse("seat.no_minor", typed, "that seat is not set as a minor, and needs no consent.",
                                 "Set the seat as a minor first.");
        }
        (*seat).*signing.at = withdrawn ? std::nullopt : std::optional(at);
        (*seat).*signing.by = withdrawn ? std::nullopt : who;
        signed_now.push_back(*seat);
    }
    return studio.write(fmt::format("{} of class {}", withdrawn ? signing.withdrawn_step : signing.step, session->number),
                        [&]() -> Result<Outcome> {
                            std::vector<std::string> words;
                            for (const Seat& seat : signed_now) {
                                store::update(studio.log(), seat);
                                words.push_back(std::to_string(seat.number));
                            }
                            const SeatCount count = count_of(seats);
                            return Outcome{.said = fmt::format("{} {} {}: {} of {} in use briefed.", words.size() == 1 ? "Seat" : "Seats",
                                                               joined(words, ", "),
                                                               withdrawn ? signing.withdrawn_said : signing.said,
                                                               count.briefed, count.in_use),
                                           .cautions = {},
                                           .made = {{"class_session", session->id.text}}};
                        });
}

Result<Outcome> brief(Studio& studio, const Form& form) {
    return sign(studio, form, kBriefing);
}
Result<Outcome> see_consent(Studio& studio, const Form& form) {
    return sign(studio, form, kConsent);
}

Result<Outcome> ask_consent(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<ClassSession> session = class_typed(in);
    const bool asked = in.yes_no("asked").value_or(true);
    if (session) {
        check_not_ended(in, *session);
    }
    if (in.refused()) {
        return in.refusal();
    }
    session->consent_asked = asked;
    return studio.write(fmt::format("consent for minors in class {}", session->number), [&]() -> Result<Outcome> {
        store::update(studio.log(), *session);
        return Outcome{.said = asked ? fmt::format("Class {}: a seat set as a minor waits until its consent was seen.", session->number)
                                     : fmt::format("Class {}: no consent is asked for minors.", session->number),
                       .cautions = {"What your law and your venue ask, they say; this keeps only that a paper was seen."},
                       .made = {{"class_session", session->id.text}}};
    });
}

Refusal not_yet(std::string code, const Reader& in, std::string head, const std::vector<ClassReason>& reasons) {
    std::vector<std::string> words;
    for (const ClassReason& reason : reasons) {
        words.push_back(fmt::format("{}: {}", reason.what, reason.missing));
    }
    return rules::refuse(std::move(code), in.typed("class"),
                         fmt::format("{}, {}.", head, counted(reasons.size(), "reason", "reasons")), joined(words, ". ") + ".");
}

Result<Outcome> start_class(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<ClassSession> session = class_typed(in);
    if (session) {
        check_not_ended(in, *session);
        if (session->started_at) {
            in.check(rules::refuse("class.started", in.typed("class"),
                                   fmt::format("it was started on {}.", date_time_text(*session->started_at)), "End it first."));
        }
    }
    if (in.refused()) {
        return in.refusal();
    }
    if (const auto reasons = why_no_start(studio, *session); !reasons.empty()) {
        return not_yet("class.refused", in, "the class does not start", reasons);
    }
    session->started_at = studio.now();
    return studio.write("start class " + session->number, [&]() -> Result<Outcome> {
        store::update(studio.log(), *session);
        return Outcome{.said = fmt::format("Class {} started at {}.", session->number, time_text(*session->started_at)),
                       .cautions = {},
                       .made = {{"class_session", session->id.text}}};
    });
}

Result<Outcome> end_class(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<ClassSession> session = class_typed(in);
    const Stamp at = in.moment_or_now("at");
    if (session) {
        check_not_ended(in, *session);
    }
    if (in.refused()) {
        return in.refusal();
    }
    if (!session->started_at) {
        return rules::refuse("class.not_started", in.typed("class"), "it was not started.",
                             "Start it, or write it down as past work.");
    }
    for (const Dip& dip : running_dips(studio)) {
        const std::optional<Bath> bath = store::find(studio.log(), dip.bath_id);
        if (bath && bath->class_id == session->id) {
            return rules::refuse("class.dip_running", in.typed("class"),
                                 fmt::format("{} is still in bath {}.", subject_of(studio, dip).name, bath->number),
                                 "Lift it out first.");
        }
    }
    session->ended_at = at;
    return studio.write("end class " + session->number, [&]() -> Result<Outcome> {
        store::update(studio.log(), *session);
        Outcome outcome{.said = fmt::format("Class {} ended at {}.", session->number, time_text(at)),
                        .cautions = {"Hands, benches and rinse water: the list for afterwards closes the class."},
                        .made = {{"class_session", session->id.text}}};
        for (const Bath& bath : baths_of(studio, *session)) {
            if (!bath.ended_at) {
                outcome.cautions.push_back(fmt::format("Bath {} is still in use: keep it back or dispose of it by your local rule.", bath.number));
            }
        }
        return outcome;
    });
}

Result<Outcome> hand_out(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<ClassSession> session = class_typed(in);
    const Stamp at = in.moment_or_now("at");
    if (in.refused()) {
        return in.refusal();
    }
    session->handed_out_at = at;
    return studio.write("hand-outs of class " + session->number, [&]() -> Result<Outcome> {
        store::update(studio.log(), *session);
        return Outcome{.said = fmt::format("Hand-outs of class {} given out at {}.", session->number, time_text(at)),
                       .cautions = {},
                       .made = {{"class_session", session->id.text}}};
    });
}

Result<Outcome> incident(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<ClassSession> session = class_typed(in);
    NearMiss entry;
    entry.kind = NearMissKind::incident;
    entry.at = in.moment_or_now("at");
    entry.words = in.text("words", Reader::kNote);
    entry.bath_id = in.id_of<Bath>("bath");
    entry.who = in.who();
    entry.from_memory = in.from_memory<NearMiss>();
    if (in.refused()) {
        return in.refusal();
    }
    entry.class_id = session->id;
    entry.made_at = studio.now();
    entry.number = next_lettered(studio, NearMiss::kTable, "N-");
    entry.id = studio.ids().next<NearMiss>(entry.made_at);
    return studio.write(fmt::format("incident {} in class {}", entry.number, session->number), [&]() -> Result<Outcome> {
        store::insert(studio.log(), entry);
        return Outcome{.said = fmt::format("{} written down for class {}; it waits in the book of near misses for the maker's comment.",
                                           entry.number, session->number),
                       .cautions = {"Write what happened and what was done, not about anyone's health."},
                       .made = {{"near_miss", entry.id.text}}};
    });
}

}  // namespace

void add_class_day_actions(Actions& table) {
    table.push_back({.id = "class.brief",
                     .label = "Brief a seat",
                     .help = "The seat has heard what the bath is, what never meets it, eyes and skin, and says so. One seat at a time.",
                     .page = "Today",
                     .key = "",
                     .fields = {class_field(), seats_field(), at_field("Confirmed"), who_field(),
                                field("take-back", "Take it back", FieldKind::yes_no, "yes when it was not so")},
                     .carry_out = brief});
    table.push_back({.id = "class.ask-consent",
                     .label = "Consent for minors is asked",
                     .help = "Your venue or law says whether. From then on a seat set as a minor waits until its consent was seen.",
                     .page = "Today",
                     .key = "",
                     .fields = {class_field(), field("asked", "Asked", FieldKind::yes_no, "empty = yes")},
                     .carry_out = ask_consent});
    table.push_back({.id = "class.consent",
                     .label = "A minor's consent was seen",
                     .help = "On paper, by you. Only that it was seen is kept: no age, no name of who signed.",
                     .page = "Today",
                     .key = "",
                     .fields = {class_field(), seats_field(), at_field("Seen"), who_field(),
                                field("take-back", "Take it back", FieldKind::yes_no, "yes when it was not so")},
                     .carry_out = see_consent});
    table.push_back({.id = "class.start",
                     .label = "Start a class",
                     .help = "Refused, with each reason, while something is missing. Your local rules decide.",
                     .page = "Today",
                     .key = "",
                     .fields = {class_field()},
                     .carry_out = start_class});
    table.push_back({.id = "class.end",
                     .label = "End a class",
                     .help = "When the last piece is out of its baths.",
                     .page = "Today",
                     .key = "",
                     .fields = {class_field(), at_field()},
                     .carry_out = end_class});
    table.push_back({.id = "class.hand-out",
                     .label = "Hand-outs were given",
                     .help = "What the bath is, what never meets it, eyes and skin, waste, the studio's numbers.",
                     .page = "Today",
                     .key = "",
                     .fields = {class_field(), at_field()},
                     .carry_out = hand_out});
    table.push_back({.id = "class.incident",
                     .label = "An incident in a class",
                     .help = "Goes into the book of near misses. Nothing about anyone's health.",
                     .page = "Today",
                     .key = "",
                     .fields = {class_field(), required(field("words", "What happened", FieldKind::text)), at_field(),
                                reference("bath", "Bath", "bath"), who_field()},
                     .carry_out = incident});
}

}  // namespace tonebath::app
