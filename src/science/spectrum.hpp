// Colour of a reflectance spectrum under an illuminant, and optical constants by wavelength. Tables come from
// data/optics/.
#pragma once

#include "base/result.hpp"
#include "science/colour.hpp"
#include "science/number_table.hpp"

#include <complex>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace tonebath::science {

// Wavelengths are those in vacuum or air (the difference, 0.03 %, is not kept).
// Refractive index n + ik; k > 0 absorbs.
struct OpticalRow {
    double wavelength_nm = 0.0;
    std::complex<double> index;
};
using OpticalTable = std::vector<OpticalRow>;

// Columns wavelength_nm, n and `k_column`. Refused: a column is missing, wavelengths do not rise, n is not positive, k
// negative.
[[nodiscard]] Result<OpticalTable> optical_table(const NumberTable& numbers, std::string_view k_column = "k");
// Straight line in wavelength between rows; nothing outside the table: it is never extended.
[[nodiscard]] std::optional<std::complex<double>> index_at(std::span<const OpticalRow> table, double wavelength_nm);

// An observer and an illuminant, ready to turn reflectance into colour: plain sums at 5 nm from 380 to 780 nm.
// White points from these sums agree with ASTM E308 to 0.01 (measured; docs/formulas/colour.md).
class Viewing {
public:
    // `observer` has wavelength_nm, xbar, ybar, zbar; `illuminants` has wavelength_nm and a column named as
    // `illuminant`. Refused when a column or one of the wavelengths 380, 385 ... 780 is missing.
    [[nodiscard]] static Result<Viewing> make(const NumberTable& observer, const NumberTable& illuminants,
                                              std::string_view illuminant);

    [[nodiscard]] std::span<const double> wavelengths_nm() const { return wavelengths_nm_; }
    // The illuminant itself: the colour of a surface that reflects everything. y = 100.
    [[nodiscard]] const Xyz& white() const { return white_; }
    // One reflectance, 0 to 1, for each of wavelengths_nm().
    [[nodiscard]] Xyz xyz(std::span<const double> reflectance) const;
    // Relative to white().
    [[nodiscard]] Lab lab(std::span<const double> reflectance) const;

private:
    Viewing() = default;

    std::vector<double> wavelengths_nm_;
    std::vector<Xyz> weights_;
    Xyz white_;
};

}  // namespace tonebath::science
