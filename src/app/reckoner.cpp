#include "app/reckoner.hpp"

#include <array>
#include <atomic>
#include <condition_variable>
#include <cstdio>
#include <deque>
#include <exception>
#include <optional>
#include <thread>

namespace tonebath::app {

namespace {

void say_trouble(const char* words) { std::fprintf(stderr, "tonebath: a figure could not be worked out: %s\n", words); }

}  // namespace

struct Reckoner::State {
    // One thread, begun with its first work.
    struct Lane {
        std::deque<Work> works;
        std::thread thread;
    };

    Studio* at_once = nullptr;
    StudioOptions reading, writing;
    const Clock* clock = nullptr;
    std::function<void()> wake;
    std::mutex mutex;
    std::condition_variable changed;
    std::array<Lane, 3> lanes;  // by Pace
    std::atomic<bool> stop = false;

    std::optional<Work> next(Lane& lane) {
        std::unique_lock lock(mutex);
        changed.wait(lock, [&] { return !lane.works.empty() || stop; });
        if (stop) {
            return std::nullopt;
        }
        Work work = std::move(lane.works.front());
        lane.works.pop_front();
        return work;
    }

    // The connection belongs to this thread; a log that cannot be read now is tried again with the next work.
    void run(Lane& lane, const StudioOptions& how) {
        std::unique_ptr<Studio> studio;
        while (const auto work = next(lane)) {
            try {
                if (!studio) {
                    auto opened = Studio::open(how, *clock);
                    if (!opened) {
                        say_trouble(opened.error().text().c_str());
                        continue;
                    }
                    studio = std::move(opened).value();
                }
                (*work)(*studio, [this] { return !stop.load(); });
            } catch (const std::exception& problem) {
                say_trouble(problem.what());
                studio.reset();
            }
            if (wake) {
                wake();
            }
        }
    }
};

Reckoner::Reckoner(StudioOptions options, const Clock& clock, std::function<void()> wake) : state_(std::make_unique<State>()) {
    options.create = false;
    options.hold_window = false;
    state_->writing = options;
    options.read_only = true;
    state_->reading = std::move(options);
    state_->clock = &clock;
    state_->wake = std::move(wake);
}

Reckoner::Reckoner(Studio& studio) : state_(std::make_unique<State>()) { state_->at_once = &studio; }

Reckoner::~Reckoner() {
    {
        const std::lock_guard lock(state_->mutex);
        state_->stop = true;
    }
    state_->changed.notify_all();
    for (State::Lane& lane : state_->lanes) {
        if (lane.thread.joinable()) {
            lane.thread.join();
        }
    }
}

void Reckoner::ask(Work work, Pace pace) {
    if (state_->at_once != nullptr) {
        work(*state_->at_once, [] { return true; });
        return;
    }
    {
        const std::lock_guard lock(state_->mutex);
        State::Lane& lane = state_->lanes.at(static_cast<std::size_t>(pace));
        lane.works.push_back(std::move(work));
        if (!lane.thread.joinable()) {
            lane.thread = std::thread([state = state_.get(), &lane, pace] { state->run(lane, pace == Pace::writing ? state->writing : state->reading); });
        }
    }
    state_->changed.notify_all();
}

}  // namespace tonebath::app
