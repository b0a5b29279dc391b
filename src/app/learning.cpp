#include "app/learning.hpp"

#include "app/learned.hpp"
#include "app/learning_input.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/normal.hpp"
#include "store/log.hpp"

#include <fmt/format.h>

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

std::string source_of(const Learned& learned, std::string_view key) {
    const auto found = std::ranges::find(learned.usual, key, &UsualFigure::key);
    return found == learned.usual.end() ? "" : fmt::format("{} (trust: {})", found->source, found->trust);
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
            .prior_low = times(prior.mean - science::kEightyOfHundred * prior.sd),
            .prior_high = times(prior.mean + science::kEightyOfHundred * prior.sd),
            .unit = "times",
            .source = source_of(learned, "temperature-effect")};
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
            .prior_low = times(prior.mean - science::kEightyOfHundred * prior.sd),
            .prior_high = times(prior.mean + science::kEightyOfHundred * prior.sd),
            .unit = "times",
            .source = source_of(learned, "strength-exponent")};
}

// Half gone: log 2 over the rate (first order), or half over the share lost an hour. `place` as FadePlace.
LearnedFigure fade_figure(const Learned& learned, std::size_t place) {
    const bool first = learned.fit.fade == science::FadeKind::first_order;
    const auto hours = [first](double rate) { return (first ? std::log(2.0) : 0.5) / rate; };
    const science::LogPrior prior = place == 0 ? learned.fit.priors.fade_open_hot_per_h : learned.fit.priors.fade_covered_per_h;
    const auto prior_hours = [&](double z) { return std::log(2.0) / (prior.median * std::exp(z * prior.log_sd)); };
    // The rate is an outer unknown: its belief is the weighted nodes. Where no record tells of it, its prior.
    double log_sd = prior.log_sd;
    if (const auto unknown = learned.fit.layout.fade_unknown[place]) {
        double mean = 0.0;
        double square = 0.0;
        for (const science::MixedNode& node : learned.fit.mixed.nodes) {
            mean += node.weight * node.offset_h[*unknown];
            square += node.weight * node.offset_h[*unknown] * node.offset_h[*unknown];
        }
        log_sd = std::sqrt(std::max(1e-6, square - mean * mean));
    }
    const double middle = hours(learned.fit.centre.fade_per_h[place]);
    return {.name = std::string("half gone after, ") + (place == 0 ? "open and hot" : "covered and cool") + (first ? "" : " (evenly)"),
            .middle = middle,
            .low = middle * std::exp(-science::kEightyOfHundred * log_sd),
            .high = middle * std::exp(science::kEightyOfHundred * log_sd),
            .prior_middle = prior_hours(0.0),
            .prior_low = prior_hours(science::kEightyOfHundred),
            .prior_high = prior_hours(-science::kEightyOfHundred),
            .unit = "h",
            .source = source_of(learned, place == 0 ? "fade-open" : "fade-covered")};
}

LearnedFigure factor_figure(const Learned& learned, std::size_t level) {
    const FactorLevel& factor = learned.factors[level];
    const auto belief = factor_belief(learned, level);
    const double sd = learned.input.factor_sd[level];
    return {.name = fmt::format("times faster, {} {} against {}", factor.kind, factor.word, factor.against),
            .middle = std::exp(science::mixture_quantile(belief, 0.5)),
            .low = std::exp(science::mixture_quantile(belief, kLow)),
            .high = std::exp(science::mixture_quantile(belief, kHigh)),
            .prior_middle = 1.0,
            .prior_low = std::exp(-science::kEightyOfHundred * sd),
            .prior_high = std::exp(science::kEightyOfHundred * sd),
            .unit = "times",
            .source = fmt::format("no difference until the records speak ({})", counted(factor.records, "record", "records"))};
}

// What a new fit may go on from: the same scales, lots, baths, factors and priors, and every record of the one before it,
// unchanged, at the front. Now and then it starts from nothing all the same, so that the laws are weighed again.
constexpr std::size_t kRefitsInARow = 20;  // ours

bool same_subject(const science::ToneSubject& a, const science::ToneSubject& b) {
    const auto same_dip = [](const science::ToneDip& x, const science::ToneDip& y) {
        return x.bath == y.bath && x.in_s == y.in_s && x.out_s == y.out_s && x.agitation == y.agitation;
    };
    return a.scale == b.scale && a.says == b.says && a.tone == b.tone && a.place == b.place && a.place_sd == b.place_sd && a.factors == b.factors &&
           a.lighter_after == b.lighter_after && std::ranges::equal(a.dips, b.dips, same_dip);
}

std::optional<science::ToneStart> start_of(const Learned& before, const Learned& now) {
    const auto same_words = [](const FactorLevel& x, const FactorLevel& y) { return x.kind == y.kind && x.word == y.word && x.against == y.against; };
    const auto same_figure = [](const UsualFigure& x, const UsualFigure& y) { return x.middle == y.middle && x.low == y.low && x.high == y.high; };
    const bool same = before.fit.converged && before.refits < kRefitsInARow && before.scale_index == now.scale_index && before.lot_index == now.lot_index &&
                      before.bath_index == now.bath_index && std::ranges::equal(before.factors, now.factors, same_words) &&
                      std::ranges::equal(before.usual, now.usual, same_figure) && before.input.subjects.size() <= now.input.subjects.size() &&
                      std::equal(before.input.subjects.begin(), before.input.subjects.end(), now.input.subjects.begin(), same_subject);
    const bool same_unknowns = same && before.fit.layout.fade_unknown == science::fade_unknowns(now.input);
    return same_unknowns ? std::optional(science::start_from(before.fit)) : std::nullopt;
}

}  // namespace

std::vector<science::NormalPart> factor_belief(const Learned& learned, std::size_t level) { return coefficient(learned, learned.fit.layout.first_factor + level); }

science::RateLaw law_of(const Learned& learned, bool covered) {
    return {.ea_kj_per_mol = learned.fit.centre.ea_kj_per_mol,
            .strength_exponent = learned.fit.centre.exponent,
            .fade = learned.fit.fade,
            .fade_per_h = learned.fit.centre.fade_per_h[covered ? 1 : 0]};
}

Laws laws_of(const Learned& learned) { return {.open_hot = law_of(learned), .covered = law_of(learned, true)}; }

const science::RateLaw& Laws::of(const BathHistory& history) const { return stands_covered(history) ? covered : open_hot; }

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
            const science::RateLaw law = law_of(learned, learned.input.baths[dip.bath].place == science::FadePlace::covered);
            dose_s += science::dose_s(course, law, dip.in_s, dip.out_s).value_or(0.0);
        }
        records.push_back({.what = ref.what, .lot = bath.lot_number, .bath = bath.history.bath.number, .dose_s = dose_s, .seconds = ref.seconds,
                           .temp_c = bath.history.course.temp.temp_c(0.5 * (ref.in_s + ref.out_s)), .age_h = ref.in_s / 3600.0,
                           .tone = ref.tone, .kind = ref.kind});
    }
    return records;
}

std::vector<LearnedFigure> learned_figures(const Learned& learned) {
    std::vector<LearnedFigure> figures{temperature_figure(learned), strength_figure(learned), fade_figure(learned, 0)};
    if (learned.fit.layout.fade_unknown[1]) {
        figures.push_back(fade_figure(learned, 1));
    }
    for (std::size_t i = 0; i < learned.factors.size(); ++i) {
        figures.push_back(factor_figure(learned, i));
    }
    return figures;
}

LearnedChoices learned_choices(const Learned& learned) {
    const science::ToneFit& fit = learned.fit;
    const auto compared = [](double one, double other) {
        const double log_odds = std::abs(one - other);
        return log_odds > std::log(1000.0) ? std::string("more than 1000") : fixed_text(std::exp(log_odds), 1);
    };
    LearnedChoices out{.fade_zero_over_first = fit.log_evidence_zero_order - fit.log_evidence_first_order,
                       .tails_over_normal = fit.log_evidence_long_tailed - fit.log_evidence_normal,
                       .fades_evenly = fit.fade == science::FadeKind::zero_order,
                       .long_tailed = fit.shape == science::ScatterShape::long_tailed};
    if (learned.from_before) {
        out.fade_zero_over_first = learned.kept_fade_evidence;
        out.tails_over_normal = learned.kept_tails_evidence;
    }
    const double fade = out.fade_zero_over_first;
    const double tails = out.tails_over_normal;
    out.fade_words = !fit.layout.fade_unknown[0] && !fit.layout.fade_unknown[1] ? "No record is old enough to tell of fading."
                     : fade == 0.0 ? "The records favour neither law of fading; a constant share an hour is taken."
                     : fmt::format("{} fading is {} times likelier by the records; {} is taken{}.", fade > 0.0 ? "Even" : "A constant share an hour of",
                                   compared(fade, 0.0), out.fades_evenly ? "even fading" : "a constant share an hour",
                                   fade > 0.0 && !out.fades_evenly ? ", because less than three times likelier is too little to leave it" : "");
    out.shape_words = tails == 0.0 ? fmt::format("Pieces are taken to scatter evenly about the middle: fewer than {} judged records cannot tell.", science::kRecordsForTails)
                      : out.long_tailed ? fmt::format("A few pieces stand far off: long tails are {} times likelier and are taken.", compared(tails, 0.0))
                      : fmt::format("Long tails are {} times {} by the records: the even shape is taken.", compared(tails, 0.0), tails > 0.0 ? "likelier" : "less likely");
    return out;
}

bool went_on_from_before(const Learned& learned) { return learned.from_before; }

std::size_t records_used(const Learned& learned) {
    return static_cast<std::size_t>(std::count(learned.fit.left_out.begin(), learned.fit.left_out.end(), false));
}

std::shared_ptr<const Learned> learn(Studio& studio, const Learned* before) {
    auto learned = std::make_shared<Learned>();
    {
        // One moment of the log, whatever the window writes meanwhile; the fit itself holds nothing up.
        const store::Snapshot moment(studio.log());
        read_input(studio, *learned);
        learned->seal_aims = seal_aims(studio);
    }
    const auto start = before ? start_of(*before, *learned) : std::nullopt;
    learned->fit = science::fit_tones(learned->input, learned->priors, start ? &*start : nullptr);
    learned->from_before = start.has_value();
    if (start && !learned->fit.converged) {
        learned->fit = science::fit_tones(learned->input, learned->priors);
        learned->from_before = false;
    }
    learned->refits = learned->from_before ? before->refits + 1 : 0;
    learned->kept_fade_evidence = learned->from_before ? before->kept_fade_evidence : learned->fit.log_evidence_zero_order - learned->fit.log_evidence_first_order;
    learned->kept_tails_evidence = learned->from_before ? before->kept_tails_evidence : learned->fit.log_evidence_long_tailed - learned->fit.log_evidence_normal;
    return learned;
}

}  // namespace tonebath::app
