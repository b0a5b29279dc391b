// A scripted bench session in a child process, and what it told through its pipe before it was killed.
#pragma once

#include "app/studio.hpp"

#include <cstdint>
#include <filesystem>
#include <map>
#include <optional>
#include <random>
#include <string>
#include <utility>
#include <vector>

namespace tonebath::test {

// A folder that goes when it is left.
struct Folder {
    Folder();
    ~Folder();
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    std::filesystem::path path;
};

// One action of the session. Boot clock in ms before and after it.
struct Step {
    std::string action;
    std::int64_t began_ms = 0;
    std::int64_t ended_ms = 0;
    std::map<std::string, std::string> made;
};

struct Session {
    std::vector<Step> confirmed;
    std::optional<Step> begun;   // told as begun, never as done
    bool in_write = false;       // a row of that step was written to the log's tables, and it was not confirmed
    bool was_killed = false;
    std::string trouble;         // a step that was refused, or could not be told

    // The dip that must still run: its drop is confirmed, and nothing that ends it was begun.
    [[nodiscard]] std::optional<std::string> must_run() const;
    // Boot clock before and after the last drop.
    [[nodiscard]] std::optional<std::pair<std::int64_t, std::int64_t>> last_drop_ms() const;
    // Dips that were dropped and whose drop was not taken back.
    [[nodiscard]] std::vector<std::string> confirmed_dips() const;
};

[[nodiscard]] app::StudioOptions session_options(const std::filesystem::path& file, bool create);
// A maker, a large lot and a vessel, for sessions without end.
void set_up_studio(app::Studio& studio);
// Runs the session on the log, kills it with SIGKILL at a random moment, and gives back what it told.
[[nodiscard]] Session run_and_kill(const std::filesystem::path& file, std::mt19937& random);

}  // namespace tonebath::test
