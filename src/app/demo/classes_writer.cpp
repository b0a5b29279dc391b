// The rooms and the nine classes of the invented half-year: 84 students as seats, none by name. One class of twelve sat in a
// room that is set for ten (P11); it was typed in afterwards, and that gap stays as it is.
#include "app/demo/writers.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <array>
#include <string>
#include <vector>

namespace tonebath::app {

namespace {

struct PlannedClass {
    int made_month = 0, made_day = 0;  // written down
    int month = 0, day = 0, hour = 10, minute = 30;
    int seats = 0;
    std::string_view title;
    std::string_view supervisor;
    std::string_view second;  // initials; empty = none
    int bath = 0;             // made up for it; 0 = none
    bool away = false;        // the travelling bench, in a hall
    bool afterwards = false;  // typed in later
    bool to_come = false;     // of today
};

constexpr int kLimit = 10;
constexpr double kLength_s = 2.5 * 3600.0;

constexpr std::array<PlannedClass, 9> kClasses{{
    {10, 4, 10, 11, 10, 30, 8, "Groyne bar brooch, copper", "MK", "", 0, false, false, false},
    {10, 23, 10, 30, 19, 0, 10, "Tones on test strips", "MK", "", 9, false, false, false},
    {11, 8, 11, 15, 10, 30, 9, "Samphire ear pair, fine silver", "MK", "AP", 0, false, false, false},
    {11, 21, 11, 28, 18, 30, 10, "Tones on test strips", "MK", "AP", 0, false, false, false},
    {11, 29, 12, 6, 11, 0, 9, "Samphire ear pair, away", "TB", "", 20, true, false, false},
    {12, 14, 12, 13, 10, 30, 12, "Groyne bar brooch, copper", "MK", "AP", 0, false, true, false},
    {1, 17, 1, 24, 10, 30, 8, "Samphire ear pair, fine silver", "MK", "AP", 0, false, false, false},
    {2, 14, 2, 21, 10, 30, 8, "Groyne bar brooch, copper", "MK", "AP", 0, false, false, false},
    {3, 27, 3, 31, 13, 0, 10, "Groyne bar brooch, copper", "MK", "AP", 0, false, false, true},
}};

// Those of today's class who were briefed before: seat and day of March.
constexpr std::array<std::pair<int, int>, 6> kBriefedBefore{{{1, 28}, {2, 28}, {3, 28}, {4, 28}, {7, 29}, {10, 28}}};
constexpr int kWatches = 9;

// Everything goes onto the agenda, so that it stands in the change log on its day. Ids are its own: those of all else stay as
// they are without classes.
class ClassesPlanner {
public:
    ClassesPlanner(DemoBook& book, std::uint64_t seed) : book_(book), ids_(seed + 404) {}

    void plan() {
        rooms();
        int number = 1;
        for (const PlannedClass& one : kClasses) {
            plan_class(one, number++);
        }
    }

private:
    [[nodiscard]] std::optional<Id<Person>> person(std::string_view initials) const {
        return initials.empty() ? std::nullopt : std::optional(book_.people.at(std::string(initials)).id);
    }

    // One room of 6.0 × 3.2 × 2.4 m with a window fan, its flow seen with smoke; and a hall where the second bench went.
    void rooms() {
        const Stamp first = demo_moment(10, 2, 9, 15);
        home_.id = ids_.next<Room>(first);
        home_.name = "net store";
        home_.volume_m3 = 6.0 * 3.2 * 2.4;
        home_.flow_m3_h = 276.0;
        home_.flow_known = AirKnown::smoke_tested;
        home_.openings = "one window fan, one door";
        home_.opening_m2 = 0.3 * 0.3;
        home_.distance_m = 0.5;
        home_.seat_limit = kLimit;
        home_.limit_by = person("MK");
        home_.limit_at = first;
        home_.made_at = first;
        hall_.id = ids_.next<Room>(first);
        hall_.name = "hall, away";
        hall_.volume_m3 = 12.0 * 8.0 * 3.5;
        hall_.openings = "four windows; the travelling bench stands by one";
        hall_.seat_limit = 12;
        hall_.made_at = first;
        store::Log& log = book_.log;
        book_.plan(first, "rooms", "MK", [&log, home = home_, hall = hall_] {
            store::insert(log, home);
            store::insert(log, hall);
        });
        log.set_setting("room_now", home_.id.text);
    }

    void plan_class(const PlannedClass& plan, int number) {
        const Stamp begins = demo_moment(plan.month, plan.day, plan.hour, plan.minute);
        ClassSession session;
        session.number = fmt::format("C-{}", number);
        session.title = plan.title;
        session.at = begins;
        session.room_id = plan.away ? hall_.id : home_.id;
        session.seat_limit = plan.away ? *hall_.seat_limit : kLimit;
        session.supervisor = person(plan.supervisor);
        session.second = person(plan.second);
        session.past_work = plan.afterwards;
        session.made_at = demo_moment(plan.made_month, plan.made_day, 17, 30);
        session.id = ids_.next<ClassSession>(session.made_at);
        if (plan.title.starts_with("Groyne")) {
            session.aim_id = book_.scales.at("copper").tones.at("dark brown").id;
        }
        if (plan.afterwards) {
            session.started_at = begins;
            session.ended_at = plus_seconds(begins, kLength_s);
        }
        std::vector<Seat> seats;
        for (int i = 1; i <= plan.seats; ++i) {
            Seat seat;
            seat.class_id = session.id;
            seat.number = i;
            seat.use = plan.to_come && i == kWatches ? SeatUse::watching : SeatUse::in_use;
            seat.made_at = session.made_at;
            seat.id = ids_.next<Seat>(seat.made_at);
            seats.push_back(seat);
        }
        store::Log& log = book_.log;
        book_.plan(session.made_at, "class " + session.number, plan.supervisor, [&log, session, seats] {
            store::insert(log, session);
            for (const Seat& seat : seats) {
                store::insert(log, seat);
            }
        });
        if (plan.to_come) {
            plan_early_briefings(plan, seats);
            return;
        }
        if (!plan.afterwards) {
            plan_day(plan, begins, session, std::move(seats));
        }
        plan_check(session, plan.afterwards ? session.made_at : plus_seconds(begins, kLength_s), plan.supervisor);
    }

    // The list that was answered in the hour before it began stands for this class.
    void plan_check(const ClassSession& session, const Stamp& at, std::string_view by) {
        book_.plan(at, "check of class " + session.number, by, [&log = book_.log, session] {
            for (CheckRun& answered : store::list<CheckRun>(log, "WHERE list_key = 'before_session' AND bath_id IS NULL AND at_utc_ms >= ?1 AND at_utc_ms < ?2",
                                                            {plus_seconds(session.at, -3600.0).utc_ms, session.at.utc_ms})) {
                answered.class_id = session.id;
                answered.room_id = session.room_id;
                store::update(log, answered);
            }
        });
    }

    // Of today's class some came earlier.
    void plan_early_briefings(const PlannedClass& plan, const std::vector<Seat>& seats) {
        for (const auto& [number, day] : kBriefedBefore) {
            const Stamp at = demo_moment(3, day, 17, 10 + number);
            Seat seat = seats[static_cast<std::size_t>(number - 1)];
            seat.briefed_at = at;
            seat.briefed_by = person(plan.supervisor);
            book_.plan(at, "briefing", plan.supervisor, [&log = book_.log, seat] { store::update(log, seat); });
        }
    }

    // Briefed one after another in the ten minutes before it began; written down when it was over.
    void plan_day(const PlannedClass& plan, const Stamp& begins, ClassSession session, std::vector<Seat> seats) {
        session.started_at = plus_seconds(begins, 240.0);
        session.ended_at = plus_seconds(begins, kLength_s);
        session.handed_out_at = plus_seconds(begins, 60.0);
        for (Seat& seat : seats) {
            seat.briefed_at = plus_seconds(begins, -600.0 + 45.0 * seat.number);
            seat.briefed_by = person(plan.supervisor);
        }
        book_.plan(*session.ended_at, "end class " + session.number, plan.supervisor, [&book = book_, bath = plan.bath, session, seats] {
            store::update(book.log, session);
            for (const Seat& seat : seats) {
                store::update(book.log, seat);
            }
            if (bath != 0) {
                auto of_class = store::find(book.log, book.baths.at(bath));
                of_class->class_id = session.id;
                store::update(book.log, *of_class);
            }
        });
    }

    DemoBook& book_;
    IdSource ids_;
    Room home_, hall_;
};

}  // namespace

void plan_classes(DemoBook& book, std::uint64_t seed) {
    ClassesPlanner(book, seed).plan();
}

}  // namespace tonebath::app
