#include "app/exchange/csv.hpp"

#include <algorithm>
#include <array>

namespace tonebath::app {

namespace {

constexpr int kEnd = std::char_traits<char>::eof();
constexpr std::string_view kMark = "\xEF\xBB\xBF";  // U+FEFF

// What spreadsheets begin a formula with; the wide forms are those of East Asian input.
bool begins_formula(std::string_view text) {
    constexpr std::array<std::string_view, 11> kBegins{"=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"};
    return std::any_of(kBegins.begin(), kBegins.end(), [text](std::string_view one) { return text.starts_with(one); });
}

std::string_view past_apostrophes(std::string_view text) {
    const std::size_t at = text.find_first_not_of('\'');
    return at == std::string_view::npos ? std::string_view() : text.substr(at);
}

}  // namespace

CsvReader::CsvReader(std::istream& in, CsvForm form) : in_(*in.rdbuf()), form_(form) {
    if (peek() == static_cast<unsigned char>(kMark.front())) {
        for (const char c : kMark) {
            if (peek() == static_cast<unsigned char>(c)) {
                get();
            }
        }
    }
}

int CsvReader::get() {
    const int c = in_.sbumpc();
    bytes_ += c == kEnd ? 0 : 1;
    return c;
}

int CsvReader::peek() { return in_.sgetc(); }

void CsvReader::end_line(int c) {
    if (c == '\r' && peek() == '\n') {
        get();
    }
    ++now_;
}

bool CsvReader::read_quoted() {
    for (int c = get();; c = get()) {
        if (c == kEnd) {
            fault_ = "a quotation mark opens here and is never closed.";
            return false;
        }
        if (c == '"') {
            if (peek() != '"') {
                return true;
            }
            get();
        }
        now_ += c == '\n' ? 1 : 0;
        cells_.back() += static_cast<char>(c);
    }
}

bool CsvReader::read_record(int c) {
    bool closed = false;  // the cell stood in quotation marks
    for (;; c = get()) {
        if (c == kEnd) {
            return true;
        }
        if (c == '\n' || c == '\r') {
            end_line(c);
            return true;
        }
        if (c == static_cast<unsigned char>(form_.separator)) {
            cells_.emplace_back();
            closed = false;
        } else if (closed) {
            fault_ = "something stands after a closing quotation mark.";
            return false;
        } else if (c != '"') {
            cells_.back() += static_cast<char>(c);
        } else if (!cells_.back().empty()) {
            fault_ = "a quotation mark stands in the middle of a cell.";
            return false;
        } else if (read_quoted()) {
            closed = true;
        } else {
            return false;
        }
    }
}

bool CsvReader::next() {
    for (;;) {
        line_ = now_;
        cells_.assign(1, std::string());
        const int c = get();
        if (c == kEnd || !fault_.empty()) {
            return false;
        }
        if (c == '\n' || c == '\r') {
            end_line(c);  // a blank line
            continue;
        }
        if (form_.comments && c == '#') {
            int past = get();
            while (past != kEnd && past != '\n' && past != '\r') {
                past = get();
            }
            end_line(past);
            continue;
        }
        return read_record(c);
    }
}

void append_csv_cell(std::string& line, std::string_view text) {
    const bool blank_end = !text.empty() && (text.front() == ' ' || text.back() == ' ');
    if (!blank_end && text.find_first_of(",\"\r\n") == std::string_view::npos) {
        line += text;
        return;
    }
    line += '"';
    for (const char c : text) {
        line += c;
        if (c == '"') {
            line += c;
        }
    }
    line += '"';
}

std::string defused(std::string_view text) {
    return (begins_formula(past_apostrophes(text)) ? "'" : "") + std::string(text);
}

std::string undefused(std::string_view cell) {
    const bool led_in = cell.starts_with('\'') && begins_formula(past_apostrophes(cell));
    return std::string(led_in ? cell.substr(1) : cell);
}

}  // namespace tonebath::app
