#include "command/command.hpp"

#include "base/places.hpp"
#include "base/version.hpp"
#include "command/action_commands.hpp"
#include "command/air_command.hpp"
#include "command/exchange_command.hpp"
#include "command/pairs_command.hpp"
#include "command/topics.hpp"
#include "command/tone_photo_command.hpp"

#include <CLI/CLI.hpp>

#include <cstdio>
#include <functional>
#include <string>

namespace tonebath::command {

namespace {

void add_shared_options(CLI::App& parser, Session& session) {
    CLI::Option* log = parser.add_option_function<std::string>(
        "--log",
        [&session](const std::string& file) {
            session.log = file;
            session.log_named = true;
        },
        "The log to use; without it the usual place");
    parser.add_flag("--demo", session.demo, "Use the invented demo studio, never your own log")->excludes(log);
    parser.add_option("--who", session.who, "Initials of who is at the bench, from now on");
    parser.add_flag_callback(
        "--pin", [&session] { session.pin = true; }, "With --who: reads their PIN from the terminal, unseen, or from the first line of the input");
    parser.add_flag_callback(
        "--json", [&session] { session.style = Style::json; }, "Answer in JSON");
    parser.add_flag_callback(
        "--csv", [&session] { session.style = Style::csv; }, "Lists as CSV");
    parser.add_flag_callback(
        "--fahrenheit", [&session] { session.units.temperature = UnitChoice::Temperature::fahrenheit; },
        "Bare temperatures are °F");
    parser.add_flag_callback(
        "--cups", [&session] { session.units.volume = UnitChoice::Volume::cups; }, "Bare volumes are US cups");
    parser.add_flag_callback(
        "--ounces", [&session] { session.units.mass = UnitChoice::Mass::ounces; }, "Bare masses are ounces");
}

}  // namespace

int run(int argc, char** argv) {
    const Places places = Places::of_program();
    Session session;
    session.log = places.log_file;
    if (!places.shared) {
        std::fputs(
            "tonebath: the folders data and checklists that belong to the program are not found. "
            "Install it again, or name their folder in TONEBATH_DATA.\n",
            stderr);
        return static_cast<int>(Exit::environment);
    }
    session.data = *places.shared / "data";
    session.checklists = *places.shared / "checklists";
    session.own_checklists = places.own_checklists;

    CLI::App parser("Tonebath: repeatable patina tones for a jewellery bench. Without a command it opens its window.",
                    "tonebath");
    parser.set_version_flag("--version", "tonebath " + std::string(version()));
    parser.require_subcommand(1);
    parser.fallthrough();  // --json and the like may stand after the command too
    add_shared_options(parser, session);

    std::function<Exit()> chosen;
    add_today_command(parser, session, chosen);
    add_plan_command(parser, session, chosen);
    add_planning_commands(parser, session, chosen);
    add_piece_commands(parser, session, chosen);
    add_spread_command(parser, session, chosen);
    add_repeat_command(parser, session, chosen);
    add_story_command(parser, session, chosen);
    add_find_command(parser, session, chosen);
    add_undo_commands(parser, session, chosen);
    add_action_commands(parser, session, chosen);
    add_record_commands(parser, session, chosen);
    add_log_command(parser, session, chosen);
    add_exchange_commands(parser, session, chosen);
    add_explain_commands(parser, session, chosen);
    add_learned_command(parser, session, chosen);
    add_priors_command(parser, session, chosen);
    add_cooling_command(parser, session, chosen);
    add_tone_photo_commands(parser, session, chosen);
    add_air_command(parser, session, chosen);
    add_pairs_command(parser, session, chosen);
    add_check_commands(parser, session, chosen);
    add_paper_commands(parser, session, chosen);
    add_record_pack_command(parser, session, chosen);
    add_stones_command(parser, session, chosen);
    add_coats_command(parser, session, chosen);
    add_desk_commands(parser, session, chosen);
    add_class_commands(parser, session, chosen);
    add_work_commands(parser, session, chosen);
    add_demo_command(parser, session, chosen);
    describe_groups(parser);

    try {
        parser.parse(argc, argv);
    } catch (const CLI::ParseError& problem) {
        const int code = parser.exit(problem);
        return code == 0 ? 0 : static_cast<int>(Exit::usage);
    }
    return static_cast<int>(chosen());
}

}  // namespace tonebath::command
