#include "science/spectrum.hpp"

#include "science/reference_tables.hpp"

#include <rapidcheck.h>

using namespace tonebath::science;
using namespace tonebath::test;
using Catch::Matchers::WithinAbs;

namespace {

Viewing viewing_under(const std::string& illuminant) {
    auto viewing = Viewing::make(numbers_of(data_file("optics/cie1931_2deg_5nm.csv")),
                                 numbers_of(data_file("optics/illuminants_5nm.csv")), illuminant);
    REQUIRE(viewing);
    return std::move(viewing).value();
}

}  // namespace

// white_points.csv: the same sums made elsewhere to six decimals, and the whites ASTM E308 prints (which sums at 1 nm
// over the full tables): 0.01 covers the difference of method.
TEST_CASE("White points from observer and illuminant are those of ASTM E308", "[colour]") {
    int seen = 0;
    for (const Row& row : rows_of(case_file("optics/white_points.csv"))) {
        const bool summed = row.at("set") == "summed_380_780_5nm";
        const std::string light = row.at("illuminant");
        if (!summed && !(row.at("set") == "ASTM_E308" && (light == "A" || light == "D50" || light == "D65"))) {
            continue;
        }
        ++seen;
        INFO(row.at("set") << ' ' << light);
        const Xyz white = viewing_under(light).white();
        const double within = summed ? 6e-7 : 0.01;
        CHECK_THAT(white.x, WithinAbs(number(row, "X"), within));
        CHECK_THAT(white.y, WithinAbs(100.0, 1e-12));
        CHECK_THAT(white.z, WithinAbs(number(row, "Z"), within));
    }
    CHECK(seen == 6);
}

TEST_CASE("A surface that reflects all wavelengths alike is a grey of that share under any light", "[colour]") {
    for (const char* light : {"A", "D50", "D65"}) {
        const Viewing viewing = viewing_under(light);
        REQUIRE(viewing.wavelengths_nm().size() == 81);
        const Lab grey = viewing.lab(std::vector<double>(81, 0.18));
        CHECK_THAT(grey.l, WithinAbs(49.496, 0.001));  // 116 * 0.18^(1/3) - 16
        CHECK_THAT(grey.a, WithinAbs(0.0, 1e-10));
        CHECK_THAT(grey.b, WithinAbs(0.0, 1e-10));
    }
}

TEST_CASE("Light that holds only long or only short waves has the hue it should", "[colour]") {
    const Viewing viewing = viewing_under("D65");
    std::vector<double> red(81, 0.0);
    std::vector<double> blue(81, 0.0);
    for (std::size_t i = 0; i < 81; ++i) {
        red[i] = viewing.wavelengths_nm()[i] >= 620.0 ? 1.0 : 0.0;
        blue[i] = viewing.wavelengths_nm()[i] <= 470.0 ? 1.0 : 0.0;
    }
    CHECK(viewing.lab(red).a > 50.0);
    CHECK(viewing.lab(red).b > 20.0);
    CHECK(viewing.lab(blue).b < -80.0);
}

TEST_CASE("A viewing is refused when its tables lack what it needs", "[colour]") {
    const auto observer = numbers_of(data_file("optics/cie1931_2deg_5nm.csv"));
    const auto lights = numbers_of(data_file("optics/illuminants_5nm.csv"));
    CHECK(!Viewing::make(observer, lights, "F11"));
    CHECK(!Viewing::make(lights, lights, "D65"));
    NumberTable coarse = lights;
    for (auto& column : coarse.columns) {
        column.erase(column.begin() + 40);
    }
    const auto refused = Viewing::make(observer, coarse, "D65");
    REQUIRE(!refused);
    CHECK(refused.error().code == "optics.table");
    CHECK(refused.error().message == "There is no row for 500 nm.");
}

TEST_CASE("Optical constants run straight between rows and are never extended", "[colour]") {
    const OpticalTable table{{400.0, {1.0, 0.5}}, {500.0, {2.0, 0.0}}, {600.0, {1.5, 1.0}}};
    CHECK(index_at(table, 400.0) == std::complex<double>(1.0, 0.5));
    CHECK(index_at(table, 600.0) == std::complex<double>(1.5, 1.0));
    const auto middle = index_at(table, 425.0);
    REQUIRE(middle);
    CHECK_THAT(middle->real(), WithinAbs(1.25, 1e-15));
    CHECK_THAT(middle->imag(), WithinAbs(0.375, 1e-15));
    CHECK(!index_at(table, 399.999));
    CHECK(!index_at(table, 600.001));
    CHECK(!index_at({}, 500.0));
}

TEST_CASE("Optical tables with impossible figures are refused", "[colour]") {
    const auto made = [](const std::string& text) {
        const auto numbers = parse_number_table(text);
        REQUIRE(numbers);
        return optical_table(*numbers);
    };
    CHECK(made("wavelength_nm,n,k\n400,1.5,0\n410,1.4,2\n"));
    CHECK(!made("wavelength_nm,n\n400,1.5\n"));
    CHECK(!made("wavelength_nm,n,k\n400,1.5,-0.1\n"));
    CHECK(!made("wavelength_nm,n,k\n400,0,1\n"));
    CHECK(!made("wavelength_nm,n,k\n410,1.5,0\n400,1.4,2\n"));
    CHECK(!made("wavelength_nm,n,k\n400,1.5,0\n400,1.4,2\n"));
}

TEST_CASE("Number tables are read strictly and say where they fail", "[colour]") {
    const auto table =
        parse_number_table("# source: a paper, 1972\r\nwavelength_nm,n\r\n400,1.5\r\n# note\r\n\r\n410,-2e-3");
    REQUIRE(table);
    CHECK(table->rows() == 2);
    CHECK(table->names == std::vector<std::string>{"wavelength_nm", "n"});
    CHECK(table->columns[1][1] == -2e-3);
    CHECK(table->find("n") == 1U);
    CHECK(!table->find("k"));
    struct Bad {
        const char* text;
        const char* place;
    };
    for (const Bad bad :
         {Bad{"", "line 0"}, Bad{"a,b\n", "line 1"}, Bad{"a,b\n1,2\n3\n", "line 3"}, Bad{"a,b\n1,2,3\n", "line 2"},
          Bad{"a\n1,5\n", "line 2"}, Bad{"a\nnan\n", "line 2"}, Bad{"a\ninf\n", "line 2"}, Bad{"a\n1e999\n", "line 2"},
          Bad{"a\n 1\n", "line 2"}, Bad{"a\n1 \n", "line 2"}, Bad{"a,b\n1,\n", "line 2"}}) {
        INFO(bad.text);
        const auto refused = parse_number_table(bad.text);
        REQUIRE(!refused);
        CHECK(refused.error().field == std::string("data file, ") + bad.place);
    }
}

TEST_CASE("No text breaks the reader of number tables", "[colour][property]") {
    CHECK(rc::check([](const std::string& text) {
        const auto table = parse_number_table(text);
        if (table) {
            for (const auto& column : table->columns) {
                RC_ASSERT(column.size() == table->rows());
            }
        }
    }));
}

TEST_CASE("Every optical table shipped is whole and covers the light we see", "[colour]") {
    for (const char* name : {"Ag_nk_Johnson1972.csv"}) {
        const auto table = optical_table(numbers_of(data_file(std::string("optics/") + name)));
        REQUIRE(table);
        CHECK((index_at(*table, 380.0) && index_at(*table, 780.0)));
    }
    const auto sulfide = numbers_of(data_file("optics/Ag2S_model_nk.csv"));
    for (const char* column : {"k_x1", "k_x0.5", "k_x2"}) {
        const auto table = optical_table(sulfide, column);
        REQUIRE(table);
        CHECK((index_at(*table, 380.0) && index_at(*table, 780.0)));
    }
    // The shipped doubles and halves of the absorption are what they say, so that a factor may stand for them.
    const auto k1 = *optical_table(sulfide, "k_x1");
    const auto k2 = *optical_table(sulfide, "k_x2");
    for (std::size_t i = 0; i < k1.size(); ++i) {
        CHECK_THAT(k2[i].index.imag(), WithinAbs(2.0 * k1[i].index.imag(), 1.1e-5));
    }
}
