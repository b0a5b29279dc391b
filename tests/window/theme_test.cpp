// The look is data: that the reader is strict, that the themes are the agreed ones, that every pair of colours can be
// read (WCAG 2.2, success criteria 1.4.3 and 1.4.11: contrast ratio from relative luminance), and that states stay
// apart for eyes that see colour differently.
#include "science/colour_difference.hpp"
#include "science/colour_vision.hpp"
#include "window/driver.hpp"

#include <toml++/toml.h>
#include <catch2/catch.hpp>

#include <cmath>
#include <fstream>
#include <limits>
#include <sstream>

namespace tonebath::testing {

namespace {

using namespace tonebath::window;
namespace fs = std::filesystem;

const fs::path kThemes = fs::path(TONEBATH_SOURCE_DIR) / "data" / "themes";

std::string read_all(const fs::path& file) {
    std::ifstream in(file);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

fs::path scratch(const std::string& name, const std::string& text) {
    const fs::path folder = fs::temp_directory_path() / "tonebath-theme-test";
    fs::create_directories(folder);
    std::ofstream(folder / name) << text;
    return folder / name;
}

const toml::table& tokens() {
    static const toml::table table = toml::parse_file(std::string(TONEBATH_CASES_DIR) + "/look/tokens.toml");
    return table;
}

const Theme& theme_called(std::string_view key) {
    const LookBook& book = Driver::look_book();
    return key == "dark" ? book.slate : key == "light" ? book.chalk : book.contrast;
}

// Relative luminance, WCAG 2.2 definition.
double luminance(Colour c) {
    const auto linear = [](std::uint8_t value) {
        const double s = value / 255.0;
        return s <= 0.04045 ? s / 12.92 : std::pow((s + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * linear(c.r) + 0.7152 * linear(c.g) + 0.0722 * linear(c.b);
}

double contrast(Colour a, Colour b) {
    const double x = luminance(a);
    const double y = luminance(b);
    return (std::max(x, y) + 0.05) / (std::min(x, y) + 0.05);
}

science::Lab lab_of(Colour c, science::ColourVision eyes) {
    const science::Srgb seen = science::srgb_from_8bit({c.r, c.g, c.b});
    return science::lab_from_srgb(science::as_seen_by(eyes, seen));
}

}  // namespace

TEST_CASE("the three themes hold the agreed colours", "[theme]") {
    for (const std::string key : {"dark", "light", "contrast"}) {
        const Theme& theme = theme_called(key);
        const toml::table& agreed = *tokens()["theme"][key].as_table();
        CHECK(theme.name == agreed["name"].value_or(std::string()));
        for (int i = 0; i < kRoleCount; ++i) {
            const Role role = static_cast<Role>(i);
            INFO(key << " " << role_name(role));
            CHECK(theme[role].hex() == agreed[role_name(role)].value_or(std::string()));
            CHECK(role_from_name(role_name(role)) == role);
        }
        CHECK_THAT(static_cast<double>(theme.film_not_yet_alpha),
                   Catch::WithinAbs(agreed["film_not_yet_alpha"].value_or(0.0), 1e-6));
    }
    const Look& look = Driver::look_book().look;
    for (const auto& [word, tone] : *tokens()["scale"]["silver"].as_table()) {
        const int at = look.silver.index_of(word.str());
        INFO(word.str());
        REQUIRE(at >= 0);
        CHECK(look.silver.tones[static_cast<std::size_t>(at)].colour->hex() ==
              tone.as_table()->get("colour")->value_or(std::string()));
    }
    for (int i = 0; i < kTypeCount; ++i) {
        const Type type = static_cast<Type>(i);
        INFO(type_name(type));
        // Capitals of 6 em are 70 px, less than a tenth of a window of 800: what is read from two metres is larger here.
        const double agreed_em = type == Type::next ? 7.0 : tokens()["type"][type_name(type)]["size"].value_or(0.0);
        CHECK_THAT(static_cast<double>(look[type].size_em), Catch::WithinAbs(agreed_em, 1e-6));
        CHECK(look[type].file == tokens()["type"][type_name(type)]["file"].value_or(std::string()));
    }
}

TEST_CASE("every pair of colours in use can be read in every theme", "[theme]") {
    const toml::array& pairs = *tokens()["pair"].as_array();
    CHECK(pairs.size() == 51);
    for (const toml::node& node : pairs) {
        const toml::table& pair = *node.as_table();
        const auto fg = role_from_name(pair["fg"].value_or(std::string()));
        const auto bg = role_from_name(pair["bg"].value_or(std::string()));
        REQUIRE((fg && bg));
        for (const std::string key : {"dark", "light", "contrast"}) {
            const double ratio = contrast(theme_called(key)[*fg], theme_called(key)[*bg]);
            INFO(key << ": " << role_name(*fg) << " on " << role_name(*bg) << " is " << ratio);
            CHECK(ratio >= pair["min"].value_or(99.0));
            // The agreed figures are rounded down to a tenth.
            CHECK_THAT(std::floor(ratio * 10 + 1e-9) / 10, Catch::WithinAbs(pair["ratio"][key].value_or(0.0), 1e-9));
        }
    }
}

TEST_CASE("states and neighbouring tones stay apart for all eyes", "[theme]") {
    using Eyes = science::ColourVision;
    const std::vector<Eyes> all{Eyes::usual, Eyes::protan, Eyes::deutan, Eyes::tritan};
    // Least CIEDE2000 between any two of copper, done, look, stop, unknown: normal, protan, deutan, tritan (look, 2.3).
    const std::map<std::string, std::vector<double>> agreed{
        {"dark", {22, 12, 11, 13}}, {"light", {19, 6, 9, 10}}, {"contrast", {24, 7, 8, 8}}};
    for (const auto& [key, least_wanted] : agreed) {
        for (std::size_t e = 0; e < all.size(); ++e) {
            double least = std::numeric_limits<double>::max();
            const std::vector<Role> roles{Role::copper, Role::done, Role::look, Role::stop, Role::unknown};
            for (std::size_t i = 0; i < roles.size(); ++i) {
                for (std::size_t j = i + 1; j < roles.size(); ++j) {
                    least = std::min(least, science::delta_e2000(lab_of(theme_called(key)[roles[i]], all[e]),
                                                                 lab_of(theme_called(key)[roles[j]], all[e])));
                }
            }
            INFO(key << ", eyes " << e << ": " << least);
            CHECK_THAT(least, Catch::WithinAbs(least_wanted[e], 1.0));
        }
    }
    // Neighbouring tones: 8, rounded; purple and blue are the close pair for red-green eyes, so words and ticks stay
    // on.
    const DrawnScale& silver = Driver::look_book().look.silver;
    for (std::size_t i = 1; i < silver.tones.size(); ++i) {
        for (const Eyes eyes : all) {
            INFO(silver.tones[i - 1].word << " and " << silver.tones[i].word);
            CHECK(science::delta_e2000(lab_of(*silver.tones[i - 1].colour, eyes),
                                       lab_of(*silver.tones[i].colour, eyes)) >= 7.5);
        }
    }
}

TEST_CASE("a theme file is read strictly", "[theme]") {
    const std::string slate = read_all(kThemes / "slate.toml");
    CHECK(load_theme(scratch("good.toml", slate)).has_value());
    const auto refused = [](const std::string& text) {
        const auto result = load_theme(scratch("bad.toml", text));
        REQUIRE_FALSE(result.has_value());
        return result.error().text();
    };
    CHECK_THAT(refused(replaced(slate, "copper = \"#d4966a\"\n", "")), Catch::Contains("copper is missing"));
    CHECK_THAT(refused(replaced(slate, "#d4966a", "#d4966")), Catch::Contains("not a colour"));
    CHECK_THAT(refused(replaced(slate, "#d4966a", "#d4966g")), Catch::Contains("not a colour"));
    CHECK_THAT(refused(slate + "glow = \"#ffffff\"\n"), Catch::Contains("glow is not known"));
    CHECK_THAT(refused(replaced(slate, "schema = 1", "schema = 2")), Catch::Contains("schema"));
    CHECK_THAT(refused(replaced(slate, "dark = true", "dark = \"yes\"")), Catch::Contains("true or false"));
    CHECK_THAT(refused(slate + "[[[\n"), Catch::Contains("line"));
    CHECK_THAT(load_theme(kThemes / "none.toml").error().text(), Catch::Contains("cannot be opened"));
}

TEST_CASE("the sizes are read strictly", "[theme]") {
    const std::string look = read_all(kThemes / "look.toml");
    CHECK(load_look(scratch("look.toml", look)).has_value());
    const auto refused = [](const std::string& text) {
        const auto result = load_look(scratch("bad-look.toml", text));
        REQUIRE_FALSE(result.has_value());
        return result.error().text();
    };
    CHECK_THAT(refused(replaced(look, "row = 3.25", "row = 1.0")), Catch::Contains("space.row"));
    CHECK_THAT(refused(replaced(look, "plateau = 0.6", "plateau = \"much\"")), Catch::Contains("not a number"));
    CHECK_THAT(refused(replaced(look, "word = \"straw\", colour = \"#dfd3aa\"", "word = \"straw\"")),
               Catch::Contains("a word and a colour"));
    CHECK_THAT(refused(replaced(look, "margin = 2.0", "margin = 2.0\nedge = 1")), Catch::Contains("edge is not known"));
}

}  // namespace tonebath::testing
