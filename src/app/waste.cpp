#include "app/waste.hpp"

#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "model/rules/rule.hpp"
#include "store/bath_store.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

constexpr double kKgPerLitre = 1.0;  // a weak bath is water
constexpr double kSmall_ml = 20.0;   // ours: less than a measuring jug is read to

std::string litres(double ml) {
    return fixed_text(ml / 1000.0, 2) + " l";
}

struct Contents {
    std::optional<double> made_ml;
    double lost_ml = 0.0;  // found by reading the vessel
    std::optional<double> now_ml;
};

Contents contents_of(Studio& studio, const Bath& bath) {
    Contents held{.made_ml = bath.water ? std::optional(bath.water->ml()) : std::nullopt, .now_ml = {}};
    held.now_ml = held.made_ml;
    for (const TopUp& top_up : store::top_ups_of(studio.log(), bath.id)) {
        if (top_up.volume_now) {
            const double change = top_up.volume_now->ml() - held.now_ml.value_or(top_up.volume_now->ml());
            held.lost_ml += std::max(0.0, -change);
            held.made_ml = held.made_ml ? std::optional(*held.made_ml + std::max(0.0, change)) : std::nullopt;
            held.now_ml = top_up.volume_now->ml();
        } else if (held.now_ml && top_up.water_added) {
            *held.made_ml += top_up.water_added->ml();
            *held.now_ml += top_up.water_added->ml();
        }
    }
    return held;
}

std::vector<Disposal> standing_disposals(Studio& studio) {
    return store::list<Disposal>(studio.log(), "WHERE withdrawn_by = '' ORDER BY at_utc_ms, id");
}

std::string numbers(const std::vector<OwedBath>& baths) {
    std::vector<std::string> named;
    for (const OwedBath& bath : baths) {
        named.push_back(bath.number);
    }
    return joined(named, ", ");
}

std::vector<std::string> balance_words(const WasteBalance& all, std::size_t nameless) {
    std::vector<std::string> words;
    words.push_back(
        fmt::format("{}, {} made{}; {}, {} gone: {} {}.", counted(all.baths, "bath", "baths"), litres(all.made_ml),
                    all.found_lost_ml > 0.0 ? fmt::format(", {} found lost to the air", litres(all.found_lost_ml)) : "",
                    counted(all.disposals, "disposal", "disposals"), litres(all.gone_ml), litres(std::abs(all.open_ml)),
                    all.open_ml < 0.0 ? "more gone than made" : "owed or unlogged"));
    std::vector<std::string> parts;
    if (!all.in_use.empty()) {
        parts.push_back(fmt::format("{} in use ({} {})", litres(all.in_use_ml),
                                    all.in_use.size() == 1 ? "bath" : "baths", joined(all.in_use, ", ")));
    }
    if (!all.owed.empty()) {
        parts.push_back(fmt::format("{} of {} that ended and that no disposal names", litres(all.owed_ml),
                                    fmt::format("{} {}", all.owed.size() == 1 ? "bath" : "baths", numbers(all.owed))));
    }
    if (!parts.empty()) {
        words.push_back("Of it " + joined(parts, "; ") + ".");
    }
    if (all.unlogged_ml > kSmall_ml) {
        words.push_back(fmt::format("{} neither stands here nor was logged.", litres(all.unlogged_ml)));
    } else if (all.unlogged_ml < -kSmall_ml) {
        words.push_back(fmt::format("{} more went out than these baths held: rinse water, or one volume typed twice?",
                                    litres(-all.unlogged_ml)));
    }
    if (all.open_ml > kSmall_ml) {
        words.emplace_back(
            "Evaporation may be part of it. It is never assumed: top up the bath with what the vessel holds now, and "
            "what is lost is counted.");
    }
    if (all.unknown_baths > 0) {
        words.push_back(
            fmt::format("{} without water written down: not counted.", counted(all.unknown_baths, "bath", "baths")));
    }
    if (all.unknown_disposals > 0) {
        words.push_back(
            fmt::format("{} without a volume: not counted.", counted(all.unknown_disposals, "disposal", "disposals")));
    }
    if (nameless > 0 && !all.owed.empty()) {
        words.push_back(fmt::format("{} no bath: some of these may have gone with {}.",
                                    nameless == 1 ? "1 disposal names" : fmt::format("{} disposals name", nameless),
                                    nameless == 1 ? "it" : "them"));
    }
    return words;
}

// The lowest limit of the rules that held at some time of that month.
void hold_against_limit(WasteMonth& month, const std::vector<LocalRule>& rules) {
    const auto index = [](const Stamp& at) {
        const CivilTime time = civil(at);
        return time.year * 12 + time.month;
    };
    const int here = month.year * 12 + month.month;
    for (const LocalRule& rule : rules) {
        const bool held =
            (!rule.said_at || index(*rule.said_at) <= here) && (!rule.ended_at || index(*rule.ended_at) >= here);
        if (rule.limit_kg && held && (!month.limit_kg || *rule.limit_kg < *month.limit_kg)) {
            month.limit_kg = rule.limit_kg;
            month.rule = rule.name;
        }
    }
    const std::string how = month.from_volume_kg <= 0.0       ? "as weighed or billed"
                            : month.from_volume_kg < month.kg ? fmt::format("{} kg of it from litres at 1 kg each",
                                                                            fixed_text(month.from_volume_kg, 1))
                                                              : std::string("from litres at 1 kg each");
    month.words = fmt::format(
        "{} kg, {}; {}", fixed_text(month.kg, 1), how,
        !month.limit_kg ? std::string("no limit typed")
                        : fmt::format("{} the {} kg a month typed with \"{}\"", month.over() ? "over" : "within",
                                      rules::figure(*month.limit_kg), month.rule));
    if (month.without > 0) {
        month.words +=
            fmt::format("; {} with neither mass nor volume", counted(month.without, "disposal", "disposals"));
    }
}

}  // namespace

std::vector<std::string> baths_of(Studio& studio, const Disposal& disposal) {
    std::vector<std::string> named;
    if (disposal.bath_id) {
        named.push_back(name_of(studio, *disposal.bath_id));
    }
    for (const std::string& number : split(disposal.baths, '\n')) {
        if (!number.empty()) {
            named.push_back(number);
        }
    }
    return named;
}

std::map<std::string, Disposal> gone_baths(Studio& studio) {
    std::map<std::string, Disposal> gone;
    for (const Disposal& disposal : standing_disposals(studio)) {
        for (const std::string& number : baths_of(studio, disposal)) {
            gone[folded(number)] = disposal;
        }
    }
    return gone;
}

std::optional<double> made_ml(Studio& studio, const Bath& bath) {
    return contents_of(studio, bath).made_ml;
}

std::vector<OwedBath> owed_baths(Studio& studio) {
    const std::map<std::string, Disposal> gone = gone_baths(studio);
    std::vector<OwedBath> owed;
    for (const Bath& bath :
         store::list<Bath>(studio.log(), "WHERE ended_utc_ms IS NOT NULL ORDER BY ended_utc_ms, id")) {
        const bool none_left = bath.kept_back && bath.kept_back->ml() <= 0.0;
        if (none_left || gone.contains(folded(bath.number))) {
            continue;
        }
        owed.push_back({.id = bath.id,
                        .number = bath.number,
                        .ended = *bath.ended_at,
                        .ml = bath.kept_back ? std::optional(bath.kept_back->ml()) : contents_of(studio, bath).now_ml,
                        .kept_back = bath.kept_back.has_value()});
    }
    return owed;
}

WasteBalance waste_balance(Studio& studio) {
    WasteBalance all;
    for (const Bath& bath : store::list<Bath>(studio.log(), "ORDER BY made_up_utc_ms, id")) {
        const Contents held = contents_of(studio, bath);
        ++all.baths;
        all.unknown_baths += held.made_ml ? 0U : 1U;
        all.made_ml += held.made_ml.value_or(0.0);
        all.found_lost_ml += held.made_ml ? held.lost_ml : 0.0;
        if (!bath.ended_at) {
            all.in_use.push_back(bath.number);
            all.in_use_ml += held.now_ml.value_or(0.0);
        }
    }
    std::size_t nameless = 0;
    for (const Disposal& disposal : standing_disposals(studio)) {
        ++all.disposals;
        all.unknown_disposals += disposal.volume ? 0U : 1U;
        all.gone_ml += disposal.volume ? disposal.volume->ml() : 0.0;
        nameless += baths_of(studio, disposal).empty() ? 1U : 0U;
    }
    all.owed = owed_baths(studio);
    for (const OwedBath& bath : all.owed) {
        all.owed_ml += bath.ml.value_or(0.0);
    }
    all.open_ml = all.made_ml - all.found_lost_ml - all.gone_ml;
    all.unlogged_ml = all.open_ml - all.in_use_ml - all.owed_ml;
    all.words = balance_words(all, nameless);
    return all;
}

bool LotBalance::asks() const {
    return unaccounted && std::abs(*unaccounted) > scale_err;
}

LotBalance lot_balance(Studio& studio, const Lot& lot) {
    LotBalance balance{.lot = lot.number,
                       .unit = lot.unit,
                       .bought = lot.bought_amount,
                       .left = {},
                       .weighed = {},
                       .unaccounted = {},
                       .words = {}};
    const store::LotUse use = store::lot_use(studio.log(), lot.id);
    balance.unknown = static_cast<std::size_t>(use.unknown_amounts);
    balance.used = use.made_up + use.topped_up;
    balance.spoiled = use.spoiled;
    if (use.last_weighing) {
        balance.weighed = use.last_weighing->at;
        balance.left = use.last_weighing->left_amount;
        store::Query then(studio.log(),
                          "SELECT (SELECT total(amount) FROM bath WHERE lot_id = ?1 AND made_up_utc_ms <= ?2) + "
                          "(SELECT total(top_up.amount) FROM top_up JOIN bath ON bath.id = bath_id WHERE lot_id = ?1 "
                          "AND at_utc_ms <= ?2), "
                          "(SELECT total(spoiled_amount) FROM lot_weighing WHERE lot_id = ?1 AND at_utc_ms <= ?2)",
                          {lot.id.text, balance.weighed->utc_ms});
        if (then.next()) {
            balance.used = then.real(0);
            balance.spoiled = then.real(1);
        }
    }
    const auto words = [&](double amount) { return rules::amount_words(amount, lot.unit); };
    if (balance.bought && balance.left) {
        balance.unaccounted = *balance.bought - balance.used - balance.spoiled - *balance.left;
        balance.words = fmt::format(
            "{} bought, {} used, {} spoiled, {} left by the scale of {}: {} {}, give or take {} of the scale (ours).",
            words(*balance.bought), words(balance.used), words(balance.spoiled), words(*balance.left),
            date_text(*balance.weighed), words(std::abs(*balance.unaccounted)),
            *balance.unaccounted < 0.0 ? "more than there should be" : "unaccounted for", words(balance.scale_err));
    } else {
        balance.words = fmt::format(
            "{}, {} used, {} spoiled; {}.",
            balance.bought ? words(*balance.bought) + " bought" : std::string("what was bought is not known"),
            words(balance.used), words(balance.spoiled),
            balance.left ? words(*balance.left) + " left by the scale of " + date_text(*balance.weighed)
                         : std::string("weigh it, and the rest can be told"));
    }
    if (balance.unknown > 0) {
        balance.words += fmt::format(" {} of it without an amount: not counted.",
                                     counted(balance.unknown, "bath or top up", "baths or top ups"));
    }
    return balance;
}

std::vector<LotBalance> lot_balances(Studio& studio) {
    std::vector<LotBalance> all;
    for (const Lot& lot : store::list<Lot>(studio.log(), "ORDER BY number")) {
        all.push_back(lot_balance(studio, lot));
    }
    std::ranges::stable_sort(all, [](const LotBalance& a, const LotBalance& b) { return natural_less(a.lot, b.lot); });
    return all;
}

std::vector<WasteMonth> waste_months(Studio& studio) {
    std::map<std::pair<int, int>, WasteMonth> months;
    for (const Disposal& disposal : standing_disposals(studio)) {
        const CivilTime at = civil(disposal.at);
        WasteMonth& month = months[{at.year, at.month}];
        month.year = at.year;
        month.month = at.month;
        const double litres_kg = disposal.volume ? disposal.volume->ml() / 1000.0 * kKgPerLitre : 0.0;
        month.kg += disposal.mass_kg.value_or(litres_kg);
        month.from_volume_kg += disposal.mass_kg ? 0.0 : litres_kg;
        month.without += disposal.mass_kg || disposal.volume ? 0U : 1U;
    }
    const std::vector<LocalRule> rules = store::list<LocalRule>(studio.log());
    std::vector<WasteMonth> all;
    for (auto& [key, month] : months) {
        hold_against_limit(month, rules);
        all.insert(all.begin(), std::move(month));
    }
    return all;
}

std::vector<RuleRow> local_rules(Studio& studio) {
    std::vector<RuleRow> rows;
    for (LocalRule& rule : store::list<LocalRule>(
             studio.log(), "ORDER BY ended_utc_ms IS NOT NULL, COALESCE(said_utc_ms, made_utc_ms) DESC, id")) {
        RuleRow row{.rule = std::move(rule), .words = {}};
        store::Query used(studio.log(), "SELECT count(*) FROM disposal WHERE rule_id = ?1 AND withdrawn_by = ''",
                          {row.rule.id.text});
        row.disposals = used.next() ? static_cast<std::size_t>(used.integer(0)) : 0;
        std::vector<std::string> words{row.rule.said_by.empty() ? "who said it is not written down" : row.rule.said_by};
        words.push_back(row.rule.said_at ? date_text(*row.rule.said_at) : "day not known");
        words.push_back(row.rule.route.empty() ? "no route named" : row.rule.route);
        if (!row.rule.covers.empty()) {
            words.push_back(row.rule.covers);
        }
        words.push_back(row.rule.limit_kg ? fmt::format("{} kg a month", rules::figure(*row.rule.limit_kg))
                                          : "no limit typed");
        if (row.rule.ended_at) {
            words.push_back("no longer holds since " + date_text(*row.rule.ended_at));
        }
        row.words = joined(words, "; ");
        rows.push_back(std::move(row));
    }
    return rows;
}

std::vector<DisposalRow> disposals(Studio& studio) {
    std::vector<DisposalRow> rows;
    for (Disposal& disposal : store::list<Disposal>(studio.log(), "ORDER BY at_utc_ms DESC, id DESC")) {
        DisposalRow row{.disposal = std::move(disposal), .baths = {}, .rule = {}};
        row.baths = joined(baths_of(studio, row.disposal), ", ");
        row.rule = row.disposal.rule_id ? name_of(studio, *row.disposal.rule_id) : row.disposal.rule;
        rows.push_back(std::move(row));
    }
    return rows;
}

std::string waste_decides() {
    return "Your local authority decides what may leave, how and how much; ageing or bicarbonate makes no waste fit "
           "for the drain.";
}

}  // namespace tonebath::app
