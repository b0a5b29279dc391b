// Export, import, schemas and the record pack by command.
#include "base/files.hpp"
#include "command/program.hpp"

#include <catch2/catch.hpp>

#include <fstream>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;

namespace {

void type_log(const Program& program) {
    program.does({"person", "add", "--initials", "MK", "--role", "maker"});
    program.does({"lot", "add", "--number", "LS-2", "--amount", "100 g", "--usual", "5", "--note", "=1+1"});
    program.mixes("LS-2");
    program.does({"bath", "make-up", "--lot", "LS-2", "--amount", "2 g", "--water", "400 ml", "--who", "MK"});
}

}  // namespace

TEST_CASE("export and import by command: another log holds the same, one undo empties it again") {
    const Program program;
    type_log(program);
    for (const std::string format : {"csv", "json"}) {
        const std::string folder = (program.folder() / format).string();
        const auto told = program.tells({"log", "export", "--out", folder, "--format", format});
        CHECK(told.at("records").get<int>() > 20);
        CHECK(told.at("files").size() > 35);
        CHECK(std::filesystem::exists(folder + "/export.json"));
        const std::string other = (program.folder() / (format + ".tonebath")).string();
        const Ended in = program.start({"--log", other, "log", "import", folder});
        INFO(in.err);
        REQUIRE(in.code == 0);
        CHECK_THAT(in.out, Contains("brought in"));
        const Ended lot = program.start({"--log", other, "lot", "show", "LS-2", "--json"});
        CHECK(nlohmann::json::parse(lot.out).at(0).at("note") == "=1+1");
        const Ended again = program.start({"--log", other, "log", "import", folder});
        CHECK(again.code == 1);
        CHECK_THAT(again.err, Contains("already holds records") && Contains("--log"));
        REQUIRE(program.start({"--log", other, "undo"}).code == 0);
        CHECK(program.start({"--log", other, "lot", "list"}).out == "No lot yet.\n");
    }
    CHECK(program.refuses({"log", "export", "--out", (program.folder() / "csv").string()}).at("refused") == "export.folder_not_empty");
    CHECK(program.start({"log", "export", "--out", "x", "--format", "xml"}).code == 2);
    // A cell that is wrong is told with its line.
    const std::filesystem::path lot = program.folder() / "csv" / "lot.csv";
    std::string text = read_file(lot);
    text.replace(text.find(",100,5,"), 7, ",100 g,5,");
    write_file_whole(lot, text);
    std::filesystem::remove(program.folder() / "csv" / "export.json");
    const Ended bad = program.start({"--log", (program.folder() / "third.tonebath").string(), "log", "import", (program.folder() / "csv").string()});
    CHECK(bad.code == 1);
    CHECK_THAT(bad.err, Contains("lot.csv line 2, bought_amount 100 g: that is not a number."));
}

TEST_CASE("schemas by command, and a record pack written and looked at again") {
    const Program program;
    type_log(program);
    CHECK(program.tells({"log", "schema"}).at("lot.schema.json").at("type") == "array");
    const std::filesystem::path folder = program.folder() / "pack";
    CHECK(program.refuses({"record-pack", "--from", "1 Jan 2020", "--to", "31 Jan 2020", "--out", folder.string()}).at("refused") == "pack.nothing");
    CHECK(program.refuses({"record-pack", "--from", "31 Jan 2020", "--to", "1 Jan 2020", "--out", folder.string()}).at("refused") == "period.backwards");
    CHECK(program.refuses({"record-pack", "--from", "soon", "--out", folder.string()}).at("refused") == "period.not_a_day");
    CHECK(program.refuses({"record-pack", "--out", folder.string()}).at("refused") == "form.missing");
    CHECK_FALSE(std::filesystem::exists(folder));
    const auto pack = program.tells({"record-pack", "--from", "yesterday", "--out", folder.string()});
    CHECK(pack.at("files").size() > 35);
    CHECK(program.tells({"record-pack", "check", folder.string()}).at("findings").empty());
    write_file_whole(folder / "bath.csv", read_file(folder / "bath.csv") + "x");
    std::filesystem::remove(folder / "stone.csv");
    write_file_whole(folder / "added.txt", "x");
    const Ended spoiled = program.on_log({"record-pack", "check", folder.string(), "--json"});
    CHECK(spoiled.code == 1);
    const auto findings = nlohmann::json::parse(spoiled.out).at("findings");
    REQUIRE(findings.size() == 3);
    CHECK_THAT(findings.dump(), Contains("bath.csv is not as it was written.") && Contains("stone.csv is not there.") && Contains("added.txt does not belong"));
    CHECK(program.refuses({"record-pack", "check", program.folder().string()}).at("refused") == "pack.no_manifest");
}
