// Sound of the bench: cues played at their moment by a thread of their own, so that neither drawing nor writing delays
// them. Without a device, or with the sound off, nothing is heard and nothing is an error: the screen shows every cue.
#pragma once

#include "base/clock.hpp"
#include "model/cue.hpp"

#include <condition_variable>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <sys/types.h>
#include <thread>
#include <vector>

namespace tonebath::window {

// One place where tones go. Used by one thread; render by another.
class SoundDevice {
public:
    // The system's usual device, or one that only renders (for measuring); nullptr when there is none.
    [[nodiscard]] static std::unique_ptr<SoundDevice> usual();
    [[nodiscard]] static std::unique_ptr<SoundDevice> rendering();
    virtual ~SoundDevice() = default;
    // Cuts what is heard: never two at once. volume 0..1.
    virtual void play(CueKind kind, float volume) = 0;
    // The next frames of a rendering device: one channel, kSoundRate_hz.
    virtual void render(std::int16_t* to, int frames) = 0;
};

// Speaks a few words by an installed speech program (espeak-ng, spd-say) as a process of its own; one at a time, and what
// comes while it speaks is left out.
class Speaker {
public:
    Speaker();
    ~Speaker();
    Speaker(const Speaker&) = delete;
    Speaker& operator=(const Speaker&) = delete;
    [[nodiscard]] bool possible() const { return !program_.empty(); }
    void say(const std::string& words);

private:
    std::string program_;
    pid_t child_ = 0;
};

struct SoundChoice {
    float volume = 0.5F;  // 0: off
    bool voice = false;   // a lane's number is spoken after its out and its look, a row's when its next coat may go on
};

class Sound {
public:
    using Opener = std::function<std::unique_ptr<SoundDevice>()>;
    // The device is opened when the first cue waits. `clock` outlives it.
    explicit Sound(const Clock& clock, Opener opener = &SoundDevice::usual);
    ~Sound();
    Sound(const Sound&) = delete;
    Sound& operator=(const Sound&) = delete;

    void choose(const SoundChoice& choice);
    // Replaces the cues that wait.
    void schedule(std::vector<Cue> cues);
    // Plays the out at once, at the present volume.
    void try_out();

private:
    void run();
    void start();

    const Clock& clock_;
    Opener opener_;
    std::mutex mutex_;
    std::condition_variable changed_;
    CueQueue queue_;
    SoundChoice choice_;
    bool try_out_ = false;
    bool stop_ = false;
    std::thread thread_;
};

}  // namespace tonebath::window
