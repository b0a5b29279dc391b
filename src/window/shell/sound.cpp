#include "window/shell/sound.hpp"

#include "window/shell/child_process.hpp"
#include "window/shell/sound_tones.hpp"

#include <AL/al.h>
#include <AL/alc.h>
#include <AL/alext.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <optional>
#include <string_view>

namespace tonebath::window {

namespace {

constexpr std::int64_t kLongestSleep_ms = 250;  // the clock is asked again at least so often: a lid may have been shut

class AlDevice final : public SoundDevice {
public:
    AlDevice(ALCdevice* device, const ALCint* attributes, LPALCRENDERSAMPLESSOFT renderer) : device_(device), render_(renderer) {
        context_ = alcCreateContext(device_, attributes);
        if (context_ == nullptr || alcMakeContextCurrent(context_) == ALC_FALSE) {
            return;
        }
        alGenBuffers(static_cast<ALsizei>(buffers_.size()), buffers_.data());
        alGenSources(1, &source_);
        for (std::size_t i = 0; i < buffers_.size(); ++i) {
            const std::vector<std::int16_t> tone = tone_of(static_cast<CueKind>(i));
            alBufferData(buffers_[i], AL_FORMAT_MONO16, tone.data(), static_cast<ALsizei>(tone.size() * sizeof(std::int16_t)), kSoundRate_hz);
        }
        ready_ = alGetError() == AL_NO_ERROR;
    }
    ~AlDevice() override {
        if (context_ != nullptr) {
            alcMakeContextCurrent(context_);
            alDeleteSources(1, &source_);
            alDeleteBuffers(static_cast<ALsizei>(buffers_.size()), buffers_.data());
            alcMakeContextCurrent(nullptr);
            alcDestroyContext(context_);
        }
        alcCloseDevice(device_);
    }
    AlDevice(const AlDevice&) = delete;
    AlDevice& operator=(const AlDevice&) = delete;
    [[nodiscard]] bool ready() const { return ready_; }
    void play(CueKind kind, float volume) override {
        alSourceStop(source_);
        alSourcef(source_, AL_GAIN, std::clamp(volume, 0.0F, 1.0F));
        alSourcei(source_, AL_BUFFER, static_cast<ALint>(buffers_[static_cast<std::size_t>(kind)]));
        alSourcePlay(source_);
        alGetError();
    }
    void render(std::int16_t* to, int frames) override {
        if (render_ != nullptr) {
            render_(device_, to, frames);
        }
    }

private:
    ALCdevice* device_;
    LPALCRENDERSAMPLESSOFT render_;
    ALCcontext* context_ = nullptr;
    std::array<ALuint, kCueKinds> buffers_{};
    ALuint source_ = 0;
    bool ready_ = false;
};

std::unique_ptr<SoundDevice> device_or_none(ALCdevice* device, const ALCint* attributes, LPALCRENDERSAMPLESSOFT render) {
    if (device == nullptr) {
        return nullptr;
    }
    auto made = std::make_unique<AlDevice>(device, attributes, render);
    return made->ready() ? std::move(made) : nullptr;
}

std::string on_path(std::string_view program) {
    const char* path = std::getenv("PATH");
    std::string_view rest = path == nullptr ? "/usr/bin:/bin" : path;
    while (!rest.empty()) {
        const std::size_t colon = std::min(rest.find(':'), rest.size());
        const std::filesystem::path file = std::filesystem::path(rest.substr(0, colon)) / program;
        if (access(file.c_str(), X_OK) == 0) {
            return file.string();
        }
        rest.remove_prefix(std::min(colon + 1, rest.size()));
    }
    return {};
}

}  // namespace

std::unique_ptr<SoundDevice> SoundDevice::usual() {
    setenv("ALSOFT_LOGLEVEL", "0", 0);  // no device is no message
    return device_or_none(alcOpenDevice(nullptr), nullptr, nullptr);
}

std::unique_ptr<SoundDevice> SoundDevice::rendering() {
    if (alcIsExtensionPresent(nullptr, "ALC_SOFT_loopback") == ALC_FALSE) {
        return nullptr;
    }
    const auto open = reinterpret_cast<LPALCLOOPBACKOPENDEVICESOFT>(alcGetProcAddress(nullptr, "alcLoopbackOpenDeviceSOFT"));
    const auto render = reinterpret_cast<LPALCRENDERSAMPLESSOFT>(alcGetProcAddress(nullptr, "alcRenderSamplesSOFT"));
    const std::array<ALCint, 7> attributes{ALC_FORMAT_CHANNELS_SOFT, ALC_MONO_SOFT, ALC_FORMAT_TYPE_SOFT, ALC_SHORT_SOFT, ALC_FREQUENCY, kSoundRate_hz, 0};
    return open == nullptr || render == nullptr ? nullptr : device_or_none(open(nullptr), attributes.data(), render);
}

Speaker::Speaker() : program_(on_path("espeak-ng")) {
    if (program_.empty()) {
        program_ = on_path("spd-say");
    }
}

Speaker::~Speaker() {
    if (child_ > 0) {
        kill(child_, SIGTERM);
        waitpid(child_, nullptr, 0);
    }
}

void Speaker::say(const std::string& words) {
    if (program_.empty() || (child_ > 0 && waitpid(child_, nullptr, WNOHANG) == 0)) {
        return;
    }
    const std::array<const char*, 3> line{program_.c_str(), words.c_str(), nullptr};
    child_ = start_child(line, nullptr);
}

Sound::Sound(const Clock& clock, Opener opener) : clock_(clock), opener_(std::move(opener)) {}

Sound::~Sound() {
    {
        const std::lock_guard lock(mutex_);
        stop_ = true;
    }
    changed_.notify_all();
    if (thread_.joinable()) {
        thread_.join();
    }
}

void Sound::start() {
    if (!thread_.joinable()) {
        thread_ = std::thread([this] { run(); });
    }
    changed_.notify_all();
}

void Sound::choose(const SoundChoice& choice) {
    const std::lock_guard lock(mutex_);
    choice_ = choice;
}

void Sound::schedule(std::vector<Cue> cues) {
    const std::lock_guard lock(mutex_);
    const bool any = !cues.empty() && (choice_.volume > 0.0F || choice_.voice);
    queue_.set(std::move(cues));
    if (any) {
        start();
    }
}

void Sound::try_out() {
    const std::lock_guard lock(mutex_);
    try_out_ = true;
    start();
}

void Sound::run() {
    const std::unique_ptr<SoundDevice> device = opener_();
    std::optional<Speaker> speaker;
    std::unique_lock lock(mutex_);
    while (!stop_) {
        const std::int64_t now_ms = clock_.boot().ms;
        const std::optional<Cue> cue = try_out_ ? std::optional<Cue>(Cue{CueKind::out, 0, now_ms}) : queue_.take(now_ms);
        if (cue) {
            const SoundChoice choice = choice_;
            const bool row = cue->kind == CueKind::coat_due;
            const bool named = cue->lane > 0 && (row || cue->kind == CueKind::out || cue->kind == CueKind::look);
            try_out_ = false;
            lock.unlock();
            if (device != nullptr && choice.volume > 0.0F) {
                device->play(cue->kind, choice.volume);
            }
            if (choice.voice && (named || cue->lane == 0)) {
                if (!speaker) {
                    speaker.emplace();
                }
                speaker->say((row ? "row " : cue->kind == CueKind::look ? "look " : "out ") + (named ? std::to_string(cue->lane) : std::string()));
            }
            lock.lock();
            continue;
        }
        const auto next_ms = queue_.next_ms();
        if (next_ms) {
            changed_.wait_for(lock, std::chrono::milliseconds(std::clamp(*next_ms - now_ms, std::int64_t{1}, kLongestSleep_ms)));
        } else {
            changed_.wait(lock);
        }
    }
}

}  // namespace tonebath::window
