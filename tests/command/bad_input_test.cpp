// What cannot be right is refused in words that name field, value and remedy, and nothing is written.
#include "command/program.hpp"

#include <catch2/catch.hpp>

#include <fstream>

using namespace tonebath::test;

namespace {

void a_bath(const Program& program) {
    program.does({"person", "add", "--initials", "MK"});
    program.does({"lot", "add", "--number", "LS-2", "--amount", "100 g", "--usual", "5", "--opened", "2 Mar 2025"});
    program.mixes("LS-2");
    program.does({"bath", "make-up", "--number", "46", "--lot", "LS-2", "--amount", "2 g", "--water", "400 ml",
                  "--start-temp", "60", "--room-temp", "19"});
    program.does({"strip", "add", "--number", "1", "--metal", "sterling"});
}

std::size_t changes(const Program& program) {
    return program.tells({"log", "changes", "--limit", "1000"}).size();
}

}  // namespace

TEST_CASE("Values that cannot be right are refused with code 1") {
    const Program program;
    a_bath(program);
    const std::size_t before = changes(program);
    const auto temp = [&](const std::string& typed) {
        return program.refuses({"bath", "read", "--bath", "46", "--temp=" + typed});
    };
    CHECK(temp("150").at("value") == "150");
    CHECK(temp("nan").at("refused") == "text.not_finite");
    CHECK(temp("-40").at("field").get<std::string>().find("emperature") != std::string::npos);
    CHECK(temp("warm").at("refused") == "text.not_a_number");
    CHECK(temp("1,500").at("answers").size() == 2);
    CHECK(program.refuses({"bath", "read", "--bath", "46", "--temp", ""}).at("refused") == "form.missing");
    CHECK(temp(std::string(10000, '7')).at("refused") == "text.too_long");
    CHECK(temp("пятьдесят").at("value") == "пятьдесят");
    // Bytes that are no UTF-8 come back as something that JSON can hold.
    CHECK_FALSE(temp("5\xff\xfe").at("message").get<std::string>().empty());
    program.refuses({"bath", "make-up", "--lot", "LS-2", "--amount", "20 g", "--water", "200 ml"});
    program.refuses({"bath", "make-up", "--lot", "LS-2", "--amount", "-2 g", "--water", "200 ml"});
    program.refuses({"bath", "make-up", "--lot", "LS-9", "--amount", "2 g", "--water", "200 ml"});
    program.refuses({"strip", "add", "--number", "1", "--metal", "sterling"});
    program.refuses({"dip", "enter", "--bath", "46", "--strip", "1", "--dropped", "1 Jan 2026 09:10", "--out", "1 Jan 2026 09:09"});
    program.refuses({"plan", "--bath", "46", "--tone", "mauve", "--metal", "sterling"});
    program.refuses({"plan", "--bath", "46"});
    for (const char* odd : {"150", "hot", "nan", "-40"}) {
        program.refuses({"plan", "--bath", "46", "--tone", "blue", "--metal", "sterling", std::string("--temp=") + odd});
    }
    program.refuses({"plan", "--bath", "99", "--tone", "blue", "--metal", "sterling"});
    program.refuses({"plan", "--bath", "46", "--tone", "blue", "--metal", "sterling", "--at", "soon"});
    program.refuses({"plan", "--bath", "46", "--tone", "blue", "--metal", "sterling", "--dose-done=-3"});
    program.refuses({"spread", "--batch", "99"});
    program.refuses({"story", "L-999"});
    program.refuses({"repeat", "R-99"});
    program.refuses({"learned", "--scale", "cheese"});
    program.refuses({"bath", "cooling", "--bath", "99"});
    program.refuses({"bath", "show", "99"});
    program.refuses({"--who", "ZZ", "today"});
    CHECK(changes(program) == before);
    // A decimal comma and °F are taken; a question is answered in the words on offer.
    program.does({"bath", "read", "--bath", "46", "--temp", "59,8"});
    const auto question = program.refuses({"bath", "read", "--bath", "46", "--temp", "64"});
    REQUIRE(question.at("answers").size() > 0);
    program.does(
        {"bath", "read", "--bath", "46", "--temp", "64", "--answer", question.at("answers").at(0).get<std::string>()});
    const auto readings = program.rows("reading");
    REQUIRE(readings.size() == 2);
    CHECK(readings.at(0).at("temp_c") == 59.8);
}

TEST_CASE("Words that are no command are code 2, and say what there is") {
    const Program program;
    for (const std::vector<std::string>& words : {std::vector<std::string>{"bake"},
                                                  {"bath"},
                                                  {"bath", "boil"},
                                                  {"bath", "list", "--colour", "blue"},
                                                  {"plan", "--bath"},
                                                  {"plan", "--agitation", "wild"},
                                                  {"story"},
                                                  {"repeat", "R-07", "--dose-temp", "50"},
                                                  {"bath", "list", "--limit", "many"},
                                                  {"today", "--demo", "--log", "x"},
                                                  {"today", "extra"}}) {
        const Ended ended = program.start(words);
        INFO(words.front() << " " << ended.out << ended.err);
        CHECK(ended.code == 2);
        CHECK(ended.out.empty());
        CHECK_FALSE(ended.err.empty());
    }
}

TEST_CASE("A file that is no log, or cannot be written, is code 3") {
    const Program program;
    const auto file = program.folder() / "notes.txt";
    std::ofstream(file) << "only some words that a person wrote\n";
    const Ended wrong = program.start({"--log", file.string(), "today"});
    CHECK(wrong.code == 3);
    CHECK(wrong.out.empty());
    CHECK_FALSE(wrong.err.empty());
    const Ended nowhere = program.start({"--log", (program.folder() / "no" / "such.tonebath").string(), "today"});
    CHECK(nowhere.code == 3);
    CHECK(program.start({"--log", "/proc/tonebath.tonebath", "person", "add", "--initials", "MK", "--role", "maker"})
              .code == 3);
    // What was there is as it was.
    std::ifstream in(file);
    std::string line;
    std::getline(in, line);
    CHECK(line == "only some words that a person wrote");
}

TEST_CASE("A demo is written once, says that it is invented, and never touches the own log") {
    const Program program;
    const std::string file = (program.folder() / "demo.tonebath").string();
    const Ended made = program.start({"demo", "--out", file});
    INFO(made.out << made.err);
    REQUIRE(made.code == 0);
    const Ended again = program.start({"demo", "--out", file});
    CHECK(again.code == 1);
    CHECK_FALSE(again.err.empty());
    const Ended today = program.start({"today", "--demo"});
    REQUIRE(today.code == 0);
    CHECK(today.out.find("invented demo studio") != std::string::npos);
    CHECK_FALSE(std::filesystem::exists(program.folder() / "data" / "tonebath"));
    // The usual log is made where the machine keeps such things, on the first command.
    CHECK(program.start({"today"}).code == 0);
    CHECK(std::filesystem::exists(program.folder() / "data" / "tonebath" / "log.tonebath"));
}
