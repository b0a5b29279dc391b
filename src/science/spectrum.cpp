#include "science/spectrum.hpp"

#include "base/check.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <string>

namespace tonebath::science {

namespace {

constexpr double kFirst_nm = 380.0;
constexpr double kStep_nm = 5.0;
constexpr int kSteps = 80;

Refusal spectrum_refused(std::string message) {
    return {.code = "optics.table",
            .field = "data file",
            .value = {},
            .message = std::move(message),
            .remedy = "Install the data files again.",
            .answers = {}};
}

// Columns of `table` by name, in the order asked; nothing when one is missing.
std::optional<std::vector<const std::vector<double>*>> columns_of(const NumberTable& table,
                                                                  std::initializer_list<std::string_view> names) {
    std::vector<const std::vector<double>*> found;
    for (const std::string_view name : names) {
        const std::optional<std::size_t> place = table.find(name);
        if (!place) {
            return std::nullopt;
        }
        found.push_back(&table.columns[*place]);
    }
    return found;
}

bool rising(const std::vector<double>& values) {
    return std::adjacent_find(values.begin(), values.end(), std::greater_equal<>()) == values.end();
}

std::optional<std::size_t> row_of(const std::vector<double>& wavelengths_nm, double wavelength_nm) {
    const auto place = std::lower_bound(wavelengths_nm.begin(), wavelengths_nm.end(), wavelength_nm);
    if (place == wavelengths_nm.end() || *place != wavelength_nm) {
        return std::nullopt;
    }
    return static_cast<std::size_t>(place - wavelengths_nm.begin());
}

}  // namespace

Result<OpticalTable> optical_table(const NumberTable& numbers, std::string_view k_column) {
    const auto columns = columns_of(numbers, {"wavelength_nm", "n", k_column});
    if (!columns) {
        return spectrum_refused("The columns wavelength_nm, n and " + std::string(k_column) + " are not all there.");
    }
    const auto& wavelength_nm = *(*columns)[0];
    if (!rising(wavelength_nm)) {
        return spectrum_refused("The wavelengths do not rise from row to row.");
    }
    OpticalTable table;
    for (std::size_t i = 0; i < wavelength_nm.size(); ++i) {
        const double n = (*(*columns)[1])[i];
        const double k = (*(*columns)[2])[i];
        if (n <= 0.0 || k < 0.0) {
            return spectrum_refused("An index of refraction is not above zero, or an absorption is below zero.");
        }
        table.push_back({wavelength_nm[i], {n, k}});
    }
    return table;
}

std::optional<std::complex<double>> index_at(std::span<const OpticalRow> table, double wavelength_nm) {
    const auto above = std::lower_bound(table.begin(), table.end(), wavelength_nm,
                                        [](const OpticalRow& row, double value) { return row.wavelength_nm < value; });
    if (above == table.end()) {
        return std::nullopt;
    }
    if (above->wavelength_nm == wavelength_nm) {
        return above->index;
    }
    if (above == table.begin()) {
        return std::nullopt;
    }
    const OpticalRow& below = *(above - 1);
    const double share = (wavelength_nm - below.wavelength_nm) / (above->wavelength_nm - below.wavelength_nm);
    return below.index + share * (above->index - below.index);
}

Result<Viewing> Viewing::make(const NumberTable& observer, const NumberTable& illuminants,
                              std::string_view illuminant) {
    const auto eye = columns_of(observer, {"wavelength_nm", "xbar", "ybar", "zbar"});
    const auto light = columns_of(illuminants, {"wavelength_nm", illuminant});
    if (!eye || !light || !rising(*(*eye)[0]) || !rising(*(*light)[0])) {
        return spectrum_refused("The observer or the illuminant " + std::string(illuminant) + " is not complete.");
    }
    Viewing viewing;
    double luminance = 0.0;
    for (int step = 0; step <= kSteps; ++step) {
        const double wavelength_nm = kFirst_nm + kStep_nm * step;
        const auto eye_row = row_of(*(*eye)[0], wavelength_nm);
        const auto light_row = row_of(*(*light)[0], wavelength_nm);
        if (!eye_row || !light_row) {
            return spectrum_refused("There is no row for " + std::to_string(std::lround(wavelength_nm)) + " nm.");
        }
        const double power = (*(*light)[1])[*light_row];
        const Xyz weight{power * (*(*eye)[1])[*eye_row], power * (*(*eye)[2])[*eye_row],
                         power * (*(*eye)[3])[*eye_row]};
        luminance += weight.y;
        viewing.wavelengths_nm_.push_back(wavelength_nm);
        viewing.weights_.push_back(weight);
    }
    if (luminance <= 0.0) {
        return spectrum_refused("The illuminant " + std::string(illuminant) + " gives no light.");
    }
    for (Xyz& weight : viewing.weights_) {
        weight = {100.0 * weight.x / luminance, 100.0 * weight.y / luminance, 100.0 * weight.z / luminance};
    }
    viewing.white_ = viewing.xyz(std::vector<double>(viewing.weights_.size(), 1.0));
    return viewing;
}

Xyz Viewing::xyz(std::span<const double> reflectance) const {
    TB_CHECK(reflectance.size() == weights_.size());
    Xyz sum;
    for (std::size_t i = 0; i < weights_.size(); ++i) {
        sum.x += weights_[i].x * reflectance[i];
        sum.y += weights_[i].y * reflectance[i];
        sum.z += weights_[i].z * reflectance[i];
    }
    return sum;
}

Lab Viewing::lab(std::span<const double> reflectance) const {
    return lab_from_xyz(xyz(reflectance), white_);
}

}  // namespace tonebath::science
