#include "store/backwards.hpp"

#include "base/text.hpp"
#include "model/nouns.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace tonebath::store {
namespace {

using Json = nlohmann::ordered_json;

Bound bound_of(const Json& value) {
    if (value.is_string()) {
        return value.get<std::string>();
    }
    if (value.is_number_float()) {
        return value.get<double>();
    }
    if (value.is_number_integer()) {
        return value.get<std::int64_t>();
    }
    return nullptr;
}

bool same(const Bound& a, const Bound& b) {
    const auto* whole = std::get_if<std::int64_t>(&a);
    const auto* real = std::get_if<double>(&b);
    return whole != nullptr && real != nullptr ? static_cast<double>(*whole) == *real : a == b;
}

std::string label_of(std::string column) {
    for (const std::string_view ending : {"_utc_ms", "_offset_min", "_id"}) {
        if (column.size() > ending.size() && column.ends_with(ending)) {
            column.resize(column.size() - ending.size());
        }
    }
    std::replace(column.begin(), column.end(), '_', ' ');
    return column;
}

}  // namespace

std::optional<std::string> Backwards::changed_since(const ChangeRow& row) {
    const std::optional<std::map<std::string, Bound>> now = read(row.table, row.record_id);
    if (row.kind == "delete") {
        return now ? std::optional<std::string>(fmt::format("The {} is there again.", noun_word(row.table)))
                   : std::nullopt;
    }
    if (!now) {
        return fmt::format("The {} is no longer there.", noun_word(row.table));
    }
    const Json after = Json::parse(row.after_json);
    for (const auto& [column, value] : *now) {
        const bool named = after.contains(column);
        if (!named && row.kind == "update") {
            continue;  // this change left the column alone
        }
        if (!same(bound_of(named ? after.at(column) : Json()), value)) {
            return fmt::format("The {} of this {} was changed after it.", label_of(column), noun_word(row.table));
        }
    }
    return std::nullopt;
}

void Backwards::apply(const ChangeRow& row) {
    if (row.kind == "insert") {
        run(log_, fmt::format("DELETE FROM \"{}\" WHERE id = ?1", row.table), {row.record_id});
        return;
    }
    const Json before = Json::parse(row.before_json);
    const std::set<std::string>& names = columns_of(row.table);
    std::vector<std::string> columns;
    std::vector<Bound> values;
    for (const auto& [column, value] : before.items()) {
        if (names.contains(column)) {
            columns.push_back(fmt::format("\"{}\"", column));
            values.push_back(bound_of(value));
        }
    }
    std::vector<std::string> places;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        places.push_back(row.kind == "update" ? fmt::format("{} = ?{}", columns[i], i + 1)
                                              : fmt::format("?{}", i + 1));
    }
    if (row.kind == "update") {
        values.emplace_back(row.record_id);
        run(log_,
            fmt::format("UPDATE \"{}\" SET {} WHERE id = ?{}", row.table, joined(places, ", "), values.size()),
            values);
    } else {
        run(log_,
            fmt::format("INSERT INTO \"{}\" ({}) VALUES ({})", row.table, joined(columns, ", "),
                        joined(places, ", ")),
            values);
    }
}

const std::set<std::string>& Backwards::columns_of(const std::string& table) {
    std::set<std::string>& names = columns_[table];
    if (names.empty()) {
        Query query(log_, "SELECT name FROM pragma_table_info(?1)", {table});
        while (query.next()) {
            names.insert(query.text(0));
        }
    }
    return names;
}

std::optional<std::map<std::string, Bound>> Backwards::read(const std::string& table, const std::string& record_id) {
    const std::set<std::string>& names = columns_of(table);
    const std::vector<std::string> order(names.begin(), names.end());
    Query query(log_, fmt::format("SELECT \"{}\" FROM \"{}\" WHERE id = ?1", joined(order, "\", \""), table),
                {record_id});
    if (!query.next()) {
        return std::nullopt;
    }
    std::map<std::string, Bound> record;
    for (std::size_t i = 0; i < order.size(); ++i) {
        const SQLite::Column column = query.statement().getColumn(static_cast<int>(i));
        Bound& value = record[order[i]];
        if (column.isInteger()) {
            value = column.getInt64();
        } else if (column.isFloat()) {
            value = column.getDouble();
        } else if (column.isText()) {
            value = column.getString();
        } else {
            value = nullptr;
        }
    }
    return record;
}

std::vector<ChangeRow> in_order_of_undoing(std::vector<ChangeRow> rows) {
    const auto rank = [](const ChangeRow& row) { return row.kind == "insert" ? 0 : row.kind == "update" ? 1 : 2; };
    std::stable_sort(rows.begin(), rows.end(),
                     [&rank](const ChangeRow& a, const ChangeRow& b) { return rank(a) < rank(b); });
    return rows;
}

Refusal undo_refused(std::string code, std::string step, std::string message, std::string remedy) {
    return Refusal{.code = std::move(code), .field = "undo", .value = std::move(step), .message = std::move(message), .remedy = std::move(remedy), .answers = {}};
}

}  // namespace tonebath::store
