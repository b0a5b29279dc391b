#include "app/classes.hpp"

#include "app/checks.hpp"
#include "app/facts.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "model/nouns.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <map>

namespace tonebath::app {

namespace {

constexpr std::string_view kMonthsKept = "class_records_months";  // name of the setting
constexpr double kDay_s = 86400.0;
constexpr double kMonth_s = 30.4375 * kDay_s;

bool taken(const Seat& seat) {
    return seat.use != SeatUse::empty;
}

bool is_word_sign(char sign) {
    return std::isalnum(static_cast<unsigned char>(sign)) != 0 || static_cast<unsigned char>(sign) >= 0x80;
}

// As a whole word, as it is written: "MK" in "MK let them in", not in "MKS".
bool put_for_word(std::string& text, std::string_view word, std::string_view other) {
    bool changed = false;
    for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at)) {
        const std::size_t end = at + word.size();
        if ((at > 0 && is_word_sign(text[at - 1])) || (end < text.size() && is_word_sign(text[end]))) {
            at = end;
            continue;
        }
        text.replace(at, word.size(), other);
        at += other.size();
        changed = true;
    }
    return changed;
}

// Words about people stand here; elsewhere only "withdrawn by" holds initials as text.
template <class Noun>
constexpr bool kTalksOfPeople =
    std::is_same_v<Noun, Seat> || std::is_same_v<Noun, ClassSession> || std::is_same_v<Noun, NearMiss>;

bool holds_initials(std::string_view table, std::string_view column) {
    return column == "withdrawn_by" || (table == CheckRun::kTable && column == "comment");
}

template <class Noun>
std::size_t blank_in(store::Log& log, std::string_view before, std::string_view after) {
    std::size_t changed = 0;
    for (Noun& record : store::list<Noun>(log)) {
        bool touched = false;
        Noun::fields(record, [&](std::string_view column, auto& value) {
            if constexpr (std::is_same_v<std::decay_t<decltype(value)>, std::string>) {
                if (kTalksOfPeople<Noun> || holds_initials(Noun::kTable, column)) {
                    touched = put_for_word(value, before, after) || touched;
                }
            }
        });
        if (touched) {
            store::update(log, record);
            ++changed;
        }
    }
    return changed;
}

}  // namespace

std::vector<Seat> seats_of(Studio& studio, const Id<ClassSession>& session) {
    return store::list<Seat>(studio.log(), "WHERE class_id = ?1 ORDER BY number", {session.text});
}

std::vector<Bath> baths_of(Studio& studio, const ClassSession& session) {
    return store::list<Bath>(studio.log(), "WHERE class_id = ?1 ORDER BY made_up_utc_ms, id", {session.id.text});
}

std::optional<ClassSession> class_of(Studio& studio, const Bath& bath) {
    return bath.class_id ? store::find(studio.log(), *bath.class_id) : std::nullopt;
}

std::vector<ClassReason> why_no_dip(Studio& studio, const ClassSession& session) {
    std::vector<ClassReason> reasons;
    if (session.past_work) {
        return reasons;
    }
    const std::vector<Seat> seats = seats_of(studio, session.id);
    for (const Seat& seat : seats) {
        if (seat.use == SeatUse::in_use && !seat.briefed_at) {
            reasons.push_back({.key = fmt::format("seat {}", seat.number),
                               .seat = seat.number,
                               .what = fmt::format("Seat {} has not confirmed the briefing", seat.number),
                               .missing = "brief the seat, or set it to watching"});
        }
    }
    for (const Seat& seat : seats) {
        if (over_limit(seats, seat, session.seat_limit) && (!seat.over_limit_by || seat.over_limit_why.empty())) {
            reasons.push_back({.key = fmt::format("over {}", seat.number),
                               .seat = seat.number,
                               .what = fmt::format("Seat {} is over the limit of {}", seat.number, session.seat_limit),
                               .missing = "who lets it in, and why; or leave the seat empty"});
        }
    }
    for (const Seat& seat : seats) {
        if (lacks_consent(session, seat)) {
            reasons.push_back({.key = fmt::format("consent {}", seat.number),
                               .seat = seat.number,
                               .what = fmt::format("Seat {} is a minor, and no consent was seen", seat.number),
                               .missing = "see the paper that this venue asks for, or leave the seat empty"});
        }
    }
    const auto supervisor = session.supervisor ? store::find(studio.log(), *session.supervisor) : std::nullopt;
    if (!supervisor) {
        reasons.push_back({.key = "supervisor", .what = "Nobody supervises", .missing = "name one who may supervise"});
    } else if (!supervisor->may_supervise) {
        reasons.push_back({.key = "supervisor",
                           .what = fmt::format("{} is not cleared to supervise", supervisor->initials),
                           .missing = "name another, or write down first that they may"});
    }
    if (count_of(seats).in_use == 0) {
        reasons.push_back({.key = "seats", .what = "No seat is in use", .missing = "set a seat to in use"});
    }
    return reasons;
}

std::vector<ClassReason> why_no_start(Studio& studio, const ClassSession& session) {
    std::vector<ClassReason> reasons = why_no_dip(studio, session);
    if (session.past_work) {
        return reasons;
    }
    for (const Bath& bath : baths_of(studio, session)) {
        if (bath.ended_at) {
            continue;
        }
        if (const CheckState check = check_state(studio, bath); !check.done) {
            reasons.push_back({.key = "check " + bath.number,
                               .check = true,
                               .what = fmt::format("The check before bath {} is open", bath.number),
                               .missing = check.words});
        }
    }
    return reasons;
}

SeatCount count_of(const std::vector<Seat>& seats) {
    SeatCount count;
    for (const Seat& seat : seats) {
        count.taken += taken(seat) ? 1U : 0U;
        count.in_use += seat.use == SeatUse::in_use ? 1U : 0U;
        count.watching += seat.use == SeatUse::watching ? 1U : 0U;
        count.briefed += seat.use == SeatUse::in_use && seat.briefed_at ? 1U : 0U;
    }
    return count;
}

bool over_limit(const std::vector<Seat>& seats, const Seat& seat, int limit) {
    const auto before = std::count_if(seats.begin(), seats.end(),
                                      [&](const Seat& one) { return taken(one) && one.number < seat.number; });
    return taken(seat) && before >= limit;
}

bool lacks_consent(const ClassSession& session, const Seat& seat) {
    return session.consent_asked && !session.past_work && taken(seat) && seat.minor && !seat.consent_at;
}

std::string over_limit_words(Studio& studio, const ClassSession& session, const std::vector<Seat>& seats) {
    std::vector<std::string> over;
    for (const Seat& seat : seats) {
        if (over_limit(seats, seat, session.seat_limit)) {
            over.push_back(fmt::format("seat {} let in by {}{}", seat.number,
                                       seat.over_limit_by ? name_of(studio, *seat.over_limit_by) : "nobody",
                                       seat.over_limit_why.empty() ? ", no reason written down" : ", " + seat.over_limit_why));
        }
    }
    return over.empty() ? ""
                        : fmt::format("{} where {} is the limit: {}", counted(count_of(seats).taken, "seat", "seats"),
                                      session.seat_limit, joined(over, "; "));
}

std::optional<ClassSession> class_to_show(Studio& studio) {
    const std::int64_t now = studio.now().utc_ms;
    const std::int64_t day_ms = static_cast<std::int64_t>(kDay_s * 1000.0);
    struct Look {
        std::string tail;
        std::vector<store::Bound> values;
    };
    for (const Look& look :
         {Look{"WHERE started_utc_ms IS NOT NULL AND ended_utc_ms IS NULL AND past_work = 0 ORDER BY started_utc_ms DESC LIMIT 1", {}},
          Look{"WHERE ended_utc_ms IS NULL AND past_work = 0 AND at_utc_ms > ?1 ORDER BY at_utc_ms LIMIT 1",
               {now - day_ms / 2}},
          Look{"ORDER BY at_utc_ms DESC LIMIT 1", {}}}) {
        const auto found = store::list<ClassSession>(studio.log(), look.tail, look.values);
        if (!found.empty()) {
            return found.front();
        }
    }
    return std::nullopt;
}

std::optional<int> months_kept(Studio& studio) {
    const std::string text = studio.log().setting(kMonthsKept).value_or("");
    int months = 0;
    const auto [end, trouble] = std::from_chars(text.data(), text.data() + text.size(), months);
    return trouble == std::errc{} && end == text.data() + text.size() ? std::optional<int>(months) : std::nullopt;
}

void keep_for_months(Studio& studio, const std::optional<int>& months) {
    studio.log().set_setting(kMonthsKept, months ? std::to_string(*months) : "");
}

std::vector<KeptPerson> people_kept_too_long(Studio& studio) {
    std::vector<KeptPerson> people;
    const auto months = months_kept(studio);
    if (!months) {
        return people;
    }
    std::map<std::string, Stamp> last;  // by person
    for (const Seat& seat : store::list<Seat>(studio.log(), "WHERE person_id IS NOT NULL")) {
        const auto session = store::find(studio.log(), seat.class_id);
        if (session && (last.find(seat.person_id->text) == last.end() || last[seat.person_id->text] < session->at)) {
            last[seat.person_id->text] = session->at;
        }
    }
    for (const auto& [id, at] : last) {
        const auto person = store::find(studio.log(), Id<Person>{id});
        if (person && !person->blanked && folded(person->role) == "student" &&
            seconds_between(at, studio.now()) > *months * kMonth_s) {
            people.push_back({.person = *person, .last_class = at});
        }
    }
    std::sort(people.begin(), people.end(),
              [](const KeptPerson& a, const KeptPerson& b) { return a.last_class < b.last_class; });
    return people;
}

Blanked blank_person_everywhere(Studio& studio, Person person) {
    Blanked blanked{.before = person.initials};
    int count = 1;
    while (number_taken(studio, "person", "initials", fmt::format("person {}", count))) {
        ++count;
    }
    blanked.after = fmt::format("person {}", count);
    person.initials = blanked.after;
    person.blanked = true;
    store::update(studio.log(), person);
    blanked.notes = blank_in<Seat>(studio.log(), blanked.before, blanked.after) +
                    blank_in<ClassSession>(studio.log(), blanked.before, blanked.after) +
                    blank_in<NearMiss>(studio.log(), blanked.before, blanked.after) +
                    blank_in<CheckRun>(studio.log(), blanked.before, blanked.after) +
                    blank_in<Disposal>(studio.log(), blanked.before, blanked.after);
    return blanked;
}

}  // namespace tonebath::app
