#include "app/learning.hpp"

#include "app/learned.hpp"
#include "app/learning_input.hpp"
#include "store/log.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kLow = 0.1;  // 80 of 100 lie between the 10th and the 90th
constexpr double kHigh = 0.9;

std::vector<science::NormalPart> coefficient(const Learned& learned, std::size_t coef) {
    const std::array<science::Term, 1> terms{science::Term{.coef = coef, .value = 1.0}};
    return learned.fit.mixed.mixture({.terms = terms});
}

std::vector<science::NormalPart> speed_of_bath(const Learned& learned, std::size_t bath) {
    const std::array<science::Term, 1> terms{
        science::Term{.coef = learned.fit.layout.first_lot + learned.input.baths[bath].lot, .value = 1.0}};
    return learned.fit.mixed.mixture({.terms = terms, .group = bath});
}

LearnedFigure temperature_figure(const Learned& learned) {
    const auto ea = coefficient(learned, learned.fit.layout.ea);
    const science::NormalPrior prior = learned.fit.priors.ea_kj_per_mol;
    const auto times = [](double ea_kj) { return science::factor_per_10_c(ea_kj, 55.0); };
    return {.name = "times faster from 50 to 60 °C",
            .middle = times(science::mixture_quantile(ea, 0.5)),
            .low = times(science::mixture_quantile(ea, kLow)),
            .high = times(science::mixture_quantile(ea, kHigh)),
            .prior_middle = times(prior.mean),
            .prior_low = times(prior.mean - 1.2816 * prior.sd),
            .prior_high = times(prior.mean + 1.2816 * prior.sd),
            .unit = "times",
            .source = "Ea 45 ± 20 kJ/mol on dose: weak prior, low trust; no study of polysulfide on silver was found"};
}

LearnedFigure strength_figure(const Learned& learned) {
    const auto exponent = coefficient(learned, learned.fit.layout.exponent);
    const science::NormalPrior prior = learned.fit.priors.strength_exponent;
    const auto times = [](double m) { return std::pow(2.0, m); };
    return {.name = "times faster at double strength",
            .middle = times(science::mixture_quantile(exponent, 0.5)),
            .low = times(science::mixture_quantile(exponent, kLow)),
            .high = times(science::mixture_quantile(exponent, kHigh)),
            .prior_middle = times(prior.mean),
            .prior_low = times(prior.mean - 1.2816 * prior.sd),
            .prior_high = times(prior.mean + 1.2816 * prior.sd),
            .unit = "times",
            .source = "exponent 0.8 ± 0.2 on dose: weak prior, low trust"};
}

LearnedFigure fade_figure(const Learned& learned) {
    // Half gone: log 2 over the rate (first order), or half over the share lost an hour.
    const bool first = learned.fit.fade == science::FadeKind::first_order;
    const auto hours = [first](double rate) { return (first ? std::log(2.0) : 0.5) / rate; };
    const science::LogPrior prior = learned.fit.priors.fade_open_hot_per_h;
    const auto prior_hours = [&](double z) { return std::log(2.0) / (prior.median * std::exp(z * prior.log_sd)); };
    // The rate is an outer unknown: its belief is the weighted nodes.
    double mean = 0.0;
    double square = 0.0;
    double weight = 0.0;
    for (const science::MixedNode& node : learned.fit.mixed.nodes) {
        if (!node.offset_h.empty()) {
            mean += node.weight * node.offset_h.front();
            square += node.weight * node.offset_h.front() * node.offset_h.front();
            weight += node.weight;
        }
    }
    LearnedFigure figure{.name = first ? "half gone after, open and hot" : "half gone after, open and hot (evenly)",
                         .middle = hours(learned.fit.centre.fade_per_h[0]),
                         .prior_middle = prior_hours(0.0),
                         .prior_low = prior_hours(1.2816),
                         .prior_high = prior_hours(-1.2816),
                         .unit = "h",
                         .source = "half-life 4 h (1 to 16) open at 50 to 80 °C: makers' accounts span one day to six months cold, low trust"};
    const double log_sd = weight > 0.0 ? std::sqrt(std::max(1e-6, square / weight - (mean / weight) * (mean / weight))) : prior.log_sd;
    figure.low = figure.middle * std::exp(-1.2816 * log_sd);
    figure.high = figure.middle * std::exp(1.2816 * log_sd);
    return figure;
}

}  // namespace

science::RateLaw law_of(const Learned& learned) {
    return {.ea_kj_per_mol = learned.fit.centre.ea_kj_per_mol,
            .strength_exponent = learned.fit.centre.exponent,
            .fade = learned.fit.fade,
            .fade_per_h = learned.fit.centre.fade_per_h[0]};
}

std::vector<ToneBegins> tone_begins(const Learned& learned, const Id<ToneScale>& scale) {
    const auto found = learned.scale_index.find(scale.text);
    if (found == learned.scale_index.end()) {
        return {};
    }
    std::vector<ToneBegins> begins{{}};  // bare metal begins at no dose
    const std::size_t first = learned.fit.layout.first_theta[found->second];
    for (std::size_t j = 0; j < learned.fit.layout.tones[found->second]; ++j) {
        const auto theta = coefficient(learned, first + j);
        ToneBegins one{.middle_s = std::exp(science::mixture_quantile(theta, 0.5)),
                       .low_s = std::exp(science::mixture_quantile(theta, kLow)),
                       .high_s = std::exp(science::mixture_quantile(theta, kHigh))};
        // Tones stand in order; where the records leave two unparted, they are drawn a hair apart.
        one.middle_s = std::max(one.middle_s, begins.back().middle_s * 1.02);
        begins.push_back(one);
    }
    return begins;
}

double bath_log_speed(const Learned& learned, const Id<Bath>& bath) {
    const auto found = learned.bath_index.find(bath.text);
    return found == learned.bath_index.end() ? 0.0 : science::mixture_mean(speed_of_bath(learned, found->second));
}

std::vector<LearnedRecord> learned_records(const Learned& learned, const Id<ToneScale>& scale) {
    std::vector<LearnedRecord> records;
    const science::RateLaw law = law_of(learned);
    for (std::size_t i = 0; i < learned.records.size(); ++i) {
        const RecordRef& ref = learned.records[i];
        if (ref.scale != scale.text || learned.fit.left_out[i]) {
            continue;
        }
        const LearnedBath& bath = learned.baths[ref.bath];
        double dose_s = 0.0;
        for (const science::ToneDip& dip : learned.input.subjects[i].dips) {
            science::BathCourse course = learned.input.baths[dip.bath].course;
            course.log_speed = science::mixture_mean(speed_of_bath(learned, dip.bath));
            dose_s += science::dose_s(course, law, dip.in_s, dip.out_s).value_or(0.0);
        }
        records.push_back({.what = ref.what, .lot = bath.lot_number, .bath = bath.history.bath.number, .dose_s = dose_s, .seconds = ref.seconds,
                           .temp_c = bath.history.course.temp.temp_c(0.5 * (ref.in_s + ref.out_s)), .age_h = ref.in_s / 3600.0,
                           .tone = ref.tone, .kind = ref.kind});
    }
    return records;
}

std::vector<LearnedFigure> learned_figures(const Learned& learned) {
    return {temperature_figure(learned), strength_figure(learned), fade_figure(learned)};
}

std::size_t records_used(const Learned& learned) {
    return static_cast<std::size_t>(std::count(learned.fit.left_out.begin(), learned.fit.left_out.end(), false));
}

std::shared_ptr<const Learned> learn(Studio& studio) {
    auto learned = std::make_shared<Learned>();
    {
        // One moment of the log, whatever the window writes meanwhile; the fit itself holds nothing up.
        const store::Snapshot moment(studio.log());
        read_input(studio, *learned);
    }
    learned->fit = science::fit_tones(learned->input);
    return learned;
}

}  // namespace tonebath::app
