#include "window/panels/bench_words.hpp"

#include "base/quantity_text.hpp"
#include "window/widgets/timer.hpp"

#include <fmt/format.h>

namespace tonebath::window {

std::string lane_disc(const app::BenchLane& lane) {
    return std::to_string(lane.seat.value_or(lane.number));
}

std::string lane_name(const app::BenchLane& lane) {
    if (lane.seat) {
        return fmt::format("seat {}", *lane.seat);
    }
    return lane.is_strip ? "strip " + lane.tag : lane.tag;
}

std::string key_words(BenchAct act, const app::BenchLane& lane) {
    const std::string tag = lane_name(lane);
    switch (act) {
        case BenchAct::drop:
            return "Drop " + tag + " in";
        case BenchAct::lift_out:
            return "Lift out " + tag + ", into the rinse";
        case BenchAct::end_rinse:
            return (lane.is_strip ? "Strip " + lane.tag : lane.seat ? fmt::format("Seat {}", *lane.seat) : tag) + " is rinsed";
        case BenchAct::none:
            return "";
    }
    return "";
}

std::string lane_key_words(BenchAct act, const app::BenchLane& lane) {
    return act == BenchAct::lift_out ? "Lift " + lane_name(lane) + " out" : key_words(act, lane);
}

std::string then_words(BenchAct act, const app::BenchLane& lane, double rinse_s) {
    switch (act) {
        case BenchAct::drop:
            return lane.plan && lane.plan->out_s ? "out after about " + text_of(Seconds::from_seconds(*lane.plan->out_s))
                                                 : std::string("no time known: watch it");
        case BenchAct::lift_out:
            return "then rinse " + text_of(Seconds::from_seconds(rinse_s));
        case BenchAct::end_rinse:
            return "then judge it";
        case BenchAct::none:
            return "";
    }
    return "";
}

std::string gap_words(const app::BenchLane& lane, const BootTime& boot) {
    const bool gap = lane.dip && (lane.state == LaneState::in_bath ? lane.dip->dropped_boot_ms && lane.dip->boot_id != boot.boot_id
                                                                   : lane.dip->clock_gap);
    return gap ? "; restarted meanwhile, by the wall clock" : "";
}

std::string clock_words(double seconds) {
    return timer_text(seconds) + (timer_in_seconds(seconds) ? " s" : "");
}

void add_promise(app::Form& form, const app::BenchLane& lane) {
    if (!lane.plan || !lane.plan->out_s) {
        return;
    }
    form.typed["planned"] = exact_text(*lane.plan->out_s);
    if (lane.plan->aim_low_s && lane.plan->aim_high_s) {
        form.typed["planned-low"] = exact_text(*lane.plan->aim_low_s);
        form.typed["planned-high"] = exact_text(*lane.plan->aim_high_s);
    }
}

}  // namespace tonebath::window
