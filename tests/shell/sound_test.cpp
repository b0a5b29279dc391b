// The sounds of the bench: each of its own shape, and each at its moment.
#include "window/shell/sound.hpp"
#include "window/shell/sound_tones.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <numbers>
#include <thread>

using namespace tonebath;
using namespace tonebath::window;

namespace {

constexpr std::array kAll{CueKind::three, CueKind::two, CueKind::one, CueKind::out, CueKind::look, CueKind::rinse_done, CueKind::coat_due, CueKind::warning};

double energy(const std::vector<std::int16_t>& tone) {
    double sum = 0;
    for (const std::int16_t sample : tone) {
        sum += static_cast<double>(sample) * sample;
    }
    return sum;
}

// Share of two tones that is the same wave, by their normalised correlation at the stroke.
double likeness(const std::vector<std::int16_t>& a, const std::vector<std::int16_t>& b) {
    double sum = 0;
    for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i) {
        sum += static_cast<double>(a[i]) * b[i];
    }
    return std::abs(sum) / std::sqrt(energy(a) * energy(b));
}

// Share of the energy between 500 and 2000 Hz, by a plain Fourier sum in steps of 20 Hz up to 6 kHz.
double middle_share(const std::vector<std::int16_t>& tone) {
    double middle = 0;
    double all = 0;
    for (double hz = 20; hz <= 6000; hz += 20) {
        double re = 0;
        double im = 0;
        for (std::size_t i = 0; i < tone.size(); i += 2) {
            const double turn = 2.0 * std::numbers::pi * hz * static_cast<double>(i) / kSoundRate_hz;
            re += tone[i] * std::cos(turn);
            im += tone[i] * std::sin(turn);
        }
        const double power = re * re + im * im;
        all += power;
        middle += hz >= 500 && hz <= 2000 ? power : 0.0;
    }
    return middle / all;
}

}  // namespace

TEST_CASE("every cue has a sound of its own, short and in the middle of hearing") {
    for (const CueKind kind : kAll) {
        INFO("cue " << static_cast<int>(kind));
        const auto tone = tone_of(kind);
        const double length_s = static_cast<double>(tone.size()) / kSoundRate_hz;
        CHECK(length_s >= 0.08);
        CHECK(length_s <= 1.0);
        const auto [low, high] = std::minmax_element(tone.begin(), tone.end());
        CHECK(*high > 8000);
        CHECK(*high < 32767);
        CHECK(*low > -32768);
        // Heard at once: a tenth of the height within 10 ms; and it ends in silence.
        CHECK(std::any_of(tone.begin(), tone.begin() + kSoundRate_hz / 100, [&](std::int16_t sample) { return sample > *high / 10; }));
        CHECK(std::abs(tone.back()) < 200);
        for (const CueKind other : kAll) {
            if (other != kind) {
                INFO("and cue " << static_cast<int>(other));
                CHECK(likeness(tone, tone_of(other)) < 0.6);
            }
        }
    }
    for (const CueKind kind : {CueKind::three, CueKind::out, CueKind::look}) {
        CHECK(middle_share(tone_of(kind)) > 0.8);
    }
}

TEST_CASE("without a device nothing is heard and nothing fails") {
    const SystemClock clock;
    Sound sound(clock, [] { return std::unique_ptr<SoundDevice>(); });
    sound.choose({.volume = 1.0F});
    sound.try_out();
    sound.schedule({{CueKind::out, 1, clock.boot().ms + 5}});
    std::this_thread::sleep_for(std::chrono::milliseconds(30));
}

TEST_CASE("a scheduled cue is played at its moment, once, and not when the sound is off") {
    struct Listener final : SoundDevice {
        explicit Listener(std::vector<std::int64_t>& heard) : heard_(heard) {}
        void play(CueKind, float) override { heard_.push_back(SystemClock().boot().ms); }
        void render(std::int16_t*, int) override {}
        std::vector<std::int64_t>& heard_;
    };
    const SystemClock clock;
    std::vector<std::int64_t> heard;
    const float volume = GENERATE(0.0F, 1.0F);
    const std::int64_t due_ms = clock.boot().ms + 60;
    {
        Sound sound(clock, [&heard] { return std::make_unique<Listener>(heard); });
        sound.choose({.volume = volume});
        for (int frame = 0; frame < 12; ++frame) {  // as the window does, again with every frame
            sound.schedule({{CueKind::out, 1, due_ms}});
            std::this_thread::sleep_for(std::chrono::milliseconds(10));
        }
    }
    REQUIRE(heard.size() == (volume > 0.0F ? 1U : 0U));
    if (!heard.empty()) {
        CHECK(heard.front() >= due_ms);
        CHECK(heard.front() - due_ms <= kLatestCue_ms);
    }
}

// Measured on what comes out of the sound library, every 5 ms of it, not on when it was asked for.
TEST_CASE("500 cues, none later than 0.2 s", "[.long]") {
    auto device = SoundDevice::rendering();
    if (device == nullptr) {
        WARN("no rendering device: not measured");
        return;
    }
    SoundDevice* const recorder = device.get();
    const SystemClock clock;
    std::vector<std::int64_t> due;
    std::vector<double> late_ms;
    const std::int64_t first_ms = clock.boot().ms + 500;
    std::vector<Cue> cues;
    for (int i = 0; i < 500; ++i) {
        // Outs and looks of many lanes, at uneven moments.
        due.push_back(first_ms + 550 * i + (i * 37) % 60);
        cues.push_back({i % 2 == 0 ? CueKind::three : CueKind::two, i + 1, due.back()});
    }
    Sound sound(clock, [&device] { return std::move(device); });
    sound.choose({.volume = 1.0F});
    const std::int64_t began_ms = clock.boot().ms;
    sound.schedule(cues);
    std::this_thread::sleep_for(std::chrono::milliseconds(100));  // the device is the other thread's from here on
    std::int64_t frames_done = 0;
    std::int64_t quiet_since = 0;
    std::array<std::int16_t, kSoundRate_hz> block{};
    while (clock.boot().ms < due.back() + 500) {
        const std::int64_t frames_due = (clock.boot().ms - began_ms) * kSoundRate_hz / 1000;
        const int count = static_cast<int>(std::min<std::int64_t>(frames_due - frames_done, static_cast<std::int64_t>(block.size())));
        recorder->render(block.data(), count);
        for (int i = 0; i < count; ++i) {
            if (std::abs(block[static_cast<std::size_t>(i)]) < 300) {
                continue;
            }
            const std::int64_t at = frames_done + i;
            if (at - quiet_since > kSoundRate_hz / 5 && late_ms.size() < due.size()) {
                late_ms.push_back(static_cast<double>(at) * 1000.0 / kSoundRate_hz + static_cast<double>(began_ms - due[late_ms.size()]));
            }
            quiet_since = at;
        }
        frames_done += count;
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
    REQUIRE(late_ms.size() == 500);
    std::sort(late_ms.begin(), late_ms.end());
    std::printf("lateness of 500 cues: median %.1f ms, worst %.1f ms, earliest %.1f ms\n", late_ms[250], late_ms.back(), late_ms.front());
    CHECK(late_ms.back() <= 200.0);
    CHECK(late_ms.front() >= -10.0);  // the block of 5 ms it falls in began before it
}
