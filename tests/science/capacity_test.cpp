#include "science/capacity.hpp"
#include "chemistry_cases.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using tonebath::cases::chemistry_rows;

TEST_CASE("sulfur in films agrees with the table of films") {
    const std::map<std::string, Film> films = {
        {"Ag2S", Film::silver_sulfide}, {"Cu2S", Film::copper_i_sulfide}, {"CuS", Film::copper_ii_sulfide}};
    for (const auto& row : chemistry_rows("stoichiometry.csv")) {
        const Film film = films.at(row.at("film"));
        CHECK_THAT(film_molar_mass_g_per_mol(film), WithinAbs(std::stod(row.at("molar_mass_g_mol")), 0.001));
        CHECK_THAT(film_density_g_per_cm3(film), WithinAbs(std::stod(row.at("density_g_cm3")), 1e-9));
        constexpr double cm2_per_m2 = 1e4;
        CHECK_THAT(sulfur_mg_per_cm2_per_nm(film) * cm2_per_m2,
                   WithinRel(std::stod(row.at("mg_S_per_m2_per_nm")), 1e-4));
    }
}

TEST_CASE("what 24 pieces take from a bath") {
    // 100 nm of Ag2S: 9.4 µg of sulfide sulfur per cm2; 24 pieces of 20 cm2: 4.5 mg, at 1 µm 45 mg; 2 g as K2S: 580 mg.
    CHECK_THAT(sulfur_mg_per_cm2_per_nm(Film::silver_sulfide) * 100.0, WithinAbs(9.4e-3, 5e-5));
    CHECK_THAT(sulfide_as_k2s_mg(2.0).value(), WithinAbs(580.0, 2.0));
    const RateLaw session{.fade = FadeKind::first_order, .fade_per_h = 0.17};
    CapacityAsked asked{.sulfide_mg = 580.0, .area_cm2 = 480.0, .film_nm = 100.0, .hours = 3.0, .law = session};
    Capacity c = bath_capacity(asked).value();
    CHECK_THAT(c.taken_mg, WithinAbs(4.5, 0.05));
    CHECK(c.used_share < 0.01);
    CHECK_THAT(c.faded_share, WithinRel(1.0 - std::exp(-0.51), 1e-12));
    CHECK(c.by == BathEnd::fade);

    asked.film_nm = 1000.0;
    CHECK_THAT(bath_capacity(asked).value().taken_mg, WithinAbs(45.0, 0.5));
    asked.hours = 0.0;
    CHECK(bath_capacity(asked).value().by == BathEnd::use);
    asked.film_nm = 10.0;
    CHECK(bath_capacity(asked).value().by == BathEnd::neither);
}

TEST_CASE("wire gauge agrees with the table") {
    for (const auto& row : chemistry_rows("awg.csv")) {
        const int gauge = std::stoi(row.at("awg"));
        const double d = awg_diameter_mm(gauge).value();
        CHECK_THAT(d, WithinAbs(std::stod(row.at("diameter_mm")), 5.1e-5));
        CHECK(nearest_awg(d) == gauge);
        CHECK_THAT(wire_area_cm2(d, 1000.0).value(), WithinAbs(std::stod(row.at("surface_cm2_per_m_length")), 0.0051));
    }
    // By definition: No. 36 is 0.005 in, No. 0000 is 0.46 in. And 28 is 0.321 mm, 18 is 1.024 mm (from memory).
    CHECK_THAT(awg_diameter_mm(36).value(), WithinRel(0.127, 1e-12));
    CHECK_THAT(awg_diameter_mm(-3).value(), WithinRel(0.46 * 25.4, 1e-12));
    CHECK_THAT(awg_diameter_mm(28).value(), WithinAbs(0.321, 0.0005));
    CHECK_THAT(awg_diameter_mm(18).value(), WithinAbs(1.024, 0.0005));
    CHECK(nearest_awg(0.8) == 20);
    CHECK_FALSE(awg_diameter_mm(41));
    CHECK_FALSE(awg_diameter_mm(-4));
    CHECK_FALSE(nearest_awg(0.0));
    CHECK_FALSE(nearest_awg(30.0));
}

TEST_CASE("water density agrees with Kell's formula as tabulated and with a handbook table") {
    for (const auto& row : chemistry_rows("water.csv")) {
        const double t = std::stod(row.at("temp_C"));
        const double found = water_density_kg_per_m3(t).value();
        CHECK_THAT(found, WithinAbs(std::stod(row.at("density_kell1975_kg_m3")), 6e-5));
        if (!row.at("density_openstax_kg_m3").empty()) {
            // OpenStax prints 0.0030 more up to 30 °C and four figures above.
            CHECK_THAT(found, WithinAbs(std::stod(row.at("density_openstax_kg_m3")), 0.051));
        }
        CHECK_THAT(water_volume_ml(1.0, 20.0, t).value(), WithinAbs(std::stod(row.at("volume_relative_to_20C")), 1e-6));
        if (t >= 1.0 && !row.at("vapour_pressure_kPa").empty()) {
            CHECK_THAT(vapour_pressure_kpa(t).value(), WithinRel(std::stod(row.at("vapour_pressure_kPa")), 0.015));
        }
    }
    // The transposed denominator 16.897850e-3 would give 996.73 here.
    CHECK_THAT(water_density_kg_per_m3(25.0).value(), WithinAbs(997.045, 0.001));
    CHECK_THAT(water_volume_ml(500.0, 60.0, 20.0).value(), WithinAbs(492.5, 0.05));
    CHECK_FALSE(water_density_kg_per_m3(-1.0));
    CHECK_FALSE(water_density_kg_per_m3(std::nan("")));
}

TEST_CASE("water lost from a warm bath") {
    // Air at 20 °C and 50 %: 1.0, 3.7, 13.8 kg/(m2 h) at 40, 60, 80 °C, worked out apart from us with another formula
    // for the vapour pressure, hence 3 %; 250 mL in a vessel 7 cm wide: 14 g/h at 60 °C.
    constexpr double cm2_per_m2 = 1e4;
    const auto kg_per_h = [](double water_c) {
        return evaporation_g_per_h(water_c, 20.0, 50.0, cm2_per_m2).value() / 1000.0;
    };
    CHECK_THAT(kg_per_h(40.0), WithinAbs(1.0, 0.05));
    CHECK_THAT(kg_per_h(60.0), WithinRel(3.7, 0.03));
    CHECK_THAT(kg_per_h(80.0), WithinRel(13.8, 0.03));
    CHECK_THAT(evaporation_g_per_h(60.0, 20.0, 50.0, std::numbers::pi * 3.5 * 3.5).value(), WithinAbs(14.0, 0.5));
    CHECK(evaporation_g_per_h(10.0, 30.0, 90.0, 40.0).value() == 0.0);  // dew, not loss
    CHECK_FALSE(evaporation_g_per_h(60.0, 20.0, 120.0, 40.0));
    CHECK_FALSE(evaporation_g_per_h(99.0, 20.0, 50.0, 40.0));
    CHECK_FALSE(evaporation_g_per_h(60.0, 20.0, 50.0, 0.0));
}

TEST_CASE("areas, and what has none") {
    CHECK_THAT(sheet_area_cm2(20.0, 10.0).value(), WithinRel(4.0, 1e-12));
    CHECK_THAT(sheet_area_cm2(20.0, 10.0, 1.0).value(), WithinRel(4.6, 1e-12));
    CHECK_FALSE(sheet_area_cm2(0.0, 10.0));
    CHECK_FALSE(wire_area_cm2(1.0, -5.0));
    CHECK_FALSE(sulfide_as_k2s_mg(-1.0));
    CHECK_FALSE(bath_capacity({.sulfide_mg = 580.0, .area_cm2 = 0.0, .film_nm = 100.0}));
    CHECK_FALSE(bath_capacity({.sulfide_mg = 0.0, .area_cm2 = 20.0, .film_nm = 100.0}));
    CHECK_FALSE(bath_capacity({.sulfide_mg = 580.0, .area_cm2 = 20.0, .film_nm = 100.0, .hours = -1.0}));
    CHECK_FALSE(bath_capacity({.sulfide_mg = 580.0, .area_cm2 = std::nan(""), .film_nm = 100.0}));
}
