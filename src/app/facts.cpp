#include "app/facts.hpp"

#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace tonebath::app {

namespace {

// Of this lot, by baths made up and topped up after `since` (or ever).
double taken_since(Studio& studio, const Id<Lot>& lot, std::optional<Stamp> since) {
    store::Query query(studio.log(),
                       "SELECT COALESCE((SELECT SUM(amount) FROM bath WHERE lot_id = ?1 AND made_up_utc_ms > ?2), 0) + "
                       "COALESCE((SELECT SUM(top_up.amount) FROM top_up JOIN bath ON bath.id = top_up.bath_id "
                       "WHERE lot_id = ?1 AND at_utc_ms > ?2), 0)",
                       {lot.text, since ? since->utc_ms : std::numeric_limits<std::int64_t>::min()});
    return query.next() ? query.real(0) : 0.0;
}

}  // namespace

rules::LotLeft lot_left(Studio& studio, const Lot& lot) {
    const std::vector<LotWeighing> weighed = store::list<LotWeighing>(
        studio.log(), "WHERE lot_id = ?1 AND left_amount IS NOT NULL ORDER BY at_utc_ms DESC LIMIT 1", {lot.id.text});
    if (!weighed.empty()) {
        const double left = *weighed.front().left_amount - taken_since(studio, lot.id, weighed.front().at);
        return {.amount = left,
                .words = fmt::format("{} left by the scale of {}", rules::amount_words(std::max(0.0, left), lot.unit),
                                     date_text(weighed.front().at))};
    }
    if (!lot.bought_amount) {
        return {};
    }
    const double left = *lot.bought_amount - taken_since(studio, lot.id, std::nullopt);
    return {.amount = left,
            .words = fmt::format("{} left by what was used", rules::amount_words(std::max(0.0, left), lot.unit))};
}

std::vector<Reading> readings_of(Studio& studio, const Id<Bath>& bath) {
    return store::list<Reading>(studio.log(), "WHERE bath_id = ?1 ORDER BY at_utc_ms, made_utc_ms, id", {bath.text});
}

rules::ReadingFacts reading_facts(Studio& studio, const Bath& bath, const Vessel* vessel, const Stamp& at,
                                  const Id<Reading>& except) {
    rules::ReadingFacts facts{.bath = &bath, .vessel = vessel, .before = std::nullopt, .now = studio.now()};
    if (bath.start_temp && bath.made_up_at <= at) {
        facts.before = rules::KnownTemp{.at = bath.made_up_at, .temp = *bath.start_temp};
    }
    for (const Reading& reading : readings_of(studio, bath.id)) {
        if (reading.id == except) {
            continue;
        }
        if (reading.at <= at) {
            facts.before = rules::KnownTemp{.at = reading.at, .temp = reading.temp};
        }
    }
    return facts;
}

std::vector<Dip> running_dips(Studio& studio) {
    return store::list<Dip>(studio.log(),
                            "WHERE out_utc_ms IS NULL AND dropped_utc_ms IS NOT NULL AND in_bath_s IS NULL "
                            "ORDER BY dropped_utc_ms, id");
}

// The running dip that holds any of what the subject is made of: a part hangs with its piece and the other way round.
std::string held_in(Studio& studio, const Subject& subject, const std::vector<Dip>& running) {
    for (const Dip& dip : running) {
        const Subject held = subject_of(studio, dip);
        const bool same_strip = subject.strip && held.strip == subject.strip;
        const bool same_part = subject.part && held.part == subject.part;
        const bool same_piece = subject.of_piece && held.of_piece == subject.of_piece && (subject.piece || held.piece);
        if (same_strip || same_part || same_piece) {
            return name_of(studio, dip.bath_id);
        }
    }
    return {};
}

std::vector<Dip> dips_in(Studio& studio, const Id<Bath>& bath) {
    return store::list<Dip>(studio.log(), "WHERE bath_id = ?1 ORDER BY COALESCE(dropped_utc_ms, at_about_utc_ms), id",
                            {bath.text});
}

std::string bath_in_vessel(Studio& studio, const Id<Vessel>& vessel, const Id<Bath>& except) {
    const std::vector<Bath> standing = store::list<Bath>(
        studio.log(), "WHERE vessel_id = ?1 AND ended_utc_ms IS NULL AND id <> ?2 ORDER BY made_up_utc_ms DESC LIMIT 1",
        {vessel.text, except.text});
    return standing.empty() ? std::string() : standing.front().number;
}

std::optional<Millilitres> volume_of(Studio& studio, const Bath& bath) {
    std::optional<Millilitres> volume = bath.water;
    for (const TopUp& top_up :
         store::list<TopUp>(studio.log(), "WHERE bath_id = ?1 ORDER BY at_utc_ms, made_utc_ms, id", {bath.id.text})) {
        if (top_up.volume_now) {
            volume = top_up.volume_now;
        } else if (volume && top_up.water_added) {
            volume = Millilitres::from_ml(volume->ml() + top_up.water_added->ml());
        }
    }
    return volume;
}

std::vector<Stone> stones_on(Studio& studio, const Id<Piece>& piece, const Stamp& by) {
    std::vector<Stone> stones = store::list<Stone>(studio.log(), "WHERE piece_id = ?1 ORDER BY number", {piece.text});
    std::erase_if(stones, [&](const Stone& stone) { return stone.set_at && *stone.set_at > by; });
    return stones;
}

bool rinsed_since(Studio& studio, const Subject& subject, const Dip& dip) {
    if (!store::list<Rinse>(studio.log(), "WHERE dip_id = ?1 LIMIT 1", {dip.id.text}).empty()) {
        return true;
    }
    const Stamp dipped = when_dipped(dip).value_or(dip.made_at);
    const std::vector<AfterWork> done = after_work_of(studio, subject);
    return std::any_of(done.begin(), done.end(),
                       [&](const AfterWork& work) { return work.step == AfterStep::rinsed && work.at >= dipped; });
}

std::string next_number(Studio& studio, std::string_view table) {
    store::Query query(studio.log(), fmt::format("SELECT number FROM {}", table));
    int largest = 0;
    while (query.next()) {
        const std::string number = query.text(0);
        int value = 0;
        const auto [end, trouble] = std::from_chars(number.data(), number.data() + number.size(), value);
        if (trouble == std::errc{} && end == number.data() + number.size()) {
            largest = std::max(largest, value);
        }
    }
    return std::to_string(largest + 1);
}

bool number_taken(Studio& studio, std::string_view table, std::string_view column, std::string_view number) {
    const std::string folded_number = folded(number);
    store::Query query(studio.log(), fmt::format("SELECT {} FROM {}", column, table));
    while (query.next()) {
        if (folded(query.text(0)) == folded_number) {
            return true;
        }
    }
    return false;
}

}  // namespace tonebath::app
