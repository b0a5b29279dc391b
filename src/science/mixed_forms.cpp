// Reading a MixedFit: linear forms and the mixture of normals they follow.
#include "science/mixed_regression.hpp"

#include "base/check.hpp"
#include "science/normal.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

// Covariance of coefficient i with the form (a group part included), and the form's mean and variance.
struct Spread {
    double mean = 0.0;
    double var = 0.0;
};

// sum over the group's pattern of Sigma[coef][pattern] * cross.
double sigma_cross(const MixedFit& fit, const MixedNode& node, std::size_t coef, std::size_t group) {
    const std::size_t k = node.mean.size();
    double sum = 0.0;
    for (std::size_t a = fit.pattern_start[group]; a < fit.pattern_start[group + 1]; ++a) {
        sum += node.covariance[coef * k + fit.pattern[a]] * node.cross[a];
    }
    return sum;
}

double cov_of_terms(const MixedNode& node, std::span<const Term> a, std::span<const Term> b) {
    const std::size_t k = node.mean.size();
    double sum = 0.0;
    for (const Term& s : a) {
        for (const Term& t : b) {
            sum += s.value * t.value * node.covariance[s.coef * k + t.coef];
        }
    }
    return sum;
}

double mean_of_terms(const MixedNode& node, std::span<const Term> a) {
    double sum = 0.0;
    for (const Term& t : a) {
        sum += t.value * node.mean[t.coef];
    }
    return sum;
}

Spread spread_of(const MixedFit& fit, const MixedNode& node, const LinearForm& form) {
    Spread out{mean_of_terms(node, form.terms), cov_of_terms(node, form.terms, form.terms)};
    if (form.new_group) {
        out.var += node.group_sd * node.group_sd;
    } else if (form.group) {
        const std::size_t g = *form.group;
        TB_CHECK(g < node.groups.size());
        const double pivot = node.groups[g].pivot;
        double mean_cross = 0.0;
        double square = 0.0;
        for (std::size_t a = fit.pattern_start[g]; a < fit.pattern_start[g + 1]; ++a) {
            mean_cross += node.cross[a] * node.mean[fit.pattern[a]];
            square += node.cross[a] * sigma_cross(fit, node, fit.pattern[a], g);
        }
        double between = 0.0;
        for (const Term& t : form.terms) {
            between += t.value * sigma_cross(fit, node, t.coef, g);
        }
        out.mean += (node.groups[g].shift - mean_cross) / pivot;
        out.var += 1.0 / pivot + square / (pivot * pivot) - 2.0 * between / pivot;
    }
    return out;
}

}  // namespace

NormalPart MixedFit::form(std::size_t node, const LinearForm& form) const {
    const Spread s = spread_of(*this, nodes[node], form);
    return {nodes[node].weight, s.mean, s.var};
}

NormalPair MixedFit::pair(std::size_t node, const LinearForm& a, std::span<const Term> b) const {
    const MixedNode& n = nodes[node];
    const Spread s = spread_of(*this, n, a);
    NormalPair out{n.weight, s.mean, mean_of_terms(n, b), s.var, cov_of_terms(n, b, b), cov_of_terms(n, a.terms, b)};
    if (a.group && !a.new_group) {
        for (const Term& t : b) {
            out.cov -= t.value * sigma_cross(*this, n, t.coef, *a.group) / n.groups[*a.group].pivot;
        }
    }
    return out;
}

std::vector<NormalPart> MixedFit::mixture(const LinearForm& wanted) const {
    std::vector<NormalPart> parts;
    parts.reserve(nodes.size());
    for (std::size_t i = 0; i < nodes.size(); ++i) {
        parts.push_back(form(i, wanted));
    }
    return parts;
}

double mixture_mean(std::span<const NormalPart> parts) {
    double mean = 0.0;
    for (const NormalPart& p : parts) {
        mean += p.weight * p.mean;
    }
    return mean;
}

double mixture_sd(std::span<const NormalPart> parts) {
    const double mean = mixture_mean(parts);
    double var = 0.0;
    for (const NormalPart& p : parts) {
        var += p.weight * (p.var + (p.mean - mean) * (p.mean - mean));
    }
    return std::sqrt(var);
}

double mixture_cdf(std::span<const NormalPart> parts, double x) {
    double sum = 0.0;
    for (const NormalPart& p : parts) {
        sum += p.weight * normal_cdf((x - p.mean) / std::sqrt(p.var));
    }
    return sum;
}

double mixture_quantile(std::span<const NormalPart> parts, double p) {
    TB_CHECK(!parts.empty() && p > 0.0 && p < 1.0);
    const double mean = mixture_mean(parts);
    const double sd = mixture_sd(parts);
    double low = mean - sd;
    double high = mean + sd;
    while (mixture_cdf(parts, low) > p) {
        low -= 2.0 * (high - low);
    }
    while (mixture_cdf(parts, high) < p) {
        high += 2.0 * (high - low);
    }
    while (high - low > 1e-10 * sd) {
        const double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high) {
            break;
        }
        (mixture_cdf(parts, middle) < p ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

}  // namespace tonebath::science
