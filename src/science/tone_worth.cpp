// What one more strip is worth. Each node of the fit is a normal belief; a strip is one more reading of it, whose outcome
// is averaged over what the belief expects. Nodes are not reweighted, and a judged strip counts as an exact reading of
// equal information: an approximation, measured against full refits in tests/science/tone_model_test.cpp.
#include "science/tone_forms.hpp"
#include "science/tone_plan.hpp"

#include "science/normal.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

constexpr double kWithin = 0.15;
constexpr int kTimes = 24;

// What a judged strip tells about the aim's form at that dose, per node: the noise variance of the exact reading it
// equals. Boundary k is blurred by the piece scatter and by its own doubt against the aim's boundary.
double judged_noise(const PlanForms& forms, const ToneFit& fit, std::size_t node, const LinearDose& dose, double aim,
                    std::size_t tones) {
    const double scatter = fit.mixed.nodes[node].scatter_sd;
    const NormalPart own = forms.form(node, dose, aim);
    // Chance of having passed boundary k, and how it moves with the form's mean.
    std::vector<double> passed = {1.0};
    std::vector<double> slope = {0.0};
    for (std::size_t k = 0; k < tones; ++k) {
        const double at = static_cast<double>(k);
        const NormalPart p = forms.form(node, dose, at);
        const double apart = std::max(0.0, own.var + p.var - 2.0 * forms.covariance(node, dose, aim, dose, at));
        const double sd = std::sqrt(own.var + scatter * scatter + apart);
        passed.push_back(normal_cdf(p.mean / sd));
        slope.push_back(normal_pdf(p.mean / sd) / sd);
    }
    passed.push_back(0.0);
    slope.push_back(0.0);
    double bend = 0.0;  // expected: sum of slope^2 / chance over the outcomes
    for (std::size_t k = 0; k + 1 < passed.size(); ++k) {
        const double chance = passed[k] - passed[k + 1];
        if (chance > 1e-9) {
            bend += (slope[k] - slope[k + 1]) * (slope[k] - slope[k + 1]) / chance;
        }
    }
    return bend > 1e-12 ? std::max(1.0 / bend - own.var, scatter * scatter) : 1e12;
}

double after_strips(double var, double cov, double strip_var, double noise_var, double strips) {
    return var - cov * cov / (strip_var + noise_var / strips);
}

}  // namespace

Outcome<StripWorth, PlanWhy> strip_worth(const ToneFit& fit, const PlanQuery& query) {
    const auto plan = plan_tone(fit, query);
    if (!plan) {
        return plan.why();
    }
    const PlanForms forms(fit, query);
    const std::size_t nodes = fit.mixed.nodes.size();
    const std::size_t tones = fit.layout.tones[query.scale];
    const LinearDose aim_dose = forms.dose_at(plan->aim.middle_s);
    const std::vector<NormalPart> now = forms.mixture(aim_dose, query.aim);
    const double centre = mixture_mean(now);
    double between = 0.0;
    for (const NormalPart& p : now) {
        between += p.weight * (p.mean - centre) * (p.mean - centre);
    }
    const double watched_var = fit.priors.watched_log_sd * fit.priors.watched_log_sd;

    StripWorth out;
    out.log_sd_now = plan->log_sd;
    // What lies between the nodes shrinks as the rest does: it is the same quantity told by other nodes.
    const auto sd_after = [&](auto&& node_var) {
        double inside = 0.0;
        double before = 0.0;
        for (std::size_t i = 0; i < nodes; ++i) {
            inside += now[i].weight * node_var(i);
            before += now[i].weight * now[i].var;
        }
        return std::sqrt(std::max(0.0, inside + between * inside / before));
    };
    const auto watched = [&](double strips) {
        return sd_after([&](std::size_t i) {
            return after_strips(now[i].var, now[i].var, now[i].var, watched_var, strips);
        });
    };
    out.watched = {plan->aim.middle_s, watched(1.0)};
    // The strip's own form is the aim's, so in the limit only the beyond-tried doubt could stay; it does not, being shared.
    out.log_sd_floor = watched(1e9);

    const double first = std::max(0.3 * plan->aim.low_s, forms.grid().seconds.front());
    const double last = std::min(3.0 * plan->aim.high_s, forms.grid().seconds.back());
    const auto judged_after = [&](double seconds, double strips) {
        const LinearDose dose = forms.dose_at(seconds);
        return sd_after([&](std::size_t i) {
            const double noise = judged_noise(forms, fit, i, dose, query.aim, tones);
            const NormalPart strip = forms.form(i, dose, query.aim);
            const double cov = forms.covariance(i, aim_dose, query.aim, dose, query.aim);
            return after_strips(now[i].var, cov, strip.var, noise, strips);
        });
    };
    for (int k = 0; k < kTimes; ++k) {
        const double seconds = first * std::pow(last / first, static_cast<double>(k) / (kTimes - 1));
        out.judged.push_back({seconds, judged_after(seconds, 1.0)});
    }
    out.best_judged = *std::ranges::min_element(out.judged, {}, &StripOffer::log_sd_after);
    const double wanted = std::log1p(kWithin) / normal_quantile(0.9);
    for (int k = 0; k <= kMostStrips; ++k) {
        const double strips = std::max(static_cast<double>(k), 1e-9);
        if (!out.watched_to_15_percent && watched(strips) <= wanted) {
            out.watched_to_15_percent = k;
        }
        if (!out.judged_to_15_percent && judged_after(out.best_judged.time_s, strips) <= wanted) {
            out.judged_to_15_percent = k;
        }
    }
    return out;
}

}  // namespace tonebath::science
