#include "science/tone_model.hpp"

#include "base/check.hpp"
#include "science/tone_rows.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

constexpr int kMostRounds = 6;
constexpr double kRoundTolerance = 0.05;  // ours: largest move of the centre, in posterior sd, before the last fit
constexpr double kSiteTolerance = 5e-4;   // ours: EP, in a marginal's sd
constexpr double kLikelierBy = 1.0;       // ours: log evidence by which zero order must win
constexpr int kSweepsForTails = 600;      // ours: they are damped harder, so more of them
constexpr double kTailsWorthALook = 0.0;  // ours: first-order gain from which the long-tailed fit is made at all
constexpr double kTailsLikelierBy = 3.0;  // ours: log evidence (a factor of 20) by which long tails must win

DoseCentre prior_centre(const TonePriors& priors) {
    return {priors.ea_kj_per_mol.mean,
            priors.strength_exponent.mean,
            std::log(priors.still.median),
            std::log(priors.brisk.median),
            {priors.fade_open_hot_per_h.median, priors.fade_covered_per_h.median}};
}

// Posterior centre, and how far it moved in posterior sd.
DoseCentre next_centre(const MixedFit& fit, const ToneLayout& layout, const DoseCentre& from, double& moved) {
    DoseCentre next = from;
    moved = 0.0;
    const auto take = [&](std::size_t coef, double& value) {
        const std::array<Term, 1> one = {Term{coef, 1.0}};
        const auto parts = fit.mixture({one});
        const double mean = mixture_mean(parts);
        moved = std::max(moved, std::abs(mean - value) / mixture_sd(parts));
        value = mean;
    };
    take(layout.ea, next.ea_kj_per_mol);
    take(layout.exponent, next.exponent);
    take(layout.still, next.log_still);
    take(layout.brisk, next.log_brisk);
    for (std::size_t k = 0; k < 2; ++k) {
        if (!layout.fade_unknown[k]) {
            continue;
        }
        double log_rate = 0.0;
        for (const MixedNode& node : fit.nodes) {
            log_rate += node.weight * node.offset_h[*layout.fade_unknown[k]];
        }
        next.fade_per_h[k] = std::exp(log_rate);
    }
    return next;
}

struct Settled {
    MixedFit mixed;
    DoseCentre centre;
    std::vector<bool> left_out;
    bool converged = false;
    int rounds = 0;
    double tails_gain = 0.0;  // of the last round at the mode
};

// The rounds look at the mode alone; the last fit, about the settled centre, is done in full or for its evidence.
Settled settle(const ToneInput& input, const ReadDips& dips, const TonePriors& priors, const ToneLayout& layout, FadeKind fade,
               ScatterShape shape, const ToneStart* start, bool in_full) {
    Settled out;
    out.centre = start != nullptr ? start->centre : prior_centre(priors);
    WarmStart kept;
    if (start != nullptr) {
        kept = start->warm;
    }
    bool have = start != nullptr;
    FitOptions options;
    options.site_tolerance = kSiteTolerance;
    options.only_mode = true;
    if (shape == ScatterShape::long_tailed) {
        options.max_sweeps = kSweepsForTails;
    }
    while (!input.subjects.empty() && out.rounds < kMostRounds) {
        RoundFit round = fit_round(input, dips, priors, layout, out.centre, fade, shape, options, have ? &kept : nullptr, in_full && start == nullptr);
        MixedFit fit = std::move(round.mixed);
        out.tails_gain = round.tails_gain;
        ++out.rounds;
        if (fit.nodes.empty()) {
            return out;
        }
        double moved = 0.0;
        out.centre = next_centre(fit, layout, out.centre, moved);
        kept = std::move(fit.warm);
        have = true;
        if (moved < kRoundTolerance) {
            break;
        }
    }
    options.only_mode = !in_full;
    options.laplace_evidence = !in_full;
    if (have) {
        kept.renew_curvature = start == nullptr || start->warm.renew_curvature;
    }
    RoundFit round = fit_round(input, dips, priors, layout, out.centre, fade, shape, options, have ? &kept : nullptr);
    out.mixed = std::move(round.mixed);
    out.left_out = std::move(round.left_out);
    out.converged = out.mixed.converged;
    return out;
}

// Zero order starts from a rate that leaves something at the oldest record: from the floor it finds no way back.
ToneStart zero_order_start(const ToneInput& input, const TonePriors& priors, const ToneLayout& layout,
                           const WarmStart& warm, const DoseCentre& centre) {
    constexpr double kMostGone = 0.7;
    double oldest_h = 0.0;
    for (const ToneSubject& subject : input.subjects) {
        for (const ToneDip& dip : subject.dips) {
            oldest_h = std::max(oldest_h, dip.out_s / 3600.0);
        }
    }
    ToneStart start{warm, centre, FadeKind::zero_order, ScatterShape::normal};
    start.centre.fade_per_h = {std::min(priors.fade_open_hot_per_h.median, kMostGone / std::max(oldest_h, 0.01)),
                               std::min(priors.fade_covered_per_h.median, kMostGone / std::max(oldest_h, 0.01))};
    // The fade rates come last among the outer unknowns, in the order of FadePlace.
    std::size_t at = start.warm.hyper.size();
    for (std::size_t k = 2; k-- > 0;) {
        if (layout.fade_unknown[k]) {
            start.warm.hyper[--at] = std::log(start.centre.fade_per_h[k]);
        }
    }
    start.warm.renew_curvature = true;
    return start;
}

TriedRange tried_range(const ToneInput& input, const ReadDips& dips, const DoseCentre& centre) {
    TriedRange range;
    for (std::size_t i = 0; i < dips.size(); ++i) {
        for (std::size_t k = 0; k < dips[i].size(); ++k) {
            const auto dose = linear_dose(std::span(dips[i]).subspan(k, 1), centre, FadeKind::none);
            if (!dose) {
                continue;
            }
            const double temp = effective_temp_of(dose->d_ea);
            const double strength = dose->d_exponent;
            const double age_h = input.subjects[i].dips[k].in_s / 3600.0;
            const bool first = range.records == 0;
            range.coolest_c = first ? temp : std::min(range.coolest_c, temp);
            range.hottest_c = first ? temp : std::max(range.hottest_c, temp);
            range.weakest_log = first ? strength : std::min(range.weakest_log, strength);
            range.strongest_log = first ? strength : std::max(range.strongest_log, strength);
            range.oldest_h = first ? age_h : std::max(range.oldest_h, age_h);
            ++range.records;
        }
    }
    return range;
}

bool enough_for_tails(const ToneInput& input) {
    return static_cast<std::size_t>(std::ranges::count_if(input.subjects, [](const ToneSubject& subject) {
               return subject.says != ToneSays::watched;
           })) >= kRecordsForTails;
}

}  // namespace

ToneStart start_from(const ToneFit& fit) { return {fit.mixed.warm, fit.centre, fit.fade, fit.shape}; }

std::array<std::optional<std::size_t>, 2> fade_unknowns(const ToneInput& input) { return lay_out_tones(input).fade_unknown; }

ToneFit fit_tones(const ToneInput& input, const TonePriors& priors, const ToneStart* start) {
    ToneFit fit;
    fit.priors = priors;
    fit.lots = input.lots;
    fit.layout = lay_out_tones(input);
    for (const ToneBath& bath : input.baths) {
        fit.bath_factors.push_back(bath.factors);
    }
    const ReadDips dips = read_all(input);
    const auto keep = [&](Settled&& settled, FadeKind fade) {
        fit.converged = settled.converged;
        fit.rounds = settled.rounds;
        fit.fade = fade;
        fit.mixed = std::move(settled.mixed);
        fit.centre = settled.centre;
        fit.left_out = std::move(settled.left_out);
    };
    if (start != nullptr) {
        keep(settle(input, dips, priors, fit.layout, start->fade, start->shape, start, true), start->fade);
        fit.shape = start->shape;
    } else {
        Settled first = settle(input, dips, priors, fit.layout, FadeKind::first_order, ScatterShape::normal, nullptr, true);
        const double tails_gain = first.tails_gain;
        fit.log_evidence_first_order = first.mixed.log_evidence;
        fit.log_evidence_zero_order = first.mixed.log_evidence;
        FadeKind law = FadeKind::first_order;
        if (fit.layout.fade_unknown[0] || fit.layout.fade_unknown[1]) {
            ToneStart from = zero_order_start(input, priors, fit.layout, first.mixed.warm, first.centre);
            const Settled look = settle(input, dips, priors, fit.layout, FadeKind::zero_order, ScatterShape::normal, &from, false);
            fit.log_evidence_zero_order = look.mixed.log_evidence;
            if (look.converged && look.mixed.log_evidence > first.mixed.log_evidence + kLikelierBy) {
                law = FadeKind::zero_order;
                from.warm = look.mixed.warm;
                from.centre = look.centre;
                Settled zero = settle(input, dips, priors, fit.layout, FadeKind::zero_order, ScatterShape::normal, &from, true);
                fit.log_evidence_zero_order = zero.mixed.log_evidence;
                keep(std::move(zero), law);
            }
        }
        if (law == FadeKind::first_order) {
            keep(std::move(first), law);
        }
        fit.log_evidence_normal = fit.mixed.log_evidence;
        fit.log_evidence_long_tailed = fit.mixed.log_evidence;
        if (enough_for_tails(input) && fit.converged && tails_gain <= kTailsWorthALook) {
            fit.log_evidence_long_tailed += tails_gain;
        } else if (enough_for_tails(input) && fit.converged) {
            ToneStart from = start_from(fit);
            from.warm.renew_curvature = true;
            from.warm.sites.clear();  // the sites of one shape are none of the other's
            const Settled look = settle(input, dips, priors, fit.layout, law, ScatterShape::long_tailed, &from, false);
            if (look.converged) {
                fit.log_evidence_long_tailed = look.mixed.log_evidence;
            }
            if (look.converged && look.mixed.log_evidence > fit.log_evidence_normal + kTailsLikelierBy) {
                from.warm = look.mixed.warm;
                from.centre = look.centre;
                Settled tails = settle(input, dips, priors, fit.layout, law, ScatterShape::long_tailed, &from, true);
                if (tails.converged) {
                    fit.log_evidence_long_tailed = tails.mixed.log_evidence;
                    fit.shape = ScatterShape::long_tailed;
                    keep(std::move(tails), law);
                }
            }
        }
    }
    fit.tried = tried_range(input, dips, fit.centre);
    return fit;
}

}  // namespace tonebath::science
