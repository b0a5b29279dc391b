// Classes: a class with its seats, and the bath for it.
#include "app/actions/class_form.hpp"
#include "app/facts.hpp"
#include "app/rooms.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace tonebath::app {

namespace {

constexpr double kLongestGap_s = 180.0;

void check_supervisor(Reader& in, const std::optional<Person>& supervisor, bool past) {
    if (supervisor && !supervisor->may_supervise && !past) {
        in.check(rules::refuse("class.supervisor", in.typed("supervisor"),
                               fmt::format("{} is not cleared to supervise.", supervisor->initials),
                               "Name another, or write down first that they may."));
    }
}

// Who lets seats in over the limit, and why: both or the question comes.
struct LetIn {
    std::optional<Id<Person>> by;
    std::string why;
    [[nodiscard]] bool whole() const { return by && !why.empty(); }
};
LetIn let_in_typed(Reader& in) {
    return {.by = in.id_of<Person>("over-by"), .why = in.text("over-why", Reader::kWords)};
}
Refusal over_the_limit(const Reader& in, std::string_view key, int seat, int limit) {
    return rules::refuse("class.over_limit", {in.typed(key).field, std::to_string(seat)},
                         fmt::format("the limit of this class is {}.", counted(static_cast<std::size_t>(limit), "seat", "seats")),
                         "Say who lets it in and why, or leave the seat empty.");
}

// The reason every seat in use or watching over the limit needs; remembered on those that are new to it.
void check_limit(Reader& in, std::string_view key, const ClassSession& session, std::vector<Seat>& seats, const std::set<int>& touched,
                 const LetIn& let_in) {
    std::sort(seats.begin(), seats.end(), [](const Seat& a, const Seat& b) { return a.number < b.number; });
    for (Seat& seat : seats) {
        if (touched.count(seat.number) == 0 || !over_limit(seats, seat, session.seat_limit)) {
            continue;
        }
        if (let_in.whole()) {
            seat.over_limit_by = let_in.by;
            seat.over_limit_why = let_in.why;
        } else if (!session.past_work && (!seat.over_limit_by || seat.over_limit_why.empty())) {
            in.check(over_the_limit(in, key, seat.number, session.seat_limit));
        }
    }
}

Result<Outcome> add_class(Studio& studio, const Form& form) {
    Reader in(studio, form);
    ClassSession session;
    session.number = in.text("number", Reader::kNumber);
    if (session.number.empty()) {
        session.number = next_lettered(studio, ClassSession::kTable, "C-");
    }
    in.check(rules::number_free(in.typed("number"), "class", number_taken(studio, ClassSession::kTable, "number", session.number),
                                next_lettered(studio, ClassSession::kTable, "C-")));
    session.title = in.text("title", Reader::kWords);
    session.past_work = in.yes_no("past").value_or(false);
    session.at = in.any_moment("at").value_or(studio.now());
    if (session.past_work) {
        in.check(rules::not_in_future(in.typed("at"), session.at, studio.now()));
        session.started_at = session.at;
        session.ended_at = session.at;
    }
    // Where none is named, the room that is worked in; a class of the past may have sat anywhere.
    const std::optional<Room> room = in.given("room") ? in.record<Room>("room") : session.past_work ? std::nullopt : room_now(studio);
    session.room_id = room ? std::optional(room->id) : std::nullopt;
    const std::optional<int> seats = in.whole("seats");
    const std::optional<int> limit = in.whole("limit") ? in.whole("limit") : room ? room->seat_limit : std::nullopt;
    if (!limit && !in.refused()) {
        in.check(rules::refuse("class.no_limit", in.typed("limit"), "no limit of seats is set for this class or its room.",
                               "Type how many seats you allow here; nobody else sets it."));
    }
    for (const auto& [key, count] : {std::pair{"limit", limit}, std::pair{"seats", seats}}) {
        if (count) {
            in.check(rules::between(in.typed(key), *count, 1, kMostSeats, "seats"));
        }
    }
    session.seat_limit = limit.value_or(1);
    const std::optional<Person> supervisor = in.record<Person>("supervisor");
    check_supervisor(in, supervisor, session.past_work);
    session.supervisor = supervisor ? std::optional(supervisor->id) : std::nullopt;
    session.second = in.id_of<Person>("second");
    if (session.second && session.second == session.supervisor) {
        in.check(rules::refuse("class.same_person", in.typed("second"), "that is the supervisor.",
                               "The second person is another one; leave it empty where there is none."));
    }
    const std::optional<Tone> aim = in.record<Tone>("aim");
    session.aim_id = aim ? std::optional(aim->id) : std::nullopt;
    session.every = in.duration("every");
    if (session.every) {
        in.check(rules::between(in.typed("every"), session.every->seconds(), 4.0, kLongestGap_s, "s"));
    }
    const auto last = store::list<ClassSession>(studio.log(), "WHERE past_work = 0 ORDER BY at_utc_ms DESC, id DESC LIMIT 1");
    session.consent_asked = in.yes_no("consent-asked").value_or(!session.past_work && !last.empty() && last.front().consent_asked);
    std::optional<Bath> bath = in.record<Bath>("bath");
    const LetIn let_in = let_in_typed(in);
    session.note = in.note();
    session.from_memory = in.from_memory<ClassSession>();
    std::vector<Seat> all;
    std::set<int> numbers;
    for (int number = 1; number <= seats.value_or(session.seat_limit); ++number) {
        Seat seat;
        seat.number = number;
        all.push_back(seat);
        numbers.insert(number);
    }
    if (!in.refused()) {
        check_limit(in, "seats", session, all, numbers, let_in);
    }
    if (in.refused()) {
        return in.refusal();
    }
    session.made_at = studio.now();
    session.id = studio.ids().next<ClassSession>(session.made_at);
    return studio.write("class " + session.number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), session);
        for (Seat& seat : all) {
            seat.id = studio.ids().next<Seat>(session.made_at);
            seat.class_id = session.id;
            seat.made_at = session.made_at;
            store::insert(studio.log(), seat);
        }
        if (bath) {
            bath->class_id = session.id;
            store::update(studio.log(), *bath);
        }
        Outcome outcome{.said = fmt::format("Class {} written down: {} on {}.", session.number,
                                            counted(all.size(), "seat", "seats"), date_time_text(session.at)),
                        .cautions = {},
                        .made = {{"class_session", session.id.text}}};
        if (!session.second && !session.past_work) {
            outcome.cautions.push_back("No second person is named: somebody else in the building knows.");
        }
        outcome.cautions.push_back("Names are optional; seats are enough. No health facts are asked or kept.");
        return outcome;
    });
}

Result<Outcome> set_seat(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<ClassSession> session = class_typed(in);
    const std::vector<int> numbers = seat_numbers(in);
    const std::optional<SeatUse> use = in.choice<SeatUse>("use");
    const std::optional<Id<Person>> person = in.id_of<Person>("person");
    const std::optional<Tone> aim = in.record<Tone>("aim");
    const std::optional<bool> minor = in.yes_no("minor");
    const LetIn let_in = let_in_typed(in);
    const std::string note = in.note();
    if (person && numbers.size() > 1) {
        in.check(rules::refuse("seat.one_person", in.typed("person"), "one person has one seat.", "Name one seat."));
    }
    if (session) {
        check_not_ended(in, *session);
    }
    if (in.refused()) {
        return in.refusal();
    }
    std::vector<Seat> seats = seats_of(studio, session->id);
    std::set<int> touched(numbers.begin(), numbers.end());
    std::set<int> made;
    for (const int number : numbers) {
        auto at = std::find_if(seats.begin(), seats.end(), [number](const Seat& seat) { return seat.number == number; });
        if (at == seats.end()) {
            Seat seat;
            seat.class_id = session->id;
            seat.number = number;
            seats.push_back(seat);
            made.insert(number);
            at = std::prev(seats.end());
        }
        at->use = use.value_or(at->use);
        at->person_id = person ? person : at->person_id;
        at->aim_id = aim ? std::optional(aim->id) : at->aim_id;
        at->minor = minor.value_or(at->minor);
        if (!at->minor) {
            at->consent_at = std::nullopt;
            at->consent_by = std::nullopt;
        }
        at->note = note.empty() ? at->note : note;
    }
    check_limit(in, "seat", *session, seats, touched, let_in);
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write(fmt::format("seats of class {}", session->number), [&]() -> Result<Outcome> {
        std::string said;
        for (Seat& seat : seats) {
            if (touched.count(seat.number) == 0) {
                continue;
            }
            if (made.count(seat.number) != 0) {
                seat.made_at = studio.now();
                seat.id = studio.ids().next<Seat>(seat.made_at);
                store::insert(studio.log(), seat);
            } else {
                store::update(studio.log(), seat);
            }
            said += fmt::format("{}Seat {}: {}{}", said.empty() ? "" : ", ", seat.number, word_of(seat.use), seat.minor ? ", a minor" : "");
        }
        return Outcome{.said = said + ".", .cautions = {}, .made = {{"class_session", session->id.text}}};
    });
}

Result<Outcome> link_bath(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<ClassSession> session = class_typed(in);
    std::optional<Bath> bath = in.record<Bath>("bath");
    if (session) {
        check_not_ended(in, *session);
    }
    if (bath && bath->ended_at && session && !session->past_work) {
        in.check(rules::refuse("dip.bath_ended", in.typed("bath"),
                               fmt::format("bath {} was ended on {}.", bath->number, date_time_text(*bath->ended_at)),
                               "Choose a bath in use, or make one up."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    bath->class_id = session->id;
    return studio.write(fmt::format("bath {} for class {}", bath->number, session->number), [&]() -> Result<Outcome> {
        store::update(studio.log(), *bath);
        return Outcome{.said = fmt::format("Bath {} is for class {}: a lane is a seat, and no piece goes in while a seat in use is not briefed.",
                                           bath->number, session->number),
                       .cautions = {},
                       .made = {{"class_session", session->id.text}, {"bath", bath->id.text}}};
    });
}

std::vector<FieldSpec> let_in_fields() {
    return {reference("over-by", "Over the limit, let in by", "person", "initials; only for a seat over the limit"),
            field("over-why", "Over the limit, why", FieldKind::text)};
}

}  // namespace

void add_class_actions(Actions& table) {
    std::vector<FieldSpec> of_class{field("number", "Number", FieldKind::text, "empty = the next, \"C-10\""),
                                    field("title", "Title", FieldKind::text, "\"Groyne bar brooch, copper\""),
                                    field("at", "Begins", FieldKind::moment, "\"31 Mar 2026 13:00\"; empty = now"),
                                    reference("room", "Room", "room", "its name; empty = the one that is worked in"),
                                    field("limit", "Seat limit", FieldKind::number, "your own; empty = the room's"),
                                    field("seats", "Seats", FieldKind::number, "empty = as many as the limit"),
                                    reference("supervisor", "Supervisor", "person", "initials; one who may supervise"),
                                    reference("second", "Second person", "person", "initials"),
                                    reference("bath", "Bath", "bath", "its number, when it is made up"),
                                    reference("aim", "Aim of all", "tone", "\"copper: blue\"; a seat may have its own"),
                                    field("every", "Between drops", FieldKind::duration, "\"2 min\"; empty = 2 min"),
                                    field("consent-asked", "Venue asks consent for minors", FieldKind::yes_no, "empty = as for the last class"),
                                    field("past", "Past work", FieldKind::yes_no, "entered afterwards: nothing is asked of it")};
    for (FieldSpec& one : let_in_fields()) {
        of_class.push_back(std::move(one));
    }
    of_class.push_back(note_field());
    table.push_back({.id = "class.add",
                     .label = "Write down a class",
                     .help = "Seats under one supervisor. Names are optional, and no health facts are asked or kept.",
                     .page = "Today",
                     .key = "",
                     .fields = std::move(of_class),
                     .carry_out = add_class});
    std::vector<FieldSpec> of_seat{class_field(), seats_field(), choice_of<SeatUse>("use", "Used", "watching: no lane, goggles on"),
                                   reference("person", "Person", "person", "initials; not needed"),
                                   reference("aim", "Aim", "tone", "this seat's own wish: \"copper: blue\""),
                                   field("minor", "A minor", FieldKind::yes_no, "only this is kept, no age")};
    for (FieldSpec& one : let_in_fields()) {
        of_seat.push_back(std::move(one));
    }
    of_seat.push_back(note_field());
    table.push_back({.id = "class.seat",
                     .label = "Set a seat of a class",
                     .help = "In use, watching or empty; a seat over the limit needs a name and a reason.",
                     .page = "Today",
                     .key = "",
                     .fields = std::move(of_seat),
                     .carry_out = set_seat});
    table.push_back({.id = "class.bath",
                     .label = "A bath for a class",
                     .help = "From then on its lanes are seats, and nothing goes in while a seat in use has not confirmed the briefing.",
                     .page = "Today",
                     .key = "",
                     .fields = {class_field(), required(reference("bath", "Bath", "bath"))},
                     .carry_out = link_bath});
}

}  // namespace tonebath::app
