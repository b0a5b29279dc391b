#include "science/photo_patch.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

constexpr double kLuminance_r = 0.2126, kLuminance_g = 0.7152, kLuminance_b = 0.0722;  // sRGB, IEC 61966-2-1
constexpr double kRobust = 1.4826;            // median of distances to standard deviation, normal distribution
constexpr double kLeftOutBeyond = 3.0;        // robust standard deviations (common practice)
constexpr double kLeastSpread_share = 0.005;  // of the middle: an area flatter than this is not cut finer
constexpr std::size_t kFewestPixels = 16;
constexpr int kTiles = 8;
constexpr int kTileSide_px = 4;

double luminance(const LinearRgb& light) {
    return kLuminance_r * light.r + kLuminance_g * light.g + kLuminance_b * light.b;
}

// `values` is left in another order; not empty.
double quantile(std::vector<double>& values, double share) {
    const auto at = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), values.begin() + at, values.end());
    return values[static_cast<std::size_t>(at)];
}

struct Middle {
    double y = 0.0;
    double spread = 0.0;
    [[nodiscard]] bool holds(double value) const { return std::abs(value - y) <= kLeftOutBeyond * spread; }
};

// Nothing where fewer than kFewestPixels are good, or the middle is black.
std::optional<Middle> middle_of(const PhotoPatch& patch) {
    std::vector<double> kept;
    kept.reserve(patch.light.size());
    for (std::size_t i = 0; i < patch.light.size(); ++i) {
        if (patch.state[i] == PixelState::good) {
            kept.push_back(luminance(patch.light[i]));
        }
    }
    Middle middle;
    for (int round = 0; round < 10; ++round) {
        if (kept.size() < kFewestPixels) {
            return std::nullopt;
        }
        const double y = quantile(kept, 0.5);
        std::vector<double> away(kept.size());
        std::transform(kept.begin(), kept.end(), away.begin(), [y](double value) { return std::abs(value - y); });
        const double spread = std::max(kRobust * quantile(away, 0.5), kLeastSpread_share * y);
        middle = {y, spread};
        if (y <= 0.0) {
            return std::nullopt;
        }
        if (std::erase_if(kept, [&](double value) { return !middle.holds(value); }) == 0) {
            break;
        }
    }
    return middle;
}

struct Sum {
    double r = 0.0, g = 0.0, b = 0.0;
    std::size_t n = 0;
    void add(const LinearRgb& light) {
        r += light.r;
        g += light.g;
        b += light.b;
        ++n;
    }
    [[nodiscard]] LinearRgb mean() const {
        const auto count = static_cast<double>(n);
        return {r / count, g / count, b / count};
    }
};

}  // namespace

std::optional<PatchFigures> patch_figures(const PhotoPatch& patch) {
    PatchFigures figures;
    std::size_t high = 0, low = 0, glare = 0, kept = 0;
    const std::optional<Middle> middle = middle_of(patch);
    const int across = std::clamp(patch.width / kTileSide_px, 1, kTiles);
    const int down = std::clamp(patch.height / kTileSide_px, 1, kTiles);
    std::vector<Sum> tiles(static_cast<std::size_t>(across * down));
    Sum all;
    for (int y = 0; y < patch.height; ++y) {
        for (int x = 0; x < patch.width; ++x) {
            const auto i = static_cast<std::size_t>(y) * static_cast<std::size_t>(patch.width) + static_cast<std::size_t>(x);
            if (patch.state[i] == PixelState::outside) {
                continue;
            }
            ++figures.pixels;
            high += patch.state[i] == PixelState::clipped_high ? 1u : 0u;
            low += patch.state[i] == PixelState::clipped_low ? 1u : 0u;
            if (!middle || patch.state[i] != PixelState::good) {
                continue;
            }
            const double light = luminance(patch.light[i]);
            if (middle->holds(light)) {
                ++kept;
                all.add(patch.light[i]);
                tiles[static_cast<std::size_t>(y * down / patch.height * across + x * across / patch.width)].add(patch.light[i]);
            } else if (light > middle->y) {
                ++glare;
            }
        }
    }
    if (figures.pixels == 0) {
        return std::nullopt;
    }
    const auto n = static_cast<double>(figures.pixels);
    figures.clipped_high_share = static_cast<double>(high) / n;
    figures.clipped_low_share = static_cast<double>(low) / n;
    figures.glare_share = static_cast<double>(glare + high) / n;
    figures.left_out_share = static_cast<double>(figures.pixels - kept) / n;
    if (middle) {
        figures.mean = all.mean();
        figures.light_noise = middle->spread / middle->y;
        // A tile that is mostly outside the mark, or mostly left out, says nothing of the area's spread.
        const double fewest = 0.25 * static_cast<double>(kept) / static_cast<double>(tiles.size());
        for (const Sum& tile : tiles) {
            if (tile.n > 0 && static_cast<double>(tile.n) >= fewest) {
                figures.tiles.push_back(tile.mean());
            }
        }
        return figures;
    }
    // Nothing to take a mean of: only a clipped area still has something to say.
    if (high + low > 0) {
        return figures;
    }
    return std::nullopt;
}

LinearRgb median_light(const PhotoPatch& patch) {
    const auto median = [&](double LinearRgb::*channel) {
        std::vector<double> values;
        for (std::size_t i = 0; i < patch.light.size(); ++i) {
            if (patch.state[i] == PixelState::good) {
                values.push_back(patch.light[i].*channel);
            }
        }
        return values.empty() ? 0.0 : quantile(values, 0.5);
    };
    return {median(&LinearRgb::r), median(&LinearRgb::g), median(&LinearRgb::b)};
}

std::optional<LightSlope> light_slope(const PhotoPatch& patch) {
    const std::optional<Middle> middle = middle_of(patch);
    if (!middle) {
        return std::nullopt;
    }
    Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
    Eigen::Matrix<double, 3, 3> right = Eigen::Matrix3d::Zero();  // a column a channel
    for (int y = 0; y < patch.height; ++y) {
        for (int x = 0; x < patch.width; ++x) {
            const auto i = static_cast<std::size_t>(y) * static_cast<std::size_t>(patch.width) + static_cast<std::size_t>(x);
            if (patch.state[i] != PixelState::good || !middle->holds(luminance(patch.light[i]))) {
                continue;
            }
            const Eigen::Vector3d place(1.0, x - 0.5 * (patch.width - 1), y - 0.5 * (patch.height - 1));
            const LinearRgb& light = patch.light[i];
            normal += place * place.transpose();
            right += place * Eigen::RowVector3d(light.r, light.g, light.b);
        }
    }
    const Eigen::FullPivLU<Eigen::Matrix3d> solver(normal);
    if (!solver.isInvertible()) {
        return std::nullopt;
    }
    const Eigen::Matrix3d plane = solver.solve(right);  // rows: middle, along x, along y; columns: red, green, blue
    const Eigen::Vector3d weight(kLuminance_r, kLuminance_g, kLuminance_b);
    const Eigen::Vector3d light = plane * weight;
    if (light[0] <= 0.0 || plane.row(0).minCoeff() <= 0.0) {
        return std::nullopt;
    }
    const Eigen::Vector3d x = plane.row(1).cwiseQuotient(plane.row(0));
    const Eigen::Vector3d y = plane.row(2).cwiseQuotient(plane.row(0));
    const double width = patch.width - 1, height = patch.height - 1;
    const auto over = [&](double along_x, double along_y) {
        return std::abs(along_x) * width + std::abs(along_y) * height;
    };
    LightSlope slope;
    slope.per_x = light[1] / light[0] / patch.merged;
    slope.per_y = light[2] / light[0] / patch.merged;
    slope.corner_to_corner = over(light[1] / light[0], light[2] / light[0]);
    slope.colour = std::max(over(x[0] - x[1], y[0] - y[1]), over(x[2] - x[1], y[2] - y[1]));
    return slope;
}

std::optional<double> edge_width_px(const PhotoPatch& patch) {
    const auto row = static_cast<std::size_t>(patch.width);
    double most_range = 0.2;  // of its middle: an area more even than this has no edge
    std::optional<double> width_px;
    // Two colours may be equal in light: the channel that tells them apart best decides.
    for (double LinearRgb::*channel : {&LinearRgb::r, &LinearRgb::g, &LinearRgb::b}) {
        std::vector<double> light, change;
        for (int y = 0; y < patch.height; ++y) {
            for (int x = 0; x < patch.width; ++x) {
                const std::size_t i = static_cast<std::size_t>(y) * row + static_cast<std::size_t>(x);
                if (patch.state[i] == PixelState::outside) {
                    continue;
                }
                const double here = patch.light[i].*channel;
                light.push_back(here);
                if (x + 1 < patch.width && y + 1 < patch.height && patch.state[i + 1] != PixelState::outside &&
                    patch.state[i + row] != PixelState::outside) {
                    change.push_back(std::hypot(patch.light[i + 1].*channel - here, patch.light[i + row].*channel - here));
                }
            }
        }
        if (change.size() < kFewestPixels) {
            return std::nullopt;
        }
        const double range = quantile(light, 0.95) - quantile(light, 0.05);
        const double middle = quantile(light, 0.5);
        const double steepest = quantile(change, 0.995);
        if (range > most_range * middle && steepest > 0.0) {
            most_range = range / middle;
            width_px = std::max(1.0, range / steepest) * patch.merged;
        }
    }
    return width_px;
}

}  // namespace tonebath::science
