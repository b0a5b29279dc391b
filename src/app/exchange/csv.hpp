// Comma-separated files (RFC 4180): read record by record in flat memory, and written so that a spreadsheet takes no text
// for a formula.
#pragma once

#include <cstdint>
#include <istream>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

struct CsvForm {
    char separator = ',';
    bool comments = false;  // lines that begin with "#" are passed over
};

// Line ends are CRLF, LF or CR; inside quotation marks they are kept as they are. Blank lines and a byte-order mark are
// passed over.
class CsvReader {
public:
    // `in` outlives it.
    explicit CsvReader(std::istream& in, CsvForm form = {});
    // False at the end, and where a record is not whole: then `fault` says why. The cells up to there are given.
    [[nodiscard]] bool next();
    [[nodiscard]] const std::vector<std::string>& cells() const { return cells_; }
    [[nodiscard]] int line() const { return line_; }  // on which the record began, from 1
    [[nodiscard]] const std::string& fault() const { return fault_; }
    [[nodiscard]] std::int64_t bytes() const { return bytes_; }  // read so far

private:
    int get();
    [[nodiscard]] int peek();
    void end_line(int c);
    [[nodiscard]] bool read_quoted();
    [[nodiscard]] bool read_record(int c);

    std::streambuf& in_;
    CsvForm form_;
    std::vector<std::string> cells_;
    std::string fault_;
    int line_ = 0;
    int now_ = 1;  // line that is being read
    std::int64_t bytes_ = 0;
};

// A cell as it stands in a file: in quotation marks where it holds a separator, a quotation mark, a line end, or a blank
// at either end.
void append_csv_cell(std::string& line, std::string_view text);

// Text that a spreadsheet would take for a formula (it begins with = + - @, a tab or a line end, or with one of their
// wide forms), led in by an apostrophe; so is text that already begins with apostrophes before one of these. `undefused`
// takes it off again: undefused(defused(text)) is the text, whatever it is.
[[nodiscard]] std::string defused(std::string_view text);
[[nodiscard]] std::string undefused(std::string_view cell);

}  // namespace tonebath::app
