#include "app/demo/session.hpp"
#include "base/check.hpp"
#include "store/record.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kTimeScatter = 0.05;  // of the maker's hand
constexpr double kWholeDose_s = 3.5;   // the joined Limpet, to even it
constexpr double kLidDose_s = 30.5;    // with the whole: blue
constexpr double kCupDose_s = 24.5;    // with the whole: purplish brown
constexpr std::array<double, 3> kThirds{0.55, 0.20, 0.25};

}  // namespace

void Session::stage(const DemoTask& task) {
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

double Session::when_at(double temp_c) const {
    return -60.0 * std::log((temp_c - plan_.room_c) / (plan_.start_c - plan_.room_c)) / law_.k_per_min;
}

double Session::wanted(const DemoPart& lead, const DemoTask& task, std::size_t third) {
    switch (task.stage) {
        case DemoStage::lid: return kLidDose_s;
        case DemoStage::cup: return kCupDose_s;
        case DemoStage::whole: return kWholeDose_s;
        case DemoStage::base:
        case DemoStage::tabs: return task.dose_s > 0.0 ? task.dose_s : demo_dose_of(DemoAlloy::sterling, "gunmetal");
        case DemoStage::thirds:
        case DemoStage::first:
        case DemoStage::last_two: return kThirds[third] * demo_dose_of(lead.alloy, lead.aim);
    }
    return 0.0;
}

Session::RackTime Session::lane_time(double t_s, double wanted_s, DemoAlloy alloy) {
    const double planned = law_.reckoned_s(t_s, wanted_s, alloy);
    return {t_s, planned, std::max(1.5, planned * (1.0 + kTimeScatter * book_.dice.normal()))};
}

std::optional<Session::RackTime> Session::rack_time(int rack, double start_s, double wanted_s, DemoAlloy alloy) {
    switch (plan_.timing) {
        case DemoTiming::reckoned: return std::nullopt;
        case DemoTiming::rack: {
            RackTime time = lane_time(start_s, wanted_s, alloy);
            time.seconds = to_tenth(time.seconds);
            return time;
        }
        case DemoTiming::cold_day: {
            const double t = when_at(book_.faults.cold_racks_c[static_cast<std::size_t>(rack - 1)]);
            exact_readings_.push_back(t);
            return RackTime{t, 40.0, 40.0};
        }
        case DemoTiming::first_hottest: {
            const double t = rack == 1 ? when_at(55.0) : std::max(start_s, when_at(book_.faults.second_rack_c));
            return RackTime{t, 36.0, 36.0};
        }
    }
    return std::nullopt;
}

void Session::dip_rack(DemoWork& work, const DemoTask& task, int rack, std::size_t third) {
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

void Session::dip_piece(DemoWork& work, DemoPiece& piece, const DemoTask& task, const RackTime& time, int lane,
                        bool second_part) {
    const bool by_part = task.stage == DemoStage::lid || task.stage == DemoStage::cup ||
                         task.stage == DemoStage::base || task.stage == DemoStage::tabs;
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

void Session::from_memory(Dip& dip, const RackTime& time) const {
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

void Session::no_name(const DemoPiece& piece) {
    std::optional<Dip> dip = store::find(book_.log, looked_at_.at(piece.record.number));
    TB_CHECK(dip.has_value());
    dip->who.reset();
    store::update(book_.log, *dip);
}

void Session::look_between(DemoPiece& piece, const Dip& dip, const DemoTask& task) {
    int& done = thirds_done_[piece.record.number];
    done += 1;
    const int all = task.stage == DemoStage::thirds ? 3 : 2;
    if (done < all) {
        write_judgement(book_, piece, piece.parts.front(), dip.id, plus_seconds(*dip.out_at, 30.0), DemoLook::word);
    }
}

void Session::after(DemoWork& work, const DemoTask& task) {
    const Stamp looked = at(last_stage_end_s_ + 1200.0);
    switch (task.stage) {
        case DemoStage::first: return;
        case DemoStage::lid:
        case DemoStage::cup:
            for (DemoPiece& piece : work.pieces) {
                write_judgement(book_, piece, piece.parts[task.stage == DemoStage::cup ? 1 : 0],
                                looked_at_.at(piece.record.number), looked, DemoLook::word);
            }
            break;
        case DemoStage::base:
        case DemoStage::tabs:
            for (DemoPiece& piece : work.pieces) {
                write_judgement(book_, piece, piece.parts[task.stage == DemoStage::base ? 1 : 0],
                                looked_at_.at(piece.record.number), looked, DemoLook::measured);
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

void Session::measure(DemoWork& work, const Stamp& looked) {
    double mates_l = 0.0;
    int mates = 0;
    DemoPiece* odd = nullptr;
    for (DemoPiece& piece : work.pieces) {
        const Id<Dip>& dip = looked_at_.at(piece.record.number);
        if (piece.parts.size() > 1) {
            write_judgement(book_, piece, piece.parts[1], dip, looked, DemoLook::measured);
        }
        if (piece.record.number == book_.faults.odd_lid) {
            odd = &piece;
            continue;
        }
        write_judgement(book_, piece, piece.parts[0], dip, plus_seconds(looked, 60.0), DemoLook::measured);
        mates_l += piece.parts[0].measured->l;
        mates += 1;
    }
    if (odd != nullptr) {
        write_judgement(book_, *odd, odd->parts[0], looked_at_.at(odd->record.number), plus_seconds(looked, 60.0),
                        DemoLook::measured, to_tenth(mates_l / mates - book_.faults.odd_lid_darker_l));
    }
}

void Session::dried(const DemoWork& work, const Stamp& when) {
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

}  // namespace tonebath::app
