// The lists: "check lists" with how each stands, "check show" one of them as the page shows it, "check runs" what was
// answered.
#include "app/check_meant.hpp"
#include "app/studio.hpp"
#include "app/views/checks_view.hpp"
#include "base/text.hpp"
#include "command/action_commands.hpp"
#include "command/bath_choice.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

struct Asked {
    std::string list, bath, kind;
    int limit = 20;
};

constexpr std::string_view kMarks[] = {"open", "confirmed", "held", "passed over", "left", "no meter"};

std::string_view mark_word(app::ItemMark mark) {
    return kMarks[static_cast<std::size_t>(mark)];
}

Json told(const app::ChecksItem& item) {
    return {{"key", item.key},
            {"text", item.text},
            {"why", item.why},
            {"level", word_of(item.level)},
            {"state", mark_word(item.mark)},
            {"answer", item.answer},
            {"signed_by", item.signed_by},
            {"asks", item.asks},
            {"unit", item.unit},
            {"local_rule_decides", item.local},
            {"sources", item.sources}};
}

Exit show(const Session& session, app::Studio& studio, const Asked& asked) {
    app::ChecksChoice choice{.list = asked.list, .bath = asked.bath, .kind = {}};
    if (app::find_list(studio, asked.list) == nullptr) {
        std::vector<std::string> keys;
        for (const Checklist& list : studio.checklists().lists) {
            keys.push_back(list.key);
        }
        return say_refusal(session, Refusal{.code = "check.no_list", .field = "List", .value = shown(asked.list), .message = "there is no such list.",
                                            .remedy = "The lists are " + joined(keys, ", ") + ".", .answers = keys});
    }
    if (!asked.bath.empty()) {
        const auto bath = bath_or_newest(studio, asked.bath);
        if (!bath) {
            return say_refusal(session, bath.error());
        }
    }
    if (!asked.kind.empty()) {
        const FinishKind* kind = find_kind(studio.finish_kinds(), asked.kind);
        if (kind == nullptr) {
            return say_refusal(session, Refusal{.code = "kind.unknown", .field = "Kind of finish", .value = shown(asked.kind),
                                                .message = "that kind of finish is not known here.", .remedy = "\"not known\" counts as acid until its sheet is read.", .answers = {}});
        }
        choice.kind = kind->key;
    }
    const app::ChecksView view = app::checks_view(studio, choice);
    if (session.style == Style::json) {
        Json items = Json::array();
        for (const app::ChecksItem& item : view.items) {
            items.push_back(told(item));
        }
        print_json({{"list", view.key}, {"title", view.title}, {"when", view.when}, {"mode", view.mode}, {"about", view.about}, {"state", view.state},
                    {"asked", view.asked}, {"answered", view.answered}, {"stops", view.stops}, {"open_stops", view.open_stops}, {"done", view.done},
                    {"closing", view.closing}, {"items", items}, {"signed_by", view.signed_by}, {"ends_in", view.ends_in}, {"own_fault", view.fault}});
        return Exit::done;
    }
    std::string text = fmt::format("{}, {}: {} ({})\n  {}. {}\n", view.title, view.about, view.counts, view.mode, view.when, view.state);
    for (const app::ChecksItem& item : view.items) {
        text += fmt::format("  {:7} {:15} {}\n", word_of(item.level), item.key, item.text);
        text += item.answer.empty() ? (item.asks.empty() ? std::string() : fmt::format("  {:23} says: {}\n", "", item.asks))
                                    : fmt::format("  {:23} {}{}\n", "", item.answer, item.signed_by.empty() ? "" : ", " + item.signed_by);
        text += fmt::format("  {:23} {} ({})\n", "", item.why, item.sources);
    }
    text += fmt::format("  {}. {}\n", view.closing, view.ends_in);
    print(text + (view.fault.empty() ? "" : "  " + view.fault + "\n"));
    return Exit::done;
}

Exit lists(const Session& session, app::Studio& studio) {
    const app::ChecksView now = app::checks_view(studio);
    Json rows = Json::array();
    std::string text;
    for (const Checklist& list : studio.checklists().lists) {
        const app::ChecksView view = app::checks_view(studio, {.list = list.key, .bath = {}, .kind = {}});
        std::vector<std::string> gates;
        for (const Gate gate : list.gates) {
            gates.emplace_back(word_of(gate));
        }
        rows.push_back({{"list", list.key}, {"title", list.title}, {"version", list.version}, {"own", list.own}, {"when", list.when}, {"gates", gates},
                        {"items", list.items.size()}, {"about", view.about}, {"state", view.state}, {"wanted_now", list.key == now.key}});
        text += fmt::format("{} {:15} version {}{}: {}\n    holds back {}; {}: {}\n", list.key == now.key ? ">" : " ", list.key, list.version,
                            list.own ? ", the studio's own" : "", list.when, gates.empty() ? "nothing" : joined(gates, ", "), view.about, view.state);
    }
    if (session.style == Style::json) {
        print_json({{"lists", rows}, {"own_fault", now.fault}});
    } else {
        print(text + (now.fault.empty() ? "" : now.fault + "\n"));
    }
    return Exit::done;
}

Exit runs(const Session& session, app::Studio& studio, const Asked& asked) {
    Json rows = Json::array();
    std::string text;
    for (const app::CheckUse& each : app::check_uses(studio, static_cast<std::size_t>(asked.limit))) {
        const CheckRun& use = each.run;
        Json answered = Json::array();
        std::string lines;
        for (const CheckAnswer& answer : each.answers) {
            answered.push_back({{"key", answer.item_key}, {"text", answer.item_text}, {"level", answer.level}, {"state", word_of(answer.state)},
                                {"answer", answer.response}, {"reason", answer.reason}, {"at", json_of(answer.at)}, {"quick", answer.quick}});
            lines += fmt::format("    {} {:7} {}: {}{}\n", time_text(answer.at), answer.level, answer.item_text,
                                 answer.response.empty() ? std::string(word_of(answer.state)) : answer.response, answer.reason.empty() ? "" : ", " + answer.reason);
        }
        rows.push_back({{"list", use.list_key}, {"version", use.list_version}, {"at", json_of(use.at)}, {"closed", use.done_at ? Json(json_of(*use.done_at)) : Json()},
                        {"bath", each.bath}, {"kind", use.finish_kind}, {"who", each.who}, {"second", each.second}, {"withdrawn_by", use.withdrawn_by}, {"comment", use.comment}, {"answers", answered}});
        text += fmt::format("{} {}{}, {}{}{}\n{}{}", date_time_text(use.at), use.list_key, each.bath.empty() ? "" : ", bath " + each.bath, each.who,
                            use.done_at ? ", closed " + time_text(*use.done_at) : ", not closed", use.withdrawn_by.empty() ? "" : ", withdrawn by " + use.withdrawn_by,
                            lines, use.comment.empty() ? "" : "    comment: " + use.comment + "\n");
    }
    if (session.style == Style::json) {
        print_json(rows);
    } else {
        print(text.empty() ? "No list was answered yet.\n" : text);
    }
    return Exit::done;
}

}  // namespace

void add_check_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App& group = group_of(parser, "check", "The lists before, during and after the work: show, answer, pass over, comment");
    const auto asked = std::make_shared<Asked>();
    const auto run_with = [&session, &chosen](auto work) {
        return [&session, &chosen, work] {
            chosen = [&session, work] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return work(studio); }); };
        };
    };
    group.add_subcommand("lists", "Every list: when it is read, what it holds back, how it stands")
        ->callback(run_with([&session](app::Studio& studio) { return lists(session, studio); }));
    CLI::App* one = group.add_subcommand("show", "One list as it stands now, with reasons and sources");
    one->add_option("list", asked->list, "\"before_session\", or its title")->required();
    one->add_option("--bath", asked->bath, "For this bath; without it the newest in use");
    one->add_option("--kind", asked->kind, "For this kind of finish");
    one->callback(run_with([&session, asked](app::Studio& studio) { return show(session, studio, *asked); }));
    CLI::App* past = group.add_subcommand("runs", "What was answered, the newest first, in the words that were confirmed");
    past->add_option("--limit", asked->limit, "At most so many")->check(CLI::Range(1, 100000));
    past->callback(run_with([&session, asked](app::Studio& studio) { return runs(session, studio, *asked); }));
}

}  // namespace tonebath::command
