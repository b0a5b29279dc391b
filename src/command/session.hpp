// What all commands share: the options before the command, the open studio, and how results are said.
#pragma once

#include "app/form.hpp"
#include "app/records.hpp"
#include "app/studio.hpp"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>

namespace tonebath::command {

enum class Exit { done = 0, refused = 1, usage = 2, environment = 3 };

enum class Style { text, json, csv };

struct Session {
    std::filesystem::path log;         // --log, else the usual place
    std::filesystem::path data;
    std::filesystem::path checklists;
    bool demo = false;                 // --demo: the invented studio, made afresh in memory of nothing else
    std::string who;                   // --who: at the bench for this command
    Style style = Style::text;
    UnitChoice units;

    // Opens the log; `create` makes it when it is not there. A refusal is said on stderr and gives nullptr.
    [[nodiscard]] std::unique_ptr<app::Studio> open(bool create) const;
};

// Says what an action did, or why it was refused, in the session's style.
[[nodiscard]] Exit say(const Session& session, const Result<app::Outcome>& answer);
[[nodiscard]] Exit say_refusal(const Session& session, const Refusal& refusal);
[[nodiscard]] Exit say_table(const Session& session, const app::RecordTable& table);
void print(const std::string& text);
// Figures with their names, in order; numbers unknown to JSON are null.
using Figures = std::vector<std::pair<std::string, app::Cell>>;
[[nodiscard]] std::string figures_json(const Figures& figures);

}  // namespace tonebath::command
