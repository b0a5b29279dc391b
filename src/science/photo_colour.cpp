#include "science/photo_colour.hpp"

#include "science/colour_difference.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

using Eigen::Matrix3d;
using Eigen::Vector3d;

constexpr double kNineInTen = 1.645;  // standard errors that hold 9 in 10, normal distribution
constexpr std::size_t kFewestPatches = 6;
// White of the connection space of ICC profiles (ICC.1:2010, 6.3.4.3), y = 1.
constexpr Xyz kIccWhite{0.9642, 1.0, 0.8249};

Vector3d vector_of(const LinearRgb& light) {
    return {light.r, light.g, light.b};
}

Vector3d vector_of(const Xyz& colour) {
    return {colour.x, colour.y, colour.z};
}

Matrix3d matrix_of(const ChartMatrix& rows) {
    return Eigen::Map<const Eigen::Matrix<double, 3, 3, Eigen::RowMajor>>(rows.data());
}

std::optional<Matrix3d> fitted(std::span<const ChartPatch> patches, std::optional<std::size_t> without) {
    Matrix3d normal = Matrix3d::Zero(), right = Matrix3d::Zero();
    for (std::size_t i = 0; i < patches.size(); ++i) {
        if (without && *without == i) {
            continue;
        }
        const Vector3d light = vector_of(patches[i].light);
        const Xyz known = xyz_from_lab(patches[i].known, kWhiteD50);
        // Squared differences in light weigh by the square of dL*/dY, which goes as Y^(-2/3); a floor of 1 % keeps a
        // black patch from deciding alone.
        const double weight = std::pow(std::max(known.y, 1.0) / 100.0, -4.0 / 3.0);
        normal += weight * light * light.transpose();
        right += weight * light * vector_of(known).transpose();
    }
    const Eigen::SelfAdjointEigenSolver<Matrix3d> spread(normal);
    if (!(spread.eigenvalues()[0] > 1e-6 * spread.eigenvalues()[2])) {
        return std::nullopt;  // greys only, or all of one colour
    }
    const Matrix3d solved = normal.ldlt().solve(right).transpose();
    return solved;
}

double root_of_squares(std::initializer_list<double> parts) {
    double sum = 0.0;
    for (const double part : parts) {
        sum += part * part;
    }
    return std::sqrt(sum);
}

}  // namespace

LinearRgb linear_from_icc_xyz(double x, double y, double z) {
    static const Matrix3d to_d65 = matrix_of(bradford_matrix(kIccWhite, kWhiteD65));
    const Vector3d xyz = to_d65 * Vector3d(x, y, z);
    return linear_from_xyz({xyz[0], xyz[1], xyz[2]});
}

Lab lab_d50_from_linear(const LinearRgb& light) {
    static const Matrix3d to_d50 = matrix_of(bradford_matrix(kWhiteD65, kWhiteD50));
    const Vector3d xyz = to_d50 * vector_of(xyz_from_linear(light));
    return lab_from_xyz({xyz[0], xyz[1], xyz[2]}, kWhiteD50);
}

std::optional<CardGain> card_gain(const LinearRgb& photographed, const Lab& card) {
    if (!(photographed.r > 0.0 && photographed.g > 0.0 && photographed.b > 0.0)) {
        return std::nullopt;
    }
    const LinearRgb known = linear_from_srgb(srgb_from_lab_d50(card));
    CardGain gain{.factor = {known.r / photographed.r, known.g / photographed.g, known.b / photographed.b}};
    const double level = xyz_from_linear(known).y / xyz_from_linear(photographed).y;
    const Lab seen = lab_d50_from_linear(gained(photographed, {level, level, level}));
    gain.cast_chroma = std::hypot(seen.a - card.a, seen.b - card.b);
    return gain;
}

LinearRgb gained(const LinearRgb& light, const LinearRgb& factor) {
    return {light.r * factor.r, light.g * factor.g, light.b * factor.b};
}

std::optional<ChartFit> chart_fit(std::span<const ChartPatch> patches) {
    if (patches.size() < kFewestPatches) {
        return std::nullopt;
    }
    const std::optional<Matrix3d> all = fitted(patches, std::nullopt);
    if (!all) {
        return std::nullopt;
    }
    ChartFit fit;
    Eigen::Map<Eigen::Matrix<double, 3, 3, Eigen::RowMajor>>(fit.matrix.data()) = *all;
    for (std::size_t i = 0; i < patches.size(); ++i) {
        const std::optional<Matrix3d> others = fitted(patches, i);
        if (!others) {
            return std::nullopt;
        }
        const Vector3d xyz = *others * vector_of(patches[i].light);
        fit.left_out_de00.push_back(
            delta_e2000(lab_from_xyz({xyz[0], xyz[1], xyz[2]}, kWhiteD50), patches[i].known));
    }
    std::vector<double> ordered = fit.left_out_de00;
    std::sort(ordered.begin(), ordered.end());
    fit.median_de00 = ordered[ordered.size() / 2];
    fit.ninth_in_ten_de00 = ordered[std::min(ordered.size() - 1, ordered.size() * 9 / 10)];
    return fit;
}

Lab lab_d50_from_chart(const LinearRgb& light, const ChartMatrix& matrix) {
    const Vector3d xyz = matrix_of(matrix) * vector_of(light);
    return lab_from_xyz({xyz[0], xyz[1], xyz[2]}, kWhiteD50);
}

double light_error_de00(LightKind light, double chroma) {
    // Fitted to rendered photographs, see the declaration.
    switch (light) {
        case LightKind::daylight: return 1.2 + 0.06 * chroma;
        case LightKind::not_said: return 1.8 + 0.14 * chroma;
        case LightKind::other: return 1.8 + 0.14 * chroma;
    }
    return 0.0;
}

PhotoReading photo_reading(const PatchFigures& area, const ReadingSetup& setup) {
    const auto lab_of = [&](const LinearRgb& light, const LinearRgb& factor) {
        const LinearRgb balanced = gained(light, factor);
        return setup.chart ? lab_d50_from_chart(balanced, setup.chart->matrix) : lab_d50_from_linear(balanced);
    };
    PhotoReading reading;
    reading.lab = lab_of(area.mean, setup.gain.factor);
    // How far the tiles of an area, or readings by the tiles of the card, stand from the reading.
    const auto root_mean_square = [&](const std::vector<LinearRgb>& tiles, const auto& lab_by) {
        double squares = 0.0;
        for (const LinearRgb& tile : tiles) {
            const double away = delta_e2000(lab_by(tile), reading.lab);
            squares += away * away;
        }
        return tiles.empty() ? 0.0 : std::sqrt(squares / static_cast<double>(tiles.size()));
    };
    const auto error_of = [](double spread, std::size_t tiles) {
        return tiles > 1 ? kNineInTen * spread / std::sqrt(static_cast<double>(tiles - 1)) : spread;
    };
    reading.spread_de00 =
        root_mean_square(area.tiles, [&](const LinearRgb& tile) { return lab_of(tile, setup.gain.factor); });
    reading.error.texture = error_of(reading.spread_de00, area.tiles.size());
    const LinearRgb& card = setup.card.mean;
    const double by_card = root_mean_square(setup.card.tiles, [&](const LinearRgb& tile) {
        return lab_of(area.mean, gained(setup.gain.factor, {card.r / tile.r, card.g / tile.g, card.b / tile.b}));
    });
    reading.error.card = error_of(by_card, setup.card.tiles.size());
    const LinearRgb lighter{area.mean.r * (1.0 + setup.shade_share), area.mean.g * (1.0 + setup.shade_share),
                            area.mean.b * (1.0 + setup.shade_share)};
    reading.error.shade = delta_e2000(lab_of(lighter, setup.gain.factor), reading.lab);
    reading.error.light = setup.chart ? setup.chart->ninth_in_ten_de00
                                      : light_error_de00(setup.light, std::hypot(reading.lab.a, reading.lab.b));
    reading.error.total = root_of_squares(
        {reading.error.card, reading.error.texture, reading.error.light, reading.error.shade});
    return reading;
}

}  // namespace tonebath::science
