#include "science/tone_rows.hpp"

#include "base/check.hpp"
#include "science/site_algebra.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

constexpr double kTellingAge_s = 60.0;  // ours: records younger than this say nothing on fade

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

// One round: rows at a centre, and the fit of them.
class Round {
public:
    Round(const ToneInput& input, const ReadDips& dips, const TonePriors& priors,
          const ToneLayout& layout, const DoseCentre& centre, FadeKind fade, ScatterShape shape)
        : input_(input), layout_(layout), centre_(centre), fade_(fade), data_(layout.coefs, input.baths.size()) {
        model_.coef = coef_prior(input, layout, priors);
        if (shape == ScatterShape::long_tailed) {
            model_.noise = thinned_tails();
        }
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

    // What long tails would gain in log evidence over a fit with the even shape, to first order: each reading taken out of
    // the belief, and foretold under both shapes; the scatter of the long-tailed one is the best of three.
    [[nodiscard]] double tails_gain(const MixedFit& fit) const {
        const MixedNode& node = fit.nodes.front();
        std::vector<double> offset(doses_.size(), 0.0);
        std::vector<double> slope(doses_.size() * node.offset_h.size(), 0.0);
        fade_offsets(node.offset_h, offset, slope);
        const double scatter_var = node.scatter_sd * node.scatter_sd;
        std::array<double, 3> gain = {0.0, 0.0, 0.0};
        for (std::size_t i = 0; i < data_.size(); ++i) {
            const StoredRow& row = data_.rows()[i];
            if (!row.carries_scatter || row.kind == RowKind::exact) {
                continue;
            }
            const auto group = row.group >= 0 ? std::optional(static_cast<std::size_t>(row.group)) : std::nullopt;
            const LinearForm form{data_.terms(row), group};
            const NormalPart f = fit.form(0, form);
            SiteBelief belief{f.mean + row.offset + offset[i], f.var, row.width, 0.0, 0.0};
            if (row.width_up >= 0) {
                const std::array<Term, 2> width = {Term{static_cast<std::size_t>(row.width_up), 1.0}, Term{static_cast<std::size_t>(row.width_low), -1.0}};
                const NormalPair pair = fit.pair(0, form, width);
                belief.mean_w += pair.mean_b;
                belief.var_w = pair.var_b;
                belief.cov_fw = pair.cov;
            }
            const auto cavity = site_cavity(belief, fit.warm.sites[i]);
            if (!cavity) {
                continue;
            }
            const double even = site_moments(row.kind, *cavity, row.own_var, scatter_var, model_.noise).log_z;
            for (std::size_t k = 0; k < gain.size(); ++k) {
                const double scale = 0.65 + 0.15 * static_cast<double>(k);
                gain[k] += site_moments(row.kind, *cavity, row.own_var, scale * scale * scatter_var, thinned_tails()).log_z - even;
            }
        }
        return *std::ranges::max_element(gain);
    }

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
        for (const auto* factors : {&subject.factors, &input_.baths[dose->main_bath].factors}) {
            for (const std::size_t factor : *factors) {
                TB_CHECK(factor < input_.factor_sd.size());
                terms.push_back({layout_.first_factor + factor, 1.0});
            }
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

}  // namespace

ToneLayout lay_out_tones(const ToneInput& input) {
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

const NoiseMixture& thinned_tails() {
    static const NoiseMixture tails = [] {
        const NoiseMixture full = student_noise(kTailFreedom);
        NoiseMixture thin{{}, {}};
        double sum = 0.0;
        for (std::size_t i = 0; i < full.log_weight.size(); ++i) {
            // Steps of the rule from its heaviest point, which comes first.
            const double steps = std::round(std::log(full.variance_factor[0] / full.variance_factor[i]) / std::log(full.variance_factor[0] / full.variance_factor[1]));
            if (std::abs(std::fmod(steps, 2.0)) < 0.5 && full.log_weight[i] > full.log_weight[0] - 12.0) {
                thin.variance_factor.push_back(full.variance_factor[i]);
                thin.log_weight.push_back(full.log_weight[i]);
                sum += std::exp(full.log_weight[i]);
            }
        }
        for (double& w : thin.log_weight) {
            w -= std::log(sum);
        }
        return thin;
    }();
    return tails;
}

ReadDips read_all(const ToneInput& input) {
    ReadDips all(input.subjects.size());
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

RoundFit fit_round(const ToneInput& input, const ReadDips& dips, const TonePriors& priors, const ToneLayout& layout,
                   const DoseCentre& centre, FadeKind fade, ScatterShape shape, const FitOptions& options, const WarmStart* start, bool weigh_tails) {
    const Round round(input, dips, priors, layout, centre, fade, shape);
    RoundFit out{round.fit(start, options), round.left_out()};
    if (weigh_tails && shape == ScatterShape::normal && options.only_mode && out.mixed.converged && !out.mixed.nodes.empty()) {
        out.tails_gain = round.tails_gain(out.mixed);
    }
    return out;
}

}  // namespace tonebath::science
