// What the log has taught: the tone model fitted to this studio's strips and pieces.
#pragma once

#include "base/clock.hpp"
#include "base/ids.hpp"
#include "model/bath.hpp"
#include "model/dip.hpp"
#include "model/tone.hpp"
#include "science/dose.hpp"

#include <condition_variable>
#include <filesystem>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

namespace tonebath::app {

class Studio;

// One fit, with the map from the log's records to its rows. Immutable; shared between the worker and the pages, because
// a page may still draw from the last fit while the next one is made.
class Learned;

// The rate law at the middle of what was learned: for telling doses.
[[nodiscard]] science::RateLaw law_of(const Learned& learned);

// Where a tone begins, as dose: seconds at 60 °C, fresh. 80 % limits.
struct ToneBegins {
    double middle_s = 0.0;
    double low_s = 0.0;
    double high_s = 0.0;
};
// For each tone of the scale in order; the first (bare metal) begins at 0. Empty for a scale the fit does not know.
[[nodiscard]] std::vector<ToneBegins> tone_begins(const Learned& learned, const Id<ToneScale>& scale);
// How much faster this bath (and its lot) is than usual, on log dose; 0 where nothing is known of it.
[[nodiscard]] double bath_log_speed(const Learned& learned, const Id<Bath>& bath);

// Reads the log and fits, now, on the calling thread (commands; tests).
[[nodiscard]] std::shared_ptr<const Learned> learn(Studio& studio);

// Fits on a thread of its own with its own read-only connection; the window never waits for it.
class Learner {
public:
    // `wake` is called from the worker when a new fit is ready.
    Learner(std::filesystem::path log, std::function<void()> wake);
    ~Learner();
    // Ask for a fit of the log as it is now; several asks while one runs become one.
    void ask();
    // The newest fit, or none yet.
    [[nodiscard]] std::shared_ptr<const Learned> latest() const;
    [[nodiscard]] bool busy() const;

private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace tonebath::app
