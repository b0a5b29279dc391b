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
#include <memory>
#include <optional>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

struct Asked {
    std::string kind, finish, bottle, backing, stone;
    std::optional<int> coats;
};

Json json_of_count(const app::StoneCount& count) {
    const science::ShareInterval bar = count.bar();
    return {{"seen", count.seen}, {"harmed", count.harmed}, {"not_seen", count.not_seen}, {"low", json_of(bar.lower)}, {"high", json_of(bar.upper)},
            {"words", count.words()}, {"needed", count.refusal_words()}};
}

Json json_of_finding(const app::BottleFinding& finding) {
    return {{"head", finding.head}, {"words", finding.words}, {"causes", finding.causes}, {"separable", finding.separable}, {"p", finding.p},
            {"log_rank_p", finding.log_rank_p ? Json(*finding.log_rank_p) : Json(nullptr)}, {"stones", finding.stones}};
}

std::string coats_words(int coats) {
    return coats == 0 ? "no coats" : counted(static_cast<std::size_t>(coats), "coat", "coats");
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
    for (const app::StoneCell& cell : app::stone_grid(app::stone_rows(studio), *filter)) {
        text += fmt::format("{:<22} {:<13} {:<8} {:<8} {:<12} {}{}\n", cell.finish.empty() ? "-" : cell.finish, cell.kind, word_of(cell.backing),
                            coats_words(cell.coats), app::band_words(cell.band), cell.count.words(),
                            cell.count.not_seen > 0 ? fmt::format("; {} not seen since", cell.count.not_seen) : std::string());
        cells.push_back({{"finish", cell.finish}, {"kind", cell.kind}, {"backing", word_of(cell.backing)}, {"coats", cell.coats},
                         {"band", app::band_words(cell.band)}, {"count", json_of_count(cell.count)}});
    }
    text += "Bars are two-sided (Wilson, 19 in 20). Untested is not unharmed; times in the bath are never pooled.\n";
    say_text_or_json(session, text, {{"cells", cells}});
    return Exit::done;
}

Exit bottles(const Session& session, app::Studio& studio, const Asked&) {
    const std::vector<app::StoneRow> rows = app::stone_rows(studio);
    const app::BottleStudy study = app::bottle_study(rows);
    std::string text = "Foil backs by coats and bottle, all times in the bath together:\n";
    Json groups = Json::array();
    for (const app::BottleGroup& group : study.groups) {
        text += fmt::format("  {:<9} {:<11} {}; {} not seen since ({})\n", coats_words(group.coats), group.bottle.empty() ? "-" : group.bottle,
                            group.count.words(), group.count.not_seen, joined(group.by_band, ", "));
        groups.push_back({{"coats", group.coats}, {"bottle", group.bottle}, {"count", json_of_count(group.count)}, {"by_band", group.by_band}});
    }
    Json findings = Json::array();
    for (const app::BottleFinding& finding : study.findings) {
        text += finding.head + "\n  " + finding.words + "\n";
        findings.push_back(json_of_finding(finding));
    }
    if (study.bare) {
        text += study.bare->head + "\n  " + study.bare->words + "\n";
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
    const auto found = app::stone_gate(studio, app::stone_rows(studio), asked.kind, filter->backing.value_or(Backing::unknown), asked.finish);
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

// What one stone met since it was set, finish by finish.
Exit met(const Session& session, app::Studio& studio, const Asked& asked) {
    const auto stone = app::resolve<Stone>(studio, "Stone", asked.stone);
    if (!stone) {
        return say_refusal(session, stone.error());
    }
    const std::vector<app::StoneRow> rows = app::stone_rows(studio);
    const auto row = std::ranges::find(rows, stone->id, &app::StoneRow::id);
    std::string text = fmt::format("{}, {}{}\n", row->number, row->kind, row->piece.empty() ? ", on no piece" : ", on " + row->piece);
    text += row->set_known ? "" : "  since when it is on its piece is not written down: no dip is counted\n";
    text += fmt::format("  {}{}\n", coats_words(row->coats), row->bottles.empty() ? "" : " from " + joined(row->bottles, ", "));
    Json list = Json::array();
    for (const app::StoneExposure& one : row->met) {
        text += fmt::format("  {}: {} in {}{}{}; {} to {}; {} with no rinse of 10 s written down\n", studio.finish_kind(one.finish).name,
                            text_of(Seconds::from_seconds(one.seconds)), counted(static_cast<std::size_t>(one.dips), "dip", "dips"),
                            one.all_timed ? "" : ", not all timed", one.hottest_c ? ", at most " + text_of(Celsius::from_celsius(*one.hottest_c), studio.units()) : "",
                            date_text(one.first), date_text(one.last), one.short_rinses);
        list.push_back({{"finish", one.finish}, {"seconds", json_of(one.seconds)}, {"all_timed", one.all_timed}, {"hottest_c", json_of(one.hottest_c)},
                        {"dips", one.dips}, {"short_rinses", one.short_rinses}, {"first", json_of(one.first)}, {"last", json_of(one.last)}});
    }
    text += row->met.empty() ? "  no bath yet\n" : "";
    say_text_or_json(session, text, {{"stone", row->number}, {"piece", row->piece}, {"coats", row->coats}, {"bottles", row->bottles}, {"set_known", row->set_known}, {"met", list}});
    return Exit::done;
}

using Work = Exit (*)(const Session&, app::Studio&, const Asked&);
CLI::App& verb(CLI::App& group, const char* name, const char* help, Work work, const std::shared_ptr<Asked>& asked, const Session& session,
               std::function<Exit()>& chosen) {
    CLI::App* command = group.add_subcommand(name, help);
    command->callback([&session, &chosen, asked, work] {
        chosen = [&session, asked, work] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return work(session, studio, *asked); }); };
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
    verb(*group, "met", "What one stone met since it was set: seconds, heat and rinses, finish by finish", met, asked, session, chosen)
        .add_option("stone", asked->stone, "Its number: F-097")
        ->required();
    verb(*group, "bottles", "Foil backs by coats and bottle, and what they point at", bottles, asked, session, chosen);
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
