// Works out for a page what takes longer than a frame, on threads of its own with connections of their own, read-only but
// for what brings records in. The window asks, goes on drawing, and looks each frame whether the answer has come.
#pragma once

#include "app/studio.hpp"
#include "base/clock.hpp"

#include <functional>
#include <memory>
#include <mutex>
#include <utility>

namespace tonebath::app {

// Some take tenths of a second, some take seconds: the first never stand behind the second. What writes has a connection
// that may, where the window's own may.
enum class Pace { quick, slow, writing };

// Whether the answer is still wanted: a work of seconds asks now and then, and ends early where it is not.
using StillWanted = std::function<bool()>;

class Reckoner {
public:
    using Work = std::function<void(Studio&, const StillWanted&)>;

    // On threads. `options` name the log (a file). `wake` is called from a thread when an answer is there. `clock` outlives it.
    Reckoner(StudioOptions options, const Clock& clock, std::function<void()> wake);
    // At once, on the asking thread: for pictures, tests and a log in memory. `studio` outlives it.
    explicit Reckoner(Studio& studio);
    ~Reckoner();
    Reckoner(const Reckoner&) = delete;
    Reckoner& operator=(const Reckoner&) = delete;

    // Works are done in the order asked, each pace by itself. What they throw on a thread is said on stderr.
    void ask(Work work, Pace pace);

private:
    struct State;
    std::unique_ptr<State> state_;
};

// One figure a page wants: the newest answer, and whether a newer one is on its way. Not shared between threads itself.
template <class T>
class Reckoned {
public:
    // Asks for it. An earlier ask is dropped, or ended early; the last answer stays until this one's comes.
    void ask(Reckoner& reckoner, std::function<T(Studio&, const StillWanted&)> work, Pace pace = Pace::quick) {
        auto slot = std::make_shared<Slot>();
        slot_ = slot;
        reckoner.ask(
            [slot = std::weak_ptr<Slot>(slot), work = std::move(work)](Studio& studio, const StillWanted& going_on) {
                const StillWanted wanted_still = [&] { return !slot.expired() && going_on(); };
                if (!wanted_still()) {
                    return;
                }
                auto value = std::make_shared<const T>(work(studio, wanted_still));
                if (const auto wanted = slot.lock()) {
                    const std::lock_guard lock(wanted->mutex);
                    wanted->value = std::move(value);
                }
            },
            pace);
    }
    // Takes up an answer that has come; true when there was one.
    bool look() {
        if (!slot_) {
            return false;
        }
        const std::lock_guard lock(slot_->mutex);
        if (!slot_->value) {
            return false;
        }
        value_ = slot_->value;
        slot_->value.reset();
        return true;
    }
    [[nodiscard]] const T* latest() const { return value_.get(); }
    [[nodiscard]] bool asked() const { return slot_ != nullptr; }
    // The answer no longer fits what is shown.
    void forget() {
        slot_.reset();
        value_.reset();
    }

private:
    struct Slot {
        std::mutex mutex;
        std::shared_ptr<const T> value;
    };
    std::shared_ptr<Slot> slot_;
    std::shared_ptr<const T> value_;
};

}  // namespace tonebath::app
