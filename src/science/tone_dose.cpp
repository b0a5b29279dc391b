// Log dose of a subject, linear about a centre (tone_model.hpp).
#include "science/tone_model.hpp"

#include "base/check.hpp"

#include <cmath>

namespace tonebath::science {

namespace {

constexpr double kLeastLeft = 0.02;

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

std::optional<LinearDose> linear_dose(std::span<const DosePiece> pieces, const DoseCentre& centre, FadeKind fade) {
    LinearDose out;
    // Fade is left out of the integral and put in by the piece's mean age: a dip is short against the fade.
    const RateLaw law{centre.ea_kj_per_mol, centre.exponent, FadeKind::first_order, 0.0};
    double total = 0.0;
    double greatest = 0.0;
    for (const DosePiece& piece : pieces) {
        const auto part = dose_sensitivity(*piece.course, law, piece.in_s, piece.out_s);
        if (!part) {
            return std::nullopt;
        }
        const std::size_t place = index_of(piece.place);
        const double age = -part->d_fade_h;
        const double log_agitation = piece.agitation == Agitation::still   ? centre.log_still
                                     : piece.agitation == Agitation::brisk ? centre.log_brisk
                                                                           : 0.0;
        const double rate = centre.fade_per_h[place];
        const double dose = part->dose_s * std::exp(log_agitation + log_fade(fade, rate, age));
        total += dose;
        out.d_ea += dose * part->d_ea_per_kj_per_mol;
        out.d_exponent += dose * part->d_exponent;
        out.d_still += piece.agitation == Agitation::still ? dose : 0.0;
        out.d_brisk += piece.agitation == Agitation::brisk ? dose : 0.0;
        out.age_h[place] += dose * age;
        out.share[place] += dose;
        if (dose > greatest) {
            greatest = dose;
            out.main_bath = piece.bath;
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

}  // namespace tonebath::science
