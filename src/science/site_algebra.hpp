// Arithmetic of a Gaussian site on (f, w). Internal to mixed_regression and censored prediction.
#pragma once

#include "science/mixed_regression.hpp"
#include "science/noise_site.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace tonebath::science {

// Belief without the site; nullopt when taking it out leaves no proper belief.
[[nodiscard]] inline std::optional<SiteBelief> site_cavity(const SiteBelief& b, const Site& s) {
    if (b.var_w <= 0.0) {
        const double keep = 1.0 - b.var_f * s.ff;
        if (keep < 1e-9) {
            return std::nullopt;
        }
        return SiteBelief{(b.mean_f - b.var_f * s.shift_f) / keep, b.var_f / keep, b.mean_w, 0.0, 0.0};
    }
    // (I - V T) [[a, c], [d, e]], inverse applied to V and to mean - V shift.
    const double a = 1.0 - b.var_f * s.ff - b.cov_fw * s.fw;
    const double c = -b.var_f * s.fw - b.cov_fw * s.ww;
    const double d = -b.cov_fw * s.ff - b.var_w * s.fw;
    const double e = 1.0 - b.cov_fw * s.fw - b.var_w * s.ww;
    const double det = a * e - c * d;
    if (!(det > 1e-12)) {
        return std::nullopt;
    }
    const double left_f = b.mean_f - b.var_f * s.shift_f - b.cov_fw * s.shift_w;
    const double left_w = b.mean_w - b.cov_fw * s.shift_f - b.var_w * s.shift_w;
    SiteBelief out;
    out.mean_f = (e * left_f - c * left_w) / det;
    out.mean_w = (a * left_w - d * left_f) / det;
    out.var_f = (e * b.var_f - c * b.cov_fw) / det;
    out.cov_fw = (e * b.cov_fw - c * b.var_w) / det;
    out.var_w = (a * b.var_w - d * b.cov_fw) / det;
    if (!(out.var_f > 0.0 && out.var_w > 0.0 && out.var_f * out.var_w > out.cov_fw * out.cov_fw)) {
        return std::nullopt;
    }
    return out;
}

// log of the integral of cavity(x) exp(shift . x - x T x / 2).
[[nodiscard]] inline double site_log_norm(const SiteBelief& c, const Site& s) {
    if (c.var_w <= 0.0) {
        const double grow = 1.0 + c.var_f * s.ff;
        return -0.5 * std::log(grow) +
               (s.shift_f * c.mean_f + 0.5 * s.shift_f * s.shift_f * c.var_f - 0.5 * s.ff * c.mean_f * c.mean_f) / grow;
    }
    const double a = 1.0 + c.var_f * s.ff + c.cov_fw * s.fw;
    const double b = c.var_f * s.fw + c.cov_fw * s.ww;
    const double d = c.cov_fw * s.ff + c.var_w * s.fw;
    const double e = 1.0 + c.cov_fw * s.fw + c.var_w * s.ww;
    const double det = a * e - b * d;
    // y = (I + V T)^-1 (V shift / 2 + mean), z = (I + V T)^-1 mean.
    const double half_f = 0.5 * (c.var_f * s.shift_f + c.cov_fw * s.shift_w) + c.mean_f;
    const double half_w = 0.5 * (c.cov_fw * s.shift_f + c.var_w * s.shift_w) + c.mean_w;
    const double y_f = (e * half_f - b * half_w) / det;
    const double y_w = (a * half_w - d * half_f) / det;
    const double z_f = (e * c.mean_f - b * c.mean_w) / det;
    const double z_w = (a * c.mean_w - d * c.mean_f) / det;
    const double t_f = s.ff * c.mean_f + s.fw * c.mean_w;
    const double t_w = s.fw * c.mean_f + s.ww * c.mean_w;
    return -0.5 * std::log(det) + s.shift_f * y_f + s.shift_w * y_w - 0.5 * (t_f * z_f + t_w * z_w);
}

struct SiteUpdate {
    Site site;
    double mean_f = 0.0;  // tilted marginal of f
    double var_f = 0.0;
};

// The site that gives the tilted mean and covariance.
[[nodiscard]] inline SiteUpdate site_update(const SiteBelief& c, const SiteMoments& m) {
    SiteUpdate out;
    const double g = m.slope[0];
    if (c.var_w <= 0.0) {
        const double keep = std::max(1.0 - m.bend[0] * c.var_f, 1e-9);
        const double ff = m.bend[0] / keep;
        out.site = {ff, 0.0, 0.0, ff * c.mean_f + (1.0 + ff * c.var_f) * g, 0.0};
        out.mean_f = c.mean_f + c.var_f * g;
        out.var_f = c.var_f * keep;
        return out;
    }
    const double k_ff = m.bend[0];
    const double k_fw = m.bend[1];
    const double k_ww = m.bend[2];
    // T = (I - K V)^-1 K
    const double a = 1.0 - k_ff * c.var_f - k_fw * c.cov_fw;
    const double b = -k_ff * c.cov_fw - k_fw * c.var_w;
    const double d = -k_fw * c.var_f - k_ww * c.cov_fw;
    const double e = 1.0 - k_fw * c.cov_fw - k_ww * c.var_w;
    const double det = std::max(a * e - b * d, 1e-12);
    Site& t = out.site;
    t.ff = (e * k_ff - b * k_fw) / det;
    t.ww = (a * k_ww - d * k_fw) / det;
    t.fw = 0.5 * ((e * k_fw - b * k_ww) + (a * k_fw - d * k_ff)) / det;
    const double vg_f = c.var_f * g + c.cov_fw * m.slope[1];
    const double vg_w = c.cov_fw * g + c.var_w * m.slope[1];
    t.shift_f = t.ff * (c.mean_f + vg_f) + t.fw * (c.mean_w + vg_w) + g;
    t.shift_w = t.fw * (c.mean_f + vg_f) + t.ww * (c.mean_w + vg_w) + m.slope[1];
    out.mean_f = c.mean_f + vg_f;
    out.var_f = c.var_f - (c.var_f * c.var_f * k_ff + 2.0 * c.var_f * c.cov_fw * k_fw + c.cov_fw * c.cov_fw * k_ww);
    return out;
}

[[nodiscard]] inline Site site_mix(const Site& old, const Site& fresh, double share) {
    const double keep = 1.0 - share;
    return {keep * old.ff + share * fresh.ff, keep * old.fw + share * fresh.fw, keep * old.ww + share * fresh.ww,
            keep * old.shift_f + share * fresh.shift_f, keep * old.shift_w + share * fresh.shift_w};
}

}  // namespace tonebath::science
