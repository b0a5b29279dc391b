#include "science/tone_model.hpp"

#include "base/check.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

constexpr int kMostRounds = 6;
constexpr double kRoundTolerance = 0.01;  // ours: largest move of the centre, in posterior sd
constexpr double kLikelierBy = 1.0;       // ours: log evidence by which zero order must win

ToneLayout lay_out(const ToneInput& input) {
    ToneLayout layout;
    layout.first_factor = layout.first_lot + input.lots;
    std::size_t next = layout.first_factor + input.factor_sd.size();
    for (const ScalePrior& scale : input.scales) {
        TB_CHECK(scale.tones() > 0 && scale.covariance.size() == scale.tones() * scale.tones());
        layout.first_theta.push_back(next);
        layout.tones.push_back(scale.tones());
        next += scale.tones();
    }
    layout.coefs = next;
    return layout;
}

CoefPrior coef_prior(const ToneInput& input, const ToneLayout& layout, const TonePriors& priors) {
    const std::size_t k = layout.coefs;
    CoefPrior prior{std::vector<double>(k, 0.0), std::vector<double>(k * k, 0.0)};
    const auto set = [&](std::size_t i, double mean, double sd) {
        prior.mean[i] = mean;
        prior.covariance[i * k + i] = sd * sd;
    };
    set(layout.ea, priors.ea_kj_per_mol.mean, priors.ea_kj_per_mol.sd);
    set(layout.exponent, priors.strength_exponent.mean, priors.strength_exponent.sd);
    set(layout.still, std::log(priors.still.median), priors.still.log_sd);
    set(layout.brisk, std::log(priors.brisk.median), priors.brisk.log_sd);
    for (std::size_t i = 0; i < input.lots; ++i) {
        set(layout.first_lot + i, 0.0, priors.lot_log_sd);
    }
    for (std::size_t i = 0; i < input.factor_sd.size(); ++i) {
        set(layout.first_factor + i, 0.0, input.factor_sd[i]);
    }
    for (std::size_t s = 0; s < input.scales.size(); ++s) {
        const std::size_t n = layout.tones[s];
        const std::size_t first = layout.first_theta[s];
        for (std::size_t i = 0; i < n; ++i) {
            prior.mean[first + i] = input.scales[s].mean[i];
            for (std::size_t j = 0; j < n; ++j) {
                prior.covariance[(first + i) * k + first + j] = input.scales[s].covariance[i * n + j];
            }
        }
    }
    return prior;
}

std::vector<DosePiece> pieces_of(const ToneInput& input, const ToneSubject& subject, std::size_t count) {
    std::vector<DosePiece> pieces;
    for (std::size_t i = 0; i < count; ++i) {
        const ToneDip& dip = subject.dips[i];
        TB_CHECK(dip.bath < input.baths.size());
        const ToneBath& bath = input.baths[dip.bath];
        pieces.push_back({&bath.course, dip.bath, bath.place, dip.in_s, dip.out_s, dip.agitation});
    }
    return pieces;
}

// One round: rows at a centre, and the fit of them.
class Round {
public:
    Round(const ToneInput& input, const TonePriors& priors, const ToneLayout& layout, const DoseCentre& centre,
          FadeKind fade)
        : input_(input), layout_(layout), centre_(centre), fade_(fade), data_(layout.coefs, input.baths.size()) {
        model_.coef = coef_prior(input, layout, priors);
        model_.scatter = {priors.piece_sd.median, priors.piece_sd.log_sd};
        model_.group = {priors.bath_sd.median, priors.bath_sd.log_sd};
        model_.offset_priors = {{std::log(priors.fade_open_hot_per_h.median), priors.fade_open_hot_per_h.log_sd},
                                {std::log(priors.fade_covered_per_h.median), priors.fade_covered_per_h.log_sd}};
        watched_var_ = priors.watched_log_sd * priors.watched_log_sd;
        keep_thresholds_apart();
        left_out_.assign(input.subjects.size(), false);
        for (std::size_t i = 0; i < input.subjects.size(); ++i) {
            left_out_[i] = !add(input.subjects[i]);
        }
        model_.offsets = [this](std::span<const double> h, std::span<double> offset, std::span<double> slope) {
            fade_offsets(h, offset, slope);
        };
    }
    Round(const Round&) = delete;
    Round& operator=(const Round&) = delete;

    [[nodiscard]] MixedFit fit(const WarmStart* start) const { return fit_mixed(data_, model_, {}, start); }
    [[nodiscard]] const std::vector<bool>& left_out() const { return left_out_; }

private:
    // Order of the thresholds of a scale, as readings without noise: theta_(j+1) - theta_j >= 0.
    void keep_thresholds_apart() {
        for (std::size_t s = 0; s < layout_.first_theta.size(); ++s) {
            for (std::size_t j = 0; j + 1 < layout_.tones[s]; ++j) {
                const std::array<Term, 1> up = {Term{layout_.first_theta[s] + j + 1, 1.0}};
                MixedRow row{up, std::nullopt, RowKind::at_least, {0.0, layout_.first_theta[s] + j}};
                row.carries_scatter = false;
                data_.add(row);
                doses_.push_back({});
            }
        }
    }

    bool add(const ToneSubject& subject) {
        TB_CHECK(subject.scale < layout_.tones.size());
        const std::size_t tones = layout_.tones[subject.scale];
        const std::size_t theta = layout_.first_theta[subject.scale];
        TB_CHECK(subject.tone < tones);
        const auto dose = linear_dose(pieces_of(input_, subject, subject.dips.size()), centre_, fade_);
        if (!dose) {
            return false;
        }
        std::vector<Term> terms = {{layout_.ea, dose->d_ea}, {layout_.exponent, dose->d_exponent}};
        if (dose->d_still != 0.0) {
            terms.push_back({layout_.still, dose->d_still});
        }
        if (dose->d_brisk != 0.0) {
            terms.push_back({layout_.brisk, dose->d_brisk});
        }
        const std::size_t lot = input_.baths[dose->main_bath].lot;
        TB_CHECK(lot < input_.lots);
        terms.push_back({layout_.first_lot + lot, 1.0});
        for (const std::size_t factor : subject.factors) {
            TB_CHECK(factor < input_.factor_sd.size());
            terms.push_back({layout_.first_factor + factor, 1.0});
        }
        // Response minus this constant is the linear part.
        const double constant = dose->log_dose - dose->d_ea * centre_.ea_kj_per_mol -
                                dose->d_exponent * centre_.exponent - dose->d_still * centre_.log_still -
                                dose->d_brisk * centre_.log_brisk;
        MixedRow row{terms, dose->main_bath};
        row.lower = {-constant, theta + subject.tone};
        row.upper = {-constant, theta + std::min(subject.tone + 1, tones - 1)};
        switch (subject.says) {
            case ToneSays::watched:
                row.kind = RowKind::exact;
                row.carries_scatter = false;
                row.own_var = watched_var_;
                break;
            case ToneSays::judged:
                if (!set_judged(subject, row, constant, theta, tones, *dose)) {
                    return false;
                }
                break;
            case ToneSays::lighter_than:
                row.kind = RowKind::at_most;
                row.upper = row.lower;
                break;
            case ToneSays::gone_over:
                row.kind = RowKind::at_least;
                row.lower = row.upper;
                break;
            case ToneSays::at_ceiling:
                row.kind = RowKind::at_least;
                row.lower = {-constant, theta + tones - 1};
                break;
            case ToneSays::place: {
                TB_CHECK(tones >= 2);
                const double low = std::clamp(std::floor(subject.place), 0.0, static_cast<double>(tones - 2));
                const double part = subject.place - low;
                const std::size_t j = theta + static_cast<std::size_t>(low);
                terms.push_back({j, part - 1.0});
                terms.push_back({j + 1, -part});
                row.terms = terms;
                row.kind = RowKind::exact;
                row.lower = {-constant, std::nullopt};
                const std::size_t at = j - theta;
                const auto& mean = input_.scales[subject.scale].mean;
                const double spacing = mean[at + 1] - mean[at];
                row.own_var = subject.place_sd * subject.place_sd * spacing * spacing;
                break;
            }
        }
        data_.add(row);
        doses_.push_back(*dose);
        return true;
    }

    // From theta_j to theta_(j+1); the last tone has no upper end. Seen lighter before the last dips: what those dips
    // added bounds it from above, and takes the place of theta_(j+1) when it is the nearer of the two.
    bool set_judged(const ToneSubject& subject, MixedRow& row, double constant, std::size_t theta, std::size_t tones,
                    const LinearDose& dose) const {
        const bool last = subject.tone + 1 == tones;
        row.kind = last ? RowKind::at_least : RowKind::interval;
        if (!subject.lighter_after || *subject.lighter_after == 0) {
            return true;
        }
        const std::size_t count = std::min(*subject.lighter_after, subject.dips.size());
        const auto earlier = linear_dose(pieces_of(input_, subject, count), centre_, fade_);
        if (!earlier) {
            return true;
        }
        // earlier dose < theta_j <= whole dose: 0 <= f < log(whole / earlier), a width that is a plain number.
        const double width = dose.log_dose - earlier->log_dose;
        if (!(width > 1e-6)) {
            return false;
        }
        const auto& mean = input_.scales[subject.scale].mean;
        if (last || width < mean[subject.tone + 1] - mean[subject.tone]) {
            row.kind = RowKind::interval;
            row.upper = {-constant + width, theta + subject.tone};
        }
        return true;
    }

    void fade_offsets(std::span<const double> h, std::span<double> offset, std::span<double> slope) const {
        for (std::size_t i = 0; i < doses_.size(); ++i) {
            offset[i] = 0.0;
            for (std::size_t k = 0; k < 2; ++k) {
                slope[i * 2 + k] = 0.0;
                if (doses_[i].share[k] <= 0.0) {
                    continue;
                }
                const double rate = std::exp(h[k]);
                const double age = doses_[i].age_h[k];
                const double share = doses_[i].share[k];
                const auto at = [&](double r) { return log_fade(fade_, r, age); };
                offset[i] += share * (at(rate) - at(centre_.fade_per_h[k]));
                slope[i * 2 + k] = share * (at(rate * 1.0001) - at(rate * 0.9999)) / 0.0002;
            }
        }
    }

    const ToneInput& input_;
    const ToneLayout& layout_;
    DoseCentre centre_;
    FadeKind fade_;
    double watched_var_ = 0.0;
    MixedData data_;
    MixedModel model_;
    std::vector<LinearDose> doses_;
    std::vector<bool> left_out_;
};

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
        double log_rate = 0.0;
        for (const MixedNode& node : fit.nodes) {
            log_rate += node.weight * node.offset_h[k];
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
};

Settled settle(const ToneInput& input, const TonePriors& priors, const ToneLayout& layout, FadeKind fade,
               const ToneStart* start) {
    Settled out;
    out.centre = start != nullptr ? start->centre : prior_centre(priors);
    const WarmStart* warm = start != nullptr ? &start->warm : nullptr;
    WarmStart kept;
    while (out.rounds < kMostRounds) {
        const Round round(input, priors, layout, out.centre, fade);
        out.mixed = round.fit(warm);
        out.left_out = round.left_out();
        ++out.rounds;
        if (out.mixed.nodes.empty()) {
            return out;
        }
        double moved = 0.0;
        const DoseCentre next = next_centre(out.mixed, layout, out.centre, moved);
        out.converged = out.mixed.converged;
        if (moved < kRoundTolerance || input.subjects.empty()) {
            return out;  // the fit belongs to out.centre
        }
        if (out.rounds < kMostRounds) {
            out.centre = next;
        }
        kept = out.mixed.warm;
        warm = &kept;
    }
    return out;
}

// Zero order starts from a rate that leaves something at the oldest record: from the floor it finds no way back.
ToneStart zero_order_start(const ToneInput& input, const TonePriors& priors, const WarmStart& warm,
                           const DoseCentre& centre) {
    constexpr double kMostGone = 0.7;
    double oldest_h = 0.0;
    for (const ToneSubject& subject : input.subjects) {
        for (const ToneDip& dip : subject.dips) {
            oldest_h = std::max(oldest_h, dip.out_s / 3600.0);
        }
    }
    ToneStart start{warm, centre, FadeKind::zero_order};
    start.centre.fade_per_h = {std::min(priors.fade_open_hot_per_h.median, kMostGone / std::max(oldest_h, 0.01)),
                               std::min(priors.fade_covered_per_h.median, kMostGone / std::max(oldest_h, 0.01))};
    const std::size_t n = start.warm.hyper.size();
    if (n >= 2) {
        start.warm.hyper[n - 2] = std::log(start.centre.fade_per_h[0]);
        start.warm.hyper[n - 1] = std::log(start.centre.fade_per_h[1]);
        start.warm.renew_curvature = true;
    }
    return start;
}

TriedRange tried_range(const ToneInput& input, const std::vector<bool>& left_out, const DoseCentre& centre) {
    TriedRange range;
    const RateLaw law{centre.ea_kj_per_mol, centre.exponent};
    for (std::size_t i = 0; i < input.subjects.size(); ++i) {
        if (left_out[i]) {
            continue;
        }
        for (const ToneDip& dip : input.subjects[i].dips) {
            const BathCourse& course = input.baths[dip.bath].course;
            const auto temp = effective_temp_c(course, law, dip.in_s, dip.out_s);
            if (!temp) {
                continue;
            }
            const double strength = log_strength_ratio(course, 0.5 * (dip.in_s + dip.out_s));
            const double age_h = dip.in_s / 3600.0;
            const bool first = range.records == 0;
            range.coolest_c = first ? *temp : std::min(range.coolest_c, *temp);
            range.hottest_c = first ? *temp : std::max(range.hottest_c, *temp);
            range.weakest_log = first ? strength : std::min(range.weakest_log, strength);
            range.strongest_log = first ? strength : std::max(range.strongest_log, strength);
            range.oldest_h = first ? age_h : std::max(range.oldest_h, age_h);
            ++range.records;
        }
    }
    return range;
}

}  // namespace

ToneStart start_from(const ToneFit& fit) { return {fit.mixed.warm, fit.centre, fit.fade}; }

ToneFit fit_tones(const ToneInput& input, const TonePriors& priors, const ToneStart* start) {
    ToneFit fit;
    fit.priors = priors;
    fit.lots = input.lots;
    fit.layout = lay_out(input);
    const auto keep = [&](Settled&& settled, FadeKind fade) {
        fit.converged = settled.converged;
        fit.rounds = settled.rounds;
        fit.fade = fade;
        fit.mixed = std::move(settled.mixed);
        fit.centre = settled.centre;
        fit.left_out = std::move(settled.left_out);
    };
    if (start != nullptr) {
        keep(settle(input, priors, fit.layout, start->fade, start), start->fade);
    } else {
        Settled first = settle(input, priors, fit.layout, FadeKind::first_order, nullptr);
        fit.log_evidence_first_order = first.mixed.log_evidence;
        fit.log_evidence_zero_order = first.mixed.log_evidence;
        bool zero_order = false;
        if (!input.subjects.empty()) {
            const ToneStart from = zero_order_start(input, priors, first.mixed.warm, first.centre);
            Settled zero = settle(input, priors, fit.layout, FadeKind::zero_order, &from);
            fit.log_evidence_zero_order = zero.mixed.log_evidence;
            zero_order = zero.converged && zero.mixed.log_evidence > first.mixed.log_evidence + kLikelierBy;
            if (zero_order) {
                keep(std::move(zero), FadeKind::zero_order);
            }
        }
        if (!zero_order) {
            keep(std::move(first), FadeKind::first_order);
        }
    }
    fit.tried = tried_range(input, fit.left_out, fit.centre);
    return fit;
}

}  // namespace tonebath::science
