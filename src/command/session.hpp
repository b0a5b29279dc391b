// What all commands share: the options before the command, the open studio, and how results are said.
#pragma once

#include "app/form.hpp"
#include "app/records.hpp"
#include "app/studio.hpp"

#include <filesystem>
#include <functional>
#include <string>

namespace tonebath::command {

enum class Exit { done = 0, refused = 1, usage = 2, environment = 3 };

enum class Style { text, json, csv };

// What a command does to the log. Reading makes a log only in the usual place, so that a name typed wrong is refused; it may
// still write what is kept beside the records, or take a step back. Reading alone writes nothing at all: a long log is then not
// checked from end to end first.
enum class Use { reads, reads_alone, writes };

struct Session {
    std::filesystem::path log;  // --log, else the usual place
    bool log_named = false;     // by --log
    std::filesystem::path data;
    std::filesystem::path checklists;
    std::filesystem::path own_checklists;  // the studio's own; the demo has none
    bool demo = false;  // --demo: the invented studio in a file of its own
    std::string who;    // --who: at the bench from this command on
    bool pin = false;   // --pin: their PIN is read from the terminal without echo, else from the first line of stdin
    Style style = Style::text;
    UnitChoice units;
};

// Opens the log, or says why not and returns Exit::environment; then does `work`. Undo reaches back over the commands
// of the last twelve hours.
[[nodiscard]] Exit with_studio(const Session& session, Use use, const std::function<Exit(app::Studio&)>& work);

// Says what an action did, or why it was refused, in the session's style: results on stdout, refusals on stderr (with
// --json on stdout as well).
[[nodiscard]] Exit say(const Session& session, const Result<app::Outcome>& answer);
[[nodiscard]] Exit say_refusal(const Session& session, const Refusal& refusal);
[[nodiscard]] Exit say_table(const Session& session, const app::RecordTable& table);
void print(const std::string& text);

}  // namespace tonebath::command
