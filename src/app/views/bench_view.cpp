#include "app/views/bench_view.hpp"

#include "app/checks.hpp"
#include "app/classes.hpp"
#include "app/facts.hpp"
#include "app/learning.hpp"
#include "app/plan_course.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "store/bath_store.hpp"
#include "store/record.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

std::string design_of(Studio& studio, const Subject& subject) {
    if (!subject.of_piece) {
        return subject.strip ? "Test strip" : subject.name;
    }
    const auto piece = store::find(studio.log(), *subject.of_piece);
    return piece && !piece->design.empty() ? piece->design : "Piece";
}

class BenchReader {
public:
    BenchReader(Studio& studio, const std::shared_ptr<const Learned>& learned, BenchView& view)
        : studio_(studio), learned_(learned), view_(view) {}

    BenchLane lane(int number, const Subject& subject) {
        BenchLane lane{.number = number, .subject = subject, .is_strip = subject.strip.has_value()};
        const std::size_t blank = subject.name.find(' ');
        lane.tag = subject.strip && blank != std::string::npos ? subject.name.substr(blank + 1) : subject.name;
        const std::string metal = subject.metal ? name_of(studio_, *subject.metal) : std::string("metal not known");
        lane.title = design_of(studio_, subject) + ", " + metal;
        aim(lane);
        dips(lane);
        plan_it(lane);
        return lane;
    }

private:
    // The layout's aim goes before the piece's own target; its word is looked up on the lane's own scale.
    void aim(BenchLane& lane) {
        std::optional<ToneScale> scale = lane.subject.metal ? scale_for(studio_, *lane.subject.metal, lane.subject.surface) : std::nullopt;
        std::optional<Tone> tone = view_.layout.aim ? store::find(studio_.log(), *view_.layout.aim) : std::nullopt;
        if (!tone) {
            if (const auto target = target_of(studio_, lane.subject)) {
                tone = store::find(studio_.log(), target->tone_id);
                if (!scale) {
                    scale = store::find(studio_.log(), target->scale_id);
                }
            }
        }
        if (scale) {
            lane.scale = scale->id.text;
        }
        if (!tone || !scale) {
            return;
        }
        for (const Tone& own : tones_of(studio_, scale->id)) {
            if (own.word == tone->word) {
                lane.aim_tone = own.position;
                lane.aim_word = own.word;
                lane.aim_id = own.id;
            }
        }
    }

    void dips(BenchLane& lane) {
        const std::vector<Dip> all = dips_of(studio_, lane.subject);
        std::size_t before = 0;
        for (const Dip& dip : all) {
            const bool here = view_.layout.bath_id && dip.bath_id == *view_.layout.bath_id && view_.layout.laid_out_at && dip.dropped_at &&
                              *view_.layout.laid_out_at <= *dip.dropped_at;
            if (is_running(dip) || here) {
                lane.dip = dip;
            }
            if (!is_running(dip)) {
                ++before;
                lane.dose_before_s += learned_dose(studio_, learned_.get(), dip).value_or(0.0);
            }
        }
        lane.line = (lane.subject.surface.empty() ? std::string() : lane.subject.surface + " · ") +
                    (before == 0 ? std::string("first dip") : std::to_string(before) + " before");
        if (!lane.dip) {
            return;
        }
        if (is_running(*lane.dip)) {
            lane.state = LaneState::in_bath;
            return;
        }
        lane.state = LaneState::done;
        const auto rinses = store::list<Rinse>(studio_.log(), "WHERE dip_id = ?1 ORDER BY at_utc_ms DESC LIMIT 1", {lane.dip->id.text});
        if (rinses.empty() || !rinses.front().length) {
            lane.state = LaneState::rinsing;
            lane.rinse_from = rinses.empty() ? lane.dip->out_at : std::optional<Stamp>(rinses.front().at);
        }
        for (const Judgement& one : judgements_of(studio_, lane.subject)) {
            lane.judged = lane.judged || (lane.dip->out_at && *lane.dip->out_at <= one.at);
        }
    }

    void plan_it(BenchLane& lane) {
        if (!learned_ || !view_.bath || !lane.aim_id || lane.scale.empty() ||
            (lane.state != LaneState::waiting && lane.state != LaneState::in_bath)) {
            return;
        }
        lane.planned_for = lane.dip && lane.dip->dropped_at ? *lane.dip->dropped_at : studio_.now();
        lane.plan = plan(studio_, *learned_, {.bath_id = view_.bath->bath.id, .scale_id = {lane.scale}, .tone_id = *lane.aim_id,
                                              .drop_at = lane.planned_for, .dose_done_s = lane.dose_before_s, .subject = lane.subject});
    }

    Studio& studio_;
    const std::shared_ptr<const Learned>& learned_;
    BenchView& view_;
};

}  // namespace

namespace {

// In a bath of a class the first piece is the first seat in use, and so on; a strip that goes first has no seat.
void name_seats(Studio& studio, BenchView& view) {
    const auto session = view.bath ? class_of(studio, view.bath->bath) : std::nullopt;
    if (!session) {
        return;
    }
    const std::vector<Seat> seats = seats_of(studio, session->id);
    auto seat = seats.begin();
    for (BenchLane& lane : view.lanes) {
        seat = std::find_if(seat, seats.end(), [](const Seat& one) { return one.use == SeatUse::in_use; });
        if (!lane.is_strip && seat != seats.end()) {
            lane.seat = seat->number;
            ++seat;
        }
    }
}

}  // namespace

BenchView bench_view(Studio& studio, const std::shared_ptr<const Learned>& learned) {
    BenchView view{.layout = bench_layout(studio), .fitted = learned != nullptr};
    for (const Bath& bath : store::baths_in_use(studio.log(), 20)) {
        view.baths_in_use.push_back(bath.number);
        // A dip that runs says which bath the bench is at; else the newest bath in use.
        if (!view.layout.bath_id) {
            view.layout.bath_id = bath.id;
        }
    }
    for (const Dip& running : running_dips(studio)) {
        view.layout.bath_id = running.bath_id;
        const Subject subject = subject_of(studio, running);
        const bool known = std::any_of(view.layout.lanes.begin(), view.layout.lanes.end(), [&subject](const Subject& one) {
            return one.strip == subject.strip && one.piece == subject.piece && one.part == subject.part;
        });
        if (!known) {
            view.layout.lanes.insert(view.layout.lanes.begin(), subject);
        }
    }
    if (view.layout.bath_id) {
        view.bath = bath_history(studio.log(), *view.layout.bath_id);
    }
    if (learned) {
        view.law = view.bath ? laws_of(*learned).of(*view.bath) : law_of(*learned);
        view.log_speed = view.bath ? bath_log_speed(*learned, view.bath->bath.id) : 0.0;
    }
    if (view.bath) {
        view.bath->course.log_speed = view.log_speed;
        const CheckState state = check_state(studio, view.bath->bath);
        view.check_open = !state.done;
        view.check_list = state.list;
        view.check_words = state.words;
    }
    BenchReader reader(studio, learned, view);
    int number = 1;
    for (const Subject& subject : view.layout.lanes) {
        view.lanes.push_back(reader.lane(number++, subject));
        view.begins.push_back(learned && !view.lanes.back().scale.empty() ? tone_begins(*learned, {view.lanes.back().scale})
                                                                          : std::vector<ToneBegins>{});
    }
    name_seats(studio, view);
    return view;
}

std::optional<double> in_bath_s(const BenchLane& lane, const Stamp& now, const BootTime& boot) {
    if (!lane.dip || !lane.dip->dropped_at || lane.state != LaneState::in_bath) {
        return std::nullopt;
    }
    if (lane.dip->dropped_boot_ms && lane.dip->boot_id == boot.boot_id) {
        return static_cast<double>(boot.ms - *lane.dip->dropped_boot_ms) / 1000.0;
    }
    return std::max(0.0, seconds_between(*lane.dip->dropped_at, now));
}

std::vector<Lane> lanes_at(const BenchView& view, const Stamp& now, const BootTime& boot) {
    std::vector<Lane> lanes;
    std::optional<Stamp> last_drop;
    for (const BenchLane& one : view.lanes) {
        if (one.dip && one.dip->dropped_at && (!last_drop || *last_drop < *one.dip->dropped_at)) {
            last_drop = one.dip->dropped_at;
        }
    }
    int turns = 0;
    for (const BenchLane& one : view.lanes) {
        Lane lane{.number = one.number, .state = one.state};
        if (one.state == LaneState::in_bath && one.plan && one.plan->out_s) {
            const double in_s = in_bath_s(one, now, boot).value_or(0.0);
            lane.out_in_s = *one.plan->out_s - in_s;
            lane.look_in_s = one.plan->look_s ? std::optional<double>(*one.plan->look_s - in_s) : std::nullopt;
        } else if (one.state == LaneState::rinsing && one.rinse_from) {
            lane.rinse_left_s = view.layout.rinse_s - seconds_between(*one.rinse_from, now);
        } else if (one.state == LaneState::waiting && view.layout.every_s && last_drop) {
            lane.drop_in_s = *view.layout.every_s * ++turns - seconds_between(*last_drop, now);
            if (one.plan && one.plan->out_s) {
                lane.out_in_s = std::max(0.0, *lane.drop_in_s) + *one.plan->out_s;
            }
        }
        lanes.push_back(lane);
    }
    return lanes;
}

std::optional<double> dose_at(const BenchView& view, const BenchLane& lane, const Stamp& now, const BootTime& boot) {
    if (!view.bath || !view.bath->temp_known || !lane.dip || !lane.dip->dropped_at) {
        return std::nullopt;
    }
    const auto in_s = in_bath_s(lane, now, boot);
    if (!in_s) {
        return std::nullopt;
    }
    const double t0_s = view.bath->t_of(*lane.dip->dropped_at);
    const auto dose = science::dose_s(view.bath->course, view.law, t0_s, t0_s + *in_s);
    return dose ? std::optional<double>(lane.dose_before_s + *dose) : std::nullopt;
}

std::optional<ScalePlace> place_at(const std::vector<ToneBegins>& begins, double dose_s) {
    if (begins.size() < 2 || dose_s < 0.0) {
        return std::nullopt;
    }
    std::size_t tone = 0;
    while (tone + 1 < begins.size() && begins[tone + 1].middle_s <= dose_s) {
        ++tone;
    }
    // Inside a tone the place is the share of log dose between its borders; before the first border the share of dose.
    double share = 0.5;
    if (tone == 0) {
        share = dose_s / begins[1].middle_s;
    } else if (tone + 1 < begins.size()) {
        share = std::log(dose_s / begins[tone].middle_s) / std::log(begins[tone + 1].middle_s / begins[tone].middle_s);
    } else {
        share = std::min(1.0, 0.5 * dose_s / begins[tone].middle_s);
    }
    return ScalePlace{.tone = static_cast<int>(tone), .share = std::clamp(share, 0.0, 1.0)};
}

std::optional<double> bath_temp_c(const BenchView& view, const Stamp& now) {
    if (!view.bath || !view.bath->temp_known) {
        return std::nullopt;
    }
    return view.bath->course.temp.temp_c(view.bath->t_of(now));
}

std::optional<double> bath_speed(const BenchView& view, const Stamp& now) {
    if (!view.bath || !view.bath->temp_known) {
        return std::nullopt;
    }
    science::BathCourse course = view.bath->course;
    course.log_speed = 0.0;
    course.agitation = 1.0;
    return science::rate_at(course, view.law, view.bath->t_of(now));
}

}  // namespace tonebath::app
