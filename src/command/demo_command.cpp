#include "app/demo/demo.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>

namespace tonebath::command {

void add_demo_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command = parser.add_subcommand("demo", "Write the invented demo studio to a file of its own");
    const auto file = std::make_shared<std::filesystem::path>();
    command->add_option("--out", *file, "The new file; it must not exist yet")->required();
    const auto travelling = std::make_shared<bool>(false);
    command->add_flag("--travelling-bench", *travelling, "The log of its second case instead, which went to classes: to be joined with the first");
    command->callback([&session, &chosen, file, travelling] {
        chosen = [&session, file, travelling] {
            const auto made = app::write_demo(*file, session.data, *travelling ? app::DemoBench::travelling : app::DemoBench::studio);
            if (!made) {
                return say_refusal(session, made.error());
            }
            return say(session, app::Outcome{.said = fmt::format("{} in {}. Open it with --log.",
                                                                 *travelling ? "The invented travelling bench is" : "The invented studio is", file->string())});
        };
    });
}

}  // namespace tonebath::command
