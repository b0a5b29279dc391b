#include "app/views/today_view.hpp"

#include "app/checks.hpp"
#include "app/classes.hpp"
#include "app/learning.hpp"
#include "app/studio.hpp"
#include "app/tone_span.hpp"
#include "app/views/fill_in_view.hpp"
#include "app/waste.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/fade.hpp"
#include "store/bath_store.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kAgeing_days = 150.0;  // a jar opened longer than this is worth a fresh strip (our choice; months, J1)

double hour_of(const Stamp& at) {
    const CivilTime t = civil(at);
    return t.hour + t.minute / 60.0 + t.second / 3600.0;
}

bool same_day(const Stamp& a, const Stamp& b) {
    const CivilTime x = civil(a);
    const CivilTime y = civil({.utc_ms = b.utc_ms, .offset_min = a.offset_min});
    return x.year == y.year && x.month == y.month && x.day == y.day;
}

std::string make_up_words(const Bath& bath, const std::optional<Lot>& lot, const std::optional<Vessel>& vessel) {
    std::vector<std::string> words;
    if (lot) {
        words.push_back(lot->number);
    }
    if (lot && bath.amount && bath.water) {
        words.push_back(fmt::format("{} {}/L", fixed_text(*bath.amount / (bath.water->ml() / 1000.0), 1), word_of(lot->unit)));
    }
    if (vessel) {
        words.push_back(vessel->number);
    }
    return joined(words, ", ");
}

void baths_of_the_day(Studio& studio, const std::vector<Bath>& in_use, const Laws& laws, TodayView& view) {
    for (const Bath& bath : in_use) {
        const auto lot = bath.lot_id ? store::find(studio.log(), *bath.lot_id) : std::nullopt;
        const auto vessel = bath.vessel_id ? store::find(studio.log(), *bath.vessel_id) : std::nullopt;
        const Stamp made{.utc_ms = bath.made_up_at.utc_ms, .offset_min = view.now.offset_min};
        if (same_day(view.now, made)) {
            view.day.push_back({.id = bath.id.text, .kind = DayKind::bath, .hour = hour_of(made),
                                .head = time_text(made) + " Bath " + bath.number + " made up", .lines = {make_up_words(bath, lot, vessel), check_state(studio, bath).words}});
        }
        if (const auto third_h = science::age_at_strength_h(vessel && vessel->covered ? laws.covered : laws.open_hot, 1.0 / 3.0)) {
            const Stamp end = plus_seconds(made, *third_h * 3600.0);
            if (same_day(view.now, end)) {
                view.day.push_back({.id = bath.id.text, .kind = DayKind::throw_by, .hour = hour_of(end),
                                    .head = time_text(end) + " Bath " + bath.number + ", throw by", .lines = {"three times slower by then"}});
            }
        }
    }
}

void classes_of_the_day(Studio& studio, TodayView& view) {
    const std::int64_t day_ms = 86'400'000;
    for (const ClassSession& session : store::list<ClassSession>(studio.log(), "WHERE at_utc_ms BETWEEN ?1 AND ?2 AND past_work = 0 ORDER BY at_utc_ms",
                                                                 {view.now.utc_ms - day_ms, view.now.utc_ms + day_ms})) {
        if (!same_day(view.now, session.at)) {
            continue;
        }
        const SeatCount count = count_of(seats_of(studio, session.id));
        const bool waits = !session.started_at;
        view.day.push_back({.id = session.id.text, .kind = DayKind::class_session, .hour = hour_of(session.at), .head = time_text(session.at) + " Class",
                            .lines = {fmt::format("{}, limit {}", counted(count.taken, "seat", "seats"), session.seat_limit),
                                      session.ended_at ? "ended " + time_text(*session.ended_at)
                                      : waits          ? fmt::format("waiting: {} of {} briefed", count.briefed, count.in_use)
                                                       : "under way"},
                            .to_do = !session.ended_at});
    }
}

// The newest batch that still has pieces without a dip.
std::optional<NextDip> next_dip(Studio& studio, const std::vector<Bath>& in_use, const std::shared_ptr<const Learned>& learned) {
    store::Query waiting(studio.log(),
                         "SELECT b.id, count(*) FROM piece p JOIN batch b ON b.id = p.batch_id WHERE p.sold_utc_ms IS NULL AND NOT EXISTS "
                         "(SELECT 1 FROM dip d WHERE d.piece_id = p.id OR d.part_id IN (SELECT id FROM part WHERE piece_id = p.id)) "
                         "GROUP BY b.id ORDER BY b.made_utc_ms DESC, b.id LIMIT 1");
    if (!waiting.next()) {
        return std::nullopt;
    }
    NextDip next{.batch_id = {waiting.text(0)}, .waiting = static_cast<std::size_t>(waiting.integer(1))};
    const auto batch = store::find(studio.log(), next.batch_id);
    if (!batch) {
        return std::nullopt;
    }
    next.batch = batch->number;
    next.words = fmt::format("{} {}", next.waiting, batch->design.empty() ? "pieces" : batch->design);
    std::optional<Target> target = batch->target_id ? store::find(studio.log(), *batch->target_id) : std::nullopt;
    if (!target && batch->order_id) {
        const auto order = store::find(studio.log(), *batch->order_id);
        target = order && order->target_id ? store::find(studio.log(), *order->target_id) : std::nullopt;
    }
    if (target) {
        next.scale = target->scale_id.text;
        if (const auto tone = store::find(studio.log(), target->tone_id)) {
            next.tone = tone->word;
            next.aim = ScalePlace{.tone = tone->position, .share = 0.5};
        }
    }
    if (!in_use.empty()) {
        next.bath_id = in_use.front().id;
        next.bath = in_use.front().number;
        next.check_words = check_state(studio, in_use.front()).words;
        if (learned && target) {
            next.plan = plan(studio, *learned, {.bath_id = *next.bath_id, .scale_id = target->scale_id, .tone_id = target->tone_id, .target_id = target->id, .subject = subject_of(*batch)});
        }
    }
    return next;
}

void owed(Studio& studio, TodayView& view) {
    store::Log& log = studio.log();
    for (const OwedBath& bath : owed_baths(studio)) {
        if (bath.kept_back) {
            view.owed.push_back({.record = bath.id.text, .noun = "bath", .kind = OwedKind::disposal, .number = "Bath " + bath.number,
                                 .line = text_of(Millilitres::from_ml(bath.ml.value_or(0.0)), studio.units()) + " kept back since " + date_text(bath.ended),
                                 .more = "to be disposed of by your local rule", .since = bath.ended});
        }
    }
    for (const Lot& lot : store::list<Lot>(log, "WHERE retired_utc_ms IS NULL AND opened_utc_ms IS NOT NULL AND form IN ('lump', 'gel', 'liquid') ORDER BY opened_utc_ms")) {
        const double days = seconds_between(*lot.opened_at, view.now) / 86400.0;
        if (days > kAgeing_days) {
            view.owed.push_back({.record = lot.id.text, .noun = "lot", .kind = OwedKind::ageing, .number = lot.number,
                                 .line = fmt::format("opened {} months", static_cast<int>(days / 30.44)),
                                 .more = "dip a strip before the next batch", .since = *lot.opened_at});
        }
    }
    for (const Order& order : store::list<Order>(log, "WHERE wanted_by_utc_ms IS NOT NULL AND NOT EXISTS (SELECT 1 FROM piece p JOIN dip d ON "
                                                      "d.piece_id = p.id OR d.part_id IN (SELECT id FROM part WHERE piece_id = p.id) WHERE p.order_id = client_order.id) ORDER BY wanted_by_utc_ms")) {
        view.owed.push_back({.record = order.id.text, .noun = "order", .kind = OwedKind::order, .number = order.number,
                             .line = "wanted by " + date_text(*order.wanted_by), .more = order.repeat_of ? "a repeat: see its list of changes" : "not begun",
                             .since = order.received_at.value_or(order.made_at)});
    }
    if (const FillInList blanks = fill_in_list(studio); !blanks.lines.empty()) {
        view.owed.push_back({.record = "", .noun = "dip", .kind = OwedKind::fill_in, .number = "Fill in",
                             .line = counted(blanks.lines.size(), "blank", blanks.more ? "blanks and more" : "blanks") + " at the bench",
                             .more = "newest: " + blanks.lines.front().number + ", " + blanks.lines.front().missing, .since = view.now});
    }
}

std::string advice(const TodayView& view) {
    if (!view.any_lot) {
        return "Write down the jar first: its form, how much, when it was opened.";
    }
    if (view.baths_in_use == 0) {
        return "No bath is in use. Make one up to begin.";
    }
    if (!view.any_strip) {
        return "Dip a strip first: until then every time is a wide guess.";
    }
    return view.next ? "" : "Nothing waits to be dipped. Write down pieces, or dip a strip.";
}

}  // namespace

TodayView today_view(Studio& studio, const std::shared_ptr<const Learned>& learned) {
    store::Log& log = studio.log();
    TodayView view{.now = studio.now()};
    store::Query any(log, "SELECT EXISTS(SELECT 1 FROM lot), EXISTS(SELECT 1 FROM bath), EXISTS(SELECT 1 FROM strip)");
    if (any.next()) {
        view.any_lot = any.integer(0) != 0;
        view.any_bath = any.integer(1) != 0;
        view.any_strip = any.integer(2) != 0;
    }
    const auto in_use = store::baths_in_use(log, 20);
    view.baths_in_use = in_use.size();
    baths_of_the_day(studio, in_use, learned ? laws_of(*learned) : Laws{}, view);
    classes_of_the_day(studio, view);
    view.next = next_dip(studio, baths_to_plan(studio), learned);
    if (view.next) {
        view.day.push_back({.id = view.next->batch_id.text, .kind = DayKind::batch, .hour = hour_of(plus_seconds(view.now, 600.0)),
                            .head = "Batch " + view.next->batch + ", next",
                            .lines = {view.next->words, view.next->tone.empty() ? "no aim written down" : "aim " + view.next->tone}, .to_do = true});
    }
    std::stable_sort(view.day.begin(), view.day.end(), [](const DayItem& a, const DayItem& b) { return a.hour < b.hour; });
    owed(studio, view);
    std::stable_sort(view.owed.begin(), view.owed.end(), [](const OwedItem& a, const OwedItem& b) { return a.since < b.since; });
    view.advice = advice(view);
    return view;
}

std::string today_text(Studio& studio, const TodayView& view) {
    std::string text = day_text(view.now) + ", " + time_text(view.now);
    text += studio.demo() ? "  (invented demo studio: no real person, piece or figure)\n" : "\n";
    for (const DayItem& item : view.day) {
        text += fmt::format("  {}{}\n", item.head, item.lines.empty() ? "" : "  (" + joined(item.lines, "; ") + ")");
    }
    if (view.next) {
        const NextDip& next = *view.next;
        text += fmt::format("\nNext at the bench: batch {}, {}\n", next.batch, next.words);
        if (next.plan && next.plan->out_s) {
            const Plan& p = *next.plan;
            text += fmt::format("  {} in bath {}: {} now, aim {} to {}\n", next.tone, next.bath, text_of(Seconds::from_seconds(*p.out_s)),
                                text_of(Seconds::from_seconds(*p.aim_low_s)), text_of(Seconds::from_seconds(*p.aim_high_s)));
            text += "  this piece may land: " + tone_span(p.lands_from, p.lands_to) + "\n";
            text += "  rests on " + joined(p.rests_on, ", ") + "\n";
            for (const std::string& one : p.counts_in) {
                text += "  counts in " + one + "\n";
            }
            if (!p.strip_words.empty()) {
                text += "  " + p.strip_words + "\n";
            }
            for (const std::string& caution : p.cautions) {
                text += "  note: " + caution + "\n";
            }
        } else if (next.plan && next.plan->refusal) {
            text += "  " + next.plan->refusal->text() + "\n";
        } else if (next.tone.empty()) {
            text += "  no aim is written down for it: add a target.\n";
        } else if (!next.bath_id) {
            text += "  no bath is in use: make one up.\n";
        }
        if (!next.check_words.empty()) {
            text += fmt::format("  bath {}, the lists: {}\n", next.bath, next.check_words);
        }
    }
    if (!view.advice.empty()) {
        text += "\n" + view.advice + "\n";
    }
    if (!view.owed.empty()) {
        text += fmt::format("\nOwed ({}):\n", view.owed.size());
        for (const OwedItem& item : view.owed) {
            text += fmt::format("  {:<9} {}; {}\n", item.number, item.line, item.more);
        }
    }
    text += "\nBefore a bath: acid and bleach away, air moving, goggles and gloves on. Local rules and licensed practice decide.\n";
    return text;
}

}  // namespace tonebath::app
