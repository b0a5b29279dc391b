// The bottles on the bench and the waste: what stands out, which sheets are overdue, what is owed, what does not add
// up.
#include "app/bench_list.hpp"
#include "app/chemicals.hpp"
#include "app/learning.hpp"
#include "app/lot_ageing.hpp"
#include "app/near_misses.hpp"
#include "app/pairs.hpp"
#include "app/resolve.hpp"
#include "app/waste.hpp"
#include "base/text.hpp"
#include "command/action_commands.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

Json moment_of(const std::optional<Stamp>& at) {
    return at ? Json(command::json_of(*at)) : Json(nullptr);
}

Exit tell(const Session& session, const std::string& text, const Json& json) {
    if (session.style == Style::json) {
        print_json(json);
    } else {
        print(text);
    }
    return Exit::done;
}

Exit tell_out(const Session& session, app::Studio& studio) {
    const app::BenchList list = app::bench_list(studio);
    std::string text;
    Json things = Json::array();
    for (const app::BenchThing& thing : list.things) {
        text += fmt::format("{}, since {}{}\n", thing.words(), date_time_text(thing.since),
                            thing.unread ? "; counts as acid: its sheet is not read" : "");
        things.push_back({{"name", thing.name},
                          {"kind", thing.kind.name},
                          {"families", thing.kind.families},
                          {"since", command::json_of(thing.since)},
                          {"sheet_read", !thing.unread}});
    }
    Json pairs = Json::array();
    bool stop = false;
    for (const app::BenchPair& pair : list.pairs) {
        stop = stop || pair.level == CheckLevel::stop;
        text += fmt::format("{}: {}\n  {}\n", word_of(pair.level), pair.words(), pair.from());
        pairs.push_back({{"level", word_of(pair.level)},
                         {"one", pair.one.name},
                         {"other", pair.other.name},
                         {"gives", pair.gives},
                         {"words", pair.words()},
                         {"as", pair.as},
                         {"source", pair.source},
                         {"trust", pair.trust}});
    }
    text += list.things.empty() ? "Nothing stands out.\n" : "";
    text += list.fault.empty() ? "" : list.fault + "\n";
    text += stop ? app::first_words() + "\n" : "The list of pairs is short; the sheets of the products decide.\n";
    return tell(session, text,
                {{"out", things},
                 {"pairs", pairs},
                 {"fault", list.fault},
                 {"first", stop ? app::first_words() : std::string()}});
}

Exit tell_register(const Session& session, app::Studio& studio, bool overdue_only) {
    const app::ChemicalRegister all = app::chemical_register(studio);
    std::string text;
    Json rows = Json::array();
    for (const app::ChemicalRow& row : all.rows) {
        if (overdue_only && row.overdue.empty()) {
            continue;
        }
        const Chemical& one = row.chemical;
        text += fmt::format("{}: counts as {}; {}{}\n", one.name, row.counts_as, row.state(),
                            row.overdue.empty() ? "" : "; overdue: " + row.overdue);
        Json statements = Json::array();
        for (const app::SheetStatement& statement : row.statements) {
            text += statement.meaning.empty() ? fmt::format("  {}\n", statement.code)
                                              : fmt::format("  {} {} ({}; {})\n", statement.code, statement.meaning,
                                                            statement.source, statement.trust);
            statements.push_back({{"code", statement.code},
                                  {"meaning", statement.meaning},
                                  {"source", statement.source},
                                  {"trust", statement.trust}});
        }
        rows.push_back({{"name", one.name},
                        {"counts_as", row.counts_as},
                        {"lot", row.lot},
                        {"opened", moment_of(one.opened_at)},
                        {"sheet", moment_of(one.sheet_at)},
                        {"read", moment_of(one.read_at)},
                        {"strength_percent", command::json_of(one.strength_percent)},
                        {"place", one.place},
                        {"locked", one.locked},
                        {"out_since", moment_of(one.on_bench_at)},
                        {"overdue", row.overdue},
                        {"statements", statements}});
    }
    text += !rows.empty() ? "" : overdue_only ? "No sheet is overdue.\n" : "No product is written down.\n";
    text += fmt::format("A sheet is overdue when it is not read, has no date, or is over {} months old ({}).\n",
                        all.sheet_months,
                        all.sheet_months_own ? "the studio's own" : "ours, until the studio sets its own");
    return tell(session, text,
                {{"products", rows},
                 {"sheet_months", all.sheet_months},
                 {"sheet_months_own", all.sheet_months_own},
                 {"fault", all.fault}});
}

Exit tell_waste(const Session& session, app::Studio& studio) {
    const app::WasteBalance all = app::waste_balance(studio);
    Json owed = Json::array();
    for (const app::OwedBath& bath : all.owed) {
        owed.push_back({{"bath", bath.number},
                        {"ended", command::json_of(bath.ended)},
                        {"ml", command::json_of(bath.ml)},
                        {"kept_back", bath.kept_back}});
    }
    Json months = Json::array();
    std::string text = joined(all.words, "\n") + "\n";
    for (const app::WasteMonth& month : app::waste_months(studio)) {
        text += fmt::format("{}-{:02}: {}\n", month.year, month.month, month.words);
        months.push_back({{"month", fmt::format("{}-{:02}", month.year, month.month)},
                          {"kg", command::json_of(month.kg)},
                          {"from_litres_kg", command::json_of(month.from_volume_kg)},
                          {"without_mass", month.without},
                          {"limit_kg", command::json_of(month.limit_kg)},
                          {"rule", month.rule},
                          {"over", month.over()},
                          {"words", month.words}});
    }
    return tell(session, text + app::waste_decides() + "\n",
                {{"baths", all.baths},
                 {"baths_without_water", all.unknown_baths},
                 {"made_ml", command::json_of(all.made_ml)},
                 {"found_lost_ml", command::json_of(all.found_lost_ml)},
                 {"disposals", all.disposals},
                 {"gone_ml", command::json_of(all.gone_ml)},
                 {"owed_or_unlogged_ml", command::json_of(all.open_ml)},
                 {"in_use", all.in_use},
                 {"in_use_ml", command::json_of(all.in_use_ml)},
                 {"owed", owed},
                 {"owed_ml", command::json_of(all.owed_ml)},
                 {"unlogged_ml", command::json_of(all.unlogged_ml)},
                 {"words", all.words},
                 {"months", months},
                 {"decides", app::waste_decides()}});
}

Exit tell_owed(const Session& session, app::Studio& studio) {
    std::string text;
    Json rows = Json::array();
    for (const app::OwedBath& bath : app::owed_baths(studio)) {
        text += fmt::format("bath {}: ended {}, {}{}\n", bath.number, date_text(bath.ended),
                            bath.ml ? fixed_text(*bath.ml, 0) + " ml" : "volume not known",
                            bath.kept_back ? " kept back" : "");
        rows.push_back({{"bath", bath.number},
                        {"ended", command::json_of(bath.ended)},
                        {"ml", command::json_of(bath.ml)},
                        {"kept_back", bath.kept_back}});
    }
    return tell(session,
                (text.empty() ? "Every bath that ended is named by a disposal.\n" : text) + app::waste_decides() + "\n",
                {{"owed", rows}, {"decides", app::waste_decides()}});
}

Exit tell_lots(const Session& session, app::Studio& studio, const std::string& number) {
    std::vector<app::LotBalance> balances;
    if (number.empty()) {
        balances = app::lot_balances(studio);
    } else {
        const Result<Lot> lot = app::resolve<Lot>(studio, "Lot", number);
        if (!lot) {
            return say_refusal(session, lot.error());
        }
        balances.push_back(app::lot_balance(studio, *lot));
    }
    std::string text;
    Json rows = Json::array();
    for (const app::LotBalance& one : balances) {
        text += one.lot + ": " + one.words + "\n";
        rows.push_back({{"lot", one.lot},
                        {"unit", word_of(one.unit)},
                        {"bought", command::json_of(one.bought)},
                        {"used", command::json_of(one.used)},
                        {"spoiled", command::json_of(one.spoiled)},
                        {"left", command::json_of(one.left)},
                        {"weighed", moment_of(one.weighed)},
                        {"unaccounted", command::json_of(one.unaccounted)},
                        {"scale_gives_or_takes", one.scale_err},
                        {"asks", one.asks()},
                        {"without_amount", one.unknown},
                        {"words", one.words}});
    }
    return tell(session, text.empty() ? "No lot is written down.\n" : text, {{"lots", rows}});
}

Exit tell_ageing(const Session& session, app::Studio& studio) {
    const auto learned = app::learn(studio);
    std::string text;
    Json rows = Json::array();
    for (const app::LotAgeing& lot : app::lot_ageing(studio, *learned)) {
        text += fmt::format("{}, {}, {}: {}\n", lot.lot, lot.kind, lot.place.empty() ? "place not known" : lot.place,
                            lot.words);
        Json happened = Json::array();
        for (const app::LotHappening& one : lot.happened) {
            happened.push_back({{"at", command::json_of(one.at)}, {"words", one.words}});
        }
        Json speeds = Json::array();
        for (const app::LotSpeed& one : lot.speeds) {
            speeds.push_back({{"bath", one.bath},
                              {"at", command::json_of(one.at)},
                              {"speed", command::json_of(one.speed)},
                              {"low", command::json_of(one.low)},
                              {"high", command::json_of(one.high)}});
        }
        rows.push_back({{"lot", lot.lot},
                        {"kind", lot.kind},
                        {"place", lot.place},
                        {"opened", moment_of(lot.opened)},
                        {"happened", happened},
                        {"speeds", speeds},
                        {"half_weeks", command::json_of(lot.half_weeks)},
                        {"fresh_speed", command::json_of(lot.fresh_speed)},
                        {"falls_from", moment_of(lot.falls_from)},
                        {"falls_since", lot.falls_since},
                        {"useless", moment_of(lot.useless)},
                        {"useless_from", moment_of(lot.useless_from)},
                        {"useless_to", moment_of(lot.useless_to)},
                        {"words", lot.words}});
    }
    return tell(session, text.empty() ? "No lot of a sulfide is in use.\n" : text, {{"lots", rows}});
}

}  // namespace

void add_desk_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    const auto plain = [&](const std::string& noun, const char* verb, const char* words,
                           Exit (*work)(const Session&, app::Studio&)) {
        group_of(parser, noun).add_subcommand(verb, words)->callback([&session, &chosen, work] {
            chosen = [&session, work] {
                return with_studio(session, Use::reads, [&](app::Studio& studio) { return work(session, studio); });
            };
        });
    };
    plain("chemical", "on-bench",
          "What stands out now, baths in use and a coating with it, and what of it must never meet", tell_out);
    plain("chemical", "register", "Every product in the studio with what its sheet says",
          [](const Session& s, app::Studio& studio) { return tell_register(s, studio, false); });
    plain("chemical", "overdue", "Products whose safety sheet is not read, has no date, or is old",
          [](const Session& s, app::Studio& studio) { return tell_register(s, studio, true); });
    plain("disposal", "balance",
          "What was made, what went, what is owed or unlogged; mass by month against the limit on file", tell_waste);
    plain("disposal", "owed", "Baths that ended and that no disposal names", tell_owed);
    plain("lot", "ageing",
          "How opened lots age: what happened to them, how fast their baths were, when they are useless", tell_ageing);
    const auto number = std::make_shared<std::string>();
    CLI::App* balance =
        group_of(parser, "lot")
            .add_subcommand("balance", "Bought, used, spoiled, left by the scale: what is unaccounted for");
    balance->add_option("number", *number, "Lot; without it every lot");
    balance->callback([&session, &chosen, number] {
        chosen = [&session, number] {
            return with_studio(session, Use::reads,
                               [&](app::Studio& studio) { return tell_lots(session, studio, *number); });
        };
    });
}

}  // namespace tonebath::command
