#include "science/colour_path.hpp"

#include "base/check.hpp"
#include "science/colour_difference.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

struct Sample {
    double place;
    double distance;
};

double between(double first, double second, double share) {
    return first + share * (second - first);
}

Lab colour_at(std::span<const PathPoint> path, double place) {
    const auto above = std::upper_bound(path.begin() + 1, path.end() - 1, place,
                                        [](double value, const PathPoint& point) { return value < point.place; });
    const PathPoint& high = *above;
    const PathPoint& low = *(above - 1);
    const double share = std::clamp((place - low.place) / (high.place - low.place), 0.0, 1.0);
    return {between(low.colour.l, high.colour.l, share), between(low.colour.a, high.colour.a, share),
            between(low.colour.b, high.colour.b, share)};
}

std::vector<Sample> sampled(std::span<const PathPoint> path, const Lab& reading) {
    constexpr double kStep_de76 = 0.5;
    std::vector<Sample> samples{{path.front().place, delta_e2000(path.front().colour, reading)}};
    for (std::size_t i = 1; i < path.size(); ++i) {
        TB_CHECK(path[i].place > path[i - 1].place);
        const double length = delta_e76(path[i - 1].colour, path[i].colour);
        const int steps = std::max(4, static_cast<int>(std::ceil(length / kStep_de76)));
        for (int step = 1; step <= steps; ++step) {
            const double place =
                step == steps ? path[i].place : between(path[i - 1].place, path[i].place, 1.0 * step / steps);
            samples.push_back({place, delta_e2000(colour_at(path, place), reading)});
        }
    }
    return samples;
}

// Golden section between the neighbours of a low sample, then the better of both.
Sample refined(std::span<const PathPoint> path, const Lab& reading, Sample low, double from, double to) {
    constexpr double kGolden = 0.6180339887498949;
    for (int i = 0; i < 40; ++i) {
        const double left = to - kGolden * (to - from);
        const double right = from + kGolden * (to - from);
        if (delta_e2000(colour_at(path, left), reading) < delta_e2000(colour_at(path, right), reading)) {
            to = right;
        } else {
            from = left;
        }
    }
    const double place = 0.5 * (from + to);
    const double distance = delta_e2000(colour_at(path, place), reading);
    return distance < low.distance ? Sample{place, distance} : low;
}

// Where the distance crosses `limit` between a place inside the stretch and one outside.
double stretch_end(std::span<const PathPoint> path, const Lab& reading, double limit, double inside, double outside) {
    for (int i = 0; i < 30; ++i) {
        const double middle = 0.5 * (inside + outside);
        (delta_e2000(colour_at(path, middle), reading) <= limit ? inside : outside) = middle;
    }
    return inside;
}

}  // namespace

PathReading place_on_path(std::span<const PathPoint> path, const Lab& reading, double error_de00) {
    TB_CHECK(path.size() >= 2 && error_de00 > 0.0);
    std::vector<Sample> samples = sampled(path, reading);
    const std::vector<Sample> coarse = samples;
    for (std::size_t i = 0; i < coarse.size(); ++i) {
        const Sample& before = coarse[i == 0 ? 0 : i - 1];
        const Sample& after = coarse[std::min(i + 1, coarse.size() - 1)];
        if (coarse[i].distance <= before.distance && coarse[i].distance <= after.distance) {
            samples[i] = refined(path, reading, coarse[i], before.place, after.place);
        }
    }
    const auto nearer = [](const Sample& a, const Sample& b) { return a.distance < b.distance; };
    const double nearest = std::min_element(samples.begin(), samples.end(), nearer)->distance;
    const double limit = nearest + error_de00;
    const auto within = [&](const Sample& sample) { return sample.distance <= limit; };

    PathReading result;
    result.off_path = nearest > error_de00;
    for (auto first = std::find_if(samples.begin(), samples.end(), within); first != samples.end();) {
        const auto last = std::find_if_not(first, samples.end(), within);
        const Sample& best = *std::min_element(first, last, nearer);
        const bool at_start = first == samples.begin();
        const bool at_end = last == samples.end();
        const double from =
            at_start ? path.front().place : stretch_end(path, reading, limit, first->place, (first - 1)->place);
        const double to =
            at_end ? path.back().place : stretch_end(path, reading, limit, (last - 1)->place, last->place);
        result.places.push_back({best.place, from, to, best.distance, at_start, at_end});
        first = std::find_if(last, samples.end(), within);
    }
    std::stable_sort(result.places.begin(), result.places.end(),
                     [](const PathPlace& a, const PathPlace& b) { return a.distance_de00 < b.distance_de00; });
    return result;
}

std::vector<PathPlace> agreeing_with(const PathReading& reading, double from, double to) {
    std::vector<PathPlace> kept;
    std::copy_if(reading.places.begin(), reading.places.end(), std::back_inserter(kept),
                 [&](const PathPlace& place) { return place.from <= to && place.to >= from; });
    return kept.empty() ? reading.places : kept;
}

}  // namespace tonebath::science
