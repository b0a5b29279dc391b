#include "science/thin_film.hpp"

#include "base/check.hpp"

#include <array>
#include <cmath>
#include <numbers>
#include <string>

namespace tonebath::science {

namespace {

using Complex = std::complex<double>;

// Notation (Macleod, Thin-Film Optical Filters, chapter 2, here with fields as exp(-i omega t)):
// N index, q = N cos(theta), eta tilted admittance in units of that of free space, delta phase thickness, B and C the
// fields E and H along the surface for unit E in the substrate.

// N cos(theta) with the root that decays into the medium.
Complex normal_part(Complex index, double along) {
    const Complex q = std::sqrt(index * index - along * along);
    return q.imag() < 0.0 || (q.imag() == 0.0 && q.real() < 0.0) ? -q : q;
}

Complex admittance(Complex index, Complex q, Polarisation polarisation) {
    return polarisation == Polarisation::s ? q : index * index / q;
}

struct Node {
    double offset;  // in standard deviations
    double weight;
};

// Normal weights at steps of a quarter of a standard deviation out to six. A plain sum is enough: for a smooth periodic
// or vanishing integrand it converges faster than any power of the step (error measured: docs/formulas/thin_film.md).
std::array<Node, 49> make_nodes() {
    std::array<Node, 49> nodes{};
    double sum = 0.0;
    for (std::size_t i = 0; i < nodes.size(); ++i) {
        const double z = 0.25 * static_cast<double>(i) - 6.0;
        nodes[i] = {z, std::exp(-0.5 * z * z)};
        sum += nodes[i].weight;
    }
    for (Node& node : nodes) {
        node.weight /= sum;
    }
    return nodes;
}

const std::array<Node, 49> kNodes = make_nodes();

}  // namespace

StackResponse stack_response(double wavelength_nm, double ambient_index, std::span<const Layer> layers,
                             std::complex<double> substrate, double angle_deg, Polarisation polarisation) {
    TB_CHECK(wavelength_nm > 0.0 && ambient_index > 0.0 && angle_deg >= 0.0 && angle_deg < 90.0);
    const double along = ambient_index * std::sin(angle_deg * std::numbers::pi / 180.0);
    const Complex eta0 = admittance(ambient_index, normal_part(ambient_index, along), polarisation);
    const Complex eta_s = admittance(substrate, normal_part(substrate, along), polarisation);

    Complex b = 1.0;
    Complex c = eta_s;
    double damping = 1.0;  // product of |exp(i delta)|: B and C are kept scaled by it
    const Complex i(0.0, 1.0);
    for (auto layer = layers.rbegin(); layer != layers.rend(); ++layer) {
        TB_CHECK(layer->thickness_nm >= 0.0);
        const Complex q = normal_part(layer->index, along);
        const Complex eta = admittance(layer->index, q, polarisation);
        const Complex delta = 2.0 * std::numbers::pi * q * layer->thickness_nm / wavelength_nm;
        // cos and -i sin, both times exp(i delta): |exp(2 i delta)| <= 1, so nothing can overflow.
        const Complex turn = std::exp(2.0 * i * delta);
        const Complex cosine = 0.5 * (1.0 + turn);
        const Complex minus_i_sine = 0.5 * (1.0 - turn);
        const Complex b_above = cosine * b + minus_i_sine * c / eta;
        c = minus_i_sine * eta * b + cosine * c;
        b = b_above;
        damping *= std::exp(-delta.imag());
    }
    const Complex incident = eta0 * b + c;
    StackResponse response;
    response.amplitude = (eta0 * b - c) / incident;
    response.reflectance = std::norm(response.amplitude);
    response.transmittance = 4.0 * eta0.real() * eta_s.real() * damping * damping / std::norm(incident);
    response.absorptance = 1.0 - response.reflectance - response.transmittance;
    return response;
}

Result<FilmOnMetal> FilmOnMetal::make(const Viewing& viewing, std::span<const OpticalRow> film,
                                      std::span<const OpticalRow> substrate, FilmFactors factors) {
    TB_CHECK(factors.n_factor > 0.0 && factors.k_factor >= 0.0);
    FilmOnMetal made(viewing);
    for (const double wavelength_nm : viewing.wavelengths_nm()) {
        const auto of_film = index_at(film, wavelength_nm);
        const auto of_substrate = index_at(substrate, wavelength_nm);
        if (!of_film || !of_substrate) {
            return Refusal{
                .code = "optics.range",
                .field = "data file",
                .value = {},
                .message = "The optical constants do not reach " + std::to_string(std::lround(wavelength_nm)) + " nm.",
                .remedy = "Install the data files again.",
                .answers = {}};
        }
        made.film_.emplace_back(of_film->real() * factors.n_factor, of_film->imag() * factors.k_factor);
        made.substrate_.push_back(*of_substrate);
    }
    return made;
}

std::vector<double> FilmOnMetal::reflectance(double thickness_nm, double unevenness) const {
    TB_CHECK(thickness_nm >= 0.0 && unevenness >= 0.0 && unevenness <= 1.0);
    const std::span<const double> wavelengths_nm = viewing_.wavelengths_nm();
    std::vector<double> sum(wavelengths_nm.size(), 0.0);
    const auto add = [&](double at_nm, double weight) {
        for (std::size_t i = 0; i < sum.size(); ++i) {
            const Layer layer{film_[i], at_nm};
            sum[i] += weight * stack_response(wavelengths_nm[i], 1.0, {&layer, 1}, substrate_[i]).reflectance;
        }
    };
    if (unevenness == 0.0 || thickness_nm == 0.0) {
        add(thickness_nm, 1.0);
        return sum;
    }
    for (const Node& node : kNodes) {
        add(thickness_nm * std::exp(unevenness * node.offset), node.weight);
    }
    return sum;
}

Lab FilmOnMetal::lab(double thickness_nm, double unevenness) const {
    return viewing_.lab(reflectance(thickness_nm, unevenness));
}

}  // namespace tonebath::science
