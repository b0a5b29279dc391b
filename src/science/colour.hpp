// CIE colour: sRGB, XYZ, L*a*b*, L*C*h and Bradford adaptation. Formulas, sources and errors: docs/formulas/colour.md.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

namespace tonebath::science {

// CIE 1931 tristimulus values, 2 degree observer, scaled so that the white has y = 100.
struct Xyz {
    double x = 0.0;
    double y = 0.0;
    double z = 0.0;
    friend bool operator==(const Xyz&, const Xyz&) = default;
};
// CIE 1976 L*a*b*. l runs from 0 to 100 for surfaces; a and b are open. Says nothing without its white.
struct Lab {
    double l = 0.0;
    double a = 0.0;
    double b = 0.0;
    friend bool operator==(const Lab&, const Lab&) = default;
};
// The same in polar form: chroma 0 or more, hue 0 <= h_deg < 360 (0 where chroma is 0).
struct Lch {
    double l = 0.0;
    double c = 0.0;
    double h_deg = 0.0;
};
// Linear light of the sRGB primaries, 0 to 1; outside that range the screen cannot show it.
struct LinearRgb {
    double r = 0.0;
    double g = 0.0;
    double b = 0.0;
};
// sRGB as encoded (IEC 61966-2-1), 0 to 1; outside that range the screen cannot show it.
struct Srgb {
    double r = 0.0;
    double g = 0.0;
    double b = 0.0;
};
struct Rgb8 {
    std::uint8_t r = 0;
    std::uint8_t g = 0;
    std::uint8_t b = 0;
    friend bool operator==(const Rgb8&, const Rgb8&) = default;
};

// White of a chromaticity, y = 100.
[[nodiscard]] constexpr Xyz white_from_xy(double x, double y) {
    return {100.0 * x / y, 100.0, 100.0 * (1.0 - x - y) / y};
}
// White of sRGB, IEC 61966-2-1: x, y = 0.3127, 0.3290.
inline constexpr Xyz kWhiteD65 = white_from_xy(0.3127, 0.3290);
// White of D50 from the chromaticity commonly published for it, x, y = 0.3457, 0.3585.
inline constexpr Xyz kWhiteD50 = white_from_xy(0.3457, 0.3585);
// ASTM E308-01 table 5, 2 degree observer: for L*a*b* from instruments that follow it. The choice moves L*a*b* by up to
// 0.02.
inline constexpr Xyz kWhiteD65Astm{95.047, 100.0, 108.883};
inline constexpr Xyz kWhiteD50Astm{96.422, 100.0, 82.521};
inline constexpr Xyz kWhiteAAstm{109.850, 100.0, 35.585};

// Transfer function of one sRGB channel, odd about 0 so that colours outside the screen's range survive a round trip.
[[nodiscard]] double srgb_decoded(double encoded);
[[nodiscard]] double srgb_encoded(double linear);
[[nodiscard]] LinearRgb linear_from_srgb(const Srgb& colour);
[[nodiscard]] Srgb srgb_from_linear(const LinearRgb& colour);
// Encoded Display P3 to linear light of the sRGB primaries, which may lie outside 0 to 1. Primaries of SMPTE EG 432-1 (red
// 0.680 0.320, green 0.265 0.690, blue 0.150 0.060), white and transfer function of sRGB.
[[nodiscard]] LinearRgb linear_from_display_p3(const Srgb& encoded);
// The matrix is computed from the sRGB primaries and white, not from the four-decimal one of the standard.
[[nodiscard]] Xyz xyz_from_linear(const LinearRgb& colour);
[[nodiscard]] LinearRgb linear_from_xyz(const Xyz& colour);

[[nodiscard]] Lab lab_from_xyz(const Xyz& colour, const Xyz& white);
[[nodiscard]] Xyz xyz_from_lab(const Lab& colour, const Xyz& white);
[[nodiscard]] Lch lch_from_lab(const Lab& colour);
[[nodiscard]] Lab lab_from_lch(const Lch& colour);

// 3 x 3 matrix by rows, for X Y Z under white `from` to X Y Z under white `to` (Lam 1985, as published by Lindbloom).
[[nodiscard]] std::array<double, 9> bradford_matrix(const Xyz& from, const Xyz& to);
[[nodiscard]] Xyz adapted(const Xyz& colour, const Xyz& from, const Xyz& to);

// L*a*b* relative to the white of sRGB (D65), and the same surface relative to D50 by Bradford.
[[nodiscard]] Lab lab_from_srgb(const Srgb& colour);
[[nodiscard]] Lab lab_d50_from_srgb(const Srgb& colour);
// From L*a*b* relative to D65. Not cut to the screen's range: see clipped().
[[nodiscard]] Srgb srgb_from_lab(const Lab& colour);
[[nodiscard]] Srgb srgb_from_lab_d50(const Lab& colour);

[[nodiscard]] Srgb clipped(const Srgb& colour);
[[nodiscard]] bool on_screen(const Srgb& colour);
[[nodiscard]] Srgb srgb_from_8bit(const Rgb8& colour);
// Nearest 8-bit value, cut to 0..255.
[[nodiscard]] Rgb8 srgb_to_8bit(const Srgb& colour);
// "#d5b764" or "d5b764"; anything else is nothing.
[[nodiscard]] std::optional<Rgb8> rgb8_from_hex(std::string_view text);

}  // namespace tonebath::science
