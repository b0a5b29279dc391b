#include "app/actions/gate.hpp"
#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/bench_list.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "app/waste.hpp"
#include "app/withdraw.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

constexpr double kRead_share = 1.02;  // ours: a jug is read to one part in fifty

bool says(const std::string& text, std::initializer_list<std::string_view> words) {
    const std::string all = folded(text);
    return std::ranges::any_of(words, [&](std::string_view word) { return all.find(word) != std::string::npos; });
}

// The rule on file that is named, or the words that were typed.
void read_rule(Reader& in, Disposal& disposal) {
    disposal.rule = in.text("rule", Reader::kWords);
    if (disposal.rule.empty() || in.refused()) {
        return;
    }
    const Result<LocalRule> rule = resolve<LocalRule>(in.studio(), in.typed("rule").field, disposal.rule);
    if (!rule) {
        return;
    }
    disposal.rule_id = rule->id;
    disposal.rule = rule->name;
    if (rule->ended_at && *rule->ended_at < disposal.at) {
        in.check(rules::ask("disposal.rule_ended", in.typed("rule"),
                            fmt::format("it no longer holds since {}.", date_text(*rule->ended_at)),
                            "Name the one that holds, or ask your local office."));
    }
    if (disposal.route.empty()) {
        disposal.route = rule->route;
    }
}

// A route is a way out of the studio that someone allowed, not "gone".
void check_route(Reader& in, const Disposal& disposal) {
    const std::string route = folded(std::string(trimmed(disposal.route)));
    if (route.empty() || route == "disposed" || route == "disposed of" || route == "gone" || route == "done" ||
        route == "yes" || route == "thrown away") {
        in.check(rules::refuse(
            "disposal.no_route", in.typed("route"), "by which route it left is not said.",
            "Type the route: \"collection\", or what your local office wrote; or name its rule on file."));
        return;
    }
    if (says(route, {"drain", "sink", "sewer", "toilet"}) && !disposal.rule_id) {
        in.check(rules::ask(
            "disposal.drain", in.typed("route"),
            "a drain is a route only where your local office says so in writing, and no rule on file is named.",
            "Ask the office and write its rule down, or keep it where that is what was done."));
    }
    if (says(route, {"garden", "ground", "weeds", "gravel", "gutter", "street"})) {
        in.check(rules::ask("disposal.ground", in.typed("route"),
                            "not to ground or a storm drain: sulfide is very toxic to life in water.",
                            "Ask your local office, or keep it where that is what was done."));
    }
}

// Not before a bath was made up; not more than the baths held, each and all together.
void check_volume(Reader& in, const std::vector<Bath>& baths, const Disposal& disposal) {
    Studio& studio = in.studio();
    double made = 0.0;
    double gone = disposal.volume ? disposal.volume->ml() : 0.0;
    bool all_known = !baths.empty();
    const std::map<std::string, Disposal> before = gone_baths(studio);
    for (const Bath& bath : baths) {
        if (const auto found = before.find(folded(bath.number)); found != before.end() && !found->second.bath_id) {
            in.check(
                rules::ask("disposal.gone_already", in.typed("bath"),
                           fmt::format("bath {} went on {} with others.", bath.number, date_text(found->second.at)),
                           "Name another bath, or keep it where the rest of it went now."));
        }
        if (disposal.at < bath.made_up_at) {
            in.check(
                rules::refuse("disposal.before_make_up", in.typed("at"),
                              fmt::format("bath {} was made up on {}.", bath.number, date_time_text(bath.made_up_at)),
                              "Type a later time, or name another bath."));
        }
        const std::optional<double> held = made_ml(studio, bath);
        all_known = all_known && held;
        made += held.value_or(0.0);
        for (const Disposal& other :
             store::list<Disposal>(studio.log(), "WHERE bath_id = ?1 AND withdrawn_by = ''", {bath.id.text})) {
            gone += other.volume ? other.volume->ml() : 0.0;
        }
    }
    if (!disposal.volume || in.refused()) {
        return;
    }
    if (all_known && gone > made * kRead_share) {
        in.check(rules::ask("disposal.more_than_made", in.typed("volume"),
                            fmt::format("{} held {}.", baths.size() == 1 ? "the bath" : "these baths",
                                        text_of(Millilitres::from_ml(made))),
                            "Type it again, or keep it where rinse water went with it."));
        return;
    }
    const WasteBalance all = waste_balance(studio);
    if (all.baths > 0 && all.unknown_baths == 0 && all.gone_ml + disposal.volume->ml() > all.made_ml * kRead_share) {
        in.check(
            rules::ask("disposal.more_than_all_made", in.typed("volume"),
                       fmt::format("{} were made in all, and {} have gone.", text_of(Millilitres::from_ml(all.made_ml)),
                                   text_of(Millilitres::from_ml(all.gone_ml))),
                       "Type it again, or keep it where rinse water or other waste went with it."));
    }
}

// What stands out now and must never meet this waste.
std::optional<Refusal> waste_stop(Studio& studio, const std::vector<Bath>& baths) {
    if (baths.empty()) {
        return bench_refusal(studio, "Waste", waste_leaves(studio.finish_kind(usual_kind(studio, Gate::dispose)), nullptr));
    }
    for (const Bath& bath : baths) {
        if (std::optional<Refusal> stop = bench_refusal(studio, "Waste of bath " + bath.number, waste_leaves(studio.finish_kind(bath.finish_kind), &bath))) {
            return stop;
        }
    }
    return std::nullopt;
}

std::vector<std::string> cautions_of(Studio& studio, const Disposal& disposal) {
    std::vector<std::string> cautions;
    if (disposal.rule.empty()) {
        std::vector<std::string> names;
        for (const RuleRow& row : local_rules(studio)) {
            if (!row.rule.ended_at) {
                names.push_back("\"" + row.rule.name + "\"");
            }
        }
        cautions.push_back("No local rule is named with it: who said that this route may be taken, and when?" +
                           (names.empty() ? std::string() : " On file: " + rules::in_a_row(names) + "."));
    }
    if (says(disposal.route + " " + disposal.note, {"bicarbonate", "baking soda"})) {
        cautions.push_back(
            "Bicarbonate does not remove sulfide: at its pH of 8.3 about 5 % of it is the gas (computed). It is a "
            "rinse for pieces after water, never for a bath.");
    }
    cautions.push_back(waste_decides());
    return cautions;
}

Result<Outcome> add_disposal(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Disposal disposal;
    const std::vector<Bath> baths = in.records<Bath>("bath");
    disposal.at = in.moment_or_now("at");
    disposal.volume = in.volume("volume");
    disposal.mass_kg = in.number("mass");
    disposal.route = in.text("route", Reader::kWords);
    read_rule(in, disposal);
    disposal.who = in.who();
    if (disposal.volume) {
        in.check(rules::above_zero(in.typed("volume"), disposal.volume->ml(), "\"400 ml\""));
    }
    if (disposal.mass_kg) {
        in.check(rules::above_zero(in.typed("mass"), *disposal.mass_kg, "0.4"));
    }
    if (!in.refused()) {
        check_route(in, disposal);
        check_volume(in, baths, disposal);
    }
    disposal.note = in.note();
    disposal.past_work = in.yes_no("past").value_or(seconds_between(disposal.at, studio.now()) > kAfterwards_s);
    stand_before(in, Gate::dispose, Act::dispose, disposal.past_work,
                 baths.size() == 1 ? about_bath(studio, baths.front(), disposal.who)
                                   : about_kind(studio, baths.empty() ? usual_kind(studio, Gate::dispose) : baths.front().finish_kind, disposal.who),
                 disposal.note);
    disposal.from_memory = in.from_memory<Disposal>();
    if (in.refused()) {
        return in.refusal();
    }
    if (std::optional<Refusal> stop = disposal.past_work ? std::nullopt : waste_stop(studio, baths)) {
        return *std::move(stop);
    }
    std::vector<std::string> named;
    for (const Bath& bath : baths) {
        named.push_back(bath.number);
    }
    if (baths.size() == 1) {
        disposal.bath_id = baths.front().id;
    } else {
        disposal.baths = joined(named, "\n");
    }
    disposal.made_at = studio.now();
    disposal.id = studio.ids().next<Disposal>(disposal.made_at);
    return studio.write("dispose", [&]() -> Result<Outcome> {
        store::insert(studio.log(), disposal);
        const std::string of =
            named.empty() ? std::string()
                          : fmt::format(" of {} {}", named.size() == 1 ? "bath" : "baths", rules::in_a_row(named));
        return Outcome{.said = fmt::format("Disposal logged{}: {}.", of, disposal.route),
                       .cautions = cautions_of(studio, disposal),
                       .made = {{"disposal", disposal.id.text}}};
    });
}

Result<Outcome> withdraw(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<Disposal> disposal = in.record<Disposal>("disposal");
    const std::string why = in.text("why", Reader::kWords);
    if (disposal && !disposal->withdrawn_by.empty()) {
        in.check(rules::refuse("disposal.withdrawn", in.typed("disposal"),
                               fmt::format("it was withdrawn by {}.", disposal->withdrawn_by), "Log a new one."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write("withdraw a disposal", [&]() -> Result<Outcome> {
        withdraw_disposal(studio, *disposal, why);
        return Outcome{.said = "The disposal is withdrawn; it stays on record.",
                       .cautions = {},
                       .made = {{"disposal", disposal->id.text}}};
    });
}

Result<Outcome> add_rule(Studio& studio, const Form& form) {
    Reader in(studio, form);
    LocalRule rule;
    rule.name = in.text("name", Reader::kNumber);
    in.check(
        rules::number_free(in.typed("name"), "local rule", number_taken(studio, "local_rule", "name", rule.name), ""));
    rule.said_by = in.text("said-by", Reader::kWords);
    rule.said_at = in.moment("said");
    rule.covers = in.text("covers", Reader::kWords);
    rule.route = in.text("route", Reader::kWords);
    rule.limit_kg = in.number("limit");
    if (rule.limit_kg) {
        in.check(rules::above_zero(in.typed("limit"), *rule.limit_kg, "\"100\""));
    }
    rule.note = in.note();
    rule.from_memory = in.from_memory<LocalRule>();
    if (in.refused()) {
        return in.refusal();
    }
    rule.made_at = studio.now();
    rule.id = studio.ids().next<LocalRule>(rule.made_at);
    return studio.write("local rule " + rule.name, [&]() -> Result<Outcome> {
        store::insert(studio.log(), rule);
        return Outcome{.said = fmt::format("\"{}\" is on file: {} said it.", rule.name, rule.said_by),
                       .cautions = {waste_decides()},
                       .made = {{"local_rule", rule.id.text}}};
    });
}

Result<Outcome> end_rule(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<LocalRule> rule = in.record<LocalRule>("rule");
    const Stamp at = in.moment_or_now("at");
    if (rule && rule->ended_at) {
        in.check(rules::refuse("rule.ended", in.typed("rule"),
                               fmt::format("it no longer holds since {}.", date_text(*rule->ended_at)),
                               "Write the new one down."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    rule->ended_at = at;
    return studio.write("end of local rule " + rule->name, [&]() -> Result<Outcome> {
        store::update(studio.log(), *rule);
        return Outcome{
            .said = fmt::format("\"{}\" no longer holds since {}; it stays on file.", rule->name, date_text(at)),
            .cautions = {},
            .made = {{"local_rule", rule->id.text}}};
    });
}

}  // namespace

void add_disposal_actions(Actions& table) {
    table.push_back(
        {.id = "disposal.add",
         .label = "Log a disposal",
         .help = "What left the studio, by which route and whose rule. A log, not advice: the local office decides.",
         .page = "Baths",
         .key = "D",
         .fields = {repeated(reference("bath", "Bath", "bath", "one a line, where several went together; \"1..4\"")),
                    field("volume", "How much", FieldKind::volume, "\"400 ml\", all together"),
                    field("mass", "Mass", FieldKind::number,
                          "kg, as weighed or billed; empty = 1 kg a litre, and said so"),
                    field("route", "Route", FieldKind::text, "\"collection\"; empty = that of the rule on file"),
                    field("rule", "Local rule", FieldKind::text,
                          "name of one on file, or who said it and when: \"letter of 4 Nov 2025\""),
                    at_field(), who_field(), with_field(),
                    field("past", "Past work", FieldKind::yes_no, "yes = written down afterwards, no check"), note_field()},
         .carry_out = add_disposal});
    table.push_back(
        {.id = "disposal.withdraw",
         .label = "Withdraw a disposal",
         .help = "A disposal is never removed; withdrawn, it stays on record with who and when.",
         .page = "Baths",
         .key = "",
         .fields = {required(reference("disposal", "Disposal", "disposal", "\"46/1\", the first of bath 46")),
                    field("why", "Why", FieldKind::text)},
         .carry_out = withdraw});
    table.push_back(
        {.id = "rule.add",
         .label = "Write down a local rule",
         .help = "What your local authority said about waste: who, when and for what. The limit is theirs, typed by "
                 "you; none is built in.",
         .page = "Safety",
         .key = "L",
         .fields = {required(field("name", "Name", FieldKind::text, "\"letter of 4 Nov 2025\"")),
                    required(field("said-by", "Who said it", FieldKind::text, "the office: \"local waste office\"")),
                    field("said", "When", FieldKind::moment),
                    field("covers", "For what", FieldKind::text, "\"spent sulfide baths\""),
                    field("route", "Route", FieldKind::text, "\"collection\""),
                    field("limit", "Limit a month", FieldKind::number, "kg; empty = none was named"), note_field()},
         .carry_out = add_rule});
    table.push_back({.id = "rule.end",
                     .label = "A local rule no longer holds",
                     .help = "It stays on file with what was disposed of by it.",
                     .page = "Safety",
                     .key = "",
                     .fields = {required(reference("rule", "Local rule", "local_rule")), at_field("Until")},
                     .carry_out = end_rule});
}

}  // namespace tonebath::app
