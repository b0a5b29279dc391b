#include "app/demo/writers.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kTimeScatter = 0.05;    // of the maker's hand
constexpr double kWatchScatter = 0.04;   // of a strip pulled as it turned
constexpr double kReadingNoise_c = 0.3;
constexpr double kTypedLater_s = 1200.0;
constexpr double kWholeDose_s = 3.5;     // the joined Limpet, to even it
constexpr double kLidDose_s = 30.5;      // with the whole: blue
constexpr double kCupDose_s = 24.5;      // with the whole: purplish brown
constexpr std::array<double, 3> kThirds{0.55, 0.20, 0.25};

double to_tenth(double value) { return std::round(value * 10.0) / 10.0; }

class Session {
public:
    Session(DemoBook& book, const DemoBath& plan) : book_(book), plan_(plan), made_up_(demo_moment(plan.month, plan.day, plan.hour, plan.minute)) {
        law_.room_c = plan.room_c;
        law_.k_per_min = plan.vessel == "V3" ? 0.010 : 0.035;
        law_.heats.push_back({0.0, plan.start_c});
        if (plan.reheat_at_min > 0.0) {
            law_.heats.push_back({plan.reheat_at_min * 60.0, plan.reheat_c});
        }
        law_.lot_factor = demo_lot_factor(plan.lot, made_up_);
        new_probe_ = made_up_ >= demo_moment(2, 3);
        law_.probe_error_c = new_probe_ ? 4.0 : 0.0;
        law_.known_error_c = made_up_ >= demo_moment(3, 1) ? 4.0 : 0.0;
    }

    void write() {
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

private:
    Stamp at(double t_s) const { return plus_seconds(made_up_, t_s); }
    Id<Person> maker() const { return book_.people.at(std::string(plan_.who)).id; }

    void write_bath() {
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
            bath_.start_temp = Celsius::from_celsius(plan_.timing == DemoTiming::cold_day ? plan_.start_c : to_tenth(plan_.start_c + kReadingNoise_c * book_.dice.normal()));
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

    void check() {
        CheckRun run;
        const Stamp begun = at(15.0);
        run.id = book_.id<CheckRun>(begun);
        run.list_key = book_.before_bath.key;
        run.list_version = book_.before_bath.version;
        run.bath_id = bath_.id;
        run.who = maker();
        run.at = begun;
        run.done_at = at(55.0);
        run.made_at = begun;
        store::insert(book_.log, run);
        double t_s = 20.0;
        for (const ChecklistItem& item : book_.stops.at(bath_.finish_kind)) {
            CheckAnswer answer;
            answer.id = book_.id<CheckAnswer>(at(t_s));
            answer.run_id = run.id;
            answer.item_key = item.key;
            answer.item_text = item.text;
            answer.level = std::string(word_of(item.level));
            answer.response = item.key == "ses.acid_away" ? "no pickle used" : item.key == "ses.air" ? "window fan on, tissue drifts away" : "worn, nitrile";
            answer.who = maker();
            answer.at = at(t_s);
            answer.made_at = at(t_s);
            store::insert(book_.log, answer);
            t_s += 15.0;
        }
    }

    // A dip as the bench writes it. Returns it as written.
    Dip put_dip(Dip dip, double t_s, double seconds) {
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
        rinse.length = Seconds::from_seconds(std::round(book_.dice.one_in(12.0) ? book_.dice.between(5.0, 9.0) : book_.dice.between(20.0, 45.0)));
        rinse.made_at = begun;
        store::insert(book_.log, rinse);
        return dip;
    }

    // Three strips a bath: two pulled as they turned, at different heats, and one of another metal or judged afterwards.
    void strips() {
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
            case 0:
                return strip(t_s, copper, "copper", "brown", 0.0);
            case 1:
                return strip(t_s, fine_silver, "fine silver", "gold", 0.0);
            case 2:
                return strip(t_s, sterling, "sterling", "", 30.0);
            default:
                return strip(t_s, red_brass, "red brass", "", 60.0);
        }
    }

    // Watched for a word, or for so many seconds and judged afterwards.
    void strip(double t_s, DemoAlloy alloy, const char* metal, const char* watched_for, double seconds) {
        const DemoScale& scale = book_.scales.at(metal);
        const bool watched = *watched_for != '\0';
        Strip strip;
        strip.id = book_.id<Strip>(at(t_s));
        strip.number = std::to_string(++book_.strips);
        strip.metal_id = scale.metal.id;
        strip.surface = "bright";
        strip.made_at = at(t_s);
        store::insert(book_.log, strip);
        const double length = watched ? law_.true_s(t_s, demo_begin_of(alloy, watched_for), alloy) * std::exp(kWatchScatter * book_.dice.normal()) : seconds;
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
        judgement.tone_id = scale.tones.find(watched ? std::string_view(watched_for) : demo_word_at(alloy, dose))->second.id;
        judgement.who = maker();
        judgement.made_at = looked;
        store::insert(book_.log, judgement);
    }

    // The moment at which the bath has come down to this temperature.
    double when_at(double temp_c) const {
        return -60.0 * std::log((temp_c - plan_.room_c) / (plan_.start_c - plan_.room_c)) / law_.k_per_min;
    }

    void stage(const DemoTask& task) {
        DemoWork& work = book_.works.at(task.batch);
        int racks = 1;
        for (const DemoPiece& piece : work.pieces) {
            racks = std::max(racks, *piece.record.rack);
        }
        for (int rack = 1; rack <= racks; ++rack) {
            const std::size_t from = task.stage == DemoStage::last_two ? 1 : 0;
            const std::size_t to = task.stage == DemoStage::thirds || task.stage == DemoStage::last_two ? 3 : 1;
            for (std::size_t third = from; third < to; ++third) {
                dip_rack(work, task, rack, third);
            }
        }
        after(work, task);
    }

    // What the silver (or the one metal) should get at this stage.
    double wanted(const DemoPart& lead, const DemoTask& task, std::size_t third) const {
        switch (task.stage) {
            case DemoStage::lid:
                return kLidDose_s;
            case DemoStage::cup:
                return kCupDose_s;
            case DemoStage::whole:
                return kWholeDose_s;
            case DemoStage::base:
            case DemoStage::tabs:
                return task.dose_s > 0.0 ? task.dose_s : demo_dose_of(DemoAlloy::sterling, "gunmetal");
            case DemoStage::thirds:
            case DemoStage::first:
            case DemoStage::last_two:
                return kThirds[third] * demo_dose_of(lead.alloy, lead.aim);
        }
        return 0.0;
    }

    struct RackTime {
        double t_s = 0.0;
        double planned_s = 0.0;
        double seconds = 0.0;
    };

    RackTime lane_time(double t_s, double wanted_s, DemoAlloy alloy) {
        const double planned = law_.reckoned_s(t_s, wanted_s, alloy);
        return {t_s, planned, std::max(1.5, planned * (1.0 + kTimeScatter * book_.dice.normal()))};
    }

    // One time for the whole rack, or none when each lane has its own.
    std::optional<RackTime> rack_time(int rack, double start_s, double wanted_s, DemoAlloy alloy) {
        switch (plan_.timing) {
            case DemoTiming::reckoned:
                return std::nullopt;
            case DemoTiming::rack: {
                RackTime time = lane_time(start_s, wanted_s, alloy);
                time.seconds = to_tenth(time.seconds);
                return time;
            }
            case DemoTiming::cold_day: {
                static constexpr std::array<double, 3> kTemps_c{55.0, 46.0, 40.0};
                const double t = when_at(kTemps_c[static_cast<std::size_t>(rack - 1)]);
                exact_readings_.push_back(t);
                return RackTime{t, 40.0, 40.0};
            }
            case DemoTiming::first_hottest:
                return RackTime{when_at(rack == 1 ? 55.0 : 50.0), 36.0, 36.0};
        }
        return std::nullopt;
    }

    void dip_rack(DemoWork& work, const DemoTask& task, int rack, std::size_t third) {
        const double start_s = end_s_ + (third > 0 ? 40.0 : 75.0);
        const bool base = task.stage == DemoStage::base;
        const bool second_part = base || task.stage == DemoStage::cup;
        const DemoPart& lead = work.pieces.front().parts[second_part ? 1 : 0];
        // The bases get the tabs' time: nobody knows yet that they differ.
        const DemoAlloy reckoned_as = base ? DemoAlloy::sterling : lead.alloy;
        const double wanted_s = wanted(lead, task, third);
        const std::optional<RackTime> together = rack_time(rack, start_s, wanted_s, reckoned_as);
        int lane = 0;
        for (DemoPiece& piece : work.pieces) {
            if (piece.record.rack != rack) {
                continue;
            }
            const RackTime time = together ? *together : lane_time(start_s + 8.0 * lane, wanted_s, reckoned_as);
            ++lane;
            dip_piece(work, piece, task, time, lane, second_part);
            if (plan_.number == kOwedBath && third == 2 && lane > 2) {
                no_name(piece);
            }
        }
        last_stage_end_s_ = end_s_;
    }

    void dip_piece(DemoWork& work, DemoPiece& piece, const DemoTask& task, const RackTime& time, int lane, bool second_part) {
        const bool by_part = task.stage == DemoStage::lid || task.stage == DemoStage::cup || task.stage == DemoStage::base || task.stage == DemoStage::tabs;
        Dip dip;
        if (by_part) {
            dip.part_id = piece.parts[second_part ? 1 : 0].record.id;
        } else {
            dip.piece_id = piece.record.id;
        }
        dip.lane = lane;
        const DemoPart& lead = piece.parts[second_part ? 1 : 0];
        dip.aim_tone_id = book_.scales.at(lead.written_as).tones.at(lead.aim).id;
        if (!second_part) {
            dip.target_id = work.record.target_id;
        }
        dip.planned_low_s = to_tenth(0.85 * time.planned_s);
        dip.planned_s = to_tenth(time.planned_s);
        dip.planned_high_s = to_tenth(1.2 * time.planned_s);
        dip.who = plan_.who == "TB" ? maker() : piece.who;
        if (piece.record.number == kMemoryPiece && task.stage == DemoStage::lid) {
            from_memory(dip, time);
        }
        dip = put_dip(dip, time.t_s, time.seconds);
        for (std::size_t i = 0; i < piece.parts.size(); ++i) {
            if (!by_part || i == (second_part ? 1U : 0U)) {
                piece.parts[i].dose_s += law_.dose_s(time.t_s, time.t_s + time.seconds, piece.parts[i].alloy);
            }
        }
        looked_at_[piece.record.number] = dip.id;
        if (task.stage == DemoStage::thirds || task.stage == DemoStage::last_two || task.stage == DemoStage::first) {
            look_between(piece, dip, task);
        }
    }

    // P17: typed twenty minutes later from memory, far from what it was.
    void from_memory(Dip& dip, const RackTime& time) const {
        dip.past_work = true;
        dip.lane.reset();
        dip.planned_low_s.reset();
        dip.planned_s.reset();
        dip.planned_high_s.reset();
        dip.at_about = at(time.t_s);
        dip.in_bath = Seconds::from_seconds(300.0);
        dip.from_memory = "in_bath_s";
        dip.note = "typed twenty minutes later, from memory";
    }

    // Two dips of the last session still lack a name: they wait in the fill-in list.
    void no_name(const DemoPiece& piece) {
        std::optional<Dip> dip = store::find(book_.log, looked_at_.at(piece.record.number));
        TB_CHECK(dip.has_value());
        dip->who.reset();
        store::update(book_.log, *dip);
    }

    void look_between(DemoPiece& piece, const Dip& dip, const DemoTask& task) {
        int& done = thirds_done_[piece.record.number];
        done += 1;
        const int all = task.stage == DemoStage::thirds ? 3 : task.stage == DemoStage::last_two ? 2 : 2;
        if (done < all) {
            write_judgement(book_, piece, piece.parts.front(), dip.id, plus_seconds(*dip.out_at, 30.0), DemoLook::word);
        }
    }

    // The look at the end of a stage.
    void after(DemoWork& work, const DemoTask& task) {
        const Stamp looked = at(last_stage_end_s_ + 1200.0);
        switch (task.stage) {
            case DemoStage::first:
                return;
            case DemoStage::lid:
            case DemoStage::cup:
                for (DemoPiece& piece : work.pieces) {
                    write_judgement(book_, piece, piece.parts[task.stage == DemoStage::cup ? 1 : 0], looked_at_.at(piece.record.number), looked, DemoLook::word);
                }
                break;
            case DemoStage::base:
            case DemoStage::tabs:
                for (DemoPiece& piece : work.pieces) {
                    write_judgement(book_, piece, piece.parts[task.stage == DemoStage::base ? 1 : 0], looked_at_.at(piece.record.number), looked, DemoLook::measured);
                }
                break;
            case DemoStage::whole:
            case DemoStage::thirds:
            case DemoStage::last_two:
                measure(work, looked);
                work.finished_at = looked;
                break;
        }
        dried(work, plus_seconds(looked, 600.0));
    }

    // Second parts first, so that the leading part's tone is the piece's last. P14: one lid 11 L* darker than its mates.
    void measure(DemoWork& work, const Stamp& looked) {
        double mates_l = 0.0;
        int mates = 0;
        DemoPiece* odd = nullptr;
        for (DemoPiece& piece : work.pieces) {
            const Id<Dip>& dip = looked_at_.at(piece.record.number);
            if (piece.parts.size() > 1) {
                write_judgement(book_, piece, piece.parts[1], dip, looked, DemoLook::measured);
            }
            if (piece.record.number == kNoReasonPiece) {
                odd = &piece;
                continue;
            }
            write_judgement(book_, piece, piece.parts[0], dip, plus_seconds(looked, 60.0), DemoLook::measured);
            mates_l += piece.parts[0].measured->l;
            mates += 1;
        }
        if (odd != nullptr) {
            write_judgement(book_, *odd, odd->parts[0], looked_at_.at(odd->record.number), plus_seconds(looked, 60.0), DemoLook::measured,
                            to_tenth(mates_l / mates - 11.0));
        }
    }

    void dried(const DemoWork& work, const Stamp& when) {
        AfterWork dried;
        dried.id = book_.id<AfterWork>(when);
        dried.batch_id = work.record.id;
        dried.at = when;
        dried.step = AfterStep::dried;
        dried.with = "soft cloth, warm air";
        dried.who = maker();
        dried.made_at = when;
        store::insert(book_.log, dried);
    }

    // Three to six readings, spread over the session; on the cold day one as each rack went in.
    void readings() {
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

    void finish() {
        if (plan_.number == 46) {
            return;
        }
        bath_.ended_at = at(std::max(5400.0, end_s_ + 1800.0));
        if (plan_.number == kOwedBath) {
            bath_.kept_back = Millilitres::from_ml(kBathWater_ml);
        }
        store::update(book_.log, bath_);
    }

    DemoBook& book_;
    const DemoBath& plan_;
    Stamp made_up_;
    DemoBathLaw law_;
    bool new_probe_ = false;
    Bath bath_;
    double end_s_ = 0.0;
    double last_stage_end_s_ = 0.0;
    std::vector<double> exact_readings_;
    std::map<std::string, Id<Dip>> looked_at_;  // last dip, by piece
    std::map<std::string, int> thirds_done_;
};

}  // namespace

void write_judgement(DemoBook& book, DemoPiece& piece, DemoPart& part, const std::optional<Id<Dip>>& dip, const Stamp& at, DemoLook look, std::optional<double> l) {
    constexpr double kReadingNoise_l = 1.2;
    DemoColour colour = demo_colour(part.dose_s);
    const double true_l = colour.l;
    colour.l = l ? *l : to_tenth(std::clamp(true_l + kReadingNoise_l * book.dice.normal(), 0.0, 100.0));
    colour.a = to_tenth(colour.a + 0.5 * book.dice.normal());
    colour.b = to_tenth(colour.b + 0.5 * book.dice.normal());
    const DemoScale& scale = book.scales.at(part.written_as);
    const Tone& tone = scale.tones.find(demo_word_at(part.alloy, demo_dose_of_l(colour.l)))->second;
    const Tone& aim = scale.tones.at(part.aim);
    Judgement judgement;
    judgement.id = book.id<Judgement>(at);
    if (piece.parts.size() > 1) {
        judgement.part_id = part.record.id;
    } else {
        judgement.piece_id = piece.record.id;
    }
    judgement.dip_id = dip;
    judgement.at = at;
    if (look == DemoLook::word && tone.position < aim.position) {
        judgement.tone_id = aim.id;
        judgement.sense = Sense::lighter_than;
    } else {
        judgement.tone_id = tone.id;
    }
    if (look == DemoLook::measured) {
        judgement.l = colour.l;
        judgement.a = colour.a;
        judgement.b = colour.b;
        judgement.blotch = demo_blotch(piece);
        part.measured = colour;
    }
    judgement.who = piece.who;
    judgement.made_at = at;
    store::insert(book.log, judgement);
}

void plan_sessions(DemoBook& book) {
    for (const DemoBath& plan : demo_baths()) {
        book.plan(demo_moment(plan.month, plan.day, plan.hour, plan.minute), fmt::format("bath {}", plan.number), plan.who,
                  [&book, &plan] { Session(book, plan).write(); });
    }
}

}  // namespace tonebath::app
