#include "app/demo/demo.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>

namespace tonebath::command {

void add_demo_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command = parser.add_subcommand("demo", "Write the invented demo studio to a file of its own");
    const auto file = std::make_shared<std::filesystem::path>();
    command->add_option("--out", *file, "The new file; it must not exist yet")->required();
    command->callback([&session, &chosen, file] {
        chosen = [&session, file] {
            const auto made = app::write_demo(*file, session.data);
            if (!made) {
                return say_refusal(session, made.error());
            }
            return say(session, app::Outcome{.said = fmt::format("The invented studio is in {}. Open it with --log.",
                                                                 file->string())});
        };
    });
}

}  // namespace tonebath::command
