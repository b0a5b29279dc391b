#include "window/shell/sound_tones.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <span>

namespace tonebath::window {

namespace {

// One stroke: two partials that ring out. All between 500 and 2000 Hz, where a bench lamp's hum and running water are
// weakest; the values are ours.
struct Stroke {
    double at_s = 0;
    double hz = 0;
    double upper_hz = 0;  // second partial
    double ring_s = 0;    // to 1/e
    double loud = 0;      // 0..1
};

constexpr double kWood_s = 0.035;
constexpr double kBowl_s = 0.22;

constexpr std::array kThree{Stroke{0.0, 620, 1240, kWood_s, 0.7}};
constexpr std::array kTwo{Stroke{0.0, 700, 1400, kWood_s, 0.75}};
constexpr std::array kOne{Stroke{0.0, 790, 1580, kWood_s, 0.8}};
constexpr std::array kOut{Stroke{0.0, 980, 1470, kBowl_s, 0.8}, Stroke{0.22, 735, 1100, kBowl_s, 0.8}};
constexpr std::array kLook{Stroke{0.0, 1500, 1900, kWood_s, 0.7}, Stroke{0.14, 1500, 1900, kWood_s, 0.7}, Stroke{0.28, 1500, 1900, kWood_s, 0.7}};
constexpr std::array kRinse{Stroke{0.0, 880, 1320, 0.09, 0.4}};
constexpr std::array kCoat{Stroke{0.0, 660, 990, 0.12, 0.5}, Stroke{0.35, 880, 1320, 0.12, 0.5}};
constexpr std::array kWarning{Stroke{0.0, 520, 780, 0.12, 0.8}, Stroke{0.25, 520, 780, 0.12, 0.8}, Stroke{0.5, 520, 780, 0.12, 0.8}, Stroke{0.75, 520, 780, 0.06, 0.8}};

std::span<const Stroke> strokes_of(CueKind kind) {
    switch (kind) {
        case CueKind::three: return kThree;
        case CueKind::two: return kTwo;
        case CueKind::one: return kOne;
        case CueKind::out: return kOut;
        case CueKind::look: return kLook;
        case CueKind::rinse_done: return kRinse;
        case CueKind::coat_due: return kCoat;
        case CueKind::warning: return kWarning;
    }
    return {};
}

}  // namespace

std::vector<std::int16_t> tone_of(CueKind kind) {
    constexpr double kAttack_s = 0.004;
    constexpr double kRings = 3.5;  // ring times until a stroke is cut, with a short fade
    constexpr double kFade_s = 0.01;
    const std::span<const Stroke> strokes = strokes_of(kind);
    double length_s = 0;
    for (const Stroke& stroke : strokes) {
        length_s = std::max(length_s, stroke.at_s + kRings * stroke.ring_s);
    }
    length_s = std::min(length_s, 1.0);
    std::vector<double> sum(static_cast<std::size_t>(length_s * kSoundRate_hz), 0.0);
    for (const Stroke& stroke : strokes) {
        for (auto i = static_cast<std::size_t>(stroke.at_s * kSoundRate_hz); i < sum.size(); ++i) {
            const double t_s = static_cast<double>(i) / kSoundRate_hz - stroke.at_s;
            const double envelope = std::min(1.0, t_s / kAttack_s) * std::exp(-t_s / stroke.ring_s);
            const double turn = 2.0 * std::numbers::pi * t_s;
            sum[i] += stroke.loud * envelope * (0.75 * std::sin(turn * stroke.hz) + 0.25 * std::sin(turn * stroke.upper_hz));
        }
    }
    std::vector<std::int16_t> samples;
    samples.reserve(sum.size());
    for (std::size_t i = 0; i < sum.size(); ++i) {
        const double left_s = static_cast<double>(sum.size() - i) / kSoundRate_hz;
        const double value = std::clamp(sum[i] * std::min(1.0, left_s / kFade_s), -1.0, 1.0);
        samples.push_back(static_cast<std::int16_t>(std::lround(value * 32000.0)));
    }
    return samples;
}

}  // namespace tonebath::window
