#include "app/records.hpp"

#include "app/exchange/csv.hpp"
#include "app/pin.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "model/nouns.hpp"
#include "store/raw_rows.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <map>
#include <optional>

namespace tonebath::app {

namespace {

// Which noun a reference column points at, and the column people know it by.
struct Reference {
    std::string_view column;
    std::string_view table;
    std::string_view shown;
};
constexpr std::array<Reference, 30> kReferences{{{"lot_id", "lot", "number"},
                                                 {"vessel_id", "vessel", "number"},
                                                 {"thermometer_id", "thermometer", "number"},
                                                 {"bath_id", "bath", "number"},
                                                 {"strip_id", "strip", "number"},
                                                 {"piece_id", "piece", "number"},
                                                 {"part_id", "part", "name"},
                                                 {"batch_id", "batch", "number"},
                                                 {"order_id", "client_order", "number"},
                                                 {"repeat_of", "client_order", "number"},
                                                 {"target_id", "target", "name"},
                                                 {"metal_id", "metal", "name"},
                                                 {"tone_id", "tone", "word"},
                                                 {"aim_tone_id", "tone", "word"},
                                                 {"who", "person", "initials"},
                                                 {"scale_id", "tone_scale", "id"},
                                                 {"bottle_id", "bottle", "number"},
                                                 {"coating_id", "coating", "number"},
                                                 {"stone_id", "stone", "number"},
                                                 {"room_id", "room", "name"},
                                                 {"class_id", "class_session", "number"},
                                                 {"person_id", "person", "initials"},
                                                 {"supervisor", "person", "initials"},
                                                 {"second", "person", "initials"},
                                                 {"briefed_by", "person", "initials"},
                                                 {"consent_by", "person", "initials"},
                                                 {"over_limit_by", "person", "initials"},
                                                 {"limit_by", "person", "initials"},
                                                 {"aim_id", "tone", "word"},
                                                 {"run_id", "check_run", "id"}}};

const Reference* reference_of(std::string_view column) {
    const auto found = std::find_if(kReferences.begin(), kReferences.end(),
                                    [column](const Reference& one) { return one.column == column; });
    return found == kReferences.end() ? nullptr : &*found;
}

std::optional<std::string> table_of(std::string_view noun) {
    std::optional<std::string> table;
    for_each_noun([&](const auto& record) {
        const std::string_view name = std::decay_t<decltype(record)>::kTable;
        if (name == noun || noun_word(name) == noun) {
            table = std::string(name);
        }
    });
    return table;
}

// The column by which people name a record of this table; empty when it has none.
std::string_view name_column(std::string_view table) {
    for (const Reference& one : kReferences) {
        if (one.table == table && one.shown != "id") {
            return one.shown;
        }
    }
    return {};
}

class Names {
public:
    explicit Names(store::Log& log) : log_(log) {}
    std::string of(const Reference& reference, const std::string& id) {
        const auto known = names_.find(id);
        if (known != names_.end()) {
            return known->second;
        }
        store::Query query(log_, fmt::format("SELECT {} FROM {} WHERE id = ?1", reference.shown, reference.table), {id});
        std::string name = query.next() ? query.text(0) : id;
        return names_.emplace(id, std::move(name)).first->second;
    }

private:
    store::Log& log_;
    std::map<std::string, std::string> names_;
};

bool ends_with(std::string_view text, std::string_view end) { return text.size() >= end.size() && text.ends_with(end); }

constexpr std::string_view kUtc = "_utc_ms";  // a moment is stored as two columns
constexpr std::string_view kOffset = "_offset_min";

Cell moment_cell(const Cell& utc_ms, const Cell& offset_min) {
    if (!std::holds_alternative<std::int64_t>(utc_ms) || !std::holds_alternative<std::int64_t>(offset_min)) {
        return std::monostate{};
    }
    return iso_text({.utc_ms = std::get<std::int64_t>(utc_ms), .offset_min = static_cast<int>(std::get<std::int64_t>(offset_min))});
}

std::string cell_text(const Cell& cell) {
    struct Show {
        std::string operator()(std::monostate) const { return {}; }
        std::string operator()(std::int64_t value) const { return std::to_string(value); }
        std::string operator()(double value) const { return exact_text(value); }
        std::string operator()(const std::string& value) const { return value; }
    };
    return std::visit(Show{}, cell);
}

}  // namespace

std::vector<std::string> noun_words() {
    std::vector<std::string> words;
    for_each_noun([&](const auto& record) { words.emplace_back(noun_word(std::decay_t<decltype(record)>::kTable)); });
    return words;
}

Result<RecordTable> records(Studio& studio, const RecordAsk& ask) {
    const auto table = table_of(ask.noun);
    if (!table) {
        return Refusal{.code = "record.no_noun", .field = "noun", .value = ask.noun, .message = "there are no records of that kind.",
                       .remedy = "There are: " + joined(noun_words(), ", ") + "."};
    }
    std::string sql = fmt::format("SELECT * FROM {}", *table);
    std::vector<store::Bound> values;
    if (!ask.number.empty()) {
        const std::string_view name = name_column(*table);
        sql += name.empty() ? " WHERE id = ?1" : fmt::format(" WHERE id = ?1 OR {} = ?1 COLLATE NOCASE", name);
        values.emplace_back(ask.number);
    }
    sql += fmt::format(" ORDER BY made_utc_ms, id LIMIT {}", ask.limit);

    RecordTable result{.noun = ask.noun};
    Names names(studio.log());
    const store::RawTable raw = store::raw_rows(studio.log(), sql, values);
    for (const std::string& column : raw.columns) {
        if (ends_with(column, kOffset)) {
            continue;  // part of the moment before it
        }
        std::string name = column;
        if (ends_with(name, kUtc)) {
            name.resize(name.size() - kUtc.size());
        }
        result.columns.push_back({.name = std::move(name), .reference = reference_of(column) != nullptr});
    }
    for (const auto& stored : raw.rows) {
        std::vector<Cell> row;
        for (std::size_t i = 0; i < stored.size(); ++i) {
            const std::string& name = raw.columns[i];
            if (ends_with(name, kOffset)) {
                continue;
            }
            if (ends_with(name, kUtc)) {
                row.push_back(moment_cell(stored[i], stored[i + 1]));
                continue;
            }
            Cell cell = stored[i];
            if (name == kPinColumn && *table == Person::kTable) {
                cell = cell_text(cell).empty() ? std::string() : std::string(kPinSet);
            }
            if (const Reference* reference = reference_of(name);
                reference != nullptr && ask.numbers && std::holds_alternative<std::string>(cell)) {
                cell = names.of(*reference, std::get<std::string>(cell));
            }
            row.push_back(std::move(cell));
        }
        result.rows.push_back(std::move(row));
    }
    if (result.rows.empty() && !ask.number.empty()) {
        return Refusal{.code = "record.none", .field = ask.noun, .value = ask.number, .message = "there is no record of that number.",
                       .remedy = fmt::format("\"tonebath {} list\" shows those there are.", ask.noun)};
    }
    return result;
}

std::string as_text(const RecordTable& table) {
    std::vector<std::size_t> widths;
    std::vector<std::vector<std::string>> lines(table.rows.size());
    std::vector<std::size_t> shown;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        // Ids and columns in which nothing is known are left out of the text; JSON and CSV have them.
        const bool any = std::any_of(table.rows.begin(), table.rows.end(),
                                     [c](const std::vector<Cell>& row) { return !cell_text(row[c]).empty(); });
        if (any && table.columns[c].name != "id" && table.columns[c].name != "made") {
            shown.push_back(c);
        }
    }
    for (const std::size_t c : shown) {
        std::size_t width = table.columns[c].name.size();
        for (std::size_t r = 0; r < table.rows.size(); ++r) {
            lines[r].push_back(shortened(cell_text(table.rows[r][c]), 40));
            width = std::max(width, lines[r].back().size());
        }
        widths.push_back(width);
    }
    std::string text;
    const auto add_line = [&](const auto& cell_at) {
        std::string line;
        for (std::size_t i = 0; i < shown.size(); ++i) {
            line += fmt::format("{:<{}}  ", cell_at(i), widths[i]);
        }
        line.erase(line.find_last_not_of(' ') + 1);
        text += line + "\n";
    };
    add_line([&](std::size_t i) { return table.columns[shown[i]].name; });
    for (const auto& line : lines) {
        add_line([&](std::size_t i) { return line[i]; });
    }
    return text;
}

std::string as_csv(const RecordTable& table) {
    std::string text;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        text += c == 0 ? "" : ",";
        append_csv_cell(text, table.columns[c].name);
    }
    text += "\r\n";
    for (const auto& row : table.rows) {
        for (std::size_t c = 0; c < row.size(); ++c) {
            text += c == 0 ? "" : ",";
            append_csv_cell(text, std::holds_alternative<std::string>(row[c]) ? defused(std::get<std::string>(row[c])) : cell_text(row[c]));
        }
        text += "\r\n";
    }
    return text;
}

std::string as_json(const RecordTable& table) {
    nlohmann::ordered_json all = nlohmann::ordered_json::array();
    for (const auto& row : table.rows) {
        nlohmann::ordered_json one;
        for (std::size_t c = 0; c < row.size(); ++c) {
            std::visit(
                [&](const auto& value) {
                    if constexpr (std::is_same_v<std::decay_t<decltype(value)>, std::monostate>) {
                        one[table.columns[c].name] = nullptr;
                    } else {
                        one[table.columns[c].name] = value;
                    }
                },
                row[c]);
        }
        all.push_back(std::move(one));
    }
    return all.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace tonebath::app
