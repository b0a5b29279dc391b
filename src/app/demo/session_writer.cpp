#include "app/demo/session.hpp"

#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kWatchScatter = 0.04;  // of a strip pulled as it turned
constexpr double kReadingNoise_c = 0.3;
constexpr double kTypedLater_s = 1200.0;

}  // namespace

Session::Session(DemoBook& book, const DemoBath& plan)
    : book_(book), plan_(with_faults(plan, book.faults)), made_up_(demo_moment(plan.month, plan.day, plan.hour, plan.minute)) {
    const DemoFaults& faults = book.faults;
    law_.room_c = plan_.room_c;
    law_.k_per_min = plan_.vessel == "V3" ? 0.010 : 0.035;
    law_.heats.push_back({0.0, plan_.start_c});
    if (plan_.reheat_at_min > 0.0) {
        law_.heats.push_back({plan_.reheat_at_min * 60.0, plan_.reheat_c});
    }
    law_.lot_factor = demo_lot_factor(plan_.lot, made_up_, faults);
    law_.yellow_speed = faults.yellow_speed;
    new_probe_ = faults.probe_month != 0 && made_up_ >= demo_moment(faults.probe_month, faults.probe_day);
    const bool checked = new_probe_ && made_up_ >= demo_moment(faults.check_month, faults.check_day);
    law_.probe_error_c = new_probe_ ? faults.probe_error_c : 0.0;
    law_.known_error_c = checked ? faults.probe_error_c : 0.0;
}

void Session::write() {
    write_bath();
    const bool pieces_first = plan_.timing == DemoTiming::cold_day || plan_.timing == DemoTiming::first_hottest;
    if (!pieces_first) {
        strips();
    }
    for (const DemoTask& task : plan_.tasks) {
        stage(task);
    }
    if (pieces_first) {
        strips();
    }
    readings();
    finish();
}

void Session::write_bath() {
    const Lot& lot = book_.lots.at(std::string(plan_.lot));
    bath_.id = book_.id<Bath>(made_up_);
    bath_.number = std::to_string(plan_.number);
    bath_.finish_kind = lot.finish_kind;
    bath_.lot_id = lot.id;
    bath_.amount = lot.form == LotForm::lump ? 2.0 : lot.form == LotForm::gel ? 6.0 : 8.0;
    bath_.water = Millilitres::from_ml(kBathWater_ml);
    bath_.room_temp = Celsius::from_celsius(plan_.room_c);
    // The make-up temperature is not corrected for a thermometer, so with the new probe only its readings stand.
    if (!new_probe_) {
        bath_.start_temp = Celsius::from_celsius(plan_.timing == DemoTiming::cold_day
                                                     ? plan_.start_c
                                                     : to_tenth(plan_.start_c + kReadingNoise_c * book_.dice.normal()));
    }
    bath_.vessel_id = book_.vessels.at(std::string(plan_.vessel)).id;
    bath_.water_source = "hard tap";
    bath_.agitation = Agitation::gentle;
    bath_.who = maker();
    bath_.note = plan_.note;
    bath_.made_up_at = made_up_;
    bath_.made_at = made_up_;
    store::insert(book_.log, bath_);
    book_.baths[plan_.number] = bath_.id;
    if (plan_.checked) {
        check();
    }
}

void Session::check() {
    write_check(book_, {.list = "before_session", .kind = bath_.finish_kind, .at = at(8.0), .bath_id = bath_.id, .every_s = 11.0, .number = {}, .who = plan_.who, .note = {}});
}

Dip Session::put_dip(Dip dip, double t_s, double seconds) {
    const double length = std::round(seconds * 1000.0) / 1000.0;
    dip.bath_id = bath_.id;
    const Stamp out = at(t_s + length);
    const Stamp written = dip.past_work ? plus_seconds(out, kTypedLater_s) : out;
    dip.id = book_.id<Dip>(written);
    dip.made_at = written;
    if (!dip.past_work) {
        dip.dropped_at = at(t_s);
        dip.out_at = out;
        dip.in_bath = Seconds::from_seconds(length);
    }
    store::insert(book_.log, dip);
    end_s_ = std::max(end_s_, t_s + length);
    Rinse rinse;
    const Stamp begun = plus_seconds(out, 4.0);
    rinse.id = book_.id<Rinse>(begun);
    rinse.dip_id = dip.id;
    rinse.at = begun;
    rinse.length = Seconds::from_seconds(
        std::round(book_.dice.one_in(12.0) ? book_.dice.between(5.0, 9.0) : book_.dice.between(20.0, 45.0)));
    rinse.made_at = begun;
    store::insert(book_.log, rinse);
    return dip;
}

void Session::strips() {
    using enum DemoAlloy;
    static constexpr std::array<const char*, 3> kEarly{"gold", "magenta", "blue"};
    static constexpr std::array<const char*, 3> kLate{"blue", "gold", "gunmetal"};
    const auto turn = static_cast<std::size_t>(plan_.number % 3);
    const double gap = plan_.number == 46 ? 150.0 : 180.0;
    double t_s = std::max(120.0, end_s_ + 120.0);
    strip(t_s, sterling, "sterling", kEarly[turn], 0.0);
    strip(t_s + gap, sterling, "sterling", kLate[turn], 0.0);
    t_s += 2.0 * gap;
    switch (plan_.number % 4) {
        case 0: return strip(t_s, copper, "copper", "brown", 0.0);
        case 1: return strip(t_s, fine_silver, "fine silver", "gold", 0.0);
        case 2: return strip(t_s, sterling, "sterling", "", 30.0);
        default: return strip(t_s, red_brass, "red brass", "", 60.0);
    }
}

void Session::strip(double t_s, DemoAlloy alloy, const char* metal, const char* watched_for, double seconds) {
    const DemoScale& scale = book_.scales.at(metal);
    const bool watched = *watched_for != '\0';
    Strip strip;
    strip.id = book_.id<Strip>(at(t_s));
    strip.number = std::to_string(++book_.strips);
    strip.metal_id = scale.metal.id;
    strip.surface = "bright";
    strip.made_at = at(t_s);
    store::insert(book_.log, strip);
    const double length = watched ? law_.true_s(t_s, demo_begin_of(alloy, watched_for), alloy) *
                                        std::exp(kWatchScatter * book_.dice.normal())
                                  : seconds;
    Dip dip;
    dip.strip_id = strip.id;
    dip.lane = 1;
    dip.watched = watched;
    dip.who = maker();
    if (watched) {
        dip.aim_tone_id = scale.tones.at(watched_for).id;
    }
    dip = put_dip(dip, t_s, length);
    const double dose = law_.dose_s(t_s, t_s + length, alloy) * std::exp(0.06 * book_.dice.normal());
    const Stamp looked = plus_seconds(*dip.out_at, 8.0);
    Judgement judgement;
    judgement.id = book_.id<Judgement>(looked);
    judgement.strip_id = strip.id;
    judgement.dip_id = dip.id;
    judgement.at = looked;
    judgement.tone_id =
        scale.tones.find(watched ? std::string_view(watched_for) : demo_word_at(alloy, dose))->second.id;
    judgement.who = maker();
    judgement.made_at = looked;
    store::insert(book_.log, judgement);
}

void Session::readings() {
    std::vector<double> times = exact_readings_;
    const std::size_t exact = times.size();
    if (exact > 0) {
        times.push_back(end_s_);
    } else {
        const int many = plan_.number == 46 ? 4 : 3 + plan_.number % 4;
        for (int i = 0; i < many; ++i) {
            times.push_back(30.0 + (std::max(end_s_, 600.0) - 30.0) * i / (many - 1));
        }
    }
    double before_s = 0.0;
    for (std::size_t i = 0; i < times.size(); ++i) {
        Reading reading;
        reading.at = at(times[i]);
        reading.id = book_.id<Reading>(reading.at);
        reading.bath_id = bath_.id;
        const double noise = i < exact ? 0.0 : kReadingNoise_c * book_.dice.normal();
        reading.temp = Celsius::from_celsius(to_tenth(law_.temp_c(times[i]) + law_.probe_error_c + noise));
        reading.thermometer_id = book_.thermometers.at(new_probe_ ? "T2" : "T1").id;
        reading.reheated = law_.heats.size() > 1 && before_s < law_.heats[1].at_s && law_.heats[1].at_s <= times[i];
        reading.who = maker();
        reading.made_at = reading.at;
        store::insert(book_.log, reading);
        before_s = times[i];
    }
}

void Session::finish() {
    if (plan_.number == 46) {
        return;
    }
    bath_.ended_at = at(std::max(5400.0, end_s_ + 1800.0));
    if (plan_.number == kOwedBath) {
        bath_.kept_back = Millilitres::from_ml(kBathWater_ml);
    }
    store::update(book_.log, bath_);
}

void plan_sessions(DemoBook& book) {
    for (const DemoBath& plan : demo_baths()) {
        book.plan(demo_moment(plan.month, plan.day, plan.hour, plan.minute), fmt::format("bath {}", plan.number),
                  plan.who, [&book, &plan] { Session(book, plan).write(); });
    }
}

}  // namespace tonebath::app
