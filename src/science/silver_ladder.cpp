#include "science/silver_ladder.hpp"

#include "base/check.hpp"
#include "science/colour_difference.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

Lab mean_of(const Lab& first, const Lab& second) {
    return {0.5 * (first.l + second.l), 0.5 * (first.a + second.a), 0.5 * (first.b + second.b)};
}

double rung_nm(std::size_t tone) {
    return kSilverTones[tone].film_nm.value();
}

}  // namespace

Result<SilverLadder> SilverLadder::make(const Viewing& viewing, std::span<const OpticalRow> silver,
                                        std::span<const OpticalRow> sulfide) {
    auto k1 = FilmOnMetal::make(viewing, sulfide, silver);
    if (!k1) {
        return k1.error();
    }
    auto k2 = FilmOnMetal::make(viewing, sulfide, silver, {.n_factor = 1.0, .k_factor = 2.0});
    if (!k2) {
        return k2.error();
    }
    return SilverLadder(std::move(k1).value(), std::move(k2).value());
}

LadderColour SilverLadder::colour_at(double film_nm) const {
    LadderColour colour;
    colour.even_k1 = k1_.lab(film_nm);
    colour.even_k2 = k2_.lab(film_nm);
    colour.uneven_k1 = k1_.lab(film_nm, kPatinaUnevenness);
    colour.uneven_k2 = k2_.lab(film_nm, kPatinaUnevenness);
    colour.middle = mean_of(colour.even_k1, colour.even_k2);
    for (const Lab& other : {colour.even_k1, colour.even_k2, colour.uneven_k1, colour.uneven_k2}) {
        colour.band_de00 = std::max(colour.band_de00, delta_e2000(colour.middle, other));
    }
    return colour;
}

std::vector<PathPoint> SilverLadder::path(int steps, Surface surface) const {
    TB_CHECK(steps >= 1);
    const double unevenness = surface == Surface::uneven ? kPatinaUnevenness : 0.0;
    std::vector<PathPoint> points;
    const int last = steps * static_cast<int>(kSilverFilmTones - 1);
    for (int i = 0; i <= last; ++i) {
        const double place = static_cast<double>(i) / steps;
        const double film_nm = film_nm_at(place).value();
        points.push_back({place, mean_of(k1_.lab(film_nm, unevenness), k2_.lab(film_nm, unevenness))});
    }
    return points;
}

double SilverLadder::place_of(double film_nm) {
    TB_CHECK(film_nm >= 0.0);
    for (std::size_t tone = 1; tone < kSilverFilmTones; ++tone) {
        if (film_nm < rung_nm(tone)) {
            const double share = (film_nm - rung_nm(tone - 1)) / (rung_nm(tone) - rung_nm(tone - 1));
            return static_cast<double>(tone - 1) + share;
        }
    }
    return static_cast<double>(kSilverFilmTones - 1);
}

std::optional<double> SilverLadder::film_nm_at(double place) {
    if (!(place >= 0.0 && place <= static_cast<double>(kSilverFilmTones - 1))) {
        return std::nullopt;
    }
    const auto tone = std::min(static_cast<std::size_t>(place), kSilverFilmTones - 2);
    const double share = place - static_cast<double>(tone);
    return rung_nm(tone) + share * (rung_nm(tone + 1) - rung_nm(tone));
}

}  // namespace tonebath::science
