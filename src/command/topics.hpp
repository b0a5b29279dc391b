// Commands that are no single action: one file each.
#pragma once

#include "command/session.hpp"

#include <functional>

namespace CLI {
class App;
}

namespace tonebath::command {

void add_demo_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_log_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_find_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_undo_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_today_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_plan_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
// plan-batch, plan-bath, grade.
void add_planning_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
// matched, two-metals, rescue.
void add_piece_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_spread_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_repeat_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_story_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_explain_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_learned_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_priors_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
// card, door-card, label.
void add_paper_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
// class sheet, class people.
void add_class_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_stones_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
// coats plan, now, bottles, seals.
void add_coats_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
// check lists, check show, check runs.
void add_check_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
// chemical on-bench, register, overdue; disposal balance, owed; lot balance, ageing.
void add_desk_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
// work minutes, mistakes, season, rates; class kit.
void add_work_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);
void add_cooling_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen);

}  // namespace tonebath::command
