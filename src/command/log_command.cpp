#include "app/log_care.hpp"
#include "command/action_commands.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>

namespace tonebath::command {

namespace {

Exit check(const Session& session, app::Studio& studio) {
    const auto faults = app::log_faults(studio);
    app::RecordTable table{.noun = "fault", .columns = {{.name = "fault"}}};
    for (const std::string& fault : faults) {
        table.rows.push_back({fault});
    }
    if (faults.empty() && session.style == Style::text) {
        print(
            fmt::format("{} is whole: every page and every reference was looked at.\n", studio.options().log.string()));
        return Exit::done;
    }
    static_cast<void>(say_table(session, table));
    return faults.empty() ? Exit::done : Exit::refused;
}

Exit back_up(const Session& session, app::Studio& studio) {
    const auto file = app::back_up(studio);
    return file ? say(session, app::Outcome{.said = "Backup written and read back: " + file->string()})
                : say_refusal(session, file.error());
}

}  // namespace

void add_log_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* log = &group_of(parser, "log", "Look after the log: check, changes, backup, restore, undo");
    log->add_subcommand("where", "The file of the log")->callback([&] {
        chosen = [&session] {
            print(session.log.string() + "\n");
            return Exit::done;
        };
    });
    log->add_subcommand("check", "Is every page and every reference whole?")->callback([&] {
        chosen = [&session] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return check(session, studio); });
        };
    });
    log->add_subcommand("backup", "Copy the log into its folder of dated backups, and read the copy back")
        ->callback([&] {
            chosen = [&session] {
                return with_studio(session, Use::reads, [&](app::Studio& studio) { return back_up(session, studio); });
            };
        });
    log->add_subcommand("backups", "The dated backups and what they hold")->callback([&] {
        chosen = [&session] { return say_table(session, app::backup_list(session.log)); };
    });

    const auto file = std::make_shared<std::filesystem::path>();
    CLI::App* restore =
        log->add_subcommand("restore", "Put a backup in the place of the log; what stood there is kept");
    restore->add_option("backup", *file, "The backup's file")->required();
    restore->callback([&session, &chosen, file] {
        chosen = [&session, file] {
            const auto kept = app::restore_backup(session.log, *file);
            if (!kept) {
                return say_refusal(session, kept.error());
            }
            return say(session,
                       app::Outcome{.said = kept->empty() ? "The backup is now the log."
                                                          : "The backup is now the log; the one before is kept as " +
                                                                *kept + "."});
        };
    });

    const auto limit = std::make_shared<std::size_t>(50);
    const auto record = std::make_shared<std::string>();
    CLI::App* changes = log->add_subcommand("changes", "Who changed what, when, with what stood before and after");
    changes->add_option("--limit", *limit, "At most so many changes");
    changes->add_option("--record", *record, "Only those of this record, by its id");
    changes->callback([&session, &chosen, limit, record] {
        chosen = [&session, limit, record] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) {
                return say_table(session, app::log_changes(studio, *limit, *record));
            });
        };
    });
}

}  // namespace tonebath::command
