#include "science/tone_model.hpp"

#include "base/check.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

constexpr int kMostRounds = 6;
constexpr double kTellingAge_s = 60.0;  // ours: records younger than this say nothing on fade
constexpr double kRoundTolerance = 0.05;  // ours: largest move of the centre, in posterior sd, before the last fit
constexpr double kSiteTolerance = 5e-4;   // ours: EP, in a marginal's sd
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
    // Outer unknowns are numbered in the order of FadePlace; a place counts as soon as a dip in it is old enough to tell.
    std::array<bool, 2> met = {false, false};
    for (const ToneSubject& subject : input.subjects) {
        for (const ToneDip& dip : subject.dips) {
            TB_CHECK(dip.bath < input.baths.size());
            const std::size_t place = input.baths[dip.bath].place == FadePlace::open_hot ? 0 : 1;
            met[place] = met[place] || dip.out_s > kTellingAge_s;
        }
    }
    std::size_t unknown = 0;
    for (std::size_t k = 0; k < 2; ++k) {
        if (met[k]) {
            layout.fade_unknown[k] = unknown++;
        }
    }
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

// Every dip of every subject, its course read once. A subject with a dip that cannot be read has none.
std::vector<std::vector<ReadDip>> read_all(const ToneInput& input) {
    std::vector<std::vector<ReadDip>> all(input.subjects.size());
    for (std::size_t i = 0; i < input.subjects.size(); ++i) {
        for (const ToneDip& dip : input.subjects[i].dips) {
            const ToneBath& bath = input.baths[dip.bath];
            auto read = read_dip({&bath.course, dip.bath, bath.place, dip.in_s, dip.out_s, dip.agitation});
            if (!read) {
                all[i].clear();
                break;
            }
            all[i].push_back(std::move(*read));
        }
    }
    return all;
}

// One round: rows at a centre, and the fit of them.
class Round {
public:
    Round(const ToneInput& input, const std::vector<std::vector<ReadDip>>& dips, const TonePriors& priors,
          const ToneLayout& layout, const DoseCentre& centre, FadeKind fade)
        : input_(input), layout_(layout), centre_(centre), fade_(fade), data_(layout.coefs, input.baths.size()) {
        model_.coef = coef_prior(input, layout, priors);
        model_.scatter = {priors.piece_sd.median, priors.piece_sd.log_sd};
        model_.group = {priors.bath_sd.median, priors.bath_sd.log_sd};
        const std::array<LogPrior, 2> fades = {priors.fade_open_hot_per_h, priors.fade_covered_per_h};
        for (std::size_t k = 0; k < 2; ++k) {
            if (layout.fade_unknown[k]) {
                model_.offset_priors.push_back({std::log(fades[k].median), fades[k].log_sd});
            }
        }
        watched_var_ = priors.watched_log_sd * priors.watched_log_sd;
        keep_thresholds_apart();
        left_out_.assign(input.subjects.size(), false);
        for (std::size_t i = 0; i < input.subjects.size(); ++i) {
            left_out_[i] = !add(input.subjects[i], dips[i]);
        }
        model_.offsets = [this](std::span<const double> h, std::span<double> offset, std::span<double> slope) {
            fade_offsets(h, offset, slope);
        };
    }
    Round(const Round&) = delete;
    Round& operator=(const Round&) = delete;

    [[nodiscard]] MixedFit fit(const WarmStart* start, const FitOptions& options) const {
        return fit_mixed(data_, model_, options, start);
    }
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

    bool add(const ToneSubject& subject, std::span<const ReadDip> dips) {
        TB_CHECK(subject.scale < layout_.tones.size());
        const std::size_t tones = layout_.tones[subject.scale];
        const std::size_t theta = layout_.first_theta[subject.scale];
        TB_CHECK(subject.tone < tones);
        const auto dose = linear_dose(dips, centre_, fade_);
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
                if (!set_judged(subject, dips, row, constant, theta, tones, *dose)) {
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
    bool set_judged(const ToneSubject& subject, std::span<const ReadDip> dips, MixedRow& row, double constant, std::size_t theta, std::size_t tones,
                    const LinearDose& dose) const {
        const bool last = subject.tone + 1 == tones;
        row.kind = last ? RowKind::at_least : RowKind::interval;
        if (!subject.lighter_after || *subject.lighter_after == 0) {
            return true;
        }
        const auto earlier = linear_dose(dips.first(std::min(*subject.lighter_after, dips.size())), centre_, fade_);
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
                const auto unknown = layout_.fade_unknown[k];
                if (!unknown) {
                    continue;
                }
                double& moved = slope[i * h.size() + *unknown];
                moved = 0.0;
                const double share = doses_[i].share[k];
                if (share > 0.0) {
                    const double rate = std::exp(h[*unknown]);
                    const auto at = [&](double r) { return log_fade(fade_, r, doses_[i].age_h[k]); };
                    offset[i] += share * (at(rate) - at(centre_.fade_per_h[k]));
                    moved = share * (at(rate * 1.0001) - at(rate * 0.9999)) / 0.0002;
                }
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
};

// The rounds look at the mode alone; the last fit, about the settled centre, is done in full or for its evidence.
Settled settle(const ToneInput& input, const std::vector<std::vector<ReadDip>>& dips, const TonePriors& priors, const ToneLayout& layout, FadeKind fade,
               const ToneStart* start, bool in_full) {
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
    while (!input.subjects.empty() && out.rounds < kMostRounds) {
        const Round round(input, dips, priors, layout, out.centre, fade);
        MixedFit fit = round.fit(have ? &kept : nullptr, options);
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
    const Round round(input, dips, priors, layout, out.centre, fade);
    out.mixed = round.fit(have ? &kept : nullptr, options);
    out.left_out = round.left_out();
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
    ToneStart start{warm, centre, FadeKind::zero_order};
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

TriedRange tried_range(const ToneInput& input, const std::vector<std::vector<ReadDip>>& dips, const DoseCentre& centre) {
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

}  // namespace

ToneStart start_from(const ToneFit& fit) { return {fit.mixed.warm, fit.centre, fit.fade}; }

ToneFit fit_tones(const ToneInput& input, const TonePriors& priors, const ToneStart* start) {
    ToneFit fit;
    fit.priors = priors;
    fit.lots = input.lots;
    fit.layout = lay_out(input);
    const std::vector<std::vector<ReadDip>> dips = read_all(input);
    const auto keep = [&](Settled&& settled, FadeKind fade) {
        fit.converged = settled.converged;
        fit.rounds = settled.rounds;
        fit.fade = fade;
        fit.mixed = std::move(settled.mixed);
        fit.centre = settled.centre;
        fit.left_out = std::move(settled.left_out);
    };
    if (start != nullptr) {
        keep(settle(input, dips, priors, fit.layout, start->fade, start, true), start->fade);
    } else {
        Settled first = settle(input, dips, priors, fit.layout, FadeKind::first_order, nullptr, true);
        fit.log_evidence_first_order = first.mixed.log_evidence;
        fit.log_evidence_zero_order = first.mixed.log_evidence;
        FadeKind law = FadeKind::first_order;
        if (fit.layout.fade_unknown[0] || fit.layout.fade_unknown[1]) {
            ToneStart from = zero_order_start(input, priors, fit.layout, first.mixed.warm, first.centre);
            const Settled look = settle(input, dips, priors, fit.layout, FadeKind::zero_order, &from, false);
            fit.log_evidence_zero_order = look.mixed.log_evidence;
            if (look.converged && look.mixed.log_evidence > first.mixed.log_evidence + kLikelierBy) {
                law = FadeKind::zero_order;
                from.warm = look.mixed.warm;
                from.centre = look.centre;
                Settled zero = settle(input, dips, priors, fit.layout, FadeKind::zero_order, &from, true);
                fit.log_evidence_zero_order = zero.mixed.log_evidence;
                keep(std::move(zero), law);
            }
        }
        if (law == FadeKind::first_order) {
            keep(std::move(first), law);
        }
    }
    fit.tried = tried_range(input, dips, fit.centre);
    return fit;
}

}  // namespace tonebath::science
