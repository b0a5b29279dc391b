#include "science/tone_forms.hpp"

#include "base/check.hpp"
#include "science/normal.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::science {

namespace {

constexpr double kShortest_s = 0.05;
constexpr double kLongest_s = 6.0 * 3600.0;
constexpr int kGridPoints = 72;
// Linear in 1/T: d log D / d Ea of a bath held at temp_c, per kJ/mol.
double d_ea_at(double temp_c) {
    return -1000.0 / kGasConstant_j_per_mol_k *
           (1.0 / (temp_c + kZeroCelsius_k) - 1.0 / (kReferenceTemp_c + kZeroCelsius_k));
}

}  // namespace

PlanForms::PlanForms(const ToneFit& fit, const PlanQuery& query)
    : fit_(fit), query_(query), noise_(fit.shape == ScatterShape::long_tailed ? student_noise(kTailFreedom) : normal_noise()) {
    if (fit.mixed.nodes.empty()) {
        refusal_ = PlanWhy::no_fit;
        return;
    }
    const bool sound = query.course != nullptr && std::isfinite(query.start_s) && std::isfinite(query.aim) &&
                       query.aim >= 0.0 && query.scale < fit.layout.tones.size() &&
                       (!query.bath || *query.bath < fit.mixed.nodes.front().groups.size()) &&
                       (!query.lot || *query.lot < fit.lots) &&
                       std::ranges::all_of(query.factors, [&](std::size_t f) {
                           return fit.layout.first_factor + f < fit.layout.first_theta.front();
                       }) &&
                       query.untried_log_sd >= 0.0 && std::isfinite(query.untried_log_sd);
    if (!sound) {
        refusal_ = PlanWhy::bad_input;
        return;
    }
    build_grid();
    if (grid_.seconds.size() < 2) {
        refusal_ = PlanWhy::bad_input;
        return;
    }
    if (fit.tried.records > 0) {
        const double now = query.course->temp.temp_c(query.start_s);
        const double edge = std::clamp(now, fit.tried.coolest_c, fit.tried.hottest_c);
        outside_ = edge != now;
        edge_d_ea_ = d_ea_at(edge);
    }
}

// Both doses as one: `sum` and a further stretch of the same dip.
LinearDose PlanForms::with_stretch(const LinearDose& sum, double from_s, double to_s) const {
    const std::array<DosePiece, 1> stretch{DosePiece{query_.course, 0, query_.place, query_.start_s + from_s, query_.start_s + to_s, query_.agitation}};
    const auto part = linear_dose(std::span<const DosePiece>(stretch), fit_.centre, fit_.fade);
    if (!part || from_s <= 0.0) {
        return part ? *part : sum;
    }
    const double total = std::exp(sum.log_dose);
    const double dose = std::exp(part->log_dose);
    const double grown = total + dose;
    const auto blend = [&](double a, double b) { return (a * total + b * dose) / grown; };
    LinearDose out = *part;
    out.d_ea = blend(sum.d_ea, part->d_ea);
    out.d_exponent = blend(sum.d_exponent, part->d_exponent);
    for (std::size_t k = 0; k < 2; ++k) {
        out.age_h[k] = blend(sum.age_h[k], part->age_h[k]);
    }
    out.log_dose = std::log(grown);
    return out;
}

void PlanForms::build_grid() {
    const double ratio = std::log(kLongest_s / kShortest_s) / (kGridPoints - 1);
    // Stretch by stretch, so that each second of the course is integrated once.
    LinearDose sum;
    double before = 0.0;
    for (int i = 0; i < kGridPoints; ++i) {
        const double now = kShortest_s * std::exp(ratio * i);
        sum = with_stretch(sum, before, now);
        if (!std::isfinite(sum.log_dose) || (i == 0 && sum.share[0] + sum.share[1] <= 0.0)) {
            return;
        }
        grid_.seconds.push_back(now);
        grid_.dose.push_back(sum);
        before = now;
    }
}

LinearDose PlanForms::dose_at(double seconds) const {
    const double wanted = std::clamp(seconds, grid_.seconds.front(), grid_.seconds.back());
    const auto after = std::ranges::upper_bound(grid_.seconds, wanted);
    const auto left = static_cast<std::size_t>(std::max<std::ptrdiff_t>(1, after - grid_.seconds.begin()) - 1);
    // The rest of the way is integrated too: a reheat or a top-up in it would bend a straight line by some in a hundred.
    return wanted > grid_.seconds[left] ? with_stretch(grid_.dose[left], grid_.seconds[left], wanted) : grid_.dose[left];
}

std::vector<Term> PlanForms::terms(const LinearDose& dose, double aim) const {
    const ToneLayout& layout = fit_.layout;
    std::vector<Term> out = {{layout.ea, dose.d_ea}, {layout.exponent, dose.d_exponent}};
    if (dose.d_still != 0.0) {
        out.push_back({layout.still, dose.d_still});
    }
    if (dose.d_brisk != 0.0) {
        out.push_back({layout.brisk, dose.d_brisk});
    }
    if (query_.lot) {
        out.push_back({layout.first_lot + *query_.lot, 1.0});
    }
    for (const std::size_t factor : query_.factors) {
        out.push_back({layout.first_factor + factor, 1.0});
    }
    if (query_.bath && *query_.bath < fit_.bath_factors.size()) {
        for (const std::size_t factor : fit_.bath_factors[*query_.bath]) {
            out.push_back({layout.first_factor + factor, 1.0});
        }
    }
    const std::size_t tones = layout.tones[query_.scale];
    const std::size_t theta = layout.first_theta[query_.scale];
    const std::size_t low =
        tones < 2 ? 0 : std::min(static_cast<std::size_t>(std::max(std::floor(aim), 0.0)), tones - 2);
    const double part = tones < 2 ? 0.0 : aim - static_cast<double>(low);
    out.push_back({theta + low, part - 1.0});
    if (part != 0.0) {
        out.push_back({theta + low + 1, -part});
    }
    return out;
}

double PlanForms::constant(std::size_t node, const LinearDose& dose) const {
    const DoseCentre& c = fit_.centre;
    double out = dose.log_dose - dose.d_ea * c.ea_kj_per_mol - dose.d_exponent * c.exponent -
                 dose.d_still * c.log_still - dose.d_brisk * c.log_brisk;
    for (std::size_t k = 0; k < 2; ++k) {
        const auto unknown = fit_.layout.fade_unknown[k];
        if (dose.share[k] > 0.0 && unknown) {
            out += dose.share[k] * (log_fade(fit_.fade, std::exp(fit_.mixed.nodes[node].offset_h[*unknown]), dose.age_h[k]) -
                                    log_fade(fit_.fade, c.fade_per_h[k], dose.age_h[k]));
        }
    }
    return out;
}

LinearForm PlanForms::with_group(std::span<const Term> terms) const { return {terms, query_.bath, !query_.bath}; }

double PlanForms::beyond_var(const LinearDose& dose) const {
    if (!outside_) {
        return 0.0;
    }
    const double reach = (dose.d_ea - edge_d_ea_) * fit_.priors.beyond_ea_sd_kj_per_mol;
    return reach * reach;
}

double PlanForms::untold_fade_var(const LinearDose& dose) const {
    const std::array<LogPrior, 2> fades = {fit_.priors.fade_open_hot_per_h, fit_.priors.fade_covered_per_h};
    double sd = 0.0;
    for (std::size_t k = 0; k < 2; ++k) {
        if (!fit_.layout.fade_unknown[k]) {
            const auto at = [&](double z) {
                return log_fade(fit_.fade, fades[k].median * std::exp(z * fades[k].log_sd), dose.age_h[k]);
            };
            sd += 0.5 * dose.share[k] * (at(-1.0) - at(1.0));
        }
    }
    return sd * sd;
}

NormalPart PlanForms::form(std::size_t node, const LinearDose& dose, double aim) const {
    const std::vector<Term> t = terms(dose, aim);
    NormalPart part = fit_.mixed.form(node, with_group(t));
    part.mean += constant(node, dose);
    part.var += beyond_var(dose) + untold_fade_var(dose) + query_.untried_log_sd * query_.untried_log_sd;
    if (!query_.lot) {
        part.var += fit_.priors.lot_log_sd * fit_.priors.lot_log_sd;
    }
    return part;
}

double PlanForms::covariance(std::size_t node, const LinearDose& a, double aim_a, const LinearDose& b,
                             double aim_b) const {
    const std::vector<Term> left = terms(a, aim_a);
    const std::vector<Term> right = terms(b, aim_b);
    // cov(left + u, right), then cov(left + u, u).
    double cov = fit_.mixed.pair(node, with_group(left), right).cov;
    if (query_.bath) {
        const double whole = fit_.mixed.form(node, with_group(left)).var;
        const double plain = fit_.mixed.form(node, {left}).var;
        const double group = fit_.mixed.form(node, with_group({})).var;
        cov += 0.5 * (whole - plain - group) + group;
    } else {
        cov += fit_.mixed.nodes[node].group_sd * fit_.mixed.nodes[node].group_sd;
    }
    if (!query_.lot) {
        cov += fit_.priors.lot_log_sd * fit_.priors.lot_log_sd;
    }
    cov += query_.untried_log_sd * query_.untried_log_sd;
    return cov + std::sqrt(beyond_var(a) * beyond_var(b)) + std::sqrt(untold_fade_var(a) * untold_fade_var(b));
}

std::vector<NormalPart> PlanForms::mixture(const LinearDose& dose, double aim) const {
    std::vector<NormalPart> parts;
    for (std::size_t i = 0; i < fit_.mixed.nodes.size(); ++i) {
        parts.push_back(form(i, dose, aim));
    }
    return parts;
}

double PlanForms::chance(const LinearDose& dose, double aim, bool piece) const {
    double sum = 0.0;
    for (std::size_t i = 0; i < fit_.mixed.nodes.size(); ++i) {
        const NormalPart p = form(i, dose, aim);
        if (!piece) {
            sum += p.weight * normal_cdf(p.mean / std::sqrt(p.var));
            continue;
        }
        const double scatter = fit_.mixed.nodes[i].scatter_sd;
        for (std::size_t k = 0; k < noise_.variance_factor.size(); ++k) {
            sum += p.weight * std::exp(noise_.log_weight[k]) *
                   normal_cdf(p.mean / std::sqrt(p.var + scatter * scatter * noise_.variance_factor[k]));
        }
    }
    return sum;
}

RangeCauses PlanForms::causes(const LinearDose& dose) const {
    const std::vector<NormalPart> parts = mixture(dose, query_.aim);
    const double mean = mixture_mean(parts);
    const double var = mixture_sd(parts) * mixture_sd(parts);
    RangeCauses out;
    const ToneLayout& layout = fit_.layout;
    const std::vector<Term> all = terms(dose, query_.aim);
    const std::size_t nodes = fit_.mixed.nodes.size();
    double constant_part = 0.0;
    for (std::size_t i = 0; i < nodes; ++i) {
        const double weight = parts[i].weight / var;
        const LinearForm whole = with_group(all);
        double named = 0.0;
        for (const Term& term : all) {
            const std::array<Term, 1> one = {term};
            // Between the nodes the means move too: their share goes with the part that moves.
            const NormalPair pair = fit_.mixed.pair(i, whole, one);
            const double share = weight * (pair.cov + (parts[i].mean - mean) * pair.mean_b);
            named += pair.cov;
            if (term.coef >= layout.first_theta.front()) {
                out.where_tone_begins += share;
            } else if (term.coef == layout.ea) {
                out.temperature_effect += share;
            } else if (term.coef == layout.exponent) {
                out.strength_effect += share;
            } else if (term.coef == layout.still || term.coef == layout.brisk) {
                out.agitation += share;
            } else if (term.coef < layout.first_factor) {
                out.lot += share;
            } else {
                out.factors += share;
            }
        }
        const NormalPart plain = fit_.mixed.form(i, whole);
        const double beyond = beyond_var(dose);
        double group_mean = 0.0;
        if (query_.bath) {
            group_mean = fit_.mixed.form(i, with_group({})).mean;
        }
        out.this_bath += weight * (plain.var - named + (parts[i].mean - mean) * group_mean);
        out.beyond_tried += weight * beyond;
        out.factors += weight * query_.untried_log_sd * query_.untried_log_sd;
        out.lot += query_.lot ? 0.0 : weight * fit_.priors.lot_log_sd * fit_.priors.lot_log_sd;
        constant_part += weight * (parts[i].mean - mean) * constant(i, dose);
    }
    out.fade = constant_part + untold_fade_var(dose) / var;
    return out;
}

BeyondTried PlanForms::beyond(double seconds) const {
    BeyondTried out;
    const TriedRange& tried = fit_.tried;
    if (tried.records == 0) {
        out.nothing_tried = true;
        return out;
    }
    const double temp = effective_temp_of(dose_at(seconds).d_ea);
    out.temp_c = std::max({0.0, tried.coolest_c - temp, temp - tried.hottest_c});
    const double strength = log_strength_ratio(*query_.course, query_.start_s);
    out.log_strength = std::max({0.0, tried.weakest_log - strength, strength - tried.strongest_log});
    out.age_h = std::max(0.0, query_.start_s / 3600.0 - tried.oldest_h);
    return out;
}

}  // namespace tonebath::science
