#include "app/views/baths_view.hpp"

#include "app/studio.hpp"
#include "app/waste.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

std::string amount_text(double amount, AmountUnit unit) {
    return fixed_text(amount, amount < 10.0 && amount != std::floor(amount) ? 1 : 0) + " " + std::string(word_of(unit));
}

std::string age_words(double days) {
    if (days < 14.0) {
        return counted(static_cast<std::size_t>(std::max(0.0, days)), "day", "days");
    }
    if (days < 60.0) {
        return counted(static_cast<std::size_t>(days / 7.0), "week", "weeks");
    }
    return counted(static_cast<std::size_t>(days / 30.44), "month", "months");
}

BathRow bath_row(Studio& studio, const Bath& bath, const std::map<std::string, Disposal>& gone) {
    store::Log& log = studio.log();
    BathRow row{.id = bath.id, .number = bath.number};
    store::Query counts(log,
                        "SELECT count(*) FILTER (WHERE strip_id IS NOT NULL), count(*) FILTER (WHERE strip_id IS NULL) "
                        "FROM dip WHERE bath_id = ?1",
                        {bath.id.text});
    if (counts.next()) {
        row.more = counted(static_cast<std::size_t>(counts.integer(0)), "strip", "strips") + ", " +
                   counted(static_cast<std::size_t>(counts.integer(1)), "dip", "dips");
    }
    if (const auto went = gone.find(folded(bath.number)); went != gone.end()) {
        const Disposal& disposal = went->second;
        row.state = BathState::gone;
        row.line = "gone " + date_text(disposal.at);
        row.more = disposal.bath_id && disposal.volume ? text_of(*disposal.volume, studio.units()) + ", logged" : "logged";
    } else if (bath.ended_at) {
        const bool kept = bath.kept_back && bath.kept_back->ml() > 0.0;
        row.state = kept ? BathState::owed : BathState::ended;
        row.line = kept ? "owed: " + text_of(*bath.kept_back, studio.units()) : "ended " + date_text(*bath.ended_at);
        row.more = kept ? "since " + date_text(*bath.ended_at) : row.more;
    } else {
        row.line = "in use";
        if (const auto history = bath_history(log, bath.id); history && history->temp_known) {
            const double t_s = history->t_of(studio.now());
            row.line += ", " + text_of(Celsius::from_celsius(history->course.temp.temp_c(t_s)), studio.units());
        }
    }
    return row;
}

JarRow jar_row(Studio& studio, const Lot& lot) {
    JarRow row{.id = lot.id, .number = lot.number, .ages = studio.finish_kind(lot.finish_kind).dose};
    const LotBalance balance = lot_balance(studio, lot);
    std::vector<std::string> more;
    if (lot.bought_amount) {
        const double left = balance.left.value_or(*lot.bought_amount - balance.used - balance.spoiled);
        row.full = std::clamp(left / *lot.bought_amount, 0.0, 1.0);
        row.line = amount_text(std::max(0.0, left), lot.unit) + " of " + amount_text(*lot.bought_amount, lot.unit);
        if (balance.asks()) {
            more.push_back(amount_text(std::abs(*balance.unaccounted), lot.unit) + (*balance.unaccounted > 0.0 ? " not accounted for" : " more than there should be"));
            row.asks = true;
        }
    } else {
        row.line = std::string(word_of(lot.form)) + ", amount not known";
    }
    if (more.empty() && lot.opened_at) {
        more.push_back("opened " + age_words(seconds_between(*lot.opened_at, studio.now()) / 86400.0));
    }
    row.more = joined(more, ", ");
    return row;
}

}  // namespace

BathsList baths_list(Studio& studio) {
    BathsList list;
    const std::map<std::string, Disposal> gone = gone_baths(studio);
    for (const Bath& bath : store::list<Bath>(studio.log(), "ORDER BY made_up_utc_ms DESC, id DESC LIMIT 500")) {
        list.baths.push_back(bath_row(studio, bath, gone));
    }
    for (const Lot& lot : store::list<Lot>(studio.log(), "WHERE retired_utc_ms IS NULL ORDER BY number")) {
        list.jars.push_back(jar_row(studio, lot));
    }
    return list;
}

}  // namespace tonebath::app
