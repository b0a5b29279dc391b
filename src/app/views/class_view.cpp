#include "app/views/class_view.hpp"

#include "app/batch_plan.hpp"
#include "app/course.hpp"
#include "app/facts.hpp"
#include "app/resolve.hpp"
#include "app/rooms.hpp"
#include "app/studio.hpp"
#include "base/air_quantity.hpp"
#include "base/text.hpp"
#include "model/rules/rule.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

constexpr double kBetweenDrops_s = 120.0;  // ours: a student walks up, dips and walks away

std::optional<ClassSession> shown_class(Studio& studio, const std::string& number) {
    if (number.empty()) {
        return class_to_show(studio);
    }
    const Result<ClassSession> found = resolve<ClassSession>(studio, "Class", number);
    return found ? std::optional<ClassSession>(*found) : std::nullopt;
}

bool same_day(const Stamp& a, const Stamp& b) {
    return date_text(a) == date_text(b);
}

// "28 Mar", and the clock on the same day.
std::string short_when(const Stamp& at, const Stamp& now) {
    const std::string date = date_text(at);
    return same_day(at, now) ? time_text(at) : date.substr(0, date.rfind(' '));
}

ClassSeat row_of(Studio& studio, const ClassSession& session, const std::vector<Seat>& seats, const Seat& seat) {
    ClassSeat row{.number = seat.number, .use = seat.use, .briefed = seat.briefed_at.has_value(), .asked = !session.past_work};
    row.over = over_limit(seats, seat, session.seat_limit);
    row.let_in = row.over && seat.over_limit_by && !seat.over_limit_why.empty();
    row.who = seat.person_id ? name_of(studio, *seat.person_id) : "";
    if (seat.aim_id) {
        const auto tone = store::find(studio.log(), *seat.aim_id);
        row.aim = tone ? tone->word : "";
    }
    switch (seat.use) {
        case SeatUse::watching:
            row.head = "watching";
            row.more = "no lane, goggles on";
            break;
        case SeatUse::empty:
            row.head = "empty";
            row.more = "nobody sits there";
            break;
        case SeatUse::in_use:
            row.head = row.briefed ? "briefed" : session.past_work ? "not on record" : "not briefed";
            row.more = row.briefed         ? "confirmed " + short_when(*seat.briefed_at, studio.now())
                       : session.past_work ? "entered afterwards"
                                           : "cannot dip until confirmed";
            break;
    }
    row.minor = seat.minor;
    row.no_consent = lacks_consent(session, seat);
    if (row.no_consent) {
        row.more = "a minor, no consent seen";
    } else if (seat.minor && seat.consent_at) {
        row.more = "minor: consent seen " + short_when(*seat.consent_at, studio.now());
    } else if (seat.minor) {
        row.more += "; a minor";
    }
    if (row.over) {
        row.more = row.let_in ? row.more + "; over the limit" : "over the limit, no reason";
    }
    return row;
}

void add_people(Studio& studio, const ClassSession& session, ClassView& view) {
    const auto supervisor = session.supervisor ? store::find(studio.log(), *session.supervisor) : std::nullopt;
    view.supervisor = !supervisor                  ? "nobody supervises"
                      : supervisor->may_supervise ? fmt::format("supervisor {}, cleared to supervise", supervisor->initials)
                                                  : fmt::format("supervisor {}, not cleared to supervise", supervisor->initials);
    view.second = session.second ? "in the room the whole time; second person: " + name_of(studio, *session.second)
                                 : "in the room the whole time; no second person named";
}

void add_limit(Studio& studio, const ClassSession& session, const std::vector<Seat>& seats, ClassView& view) {
    view.limit = session.seat_limit;
    const std::string limit = counted(static_cast<std::size_t>(session.seat_limit), "seat", "seats");
    view.limit_words = limit;
    const auto room = session.room_id ? store::find(studio.log(), *session.room_id) : std::nullopt;
    if (room && room->seat_limit == session.seat_limit && room->limit_at) {
        view.limit_words += fmt::format(", set {}{}", room->limit_by ? "by " + name_of(studio, *room->limit_by) + " " : "",
                                        date_text(*room->limit_at));
    }
    view.limit_more = room ? fmt::format("{}: {}{}. ", room->name, room_size_text(room->volume_m3),
                                         room->openings.empty() ? "" : ", " + room->openings)
                           : "No room is named. ";
    view.over_words = over_limit_words(studio, session, seats);
    if (view.over_words.empty()) {
        view.limit_more += fmt::format("Seat {} needs a name and a reason.", session.seat_limit + 1);
    }
}

// The sheet that goes with the jar, and the volume that will have to go.
void add_owed(Studio& studio, const ClassSession& session, ClassView& view) {
    view.handed_out = session.handed_out_at.has_value();
    view.hand_out = view.handed_out ? "given out " + short_when(*session.handed_out_at, studio.now()) : "not given out yet";
    view.hand_out_more = "what the bath is, what never meets it, eyes and skin, waste, this studio's numbers.";
    std::optional<Bath> bath;
    for (Bath& one : baths_of(studio, session)) {
        bath = std::move(one);
    }
    if (bath && !bath->ended_at) {
        view.bath = bath->number;
    }
    if (bath && bath->lot_id) {
        const auto sheets = store::list<Chemical>(studio.log(), "WHERE lot_id = ?1 AND sheet_utc_ms IS NOT NULL ORDER BY sheet_utc_ms DESC LIMIT 1",
                                                  {bath->lot_id->text});
        view.hand_out_more += fmt::format(" Lot {}, {}.", name_of(studio, *bath->lot_id),
                                          sheets.empty() ? "no safety sheet on the register"
                                                         : "safety sheet of " + date_text(*sheets.front().sheet_at) + ", goes with it");
    }
    const auto rules = store::list<LocalRule>(studio.log(), "WHERE ended_utc_ms IS NULL ORDER BY said_utc_ms DESC, id LIMIT 1");
    const std::string rule = rules.empty() ? "no local rule on file: ask your waste authority"
                                           : fmt::format("{}, {} on file", rules.front().route, rules.front().name);
    const auto volume = bath ? volume_of(studio, *bath) : std::nullopt;
    view.after = volume && bath && !bath->ended_at ? fmt::format("{} more to keep back", text_of(*volume, studio.units()))
                                                  : "what is left of the bath is kept back";
    view.after_more = rule + "; hands, benches and rinse water close the class.";
    for (const NearMiss& entry : store::list<NearMiss>(studio.log(), "WHERE class_id = ?1 ORDER BY at_utc_ms", {session.id.text})) {
        view.incidents.push_back(fmt::format("{} {}: {}{}", entry.number, time_text(entry.at), entry.words,
                                             entry.withdrawn_by.empty() ? "" : " (withdrawn)"));
    }
}

// Seats in use with the tone each is taken to, on the scale of the class's aim. A word when it cannot be told.
struct Wishes {
    std::vector<Seat> seats;
    std::vector<Id<Tone>> tones;
    std::optional<Id<ToneScale>> scale;
    std::string why_none;
};
Wishes wishes_of(Studio& studio, const ClassSession& session) {
    Wishes wishes;
    for (const Seat& seat : seats_of(studio, session.id)) {
        if (seat.use != SeatUse::in_use) {
            continue;
        }
        const auto aim = seat.aim_id ? seat.aim_id : session.aim_id;
        const auto tone = aim ? store::find(studio.log(), *aim) : std::nullopt;
        if (!tone) {
            wishes.why_none = session.aim_id ? "" : "No tone is aimed at: set the aim of the class, or of each seat.";
            continue;
        }
        if (wishes.scale && *wishes.scale != tone->scale_id) {
            wishes.why_none = fmt::format("Seat {} aims on the scale of another metal: its time is told at the bench.", seat.number);
            continue;
        }
        wishes.scale = tone->scale_id;
        wishes.seats.push_back(seat);
        wishes.tones.push_back(tone->id);
    }
    if (wishes.seats.empty() && wishes.why_none.empty()) {
        wishes.why_none = "No seat is in use.";
    }
    return wishes;
}

std::string bath_words(Studio& studio, const Bath& bath) {
    std::string words = bath.lot_id ? name_of(studio, *bath.lot_id) : "lot not known";
    if (bath.amount && bath.lot_id) {
        const auto lot = store::find(studio.log(), *bath.lot_id);
        words += ", " + rules::amount_words(*bath.amount, lot ? lot->unit : AmountUnit::g);
    }
    if (const auto volume = volume_of(studio, bath)) {
        words += " in " + text_of(*volume, studio.units());
    }
    return words + (bath.vessel_id ? ", " + name_of(studio, *bath.vessel_id) : "");
}

}  // namespace

ClassView class_view(Studio& studio, const std::string& number) {
    ClassView view;
    const std::optional<ClassSession> session = shown_class(studio, number);
    if (!session) {
        return view;
    }
    const Stamp now = studio.now();
    const std::vector<Seat> seats = seats_of(studio, session->id);
    view.number = session->number;
    view.head = same_day(session->at, now) ? "Class at " + time_text(session->at)
                                           : fmt::format("Class of {}", date_text(session->at));
    view.title = session->title;
    add_people(studio, *session, view);
    for (const Seat& seat : seats) {
        view.seats.push_back(row_of(studio, *session, seats, seat));
    }
    view.count = count_of(seats);
    view.consent_asked = session->consent_asked;
    view.started = session->started_at.has_value();
    view.ended = session->ended_at.has_value();
    view.past = session->past_work;
    view.state_words = view.past      ? "entered afterwards"
                       : view.ended   ? "ended " + short_when(*session->ended_at, now)
                       : view.started ? "under way since " + short_when(*session->started_at, now)
                                      : "not started";
    if (!view.started) {
        view.reasons = why_no_start(studio, *session);
    }
    add_limit(studio, *session, seats, view);
    view.seats_words = fmt::format("{} of {}, {}", view.count.taken, view.limit,
                                   view.over_words.empty() ? "the limit of this class" : "over the limit");
    view.use_words = fmt::format("{}, {}", counted(view.count.in_use, "dips", "dip"), counted(view.count.watching, "watches", "watch"));
    add_owed(studio, *session, view);
    view.keeps = "Names are optional; seats are enough. No health facts are asked or kept.";
    return view;
}

ClassPlan class_plan(Studio& studio, const Learned& learned, const std::string& number) {
    ClassPlan plan;
    const std::optional<ClassSession> session = shown_class(studio, number);
    if (!session || session->ended_at) {
        plan.why_none = session ? "The class is over." : "No class is written down.";
        return plan;
    }
    std::optional<Bath> bath;
    for (Bath& one : baths_of(studio, *session)) {
        if (!one.ended_at) {
            bath = std::move(one);
        }
    }
    plan.own = bath.has_value();
    if (const auto in_use = baths_to_plan(studio, 1); !bath && !in_use.empty()) {
        bath = in_use.front();
    }
    const Wishes wishes = wishes_of(studio, *session);
    if (!bath || wishes.seats.empty()) {
        plan.why_none = !bath ? "No bath is in use. Make one up for the class, and its seconds are told here." : wishes.why_none;
        return plan;
    }
    plan.bath = bath->number;
    plan.bath_words = bath_words(studio, *bath);
    const Stamp from = std::max(session->at, studio.now());
    BatchAsk ask;
    ask.first = {.bath_id = bath->id, .scale_id = *wishes.scale, .tone_id = wishes.tones.front(), .drop_at = from};
    ask.tones = wishes.tones;
    ask.interval_s = session->every ? session->every->seconds() : kBetweenDrops_s;
    if (!plan.own) {
        if (const auto history = bath_history(studio.log(), bath->id); history && history->temp_known) {
            const auto hottest = std::max_element(history->readings.begin(), history->readings.end(),
                                                  [](const CourseReading& a, const CourseReading& b) { return a.temp_c < b.temp_c; });
            ask.first.temp_c = hottest->temp_c;
            plan.words.push_back(fmt::format("No bath is made up for this class yet: reckoned in bath {}, heated to {} again.", bath->number,
                                             text_of(Celsius::from_celsius(hottest->temp_c), studio.units())));
        }
    }
    BatchPlan batch = batch_plan(studio, learned, ask);
    if (batch.refusal) {
        plan.why_none = batch.refusal->text();
        return plan;
    }
    std::size_t round = 1;
    for (const BatchLane& lane : batch.lanes) {
        const Seat& seat = wishes.seats[lane.piece - 1];
        plan.lanes.push_back({.seat = seat.number,
                              .briefed = seat.briefed_at.has_value(),
                              .tone = lane.tone,
                              .in_at = plus_seconds(from, lane.in_s),
                              .in_bath_s = lane.in_bath_s,
                              .temp_c = lane.temp_c,
                              .reheat_before = lane.round != round});
        round = lane.round;
    }
    for (const BatchPoint& point : batch.course) {
        plan.course.push_back({.at = plus_seconds(from, point.t_s), .temp_c = point.temp_c});
    }
    if (!wishes.why_none.empty()) {
        plan.words.push_back(wishes.why_none);
    }
    plan.words.insert(plan.words.end(), batch.words.begin(), batch.words.end());
    return plan;
}

}  // namespace tonebath::app
