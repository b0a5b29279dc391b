#include "store/join_tables.hpp"

#include "base/text.hpp"
#include "model/nouns.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

namespace tonebath::store {
namespace {

// Moments that are stamped when something is done; the others (bought, opened, wanted by …) are dates that were typed.
constexpr std::array<std::string_view, 17> kClockMoments{"at",        "made",    "dropped",  "out", "made_up", "ended",     "started",    "done",
                                                         "withdrawn", "briefed", "on_bench", "set", "off",     "limit_set", "handed_out", "commented", "consent"};

bool is_clock(std::string_view table, std::string_view column) {
    constexpr std::string_view kEnding = "_utc_ms";
    if (!column.ends_with(kEnding) || (table == ClassSession::kTable && column == "at_utc_ms")) {  // when a class is to begin
        return false;
    }
    const std::string_view moment = column.substr(0, column.size() - kEnding.size());
    return std::find(kClockMoments.begin(), kClockMoments.end(), moment) != kClockMoments.end();
}

const std::map<std::string_view, std::vector<std::string_view>>& same_when() {
    static const std::map<std::string_view, std::vector<std::string_view>> kSame{
        {Metal::kTable, {"name"}},          {ToneScale::kTable, {"metal_id", "surface"}}, {Tone::kTable, {"scale_id", "word"}},
        {Part::kTable, {"piece_id", "name"}}, {Seat::kTable, {"class_id", "number"}},     {OwnFigure::kTable, {"figure"}},
        {Person::kTable, {"initials", "role"}}};
    return kSame;
}

}  // namespace

std::string JoinTable::select() const {
    return fmt::format("SELECT \"{}\" FROM \"{}\"", joined(columns, "\", \""), name);
}

std::size_t JoinTable::at(std::string_view column) const {
    const auto found = std::find(columns.begin(), columns.end(), column);
    TB_CHECK(found != columns.end());
    return static_cast<std::size_t>(found - columns.begin());
}

std::vector<JoinTable> join_tables(Log& log) {
    std::vector<JoinTable> tables;
    for_each_noun([&]<class Noun>(const Noun&) {
        JoinTable table;
        table.name = Noun::kTable;
        table.kept = is_kept_table(Noun::kTable);
        std::set<std::string> once;
        {
            Query query(log, "SELECT name FROM pragma_table_info(?1) ORDER BY cid", {table.name});
            while (query.next()) {
                table.columns.push_back(query.text(0));
                table.clock.push_back(is_clock(table.name, table.columns.back()));
            }
        }
        table.refers_to.resize(table.columns.size());
        {
            Query query(log, "SELECT \"from\", \"table\" FROM pragma_foreign_key_list(?1)", {table.name});
            while (query.next()) {
                table.refers_to[table.at(query.text(0))] = query.text(1);
            }
        }
        {
            Query query(log,
                        "SELECT (SELECT name FROM pragma_index_info(i.name)) FROM pragma_index_list(?1) i WHERE i.origin = 'u' AND "
                        "(SELECT count(*) FROM pragma_index_info(i.name)) = 1",
                        {table.name});
            while (query.next()) {
                table.label = table.at(query.text(0));
            }
        }
        if (const auto same = same_when().find(Noun::kTable); same != same_when().end()) {
            for (const std::string_view column : same->second) {
                table.same_when.push_back(table.at(column));
            }
        }
        tables.push_back(std::move(table));
    });
    return tables;
}

std::vector<Bound> row_of(Query& query, std::size_t columns) {
    std::vector<Bound> row;
    row.reserve(columns);
    for (std::size_t i = 0; i < columns; ++i) {
        const SQLite::Column column = query.statement().getColumn(static_cast<int>(i));
        if (column.isInteger()) {
            row.emplace_back(column.getInt64());
        } else if (column.isFloat()) {
            row.emplace_back(column.getDouble());
        } else if (column.isText()) {
            row.emplace_back(column.getString());
        } else {
            row.emplace_back(nullptr);
        }
    }
    return row;
}

std::string text_of(const Bound& value) {
    const auto* text = std::get_if<std::string>(&value);
    return text == nullptr ? std::string() : *text;
}

}  // namespace tonebath::store
