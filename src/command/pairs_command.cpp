#include "command/pairs_command.hpp"

#include "app/pairs.hpp"
#include "base/text.hpp"
#include "command/json_text.hpp"
#include "model/rules/rule.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

// A product that no kind is called after counts as one whose sheet was not read: as acid.
const FinishKind& kind_called(app::Studio& studio, const std::string& typed) {
    const FinishKind* kind = find_kind(studio.finish_kinds(), typed);
    return kind != nullptr ? *kind : studio.finish_kind("unknown");
}

Exit tell(const Session& session, app::Studio& studio, const std::string& one, const std::string& other) {
    const auto pairs = app::read_pairs(session.data / "incompatibilities.csv");
    if (!pairs) {
        return say_refusal(session, pairs.error());
    }
    const FinishKind& first = kind_called(studio, one);
    const FinishKind& second = kind_called(studio, other);
    const auto met = app::pairs_between(*pairs, first, second);
    if (session.style == Style::json) {
        Json rows = Json::array();
        for (const app::IncompatiblePair& pair : met) {
            rows.push_back({{"one", pair.one},
                            {"other", pair.other},
                            {"gives", pair.gives},
                            {"level", word_of(pair.level)},
                            {"source", pair.source},
                            {"trust", pair.trust}});
        }
        print_json({{"one", first.name},
                    {"one_families", first.families},
                    {"other", second.name},
                    {"other_families", second.families},
                    {"pairs", rows},
                    {"first", app::first_words()}});
        return Exit::done;
    }
    std::string text = fmt::format("{} ({}) and {} ({})\n", first.name, rules::in_a_row(first.families), second.name,
                                   rules::in_a_row(second.families));
    for (const app::IncompatiblePair& pair : met) {
        text += fmt::format("  {}: {} with {}: {} ({}; {})\n", word_of(pair.level), pair.one, pair.other, pair.gives,
                            pair.source, pair.trust);
    }
    if (met.empty()) {
        text += "  No pair of the list names these two. The list is short; their own sheets decide.\n";
    } else {
        text += "  " + app::first_words() + "\n";
    }
    print(text);
    return Exit::done;
}

}  // namespace

void add_pairs_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command = parser.add_subcommand(
        "never-meets", "What two products must not do together; one that is not known here counts as acid");
    const auto one = std::make_shared<std::string>();
    const auto other = std::make_shared<std::string>();
    command->add_option("--one", *one, "A kind of finish or product: \"liver of sulfur\"")->required();
    command->add_option("--other", *other, "The other: \"acid pickle\"")->required();
    command->callback([&session, &chosen, one, other] {
        chosen = [&session, one, other] {
            return with_studio(session, Use::reads,
                               [&](app::Studio& studio) { return tell(session, studio, *one, *other); });
        };
    });
}

}  // namespace tonebath::command
