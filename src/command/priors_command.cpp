#include "app/usual.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

Json json_of_usual(const std::vector<app::UsualFigure>& figures) {
    Json all = Json::array();
    const auto maybe = [](const std::optional<double>& value) { return value ? Json(*value) : Json(nullptr); };
    for (const app::UsualFigure& one : figures) {
        all.push_back({{"figure", one.key},
                       {"name", one.name},
                       {"unit", one.unit},
                       {"middle", json_of(one.middle)},
                       {"low", maybe(one.low)},
                       {"high", maybe(one.high)},
                       {"source", one.source},
                       {"trust", one.trust},
                       {"own", one.own},
                       {"own_since", one.own_since ? Json(iso_text(*one.own_since)) : Json(nullptr)},
                       {"who", one.who},
                       {"published_middle", json_of(one.published_middle)},
                       {"published_low", maybe(one.published_low)},
                       {"published_high", maybe(one.published_high)}});
    }
    return {{"priors", all}};
}

std::string text_of_usual(const std::vector<app::UsualFigure>& figures) {
    std::string text = "What is usual, before strips speak. In brackets: 80 of 100. All on dose, seconds at 60 °C, fresh.\n";
    for (const app::UsualFigure& one : figures) {
        text += fmt::format("  {:<18} {}: {}\n", one.key, one.name, app::usual_text(one.middle, one.low, one.high, one.unit));
        text += fmt::format("    trust: {}; from: {}\n", one.trust, one.source);
        if (one.own) {
            text += fmt::format("    set {}{}, in place of: {}\n", one.own_since ? date_text(*one.own_since) : std::string("then"), one.who.empty() ? "" : " by " + one.who, app::usual_text(one.published_middle, one.published_low, one.published_high, one.unit));
        }
    }
    return text + "Put your own in the place of one: tonebath usual set --figure fade-open --middle 6 --low 3 --high 12\n";
}

}  // namespace

void add_priors_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command = parser.add_subcommand("priors", "What is usual before strips speak: each figure, its range, source and trust");
    command->callback([&session, &chosen] {
        chosen = [&session] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) {
                const std::vector<app::UsualFigure> figures = app::usual_figures(studio);
                if (session.style == Style::json) {
                    print_json(json_of_usual(figures));
                } else {
                    print(text_of_usual(figures));
                }
                return Exit::done;
            });
        };
    });
}

}  // namespace tonebath::command
