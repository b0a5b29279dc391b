// The check character of labels.
#include "base/check_character.hpp"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

#include <string>

using namespace tonebath;

namespace {

constexpr std::string_view kAlphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

}  // namespace

TEST_CASE("ISO/IEC 7064 MOD 37-2: the worked value of a published library", "[check_character]") {
    // python-stdnum 1.x, stdnum.iso7064.mod_37_2, documentation: G123489654321 takes Y.
    CHECK(check_character("G123489654321") == 'Y');
    CHECK(check_character("g1234-8965 4321") == 'Y');
}

TEST_CASE("one wrong character, or two neighbours that changed places, change the check", "[check_character]") {
    rc::prop("of any number", [] {
        const auto length = *rc::gen::inRange<std::size_t>(1, 12);
        const std::string number = *rc::gen::container<std::string>(length, rc::gen::elementOf(std::string(kAlphabet)));
        const char check = check_character(number);
        for (std::size_t i = 0; i < number.size(); ++i) {
            std::string wrong = number;
            for (const char c : kAlphabet) {
                wrong[i] = c;
                RC_ASSERT((check_character(wrong) == check) == (wrong == number));
            }
            if (i + 1 < number.size()) {
                std::string swapped = number;
                std::swap(swapped[i], swapped[i + 1]);
                RC_ASSERT((check_character(swapped) == check) == (swapped == number));
            }
        }
    });
}

TEST_CASE("a number and its check are told apart", "[check_character]") {
    const auto typed = split_checked(" L-131+k ");
    REQUIRE(typed);
    CHECK(typed->number == "L-131");
    CHECK(typed->check == 'K');
    CHECK_FALSE(split_checked("L-131"));
    CHECK_FALSE(split_checked("+K"));
    CHECK_FALSE(split_checked("L-131+"));
    CHECK_FALSE(split_checked("L-131+KK"));
    CHECK_FALSE(split_checked("L-131+é"));
}
