#include "command/action_commands.hpp"

#include "app/actions.hpp"
#include "app/answers.hpp"
#include "base/text.hpp"
#include "model/nouns.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include <algorithm>
#include <map>
#include <memory>
#include <vector>

namespace tonebath::command {

namespace {

// What was typed for one action. It lives as long as the parser, which writes into it.
struct Typed {
    std::map<std::string, std::vector<std::string>> fields;
    std::vector<std::string> kept;
    std::vector<std::string> answers;
    std::vector<std::string> from_memory;
};

std::string help_of(const app::FieldSpec& field) {
    std::string help = field.label;
    if (!field.help.empty()) {
        help += ". " + field.help;
    }
    if (!field.choices.empty()) {
        help += " [" + joined(field.choices, " | ") + "]";
    }
    return help;
}

// The noun as it stands in commands: that of the actions, without blanks.
std::string command_noun(std::string_view table) {
    if (table == Order::kTable) {
        return "order";
    }
    if (table == ToneScale::kTable) {
        return "scale";
    }
    if (table == LotWeighing::kTable) {
        return "weighing";
    }
    if (table == CheckRun::kTable) {
        return "check-run";  // "check show" shows a list
    }
    if (table == LocalRule::kTable) {
        return "rule";
    }
    if (table == OwnLimit::kTable) {
        return "limit";
    }
    if (table == OwnFigure::kTable) {
        return "usual";
    }
    if (table == ClassSession::kTable) {
        return "class";
    }
    std::string name(table);
    std::replace(name.begin(), name.end(), '_', '-');
    return name;
}

// A question is answered at most as often as it may come: one answer of the list for each refusal in turn.
Exit carry_out(const Session& session, app::Studio& studio, const app::ActionSpec& spec, const Typed& typed) {
    app::Form form{.action = spec.id};
    for (const auto& [key, values] : typed.fields) {
        if (!values.empty()) {
            form.typed[key] = joined(values, "\n");
        }
    }
    form.kept.insert(typed.kept.begin(), typed.kept.end());
    form.from_memory.insert(typed.from_memory.begin(), typed.from_memory.end());
    Result<app::Outcome> answer = studio.carry_out(form);
    for (const std::string& given : typed.answers) {
        if (answer) {
            break;
        }
        app::give_answer(form, answer.error(), given);
        answer = studio.carry_out(form);
    }
    return say(session, answer);
}

}  // namespace

CLI::App& group_of(CLI::App& parser, const std::string& noun, const std::string& words) {
    const auto known = parser.get_subcommands([&noun](const CLI::App* one) { return one->get_name() == noun; });
    CLI::App* group = known.empty() ? parser.add_subcommand(noun) : known.front();
    if (!words.empty()) {
        group->description(words);
    }
    group->require_subcommand(1);
    return *group;
}

void add_action_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    for (const app::ActionSpec& spec : app::actions()) {
        const std::size_t point = spec.id.find('.');
        CLI::App* command = point == std::string::npos
                                ? parser.add_subcommand(spec.id, spec.label + ". " + spec.help)
                                : group_of(parser, spec.id.substr(0, point))
                                      .add_subcommand(spec.id.substr(point + 1), spec.label + ". " + spec.help);
        const auto typed = std::make_shared<Typed>();
        for (const app::FieldSpec& field : spec.fields) {
            auto* option = command->add_option("--" + field.key, typed->fields[field.key], help_of(field));
            option->expected(1, field.repeated ? 10000 : 1)->allow_extra_args(field.repeated);
            option->type_name(field.required ? "TEXT, needed" : "TEXT");
        }
        command->add_option("--answer", typed->answers, "Answer to a question, in the words on offer");
        command->add_option("--keep", typed->kept, "Code of a question that is answered \"keep it\"");
        command->add_option("--from-memory", typed->from_memory,
                            "Fields that are typed from memory, by their option's name");
        command->callback([&session, &spec, &chosen, typed] {
            chosen = [&session, &spec, typed] {
                return with_studio(session, Use::writes,
                                   [&](app::Studio& studio) { return carry_out(session, studio, spec, *typed); });
            };
        });
    }
}

void add_record_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    for_each_noun([&]<class Noun>(const Noun&) {
        const std::string noun(noun_word(Noun::kTable));
        CLI::App& nouns = group_of(parser, command_noun(Noun::kTable));
        const auto ask = std::make_shared<app::RecordAsk>(app::RecordAsk{.noun = noun});
        const auto ids = std::make_shared<bool>(false);
        const auto run = [&session, ask, ids] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) {
                ask->numbers = !*ids;
                const auto table = app::records(studio, *ask);
                return table ? say_table(session, *table) : say_refusal(session, table.error());
            });
        };
        CLI::App* list = nouns.add_subcommand("list", fmt::format("Every {} in the log", noun));
        list->add_option("--limit", ask->limit, "At most so many rows");
        list->add_flag("--ids", *ids, "Ids instead of numbers and words");
        list->callback([&chosen, run] { chosen = run; });
        CLI::App* show = nouns.add_subcommand("show", fmt::format("One {}, by its number, name or id", noun));
        show->add_option("number", ask->number, "Number, name or id")->required();
        show->callback([&chosen, run] { chosen = run; });
    });
}

void describe_groups(CLI::App& parser) {
    for (CLI::App* group : parser.get_subcommands({})) {
        if (group->get_description().empty()) {
            std::vector<std::string> verbs;
            for (const CLI::App* verb : group->get_subcommands({})) {
                verbs.push_back(verb->get_name());
            }
            group->description(joined(verbs, ", "));
        }
    }
}

}  // namespace tonebath::command
