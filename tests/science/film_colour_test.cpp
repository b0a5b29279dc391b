#include "science/silver_ladder.hpp"

#include "science/colour_difference.hpp"
#include "science/reference_tables.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

using namespace tonebath::science;
using namespace tonebath::test;
using Catch::Matchers::WithinAbs;

namespace {

Viewing daylight() {
    auto viewing = Viewing::make(numbers_of(data_file("optics/cie1931_2deg_5nm.csv")),
                                 numbers_of(data_file("optics/illuminants_5nm.csv")), "D65");
    REQUIRE(viewing);
    return std::move(viewing).value();
}

OpticalTable table_of(const std::string& path, const std::string& k_column = "k") {
    auto table = optical_table(numbers_of(path), k_column);
    REQUIRE(table);
    return std::move(table).value();
}

FilmOnMetal film_of(const OpticalTable& film, const OpticalTable& substrate, FilmFactors factors = {}) {
    auto made = FilmOnMetal::make(daylight(), film, substrate, factors);
    REQUIRE(made);
    return std::move(made).value();
}

// Fused silica: Malitson, J. Opt. Soc. Am. 55 (1965) 1205; coefficients as in the head of sio2_on_si_colour_chart.csv.
OpticalTable fused_silica() {
    constexpr double kB[] = {0.6961663, 0.4079426, 0.8974794};
    constexpr double kC_um[] = {0.0684043, 0.1162414, 9.896161};
    OpticalTable table;
    for (int wavelength_nm = 380; wavelength_nm <= 780; wavelength_nm += 5) {
        const double square_um2 = wavelength_nm * wavelength_nm * 1e-6;
        double n2 = 1.0;
        for (int i = 0; i < 3; ++i) {
            n2 += kB[i] * square_um2 / (square_um2 - kC_um[i] * kC_um[i]);
        }
        table.push_back({static_cast<double>(wavelength_nm), std::sqrt(n2)});
    }
    return table;
}

struct Sector {
    double from_deg;
    double to_deg;
    bool metallic = false;

    bool holds(const Lab& colour) const {
        const Lch lch = lch_from_lab(colour);
        if (metallic && lch.c < 10.0) {
            return true;
        }
        return from_deg <= to_deg ? lch.h_deg >= from_deg && lch.h_deg <= to_deg
                                  : lch.h_deg >= from_deg || lch.h_deg <= to_deg;
    }
};

// How far in thickness from `film_nm` the nearest colour in the sector lies, looking 60 nm each way.
double sector_error_nm(const FilmOnMetal& film, double film_nm, const Sector& sector) {
    for (int tenth = 0; tenth <= 600; ++tenth) {
        const double off_nm = tenth / 10.0;
        if (sector.holds(film.lab(film_nm - off_nm)) || sector.holds(film.lab(film_nm + off_nm))) {
            return off_nm;
        }
    }
    return 60.0;
}

// First thickness past `from_nm`, below 120 nm, whose colour is in the sector and not grey.
std::optional<double> first_nm(const FilmOnMetal& film, double from_nm, const Sector& sector) {
    for (double film_nm = from_nm; film_nm < 120.0; film_nm += 0.1) {
        if (sector.holds(film.lab(film_nm)) && lch_from_lab(film.lab(film_nm)).c > 5.0) {
            return film_nm;
        }
    }
    return std::nullopt;
}

SilverLadder ladder() {
    auto made = SilverLadder::make(daylight(), table_of(data_file("optics/Ag_nk_Johnson1972.csv")),
                                   table_of(data_file("optics/Ag2S_model_nk.csv"), "k_x1"));
    REQUIRE(made);
    return std::move(made).value();
}

FilmOnMetal sulfide_on_silver(const std::string& k_column, FilmFactors factors = {}) {
    return film_of(table_of(data_file("optics/Ag2S_model_nk.csv"), k_column),
                   table_of(data_file("optics/Ag_nk_Johnson1972.csv")), factors);
}

}  // namespace

// University of Illinois, Theory and Fabrication of Integrated Circuits, table GT7; sectors in sio2_hue_sectors.csv.
// The best published table of thickness and colour there is, and an end-to-end check of optics and colour together.
TEST_CASE("Oxide on silicon shows the named hue within 15 nm from 100 to 540 nm", "[film]") {
    const auto silicon = table_of(case_file("optics/Si_nk_Green2008.csv"));
    const auto film = film_of(fused_silica(), silicon);
    const auto chart = rows_of(case_file("optics/sio2_on_si_colour_chart.csv"));
    double worst_nm = 0.0;
    double sum_nm = 0.0;
    int rows = 0;
    for (const Row& row : rows_of(case_file("optics/sio2_hue_sectors.csv"))) {
        const double film_nm = number(row, "thickness_nm");
        const auto named = std::find_if(chart.begin(), chart.end(),
                                        [&](const Row& r) { return number(r, "thickness_nm") == film_nm; });
        REQUIRE(named != chart.end());
        const Sector sector{number(row, "from_deg"), number(row, "to_deg"), number(row, "metallic") > 0.0};
        const double off_nm = sector_error_nm(film, film_nm, sector);
        INFO(film_nm << " nm, " << named->at("colour_name") << ", off by " << off_nm << " nm");
        CHECK(off_nm <= 15.0);
        worst_nm = std::max(worst_nm, off_nm);
        sum_nm += off_nm;
        ++rows;
    }
    const auto in_range = [](const Row& r) {
        return number(r, "thickness_nm") >= 100.0 && number(r, "thickness_nm") <= 540.0;
    };
    CHECK(rows == std::count_if(chart.begin(), chart.end(), in_range));
    // What the docs state.
    CHECK(worst_nm <= 11.2);
    CHECK(sum_nm / rows <= 1.2);
}

TEST_CASE("The oxide check would notice a film a tenth too thick or thin", "[film]") {
    const auto silicon = table_of(case_file("optics/Si_nk_Green2008.csv"));
    for (const double factor : {0.9, 1.1}) {
        const auto wrong = film_of(fused_silica(), silicon, {.n_factor = factor, .k_factor = 1.0});
        int missed = 0;
        for (const Row& row : rows_of(case_file("optics/sio2_hue_sectors.csv"))) {
            const Sector sector{number(row, "from_deg"), number(row, "to_deg"), number(row, "metallic") > 0.0};
            missed += sector_error_nm(wrong, number(row, "thickness_nm"), sector) > 15.0 ? 1 : 0;
        }
        INFO("factor " << factor);
        CHECK(missed >= 10);
    }
}

// tarnish_colour_checks.csv, carbon on polished brass: Kerrick, Eminhizer and Villaume 1973, table 2. An order check;
// with these constants violet and blue come at about one and a half times the published thickness.
TEST_CASE("Carbon on brass passes through its published colours in order", "[film]") {
    std::vector<std::pair<double, std::string>> published;
    for (const Row& row : rows_of(case_file("optics/tarnish_colour_checks.csv"))) {
        if (row.at("film") == "carbon (evaporated)") {
            published.emplace_back(number(row, "thickness_nm_min"), row.at("colour"));
        }
    }
    REQUIRE(published.size() == 7);
    REQUIRE(std::is_sorted(published.begin(), published.end()));
    const auto film = film_of(table_of(case_file("optics/C_amorphous_nk_Arakawa1985.csv")),
                              table_of(case_file("optics/CuZn30_brass_nk_Querry1985.csv")));
    // "Bluish green" is printed before "greenish blue", against the order of hues: both stand for blue-green.
    const Sector sectors[] = {{40, 75}, {295, 345}, {240, 290}, {190, 235}, {190, 235}, {130, 190}, {70, 120}};
    double from_nm = 0.0;
    for (std::size_t i = 0; i < published.size(); ++i) {
        const auto found_nm = first_nm(film, from_nm, sectors[i]);
        INFO(published[i].second << ", published " << published[i].first << " nm");
        REQUIRE(found_nm);
        from_nm = *found_nm;
        const double ratio = *found_nm / published[i].first;
        INFO("computed " << *found_nm << " nm, ratio " << ratio);
        CHECK((ratio > 0.85 && ratio < 1.9));  // the differences of scale that the docs state
    }
}

// Same file, silver: "yellow, then red-brown, then blue" between 10 and 100 nm; yellow at 40 nm; interference films in
// general yellow at 40 and first blue below 70 nm. A dense film of the model gets there at well under half of that.
TEST_CASE("Silver sulfide passes yellow, red and blue in the published order, at thinner films", "[film]") {
    double range_min_nm = 0.0, range_max_nm = 0.0, yellow_nm = 0.0, blue_below_nm = 0.0;
    for (const Row& row : rows_of(case_file("optics/tarnish_colour_checks.csv"))) {
        if (row.at("trust").find("not for a test") != std::string::npos) {
            continue;
        }
        if (row.at("film") == "Ag2S" && row.at("colour").rfind("yellow, then red-brown, then blue", 0) == 0) {
            range_min_nm = number(row, "thickness_nm_min");
            range_max_nm = number(row, "thickness_nm_max");
        } else if (row.at("film") == "Ag2S" && row.at("colour").rfind("yellow at first", 0) == 0) {
            yellow_nm = number(row, "thickness_nm_min");
        } else if (row.at("colour").rfind("first blue", 0) == 0) {
            blue_below_nm = number(row, "thickness_nm_max");
        }
    }
    REQUIRE((range_min_nm == 10.0 && range_max_nm == 100.0 && yellow_nm == 40.0 && blue_below_nm == 70.0));
    const auto usual = sulfide_on_silver("k_x1");
    for (const char* k_column : {"k_x0.5", "k_x1", "k_x2"}) {
        for (const double n_factor : {0.9, 1.0, 1.1}) {
            const auto film = sulfide_on_silver(k_column, {.n_factor = n_factor, .k_factor = 1.0});
            const auto yellow = first_nm(film, 1.0, {70, 100});
            REQUIRE(yellow);
            const auto red = first_nm(film, *yellow, {350, 45});
            REQUIRE(red);
            const auto blue = first_nm(film, *red, {230, 300});
            REQUIRE(blue);
            INFO(k_column << ", n x" << n_factor << ": yellow " << *yellow << ", red " << *red << ", blue " << *blue
                          << " nm");
            CHECK((*yellow < *red && *red < *blue));
            CHECK((*red > range_min_nm && *blue < range_max_nm));
            CHECK(*blue < blue_below_nm);
            // The difference of scale that the docs state: 40 nm of published yellow lies past the model's first blue.
            CHECK(*yellow < 0.5 * yellow_nm);
            const double red_scale = *red / *first_nm(usual, 15.0, {350, 45});
            const double blue_scale = *blue / *first_nm(usual, 22.0, {230, 300});
            CHECK((red_scale > 1.0 - kThinnerShare && red_scale < 1.0 + kThickerShare));
            CHECK((blue_scale > 1.0 - kThinnerShare && blue_scale < 1.0 + kThickerShare));
        }
    }
}

// The head of Ag_nk_Johnson1972.csv: a flat surface has L* 99.4, a* 0.1, b* 0.4.
TEST_CASE("Bare silver is nearly white", "[film]") {
    const LadderColour bare = ladder().colour_at(0.0);
    CHECK_THAT(bare.middle.l, WithinAbs(99.4, 0.05));
    CHECK_THAT(bare.middle.a, WithinAbs(0.1, 0.05));
    CHECK_THAT(bare.middle.b, WithinAbs(0.4, 0.05));
    CHECK(bare.band_de00 < 1e-9);
}

TEST_CASE("The silver ladder is ordered, told apart, and carries the hues of its display colours", "[film]") {
    const SilverLadder silver = ladder();
    // Display colours of the scale; their chroma and lightness were set for the screen, their hue is this ladder's.
    const char* shown[] = {"#dddddc", "#dfd3aa", "#d5b764", "#c68c2d", "#a85469", "#84397d", "#5b5aa1"};
    const double stated_band_de00[] = {0.0, 3.0, 4.3, 7.0, 14.3, 19.3, 18.9};
    LadderColour before = silver.colour_at(0.0);
    for (std::size_t tone = 1; tone < kSilverFilmTones; ++tone) {
        INFO(kSilverTones[tone].word);
        REQUIRE(kSilverTones[tone].film_nm);
        CHECK(*kSilverTones[tone].film_nm > *kSilverTones[tone - 1].film_nm);
        const LadderColour here = silver.colour_at(*kSilverTones[tone].film_nm);
        CHECK(delta_e2000(before.middle, here.middle) > 8.0);
        const auto rgb = rgb8_from_hex(shown[tone]);
        REQUIRE(rgb);
        const Lch display = lch_from_lab(lab_from_srgb(srgb_from_8bit(*rgb)));
        CHECK_THAT(lch_from_lab(here.middle).h_deg, WithinAbs(display.h_deg, 1.0));
        // What is not known about the film, beside a just visible difference of about 1: never for matching. Docs carry
        // these.
        CHECK_THAT(here.band_de00, WithinAbs(stated_band_de00[tone], 0.05));
        before = here;
    }
    for (std::size_t tone = kSilverFilmTones; tone < kSilverTones.size(); ++tone) {
        CHECK(!kSilverTones[tone].film_nm);
    }
}

TEST_CASE("Lightness falls to blue and rises again: darker is not further along", "[film]") {
    for (const char* k_column : {"k_x1", "k_x2"}) {
        const auto film = sulfide_on_silver(k_column);
        CHECK(film.lab(8.0).l > film.lab(17.0).l);
        CHECK(film.lab(17.0).l > film.lab(26.0).l);
        CHECK(film.lab(50.0).l > film.lab(31.0).l + 20.0);
    }
}

TEST_CASE("Places and thicknesses of the ladder go there and back", "[film]") {
    for (double place = 0.0; place <= 6.0; place += 0.05) {
        const auto film_nm = SilverLadder::film_nm_at(place);
        REQUIRE(film_nm);
        CHECK_THAT(SilverLadder::place_of(*film_nm), WithinAbs(place, 1e-12));
    }
    CHECK(SilverLadder::film_nm_at(2.0) == 12.5);
    CHECK(SilverLadder::place_of(500.0) == 6.0);
    CHECK(!SilverLadder::film_nm_at(-0.001));
    CHECK(!SilverLadder::film_nm_at(6.001));
    CHECK(!SilverLadder::film_nm_at(std::nan("")));
}

TEST_CASE("A colour computed for a film is found at its own place on the ladder", "[film]") {
    const SilverLadder silver = ladder();
    const auto path = silver.path(8, SilverLadder::Surface::even);
    REQUIRE(path.size() == 49);
    for (const double film_nm : {4.0, 10.0, 15.0, 20.0, 24.0, 28.0}) {
        const auto found = place_on_path(path, silver.colour_at(film_nm).middle, 1.0);
        CHECK_THAT(found.places.front().place, WithinAbs(SilverLadder::place_of(film_nm), 0.05));
        CHECK(!found.off_path);
    }
    const auto uneven = silver.path(8, SilverLadder::Surface::uneven);
    const LadderColour purple = silver.colour_at(26.0);
    const auto found = place_on_path(uneven, purple.uneven_k1, 3.0);
    INFO(found.places.front().place);
    CHECK(std::abs(found.places.front().place - 5.0) < 1.0);
}
