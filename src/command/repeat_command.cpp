#include "app/repeat.hpp"
#include "base/quantity_text.hpp"
#include "command/bath_choice.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

struct Asked {
    std::string number, bath, dose, dose_temp;
};

Json json_of_repeat(const app::RepeatOrder& order) {
    Json changes = Json::array();
    for (const app::RepeatChange& change : order.changes) {
        changes.push_back({{"what", change.what},
                           {"then", change.then.empty() ? Json(nullptr) : Json(change.then)},
                           {"now", change.now.empty() ? Json(nullptr) : Json(change.now)},
                           {"is", app::word_of(change.likeness)}});
    }
    Json strips = Json::array();
    for (const double time_s : order.strips_s) {
        strips.push_back(json_of(time_s));
    }
    return {{"number", order.number},
            {"pattern", order.pattern},
            {"pieces", order.pieces},
            {"tone", order.tone},
            {"target", order.target},
            {"bath", order.bath},
            {"dose_s", json_of(order.dose_s)},
            {"dose_from", order.dose_words},
            {"out_s", json_of(order.out_s)},
            {"low_s", json_of(order.low_s)},
            {"high_s", json_of(order.high_s)},
            {"no_time", order.no_time ? json_of(*order.no_time) : Json(nullptr)},
            {"then_s", json_of(order.then_s)},
            {"then", order.then_words},
            {"strips_s", strips},
            {"strips", order.strip_words},
            {"keep_piece", order.keep_piece},
            {"tolerance_tones", json_of(order.tolerance_steps)},
            {"keep", order.keep_words},
            {"changes", changes},
            {"cautions", order.cautions}};
}

Result<app::RepeatAsk> ask_of(app::Studio& studio, const Asked& asked) {
    app::RepeatAsk ask{.number = asked.number};
    if (!asked.bath.empty()) {
        const auto bath = bath_or_newest(studio, asked.bath);
        if (!bath) {
            return bath.error();
        }
        ask.bath_id = bath->id;
    }
    if (!asked.dose.empty()) {
        const auto dose = parse_duration("Dose", asked.dose);
        if (!dose) {
            return dose.error();
        }
        ask.dose_s = dose->seconds();
    }
    if (!asked.dose_temp.empty()) {
        const auto temp = parse_temperature("Temperature of the dose", asked.dose_temp, studio.units());
        if (!temp) {
            return temp.error();
        }
        ask.dose_temp_c = temp->celsius();
    }
    return ask;
}

Exit repeat(const Session& session, app::Studio& studio, const Asked& asked) {
    const auto ask = ask_of(studio, asked);
    if (!ask) {
        return say_refusal(session, ask.error());
    }
    const auto order = app::repeat_order(studio, *app::learn(studio), *ask);
    if (!order) {
        return say_refusal(session, order.error());
    }
    if (session.style == Style::json) {
        print_json(json_of_repeat(*order));
    } else {
        print(app::repeat_text(*order));
    }
    return Exit::done;
}

}  // namespace

void add_repeat_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command = parser.add_subcommand(
        "repeat", "An order wanted again: today's time for its dose, what changed since, strips to dip first");
    const auto asked = std::make_shared<Asked>();
    command->add_option("number", asked->number, "Number of the order, or of a piece")->required();
    command->add_option("--bath", asked->bath, "Its number; without it the newest in use");
    CLI::Option* dose = command->add_option("--dose", asked->dose, "A dose typed instead of the stored one: \"90 s\"");
    command->add_option("--dose-temp", asked->dose_temp, "The temperature that dose is told at; without it 60 °C")
        ->needs(dose);
    command->callback([&session, &chosen, asked] {
        chosen = [&session, asked] {
            return with_studio(session, Use::reads,
                               [&](app::Studio& studio) { return repeat(session, studio, *asked); });
        };
    });
}

}  // namespace tonebath::command
