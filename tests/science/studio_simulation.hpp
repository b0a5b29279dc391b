// Invented studios whose truth is known, drawn from the priors of the reference regression (dip_model.hpp): the ground for
// calibration and for comparing ways of guessing a time. Set-up: four dips to a bath, log strength sd 0.25 and 6 C between
// baths (1.5 C within), age 0 to 3 h, times about 30 s (log-sd 0.7), two tones in five measured, the rest read between
// rungs of 0.35 in log h, above 2.2 times the reference saturated.
#pragma once

#include "science/dip_model.hpp"
#include "science/normal.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <random>
#include <vector>

namespace studio_simulation {

namespace sc = tonebath::science;

// Uniform and normal draws that are the same on every machine (the library's distributions are not).
class Draw {
public:
    explicit Draw(std::uint64_t seed) : engine_(seed) {}
    double uniform() { return (static_cast<double>(engine_() >> 11U) + 0.5) * 0x1.0p-53; }
    double normal(double mean = 0.0, double sd = 1.0) { return mean + sd * sc::normal_quantile(uniform()); }

private:
    std::mt19937_64 engine_;
};

struct Dip {
    std::size_t bath = 0;
    double ratio = 1.0;
    double temp_c = 50.0;
    double age_h = 0.0;
    double time_s = 30.0;
    double log_h = 0.0;  // true
    double lower = 0.0;  // as read, h; NaN: open on that side
    double upper = 0.0;
    bool strip = false;
    double seen() const {  // the log h a notebook would go by
        return std::isnan(upper) ? std::log(lower) : 0.5 * (std::log(lower) + std::log(upper));
    }
    bool saturated() const { return std::isnan(upper); }
};

struct Studio {
    std::array<double, 5> coef = {};
    double sigma = 0.12;
    double tau = 0.15;
    std::vector<Dip> dips;
    std::vector<double> u;  // per bath; the last is today's
    // Today's bath, and the tone wanted: that of 30 s at reference conditions.
    double ratio = 1.0;
    double temp_c = 50.0;
    double age_h = 0.5;
    double log_target = 0.0;
    double reference = std::log(50.0);  // log h from which rungs and saturation count

    std::size_t today() const { return u.size() - 1; }
    double predictor(const Dip& d) const {
        const auto x = dip_model::terms(d.ratio, d.temp_c, d.age_h, d.time_s);
        double sum = u[d.bath];
        for (std::size_t i = 0; i < x.size(); ++i) {
            sum += coef[i] * x[i].value;
        }
        return sum;
    }
    // True log(t / 30) for the target today.
    double true_log_time() const {
        Dip d{today(), ratio, temp_c, age_h, 30.0};
        return (log_target - predictor(d)) / coef[4];
    }
};

inline void read_tone(Draw& draw, const Studio& studio, Dip& dip) {
    constexpr double kSaturated = 0.8;
    constexpr double kRung = 0.35;
    const double reference = studio.reference;
    dip.log_h = studio.predictor(dip) + draw.normal(0.0, studio.sigma);
    const double over = dip.log_h - reference;
    if (over > kSaturated) {
        dip.lower = std::exp(reference + kSaturated);
        dip.upper = std::numeric_limits<double>::quiet_NaN();
    } else if (draw.uniform() < 0.4) {
        dip.lower = dip.upper = std::exp(dip.log_h);
    } else {
        const double rung = std::floor(over / kRung) * kRung;
        dip.lower = std::exp(reference + rung);
        dip.upper = std::exp(reference + std::min(rung + kRung, kSaturated));
    }
}

enum class Purpose {
    calibration,  // spreads drawn too; the target and the rungs know nothing of the truth, or they would tell of it
    comparison,   // spreads 0.12 and 0.15, time exponent at least 0.15, target and rungs at the studio's own 30 s tone
};
inline Studio draw_studio(Draw& draw, std::size_t dips, Purpose purpose) {
    // Above 0 for calibration: the engine's prior reaches below 0 in 1 of 750, where no time exists.
    const double least_p = purpose == Purpose::calibration ? 0.0 : 0.15;
    Studio s;
    s.coef = {draw.normal(std::log(50.0), 1.5), draw.normal(0.8, 0.3), draw.normal(40.0, 15.0), draw.normal(0.04, 0.04), 0.0};
    do {
        s.coef[4] = draw.normal(0.6, 0.2);
    } while (s.coef[4] <= least_p);
    if (purpose == Purpose::calibration) {
        s.sigma = 0.12 * std::exp(draw.normal(0.0, 0.4));
        s.tau = 0.15 * std::exp(draw.normal(0.0, 0.5));
    }
    s.reference = purpose == Purpose::calibration ? std::log(50.0) : s.coef[0];
    s.log_target = purpose == Purpose::calibration ? draw.normal(std::log(50.0), 0.3) : s.coef[0];
    const std::size_t baths = (dips + 3) / 4 + 1;
    double ratio = 1.0;
    double temp = 50.0;
    for (std::size_t b = 0; b < baths; ++b) {
        s.u.push_back(draw.normal(0.0, s.tau));
    }
    for (std::size_t i = 0; i < dips; ++i) {
        if (i % 4 == 0) {
            ratio = std::exp(draw.normal(0.0, 0.25));
            temp = draw.normal(50.0, 6.0);
        }
        Dip d{i / 4, ratio, temp + draw.normal(0.0, 1.5), 3.0 * draw.uniform(), 30.0 * std::exp(draw.normal(0.0, 0.7))};
        read_tone(draw, s, d);
        s.dips.push_back(d);
    }
    s.ratio = std::exp(draw.normal(0.0, 0.25));
    s.temp_c = draw.normal(50.0, 6.0);
    return s;
}

// What is done wrong on purpose.
enum class Break { none, no_bath_offset, half_the_scatter, saturated_as_exact };

inline sc::MixedFit fit(const Studio& s, Break wrong = Break::none, const sc::WarmStart* start = nullptr) {
    sc::MixedModel model = dip_model::model();
    sc::MixedData data(dip_model::kCoefs, s.u.size());
    for (const Dip& d : s.dips) {
        const auto x = dip_model::terms(d.ratio, d.temp_c, d.age_h, d.time_s);
        const double upper = wrong == Break::saturated_as_exact && d.saturated() ? d.lower : d.upper;
        dip_model::add_reading(data, x, d.bath, d.lower, upper);
    }
    if (wrong == Break::no_bath_offset) {
        model.group = {1e-3, 0.0};
    } else if (wrong == Break::half_the_scatter) {
        model.scatter = {0.5 * s.sigma, 0.0};
    }
    return sc::fit_mixed(data, model, {}, start);
}

inline double time_cdf(const Studio& s, const sc::MixedFit& f, double log_time) {
    return dip_model::dip_time_cdf(f, s.ratio, s.temp_c, s.age_h, s.today(), s.log_target, log_time);
}

inline double time_quantile(const Studio& s, const sc::MixedFit& f, double p) {
    return std::log(dip_model::dip_time_quantile(f, s.ratio, s.temp_c, s.age_h, s.today(), std::exp(s.log_target), p) / 30.0);
}

// Strips in today's bath, each dipped at the fit's current middle time (kept to 1 s .. 30 min).
inline void add_strip(Draw& draw, Studio& s, const sc::MixedFit& f) {
    const double log_time = std::clamp(time_quantile(s, f, 0.5), -3.4, 4.1);
    Dip d{s.today(), s.ratio, s.temp_c, s.age_h, 30.0 * std::exp(log_time)};
    d.strip = true;
    read_tone(draw, s, d);
    s.dips.push_back(d);
}

// Posterior probability below the truth, for seven quantities.
inline constexpr std::array<const char*, 7> kQuantities = {"p", "m", "Ea", "scatter", "bath sd", "today's offset", "dip time"};

inline double normal_of_nodes(const sc::MixedFit& f, double truth, double sc::MixedNode::* spread) {
    double mean = 0.0;
    double square = 0.0;
    for (const sc::MixedNode& n : f.nodes) {
        mean += n.weight * std::log(n.*spread);
    }
    for (const sc::MixedNode& n : f.nodes) {
        square += n.weight * std::pow(std::log(n.*spread) - mean, 2);
    }
    return square > 0.0 ? sc::normal_cdf((std::log(truth) - mean) / std::sqrt(square)) : 0.5;
}

inline std::array<double, 7> below_truth(const Studio& s, const sc::MixedFit& f) {
    const auto coef = [&](std::size_t i) {
        const std::array<sc::Term, 1> one = {sc::Term{i, 1.0}};
        return sc::mixture_cdf(f.mixture({one}), s.coef[i]);
    };
    return {coef(4),
            coef(1),
            coef(2),
            normal_of_nodes(f, s.sigma, &sc::MixedNode::scatter_sd),
            normal_of_nodes(f, s.tau, &sc::MixedNode::group_sd),
            sc::mixture_cdf(f.mixture({{}, s.today()}), s.u[s.today()]),
            time_cdf(s, f, s.true_log_time())};
}

}  // namespace studio_simulation
