#include "base/text.hpp"
#include "base/text_places.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <algorithm>
#include <array>

using namespace tonebath;

namespace {

enum class Movement { still, gentle, brisk };

}  // namespace

template <>
struct tonebath::EnumWords<Movement> {
    static constexpr std::array<std::string_view, 3> words = {"still", "gentle", "brisk"};
};

TEST_CASE("trimmed takes blanks off both ends only") {
    struct Row {
        std::string text, expected;
    };
    const Row row = GENERATE(values<Row>({
        {"", ""},
        {" \t\r\n\v\f ", ""},
        {"  a  b ", "a  b"},
        {"\u00A0\u202F55\u2009\u3000", "55"},
        {"\uFEFFring", "ring"},
        {"é", "é"},
        {" \xC3 ", "\xC3"},
        {"銀 ", "銀"},
    }));
    CHECK(trimmed(row.text) == row.expected);
}

TEST_CASE("split keeps empty parts and joined puts them back") {
    CHECK(split("a,,b", ',') == std::vector<std::string>{"a", "", "b"});
    CHECK(split("", ',') == std::vector<std::string>{""});
    CHECK(split(",", ',') == std::vector<std::string>{"", ""});
    CHECK(joined({}, ", ") == "");
    CHECK(joined({"straw", "gold"}, " to ") == "straw to gold");
    CHECK(rc::check("joined(split(text)) is the text",
                    [](const std::string& text) { RC_ASSERT(joined(split(text, 'a'), "a") == text); }));
}

TEST_CASE("UTF-8 is judged as RFC 3629 says") {
    struct Row {
        std::string text;
        bool valid;
    };
    const Row row = GENERATE(values<Row>({
        {"", true},
        {std::string("a\0b", 3), true},
        {"°é銀😀", true},
        {"\xF4\x8F\xBF\xBF", true},   // U+10FFFF
        {"\xF4\x90\x80\x80", false},  // above it
        {"\xC0\x80", false},          // overlong NUL
        {"\xC1\xBF", false},          // overlong
        {"\xE0\x9F\xBF", false},      // overlong
        {"\xF0\x8F\xBF\xBF", false},  // overlong
        {"\xED\xA0\x80", false},      // surrogate
        {"\xED\x9F\xBF", true},       // last before the surrogates
        {"\x80", false},              // stray continuation
        {"\xE2\x82", false},          // cut short
        {"\xC3(", false},             // continuation missing
        {"\xFF", false},
    }));
    CAPTURE(row.text);
    CHECK(is_valid_utf8(row.text) == row.valid);
}

TEST_CASE("every code point survives a round trip through UTF-8") {
    for (char32_t c = 0; c <= 0x10FFFF; ++c) {
        if (c >= 0xD800 && c <= 0xDFFF) {
            continue;
        }
        std::string text;
        append_utf8(text, c);
        std::string_view rest = text;
        if (take_code_point(rest) != c || !rest.empty() || !is_valid_utf8(text)) {
            FAIL("code point " << static_cast<unsigned>(c));
        }
    }
    std::string_view broken = "\xE2\x82x";
    CHECK(take_code_point(broken) == 0xFFFD);
    CHECK(take_code_point(broken) == 0xFFFD);
    CHECK(take_code_point(broken) == U'x');
}

TEST_CASE("folded finds Latin names without accents and other scripts without case") {
    struct Row {
        std::string text, expected;
    };
    const Row row = GENERATE(values<Row>({
        {"Malachite No. 4", "malachite no. 4"},
        {"Élodie", "elodie"},
        {"Straße", "strasse"},
        {"STRASSE ẞ", "strasse ss"},
        {"Smørrebrød", "smorrebrod"},
        {"Łódź", "lodz"},
        {"Dvořák", "dvorak"},
        {"Žižek İstanbul ığdır", "zizek istanbul igdir"},
        {"Œuvre Æther Þór", "oeuvre aether thor"},
        {"Nguyễn Đặng", "nguyen dang"},
        {"Ștefan", "stefan"},
        {"e\u0301tude", "etude"},  // combining accent
        {"×÷", "×÷"},
        {"ΑΘΗΝΑΣ", "αθηνασ"},
        {"Αθήνας", "αθήνασ"},
        {"ΈΉΊΌΎΏΪΫ", "έήίόύώϊϋ"},
        {"ЩЁЇҐ Ӂ", "щёїґ ӂ"},
        {"и\u0306", "и\u0306"},  // a mark on a Cyrillic letter stays
        {"銀 שלום", "銀 שלום"},
        {"\xFF"
         "A",
         "\xFF"
         "a"},
    }));
    CHECK(folded(row.text) == row.expected);
}

TEST_CASE("folding twice changes nothing more") {
    for (char32_t c = 0; c <= 0x2FFFF; ++c) {
        if (c >= 0xD800 && c <= 0xDFFF) {
            continue;
        }
        std::string text;
        append_utf8(text, c);
        const std::string once = folded(text);
        if (folded(once) != once || !is_valid_utf8(once)) {
            FAIL("code point " << static_cast<unsigned>(c));
        }
    }
}

TEST_CASE("names are ordered by the numbers in them") {
    std::vector<std::string> names = {"L-10",
                                      "L-9",
                                      "l-1",
                                      "L-100",
                                      "L",
                                      "L-9a",
                                      "Bath 2",
                                      "bath 10",
                                      "L-09",
                                      "99999999999999999999999",
                                      "100000000000000000000000",
                                      ""};
    std::sort(names.begin(), names.end(), natural_less);
    CHECK(names == std::vector<std::string>{"", "99999999999999999999999", "100000000000000000000000", "Bath 2",
                                            "bath 10", "L", "l-1", "L-09", "L-9", "L-9a", "L-10", "L-100"});
}

TEST_CASE("natural order is a total order") {
    const auto name = rc::gen::container<std::string>(rc::gen::element('0', '1', '9', 'a', 'A', 'b', '-', '\xC3'));
    CHECK(rc::check("one of less, equal, greater; and transitive", [&] {
        const std::string a = *name;
        const std::string b = *name;
        const std::string c = *name;
        RC_ASSERT(!natural_less(a, a));
        RC_ASSERT((a == b) == (!natural_less(a, b) && !natural_less(b, a)));
        RC_ASSERT(!(natural_less(a, b) && natural_less(b, a)));
        if (natural_less(a, b) && natural_less(b, c)) {
            RC_ASSERT(natural_less(a, c));
        }
    }));
}

TEST_CASE("counted takes the plural for all but one") {
    CHECK(counted(0, "piece", "pieces") == "0 pieces");
    CHECK(counted(1, "piece", "pieces") == "1 piece");
    CHECK(counted(21, "piece", "pieces") == "21 pieces");
}

TEST_CASE("shortened cuts at a character border and stays within the bytes given") {
    CHECK(shortened("silver", 6) == "silver");
    CHECK(shortened("silver ring", 9) == "silver…");
    CHECK(shortened("éééé", 7) == "éé…");
    CHECK(shortened("éééé", 6) == "é…");
    CHECK(shortened("silver", 3) == "…");
    CHECK(shortened("silver", 2) == "si");
    CHECK(shortened("é", 1) == "");
    CHECK(shortened("", 0) == "");
    for (std::size_t limit = 0; limit < 40; ++limit) {
        const std::string cut = shortened("銀の指輪 with a very long name", limit);
        CHECK(cut.size() <= limit);
        CHECK(is_valid_utf8(cut));
    }
}

TEST_CASE("shown is one short line of valid text") {
    CHECK(shown("131 F") == "131 F");
    CHECK(shown(std::string("5\0005", 3)) == "5\uFFFD5");
    CHECK(shown("a\nb\x1B[31m") == "a\uFFFDb\uFFFD[31m");
    CHECK(shown("\xFFx") == "\uFFFDx");
    CHECK(shown("a\u202Eb") == "a\uFFFDb");
    CHECK(shown(std::string(40, 'x')) == std::string(40, 'x'));
    CHECK(shown(std::string(41, 'x')) == std::string(39, 'x') + "…");
    std::string rings;
    std::string expected;
    for (int i = 0; i < 50; ++i) {
        rings += "輪";
        expected += i < 39 ? "輪" : "";
    }
    CHECK(shown(rings) == expected + "…");
}

TEST_CASE("words of an enumerator read back, and nothing else does") {
    for (const Movement movement : {Movement::still, Movement::gentle, Movement::brisk}) {
        CHECK(from_word<Movement>(word_of(movement)) == movement);
    }
    CHECK(word_of(Movement::gentle) == "gentle");
    CHECK_FALSE(from_word<Movement>("Gentle").has_value());
    CHECK_FALSE(from_word<Movement>("").has_value());
}

TEST_CASE("texts keep the place in which they first came") {
    TextPlaces places;
    CHECK(places.find("none yet") == TextPlaces::kNone);
    std::vector<std::string> all{""};
    for (int i = 0; i < 5000; ++i) {
        all.push_back(std::to_string(i * 7919) + std::string(static_cast<std::size_t>(i % 40), 'x'));
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
        CHECK(places.place_of(all[i]) == i);
    }
    for (std::size_t i = 0; i < all.size(); i += 7) {
        CHECK(places.find(all[i]) == i);
        CHECK(places.place_of(all[i]) == i);
        CHECK(places.text(static_cast<std::uint32_t>(i)) == all[i]);
    }
    CHECK(places.size() == all.size());
    CHECK(places.find("x") == TextPlaces::kNone);
}
