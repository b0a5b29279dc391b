#include "base/clock.hpp"

#include "base/quantity_text.hpp"
#include "base/text.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdlib>
#include <vector>

namespace tonebath {

namespace {

constexpr std::array<std::string_view, 12> kMonths = {"January",   "February", "March",    "April",
                                                      "May",       "June",     "July",     "August",
                                                      "September", "October",  "November", "December"};
constexpr std::array<std::string_view, 7> kWeekdays = {"Sunday",   "Monday", "Tuesday", "Wednesday",
                                                       "Thursday", "Friday", "Saturday"};

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

// Reads a text from its front; every step says whether it was there.
class Scanner {
public:
    explicit Scanner(std::string_view text) : rest_(text) {}

    [[nodiscard]] bool done() const { return rest_.empty(); }

    bool sign(char c) {
        if (rest_.empty() || rest_.front() != c) {
            return false;
        }
        rest_.remove_prefix(1);
        return true;
    }

    bool any_sign(std::string_view signs) {
        return std::any_of(signs.begin(), signs.end(), [this](char c) { return sign(c); });
    }

    // A whole number of `fewest` to `most` digits, and no digit after them.
    bool digits(std::size_t fewest, std::size_t most, int& value) {
        std::size_t count = 0;
        int read = 0;
        while (count < rest_.size() && is_digit(rest_[count])) {
            if (count == most) {
                return false;
            }
            read = read * 10 + (rest_[count] - '0');
            ++count;
        }
        if (count < fewest) {
            return false;
        }
        last_count_ = count;
        value = read;
        rest_.remove_prefix(count);
        return true;
    }

    [[nodiscard]] std::size_t last_count() const { return last_count_; }

private:
    std::string_view rest_;
    std::size_t last_count_ = 0;
};

bool is_date(const CivilTime& fields) {
    using namespace std::chrono;
    const year_month_day date(year(fields.year), month(static_cast<unsigned>(fields.month)),
                              day(static_cast<unsigned>(fields.day)));
    return fields.year >= 1 && fields.year <= 9999 && date.ok();
}

// "09:42", "9:42" where short hours are allowed, "09:42:17", "09:42:17.250".
bool scan_time(Scanner& scanner, std::size_t fewest_hour_digits, CivilTime& fields) {
    if (!scanner.digits(fewest_hour_digits, 2, fields.hour) || !scanner.sign(':') ||
        !scanner.digits(2, 2, fields.minute)) {
        return false;
    }
    fields.second = 0;
    fields.ms = 0;
    if (scanner.sign(':')) {
        if (!scanner.digits(2, 2, fields.second)) {
            return false;
        }
        if (scanner.sign('.')) {
            if (!scanner.digits(1, 3, fields.ms)) {
                return false;
            }
            for (std::size_t i = scanner.last_count(); i < 3; ++i) {
                fields.ms *= 10;
            }
        }
    }
    return fields.hour < 24 && fields.minute < 60 && fields.second < 60;
}

bool scan_offset(Scanner& scanner, int& offset_min) {
    if (scanner.any_sign("Zz")) {
        offset_min = 0;
        return true;
    }
    const bool west = scanner.sign('-');
    int hours = 0;
    int minutes = 0;
    if ((!west && !scanner.sign('+')) || !scanner.digits(2, 2, hours) || !scanner.sign(':') ||
        !scanner.digits(2, 2, minutes)) {
        return false;
    }
    offset_min = (west ? -1 : 1) * (hours * 60 + minutes);
    return minutes < 60 && std::abs(offset_min) <= 840;
}

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    std::string word;
    while (!text.empty()) {
        const char32_t c = take_code_point(text);
        if (!is_blank(c)) {
            append_utf8(word, c);
            continue;
        }
        if (!word.empty()) {
            words.push_back(folded(word));
            word.clear();
        }
    }
    if (!word.empty()) {
        words.push_back(folded(word));
    }
    return words;
}

// Position of a name written out or by its first three letters ("mar", "march"); September also as "sept".
template <std::size_t N>
std::optional<int> name_index(const std::array<std::string_view, N>& names, std::string_view word) {
    for (std::size_t i = 0; i < N; ++i) {
        const std::string name = folded(names[i]);
        if (word == name || word == std::string_view(name).substr(0, 3) || (word == "sept" && name == "september")) {
            return static_cast<int>(i);
        }
    }
    return std::nullopt;
}

bool whole_number(std::string_view word, std::size_t fewest, std::size_t most, int& value) {
    Scanner scanner(word);
    return scanner.digits(fewest, most, value) && scanner.done();
}

std::optional<Stamp> parse_ago(const std::vector<std::string>& words, const Stamp& now) {
    const std::vector<std::string> length(words.begin(), words.end() - 1);
    const std::string text = joined(length, " ");
    const bool with_unit = std::any_of(text.begin(), text.end(), [](char c) { return c >= 'a' && c <= 'z'; });
    const Result<Seconds> ago = parse_duration("time", text);
    if (!with_unit || !ago || ago->seconds() < 0.0) {
        return std::nullopt;
    }
    return plus_seconds(now, -ago->seconds());
}

// Takes "[Tuesday] 31 March [2026]" off the front of the words.
std::optional<CivilTime> take_day(const std::vector<std::string>& words, std::size_t& next, const Stamp& now) {
    std::optional<int> weekday;
    if (next < words.size()) {
        std::string_view word = words[next];
        if (word.ends_with(',')) {
            word.remove_suffix(1);
        }
        weekday = name_index(kWeekdays, word);
        next += weekday ? 1U : 0U;
    }
    CivilTime fields;
    if (next + 1 >= words.size() || !whole_number(words[next], 1, 2, fields.day)) {
        return std::nullopt;
    }
    const std::optional<int> month = name_index(kMonths, words[next + 1]);
    if (!month) {
        return std::nullopt;
    }
    next += 2;
    fields.month = *month + 1;
    if (next < words.size() && whole_number(words[next], 4, 4, fields.year)) {
        ++next;
    } else {
        fields.year = civil(now).year;
    }
    if (!is_date(fields)) {
        return std::nullopt;
    }
    if (weekday && civil(stamp_of(fields, 0)).weekday != *weekday) {
        return std::nullopt;
    }
    return fields;
}

CivilTime midnight_of(const Stamp& at) {
    CivilTime fields = civil(at);
    fields.hour = fields.minute = fields.second = fields.ms = 0;
    return fields;
}

}  // namespace

std::string iso_text(const Stamp& at) {
    const CivilTime f = civil(at);
    const int offset = std::abs(at.offset_min);
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:03}{}{:02}:{:02}", f.year, f.month, f.day, f.hour,
                       f.minute, f.second, f.ms, at.offset_min < 0 ? '-' : '+', offset / 60, offset % 60);
}

std::optional<Stamp> parse_iso(std::string_view text, int offset_min) {
    Scanner scanner(text);
    CivilTime fields;
    if (!scanner.digits(4, 4, fields.year) || !scanner.sign('-') || !scanner.digits(2, 2, fields.month) ||
        !scanner.sign('-') || !scanner.digits(2, 2, fields.day) || !is_date(fields)) {
        return std::nullopt;
    }
    if (!scanner.done()) {
        if (!scanner.any_sign("Tt ") || !scan_time(scanner, 2, fields)) {
            return std::nullopt;
        }
        if (!scanner.done() && (!scan_offset(scanner, offset_min) || !scanner.done())) {
            return std::nullopt;
        }
    }
    return stamp_of(fields, offset_min);
}

std::optional<Stamp> parse_moment(std::string_view text, const Stamp& now) {
    text = trimmed(text);
    if (const std::optional<Stamp> exact = parse_iso(text, now.offset_min)) {
        return exact;
    }
    const std::vector<std::string> words = words_of(text);
    if (words.empty()) {
        return std::nullopt;
    }
    if (words.back() == "ago") {
        return parse_ago(words, now);
    }
    if (words.size() == 1 && words.front() == "now") {
        return now;
    }
    std::size_t next = 0;
    CivilTime fields = midnight_of(now);
    if (words.front() == "today") {
        next = 1;
    } else if (words.front() == "yesterday") {
        constexpr double kDayS = 86'400.0;
        fields = midnight_of(plus_seconds(now, -kDayS));
        next = 1;
    } else if (words.size() > 1) {
        const std::optional<CivilTime> day = take_day(words, next, now);
        if (!day) {
            return std::nullopt;
        }
        fields = *day;
    }
    if (next < words.size()) {
        Scanner scanner(words[next]);
        if (!scan_time(scanner, 1, fields) || !scanner.done()) {
            return std::nullopt;
        }
        ++next;
    }
    if (next != words.size()) {
        return std::nullopt;
    }
    return stamp_of(fields, now.offset_min);
}

namespace {

std::string_view month_name(const CivilTime& fields) {
    return kMonths[static_cast<std::size_t>(fields.month - 1)];
}

}  // namespace

std::string date_text(const Stamp& at) {
    const CivilTime f = civil(at);
    return fmt::format("{} {} {}", f.day, month_name(f).substr(0, 3), f.year);
}

std::string day_text(const Stamp& at) {
    const CivilTime f = civil(at);
    return fmt::format("{} {} {}", kWeekdays[static_cast<std::size_t>(f.weekday)], f.day, month_name(f));
}

std::string time_text(const Stamp& at) {
    const CivilTime f = civil(at);
    return fmt::format("{:02}:{:02}", f.hour, f.minute);
}

std::string time_text_seconds(const Stamp& at) {
    const CivilTime f = civil(at);
    return fmt::format("{:02}:{:02}:{:02}", f.hour, f.minute, f.second);
}

std::string date_time_text(const Stamp& at) {
    const CivilTime f = civil(at);
    return fmt::format("{} {} {:02}:{:02}", f.day, month_name(f).substr(0, 3), f.hour, f.minute);
}

}  // namespace tonebath
