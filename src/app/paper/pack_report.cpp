#include "app/paper/pack_report.hpp"

#include "app/chemicals.hpp"
#include "app/classes.hpp"
#include "app/near_misses.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "app/waste.hpp"
#include "base/text.hpp"
#include "base/version.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

using report::Table;

constexpr const char* kNone = "–";

template <class T>
std::string or_none(const std::optional<T>& value, const auto& words) {
    return value ? words(*value) : std::string(kNone);
}

// With its year: a pack is read years later.
std::string when(const Stamp& at) { return date_text(at) + " " + time_text(at); }

class Pack {
public:
    Pack(Studio& studio, const Period& period) : studio_(studio), period_(period) {}

    report::Report made(const std::vector<std::string>& gaps) {
        report::Report pack{.kind = "record pack",
                            .title = "Record pack",
                            .line = period_.words() + (studio_.demo() ? " · invented demo studio" : ""),
                            .foot = fmt::format("Record pack {} · Tonebath {}", period_.words(), version()),
                            .made_at = studio_.now()};
        const auto who = studio_.at_bench();
        pack.blocks.push_back(report::Facts{{{"made", when(studio_.now())},
                                             {"by", who ? who->initials : "nobody named"},
                                             {"with it", "every record of the period as CSV, and manifest.json with the SHA-256 of each file"}}});
        pack.blocks.push_back(report::Heading{"Gaps"});
        pack.blocks.push_back(report::Lines{gaps.empty() ? std::vector<std::string>{"None that the program can see in these records."} : gaps});
        for (report::Block& block : sections()) {
            pack.blocks.push_back(std::move(block));
        }
        return pack;
    }

private:
    std::vector<report::Block> sections() {
        std::vector<report::Block> all{checks(), passed_over(), book(), baths(), classes(), disposals_of_period(), rules_on_file(), months(), lots()};
        all.emplace_back(report::Heading{"Volumes, over the whole log"});
        std::vector<std::string> lines = waste_balance(studio_).words;
        lines.push_back(waste_decides());
        all.emplace_back(report::Lines{std::move(lines)});
        all.emplace_back(products());
        // A table without rows is one line that says so.
        for (report::Block& block : all) {
            if (const auto* table = std::get_if<Table>(&block); table != nullptr && table->rows.empty()) {
                block = report::Facts{{{table->name, "none in this period"}}};
            }
        }
        return all;
    }

    template <class Noun>
    std::vector<Noun> in_period(const std::string& column) {
        return store::list<Noun>(studio_.log(), fmt::format("WHERE {0} >= ?1 AND {0} < ?2 ORDER BY {0}, id", column), {period_.from.utc_ms, period_.until.utc_ms});
    }
    std::string person(const std::optional<Id<Person>>& id) {
        return or_none(id, [&](const Id<Person>& one) { return name_of(studio_, one); });
    }
    std::string title_of(const std::string& list) {
        const Checklist* known = studio_.checklists().find(list);
        return known != nullptr ? known->title : list;
    }

    Table checks() {
        Table table{.name = "Checks", .head = {"begun", "list", "for", "by", "second", "closed", "items"}};
        for (const CheckRun& run : in_period<CheckRun>("at_utc_ms")) {
            std::string about = run.bath_id      ? "bath " + name_of(studio_, *run.bath_id)
                                : run.class_id   ? "class " + name_of(studio_, *run.class_id)
                                : run.coating_id ? "coating " + name_of(studio_, *run.coating_id)
                                : run.room_id    ? name_of(studio_, *run.room_id)
                                                 : kNone;
            std::string closed = run.done_at ? when(*run.done_at) : "not closed";
            if (!run.withdrawn_by.empty()) {
                closed = "withdrawn by " + run.withdrawn_by;
            }
            const std::size_t items = store::list<CheckAnswer>(studio_.log(), "WHERE run_id = ?1", {run.id.text}).size();
            table.rows.push_back({when(run.at), title_of(run.list_key), about, person(run.who), person(run.second), closed, std::to_string(items)});
        }
        return table;
    }

    Table passed_over() {
        Table table{.name = "Passed over", .head = {"when", "item", "by", "reason"}};
        for (const CheckAnswer& answer : in_period<CheckAnswer>("at_utc_ms")) {
            if (answer.state == AnswerState::passed_over) {
                table.rows.push_back({when(answer.at), answer.item_text, person(answer.who), answer.reason});
            }
        }
        return table;
    }

    Table book() {
        Table table{.name = "Stops, near misses, incidents", .head = {"when", "kind", "what happened", "who", "comment"}};
        for (const NearMissRow& row : near_misses(studio_)) {
            if (period_.holds(row.entry.at)) {
                table.rows.push_back({when(row.entry.at), std::string(word_of(row.entry.kind)), row.entry.words, row.who.empty() ? kNone : row.who,
                                      row.entry.comment.empty() ? row.state() : row.entry.comment});
            }
        }
        std::ranges::reverse(table.rows);
        return table;
    }

    Table baths() {
        Table table{.name = "Baths made up", .head = {"bath", "made", "finish", "lot", "amount", "water, ml", "by", "ended"}};
        for (const Bath& bath : in_period<Bath>("made_up_utc_ms")) {
            const auto lot = bath.lot_id ? store::find(studio_.log(), *bath.lot_id) : std::nullopt;
            table.rows.push_back({bath.number, when(bath.made_up_at), studio_.finish_kind(bath.finish_kind).name, lot ? lot->number : kNone,
                                  or_none(bath.amount, [&](double one) { return fixed_text(one, 1) + (lot ? " " + std::string(word_of(lot->unit)) : ""); }),
                                  or_none(bath.water, [](Millilitres one) { return fixed_text(one.ml(), 0); }), person(bath.who),
                                  or_none(bath.ended_at, [](const Stamp& at) { return when(at); })});
        }
        return table;
    }

    // Counts alone: who sat where is nobody's business outside.
    Table classes() {
        Table table{.name = "Classes", .head = {"class", "at", "room", "seats in use", "limit", "briefed", "supervisor", "second"}};
        for (const ClassSession& session : in_period<ClassSession>("at_utc_ms")) {
            const SeatCount seats = count_of(seats_of(studio_, session.id));
            table.rows.push_back({session.number, when(session.at), or_none(session.room_id, [&](const Id<Room>& one) { return name_of(studio_, one); }),
                                  std::to_string(seats.in_use), std::to_string(session.seat_limit), std::to_string(seats.briefed), person(session.supervisor),
                                  person(session.second)});
        }
        return table;
    }

    Table disposals_of_period() {
        Table table{.name = "Disposals", .head = {"when", "baths", "ml", "kg", "route", "local rule", "by"}};
        for (const DisposalRow& row : disposals(studio_)) {
            const Disposal& one = row.disposal;
            if (period_.holds(one.at)) {
                table.rows.push_back({when(one.at), row.baths.empty() ? kNone : row.baths, or_none(one.volume, [](Millilitres ml) { return fixed_text(ml.ml(), 0); }),
                                      or_none(one.mass_kg, [](double kg) { return fixed_text(kg, 2); }), one.route, row.rule.empty() ? "none named" : row.rule,
                                      one.withdrawn_by.empty() ? person(one.who) : "withdrawn by " + one.withdrawn_by});
            }
        }
        std::ranges::reverse(table.rows);
        return table;
    }

    Table rules_on_file() {
        Table table{.name = "Local rules on file", .head = {"name", "what it says", "no longer"}};
        for (const RuleRow& row : local_rules(studio_)) {
            table.rows.push_back({row.rule.name, row.words, or_none(row.rule.ended_at, [](const Stamp& at) { return "since " + date_text(at); })});
        }
        return table;
    }

    Table months() {
        Table table{.name = "Mass by month", .head = {"month", "what went out"}};
        for (const WasteMonth& month : waste_months(studio_)) {
            const Stamp first = stamp_of({.year = month.year, .month = month.month, .day = 1}, period_.from.offset_min);
            if (first < period_.until && plus_seconds(first, 31.0 * 86'400.0) > period_.from) {
                table.rows.push_back({fmt::format("{}-{:02}", month.year, month.month), month.words});
            }
        }
        std::ranges::reverse(table.rows);
        return table;
    }

    Table lots() {
        Table table{.name = "Lots, as the log stands now", .head = {"lot", "unit", "bought", "used", "left", "spoiled", "unaccounted", "weighed"}};
        const auto figure = [](double one) { return fixed_text(one, 1); };
        for (const LotBalance& lot : lot_balances(studio_)) {
            table.rows.push_back({lot.lot, std::string(word_of(lot.unit)), or_none(lot.bought, figure), figure(lot.used), or_none(lot.left, figure), figure(lot.spoiled),
                                  lot.unaccounted ? fmt::format("{} ± {}", figure(*lot.unaccounted), figure(lot.scale_err)) : kNone,
                                  or_none(lot.weighed, [](const Stamp& at) { return date_text(at); })});
        }
        return table;
    }

    Table products() {
        Table table{.name = "Products in the studio", .head = {"product", "counts as", "sheet of", "read here", "where"}};
        const auto day = [](const Stamp& at) { return date_text(at); };
        for (const ChemicalRow& row : chemical_register(studio_).rows) {
            table.rows.push_back({row.chemical.name, row.counts_as, or_none(row.chemical.sheet_at, day), or_none(row.chemical.read_at, day), row.state()});
        }
        return table;
    }

    Studio& studio_;
    const Period& period_;
};

}  // namespace

report::Report pack_report(Studio& studio, const Period& period, const std::vector<std::string>& gaps) { return Pack(studio, period).made(gaps); }

}  // namespace tonebath::app
