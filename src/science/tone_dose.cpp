// Log dose of a subject, linear about a centre (tone_model.hpp).
#include "science/tone_model.hpp"

#include "base/check.hpp"
#include "science/quadrature.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

constexpr double kLeastLeft = 0.02;

// d log rate / d Ea of a bath held at temp_c, per kJ/mol.
double d_log_rate_d_ea(double temp_c) {
    return -1000.0 / kGasConstant_j_per_mol_k *
           (1.0 / (temp_c + kZeroCelsius_k) - 1.0 / (kReferenceTemp_c + kZeroCelsius_k));
}

std::size_t index_of(FadePlace place) { return place == FadePlace::open_hot ? 0 : 1; }

}  // namespace

double log_fade(FadeKind kind, double rate_per_h, double age_h) {
    switch (kind) {
        case FadeKind::none:
            return 0.0;
        case FadeKind::first_order:
            return -rate_per_h * age_h;
        case FadeKind::zero_order: {
            const double left = 1.0 - rate_per_h * age_h;
            // Below the floor it goes on falling slowly, so that the evidence keeps a slope.
            return left > kLeastLeft ? std::log(left) : std::log(kLeastLeft) - 0.1 * std::log1p(kLeastLeft - left);
        }
    }
    TB_CHECK(false);
}

std::optional<ReadDip> read_dip(const DosePiece& piece) {
    constexpr double kPanel_s = 120.0;
    constexpr double kMostPanels = 2000.0;
    constexpr double kLongest_s = 60.0 * 86400.0;
    static const LineRule rule = gauss_legendre(4);
    const double length = piece.out_s - piece.in_s;
    if (piece.course == nullptr || !std::isfinite(piece.in_s) || !std::isfinite(piece.out_s) || !(length > 0.0) ||
        length > kLongest_s) {
        return std::nullopt;
    }
    std::vector<double> edges = {piece.in_s, piece.out_s};
    const auto split_at = [&](double t) {
        if (t > piece.in_s && t < piece.out_s) {
            edges.push_back(t);
        }
    };
    std::ranges::for_each(piece.course->temp.breaks_s(), split_at);
    for (const StrengthStep& step : piece.course->strength) {
        split_at(step.t_s);
    }
    std::ranges::sort(edges);
    const double longest = std::max(kPanel_s, length / kMostPanels);
    ReadDip dip{{}, piece.bath, piece.place, piece.agitation};
    for (std::size_t i = 0; i + 1 < edges.size(); ++i) {
        const double span = edges[i + 1] - edges[i];
        const double panels = std::ceil(span / longest);
        const double half = 0.5 * span / panels;
        for (double panel = 0.0; panel < panels; panel += 1.0) {
            const double middle = edges[i] + half * (2.0 * panel + 1.0);
            for (std::size_t k = 0; k < rule.nodes.size(); ++k) {
                const double t = middle + half * rule.nodes[k];
                const DosePoint point{d_log_rate_d_ea(piece.course->temp.temp_c(t)), log_strength_ratio(*piece.course, t),
                                      std::max(t, 0.0) / 3600.0, half * rule.weights[k]};
                if (!std::isfinite(point.x_ea) || !std::isfinite(point.log_strength)) {
                    return std::nullopt;
                }
                dip.points.push_back(point);
            }
        }
    }
    return dip;
}

std::optional<LinearDose> linear_dose(std::span<const ReadDip> dips, const DoseCentre& centre, FadeKind fade) {
    LinearDose out;
    double total = 0.0;
    double greatest = 0.0;
    for (const ReadDip& dip : dips) {
        const std::size_t place = index_of(dip.place);
        double dose = 0.0;
        double d_ea = 0.0;
        double d_exponent = 0.0;
        double age = 0.0;
        for (const DosePoint& p : dip.points) {
            const double part = p.weight_s * std::exp(centre.ea_kj_per_mol * p.x_ea + centre.exponent * p.log_strength);
            dose += part;
            d_ea += part * p.x_ea;
            d_exponent += part * p.log_strength;
            age += part * p.age_h;
        }
        if (!(dose > 0.0)) {
            return std::nullopt;
        }
        // Fade is put in by the dip's mean age: a dip is short against the fade.
        const double log_agitation = dip.agitation == Agitation::still   ? centre.log_still
                                     : dip.agitation == Agitation::brisk ? centre.log_brisk
                                                                         : 0.0;
        const double scale = std::exp(log_agitation + log_fade(fade, centre.fade_per_h[place], age / dose));
        dose *= scale;
        total += dose;
        out.d_ea += scale * d_ea;
        out.d_exponent += scale * d_exponent;
        out.d_still += dip.agitation == Agitation::still ? dose : 0.0;
        out.d_brisk += dip.agitation == Agitation::brisk ? dose : 0.0;
        out.age_h[place] += scale * age;
        out.share[place] += dose;
        if (dose > greatest) {
            greatest = dose;
            out.main_bath = dip.bath;
        }
    }
    if (!(total > 0.0) || !std::isfinite(total)) {
        return std::nullopt;
    }
    out.log_dose = std::log(total);
    out.d_ea /= total;
    out.d_exponent /= total;
    out.d_still /= total;
    out.d_brisk /= total;
    for (std::size_t k = 0; k < 2; ++k) {
        out.age_h[k] = out.share[k] > 0.0 ? out.age_h[k] / out.share[k] : 0.0;
        out.share[k] /= total;
    }
    return out;
}

std::optional<LinearDose> linear_dose(std::span<const DosePiece> pieces, const DoseCentre& centre, FadeKind fade) {
    std::vector<ReadDip> dips;
    for (const DosePiece& piece : pieces) {
        auto dip = read_dip(piece);
        if (!dip) {
            return std::nullopt;
        }
        dips.push_back(std::move(*dip));
    }
    return linear_dose(std::span<const ReadDip>(dips), centre, fade);
}

double effective_temp_of(double d_ea) {
    return 1.0 / (1.0 / (kReferenceTemp_c + kZeroCelsius_k) - d_ea * kGasConstant_j_per_mol_k / 1000.0) - kZeroCelsius_k;
}

}  // namespace tonebath::science
