#include "app/join.hpp"
#include "app/log_care.hpp"
#include "command/action_commands.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

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

Exit rehearse(const Session& session, app::Studio& studio, const std::filesystem::path& file) {
    const auto done = app::rehearse_restore(studio, file);
    if (!done) {
        return say_refusal(session, done.error());
    }
    if (session.style == Style::json) {
        print_json({{"sound", done->sound},
                    {"file", done->file.string()},
                    {"said", done->said},
                    {"faults", done->faults},
                    {"tables", nlohmann::ordered_json::parse(app::as_json(done->tables))}});
    } else if (session.style == Style::csv) {
        print(app::as_csv(done->tables));
    } else {
        print(done->said + "\n" + app::as_text(done->tables));
    }
    return done->sound ? Exit::done : Exit::refused;
}

// Looks first; joins only where it was said.
Exit join(const Session& session, app::Studio& studio, const app::JoinAsk& ask, bool yes) {
    const auto news = yes ? app::join_log(studio, ask) : app::look_at_join(studio, ask);
    if (!news) {
        return say_refusal(session, news.error());
    }
    if (session.style == Style::json) {
        print_json({{"written", news->written},
                    {"nothing_new", news->nothing},
                    {"said", news->said},
                    {"lines", news->lines},
                    {"counts", nlohmann::ordered_json::parse(app::as_json(news->counts))},
                    {"clashes", nlohmann::ordered_json::parse(app::as_json(news->clashes))},
                    {"clock", {{"known", news->clock}, {"other_behind_s", news->clock_s}}},
                    {"our_mark", news->our_mark},
                    {"their_mark", news->their_mark},
                    {"changes_of_its_log", news->changes},
                    {"form", news->form}});
        return Exit::done;
    }
    if (session.style == Style::csv) {
        return say_table(session, news->counts);
    }
    print(news->said + "\n");
    for (const std::string& line : news->lines) {
        print("  " + line + "\n");
    }
    print(app::as_text(news->counts));
    if (!yes && !news->nothing) {
        print("Nothing is written yet. Once more with --yes joins it; one undo takes it back.\n");
    }
    return Exit::done;
}

Exit mark(const Session& session, app::Studio& studio, const std::string& typed) {
    if (!typed.empty()) {
        if (const auto set = app::set_bench_mark(studio, typed); !set) {
            return say_refusal(session, set.error());
        }
    }
    const std::string now = app::bench_mark(studio);
    return say(session, app::Outcome{.said = now.empty() ? "This bench has no mark: its numbers stay as they are in a join." : "The mark of this bench is " + now + "."});
}

void add_join(CLI::App& log, const Session& session, std::function<Exit()>& chosen) {
    struct Typed {
        app::JoinAsk ask;
        bool yes = false;
    };
    const auto typed = std::make_shared<Typed>();
    CLI::App* command = log.add_subcommand("join", "Join the log of another bench: says what it would do; with --yes does it, in one step");
    command->add_option("other", typed->ask.file, "The other bench's log; it is copied aside and never touched")->required();
    command->add_option("--mark", typed->ask.mark, "Mark of the other bench, for numbers that are on both; empty = as its log says");
    command->add_option("--clock", typed->ask.clock, "How far its clock was behind: \"1 h\", \"-20 min\", \"0 s\"; empty = found from moments that both logged");
    command->add_flag("--yes", typed->yes, "Join it");
    command->callback([&session, &chosen, typed] {
        chosen = [&session, typed] {
            return with_studio(session, typed->yes ? Use::writes : Use::reads, [&](app::Studio& studio) { return join(session, studio, typed->ask, typed->yes); });
        };
    });
    const auto text = std::make_shared<std::string>();
    CLI::App* own = log.add_subcommand("mark", "The mark of this bench: which bench a number is of, where both have it");
    own->add_option("mark", *text, "One to eight letters or digits; empty = say which it is");
    own->callback([&session, &chosen, text] {
        chosen = [&session, text] {
            return with_studio(session, text->empty() ? Use::reads : Use::writes, [&](app::Studio& studio) { return mark(session, studio, *text); });
        };
    });
}

}  // namespace

void add_log_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* log = &group_of(parser, "log", "Look after the log: check, changes, backup, rehearse, restore, join another bench's");
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

    const auto copy = std::make_shared<std::filesystem::path>();
    CLI::App* rehearsal = log->add_subcommand("rehearse", "Put a backup in place aside, open it, and compare every table with the log");
    rehearsal->add_option("backup", *copy, "The backup's file; without it the newest");
    rehearsal->callback([&session, &chosen, copy] {
        chosen = [&session, copy] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return rehearse(session, studio, *copy); });
        };
    });
    add_join(*log, session, chosen);

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
