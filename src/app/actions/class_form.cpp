#include "app/actions/class_form.hpp"

#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/query.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace tonebath::app {

std::string next_lettered(Studio& studio, std::string_view table, std::string_view head) {
    store::Query query(studio.log(), fmt::format("SELECT number FROM {}", table));
    int largest = 0;
    while (query.next()) {
        const std::string number = query.text(0);
        int value = 0;
        if (number.starts_with(head)) {
            const char* const from = number.data() + head.size();
            const auto [end, trouble] = std::from_chars(from, number.data() + number.size(), value);
            largest = trouble == std::errc{} && end == number.data() + number.size() ? std::max(largest, value) : largest;
        }
    }
    return fmt::format("{}{}", head, largest + 1);
}

std::optional<ClassSession> class_typed(Reader& in) {
    if (in.given("class")) {
        return in.record<ClassSession>("class");
    }
    std::optional<ClassSession> shown = class_to_show(in.studio());
    if (!shown) {
        in.check(rules::refuse("class.none", in.typed("class"), "there is no class in the log yet.",
                               "Write one down first."));
    }
    return shown;
}

void check_not_ended(Reader& in, const ClassSession& session) {
    if (session.ended_at && !session.past_work) {
        in.check(rules::refuse("class.ended", in.typed("class"),
                               fmt::format("class {} was ended on {}.", session.number, date_time_text(*session.ended_at)),
                               "Choose another, or write it down as past work."));
    }
}

std::vector<int> seat_numbers(Reader& in) {
    std::vector<int> numbers;
    for (const std::string& line : in.lines("seat")) {
        int value = 0;
        const auto [end, trouble] = std::from_chars(line.data(), line.data() + line.size(), value);
        if (trouble != std::errc{} || end != line.data() + line.size() || value < 1 || value > kMostSeats) {
            in.check(rules::refuse("seat.number", {in.typed("seat").field, line},
                                   fmt::format("a seat is a whole number from 1 to {}.", kMostSeats),
                                   "Type \"6\", or \"1..12\" for a row."));
            return {};
        }
        numbers.push_back(value);
    }
    return numbers;
}

FieldSpec class_field() {
    return reference("class", "Class", "class", "its number; empty = the one of today or the next");
}
FieldSpec seats_field() {
    return required(repeated(field("seat", "Seat", FieldKind::text, "\"6\", or \"1..12\" for a row")));
}

}  // namespace tonebath::app
