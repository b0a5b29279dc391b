// Photographs that were never taken: surfaces of known reflectance under a named light, seen by a camera of published
// sensitivities. Written apart from the program's own colour code, so that the two can be held against each other.
#pragma once

#include "support/photo_files.hpp"

#include <array>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::test::scene {

// Every 5 nm from 380 to 780.
inline constexpr std::size_t kBands = 81;
using Spectrum = std::array<double, kBands>;

struct Triple {
    double a = 0.0, b = 0.0, c = 0.0;
};

struct Tables {
    std::array<Spectrum, 3> observer;             // CIE 1931, 2 degree
    std::map<std::string, Spectrum> lights;       // A, D50, D65, FL11, LED_B3
    std::vector<std::string> paint_names;         // 24, in the order of the chart
    std::vector<Spectrum> paints;
    std::array<Spectrum, 3> camera;
};
[[nodiscard]] const Tables& tables();

// The truth: L*, a*, b* of a surface under D50 (CIE 015, sums over 380 to 780 nm).
[[nodiscard]] Triple truth(const Spectrum& surface);
[[nodiscard]] Spectrum grey(double reflectance);
[[nodiscard]] Spectrum mixed(const Spectrum& a, const Spectrum& b, double share_of_b);
[[nodiscard]] Spectrum scaled(const Spectrum& a, double by);
// A dense film of silver sulfide on silver, looked at straight on; thickness uneven by a fifth (log-normal), as on a piece.
[[nodiscard]] Spectrum film_on_silver(double nm);
// A grey card as one is bought: 18 %, with the slight colour of a grey paint.
[[nodiscard]] Spectrum card();

struct Thing {
    double x = 0.0, y = 0.0, width = 0.0, height = 0.0;
    Spectrum surface{};
    double texture = 0.0;     // share by which brushed lines are lighter and darker
    double glare = 0.0;       // share of pixels that mirror the light
    double light = 1.0;       // share of the light that reaches it: a shade
    bool round = false;       // an ellipse in its box
    double hole = 0.0;        // of a round one: share of its radius that is open
};

struct Shot {
    int width = 360, height = 270;
    std::string light = "D50";
    std::string second_light;      // mixed in from left to right, 0 to `second_share` of the whole
    double second_share = 0.0;
    double tilt_x = 0.0, tilt_y = 0.0;  // change of light over the whole width and height, shares
    double exposure = 0.8;         // linear level of a white of 100 %
    Triple balance_off{1.0, 1.0, 1.0};  // the camera's guess of the light, off by these
    bool balanced = true;          // false: left at daylight
    double electrons = 8000.0;     // of a white pixel: noise of light
    double contrast = 0.0;         // an S-shaped curve laid over the result, 0 none, 1 strong
    int blur_px = 0;
    bool p3 = false;               // written in Display P3
    Spectrum ground{};
    std::vector<Thing> things;
    unsigned seed = 1;
};
[[nodiscard]] TestImage taken(const Shot& shot);

}  // namespace tonebath::test::scene
