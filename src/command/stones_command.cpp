#include "app/stones.hpp"

#include "app/resolve.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <iterator>
#include <memory>
#include <optional>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

struct Asked {
    std::string kind, finish, bottle, backing, stone;
    std::optional<int> coats;
    bool figures = false;
};

Json json_of_count(const app::StoneCount& count) {
    const science::ShareInterval bar = count.bar();
    const science::ShareInterval exact = science::exact_interval(count.harmed, count.seen);
    return {{"seen", count.seen}, {"harmed", count.harmed}, {"not_seen", count.not_seen}, {"low", json_of(bar.lower)}, {"high", json_of(bar.upper)}, {"exact_low", json_of(exact.lower)}, {"exact_high", json_of(exact.upper)},
            {"words", count.words()}, {"needed", count.refusal_words()}};
}

Json json_of_finding(const app::BottleFinding& finding) {
    Json compared = Json::array();
    for (const app::ComparedStones& one : finding.compared) {
        Json steps = Json::array();
        for (const science::SurvivalStep& step : one.curve.steps) {
            steps.push_back({{"days", json_of(step.time)}, {"at_risk", step.at_risk}, {"harmed", step.failed}, {"unharmed_share", json_of(step.survival)},
                             {"low", step.limits ? json_of(step.limits->lower) : Json(nullptr)}, {"high", step.limits ? json_of(step.limits->upper) : Json(nullptr)}});
        }
        compared.push_back({{"name", one.name}, {"count", json_of_count(one.count)}, {"curve", steps}});
    }
    return {{"head", finding.head}, {"words", finding.words}, {"causes", finding.causes}, {"separable", finding.separable}, {"p", finding.p},
            {"log_rank_p", finding.log_rank_p ? Json(*finding.log_rank_p) : Json(nullptr)}, {"stones", finding.stones}, {"compared", compared}, {"figures", finding.figures()}};
}

void say_text_or_json(const Session& session, const std::string& text, const Json& json) {
    if (session.style == Style::json) {
        print_json(json);
    } else {
        print(text);
    }
}

Result<app::StoneFilter> filter_of(const Asked& asked) {
    app::StoneFilter filter{.kind = asked.kind, .finish = asked.finish, .bottle = asked.bottle, .coats = asked.coats};
    if (!asked.backing.empty()) {
        filter.backing = from_word<Backing>(folded(asked.backing));
        if (!filter.backing) {
            return Refusal{.code = "stones.backing", .field = "Backing", .value = shown(asked.backing), .message = "that is no backing.",
                           .remedy = "Choose none, foil, vacuum metal, coating, doublet or unknown.", .answers = {}};
        }
    }
    return filter;
}

Exit grid(const Session& session, app::Studio& studio, const Asked& asked) {
    const auto filter = filter_of(asked);
    if (!filter) {
        return say_refusal(session, filter.error());
    }
    std::string text;
    Json cells = Json::array();
    for (const app::StoneCell& cell : app::stone_cells(studio, *filter)) {
        text += fmt::format("{:<22} {:<13} {:<8} {:<8} {:<12} {}{}\n", cell.finish.empty() ? "-" : cell.finish, cell.kind, word_of(cell.backing),
                            app::coats_words(cell.coats), app::band_words(cell.band), cell.count.words(),
                            cell.count.not_seen > 0 ? fmt::format("; {} not seen since", cell.count.not_seen) : std::string());
        cells.push_back({{"finish", cell.finish}, {"kind", cell.kind}, {"backing", word_of(cell.backing)}, {"coats", cell.coats},
                         {"band", app::band_words(cell.band)}, {"count", json_of_count(cell.count)}});
    }
    text += "Bars are two-sided (Wilson, 19 in 20). Untested is not unharmed; times in the bath are never pooled.\n";
    say_text_or_json(session, text, {{"cells", cells}});
    return Exit::done;
}

Exit bottles(const Session& session, app::Studio& studio, const Asked& asked) {
    const std::vector<app::StoneRow> rows = app::stone_rows(studio);
    const app::BottleStudy study = app::bottle_study(rows);
    std::string text = "Foil backs by coats and bottle, all times in the bath together:\n";
    Json groups = Json::array();
    for (const app::BottleGroup& group : study.groups) {
        text += fmt::format("  {:<9} {:<11} {}; {} not seen since ({})\n", app::coats_words(group.coats), group.bottle.empty() ? "-" : group.bottle,
                            group.count.words(), group.count.not_seen, joined(group.by_band, ", "));
        groups.push_back({{"coats", group.coats}, {"bottle", group.bottle}, {"count", json_of_count(group.count)}, {"by_band", group.by_band}});
    }
    Json findings = Json::array();
    const auto say = [&](const app::BottleFinding& finding) {
        text += finding.head + "\n  " + finding.words + "\n";
        for (const std::string& line : asked.figures ? finding.figures() : std::vector<std::string>()) {
            text += "    " + line + "\n";
        }
    };
    for (const app::BottleFinding& finding : study.findings) {
        say(finding);
        findings.push_back(json_of_finding(finding));
    }
    if (study.bare) {
        say(*study.bare);
    }
    say_text_or_json(session, text, {{"groups", groups}, {"findings", findings}, {"bare", study.bare ? json_of_finding(*study.bare) : Json(nullptr)}});
    return Exit::done;
}

Exit trace(const Session& session, app::Studio& studio, const Asked& asked) {
    const app::StoneTrace found = app::stones_of(app::stone_rows(studio), asked.bottle);
    if (found.stones.empty()) {
        return say_refusal(session, Refusal{.code = "stones.none_of", .field = "Bottle", .value = shown(asked.bottle),
                                            .message = "no stone has a coat from it, and none is of that source lot.",
                                            .remedy = "Name it as \"stones bottles\" or \"stone list\" have it; \"evening 7\" is a coating.", .answers = {}});
    }
    say_text_or_json(session,
                     fmt::format("{}: {}, {}, {}\n  stones: {}\n  pieces: {}\n  orders: {}\n", asked.bottle, counted(found.stones.size(), "stone", "stones"),
                                 counted(found.pieces.size(), "piece", "pieces"), counted(found.orders.size(), "order", "orders"), joined(found.stones, ", "),
                                 joined(found.pieces, ", "), joined(found.orders, ", ")),
                     {{"of", asked.bottle}, {"stones", found.stones}, {"pieces", found.pieces}, {"orders", found.orders}});
    return Exit::done;
}

Exit due(const Session& session, app::Studio& studio, const Asked&) {
    std::string text;
    Json list = Json::array();
    for (const app::FollowUpDue& one : app::follow_ups_due(studio, app::stone_rows(studio))) {
        text += fmt::format("{} on {} ({}): {} days on {}\n", one.stone, one.piece, one.kind, one.days, date_text(one.due));
        list.push_back({{"stone", one.stone}, {"piece", one.piece}, {"kind", one.kind}, {"days", one.days}, {"due", json_of(one.due)}});
    }
    say_text_or_json(session, text.empty() ? "No look is due.\n" : text, {{"due", list}});
    return Exit::done;
}

Exit damage(const Session& session, app::Studio& studio, const Asked&) {
    std::string text;
    Json list = Json::array();
    for (const app::DamageZone& one : app::damage_map(app::stone_rows(studio))) {
        text += fmt::format("{:<8} up to 8 mm: {}; larger: {}\n", word_of(one.zone), one.small, one.large);
        list.push_back({{"zone", word_of(one.zone)}, {"up_to_8_mm", one.small}, {"larger", one.large}});
    }
    say_text_or_json(session, text, {{"zones", list}});
    return Exit::done;
}

Exit gate(const Session& session, app::Studio& studio, const Asked& asked) {
    const auto filter = filter_of(asked);
    if (!filter) {
        return say_refusal(session, filter.error());
    }
    const auto found = app::stone_gate(studio, app::stone_cells(studio), asked.kind, filter->backing.value_or(Backing::unknown), asked.finish);
    if (!found) {
        return say_refusal(session, found.error());
    }
    std::string text = "Your own log:\n";
    for (const std::string& words : found->own_words) {
        text += "  " + words + "\n";
    }
    text += found->own_words.empty() ? "  untested here\nPublished:\n" : "Published:\n";
    Json published = Json::array();
    for (const app::PublishedNote& note : found->published) {
        text += fmt::format("  {}, {}: {} ({}; {}; {})\n", note.stone, note.column, note.word, note.note, note.source, note.trust);
        published.push_back({{"stone", note.stone}, {"about", note.column}, {"word", note.word}, {"note", note.note}, {"source", note.source}, {"trust", note.trust}});
    }
    text += found->published.empty() ? "  no note on file for this kind\n" : "";
    for (const std::string& warning : found->warnings) {
        text += "! " + warning + "\n";
    }
    text += found->conflict ? "The two do not agree: both stand here. Try one stone first.\n" : "None of this is a yes. Try one stone first.\n";
    say_text_or_json(session, text, {{"own", found->own_words}, {"published", published}, {"warnings", found->warnings}, {"conflict", found->conflict}});
    return Exit::done;
}

Json json_of_row(const app::StoneRow& row) {
    return {{"stone", row.number}, {"kind", row.kind}, {"backing", word_of(row.backing)}, {"source_lot", row.source_lot}, {"piece", row.piece}, {"order", row.order}, {"coats", row.coats},
            {"bottles", row.bottles}, {"evening", row.coating}, {"set_known", row.set_known}, {"harm", row.harmed_days ? Json(word_of(row.harm)) : Json(nullptr)},
            {"harmed_days", json_of(row.harmed_days)}, {"unharmed_days", json_of(row.unharmed_days)}};
}

// One stone: what it is, what it met since it was set, what was done to its piece, what was seen of it.
Exit met(const Session& session, app::Studio& studio, const Asked& asked) {
    const auto stone = app::resolve<Stone>(studio, "Stone", asked.stone);
    if (!stone) {
        return say_refusal(session, stone.error());
    }
    const std::vector<app::StoneRow> rows = app::stone_rows(studio);
    const auto row = std::ranges::find(rows, stone->id, &app::StoneRow::id);
    const app::StoneStory story = app::stone_story(studio, *row);
    std::string text = row->number + "\n";
    for (const app::StoryLine& line : story.lines) {
        text += (line.under ? "      " : "  ") + line.words + "\n";
    }
    Json list = Json::array();
    for (const app::StoneExposure& one : row->met) {
        list.push_back({{"finish", one.finish}, {"seconds", json_of(one.seconds)}, {"all_timed", one.all_timed}, {"hottest_c", json_of(one.hottest_c)},
                        {"dips", one.dips}, {"short_rinses", one.short_rinses}, {"first", json_of(one.first)}, {"last", json_of(one.last)}});
    }
    Json baths = Json::array();
    for (const app::StoneBath& bath : story.baths) {
        Json dips = Json::array();
        for (const app::StoneDip& dip : bath.dips) {
            dips.push_back({{"at", json_of(dip.at)}, {"of", dip.of}, {"seconds", json_of(dip.seconds)}, {"temp_c", json_of(dip.temp_c)}, {"by_curve", dip.by_curve}, {"rinse_s", json_of(dip.rinse_s)}});
        }
        baths.push_back({{"bath", bath.number}, {"finish", bath.finish}, {"seconds", json_of(bath.seconds())}, {"first", json_of(bath.dips.front().at)}, {"last", json_of(bath.dips.back().at)}, {"dips", dips}});
    }
    Json works = Json::array();
    for (const app::StoneWork& one : row->worked) {
        works.push_back({{"step", word_of(one.step)}, {"at", json_of(one.at)}, {"with", one.with}});
    }
    Json looks = Json::array();
    for (const FollowUp& look : story.looks) {
        looks.push_back({{"at", json_of(look.at)}, {"seen", word_of(look.seen)}, {"zone", word_of(look.zone)}, {"note", look.note}});
    }
    Json told = json_of_row(*row);
    told["since"] = story.since ? Json(json_of(*story.since)) : Json(nullptr);
    told["met"] = list;
    told["baths"] = baths;
    told["after_work"] = works;
    told["looks"] = looks;
    say_text_or_json(session, text, told);
    return Exit::done;
}

// The register: every stone that has the words typed.
Exit find(const Session& session, app::Studio& studio, const Asked& asked) {
    const std::vector<app::StoneRow> rows = app::stone_rows(studio);
    std::vector<std::string> words;
    std::ranges::transform(rows, std::back_inserter(words), app::find_words);
    std::vector<std::string> numbers;
    std::string text;
    Json list = Json::array();
    for (const std::size_t place : app::stones_with(words, asked.stone)) {
        const app::StoneRow& row = rows[place];
        numbers.push_back(row.number);
        text += fmt::format("{:<8} {:<14} {:<8} {:<8} {:<12} {}\n", row.number, row.kind, row.piece.empty() ? "-" : row.piece, app::coats_words(row.coats), joined(row.bottles, ", "),
                            row.harmed_days ? fmt::format("{} after {:.0f} days", word_of(row.harm), *row.harmed_days) : row.seen() ? "unharmed" : "not seen since");
        list.push_back(json_of_row(row));
    }
    const app::StoneTrace trace = app::trace_of(rows, numbers);
    text += fmt::format("{} on {} for {}\n", counted(numbers.size(), "stone", "stones"), counted(trace.pieces.size(), "piece", "pieces"), counted(trace.orders.size(), "order", "orders"));
    say_text_or_json(session, text, {{"stones", list}, {"pieces", trace.pieces}, {"orders", trace.orders}});
    return Exit::done;
}

using Work = Exit (*)(const Session&, app::Studio&, const Asked&);
CLI::App& verb(CLI::App& group, const char* name, const char* help, Work work, const std::shared_ptr<Asked>& asked, const Session& session,
               std::function<Exit()>& chosen) {
    CLI::App* command = group.add_subcommand(name, help);
    command->callback([&session, &chosen, asked, work] {
        chosen = [&session, asked, work] { return with_studio(session, Use::reads_alone, [&](app::Studio& studio) { return work(session, studio, *asked); }); };
    });
    return *command;
}

}  // namespace

void add_stones_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* group = parser.add_subcommand("stones", "What became of the stones: survival, bottles, looks that are due, what a finish may do");
    group->require_subcommand(1);
    const auto asked = std::make_shared<Asked>();
    CLI::App& cells = verb(*group, "grid", "Survival by finish, kind, backing, coats and time in the bath", grid, asked, session, chosen);
    cells.add_option("--kind", asked->kind, "Only this kind");
    cells.add_option("--finish", asked->finish, "Only this kind of finish");
    cells.add_option("--bottle", asked->bottle, "Only with a coat from this bottle");
    cells.add_option("--backing", asked->backing, "Only this backing");
    cells.add_option("--coats", asked->coats, "Only this many coats, 0 to 20")->check(CLI::Range(0, 20));
    verb(*group, "find", "The register: stones by number, kind, back, lot, piece, order, bottle, evening, what was seen", find, asked, session, chosen)
        .add_option("words", asked->stone, "\"pearl dulled\", \"LQ-3\"; without any, all");
    verb(*group, "met", "One stone: what it met since it was set, finish by finish, after-work and looks", met, asked, session, chosen)
        .add_option("stone", asked->stone, "Its number: F-097")
        ->required();
    verb(*group, "bottles", "Foil backs by coats and bottle, and what they point at", bottles, asked, session, chosen)
        .add_flag("--figures", asked->figures, "And the figures behind the words: intervals, tests, days to damage");
    verb(*group, "due", "Looks that are due", due, asked, session, chosen);
    verb(*group, "damage", "Where stones were harmed", damage, asked, session, chosen);
    verb(*group, "ask-back", "From a bottle or source lot to stones, pieces, orders", trace, asked, session, chosen)
        .add_option("bottle", asked->bottle, "Number of the bottle, or the source lot")
        ->required();
    CLI::App& gated = verb(*group, "gate", "What is known of a kind of stone and a finish", gate, asked, session, chosen);
    gated.add_option("kind", asked->kind, "\"pearl\"")->required();
    gated.add_option("finish", asked->finish, "\"liver of sulfur, lump\"")->required();
    gated.add_option("--backing", asked->backing, "none, foil, vacuum metal, coating, doublet");
}

}  // namespace tonebath::command
