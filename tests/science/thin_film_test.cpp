#include "science/thin_film.hpp"

#include "science/reference_tables.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

using namespace tonebath::science;
using namespace tonebath::test;
using Catch::Matchers::WithinAbs;
using Complex = std::complex<double>;

namespace {

// The independent check: Fresnel coefficients and the closed formula of one layer (Airy 1833; Born and Wolf, Principles
// of Optics, 1.6 and 14.4), applied from the substrate up where there are more layers (Rouard 1937).
class ClosedFormula {
public:
    ClosedFormula(double wavelength_nm, double angle_deg, Polarisation polarisation)
        : wavelength_nm_(wavelength_nm),
          sine_(std::sin(angle_deg * std::numbers::pi / 180.0)),
          polarisation_(polarisation) {}

    Complex reflected(double ambient, std::span<const Layer> layers, Complex substrate) const {
        std::vector<Complex> media{ambient};
        for (const Layer& layer : layers) {
            media.push_back(layer.index);
        }
        media.push_back(substrate);
        Complex r = fresnel(ambient, media[media.size() - 2], media.back());
        for (std::size_t j = layers.size(); j-- > 0;) {
            const Complex cosine = cos_in(ambient, media[j + 1]);
            const Complex phase =
                2.0 * std::numbers::pi * media[j + 1] * cosine * layers[j].thickness_nm / wavelength_nm_;
            const Complex turn = std::exp(Complex(0.0, 2.0) * phase);
            const Complex front = fresnel(ambient, media[j], media[j + 1]);
            r = (front + r * turn) / (1.0 + front * r * turn);
        }
        return r;
    }

private:
    Complex cos_in(double ambient, Complex index) const {
        const Complex sine = ambient * sine_ / index;
        Complex cosine = std::sqrt(1.0 - sine * sine);
        if ((index * cosine).imag() < 0.0) {
            cosine = -cosine;
        }
        return cosine;
    }

    Complex fresnel(double ambient, Complex from, Complex to) const {
        const Complex c1 = cos_in(ambient, from);
        const Complex c2 = cos_in(ambient, to);
        return polarisation_ == Polarisation::s ? (from * c1 - to * c2) / (from * c1 + to * c2)
                                                : (to * c1 - from * c2) / (to * c1 + from * c2);
    }

    double wavelength_nm_;
    double sine_;
    Polarisation polarisation_;
};

struct Dice {
    std::mt19937_64 source{20260331};
    double between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(source); }
    Polarisation polarisation() { return source() % 2 == 0 ? Polarisation::s : Polarisation::p; }
};

}  // namespace

TEST_CASE("Transfer matrix and the closed one-layer formula agree to 1e-12", "[film]") {
    Dice dice;
    double worst = 0.0;
    for (int i = 0; i < 20000; ++i) {
        const double wavelength_nm = dice.between(300.0, 900.0);
        const double ambient = dice.between(1.0, 1.6);
        const Layer layer{{dice.between(0.05, 4.0), dice.between(0.0, 5.0)}, dice.between(0.0, 600.0)};
        const Complex substrate(dice.between(0.05, 5.0), dice.between(0.0, 6.0));
        const double angle_deg = i % 4 == 0 ? 0.0 : dice.between(0.0, 89.0);
        const Polarisation polarisation = dice.polarisation();
        const auto got = stack_response(wavelength_nm, ambient, {&layer, 1}, substrate, angle_deg, polarisation);
        const Complex closed =
            ClosedFormula(wavelength_nm, angle_deg, polarisation).reflected(ambient, {&layer, 1}, substrate);
        // The sign of p light differs by convention, its size does not.
        const Complex amplitude = polarisation == Polarisation::s ? got.amplitude : -got.amplitude;
        worst = std::max(worst, std::abs(amplitude - closed));
        worst = std::max(worst, std::abs(got.reflectance - std::norm(closed)));
    }
    INFO("worst " << worst);
    CHECK(worst < 1e-12);
}

TEST_CASE("Stacks of up to six layers agree with the closed formula applied layer by layer", "[film]") {
    Dice dice;
    double worst = 0.0;
    for (int i = 0; i < 20000; ++i) {
        const double wavelength_nm = dice.between(300.0, 900.0);
        std::vector<Layer> layers(1 + dice.source() % 6);
        for (Layer& layer : layers) {
            const double k = dice.source() % 3 == 0 ? 0.0 : dice.between(0.0, 4.0);
            layer = {{dice.between(0.3, 4.0), k}, dice.between(0.0, 300.0)};
        }
        const Complex substrate(dice.between(0.05, 5.0), dice.between(0.0, 6.0));
        const double angle_deg = dice.between(0.0, 80.0);
        const Polarisation polarisation = dice.polarisation();
        const auto got = stack_response(wavelength_nm, 1.0, layers, substrate, angle_deg, polarisation);
        const Complex closed = ClosedFormula(wavelength_nm, angle_deg, polarisation).reflected(1.0, layers, substrate);
        worst = std::max(worst, std::abs(got.reflectance - std::norm(closed)));
    }
    INFO("worst " << worst);
    CHECK(worst < 1e-11);
}

TEST_CASE("Without absorption nothing is lost, at any angle and in both polarisations", "[film]") {
    Dice dice;
    double worst = 0.0;
    for (int i = 0; i < 20000; ++i) {
        std::vector<Layer> layers(dice.source() % 6);
        for (Layer& layer : layers) {
            layer = {dice.between(1.2, 4.0), dice.between(0.0, 500.0)};
        }
        const auto got = stack_response(dice.between(300.0, 900.0), 1.0, layers, dice.between(1.2, 4.0),
                                        dice.between(0.0, 89.0), dice.polarisation());
        worst = std::max(worst, std::abs(got.absorptance));
        REQUIRE((got.reflectance >= 0.0 && got.transmittance >= 0.0));
    }
    INFO("worst " << worst);
    CHECK(worst < 1e-11);
}

TEST_CASE("With absorption all three shares stay between 0 and 1, through layers of any thickness", "[film]") {
    Dice dice;
    for (int i = 0; i < 20000; ++i) {
        std::vector<Layer> layers(1 + dice.source() % 4);
        for (Layer& layer : layers) {
            layer = {{dice.between(0.05, 4.0), dice.between(0.0, 6.0)}, std::pow(10.0, dice.between(-1.0, 6.0))};
        }
        const auto got =
            stack_response(dice.between(300.0, 900.0), 1.0, layers, {dice.between(0.05, 5.0), dice.between(0.0, 6.0)},
                           dice.between(0.0, 89.0), dice.polarisation());
        REQUIRE((got.reflectance >= 0.0 && got.reflectance <= 1.0 + 1e-12));
        REQUIRE((got.transmittance >= 0.0 && got.transmittance <= 1.0 + 1e-12));
        REQUIRE(got.absorptance >= -1e-12);
    }
}

TEST_CASE("Textbook cases of reflection", "[film]") {
    const Complex glass = 1.5;
    // Bare glass: ((1.5 - 1) / (1.5 + 1))^2 = 4 %.
    CHECK_THAT(stack_response(550.0, 1.0, {}, glass).reflectance, WithinAbs(0.04, 1e-15));
    CHECK_THAT(stack_response(550.0, 1.0, {}, glass).transmittance, WithinAbs(0.96, 1e-15));
    // Quarter wave of index sqrt(1.5) takes the reflection away; a half wave of anything changes nothing.
    const Layer quarter{std::sqrt(1.5), 550.0 / (4.0 * std::sqrt(1.5))};
    CHECK_THAT(stack_response(550.0, 1.0, {&quarter, 1}, glass).reflectance, WithinAbs(0.0, 1e-15));
    const Layer half{2.3, 550.0 / (2.0 * 2.3)};
    CHECK_THAT(stack_response(550.0, 1.0, {&half, 1}, glass).reflectance, WithinAbs(0.04, 1e-14));
    // Brewster's angle: no p light comes back.
    const double brewster_deg = std::atan(1.5) * 180.0 / std::numbers::pi;
    CHECK_THAT(stack_response(550.0, 1.0, {}, glass, brewster_deg, Polarisation::p).reflectance, WithinAbs(0.0, 1e-15));
    CHECK(stack_response(550.0, 1.0, {}, glass, brewster_deg, Polarisation::s).reflectance > 0.1);
    // Beyond the critical angle all comes back.
    CHECK_THAT(stack_response(550.0, 1.5, {}, 1.0, 60.0, Polarisation::p).reflectance, WithinAbs(1.0, 1e-12));
    // A layer of no thickness is no layer.
    const Layer none{{2.0, 3.0}, 0.0};
    CHECK_THAT(stack_response(550.0, 1.0, {&none, 1}, glass).reflectance, WithinAbs(0.04, 1e-15));
}

// bulk_reflectance_checks.csv. Two kinds of row: computed elsewhere from the same table (to their rounding), and
// published measurements, which the model is known to miss by a few points.
TEST_CASE("Thick silver sulfide reflects what the bulk checks say", "[film]") {
    const auto numbers = numbers_of(data_file("optics/Ag2S_model_nk.csv"));
    const auto half_k = *optical_table(numbers, "k_x0.5");
    const auto double_k = *optical_table(numbers, "k_x2");
    const auto percent = [](const OpticalTable& table, double wavelength_nm) {
        return 100.0 * stack_response(wavelength_nm, 1.0, {}, *index_at(table, wavelength_nm)).reflectance;
    };
    int computed = 0;
    int published = 0;
    for (const Row& row : rows_of(case_file("optics/bulk_reflectance_checks.csv"))) {
        INFO(row.at("material") << ' ' << row.at("wavelength_nm"));
        if (row.at("material") == "Ag2S model") {
            const double wavelength_nm = number(row, "wavelength_nm");
            CHECK_THAT(percent(half_k, wavelength_nm), WithinAbs(number(row, "R_percent_min"), 0.051));
            CHECK_THAT(percent(double_k, wavelength_nm), WithinAbs(number(row, "R_percent_max"), 0.051));
            ++computed;
        } else if (row.at("material") == "acanthite Ag2S") {
            // One white-light figure, 30 %. At 550 nm the model is 2 to 5 points below it: stated in docs, not hidden.
            const double gap = number(row, "R_percent_min") - percent(half_k, 550.0);
            const double gap_double = number(row, "R_percent_min") - percent(double_k, 550.0);
            CHECK((gap > 0.0 && gap < 5.0));
            CHECK((gap_double > 0.0 && gap_double < 3.0));
            ++published;
        }
    }
    CHECK(computed == 4);
    CHECK(published == 1);
}

TEST_CASE("An uneven film is the average of its even parts", "[film]") {
    const auto viewing = Viewing::make(numbers_of(data_file("optics/cie1931_2deg_5nm.csv")),
                                       numbers_of(data_file("optics/illuminants_5nm.csv")), "D65");
    REQUIRE(viewing);
    const auto silver = *optical_table(numbers_of(data_file("optics/Ag_nk_Johnson1972.csv")));
    const auto sulfide = *optical_table(numbers_of(data_file("optics/Ag2S_model_nk.csv")), "k_x1");
    const auto film = FilmOnMetal::make(*viewing, sulfide, silver);
    REQUIRE(film);
    for (const double thickness_nm : {5.0, 31.0, 150.0}) {
        // A fine sum over the same normal law of log thickness, made here.
        std::vector<double> average(81, 0.0);
        double weight = 0.0;
        for (int i = -700; i <= 700; ++i) {
            const double z = i / 100.0;
            const double w = std::exp(-0.5 * z * z);
            const auto even = film->reflectance(thickness_nm * std::exp(0.2 * z));
            for (std::size_t j = 0; j < even.size(); ++j) {
                average[j] += w * even[j];
            }
            weight += w;
        }
        const auto uneven = film->reflectance(thickness_nm, 0.2);
        double worst = 0.0;
        for (std::size_t j = 0; j < uneven.size(); ++j) {
            worst = std::max(worst, std::abs(uneven[j] - average[j] / weight));
        }
        INFO("worst " << worst);
        CHECK(worst < 1e-8);
    }
    CHECK(film->reflectance(0.0, 0.2) == film->reflectance(0.0));
    // Unevenness washes colour out where orders overlap.
    CHECK(lch_from_lab(film->lab(120.0, 0.2)).c < 0.5 * lch_from_lab(film->lab(120.0)).c);
}

TEST_CASE("A film is refused where its constants do not reach", "[film]") {
    const auto viewing = Viewing::make(numbers_of(data_file("optics/cie1931_2deg_5nm.csv")),
                                       numbers_of(data_file("optics/illuminants_5nm.csv")), "D65");
    REQUIRE(viewing);
    const OpticalTable whole{{300.0, 1.5}, {900.0, 1.5}};
    const OpticalTable cut{{300.0, 1.5}, {700.0, 1.5}};
    CHECK(FilmOnMetal::make(*viewing, whole, whole));
    const auto refused = FilmOnMetal::make(*viewing, whole, cut);
    REQUIRE(!refused);
    CHECK(refused.error().code == "optics.range");
    CHECK(refused.error().message == "The optical constants do not reach 705 nm.");
}
