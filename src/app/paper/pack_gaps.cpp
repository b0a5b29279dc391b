#include "app/chemicals.hpp"
#include "app/classes.hpp"
#include "app/paper/pack_report.hpp"
#include "app/plural.hpp"
#include "app/studio.hpp"
#include "app/views/fill_in_view.hpp"
#include "app/waste.hpp"
#include "base/text.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <utility>

namespace tonebath::app {

namespace {

constexpr std::size_t kNamed = 3;         // numbers named in a line
constexpr std::size_t kMostBlanks = 1'000'000;

// "L-131, L-132, L-133 and 4 more".
std::string some_of(const std::vector<std::string>& numbers) {
    const std::vector<std::string> named(numbers.begin(), numbers.begin() + static_cast<std::ptrdiff_t>(std::min(kNamed, numbers.size())));
    return joined(named, ", ") + (numbers.size() > kNamed ? fmt::format(" and {} more", numbers.size() - kNamed) : "");
}

class Gaps {
public:
    Gaps(Studio& studio, const Period& period) : studio_(studio), period_(period) {}

    std::vector<std::string> all() {
        span();
        checks();
        classes();
        waste();
        past_work();
        blanks();
        products();
        corrections();
        return std::move(lines_);
    }

private:
    void add(std::string line) { lines_.push_back(std::move(line)); }

    // Numbers that `sql` gives; ?1 and ?2 are the period.
    std::vector<std::string> numbers(const std::string& sql) {
        store::Query query(studio_.log(), sql, {period_.from.utc_ms, period_.until.utc_ms});
        std::vector<std::string> found;
        while (query.next()) {
            found.push_back(query.text(0));
        }
        return found;
    }
    std::size_t count(const std::string& sql) {
        store::Query query(studio_.log(), sql, {period_.from.utc_ms, period_.until.utc_ms});
        return query.next() ? static_cast<std::size_t>(query.integer(0)) : 0;
    }
    // "2 checks were …" where there are any.
    void add_count(std::size_t n, std::string_view one, std::string_view many, std::string_view words) {
        if (n > 0) {
            add(fmt::format("{} {}", counted(n, one, many), words));
        }
    }

    void span() {
        store::Query first(studio_.log(), "SELECT made_utc_ms, made_offset_min FROM bath ORDER BY made_utc_ms LIMIT 1");
        if (first.next() && first.stamp(0) > period_.from) {
            add(fmt::format("The period begins before this log: its first bath was written down on {}.", date_text(first.stamp(0))));
        }
        if (studio_.now() < period_.last_day()) {
            add(fmt::format("The period is not over: this pack was made on {}.", date_text(studio_.now())));
        }
    }

    void checks() {
        const auto unchecked = numbers(
            "SELECT number FROM bath WHERE past_work = 0 AND id IN (SELECT bath_id FROM dip WHERE dropped_utc_ms >= ?1 AND dropped_utc_ms < ?2) "
            "AND NOT EXISTS (SELECT 1 FROM check_run WHERE check_run.bath_id = bath.id AND done_utc_ms IS NOT NULL AND withdrawn_by = '') "
            "ORDER BY made_up_utc_ms");
        if (!unchecked.empty()) {
            add(fmt::format("{} took pieces without a list that was finished: {}.", counted(unchecked.size(), "bath", "baths"), some_of(unchecked)));
        }
        constexpr const char* kRun = "SELECT count(*) FROM check_run WHERE at_utc_ms >= ?1 AND at_utc_ms < ?2 AND ";
        add_count(count(std::string(kRun) + "done_utc_ms IS NULL AND withdrawn_by = ''"), "list was", "lists were", "begun and not finished.");
        add_count(count(std::string(kRun) + "withdrawn_by <> ''"), "list was", "lists were", "withdrawn; by whom stands beside each.");
        add_count(count(std::string(kRun) + "who IS NULL"), "list has", "lists have", "nobody's initials.");
        constexpr const char* kAnswer = "SELECT count(*) FROM check_answer WHERE at_utc_ms >= ?1 AND at_utc_ms < ?2 AND ";
        add_count(count(std::string(kAnswer) + "state = 'passed over'"), "item was", "items were", "passed over; by whom and why stands under the lists.");
        add_count(count(std::string(kAnswer) + "quick = 1"), "answer was", "answers were", "given faster than the words can be read.");
        add_count(count("SELECT count(*) FROM near_miss WHERE at_utc_ms >= ?1 AND at_utc_ms < ?2 AND comment = '' AND withdrawn_by = ''"), "entry", "entries",
                  "of the book of near misses without the maker's comment.");
    }

    // Counts alone, no seat's name.
    void classes() {
        for (const ClassSession& session : store::list<ClassSession>(studio_.log(), "WHERE at_utc_ms >= ?1 AND at_utc_ms < ?2 ORDER BY at_utc_ms, id",
                                                                     {period_.from.utc_ms, std::min(period_.until.utc_ms, studio_.now().utc_ms)})) {
            const std::vector<Seat> all = seats_of(studio_, session.id);
            const SeatCount seats = count_of(all);
            const auto unseen = std::count_if(all.begin(), all.end(), [&](const Seat& seat) { return lacks_consent(session, seat); });
            if (unseen > 0) {
                add(fmt::format("Class {}: consent was asked for minors, and not seen for {}.", session.number, counted(static_cast<std::size_t>(unseen), "seat", "seats")));
            }
            if (static_cast<int>(seats.taken) > session.seat_limit) {
                add(fmt::format("Class {}: {} taken where {} is the limit.", session.number, counted(seats.taken, "seat was", "seats were"), session.seat_limit));
            }
            if (!session.past_work && seats.briefed < seats.in_use) {
                add(fmt::format("Class {}: {} of {} in use confirmed the briefing.", session.number, seats.briefed, counted(seats.in_use, "seat", "seats")));
            }
        }
    }

    void waste() {
        constexpr const char* kDisposal = "SELECT count(*) FROM disposal WHERE at_utc_ms >= ?1 AND at_utc_ms < ?2 AND withdrawn_by = '' AND ";
        add_count(count(std::string(kDisposal) + "volume_ml IS NULL AND mass_kg IS NULL"), "disposal has", "disposals have", "neither volume nor mass.");
        add_count(count(std::string(kDisposal) + "rule_id IS NULL AND rule = ''"), "disposal names", "disposals name", "no local rule.");
        const WasteBalance balance = waste_balance(studio_);
        std::vector<std::string> owed;
        for (const OwedBath& bath : balance.owed) {
            if (bath.ended < period_.until) {
                owed.push_back(bath.number);
                owed_.insert("bath " + bath.number);
            }
        }
        if (!owed.empty()) {
            add(fmt::format("{} ended, and no disposal names {}: {}.", counted(owed.size(), "bath", "baths"), owed.size() == 1 ? "it" : "them", some_of(owed)));
        }
        for (const LotBalance& lot : lot_balances(studio_)) {
            if (lot.asks()) {
                add(fmt::format("Lot {}: {}", lot.lot, lot.words));
            }
        }
    }

    void past_work() {
        add_count(count("SELECT count(*) FROM dip WHERE past_work = 1 AND coalesce(dropped_utc_ms, at_about_utc_ms, made_utc_ms) >= ?1 AND "
                        "coalesce(dropped_utc_ms, at_about_utc_ms, made_utc_ms) < ?2"),
                  "dip was", "dips were", "entered afterwards: not timed here, no check.");
        add_count(count("SELECT count(*) FROM bath WHERE past_work = 1 AND made_up_utc_ms >= ?1 AND made_up_utc_ms < ?2"), "bath was", "baths were",
                  "entered afterwards: no check.");
        add_count(count("SELECT count(*) FROM class_session WHERE past_work = 1 AND at_utc_ms >= ?1 AND at_utc_ms < ?2"), "class was", "classes were",
                  "entered afterwards: no briefing seen here.");
        add_count(count("SELECT count(*) FROM disposal WHERE past_work = 1 AND at_utc_ms >= ?1 AND at_utc_ms < ?2"), "disposal was", "disposals were",
                  "entered afterwards: no check.");
    }

    // What was skipped at the bench, by what is missing.
    void blanks() {
        std::map<std::pair<std::string, std::string>, std::vector<std::string>> missing;
        for (const FillIn& line : fill_in_list(studio_, kMostBlanks).lines) {
            if (period_.holds(line.made_at) && !owed_.contains(line.number)) {
                missing[{line.noun, line.missing}].push_back(line.number);
            }
        }
        for (const auto& [what, records] : missing) {
            add(fmt::format("To fill in on {}: {} ({}).", counted(records.size(), what.first, plural_of(what.first)), what.second, some_of(records)));
        }
    }

    void products() {
        const ChemicalRegister all = chemical_register(studio_);
        std::vector<std::string> overdue;
        for (const ChemicalRow& row : all.rows) {
            if (!row.overdue.empty()) {
                overdue.push_back(row.chemical.name);
            }
        }
        if (!overdue.empty()) {
            add(fmt::format("The safety sheet of {} is overdue: {}.", counted(overdue.size(), "product", "products"), some_of(overdue)));
        }
    }

    void corrections() {
        add_count(count("SELECT count(DISTINCT record_id) FROM change_row JOIN change ON seq = change_seq WHERE kind = 'update' AND at_utc_ms >= ?1 AND "
                        "at_utc_ms < ?2"),
                  "record was", "records were", "changed after it was first written; before and after stay in the log.");
    }

    Studio& studio_;
    const Period& period_;
    std::vector<std::string> lines_;
    std::set<std::string> owed_;  // baths that no disposal names: told once
};

}  // namespace

std::vector<std::string> pack_gaps(Studio& studio, const Period& period) { return Gaps(studio, period).all(); }

}  // namespace tonebath::app
