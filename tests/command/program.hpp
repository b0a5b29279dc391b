// The built program, started with a command on a log and a home of its own.
#pragma once

#include <nlohmann/json.hpp>

#include <filesystem>
#include <string>
#include <vector>

namespace tonebath::test {

struct Ended {
    int code = -1;  // of exit; 128 and more: ended by a signal
    std::string out;
    std::string err;
};

// A folder that is gone at the end, with the home, the usual places and the logs of one test in it.
class Program {
public:
    Program();
    ~Program();
    Program(const Program&) = delete;
    Program& operator=(const Program&) = delete;

    // Runs `tonebath ARGUMENTS` to its end, with `input` to read.
    [[nodiscard]] Ended start(const std::vector<std::string>& arguments, const std::string& input = {}) const;
    // The same with --log on this test's own log.
    [[nodiscard]] Ended on_log(std::vector<std::string> arguments, const std::string& input = {}) const;
    // On the log; fails the test unless the exit code is 0. Gives stdout.
    std::string does(const std::vector<std::string>& arguments) const;
    // On the log with --json; exit code 0 and JSON that can be read.
    nlohmann::json tells(std::vector<std::string> arguments) const;
    // The same of the invented studio, which this test has for itself.
    nlohmann::json tells_of_demo(std::vector<std::string> arguments) const;
    // On the log; exit code 1, nothing on stdout, one refusal on stderr. Gives the refusal as --json tells it.
    nlohmann::json refuses(const std::vector<std::string>& arguments) const;
    // Answers the list before mixing, for a bath of this lot, and the list before each session of this bath.
    void mixes(const std::string& lot) const;
    void checks_bath(const std::string& bath) const;
    // Rows of "NOUN list".
    nlohmann::json rows(const std::string& noun) const { return tells({noun, "list"}); }

    [[nodiscard]] std::filesystem::path log() const { return folder_ / "test.tonebath"; }
    [[nodiscard]] std::filesystem::path folder() const { return folder_; }

private:
    std::filesystem::path folder_;
};

}  // namespace tonebath::test
