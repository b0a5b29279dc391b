// The colours a dense, flat film of silver sulfide on silver would show, as a ladder of tone words.
//
// Trust: a model, for order and spacing only. Its refractive index is known to 10 %, its absorption to a factor of 2,
// and a real patina is rougher and more uneven than any model film. Never for matching a colour and never shown as
// nanometres: on screen it is a tone. A studio's own strips replace it. See docs/formulas/thin_film.md.
#pragma once

#include "science/colour_path.hpp"
#include "science/thin_film.hpp"

#include <array>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace tonebath::science {

struct SilverTone {
    std::string_view word;
    // Thickness of a dense film whose hue gave the tone its colour; nothing where optics says nothing: a smooth thick
    // film stays near 30 % reflectance, so gunmetal, dark grey and black come from roughness.
    std::optional<double> film_nm;
};

// The default scale on silver, in order. Thicknesses chosen for evenly told tones, not measured: the same as in the
// theme's display colours.
inline constexpr std::array<SilverTone, 10> kSilverTones{{{"bright", 0.0},
                                                          {"straw", 8.0},
                                                          {"gold", 12.5},
                                                          {"amber", 17.0},
                                                          {"magenta", 22.8},
                                                          {"purple", 26.0},
                                                          {"blue", 31.0},
                                                          {"gunmetal", std::nullopt},
                                                          {"dark grey", std::nullopt},
                                                          {"black", std::nullopt}}};
inline constexpr std::size_t kSilverFilmTones = 7;  // those with a thickness, bright to blue
inline constexpr double kPatinaUnevenness = 0.2;  // standard deviation of log thickness over a surface (our assumption)
// With n wrong by 10 % and k by a factor of 2 the same red or blue stands at films this much thinner or thicker
// (computed).
inline constexpr double kThinnerShare = 0.18;
inline constexpr double kThickerShare = 0.21;

// One thickness seen through what is not known about the film.
struct LadderColour {
    Lab middle;  // mean of the two even films: the colour of the ladder
    Lab even_k1;
    Lab even_k2;    // absorption twice the table's
    Lab uneven_k1;  // thickness uneven by kPatinaUnevenness
    Lab uneven_k2;
    double band_de00 = 0.0;  // greatest CIEDE2000 from the middle to any of the four
};

class SilverLadder {
public:
    // `silver` and `sulfide` (absorption as tabled, "k_x1") reach over the wavelengths of `viewing`, or it is refused.
    [[nodiscard]] static Result<SilverLadder> make(const Viewing& viewing, std::span<const OpticalRow> silver,
                                                   std::span<const OpticalRow> sulfide);

    // film_nm >= 0.
    [[nodiscard]] LadderColour colour_at(double film_nm) const;
    // Colours from bright to blue for place_on_path(), `steps` between neighbouring tones (at least 1). Uneven films
    // are nearer to what is seen on a bench; even ones are what the display colours came from.
    enum class Surface { even, uneven };
    [[nodiscard]] std::vector<PathPoint> path(int steps, Surface surface) const;

    // Place on the scale (0 bright ... 6 blue) of a film, straight in thickness between the tones; 6 for anything
    // thicker.
    [[nodiscard]] static double place_of(double film_nm);
    // Dense-film equivalent of a place from 0 to 6; nothing outside.
    [[nodiscard]] static std::optional<double> film_nm_at(double place);

private:
    SilverLadder(FilmOnMetal k1, FilmOnMetal k2) : k1_(std::move(k1)), k2_(std::move(k2)) {}

    FilmOnMetal k1_;
    FilmOnMetal k2_;
};

}  // namespace tonebath::science
