#include "command/program.hpp"

#include <catch2/catch.hpp>

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <fstream>
#include <sstream>

extern char** environ;

namespace tonebath::test {

namespace fs = std::filesystem;

namespace {

std::string content(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream all;
    all << in.rdbuf();
    return all.str();
}

std::string command_line(const std::vector<std::string>& arguments) {
    std::string line = "tonebath";
    for (const std::string& one : arguments) {
        line += " '" + one.substr(0, 200) + "'";
    }
    return line;
}

// This process's environment, with the places of one test put in their stead.
std::vector<std::string> environment_in(const fs::path& folder) {
    std::vector<std::string> all;
    for (char** one = environ; *one != nullptr; ++one) {
        const std::string entry = *one;
        if (!entry.starts_with("HOME=") && !entry.starts_with("XDG_") && !entry.starts_with("TONEBATH_")) {
            all.push_back(entry);
        }
    }
    all.push_back("HOME=" + (folder / "home").string());
    all.push_back("XDG_DATA_HOME=" + (folder / "data").string());
    all.push_back("XDG_CONFIG_HOME=" + (folder / "config").string());
    all.push_back("XDG_STATE_HOME=" + (folder / "state").string());
    all.push_back(std::string("TONEBATH_DATA=") + TONEBATH_SOURCE_DIR);
    return all;
}

std::vector<char*> pointers(std::vector<std::string>& texts) {
    std::vector<char*> all;
    for (std::string& text : texts) {
        all.push_back(text.data());
    }
    all.push_back(nullptr);
    return all;
}

}  // namespace

Program::Program() {
    std::string name = (fs::temp_directory_path() / "tonebath-command-XXXXXX").string();
    REQUIRE(mkdtemp(name.data()) != nullptr);
    folder_ = name;
    fs::create_directory(folder_ / "home");
}

Program::~Program() {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
}

Ended Program::start(const std::vector<std::string>& arguments, const std::string& input) const {
    std::vector<std::string> words{TONEBATH_PROGRAM};
    words.insert(words.end(), arguments.begin(), arguments.end());
    std::vector<std::string> environment = environment_in(folder_);
    const fs::path out = folder_ / "stdout";
    const fs::path err = folder_ / "stderr";
    posix_spawn_file_actions_t files;
    posix_spawn_file_actions_init(&files);
    const fs::path in = folder_ / "stdin";
    std::ofstream(in, std::ios::binary) << input;
    posix_spawn_file_actions_addopen(&files, STDIN_FILENO, in.c_str(), O_RDONLY, 0);
    posix_spawn_file_actions_addopen(&files, STDOUT_FILENO, out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    posix_spawn_file_actions_addopen(&files, STDERR_FILENO, err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    pid_t child = 0;
    const int failed =
        posix_spawn(&child, TONEBATH_PROGRAM, &files, nullptr, pointers(words).data(), pointers(environment).data());
    posix_spawn_file_actions_destroy(&files);
    REQUIRE(failed == 0);
    int status = 0;
    REQUIRE(waitpid(child, &status, 0) == child);
    return {.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status),
            .out = content(out),
            .err = content(err)};
}

Ended Program::on_log(std::vector<std::string> arguments, const std::string& input) const {
    arguments.insert(arguments.begin(), {"--log", log().string()});
    return start(arguments, input);
}

std::string Program::does(const std::vector<std::string>& arguments) const {
    const Ended ended = on_log(arguments);
    INFO(command_line(arguments) << "\n" << ended.out << ended.err);
    REQUIRE(ended.code == 0);
    CHECK(ended.err.empty());
    return ended.out;
}

nlohmann::json Program::tells(std::vector<std::string> arguments) const {
    arguments.emplace_back("--json");
    const std::string out = does(arguments);
    INFO(command_line(arguments) << "\n" << out);
    REQUIRE(nlohmann::json::accept(out));
    return nlohmann::json::parse(out);
}

nlohmann::json Program::tells_of_demo(std::vector<std::string> arguments) const {
    arguments.insert(arguments.begin(), {"--demo", "--json"});
    const Ended ended = start(arguments);
    INFO(command_line(arguments) << "\n" << ended.out << ended.err);
    REQUIRE(ended.code == 0);
    REQUIRE(nlohmann::json::accept(ended.out));
    return nlohmann::json::parse(ended.out);
}

nlohmann::json Program::refuses(const std::vector<std::string>& arguments) const {
    const Ended plain = on_log(arguments);
    INFO(command_line(arguments) << "\n" << plain.out << plain.err);
    REQUIRE(plain.code == 1);
    CHECK(plain.out.empty());
    std::vector<std::string> with_json = arguments;
    with_json.emplace_back("--json");
    const Ended ended = on_log(with_json);
    CHECK(ended.code == 1);
    REQUIRE(nlohmann::json::accept(ended.out));
    nlohmann::json refusal = nlohmann::json::parse(ended.out);
    // The words on stderr name field, value and remedy.
    for (const char* part : {"field", "value", "message", "remedy"}) {
        CHECK(plain.err.find(refusal.at(part).get<std::string>()) != std::string::npos);
    }
    CHECK_FALSE(refusal.at("refused").get<std::string>().empty());
    CHECK_FALSE(refusal.at("message").get<std::string>().empty());
    CHECK_FALSE(refusal.at("remedy").get<std::string>().empty());
    return refusal;
}

void Program::mixes(const std::string& lot) const {
    does({"check", "confirm", "--list", "before_mixing", "--lot", lot, "--item", "acid_away: acid shelf, shut", "--item", "air_on: fan 3", "--item", "eyes_hands: worn, nitrile",
          "--item", "right_product: this lot, sheet of 2026", "--item", "eyewash: 8:50", "--item", "apron: worn", "--item", "done: now"});
}

void Program::checks_bath(const std::string& bath) const {
    does({"check", "confirm", "--list", "before_session", "--bath", bath, "--item", "acid_away: no pickle used", "--item", "air: tissue drifts away from me", "--item",
          "room: one", "--item", "eyes_hands: worn, nitrile", "--item", "knows: neighbour", "--item", "eyewash: 6 s", "--item", "go: now"});
}

}  // namespace tonebath::test
