#include "app/learning.hpp"

#include <condition_variable>
#include <cstdio>
#include <exception>
#include <mutex>
#include <thread>

namespace tonebath::app {

// Shared between the window's thread and the worker; everything behind the one mutex.
struct Learner::State {
    StudioOptions options;
    const Clock& clock;
    std::function<void()> wake;
    std::mutex mutex;
    std::condition_variable changed;
    bool asked = false;
    bool working = false;
    bool stop = false;
    std::shared_ptr<const Learned> latest;
    std::thread worker;

    State(StudioOptions given, const Clock& its_clock, std::function<void()> its_wake)
        : options(std::move(given)), clock(its_clock), wake(std::move(its_wake)) {}

    void run() {
        std::unique_ptr<Studio> studio;
        for (;;) {
            {
                std::unique_lock lock(mutex);
                changed.wait(lock, [this] { return asked || stop; });
                if (stop) {
                    return;
                }
                asked = false;
                working = true;
            }
            std::shared_ptr<const Learned> fit = fit_now(studio);
            {
                const std::lock_guard lock(mutex);
                working = false;
                if (fit) {
                    latest = std::move(fit);
                }
            }
            if (wake) {
                wake();
            }
        }
    }

    // The connection belongs to this thread; a log that cannot be read now leaves the last fit standing.
    std::shared_ptr<const Learned> fit_now(std::unique_ptr<Studio>& studio) {
        try {
            if (!studio) {
                auto opened = Studio::open(options, clock);
                if (!opened) {
                    std::fprintf(stderr, "tonebath: the learner cannot read the log: %s\n", opened.error().text().c_str());
                    return nullptr;
                }
                studio = std::move(opened).value();
            }
            std::shared_ptr<const Learned> before;
            {
                const std::lock_guard lock(mutex);
                before = latest;
            }
            return learn(*studio, before.get());
        } catch (const std::exception& problem) {
            std::fprintf(stderr, "tonebath: the learner cannot read the log: %s\n", problem.what());
            studio.reset();
            return nullptr;
        }
    }
};

Learner::Learner(StudioOptions options, const Clock& clock, std::function<void()> wake) {
    options.read_only = true;
    options.create = false;
    options.hold_window = false;
    state_ = std::make_unique<State>(std::move(options), clock, std::move(wake));
    state_->worker = std::thread([this] { state_->run(); });
}

Learner::~Learner() {
    {
        const std::lock_guard lock(state_->mutex);
        state_->stop = true;
    }
    state_->changed.notify_all();
    state_->worker.join();
}

void Learner::ask() {
    {
        const std::lock_guard lock(state_->mutex);
        state_->asked = true;
    }
    state_->changed.notify_all();
}

std::shared_ptr<const Learned> Learner::latest() const {
    const std::lock_guard lock(state_->mutex);
    return state_->latest;
}

bool Learner::busy() const {
    const std::lock_guard lock(state_->mutex);
    return state_->asked || state_->working;
}

}  // namespace tonebath::app
