// A record pack by command: written, and looked at again.
#include "command/exchange_command.hpp"

#include "app/paper/record_pack.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "command/json_text.hpp"
#include "command/progress.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

struct Asked {
    std::string from, to, paper = "a4";
    std::filesystem::path out;
};

Exit write(const Session& session, app::Studio& studio, const Asked& asked) {
    if (asked.from.empty() || asked.out.empty()) {
        return say_refusal(session, Refusal{.code = "form.missing",
                                            .field = asked.from.empty() ? "From" : "Folder",
                                            .value = {},
                                            .message = "it is not filled in.",
                                            .remedy = "Type record-pack --from \"1 Jan 2026\" --to \"31 Mar 2026\" --out FOLDER.",
                                            .answers = {}});
    }
    const auto period = app::period_of(asked.from, asked.to, studio.now());
    if (!period) {
        return say_refusal(session, period.error());
    }
    Progress progress;
    const auto pack = app::write_record_pack(studio, *period, asked.out, *from_word<report::PaperSize>(asked.paper), progress.watch());
    if (!pack) {
        return say_refusal(session, pack.error());
    }
    if (session.style == Style::json) {
        Json files = Json::array();
        for (const app::PackFile& file : pack->files) {
            files.push_back({{"file", file.name}, {"bytes", file.bytes}, {"sha256", file.sha256}});
        }
        print_json({{"folder", pack->folder.string()}, {"from", json_of(pack->period.from)}, {"until", json_of(pack->period.until)},
                    {"records", pack->records}, {"gaps", pack->gaps}, {"files", files}});
        return Exit::done;
    }
    std::string text = fmt::format("Record pack {} in {}: {}, {}.\n", pack->period.words(), pack->folder.string(),
                                   counted(static_cast<std::size_t>(pack->records), "record", "records"), counted(pack->files.size(), "file", "files"));
    text += pack->gaps.empty() ? "No gap that the program can see.\n" : "Its gaps, as they stand on page one:\n";
    for (const std::string& gap : pack->gaps) {
        text += "  " + gap + "\n";
    }
    print(text);
    return Exit::done;
}

Exit check(const Session& session, const std::filesystem::path& folder) {
    const auto checked = app::check_record_pack(folder);
    if (!checked) {
        return say_refusal(session, checked.error());
    }
    if (session.style == Style::json) {
        print_json({{"period", checked->period}, {"files", checked->files}, {"findings", checked->findings}});
    } else if (checked->findings.empty()) {
        print(fmt::format("{}: all {} are as they were written.\n", checked->period, counted(checked->files, "file", "files")));
    } else {
        print(joined(checked->findings, "\n") + "\n");
    }
    return checked->findings.empty() ? Exit::done : Exit::refused;
}

}  // namespace

void add_record_pack_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* pack = parser.add_subcommand("record-pack", "Checks, incidents, balances and disposals of a period, as paper, CSV and sums");
    const auto asked = std::make_shared<Asked>();
    pack->add_option("--from", asked->from, "First day: \"1 Jan 2026\"");
    pack->add_option("--to", asked->to, "Last day; without it today");
    pack->add_option("--out", asked->out, "The new folder to write");
    pack->add_option("--paper", asked->paper, "a4 or letter")->check(CLI::IsMember({"a4", "letter"}));
    pack->callback([&session, &chosen, asked, pack] {
        if (pack->get_subcommands().empty()) {
            chosen = [&session, asked] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return write(session, studio, *asked); }); };
        }
    });
    CLI::App* look = pack->add_subcommand("check", "Is every file of a pack as it was written?");
    const auto folder = std::make_shared<std::filesystem::path>();
    look->add_option("folder", *folder, "The folder of the pack")->required();
    look->callback([&session, &chosen, folder] { chosen = [&session, folder] { return check(session, *folder); }; });
}

}  // namespace tonebath::command
