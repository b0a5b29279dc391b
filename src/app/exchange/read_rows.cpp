#include "app/exchange/read_rows.hpp"

#include "app/exchange/csv.hpp"
#include "app/exchange/given.hpp"
#include "base/text.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace tonebath::app {

namespace {

using Fault = std::optional<RowFault>;

Fault whole_fault(int line, std::string message, std::string remedy) {
    return RowFault{.line = line, .message = std::move(message), .remedy = std::move(remedy)};
}

std::string columns_are(const ExchangeNoun& noun) {
    std::vector<std::string> names;
    for (const ExchangeColumn& column : noun.columns) {
        names.emplace_back(column.name);
    }
    return "The columns are " + joined(names, ", ") + ".";
}

// Which cell of a record belongs to each of the noun's columns.
struct Head {
    std::vector<std::optional<std::size_t>> places;
    Fault fault;
};

Head head_of(const ExchangeNoun& noun, const std::vector<std::string>& names, int line) {
    Head head;
    for (const std::string& name : names) {
        const bool known = std::any_of(noun.columns.begin(), noun.columns.end(), [&](const ExchangeColumn& one) { return one.name == name; });
        if (!known || std::count(names.begin(), names.end(), name) > 1) {
            head.fault = RowFault{.line = line, .column = shown(name), .message = known ? "this column is there twice." : "there is no such column.",
                                  .remedy = columns_are(noun)};
            return head;
        }
    }
    for (const ExchangeColumn& column : noun.columns) {
        const auto found = std::find(names.begin(), names.end(), column.name);
        head.places.push_back(found == names.end() ? std::nullopt
                                                   : std::optional<std::size_t>(static_cast<std::size_t>(found - names.begin())));
        std::vector<StoredValue> unused;
        if (found == names.end() && !store_missing(column, unused)) {
            head.fault = RowFault{.line = line, .column = std::string(column.name), .message = "this column is missing.", .remedy = columns_are(noun)};
            return head;
        }
    }
    return head;
}

// Counts lines and bytes as they are read.
class CountingBuffer : public std::streambuf {
public:
    explicit CountingBuffer(std::streambuf& in) : in_(in) {}
    [[nodiscard]] int line() const { return line_; }
    [[nodiscard]] std::int64_t bytes() const { return bytes_; }

protected:
    int_type underflow() override { return in_.sgetc(); }
    int_type uflow() override {
        const int_type c = in_.sbumpc();
        bytes_ += c == traits_type::eof() ? 0 : 1;
        line_ += c == '\n' ? 1 : 0;
        return c;
    }

private:
    std::streambuf& in_;
    int line_ = 1;
    std::int64_t bytes_ = 0;
};

// An array of flat objects; each is handed on as soon as it ends.
class JsonTaker : public nlohmann::json_sax<nlohmann::json> {
public:
    JsonTaker(const ExchangeNoun& noun, const CountingBuffer& in, const TakeRow& take)
        : noun_(noun), in_(in), take_(take), given_(noun.columns.size()) {}

    Fault fault;

    bool null() override { return value(nullptr); }
    bool boolean(bool yes) override { return value(yes); }
    bool number_integer(number_integer_t number) override { return value(std::int64_t{number}); }
    bool number_unsigned(number_unsigned_t number) override {
        constexpr auto kMost = static_cast<number_unsigned_t>(std::numeric_limits<std::int64_t>::max());
        return number > kMost ? value(static_cast<double>(number)) : value(static_cast<std::int64_t>(number));
    }
    bool number_float(number_float_t number, const string_t&) override { return value(number); }
    bool string(string_t& text) override { return value(std::move(text)); }
    bool binary(binary_t&) override { return odd(); }

    bool start_array(std::size_t) override {
        if (depth_ != 0) {
            return odd();
        }
        depth_ = 1;
        return true;
    }
    bool end_array() override {
        depth_ = 0;
        return true;
    }
    bool start_object(std::size_t) override {
        if (depth_ != 1) {
            return odd();
        }
        depth_ = 2;
        row_.line = in_.line();
        std::fill(given_.begin(), given_.end(), std::nullopt);
        return true;
    }
    bool key(string_t& name) override {
        const auto found = std::find_if(noun_.columns.begin(), noun_.columns.end(), [&](const ExchangeColumn& one) { return one.name == name; });
        column_ = static_cast<std::size_t>(found - noun_.columns.begin());
        if (found == noun_.columns.end() || given_[column_]) {
            fault = RowFault{.line = in_.line(), .column = shown(name),
                             .message = found == noun_.columns.end() ? "there is no such column." : "this column is there twice.",
                             .remedy = columns_are(noun_)};
            return false;
        }
        return true;
    }
    bool end_object() override {
        depth_ = 1;
        row_.values.clear();
        for (std::size_t i = 0; i < given_.size(); ++i) {
            const ExchangeColumn& column = noun_.columns[i];
            if (given_[i]) {
                fault = store_given(column, *given_[i], row_.values);
            } else if (!store_missing(column, row_.values)) {
                fault = RowFault{.column = std::string(column.name), .message = "this column is missing.", .remedy = columns_are(noun_)};
            }
            if (fault) {
                fault->line = row_.line;
                return false;
            }
        }
        row_.bytes = in_.bytes();
        fault = take_(row_);
        return !fault;
    }
    bool parse_error(std::size_t, const std::string&, const nlohmann::detail::exception& problem) override {
        std::string words = problem.what();
        words.erase(0, words.find("] ") == std::string::npos ? 0 : words.find("] ") + 2);
        fault = whole_fault(in_.line(), "that is not JSON: " + words + ".", "Write the file out again, or correct it there.");
        return false;
    }

private:
    bool value(Given given) {
        if (depth_ != 2) {
            return odd();
        }
        given_[column_] = std::move(given);
        return true;
    }
    bool odd() {
        fault = whole_fault(in_.line(), "a list of records belongs here, each with plain values.", "The schema of the noun says how it looks.");
        return false;
    }

    const ExchangeNoun& noun_;
    const CountingBuffer& in_;
    const TakeRow& take_;
    std::vector<std::optional<Given>> given_;
    Row row_;
    std::size_t column_ = 0;
    int depth_ = 0;
};

}  // namespace

std::optional<RowFault> read_csv_rows(const ExchangeNoun& noun, std::istream& in, const TakeRow& take) {
    CsvReader csv(in);
    if (!csv.next()) {
        return whole_fault(1, csv.fault().empty() ? "the file is empty: the line with the names of the columns is missing." : csv.fault(),
                           columns_are(noun));
    }
    const std::vector<std::string> names = csv.cells();
    const Head head = head_of(noun, names, csv.line());
    if (head.fault) {
        return head.fault;
    }
    Row row;
    while (csv.next()) {
        if (csv.cells().size() != names.size()) {
            return whole_fault(csv.line(), fmt::format("the record has {} cells, and the head line has {}.", csv.cells().size(), names.size()),
                               "Look for a comma too many or too few, or a quotation mark that is not closed.");
        }
        row.line = csv.line();
        row.bytes = csv.bytes();
        row.values.clear();
        for (std::size_t i = 0; i < noun.columns.size(); ++i) {
            const auto& place = head.places[i];
            if (!place) {
                static_cast<void>(store_missing(noun.columns[i], row.values));
            } else if (Fault fault = store_cell(noun.columns[i], csv.cells()[*place], row.values)) {
                fault->line = row.line;
                return fault;
            }
        }
        if (Fault fault = take(row)) {
            return fault;
        }
    }
    return csv.fault().empty() ? std::nullopt
                               : whole_fault(csv.line(), csv.fault(), "A quotation mark inside a cell is written twice, and the cell stands in quotation marks.");
}

std::optional<RowFault> read_json_rows(const ExchangeNoun& noun, std::istream& in, const TakeRow& take) {
    CountingBuffer counting(*in.rdbuf());
    std::istream counted(&counting);
    JsonTaker taker(noun, counting, take);
    static_cast<void>(nlohmann::json::sax_parse(counted, &taker));
    return taker.fault;
}

}  // namespace tonebath::app
