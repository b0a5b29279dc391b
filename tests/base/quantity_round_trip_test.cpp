#include "base/quantity_reads.hpp"

#include <rapidcheck.h>

#include <array>
#include <clocale>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <locale>
#include <string>
#include <vector>

using namespace tonebath;

TEST_CASE("what is shown is read again as the same value") {
    CHECK(rc::check("exact_text", [] {
        const double value = *rc::gen::arbitrary<double>();
        RC_PRE(std::isfinite(value));
        const Result<double> read = parse_number("n", exact_text(value));
        RC_ASSERT(read.has_value());
        RC_ASSERT(*read == value);
    }));
    CHECK(rc::check("times", [] {
        const int s = *rc::gen::inRange(-400'000, 400'000);
        const Result<double> read = seconds(text_of(Seconds::from_seconds(s)));
        RC_ASSERT(read.has_value());
        RC_ASSERT(*read == s);
    }));
}

TEST_CASE("any text at all is read or refused, never worse") {
    const auto letters = rc::gen::container<std::string>(rc::gen::oneOf(
        rc::gen::element<char>('0', '5', '9', '.', ',', ':', '-', '/', ' ', 'e', 'c', 'f', 'm', 's', '"'),
        rc::gen::arbitrary<char>()));
    CHECK(rc::check("any text", [&] {
        const std::string typed = *letters;
        for (const Result<double>& read :
             {parse_number("n", typed), celsius(typed), seconds(typed), ml(typed), grams(typed), mm(typed)}) {
            if (read) {
                RC_ASSERT(std::isfinite(*read));
            } else {
                RC_ASSERT(!read.error().code.empty());
                RC_ASSERT(is_valid_utf8(read.error().text()));
            }
        }
    }));
}

namespace {

struct CommaDecimal : std::numpunct<char> {
    char do_decimal_point() const override { return ','; }
    char do_thousands_sep() const override { return '.'; }
    std::string do_grouping() const override { return "\3"; }
};

// Sets a C locale with a decimal comma: one of the system's, or one made for the test where its source is installed.
bool set_comma_locale(const std::filesystem::path& folder) {
    for (const char* name : {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "pl_PL.UTF-8"}) {
        if (std::setlocale(LC_ALL, name) != nullptr) {
            return true;
        }
    }
    const std::string make = "localedef -i de_DE -f UTF-8 '" + (folder / "de_DE.UTF-8").string() + "' >/dev/null 2>&1";
    if (std::system(make.c_str()) != 0) {
        return false;
    }
    ::setenv("LOCPATH", folder.c_str(), 1);
    const bool set = std::setlocale(LC_ALL, "de_DE.UTF-8") != nullptr;
    ::unsetenv("LOCPATH");
    return set;
}

}  // namespace

TEST_CASE("the system's locale changes nothing") {
    std::string name = (std::filesystem::temp_directory_path() / "tonebath-locale-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    const std::locale before = std::locale::global(std::locale(std::locale::classic(), new CommaDecimal));
    const bool comma = set_comma_locale(name);
    std::array<char, 16> printed{};
    std::snprintf(printed.data(), printed.size(), "%.1f", 5.5);
    const Result<double> point = celsius("55.5");
    const Result<double> decimal_comma = celsius("55,5");
    const std::vector<std::string> texts = {text_of(Celsius::from_celsius(51.4)), exact_text(1234.5),
                                            fixed_text(1234567.25, 1), text_of(Millilitres::from_ml(1500))};
    std::setlocale(LC_ALL, "C");
    std::locale::global(before);
    std::filesystem::remove_all(name);
    if (comma) {
        CHECK(std::string(printed.data()) == "5,5");  // the locale was really in force
    } else {
        WARN("no locale with a decimal comma could be set; only the C++ one was tried");
    }
    check_value("55.5", point, 55.5);
    check_value("55,5", decimal_comma, 55.5);
    CHECK(texts == std::vector<std::string>{"51.4 °C", "1234.5", "1234567.3", "1500 ml"});
}
