#include "science/cooling.hpp"

#include "science/cooling_fit.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

constexpr double kSecondsPerMinute = 60.0;
constexpr double kFreezing_c = 0.0;
constexpr double kBoiling_c = 100.0;
// A last reading that is too high also makes k come out too low. Correlation of the two, least squares on evenly
// spaced readings: 0.71, 0.71, 0.67, 0.63 for 2, 3, 4, 5 of them.
constexpr double kLevelWithK = 0.7;
constexpr double kWidestSd_c = 50.0;  // ours: the whole range of water; only met when carried far backward

// Temperature doubt from not knowing k, x = k dt after a reading whose excess over the room was excess_c.
// dT/dlog k = -excess x exp(-x) is at most excess/e, reached at x = 1, and is kept there: the doubt never shrinks.
double doubt_of_k_c(double x, double excess_c, double log_sd) {
    return std::abs(excess_c) * std::min(x, 1.0) * std::exp(-std::min(x, 1.0)) * log_sd;
}

// Variance from not knowing k and the room.
double forward_doubt(double x, double excess_c, double log_sd, double room_sd_c) {
    const double from_k = doubt_of_k_c(x, excess_c, log_sd);
    const double from_room = -std::expm1(-x) * room_sd_c;
    return from_k * from_k + from_room * from_room;
}

// The same, carried backward: there the excess grows.
double backward_doubt(double x, double excess_c, double log_sd, double room_sd_c) {
    const double growth = std::exp(std::min(x, 5.0));
    const double from_k = excess_c * x * growth * log_sd;
    const double from_room = (growth - 1.0) * room_sd_c;
    return std::min(from_k * from_k + from_room * from_room, kWidestSd_c * kWidestSd_c);
}

// With the room's own doubt in k: half the change of log k between a room one standard deviation warmer and colder.
CoolingFit fit_in_room(std::span<const Stretch> stretches, const Surroundings& around) {
    const auto fitted = [&](double room_c) {
        return fit_stretches(stretches, room_c, around.reading_sd_c, around.vessel);
    };
    CoolingFit fit = fitted(around.room_c);
    const double warmer = fitted(around.room_c + around.room_sd_c).k_per_min;
    const double colder = fitted(around.room_c - around.room_sd_c).k_per_min;
    set_log_sd(fit, std::hypot(fit.log_sd, 0.5 * std::log(warmer / colder)));
    return fit;
}

}  // namespace

class TempCurveMaker {
public:
    TempCurveMaker(const Surroundings& around, const CoolingFit& fit) : around_(around) {
        curve_.fit_ = fit;
        curve_.reading_sd_c_ = around.reading_sd_c;
        curve_.room_sd_c_ = around.room_sd_c;
    }

    TempCurve make(std::span<const Stretch> stretches) {
        before(stretches.front().front());
        for (std::size_t i = 0; i < stretches.size(); ++i) {
            if (i > 0) {
                across_jump(stretches[i - 1].back(), stretches[i].front());
            }
            through(stretches[i]);
        }
        const Reading& last = stretches.back().back();
        after(last);
        curve_.last_reading_s_ = last.t_s;
        std::sort(curve_.breaks_s_.begin(), curve_.breaks_s_.end());
        return std::move(curve_);
    }

private:
    using Arc = TempCurve::Arc;

    [[nodiscard]] double excess_c(const Reading& r) const { return r.temp_c - around_.room_c; }

    // Newton with the fitted k through one reading.
    [[nodiscard]] Arc arc_through(const Reading& r, double from_s) const {
        Arc arc;
        arc.from_s = from_s;
        arc.origin_s = r.t_s;
        arc.base_c = around_.room_c;
        arc.excess_c = excess_c(r);
        arc.k_per_s = curve_.fit_.k_per_min / kSecondsPerMinute;
        return arc;
    }

    // Up to a reading, from from_s on, held within water's range; the kink where that begins is a break.
    void backward_from(const Reading& r, double from_s) {
        Arc arc = arc_through(r, from_s);
        arc.least_c = std::min(kFreezing_c, r.temp_c);
        arc.most_c = std::max(kBoiling_c, r.temp_c);
        arc.right_s = r.t_s;
        arc.right_excess_c = arc.excess_c;
        const double bound_c = arc.excess_c > 0.0 ? arc.most_c : arc.least_c;
        const double kink_s = r.t_s - std::log((bound_c - arc.base_c) / arc.excess_c) / arc.k_per_s;
        if (std::isfinite(kink_s) && kink_s > from_s) {
            curve_.breaks_s_.push_back(kink_s);
        }
        curve_.arcs_.push_back(arc);
    }

    void before(const Reading& first) { backward_from(first, -std::numeric_limits<double>::infinity()); }

    void after(const Reading& r) {
        Arc arc = arc_through(r, r.t_s);
        arc.left_s = r.t_s;
        arc.left_excess_c = arc.excess_c;
        curve_.arcs_.push_back(arc);
        curve_.breaks_s_.push_back(r.t_s);
    }

    // Through both readings: with the gap's own k where both stand clearly on one side of the room, otherwise with the
    // fitted k and a straight correction.
    void between(const Reading& a, const Reading& b) {
        Arc arc = arc_through(a, a.t_s);
        arc.left_s = a.t_s;
        arc.right_s = b.t_s;
        arc.left_excess_c = excess_c(a);
        arc.right_excess_c = excess_c(b);
        const double gap_s = b.t_s - a.t_s;
        const double clear_c = 2.0 * around_.reading_sd_c;
        const bool one_side = excess_c(a) * excess_c(b) > 0.0;
        if (one_side && std::min(std::abs(excess_c(a)), std::abs(excess_c(b))) > clear_c) {
            arc.k_per_s = std::log(excess_c(a) / excess_c(b)) / gap_s;
        } else {
            const double reached_c = excess_c(a) * std::exp(-arc.k_per_s * gap_s);
            arc.ramp_c_per_s = (excess_c(b) - reached_c) / gap_s;
        }
        curve_.arcs_.push_back(arc);
        curve_.breaks_s_.push_back(a.t_s);
    }

    void across_jump(const Reading& a, const Reading& b) {
        after(a);
        if (b.jump_at_s && *b.jump_at_s >= a.t_s && *b.jump_at_s <= b.t_s) {
            curve_.breaks_s_.push_back(*b.jump_at_s);
            backward_from(b, *b.jump_at_s);
            jump_s_ = *b.jump_at_s;
            return;
        }
        Arc& arc = curve_.arcs_.back();
        arc.step_from_s = a.t_s;
        arc.step_to_s = b.t_s;
        arc.step_c = excess_c(b) - excess_c(a) * std::exp(-arc.k_per_s * (b.t_s - a.t_s));
        jump_s_ = b.t_s;
    }

    void through(const Stretch& stretch) {
        const Reading& first = stretch.front();
        CoolingSegment segment;
        segment.start_s = jump_s_.value_or(first.t_s);
        segment.end_s = std::numeric_limits<double>::infinity();
        segment.readings = stretch.size();
        segment.first_temp_c = first.temp_c;
        if (!curve_.segments_.empty()) {
            curve_.segments_.back().end_s = segment.start_s;
        }
        curve_.segments_.push_back(segment);
        for (std::size_t i = 1; i < stretch.size(); ++i) {
            between(stretch[i - 1], stretch[i]);
        }
    }

    Surroundings around_;
    TempCurve curve_;
    std::optional<double> jump_s_;
};

TempCurve TempCurve::constant(double temp_c) {
    return newton(temp_c, temp_c, 0.0);
}

TempCurve TempCurve::newton(double start_c, double room_c, double k_per_min) {
    TempCurve curve;
    Arc arc;
    arc.base_c = room_c;
    arc.excess_c = start_c - room_c;
    arc.k_per_s = k_per_min / kSecondsPerMinute;
    curve.arcs_.push_back(arc);
    curve.fit_.k_per_min = k_per_min;
    curve.fit_.low_per_min = k_per_min;
    curve.fit_.high_per_min = k_per_min;
    return curve;
}

const TempCurve::Arc& TempCurve::arc_at(double t_s) const {
    const auto next =
        std::upper_bound(arcs_.begin(), arcs_.end(), t_s, [](double t, const Arc& arc) { return t < arc.from_s; });
    return next == arcs_.begin() ? arcs_.front() : *(next - 1);
}

double TempCurve::temp_c(double t_s) const {
    const Arc& arc = arc_at(t_s);
    const double dt_s = t_s - arc.origin_s;
    const double newton_c = arc.excess_c == 0.0 ? 0.0 : arc.excess_c * std::exp(-arc.k_per_s * dt_s);
    return std::clamp(arc.base_c + newton_c + arc.ramp_c_per_s * dt_s, arc.least_c, arc.most_c);
}

double TempCurve::sd_c(double t_s) const {
    const Arc& arc = arc_at(t_s);
    const double k_per_s = fit_.k_per_min / kSecondsPerMinute;
    const double reading_var = reading_sd_c_ * reading_sd_c_;
    const auto left = [&] {
        return forward_doubt(k_per_s * (t_s - *arc.left_s), arc.left_excess_c, fit_.log_sd, room_sd_c_);
    };
    const auto right = [&] {
        return backward_doubt(k_per_s * (*arc.right_s - t_s), arc.right_excess_c, fit_.log_sd, room_sd_c_);
    };
    if (arc.left_s && arc.right_s) {
        const double f = (t_s - *arc.left_s) / (*arc.right_s - *arc.left_s);
        const double both = left() + right();
        const double bridge = both > 0.0 ? left() * right() / both : 0.0;
        return std::sqrt(reading_var * ((1.0 - f) * (1.0 - f) + f * f) + bridge);
    }
    if (arc.right_s) {
        return std::sqrt(reading_var + right());
    }
    if (!arc.left_s) {
        return 0.0;
    }
    double var = reading_var + left();
    if (fit_.readings > 0) {
        const double x = k_per_s * (t_s - *arc.left_s);
        var += 2.0 * kLevelWithK * reading_sd_c_ * doubt_of_k_c(x, arc.left_excess_c, fit_.log_sd);
    }
    if (arc.step_c != 0.0) {
        var += arc.step_c * arc.step_c * (t_s - arc.step_from_s) / (arc.step_to_s - arc.step_from_s);
    }
    return std::sqrt(var);
}

Outcome<TempCurve, CoolingWhy> temp_curve(std::span<const Reading> readings, const Surroundings& around) {
    if (const auto fault = fault_of(readings, around.room_c, around.reading_sd_c)) {
        return *fault;
    }
    const VesselConstant& vessel = around.vessel;
    if (!std::isfinite(vessel.k_per_min) || !std::isfinite(vessel.log_sd) || !std::isfinite(around.room_sd_c) ||
        vessel.k_per_min <= 0.0 || vessel.log_sd <= 0.0 || around.room_sd_c < 0.0) {
        return CoolingWhy::not_a_number;
    }
    const std::vector<Stretch> stretches = stretches_of(readings);
    const CoolingFit fit = fit_in_room(stretches, around);
    return TempCurveMaker(around, fit).make(stretches);
}

}  // namespace tonebath::science
