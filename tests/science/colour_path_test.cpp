#include "science/colour_path.hpp"

#include "science/colour_difference.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

#include <cmath>

using namespace tonebath::science;
using Catch::Matchers::WithinAbs;

namespace {

// Invented strip: falls to blue, then rises to a grey close to the first straw in L*.
std::vector<PathPoint> strip() {
    return {{0.0, {85.0, 0.0, 5.0}},    {1.0, {78.0, 2.0, 30.0}},   {2.0, {60.0, 15.0, 45.0}}, {3.0, {42.0, 35.0, 0.0}},
            {4.0, {32.0, 12.0, -30.0}}, {5.0, {48.0, -6.0, -12.0}}, {6.0, {60.0, -1.0, -3.0}}};
}

// There and back through almost the same colours: places 1 and 3 differ by less than 1.
std::vector<PathPoint> hairpin() {
    return {{0.0, {80.0, 0.0, 0.0}},
            {1.0, {60.0, 0.0, 10.0}},
            {2.0, {40.0, 0.0, 20.0}},
            {3.0, {60.0, 0.5, 10.5}},
            {4.0, {80.0, 20.0, 0.0}}};
}

}  // namespace

TEST_CASE("A colour of the scale is found where it stands", "[colour]") {
    const auto path = strip();
    for (const PathPoint& point : path) {
        const auto found = place_on_path(path, point.colour, 2.0);
        REQUIRE(found.places.size() == 1);
        CHECK_THAT(found.places[0].place, WithinAbs(point.place, 1e-3));
        CHECK(found.places[0].distance_de00 < 1e-3);
        CHECK(found.places[0].from <= found.places[0].place);
        CHECK(found.places[0].to >= found.places[0].place);
        CHECK(!found.off_path);
    }
    CHECK(place_on_path(path, path.front().colour, 2.0).places[0].at_start);
    CHECK(!place_on_path(path, path.front().colour, 2.0).places[0].at_end);
    CHECK(place_on_path(path, path.back().colour, 2.0).places[0].at_end);
}

TEST_CASE("Half way between two tones is half way along", "[colour]") {
    const auto found = place_on_path(strip(), {51.0, 25.0, 22.5}, 1.0);
    REQUIRE(found.places.size() == 1);
    CHECK_THAT(found.places[0].place, WithinAbs(2.5, 1e-3));
}

TEST_CASE("A larger error makes a longer stretch, not another place", "[colour]") {
    const auto fine = place_on_path(strip(), {51.0, 25.0, 22.5}, 0.5);
    const auto coarse = place_on_path(strip(), {51.0, 25.0, 22.5}, 4.0);
    REQUIRE((fine.places.size() == 1 && coarse.places.size() == 1));
    CHECK_THAT(coarse.places[0].place, WithinAbs(fine.places[0].place, 1e-9));
    CHECK(coarse.places[0].to - coarse.places[0].from > 4.0 * (fine.places[0].to - fine.places[0].from));
}

TEST_CASE("Two places within the error are both given, and the judged word chooses", "[colour]") {
    const auto path = hairpin();
    const auto found = place_on_path(path, {60.0, 0.1, 10.0}, 2.0);
    REQUIRE(found.places.size() == 2);
    CHECK_THAT(found.places[0].place, WithinAbs(1.0, 0.05));
    CHECK_THAT(found.places[1].place, WithinAbs(3.0, 0.05));
    CHECK(found.places[0].distance_de00 <= found.places[1].distance_de00);

    const auto judged = agreeing_with(found, 3.0, 4.0);
    REQUIRE(judged.size() == 1);
    CHECK_THAT(judged[0].place, WithinAbs(3.0, 0.05));
    CHECK(agreeing_with(found, 0.0, 4.0).size() == 2);
    // A word that fits neither leaves the question open.
    CHECK(agreeing_with(found, 1.9, 2.0).size() == 2);

    // A reading good enough to tell them apart gives one.
    CHECK(place_on_path(path, {60.0, 0.0, 10.0}, 0.2).places.size() == 1);
}

TEST_CASE("Equal lightness alone does not fool it", "[colour]") {
    // L* 60 stands at amber and again at the far end; the hue decides.
    const auto found = place_on_path(strip(), {60.0, 14.0, 44.0}, 3.0);
    REQUIRE(found.places.size() == 1);
    CHECK_THAT(found.places[0].place, WithinAbs(2.0, 0.1));
}

TEST_CASE("A colour that is not on the scale is placed and marked", "[colour]") {
    const auto found = place_on_path(strip(), {50.0, -40.0, 30.0}, 2.0);
    CHECK(found.off_path);
    CHECK(!found.places.empty());
}

TEST_CASE("The nearest place is no further than any point tried by hand", "[colour][property]") {
    CHECK(rc::check([] {
        const auto path = strip();
        const Lab reading{*rc::gen::inRange(0, 101) / 1.0, *rc::gen::inRange(-60, 61) / 1.0,
                          *rc::gen::inRange(-60, 61) / 1.0};
        const double error_de00 = *rc::gen::inRange(1, 100) / 10.0;
        const auto found = place_on_path(path, reading, error_de00);
        RC_ASSERT(!found.places.empty());
        const double nearest = found.places.front().distance_de00;
        for (std::size_t i = 1; i < path.size(); ++i) {
            for (int step = 0; step <= 40; ++step) {
                const double share = step / 40.0;
                const Lab a = path[i - 1].colour;
                const Lab b = path[i].colour;
                const Lab at{a.l + share * (b.l - a.l), a.a + share * (b.a - a.a), a.b + share * (b.b - a.b)};
                const double distance = delta_e2000(at, reading);
                RC_ASSERT(nearest <= distance + 0.02);
                // Whatever is clearly within the error is in one of the stretches.
                if (distance < nearest + error_de00 - 0.1) {
                    const double place = static_cast<double>(i - 1) + share;
                    bool inside = false;
                    for (const PathPlace& p : found.places) {
                        inside = inside || (place >= p.from - 1e-9 && place <= p.to + 1e-9);
                    }
                    RC_ASSERT(inside);
                }
            }
        }
        for (std::size_t i = 1; i < found.places.size(); ++i) {
            RC_ASSERT(found.places[i].distance_de00 >= found.places[i - 1].distance_de00);
        }
    }));
}
