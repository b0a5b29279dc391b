#include "science/colour.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numbers>

namespace tonebath::science {

namespace {

using Eigen::Matrix3d;
using Eigen::Vector3d;

struct Chromaticity {
    double x, y;
};

// Of primaries under the white of sRGB.
Matrix3d rgb_to_xyz(Chromaticity red, Chromaticity green, Chromaticity blue) {
    const auto column = [](Chromaticity c) { return Vector3d(c.x / c.y, 1.0, (1.0 - c.x - c.y) / c.y); };
    Matrix3d primaries;
    primaries << column(red), column(green), column(blue);
    const Vector3d white(kWhiteD65.x, kWhiteD65.y, kWhiteD65.z);
    const Vector3d weight = primaries.inverse() * white;
    return primaries * weight.asDiagonal();
}

const Matrix3d& to_xyz() {
    // IEC 61966-2-1.
    static const Matrix3d matrix = rgb_to_xyz({0.64, 0.33}, {0.30, 0.60}, {0.15, 0.06});
    return matrix;
}

const Matrix3d& from_xyz() {
    static const Matrix3d matrix = to_xyz().inverse();
    return matrix;
}

Matrix3d bradford(const Xyz& from, const Xyz& to) {
    // Cone response of the Bradford transform (Lam 1985; figures as published by Lindbloom).
    Matrix3d cone;
    cone << 0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296;
    const Vector3d source = cone * Vector3d(from.x, from.y, from.z);
    const Vector3d target = cone * Vector3d(to.x, to.y, to.z);
    const Vector3d gain = target.cwiseQuotient(source);
    return cone.inverse() * gain.asDiagonal() * cone;
}

// CIE 015: exact fractions in place of 0.008856 and 903.3, so that both branches meet.
constexpr double kLabJoin = 216.0 / 24389.0;
constexpr double kLabSlope = 24389.0 / 27.0;

double lab_f(double ratio) {
    return ratio > kLabJoin ? std::cbrt(ratio) : (kLabSlope * ratio + 16.0) / 116.0;
}

double lab_f_inverse(double f) {
    const double cube = f * f * f;
    return cube > kLabJoin ? cube : (116.0 * f - 16.0) / kLabSlope;
}

std::uint8_t to_byte(double value) {
    return static_cast<std::uint8_t>(std::lround(255.0 * std::clamp(value, 0.0, 1.0)));
}

}  // namespace

double srgb_decoded(double encoded) {
    const double size = std::abs(encoded);
    const double linear = size <= 0.04045 ? size / 12.92 : std::pow((size + 0.055) / 1.055, 2.4);
    return std::copysign(linear, encoded);
}

double srgb_encoded(double linear) {
    const double size = std::abs(linear);
    const double encoded = size <= 0.0031308 ? 12.92 * size : 1.055 * std::pow(size, 1.0 / 2.4) - 0.055;
    return std::copysign(encoded, linear);
}

LinearRgb linear_from_srgb(const Srgb& colour) {
    return {srgb_decoded(colour.r), srgb_decoded(colour.g), srgb_decoded(colour.b)};
}

Srgb srgb_from_linear(const LinearRgb& colour) {
    return {srgb_encoded(colour.r), srgb_encoded(colour.g), srgb_encoded(colour.b)};
}

LinearRgb linear_from_display_p3(const Srgb& encoded) {
    static const Matrix3d to_srgb = from_xyz() * rgb_to_xyz({0.680, 0.320}, {0.265, 0.690}, {0.150, 0.060});
    const LinearRgb own = linear_from_srgb(encoded);
    const Vector3d v = to_srgb * Vector3d(own.r, own.g, own.b);
    return {v[0], v[1], v[2]};
}

Xyz xyz_from_linear(const LinearRgb& colour) {
    const Vector3d v = to_xyz() * Vector3d(colour.r, colour.g, colour.b);
    return {v[0], v[1], v[2]};
}

LinearRgb linear_from_xyz(const Xyz& colour) {
    const Vector3d v = from_xyz() * Vector3d(colour.x, colour.y, colour.z);
    return {v[0], v[1], v[2]};
}

Lab lab_from_xyz(const Xyz& colour, const Xyz& white) {
    const double fx = lab_f(colour.x / white.x);
    const double fy = lab_f(colour.y / white.y);
    const double fz = lab_f(colour.z / white.z);
    return {116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz)};
}

Xyz xyz_from_lab(const Lab& colour, const Xyz& white) {
    const double fy = (colour.l + 16.0) / 116.0;
    return {white.x * lab_f_inverse(fy + colour.a / 500.0), white.y * lab_f_inverse(fy),
            white.z * lab_f_inverse(fy - colour.b / 200.0)};
}

Lch lch_from_lab(const Lab& colour) {
    const double c = std::hypot(colour.a, colour.b);
    double h_deg = c > 0.0 ? std::atan2(colour.b, colour.a) * 180.0 / std::numbers::pi : 0.0;
    if (h_deg < 0.0) {
        h_deg += 360.0;
    }
    return {colour.l, c, h_deg >= 360.0 ? 0.0 : h_deg};
}

Lab lab_from_lch(const Lch& colour) {
    const double h_rad = colour.h_deg * std::numbers::pi / 180.0;
    return {colour.l, colour.c * std::cos(h_rad), colour.c * std::sin(h_rad)};
}

std::array<double, 9> bradford_matrix(const Xyz& from, const Xyz& to) {
    const Matrix3d m = bradford(from, to);
    return {m(0, 0), m(0, 1), m(0, 2), m(1, 0), m(1, 1), m(1, 2), m(2, 0), m(2, 1), m(2, 2)};
}

Xyz adapted(const Xyz& colour, const Xyz& from, const Xyz& to) {
    const Vector3d v = bradford(from, to) * Vector3d(colour.x, colour.y, colour.z);
    return {v[0], v[1], v[2]};
}

Lab lab_from_srgb(const Srgb& colour) {
    return lab_from_xyz(xyz_from_linear(linear_from_srgb(colour)), kWhiteD65);
}

Lab lab_d50_from_srgb(const Srgb& colour) {
    return lab_from_xyz(adapted(xyz_from_linear(linear_from_srgb(colour)), kWhiteD65, kWhiteD50), kWhiteD50);
}

Srgb srgb_from_lab(const Lab& colour) {
    return srgb_from_linear(linear_from_xyz(xyz_from_lab(colour, kWhiteD65)));
}

Srgb srgb_from_lab_d50(const Lab& colour) {
    return srgb_from_linear(linear_from_xyz(adapted(xyz_from_lab(colour, kWhiteD50), kWhiteD50, kWhiteD65)));
}

Srgb clipped(const Srgb& colour) {
    return {std::clamp(colour.r, 0.0, 1.0), std::clamp(colour.g, 0.0, 1.0), std::clamp(colour.b, 0.0, 1.0)};
}

bool on_screen(const Srgb& colour) {
    const auto inside = [](double value) { return value >= 0.0 && value <= 1.0; };
    return inside(colour.r) && inside(colour.g) && inside(colour.b);
}

Srgb srgb_from_8bit(const Rgb8& colour) {
    return {colour.r / 255.0, colour.g / 255.0, colour.b / 255.0};
}

Rgb8 srgb_to_8bit(const Srgb& colour) {
    return {to_byte(colour.r), to_byte(colour.g), to_byte(colour.b)};
}

std::optional<Rgb8> rgb8_from_hex(std::string_view text) {
    if (!text.empty() && text.front() == '#') {
        text.remove_prefix(1);
    }
    if (text.size() != 6) {
        return std::nullopt;
    }
    std::array<std::uint8_t, 3> channel{};
    for (std::size_t i = 0; i < channel.size(); ++i) {
        const char* first = text.data() + 2 * i;
        const auto [end, error] = std::from_chars(first, first + 2, channel[i], 16);
        if (error != std::errc{} || end != first + 2) {
            return std::nullopt;
        }
    }
    return Rgb8{channel[0], channel[1], channel[2]};
}

}  // namespace tonebath::science
