// Every row of the table of actions is a command with every field as an option; every command tells what it does.
#include "app/actions.hpp"
#include "base/text.hpp"
#include "command/program.hpp"
#include "model/nouns.hpp"

#include <catch2/catch.hpp>

#include <sstream>

using namespace tonebath;
using namespace tonebath::test;

namespace {

std::vector<std::string> command_of(const app::ActionSpec& action) {
    return split(action.id, '.');
}

// Names below "Subcommands:" of a help.
std::vector<std::string> commands_in(const std::string& help) {
    std::vector<std::string> names;
    std::istringstream lines(help.substr(std::min(help.size(), help.find("Subcommands:"))));
    std::string line;
    std::getline(lines, line);
    while (std::getline(lines, line)) {
        if (line.size() > 2 && line.starts_with("  ") && line[2] != ' ') {
            names.push_back(line.substr(2, line.find(' ', 2) - 2));
        }
    }
    return names;
}

std::size_t look_at_help(const Program& program, const std::vector<std::string>& command) {
    std::vector<std::string> words = command;
    words.emplace_back("--help");
    const Ended ended = program.start(words);
    INFO(joined(words, " ") << "\n" << ended.out << ended.err);
    CHECK(ended.code == 0);
    CHECK(ended.err.empty());
    CHECK(ended.out.size() > 40);
    std::size_t seen = 1;
    for (const std::string& name : commands_in(ended.out)) {
        std::vector<std::string> below = command;
        below.push_back(name);
        seen += look_at_help(program, below);
    }
    return seen;
}

}  // namespace

TEST_CASE("Every action is a command, with every field as an option") {
    const Program program;
    for (const app::ActionSpec& action : app::actions()) {
        std::vector<std::string> words = command_of(action);
        words.emplace_back("--help");
        const Ended help = program.start(words);
        INFO(action.id << "\n" << help.out << help.err);
        REQUIRE(help.code == 0);
        CHECK(help.out.find(action.label) != std::string::npos);
        for (const app::FieldSpec& field : action.fields) {
            INFO(field.key);
            CHECK(help.out.find("--" + field.key + " ") != std::string::npos);
            CHECK(help.out.find(field.label) != std::string::npos);
        }
    }
}

TEST_CASE("Every field of every action reaches the action as it was typed") {
    const Program program;
    program.does({"lot", "add", "--number", "LS-2"});
    // Nothing of this is true: the action refuses some field (1), and never are the words of the command at fault (2).
    for (const app::ActionSpec& action : app::actions()) {
        if (action.fields.empty()) {
            continue;
        }
        std::vector<std::string> words = command_of(action);
        for (const app::FieldSpec& field : action.fields) {
            words.push_back("--" + field.key);
            words.emplace_back("\xc2\xbfqu\xc3\xa9?");
            if (field.repeated) {
                words.push_back("--" + field.key);
                words.emplace_back("-7");
            }
        }
        const Ended ended = program.on_log(words);
        INFO(action.id << "\n" << ended.out << ended.err);
        CHECK((ended.code == 0 || ended.code == 1));
        CHECK(ended.err.empty() == (ended.code == 0));
    }
}

TEST_CASE("Records of every noun are listed, each where its actions are") {
    const Program program;
    program.does({"lot", "add", "--number", "LS-2"});
    std::size_t lists = 0;
    for (const std::string& name : commands_in(program.start({"--help"}).out)) {
        const std::vector<std::string> verbs = commands_in(program.start({name, "--help"}).out);
        if (std::find(verbs.begin(), verbs.end(), "list") != verbs.end()) {
            ++lists;
            CHECK(program.tells({name, "list"}).is_array());
            program.refuses({name, "show", "no such number"});
        }
    }
    CHECK(lists == std::tuple_size_v<AllNouns>);
    for (const char* noun : {"bath", "strip", "dip", "judgement", "target", "scale", "order", "check-run"}) {
        INFO(noun);
        const std::vector<std::string> verbs = commands_in(program.start({noun, "--help"}).out);
        CHECK(std::find(verbs.begin(), verbs.end(), "list") != verbs.end());
        CHECK(verbs.size() >= 2);
    }
    CHECK(program.tells({"lot", "show", "LS-2"}).at(0).at("number") == "LS-2");
    CHECK(program.does({"strip", "list"}) == "No test strip yet.\n");
}

TEST_CASE("Every command tells what it does") {
    const Program program;
    const std::size_t seen = look_at_help(program, {});
    CHECK(seen > app::actions().size() + 20);
}
