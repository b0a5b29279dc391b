// Reflectance of thin films by the transfer matrix, and the colour of a film on a metal.
// Formula, sources, range and error: docs/formulas/thin_film.md.
#pragma once

#include "science/spectrum.hpp"

#include <complex>
#include <span>
#include <vector>

namespace tonebath::science {

// One film of a stack; index n + ik, k >= 0.
struct Layer {
    std::complex<double> index;
    double thickness_nm = 0.0;
};
enum class Polarisation { s, p };

// Shares of the light that falls in. reflectance + transmittance + absorptance = 1.
struct StackResponse {
    double reflectance = 0.0;
    double transmittance = 0.0;  // into the substrate, just under its surface
    double absorptance = 0.0;    // in the films
    // Amplitude of the field along the surface, reflected over incident: for p light its sign is opposite to the
    // convention that compares magnetic fields.
    std::complex<double> amplitude;
};

// Smooth, flat, coherent films between an ambient without absorption and a substrate without a back. `layers` run from
// the ambient to the substrate and may be none. wavelength_nm > 0, thicknesses >= 0, 0 <= angle_deg < 90 in the
// ambient. No layer is too thick: growing exponentials are kept out. Agrees with the closed one-layer formula to 1e-12
// (tested).
[[nodiscard]] StackResponse stack_response(double wavelength_nm, double ambient_index, std::span<const Layer> layers,
                                           std::complex<double> substrate, double angle_deg = 0.0,
                                           Polarisation polarisation = Polarisation::s);

// By how much the optical constants of a film are taken to differ from the table.
struct FilmFactors {
    double n_factor = 1.0;
    double k_factor = 1.0;
};

// One film on one substrate in air, looked at straight on: the constants are looked up once for all thicknesses.
class FilmOnMetal {
public:
    // Refused when a table does not reach over the wavelengths of `viewing`.
    [[nodiscard]] static Result<FilmOnMetal> make(const Viewing& viewing, std::span<const OpticalRow> film,
                                                  std::span<const OpticalRow> substrate, FilmFactors factors = {});

    // For each wavelength of the viewing. `unevenness` is the standard deviation of the logarithm of thickness over the
    // surface seen (0.2 = about 20 %, 0 = even, at most 1); thickness_nm is the median. Reflected light, not colour, is
    // averaged.
    [[nodiscard]] std::vector<double> reflectance(double thickness_nm, double unevenness = 0.0) const;
    [[nodiscard]] Lab lab(double thickness_nm, double unevenness = 0.0) const;

private:
    explicit FilmOnMetal(const Viewing& viewing) : viewing_(viewing) {}

    Viewing viewing_;
    std::vector<std::complex<double>> film_;
    std::vector<std::complex<double>> substrate_;
};

}  // namespace tonebath::science
