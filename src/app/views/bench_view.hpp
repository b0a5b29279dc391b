// The bench as it stands: lanes with their dips and plans, the bath, and what its check still asks. Read when the log
// changes; the functions below say how things are at a moment, so that nothing is read while a dip runs.
#pragma once

#include "app/bench.hpp"
#include "app/course.hpp"
#include "app/plan.hpp"
#include "app/views/pieces_view.hpp"
#include "model/bench.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Learned;
class Studio;

struct BenchLane {
    int number = 1;
    std::optional<int> seat;             // of the class that the bath is for
    Subject subject;
    std::string tag;                     // "L-131", "T-139"
    bool is_strip = false;
    std::string title;                   // "Limpet, sterling lid"
    std::string line;                    // "bright · first dip"
    std::string scale;                   // id; empty when its metal is not known
    std::optional<int> aim_tone;         // position
    std::string aim_word;
    std::optional<Id<Tone>> aim_id;
    double dose_before_s = 0.0;          // from earlier dips
    LaneState state = LaneState::waiting;
    std::optional<Dip> dip;              // the running one, or the last at this bench
    std::optional<Plan> plan;            // of the running dip from its drop; of a waiting lane for a drop at `planned_for`
    Stamp planned_for;
    std::optional<Stamp> rinse_from;
    bool judged = false;                 // after its last dip
};

struct BenchView {
    BenchLayout layout;
    std::optional<BathHistory> bath;
    std::vector<std::string> baths_in_use;  // numbers, newest first
    std::vector<BenchLane> lanes;
    bool check_open = true;              // a list holds the next dip back
    std::string check_list;              // which; else the one that was answered
    std::string check_words;             // "2 of 3 stops open", "Check done by MK at 09:41"
    science::RateLaw law;
    double log_speed = 0.0;
    std::vector<std::vector<ToneBegins>> begins;  // by lane
    bool fitted = false;
};
[[nodiscard]] BenchView bench_view(Studio& studio, const std::shared_ptr<const Learned>& learned);

// Seconds that the running dip of this lane has been in: by the clock that runs through sleep where the machine was not
// restarted, else by the wall clock.
[[nodiscard]] std::optional<double> in_bath_s(const BenchLane& lane, const Stamp& now, const BootTime& boot);
// The lanes as the key sees them at this moment.
[[nodiscard]] std::vector<Lane> lanes_at(const BenchView& view, const Stamp& now, const BootTime& boot);
// Dose the lane's piece has by now, with its earlier dips, s at 60 °C fresh; nullopt without a temperature.
[[nodiscard]] std::optional<double> dose_at(const BenchView& view, const BenchLane& lane, const Stamp& now, const BootTime& boot);
// Where that dose should be on the scale; nullopt when the scale's tones are not placed yet.
[[nodiscard]] std::optional<ScalePlace> place_at(const std::vector<ToneBegins>& begins, double dose_s);
// Bath temperature at this moment, and its speed against fresh at 60 °C.
[[nodiscard]] std::optional<double> bath_temp_c(const BenchView& view, const Stamp& now);
[[nodiscard]] std::optional<double> bath_speed(const BenchView& view, const Stamp& now);

}  // namespace tonebath::app
