#include "support/photo_scene.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <fstream>
#include <random>
#include <sstream>
#include <stdexcept>

namespace tonebath::test::scene {

namespace {

using Matrix = std::array<std::array<double, 3>, 3>;
using Vector = std::array<double, 3>;

double wavelength_nm(std::size_t band) {
    return 380.0 + 5.0 * static_cast<double>(band);
}

// A table of numbers, '#' lines before it; columns by name.
class Table {
public:
    explicit Table(const std::string& path) {
        std::ifstream file(path);
        if (!file) {
            throw std::runtime_error(path);
        }
        for (std::string line; std::getline(file, line);) {
            if (line.empty() || line[0] == '#') {
                continue;
            }
            std::istringstream cells(line);
            std::vector<double> row;
            for (std::string cell; std::getline(cells, cell, ',');) {
                if (names_.size() <= row.size() && rows_.empty() && !numeric_) {
                    names_.push_back(cell);
                    row.push_back(0.0);
                } else {
                    row.push_back(std::stod(cell));
                }
            }
            if (numeric_) {
                rows_.push_back(row);
            }
            numeric_ = true;
        }
    }
    [[nodiscard]] const std::vector<std::string>& names() const { return names_; }
    // Straight lines between rows; beyond the ends as `beyond`, or the last value where that is below 0.
    [[nodiscard]] double at(const std::string& name, double nm, double beyond) const {
        const auto column = static_cast<std::size_t>(std::find(names_.begin(), names_.end(), name) - names_.begin());
        if (column >= names_.size()) {
            throw std::runtime_error(name);
        }
        if (nm < rows_.front()[0] || nm > rows_.back()[0]) {
            return beyond >= 0.0 ? beyond : (nm < rows_.front()[0] ? rows_.front() : rows_.back())[column];
        }
        std::size_t i = 1;
        while (i + 1 < rows_.size() && rows_[i][0] < nm) {
            ++i;
        }
        const double share = (nm - rows_[i - 1][0]) / (rows_[i][0] - rows_[i - 1][0]);
        return rows_[i - 1][column] + share * (rows_[i][column] - rows_[i - 1][column]);
    }
    [[nodiscard]] Spectrum spectrum(const std::string& name, double beyond) const {
        Spectrum values{};
        for (std::size_t i = 0; i < kBands; ++i) {
            values[i] = at(name, wavelength_nm(i), beyond);
        }
        return values;
    }

private:
    std::vector<std::string> names_;
    std::vector<std::vector<double>> rows_;
    bool numeric_ = false;
};

std::string shared(const std::string& name) {
    return std::string(TONEBATH_SOURCE_DIR) + "/data/optics/" + name;
}

std::string own(const std::string& name) {
    return std::string(TONEBATH_CASES_DIR) + "/photo/" + name;
}

Vector seen(const std::array<Spectrum, 3>& eye, const Spectrum& light, const Spectrum& surface) {
    Vector sum{};
    for (std::size_t k = 0; k < 3; ++k) {
        for (std::size_t i = 0; i < kBands; ++i) {
            sum[k] += eye[k][i] * light[i] * surface[i];
        }
    }
    return sum;
}

Vector times(const Matrix& m, const Vector& v) {
    Vector out{};
    for (std::size_t i = 0; i < 3; ++i) {
        for (std::size_t j = 0; j < 3; ++j) {
            out[i] += m[i][j] * v[j];
        }
    }
    return out;
}

Matrix inverse(const Matrix& m) {
    Matrix out{};
    const auto minor = [&](std::size_t r, std::size_t c) {
        const std::size_t r1 = (r + 1) % 3, r2 = (r + 2) % 3, c1 = (c + 1) % 3, c2 = (c + 2) % 3;
        return m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1];
    };
    const double det = m[0][0] * minor(0, 0) + m[0][1] * minor(0, 1) + m[0][2] * minor(0, 2);
    for (std::size_t i = 0; i < 3; ++i) {
        for (std::size_t j = 0; j < 3; ++j) {
            out[j][i] = minor(i, j) / det;
        }
    }
    return out;
}

// X Y Z of a display's linear red, green, blue from its primaries and the white x, y = 0.3127, 0.3290.
Matrix display(const std::array<double, 6>& xy) {
    Matrix m{};
    for (std::size_t k = 0; k < 3; ++k) {
        const double x = xy[2 * k], y = xy[2 * k + 1];
        m[0][k] = x / y;
        m[1][k] = 1.0;
        m[2][k] = (1.0 - x - y) / y;
    }
    const Vector weight = times(inverse(m), {0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290});
    for (auto& row : m) {
        for (std::size_t k = 0; k < 3; ++k) {
            row[k] *= weight[k];
        }
    }
    return m;
}

const Matrix& srgb_to_xyz() {
    static const Matrix matrix = display({0.64, 0.33, 0.30, 0.60, 0.15, 0.06});
    return matrix;
}

// A camera's channels, balanced so that white is 1 1 1, to linear sRGB: least squares over the paints in daylight (D65),
// rows made to add up to 1 so that white stays white. As a maker does it once, for every light.
const Matrix& camera_matrix() {
    static const Matrix matrix = [] {
        const Tables& t = tables();
        const Spectrum& day = t.lights.at("D65");
        const Vector white = seen(t.camera, day, grey(1.0)), white_xyz = seen(t.observer, day, grey(1.0));
        Matrix normal{}, right{};
        for (const Spectrum& paint : t.paints) {
            Vector raw = seen(t.camera, day, paint), xyz = seen(t.observer, day, paint);
            for (std::size_t k = 0; k < 3; ++k) {
                raw[k] /= white[k];
                xyz[k] /= white_xyz[1];
            }
            const Vector rgb = times(inverse(srgb_to_xyz()), xyz);
            for (std::size_t i = 0; i < 3; ++i) {
                for (std::size_t j = 0; j < 3; ++j) {
                    normal[i][j] += raw[i] * raw[j];
                    right[i][j] += rgb[i] * raw[j];
                }
            }
        }
        const Matrix back = inverse(normal);
        Matrix out{};
        for (std::size_t i = 0; i < 3; ++i) {
            double sum = 0.0;
            for (std::size_t j = 0; j < 3; ++j) {
                for (std::size_t k = 0; k < 3; ++k) {
                    out[i][j] += right[i][k] * back[k][j];
                }
                sum += out[i][j];
            }
            for (double& value : out[i]) {
                value /= sum;
            }
        }
        return out;
    }();
    return matrix;
}

double encoded(double linear) {
    const double cut = std::clamp(linear, 0.0, 1.0);
    return cut <= 0.0031308 ? 12.92 * cut : 1.055 * std::pow(cut, 1.0 / 2.4) - 0.055;
}

void blur(std::vector<Vector>& field, int width, int height, int by) {
    for (int pass = 0; pass < 2; ++pass) {  // along rows, then along columns
        std::vector<Vector> out(field.size());
        for (int y = 0; y < height; ++y) {
            for (int x = 0; x < width; ++x) {
                Vector sum{};
                int n = 0;
                for (int step = -by; step <= by; ++step) {
                    const int px = pass == 0 ? x + step : x, py = pass == 0 ? y : y + step;
                    if (px >= 0 && py >= 0 && px < width && py < height) {
                        for (std::size_t k = 0; k < 3; ++k) {
                            sum[k] += field[static_cast<std::size_t>(py * width + px)][k];
                        }
                        ++n;
                    }
                }
                for (std::size_t k = 0; k < 3; ++k) {
                    out[static_cast<std::size_t>(y * width + x)][k] = sum[k] / n;
                }
            }
        }
        field.swap(out);
    }
}

}  // namespace

const Tables& tables() {
    static const Tables all = [] {
        Tables t;
        const Table observer(shared("cie1931_2deg_5nm.csv")), lights(shared("illuminants_5nm.csv"));
        const Table lamps(own("lamps_5nm.csv")), paints(own("paints_10nm.csv")), camera(own("camera_5nm.csv"));
        t.observer = {observer.spectrum("xbar", 0.0), observer.spectrum("ybar", 0.0), observer.spectrum("zbar", 0.0)};
        for (const char* name : {"A", "D50", "D65"}) {
            t.lights[name] = lights.spectrum(name, -1.0);
        }
        t.lights["FL11"] = lamps.spectrum("FL11", 0.0);
        t.lights["LED_B3"] = lamps.spectrum("LED_B3", 0.0);
        for (std::size_t i = 1; i < paints.names().size(); ++i) {
            t.paint_names.push_back(paints.names()[i]);
            t.paints.push_back(paints.spectrum(paints.names()[i], -1.0));
        }
        t.camera = {camera.spectrum("r", 0.0), camera.spectrum("g", 0.0), camera.spectrum("b", 0.0)};
        return t;
    }();
    return all;
}

Triple truth(const Spectrum& surface) {
    const Tables& t = tables();
    const Vector white = seen(t.observer, t.lights.at("D50"), grey(1.0));
    const Vector xyz = seen(t.observer, t.lights.at("D50"), surface);
    const auto f = [](double ratio) { return ratio > 216.0 / 24389.0 ? std::cbrt(ratio) : (24389.0 / 27.0 * ratio + 16.0) / 116.0; };
    const double x = f(xyz[0] / white[0]), y = f(xyz[1] / white[1]), z = f(xyz[2] / white[2]);
    return {116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)};
}

Spectrum grey(double reflectance) {
    Spectrum flat;
    flat.fill(reflectance);
    return flat;
}

Spectrum mixed(const Spectrum& a, const Spectrum& b, double share_of_b) {
    Spectrum out{};
    for (std::size_t i = 0; i < kBands; ++i) {
        out[i] = (1.0 - share_of_b) * a[i] + share_of_b * b[i];
    }
    return out;
}

Spectrum scaled(const Spectrum& a, double by) {
    return mixed(a, grey(0.0), 1.0 - by);
}

Spectrum film_on_silver(double nm) {
    static const Table silver(shared("Ag_nk_Johnson1972.csv")), sulfide(shared("Ag2S_model_nk.csv"));
    using Complex = std::complex<double>;
    Spectrum out{};
    // Seven thicknesses of a log-normal spread of 0.2, their weights those of the normal law.
    double weights = 0.0;
    for (int step = -3; step <= 3; ++step) {
        const double weight = std::exp(-0.5 * step * step * 0.49);
        const double thick = nm * std::exp(0.2 * 0.7 * step);
        weights += weight;
        for (std::size_t i = 0; i < kBands; ++i) {
            const double w = wavelength_nm(i);
            const Complex n1(sulfide.at("n", w, -1.0), sulfide.at("k_x1", w, -1.0));
            const Complex n2(silver.at("n", w, -1.0), silver.at("k", w, -1.0));
            const Complex r01 = (1.0 - n1) / (1.0 + n1), r12 = (n1 - n2) / (n1 + n2);
            const Complex turn = std::exp(Complex(0.0, 2.0) * (2.0 * M_PI * thick / w) * n1);
            out[i] += weight * std::norm((r01 + r12 * turn) / (1.0 + r01 * r12 * turn));
        }
    }
    return scaled(out, 1.0 / weights);
}

Spectrum card() {
    const Spectrum& paint = tables().paints[21];
    const Tables& t = tables();
    const double y = seen(t.observer, t.lights.at("D50"), paint)[1] / seen(t.observer, t.lights.at("D50"), grey(1.0))[1];
    return scaled(paint, 0.18 / y);
}

TestImage taken(const Shot& shot) {
    const Tables& t = tables();
    const std::string second_name = shot.second_light.empty() ? shot.light : shot.second_light;
    const Spectrum& first = t.lights.at(shot.light);
    const Spectrum& second = t.lights.at(second_name);
    const Vector first_white = seen(t.camera, first, grey(1.0)), second_white = seen(t.camera, second, grey(1.0));
    const Vector day_white = seen(t.camera, t.lights.at("D65"), grey(1.0));
    // Balanced on the first light, or left at daylight with green kept.
    Vector balance{};
    for (std::size_t k = 0; k < 3; ++k) {
        balance[k] = 1.0 / (shot.balanced ? first_white[k] : day_white[k] * first_white[1] / day_white[1]);
    }
    balance = {balance[0] * shot.balance_off.a, balance[1] * shot.balance_off.b, balance[2] * shot.balance_off.c};
    struct Raw {
        Vector first, second;
    };
    const auto raw_of = [&](const Spectrum& surface) {
        Raw raw{seen(t.camera, first, surface), seen(t.camera, second, surface)};
        for (std::size_t k = 0; k < 3; ++k) {
            raw.second[k] *= first_white[1] / second_white[1];  // two lights equally strong
        }
        return raw;
    };
    std::vector<Raw> raws{raw_of(shot.ground)};
    for (const Thing& thing : shot.things) {
        raws.push_back(raw_of(thing.surface));
    }
    std::mt19937 random(shot.seed);
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> uniform;
    std::vector<Vector> field(static_cast<std::size_t>(shot.width * shot.height));
    for (int y = 0; y < shot.height; ++y) {
        double line = 0.0;
        for (int x = 0; x < shot.width; ++x) {
            std::size_t which = 0;
            for (std::size_t i = 0; i < shot.things.size(); ++i) {
                const Thing& thing = shot.things[i];
                const double along = 2.0 * (x - thing.x) / thing.width - 1.0, up = 2.0 * (y - thing.y) / thing.height - 1.0;
                const double radius = std::hypot(along, up);
                const bool inside = thing.round ? radius < 1.0 && radius >= thing.hole : std::abs(along) < 1.0 && std::abs(up) < 1.0;
                which = inside ? i + 1 : which;
            }
            const double across = static_cast<double>(x) / shot.width - 0.5, down = static_cast<double>(y) / shot.height - 0.5;
            double light = (1.0 + shot.tilt_x * across + shot.tilt_y * down) * shot.exposure;
            if (which > 0) {
                const Thing& thing = shot.things[which - 1];
                line = 0.7 * line + 0.7 * normal(random);  // brushed lines, a few pixels wide
                light *= thing.light * std::max(0.05, 1.0 + thing.texture * line);
                light *= uniform(random) < thing.glare ? 6.0 : 1.0;
            }
            const double share = shot.second_share * (across + 0.5);
            Vector& to = field[static_cast<std::size_t>(y * shot.width + x)];
            for (std::size_t k = 0; k < 3; ++k) {
                to[k] = light * ((1.0 - share) * raws[which].first[k] + share * raws[which].second[k]) * balance[k];
            }
        }
    }
    if (shot.blur_px > 0) {
        blur(field, shot.width, shot.height, shot.blur_px);
    }
    static const Matrix p3_back = inverse(display({0.680, 0.320, 0.265, 0.690, 0.150, 0.060}));
    TestImage image{.width = shot.width, .height = shot.height, .rgb = std::vector<std::uint16_t>(3 * field.size())};
    for (std::size_t i = 0; i < field.size(); ++i) {
        Vector raw = field[i];
        for (double& value : raw) {
            value += normal(random) * std::sqrt(std::max(value, 0.0) / shot.electrons);
            value = std::min(value, 1.0);  // the sensor is full
        }
        Vector rgb = times(camera_matrix(), raw);
        if (shot.p3) {
            rgb = times(p3_back, times(srgb_to_xyz(), rgb));
        }
        for (std::size_t k = 0; k < 3; ++k) {
            double value = encoded(rgb[k]);
            value += shot.contrast * 0.25 * (value - 0.5) * 4.0 * value * (1.0 - value);
            image.rgb[3 * i + k] = static_cast<std::uint16_t>(std::clamp(value, 0.0, 1.0) * 65535.0 + 0.5);
        }
    }
    return image;
}

}  // namespace tonebath::test::scene
