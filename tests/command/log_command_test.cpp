// Looking after the log by commands: a second bench joined, backups and the rehearsal of a restore.
#include "command/program.hpp"

#include "base/files.hpp"

#include <catch2/catch.hpp>

#include <string>

using namespace tonebath;
using namespace tonebath::test;

namespace {

nlohmann::json count_of(const nlohmann::json& news, const std::string& noun) {
    for (const auto& row : news.at("counts")) {
        if (row.at("noun") == noun) {
            return row;
        }
    }
    return {{"new", 0}, {"known", 0}};
}

// A bench with one piece of this number on it, in a log of this name.
void bench_with(const Program& program, const std::string& log, const std::string& piece) {
    for (const std::vector<std::string>& words : std::vector<std::vector<std::string>>{
             {"person", "add", "--initials", "MK", "--role", "maker"}, {"piece", "add", "--number", piece, "--design", "Samphire", "--metal", "sterling"}}) {
        std::vector<std::string> all{"--log", (program.folder() / log).string()};
        all.insert(all.end(), words.begin(), words.end());
        const Ended ended = program.start(all);
        INFO(ended.err);
        REQUIRE(ended.code == 0);
    }
}

}  // namespace

TEST_CASE("a second bench by command: looked at, refused without a mark, joined, nothing twice, one undo") {
    const Program program;
    program.does({"person", "add", "--initials", "MK", "--role", "maker"});
    program.does({"piece", "add", "--number", "P-031", "--design", "Samphire", "--metal", "sterling"});
    bench_with(program, "case.tonebath", "P-031");
    const std::string other = (program.folder() / "case.tonebath").string();
    const std::string bytes = read_file(other);

    const auto looked = program.tells({"log", "join", other});
    CHECK(looked.at("written") == false);
    CHECK(count_of(looked, "piece").at("new") == 1);
    CHECK(count_of(looked, "metal").at("new") == 0);   // the words of a new log are the same words
    CHECK(count_of(looked, "metal").at("known") > 3);
    CHECK(count_of(looked, "person").at("known") == 1);
    CHECK(looked.at("clashes")[0].at("number") == "P-031");
    CHECK(looked.at("clashes")[0].at("there").is_null());
    CHECK(program.rows("piece").size() == 1);
    CHECK(program.refuses({"log", "join", other, "--yes"}).at("refused") == "join.no_mark");
    CHECK(program.refuses({"log", "join", other, "--mark", "second bench"}).at("refused") == "join.bad_mark");
    CHECK(program.refuses({"log", "join", (program.folder() / "none.tonebath").string()}).at("refused") == "log.missing");

    const std::string said = program.does({"log", "join", other, "--mark", "T", "--yes"});
    CHECK(said.find("Joined. New: 1 piece") != std::string::npos);
    CHECK(said.find("Ours is P-031, theirs P-031-T") != std::string::npos);
    CHECK(said.find("MK was entered on both benches") != std::string::npos);
    CHECK(program.rows("piece").size() == 2);
    CHECK(program.does({"log", "join", other, "--mark", "T", "--yes"}).find("Nothing new") != std::string::npos);
    CHECK(read_file(other) == bytes);
    CHECK(program.does({"undo"}).find("join the log of bench T") != std::string::npos);
    CHECK(program.rows("piece").size() == 1);

    CHECK(program.does({"log", "mark"}).find("no mark") != std::string::npos);
    CHECK(program.does({"log", "mark", "N"}).find("is N") != std::string::npos);
    CHECK(program.refuses({"log", "mark", "two words"}).at("refused") == "join.bad_mark");
}

TEST_CASE("a backup is rehearsed by command: put in place aside, compared table by table") {
    const Program program;
    program.does({"piece", "add", "--number", "P-031", "--design", "Samphire", "--metal", "sterling"});
    CHECK(program.refuses({"log", "rehearse"}).at("refused") == "backup.none");
    program.does({"log", "backup"});
    program.does({"piece", "add", "--number", "P-032", "--design", "Samphire", "--metal", "sterling"});
    const auto done = program.tells({"log", "rehearse"});
    CHECK(done.at("sound") == true);
    CHECK(done.at("faults").empty());
    for (const auto& table : done.at("tables")) {
        CHECK(table.at("unexplained") == 0);
        if (table.at("table") == "piece") {
            CHECK(table.at("in_backup") == 1);
            CHECK(table.at("in_log") == 2);
            CHECK(table.at("equal") == 1);
            CHECK(table.at("changed_since") == 1);
        }
    }
    CHECK(program.does({"log", "rehearse"}).find("opens whole") != std::string::npos);
}
