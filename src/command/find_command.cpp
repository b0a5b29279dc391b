#include "app/recall.hpp"
#include "base/text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>

namespace tonebath::command {

void add_find_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command = parser.add_subcommand("find", "Find by number, design, tone, stone, bottle, order or month");
    const auto words = std::make_shared<std::vector<std::string>>();
    command->add_option("words", *words, "What to look for")->required();
    command->callback([&session, &chosen, words] {
        chosen = [&session, words] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) {
                app::RecordTable table{.noun = "such record",
                                       .columns = {{.name = "noun"}, {.name = "number"}, {.name = "line"}}};
                for (const app::Hit& hit : app::find_anything(studio, joined(*words, " "), 200)) {
                    table.rows.push_back({hit.noun, hit.number, hit.line});
                }
                const bool found = !table.rows.empty();
                const Exit said = say_table(session, table);
                return found ? said : Exit::refused;
            });
        };
    });
}

void add_undo_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* undo = parser.add_subcommand("undo", "Take the last step back; it stays in the change log");
    undo->callback([&session, &chosen] {
        chosen = [&session] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return say(session, studio.undo()); });
        };
    });
    CLI::App* redo = parser.add_subcommand("redo", "Bring the step forward again that undo took back");
    redo->callback([&session, &chosen] {
        chosen = [&session] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return say(session, studio.redo()); });
        };
    });
}

}  // namespace tonebath::command
