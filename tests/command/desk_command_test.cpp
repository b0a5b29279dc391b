// The bottles, the book and the waste by commands, on a log of its own and on the invented studio.
#include "command/program.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

using namespace tonebath::test;
using Catch::Matchers::WithinAbs;

namespace {

template <class Rows>
nlohmann::json row_of(const Rows& rows, const std::string& key, const std::string& value) {
    for (const auto& row : rows) {
        if (row.at(key) == value) {
            return row;
        }
    }
    FAIL("no " << value);
    return {};
}

}  // namespace

TEST_CASE("vinegar out beside a bath, by command: the stop, the book, the comment") {
    const Program program;
    program.does({"person", "add", "--initials", "MK"});
    program.does({"lot", "add", "--number", "LS-2", "--amount", "100 g", "--usual", "5"});
    program.does({"check", "confirm", "--list", "before_mixing", "--kind", "liver_of_sulfur_lump", "--who", "MK", "--item",
                  "acid_away: hall cupboard\nair_on: fan on\neyes_hands: nitrile\nright_product: LS-2, sheet of Jan 2026\neyewash: 8:55\napron: worn\ndone: 9:00"});
    program.does({"bath", "make-up", "--lot", "LS-2", "--amount", "2 g", "--water", "400 ml"});
    program.does({"chemical", "add", "--name", "vinegar", "--kind", "acid pickle"});
    CHECK(program.tells({"chemical", "overdue"}).at("products").size() == 1);
    const std::string said = program.does({"chemical", "out", "--product", "vinegar"});
    CHECK(said.find("must never meet") != std::string::npos);
    CHECK(said.find("Smell is no guide") != std::string::npos);
    const auto bench = program.tells({"chemical", "on-bench"});
    CHECK(bench.at("out").size() == 2);
    REQUIRE(bench.at("pairs").size() == 1);
    CHECK(bench.at("pairs")[0].at("level") == "stop");
    CHECK(bench.at("pairs")[0].at("trust") == "read");
    const auto book = program.rows("near-miss");
    REQUIRE(book.size() == 1);
    CHECK(book[0].at("kind") == "stop");
    program.does({"near-miss", "comment", "--entry", "N-1", "--comment", "back to the kitchen"});
    CHECK(program.rows("near-miss")[0].at("comment") == "back to the kitchen");
    CHECK(program.refuses({"chemical", "read-sheet", "--product", "vinegar", "--statements", "H999"}).at("refused") ==
          "chemical.strange_code");
    program.does({"chemical", "away", "--product", "vinegar"});
    CHECK(program.tells({"chemical", "on-bench"}).at("pairs").empty());
}

TEST_CASE("the invented studio: grams and litres that do not add up, by command, and one near miss") {
    const Program program;
    // P12: 100 bought, 34 used, 59 left by the scale: 7 g. P15: 18.4 l made, 17.2 l gone: 1.2 l.
    const auto lots = program.tells_of_demo({"lot", "balance"}).at("lots");
    const auto first = row_of(lots, "lot", "LS-1");
    CHECK_THAT(first.at("bought").get<double>(), WithinAbs(100.0, 1e-9));
    CHECK_THAT(first.at("used").get<double>(), WithinAbs(34.0, 1e-9));
    CHECK_THAT(first.at("unaccounted").get<double>(), WithinAbs(7.0, 1e-9));
    CHECK_THAT(first.at("scale_gives_or_takes").get<double>(), WithinAbs(1.0, 1e-9));
    CHECK(first.at("asks") == true);
    const auto waste = program.tells_of_demo({"disposal", "balance"});
    CHECK(waste.at("baths") == 46);
    CHECK(waste.at("disposals") == 12);
    CHECK_THAT(waste.at("made_ml").get<double>(), WithinAbs(18400.0, 1e-6));
    CHECK_THAT(waste.at("gone_ml").get<double>(), WithinAbs(17200.0, 1e-6));
    CHECK_THAT(waste.at("owed_or_unlogged_ml").get<double>(), WithinAbs(1200.0, 1e-6));
    // It names where: bath 46 in use, 45 kept back, 20 ended and never logged.
    CHECK(waste.at("in_use") == nlohmann::json::array({"46"}));
    REQUIRE(waste.at("owed").size() == 2);
    CHECK(row_of(waste.at("owed"), "bath", "45").at("kept_back") == true);
    CHECK(row_of(waste.at("owed"), "bath", "20").at("kept_back") == false);
    CHECK(waste.at("decides").get<std::string>().find("local authority") != std::string::npos);
    // By month, all from litres; the letter's limit only from the month it was written.
    for (const auto& month : waste.at("months")) {
        CHECK(month.at("limit_kg").is_null() == (month.at("month") == "2025-10"));
        CHECK(month.at("kg") == month.at("from_litres_kg"));
    }
    // P11.
    const auto book = program.tells_of_demo({"near-miss", "list"});
    REQUIRE(book.size() == 1);
    CHECK(book[0].at("at").get<std::string>().substr(0, 10) == "2025-12-14");
    CHECK(book[0].at("words").get<std::string>().find("vinegar") != std::string::npos);
    const auto overdue = program.tells_of_demo({"chemical", "overdue"}).at("products");
    CHECK(row_of(overdue, "name", "limescale remover").at("counts_as").get<std::string>().find("acid") == 0);
    CHECK(row_of(overdue, "name", "BK-1 blackener").at("overdue").get<std::string>().find("2021") != std::string::npos);
    CHECK(program.tells_of_demo({"chemical", "on-bench"}).at("pairs").empty());
    // P1: slower from 28 Nov on, half gone in about 6 weeks, and by now too weak; the other lump jar is as fresh.
    const auto ageing = program.tells_of_demo({"lot", "ageing"}).at("lots");
    const auto damp = row_of(ageing, "lot", "LS-1");
    CHECK(damp.at("falls_since") == "left open");
    CHECK(damp.at("falls_from").get<std::string>().substr(0, 10) == "2025-11-28");
    CHECK_THAT(damp.at("half_weeks").get<double>(), WithinAbs(6.0, 1.5));
    CHECK(damp.at("useless").get<std::string>() < "2026-03-31");
    CHECK(row_of(ageing, "lot", "LS-2").at("useless").is_null());
}

TEST_CASE("a PIN before a command comes from its input, is told as set, and stands in no list and no change") {
    const Program program;
    program.does({"person", "add", "--initials", "MK"});
    program.does({"person", "add", "--initials", "AP"});
    program.does({"person", "pin", "--who", "AP", "--pin", "4711"});
    const auto people = program.rows("person");
    CHECK(row_of(people, "initials", "AP").at("pin") == "set");
    CHECK(row_of(people, "initials", "MK").at("pin") == "");
    for (const char* style : {"--json", "--csv", ""}) {
        for (const std::vector<std::string>& list : {std::vector<std::string>{"person", "list"}, {"person", "show", "AP"}, {"log", "changes"}}) {
            std::vector<std::string> words = list;
            if (*style != 0) {
                words.emplace_back(style);
            }
            const Ended told = program.on_log(words);
            INFO(list[0] << " " << list[1] << " " << style << "\n" << told.out << told.err);
            CHECK(told.code == 0);
            CHECK(told.out.find("set") != std::string::npos);
            CHECK(told.out.find("$y$") == std::string::npos);
            CHECK(told.out.find("4711") == std::string::npos);
        }
    }
    const auto needed = program.refuses({"--who", "AP", "person", "list"});
    CHECK(needed.at("refused") == "person.pin_needed");
    CHECK(needed.at("remedy").get<std::string>().find("--pin") != std::string::npos);
    const Ended wrong = program.on_log({"--who", "AP", "--pin", "strip", "add", "--number", "1", "--metal", "sterling"}, "0815\n");
    CHECK(wrong.code == 1);
    CHECK((wrong.out + wrong.err).find("0815") == std::string::npos);
    CHECK(program.rows("strip").empty());
    const Ended right = program.on_log({"--who", "AP", "--pin", "strip", "add", "--number", "1", "--metal", "sterling"}, "4711\n");
    INFO(right.out << right.err);
    CHECK(right.code == 0);
    CHECK((right.out + right.err).find("4711") == std::string::npos);
    CHECK(program.rows("strip").size() == 1);
    CHECK(program.does({"log", "changes", "--csv"}).find("4711") == std::string::npos);
    CHECK(program.tells({"log", "changes", "--limit", "1"})[0].at("who") == "AP");
}
