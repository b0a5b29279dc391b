#include "science/tone_plan.hpp"

#include "science/tone_forms.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

constexpr double kLight = 0.1;  // 80 of 100 lie between 10 and 90
constexpr double kDark = 0.9;

// Seconds at which the chance of being there is p; bisection on the grid's interpolation. nullopt: not within the grid.
std::optional<double> time_of_chance(const PlanForms& forms, double aim, bool piece, double p) {
    const auto at = [&](double s) { return forms.chance(forms.dose_at(s), aim, piece); };
    double low = forms.grid().seconds.front();
    double high = forms.grid().seconds.back();
    if (at(low) > p || at(high) < p) {
        return std::nullopt;
    }
    while (high / low > 1.0 + 1e-6) {
        const double middle = std::sqrt(low * high);
        (at(middle) < p ? low : high) = middle;
    }
    return std::sqrt(low * high);
}

// Chance of having reached each tone.
std::vector<double> chances_of(const PlanForms& forms, const LinearDose& dose, std::size_t tones) {
    std::vector<double> out;
    for (std::size_t j = 0; j < tones; ++j) {
        out.push_back(forms.chance(dose, static_cast<double>(j), true));
    }
    return out;
}

}  // namespace

double TimeRange::half_width() const { return std::max(high_s / middle_s - 1.0, 1.0 - low_s / middle_s); }

Outcome<TonePlan, PlanWhy> plan_tone(const ToneFit& fit, const PlanQuery& query) {
    const PlanForms forms(fit, query);
    if (forms.refusal()) {
        return *forms.refusal();
    }
    const auto middle = time_of_chance(forms, query.aim, false, 0.5);
    if (!middle) {
        return PlanWhy::out_of_reach;
    }
    TonePlan plan;
    plan.aim.middle_s = *middle;
    const auto low = time_of_chance(forms, query.aim, false, kLight);
    const auto high = time_of_chance(forms, query.aim, false, kDark);
    plan.aim.low_s = low.value_or(forms.grid().seconds.front());
    plan.aim.high_s = high.value_or(forms.grid().seconds.back());
    plan.open_end = !low || !high;
    plan.look_now_s = time_of_chance(forms, query.aim, true, kLight).value_or(forms.grid().seconds.front());

    const LinearDose dose = forms.dose_at(*middle);
    const std::size_t tones = fit.layout.tones[query.scale];
    for (std::size_t j = 0; j < tones; ++j) {
        plan.piece.reached.push_back(forms.chance(dose, static_cast<double>(j), true));
        if (plan.piece.reached[j] >= kDark) {
            plan.piece.lightest = j;
        }
        if (plan.piece.reached[j] >= kLight) {
            plan.piece.darkest = j;
        }
    }
    const std::size_t tone = std::min(static_cast<std::size_t>(query.aim), tones - 1);
    plan.chance_light = 1.0 - plan.piece.reached[tone];
    plan.chance_over = tone + 1 < tones ? plan.piece.reached[tone + 1] : 0.0;
    plan.log_sd = mixture_sd(forms.mixture(dose, query.aim));
    plan.causes = forms.causes(dose);
    plan.beyond = forms.beyond(*middle);
    return plan;
}

std::vector<double> chances_at(const ToneFit& fit, const PlanQuery& query, double seconds) {
    const PlanForms forms(fit, query);
    if (forms.refusal() || !(seconds > 0.0) || !std::isfinite(seconds)) {
        return {};
    }
    return chances_of(forms, forms.dose_at(seconds), fit.layout.tones[query.scale]);
}

std::vector<double> chances_after(const ToneFit& fit, const PlanQuery& query, std::span<const DosePiece> dips) {
    const PlanForms forms(fit, query);
    const auto dose = linear_dose(dips, fit.centre, fit.fade);
    if (forms.refusal() || !dose) {
        return {};
    }
    return chances_of(forms, *dose, fit.layout.tones[query.scale]);
}

}  // namespace tonebath::science
