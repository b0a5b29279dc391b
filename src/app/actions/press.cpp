#include "app/actions/press.hpp"

#include "app/studio.hpp"
#include "store/record.hpp"

namespace tonebath::app {

void write_press(Studio& studio, const std::string& act, std::optional<int> lane, const Id<Dip>& dip) {
    Press press;
    press.at = studio.now();
    press.made_at = press.at;
    const BootTime boot = studio.clock().boot();
    press.boot_ms = boot.ms;
    press.boot_id = boot.boot_id;
    press.act = act;
    press.lane = lane;
    press.dip_id = dip.text;
    press.id = studio.ids().next<Press>(press.at);
    store::insert(studio.log(), press);
}

void lift_out(Studio& studio, Dip& dip) {
    const BootTime boot = studio.clock().boot();
    dip.out_at = studio.now();
    if (dip.dropped_boot_ms && !dip.boot_id.empty() && dip.boot_id == boot.boot_id && boot.ms >= *dip.dropped_boot_ms) {
        dip.in_bath = Seconds::from_seconds(static_cast<double>(boot.ms - *dip.dropped_boot_ms) / 1000.0);
        return;
    }
    dip.clock_gap = true;
    const double wall_s = dip.dropped_at ? seconds_between(*dip.dropped_at, *dip.out_at) : -1.0;
    dip.in_bath = wall_s >= 0.0 ? std::optional<Seconds>(Seconds::from_seconds(wall_s)) : std::nullopt;
}

}  // namespace tonebath::app
