#include "app/exchange/given.hpp"

#include "app/exchange/csv.hpp"
#include "base/clock.hpp"
#include "base/ids.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>

namespace tonebath::app {

namespace {

using Fault = std::optional<RowFault>;

Fault fault(const ExchangeColumn& column, std::string_view value, std::string message, std::string remedy) {
    return RowFault{.column = std::string(column.name), .value = shown(value), .message = std::move(message), .remedy = std::move(remedy)};
}

void put_unknown(const ExchangeColumn& column, std::vector<StoredValue>& values) {
    values.insert(values.end(), column.kind == CellKind::moment ? 2 : 1, nullptr);
}

template <class Number>
std::optional<Number> number_in(std::string_view text) {
    Number number{};
    const char* const end = text.data() + text.size();
    const auto read = std::from_chars(text.data(), end, number);
    return read.ec == std::errc{} && read.ptr == end ? std::optional<Number>(number) : std::nullopt;
}

Fault put_number(const ExchangeColumn& column, double number, std::string_view as_given, std::vector<StoredValue>& values) {
    if (!std::isfinite(number)) {
        return fault(column, as_given, "that is not a number.", "Leave it empty where the number is not known.");
    }
    values.emplace_back(number);
    return std::nullopt;
}

Fault put_whole(const ExchangeColumn& column, std::int64_t number, std::vector<StoredValue>& values) {
    constexpr std::int64_t kLeast = std::numeric_limits<int>::min();
    constexpr std::int64_t kMost = std::numeric_limits<int>::max();
    if (!column.large && (number < kLeast || number > kMost)) {
        return fault(column, std::to_string(number), "that is more than is counted here.", "Look whether a digit is there twice.");
    }
    values.emplace_back(number);
    return std::nullopt;
}

Fault put_text(const ExchangeColumn& column, std::string_view text, std::vector<StoredValue>& values) {
    if (!is_valid_utf8(text)) {
        return fault(column, text, "that is not UTF-8.", "Save the file as UTF-8 and bring it in again.");
    }
    switch (column.kind) {
        case CellKind::id:
        case CellKind::reference:
            if (!is_uuid7(text)) {
                return fault(column, text, "that is not the id of a record.",
                             "Ids are 36 characters in lower case, as the export wrote them; numbers and names are not taken here.");
            }
            break;
        case CellKind::word:
            if (std::find(column.words.begin(), column.words.end(), text) == column.words.end()) {
                return fault(column, text, "that is none of the words for it.",
                             "The words are " + joined(std::vector<std::string>(column.words.begin(), column.words.end()), ", ") + ".");
            }
            break;
        case CellKind::moment: {
            const std::optional<Stamp> at = parse_iso(text, 0);
            if (!at || at->offset_min < -840 || at->offset_min > 840) {
                return fault(column, text, "that is not a moment.", "Moments look like 2026-03-31T09:42:00.000+01:00 (ISO 8601).");
            }
            values.emplace_back(at->utc_ms);
            values.emplace_back(std::int64_t{at->offset_min});
            return std::nullopt;
        }
        case CellKind::text:
        case CellKind::number:
        case CellKind::whole:
        case CellKind::yes_no: break;
    }
    values.emplace_back(std::string(text));
    return std::nullopt;
}

// What kind of value belongs there, for a JSON value of another kind.
std::string_view belongs(const ExchangeColumn& column) {
    switch (column.kind) {
        case CellKind::number: return "a number";
        case CellKind::whole: return "a whole number";
        case CellKind::yes_no: return "true or false";
        case CellKind::id:
        case CellKind::reference:
        case CellKind::text:
        case CellKind::word:
        case CellKind::moment: break;
    }
    return "text in quotation marks";
}

}  // namespace

std::optional<RowFault> store_cell(const ExchangeColumn& column, std::string_view cell, std::vector<StoredValue>& values) {
    if (column.kind == CellKind::text) {
        return put_text(column, undefused(cell), values);
    }
    if (cell.empty()) {
        if (!column.optional) {
            return fault(column, "", "it is empty, and the record cannot be without it.", "Fill it in, or take the record out of the file.");
        }
        put_unknown(column, values);
        return std::nullopt;
    }
    if (column.kind == CellKind::number) {
        const auto number = number_in<double>(cell);
        return number ? put_number(column, *number, cell, values)
                      : fault(column, cell, "that is not a number.",
                              "Numbers have a point as decimal sign and no unit; the unit is the column's. Leave it empty where it is not known.");
    }
    if (column.kind == CellKind::whole) {
        const auto number = number_in<std::int64_t>(cell);
        return number ? put_whole(column, *number, values)
                      : fault(column, cell, "that is not a whole number.", "Type digits alone. Leave it empty where it is not known.");
    }
    if (column.kind == CellKind::yes_no) {
        if (cell != "yes" && cell != "no") {
            return fault(column, cell, "that is neither yes nor no.", "Type yes or no, in small letters.");
        }
        values.emplace_back(std::int64_t{cell == "yes" ? 1 : 0});
        return std::nullopt;
    }
    return put_text(column, cell, values);
}

std::optional<RowFault> store_given(const ExchangeColumn& column, const Given& given, std::vector<StoredValue>& values) {
    struct Visitor {
        const ExchangeColumn& column;
        std::vector<StoredValue>& values;

        Fault operator()(std::nullptr_t) const {
            if (!column.optional) {
                return fault(column, "null", "the record cannot be without it.", "Fill it in, or take the record out of the file.");
            }
            put_unknown(column, values);
            return std::nullopt;
        }
        Fault operator()(bool yes) const {
            if (column.kind != CellKind::yes_no) {
                return other(yes ? "true" : "false");
            }
            values.emplace_back(std::int64_t{yes ? 1 : 0});
            return std::nullopt;
        }
        Fault operator()(std::int64_t number) const {
            if (column.kind == CellKind::number) {
                return put_number(column, static_cast<double>(number), "", values);
            }
            return column.kind == CellKind::whole ? put_whole(column, number, values) : other(std::to_string(number));
        }
        Fault operator()(double number) const {
            return column.kind == CellKind::number ? put_number(column, number, exact_text(number), values) : other(exact_text(number));
        }
        Fault operator()(const std::string& text) const {
            const bool takes = column.kind != CellKind::number && column.kind != CellKind::whole && column.kind != CellKind::yes_no;
            return takes ? put_text(column, text, values) : other(text);
        }
        Fault other(std::string_view value) const {
            return fault(column, value, fmt::format("{} belongs there.", belongs(column)), "The schema of the noun says what each column holds.");
        }
    };
    return std::visit(Visitor{column, values}, given);
}

bool store_missing(const ExchangeColumn& column, std::vector<StoredValue>& values) {
    if (column.optional) {
        put_unknown(column, values);
    } else if (column.kind == CellKind::text) {
        values.emplace_back(std::string());
    } else if (column.kind == CellKind::yes_no) {
        values.emplace_back(std::int64_t{0});
    } else {
        return false;
    }
    return true;
}

}  // namespace tonebath::app
