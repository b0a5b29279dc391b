// The log out and in as files that other programs read: log export, log import, log schema.
#include "command/exchange_command.hpp"

#include "app/exchange/export.hpp"
#include "app/exchange/import.hpp"
#include "app/exchange/new_folder.hpp"
#include "app/exchange/schema.hpp"
#include "app/paper/paper_forms.hpp"
#include "base/files.hpp"
#include "base/text.hpp"
#include "command/action_commands.hpp"
#include "command/json_text.hpp"
#include "command/progress.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <map>
#include <memory>
#include <system_error>

namespace tonebath::command {

namespace {

struct ExportAsked {
    std::filesystem::path out;
    std::string form = "csv";
};

Exit export_all(const Session& session, app::Studio& studio, const ExportAsked& asked) {
    Progress progress;
    const auto exported = app::export_log(studio, asked.out, app::file_form(asked.form), progress.watch());
    if (!exported) {
        return say_refusal(session, exported.error());
    }
    if (session.style == Style::json) {
        nlohmann::ordered_json files = nlohmann::ordered_json::array();
        for (const app::WrittenFile& file : exported->files) {
            files.push_back({{"file", file.name}, {"records", file.records}, {"sha256", file.sha256}});
        }
        print_json({{"folder", exported->folder.string()}, {"records", exported->records}, {"files", files}});
        return Exit::done;
    }
    print(fmt::format("{} in {} of {}.\n", counted(static_cast<std::size_t>(exported->records), "record", "records"),
                      counted(exported->files.size(), "file", "files"), exported->folder.string()));
    return Exit::done;
}

Exit import_all(const Session& session, app::Studio& studio, const std::filesystem::path& folder) {
    Progress progress;
    return say(session, app::import_log(studio, folder, progress.watch()));
}

Exit write_schemas(const Session& session, const std::filesystem::path& out) {
    const auto schemas = app::schemas();
    if (out.empty()) {
        nlohmann::ordered_json all;
        for (const auto& [name, text] : schemas) {
            all[name] = nlohmann::ordered_json::parse(text);
        }
        print_json(all);
        return Exit::done;
    }
    std::error_code trouble;
    std::filesystem::create_directories(out, trouble);
    try {
        for (const auto& [name, text] : schemas) {
            write_file_whole(out / name, text);
        }
    } catch (const FileError& problem) {
        return say_refusal(session, app::not_written(out, problem.what()));
    }
    return say(session, app::Outcome{.said = fmt::format("{} in {}.", counted(schemas.size(), "schema", "schemas"), out.string())});
}

// What was typed for a paper form, each field an option; lives as long as the parser.
using Typed = std::map<std::string, std::string>;

Exit carry_out(const Session& session, app::Studio& studio, const app::PaperForm& form, const Typed& typed) {
    app::Form filled{.action = form.words.id};
    for (const auto& [key, text] : typed) {
        if (!text.empty()) {
            filled.typed[key] = text;
        }
    }
    Progress progress;
    return say(session, app::carry_out_paper(studio, filled, progress.watch()));
}

// "notebook look" and "notebook import", made from the forms that the window shows.
void add_form(CLI::App& group, const std::string& name, std::string_view id, const Session& session, std::function<Exit()>& chosen) {
    const app::PaperForm* form = app::find_paper_form(id);
    CLI::App* command = group.add_subcommand(name, form->words.label + ". " + form->words.help);
    const auto typed = std::make_shared<Typed>();
    for (const app::FieldSpec& field : form->words.fields) {
        const std::string choices = field.choices.empty() ? "" : " [" + joined(field.choices, " | ") + "]";
        command->add_option("--" + field.key, (*typed)[field.key], field.label + choices)->type_name(field.required ? "TEXT, needed" : "TEXT");
    }
    command->callback([&session, &chosen, form, typed] {
        chosen = [&session, form, typed] {
            return with_studio(session, form->writes ? Use::writes : Use::reads, [&](app::Studio& studio) { return carry_out(session, studio, *form, *typed); });
        };
    });
}

}  // namespace

void add_exchange_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App& log = group_of(parser, "log");
    CLI::App* out = log.add_subcommand("export", "Write every record into files that other programs read, one for each noun");
    const auto asked = std::make_shared<ExportAsked>();
    out->add_option("--out", asked->out, "The new folder to write")->required();
    out->add_option("--format", asked->form, "csv or json")->check(CLI::IsMember({"csv", "json"}));
    out->callback([&session, &chosen, asked] {
        chosen = [&session, asked] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return export_all(session, studio, *asked); }); };
    });

    CLI::App* in = log.add_subcommand("import", "Bring an export into an empty log, in one step that undo takes back");
    const auto folder = std::make_shared<std::filesystem::path>();
    in->add_option("folder", *folder, "The folder that an export wrote")->required();
    in->callback([&session, &chosen, folder] {
        chosen = [&session, folder] { return with_studio(session, Use::writes, [&](app::Studio& studio) { return import_all(session, studio, *folder); }); };
    });

    CLI::App& notebook = group_of(parser, "notebook", "An old notebook, typed into a table: look at it, then bring it in");
    add_form(notebook, "look", "paper.look-at-notebook", session, chosen);
    add_form(notebook, "import", "paper.notebook", session, chosen);

    CLI::App* schema = log.add_subcommand("schema", "The JSON Schema of every noun, as an export in JSON has it");
    const auto place = std::make_shared<std::filesystem::path>();
    schema->add_option("--out", *place, "A folder to write them into, one file a noun");
    schema->callback([&session, &chosen, place] { chosen = [&session, place] { return write_schemas(session, *place); }; });
}

}  // namespace tonebath::command
