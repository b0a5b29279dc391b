#include "explain_rates.hpp"

#include "app/demo/dice.hpp"
#include "app/demo/invented_law.hpp"
#include "app/demo/invented_year.hpp"
#include "app/repeat.hpp"
#include "faults_studio.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::demo_test {
namespace {

using app::DriftCause;

constexpr double kDay_s = 86400.0;
constexpr double kNear_days = 21.0;       // of a slide: a jar gives a bath every week or two
constexpr double kSameDay_days = 7.0;     // of a step: the studio's baths are four days apart
constexpr double kHalfLifeWithin = 2.0;   // times
constexpr double kTimeWithin = 0.25;      // of a repeat order's time
const std::array<int, 3> kLidBaths{11, 19, 28};
const std::map<int, int> kBatchOf{{11, 9}, {19, 15}, {28, 20}};

struct Truth {
    app::DemoFaults faults;
    std::optional<Stamp> jar_opened, probe_since;
    double jar_half_life_days = 0.0;
    int hot_bath = 0;             // in which the apprentice's rack came first and hottest; 0 = none
    std::vector<int> fair_baths;  // shared by both at equal dose
    int asked_bath = 0;           // of the cold day, or one at equal dose
    std::string odd;              // the lid that is odd, or might be
};

// A list of numbers in one line for each design would be no clearer: lids are numbered batch by batch.
const std::vector<std::pair<int, int>>& lids_by_batch() {
    static const std::vector<std::pair<int, int>> all{{1, 6}, {4, 6}, {6, 6}, {9, 12}, {13, 3}, {15, 12}, {20, 18}, {25, 3}};
    return all;
}

std::vector<std::string> lids_of(int batch) {
    std::vector<std::string> lids;
    int n = 0;
    for (const auto& [one, pieces] : lids_by_batch()) {
        for (int i = 0; i < pieces; ++i) {
            ++n;
            if (one == batch) {
                lids.push_back(fmt::format("L-{:03}", n));
            }
        }
    }
    return lids;
}

template <class T>
const T& one_of(app::Dice& dice, const std::vector<T>& all) {
    return all.at(static_cast<std::size_t>(dice.even() * static_cast<double>(all.size())));
}

// Three studios in four have the fault.
bool planted_here(app::Dice& dice) { return !dice.one_in(4.0); }
// Half to double.
double size_of(app::Dice& dice) { return std::exp2(dice.between(-1.0, 1.0)); }

Stamp made_up(const app::DemoBath& bath) { return app::demo_moment(bath.month, bath.day, bath.hour, bath.minute); }

std::vector<Stamp> baths_of(const std::string& lot, const app::DemoFaults& faults) {
    std::vector<Stamp> days;
    for (const app::DemoBath& bath : app::demo_baths()) {
        if (app::with_faults(bath, faults).lot == lot) {
            days.push_back(made_up(bath));
        }
    }
    return days;
}

void draw_baths(app::Dice& dice, Truth& truth) {
    app::DemoFaults& f = truth.faults;
    std::vector<int> left(kLidBaths.begin(), kLidBaths.end());
    f.hottest_first.clear();
    f.apprentice_batches.clear();
    f.cold_bath = 0;
    const bool cold = planted_here(dice);
    const int cold_bath = one_of(dice, left);
    const double fall_c = 15.0 * size_of(dice);
    f.cold_racks_c = {55.0, 55.0 - 0.6 * fall_c, 55.0 - fall_c};
    if (cold) {
        f.cold_bath = cold_bath;
        std::erase(left, cold_bath);
        if (kBatchOf.at(cold_bath) != 20) {
            f.cold_racks_c = {55.0, 55.0 - fall_c, 55.0 - fall_c};  // two racks
        }
        static const std::map<int, std::vector<std::string>> open{
            {11, {"LS-1", "LS-2"}}, {19, {"LS-1", "LS-2", "LS-3", "LS-4"}}, {28, {"LS-1", "LS-2", "LS-3", "LS-4"}}};
        f.lots[cold_bath] = one_of(dice, open.at(cold_bath));
    }
    const bool hot = planted_here(dice);
    const int hot_bath = one_of(dice, left);
    f.second_rack_c = 55.0 - 5.0 * size_of(dice);
    if (hot) {
        truth.hot_bath = hot_bath;
        f.hottest_first = {hot_bath};
    }
    for (const int bath : left) {
        f.apprentice_batches.push_back(kBatchOf.at(bath));
        if (bath != truth.hot_bath) {
            truth.fair_baths.push_back(bath);
        }
    }
    truth.asked_bath = cold ? cold_bath : truth.fair_baths.front();
}

void draw_jar(app::Dice& dice, Truth& truth) {
    app::DemoFaults& f = truth.faults;
    const bool planted = planted_here(dice);
    f.jar = one_of(dice, std::vector<std::string>{"LS-1", "LS-2", "LS-3"});
    truth.jar_half_life_days = 44.0 * size_of(dice);
    f.jar_left = std::exp2(-38.0 / truth.jar_half_life_days);
    // With at least four of its baths on either side, and four weeks to its last one.
    const std::vector<Stamp> baths = baths_of(f.jar, f);
    const double first = seconds_between(baths.front(), baths[3]) / kDay_s;
    const double last = std::min(seconds_between(baths.front(), baths[baths.size() - 5]),
                                 seconds_between(baths.front(), baths.back()) - 28.0 * kDay_s) / kDay_s;
    const CivilTime day = civil(plus_seconds(baths.front(), kDay_s * std::floor(dice.between(first, std::max(first, last)))));
    f.jar_month = day.month;
    f.jar_day = day.day;
    truth.jar_opened = app::demo_moment(day.month, day.day, 16);
    if (!planted) {
        f.jar.clear();
        truth.jar_opened.reset();
    }
}

void draw_probe(app::Dice& dice, Truth& truth) {
    app::DemoFaults& f = truth.faults;
    const bool planted = planted_here(dice);
    const double days = dice.between(0.0, 65.0);
    const CivilTime since = civil(plus_seconds(app::demo_moment(12, 15, 12), kDay_s * std::floor(days)));
    const CivilTime check = civil(plus_seconds(app::demo_moment(12, 15, 12), kDay_s * std::floor(days + dice.between(21.0, 38.0))));
    f.probe_month = since.month;
    f.probe_day = since.day;
    f.check_month = check.month;
    f.check_day = check.day;
    f.probe_error_c = (dice.even() < 0.5 ? -4.0 : 4.0) * size_of(dice);
    const bool right_one = dice.even() < 0.5;
    if (planted) {
        truth.probe_since = app::demo_moment(since.month, since.day);
    } else {
        // Another that reads right, or no other.
        f.probe_error_c = 0.0;
        f.probe_month = right_one ? f.probe_month : 0;
    }
}

Truth drawn(std::uint64_t seed) {
    app::Dice dice(seed ^ 0x5eedULL);
    Truth truth;
    app::DemoFaults& f = truth.faults;
    draw_baths(dice, truth);
    if (planted_here(dice)) {
        f.lots[46] = one_of(dice, std::vector<std::string>{"LS-2", "LS-3", "LS-4"});
        f.second_roll_from = dice.even() < 0.5 ? 20 : 31;
    } else {
        f.lots[46] = "LS-1";
        f.second_roll_from = 99;
    }
    draw_jar(dice, truth);
    draw_probe(dice, truth);
    f.yellow_batch = one_of(dice, std::vector<int>{5, 14, 16, 22, 28});
    f.yellow_speed = 0.06 * size_of(dice);
    if (!planted_here(dice)) {
        f.yellow_batch = 0;
    }
    std::vector<std::string> lids;
    for (const auto& [batch, pieces] : lids_by_batch()) {
        std::ranges::copy(lids_of(batch), std::back_inserter(lids));
    }
    std::erase(lids, "L-010");  // typed from memory
    std::erase(lids, "L-025");  // blotched: not measured
    truth.odd = one_of(dice, lids);
    f.odd_lid_darker_l = 11.0 * size_of(dice);
    f.odd_lid = planted_here(dice) ? truth.odd : "";
    return truth;
}

class Trial {
public:
    Trial(std::uint64_t seed, Rates& rates, std::string* told)
        : truth_(drawn(seed)), f_(truth_.faults), studio_(f_, seed, FitOf::plain_law), rates_(rates), told_(told), seed_(seed) {}

    void all() {
        const app::Drift drift = studio_.drift();
        shifts(drift);
        metals(drift);
        cold_day();
        apprentice();
        no_reason();
        repeat();
    }

private:
    void count(const std::string& id, bool planted, bool hit, bool alarm, const std::string& words) {
        Rate& rate = rates_[id];
        rate.planted += planted ? 1 : 0;
        rate.hit += planted && hit ? 1 : 0;
        rate.studios += 1;
        rate.false_alarm += alarm ? 1 : 0;
        if (told_ != nullptr && ((planted && !hit) || alarm)) {
            *told_ += fmt::format("{} {} {}{}: {}\n", seed_, id, planted && !hit ? "missed " : "", alarm ? "FALSE" : "", words);
        }
    }

    // P1 and P8. Each shift that is told of is the jar's, the probe's, or false.
    void shifts(const app::Drift& drift) {
        bool jar = false, probe = false, other_lot = false, other_shared = false;
        std::string words;
        for (const app::DriftShift& shift : drift.shifts) {
            const auto days_from = [&](const std::optional<Stamp>& day) {
                return day ? std::abs(seconds_between(*day, shift.from)) / kDay_s : 1e9;
            };
            words += fmt::format("[{}] ", shift.words);
            if (shift.cause == DriftCause::lot) {
                const bool right = shift.lot == f_.jar && shift.ratio < 1.0;
                jar = jar || (right && shift.slow && days_from(truth_.jar_opened) <= kNear_days && shift.half_life_days &&
                              std::abs(std::log(*shift.half_life_days / truth_.jar_half_life_days)) <= std::log(kHalfLifeWithin));
                other_lot = other_lot || !right;
            } else {
                const bool right = (shift.ratio < 1.0) == (f_.probe_error_c > 0.0) &&
                                   days_from(truth_.probe_since) <= kSameDay_days;
                probe = probe || (right && shift.cause == DriftCause::thermometer);
                // Without a name for its cause it is a miss; with another name, or elsewhere, it is false.
                other_shared = other_shared || !right || (shift.cause != DriftCause::thermometer &&
                                                          shift.cause != DriftCause::shared && shift.cause != DriftCause::cannot_tell);
            }
        }
        count("P1", !f_.jar.empty(), jar, other_lot,
              fmt::format("{} {}-{} half {:.0f} d; {}", f_.jar, f_.jar_month, f_.jar_day, truth_.jar_half_life_days, words));
        count("P8", truth_.probe_since.has_value(), probe, other_shared,
              fmt::format("{:+.1f} °C {}-{} to {}-{}; {}", f_.probe_error_c, f_.probe_month, f_.probe_day, f_.check_month,
                          f_.check_day, words));
    }

    void metals(const app::Drift& drift) {
        bool brass = false, other = false;
        std::string words;
        for (const app::MetalDoubt& doubt : drift.metals) {
            const bool right = doubt.batch == std::to_string(f_.yellow_batch) && doubt.part == "base";
            brass = brass || right;
            other = other || !right;
            words += doubt.words + " ";
        }
        count("P3", f_.yellow_batch != 0, brass, other, fmt::format("batch {} at {:.3f}; {}", f_.yellow_batch, f_.yellow_speed, words));
    }

    // The last rack was dipped in a colder bath: only heat is named. At equal dose nobody's heat is.
    void cold_day() {
        const std::vector<std::string> lids = lids_of(kBatchOf.at(truth_.asked_bath));
        const bool planted = f_.cold_bath != 0;
        bool hit = false, alarm = false;
        std::string words;
        for (std::size_t i = lids.size() - 6; i < lids.size(); ++i) {
            if (lids[i] == f_.odd_lid || lids[i] == "L-025") {
                continue;
            }
            const app::WhyAnswer why = studio_.why(lids[i], "lid");
            bool heat = false, other = false;
            for (const app::WhyRow& row : why.rows) {
                // The bath had stood longer too, and faded: that is no false name.
                if (row.name != "hours the bath had stood") {
                    (row.name == "heat of the bath" ? heat : other) |= row.named;
                }
            }
            words = why.words;
            hit = why.differs && why.seen_tones < 0.0 && heat && !other && !why.nothing_recorded_explains;
            if (planted ? other : heat) {
                alarm = true;
                words += " (" + lids[i] + ")";
                break;
            }
        }
        count("P2", planted, hit, alarm,
              fmt::format("bath {} {} to {:.0f} °C; {}", f_.cold_bath, planted ? f_.lots[f_.cold_bath] : "", f_.cold_racks_c[2], words));
    }

    app::CompareRow by_who(int bath) const {
        const app::Comparison who = app::compare_groups(*studio_.studio, *studio_.learned,
            {.by = app::CompareBy::who, .batch = std::to_string(kBatchOf.at(bath)), .part = "lid"});
        if (who.rows.size() != 1) {
            throw std::runtime_error("no comparison: " + who.words);
        }
        return who.rows.front();
    }

    void apprentice() {
        bool hit = false, alarm = false;
        std::string words;
        if (truth_.hot_bath != 0) {
            const app::CompareRow row = by_who(truth_.hot_bath);
            const bool heat = std::ranges::find(row.confounded, "heat of the bath") != row.confounded.end();
            hit = row.raw_differs && (row.raw_tones > 0.0) == (row.first == "AP") && heat && !row.equal_dose_differs;
            alarm = row.equal_dose_differs;
            words = row.words;
        }
        for (const int bath : truth_.fair_baths) {
            const app::CompareRow row = by_who(bath);
            if (row.raw_differs || row.equal_dose_differs) {
                alarm = true;
                words += fmt::format(" (fair: bath {} {})", bath, row.words);
            }
        }
        count("P13", truth_.hot_bath != 0, hit, alarm, fmt::format("bath {} second {:.1f}; {}", truth_.hot_bath, f_.second_rack_c, words));
    }

    void no_reason() {
        bool hit = false, alarm = false;
        std::string words;
        for (const auto& [batch, pieces] : lids_by_batch()) {
            const std::vector<std::string> lids = lids_of(batch);
            if (std::ranges::find(lids, truth_.odd) == lids.end()) {
                continue;
            }
            for (const std::string& lid : lids) {
                if (lid == "L-010" || lid == "L-025") {
                    continue;
                }
                const app::WhyAnswer why = studio_.why(lid, "lid");
                if (lid == f_.odd_lid) {
                    hit = why.nothing_recorded_explains && std::ranges::none_of(why.rows, &app::WhyRow::named);
                    words += why.words;
                } else if (why.nothing_recorded_explains) {
                    alarm = true;
                    words += " (mate) " + why.words;
                }
            }
        }
        count("P14", !f_.odd_lid.empty(), hit, alarm, fmt::format("{} darker by {:.1f}; {}", truth_.odd, f_.odd_lid_darker_l, words));
    }

    // Of jar, thermometer and sheet just those that changed are told to have changed, and the time is today's.
    void repeat() {
        const auto order = app::repeat_order(*studio_.studio, *studio_.learned, {.number = "R-07"});
        if (!order) {
            throw std::runtime_error(order.error().text());
        }
        const std::map<std::string, bool> changed{{"lot", f_.lots[46] != "LS-1"},
                                                  {"thermometer", f_.probe_month != 0},
                                                  {"cup, source of the metal", f_.second_roll_from != 99}};
        bool hit = order->strips_s.size() == 2, alarm = false, planted = false;
        std::string words;
        for (const app::RepeatChange& one : order->changes) {
            const auto truly = changed.find(one.what);
            if (truly == changed.end()) {
                continue;
            }
            const bool said = one.likeness == app::Likeness::changed;
            planted = planted || truly->second;
            hit = hit && said == truly->second;
            alarm = alarm || (said && !truly->second);
            words += app::then_and_now(one) + "; ";
        }
        const double truth_s = true_seconds();
        hit = hit && order->out_s && std::abs(*order->out_s / truth_s - 1.0) <= kTimeWithin;
        count("P16", planted, hit, alarm, fmt::format("{} truly {:.0f} s, told {:.0f} s", words, truth_s, order->out_s.value_or(0.0)));
    }

    // Of 34 s at 55 °C, fresh, in the bath of the last day.
    double true_seconds() const {
        const app::DemoBath bath = app::with_faults(app::demo_baths().back(), f_);
        app::DemoBathLaw law;
        law.heats.push_back({0.0, bath.start_c});
        law.room_c = bath.room_c;
        law.k_per_min = 0.010;
        law.lot_factor = app::demo_lot_factor(bath.lot, made_up(bath), f_);
        return law.true_s(seconds_between(made_up(bath), app::demo_as_of()), 34.0, app::DemoAlloy::sterling);
    }

    Truth truth_;
    app::DemoFaults& f_;
    FaultsStudio studio_;
    Rates& rates_;
    std::string* told_;
    std::uint64_t seed_;
};

}  // namespace

void try_studio(std::uint64_t seed, Rates& rates, std::string* told) { Trial(seed, rates, told).all(); }

Rates rates_of(int studios, std::uint64_t first_seed) {
    Rates rates;
    for (int i = 0; i < studios; ++i) {
        try_studio(first_seed + static_cast<std::uint64_t>(i), rates);
    }
    return rates;
}

std::string rates_table(const Rates& rates) {
    std::string text = "| fault | planted | found | | studios | false alarms | |\n|---|---|---|---|---|---|---|\n";
    for (const auto& [id, rate] : rates) {
        text += fmt::format("| {} | {} | {} | {:.1f} % | {} | {} | {:.1f} % |\n", id, rate.planted, rate.hit,
                            100.0 * rate.hit / std::max(1, rate.planted), rate.studios, rate.false_alarm,
                            100.0 * rate.false_alarm / std::max(1, rate.studios));
    }
    return text;
}

}  // namespace tonebath::demo_test
