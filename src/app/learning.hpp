// What the log has taught: the tone model fitted to this studio's strips and pieces.
#pragma once

#include "app/studio.hpp"
#include "base/clock.hpp"
#include "base/ids.hpp"
#include "model/bath.hpp"
#include "model/dip.hpp"
#include "model/tone.hpp"
#include "science/dose.hpp"

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace tonebath::app {

struct BathHistory;

// One fit, with the map from the log's records to its rows. Immutable; shared between the worker and the pages, because
// a page may still draw from the last fit while the next one is made.
class Learned;

// The rate law at the middle of what was learned, with the fade of open hot baths, or of covered ones.
[[nodiscard]] science::RateLaw law_of(const Learned& learned, bool covered = false);

// The law of every bath: wherever its strength is drawn or a dose is told, it is this one. Before a fit it is what is
// usual of heat and strength, without fade.
struct Laws {
    science::RateLaw open_hot, covered;
    [[nodiscard]] const science::RateLaw& of(const BathHistory& history) const;
};
[[nodiscard]] Laws laws_of(const Learned& learned);

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

// One strip or part as the fit saw it: its dose, and what was said of it.
enum class RecordKind { watched, judged, lighter, over, ceiling };
struct LearnedRecord {
    std::string what;        // "strip 139", "L-058 lid"
    std::string lot;         // number; empty = not known
    std::string bath;        // number
    double dose_s = 0.0;     // at 60 °C, fresh of this lot; this lot's and bath's own speed taken out
    double seconds = 0.0;    // real, in the bath
    double temp_c = 0.0;     // in the middle of its last dip
    double age_h = 0.0;      // of the bath then
    int tone = 0;            // position judged
    RecordKind kind = RecordKind::judged;
};
[[nodiscard]] std::vector<LearnedRecord> learned_records(const Learned& learned, const Id<ToneScale>& scale);

// A learned figure with its 80 % limits, in words people know, and what it was before any record.
struct LearnedFigure {
    std::string name;        // "how much faster when 10 °C hotter, at 55 °C"
    double middle = 0.0, low = 0.0, high = 0.0;
    double prior_middle = 0.0, prior_low = 0.0, prior_high = 0.0;
    std::string unit;        // "times", "h"
    std::string source;      // of the prior
};
[[nodiscard]] std::vector<LearnedFigure> learned_figures(const Learned& learned);

// What the records decided between, with the evidence: the law of fading, and the shape of the scatter.
struct LearnedChoices {
    double fade_zero_over_first = 0.0;  // log evidence; above 0 speaks for even fading
    double tails_over_normal = 0.0;     // above 0 speaks for long tails
    bool fades_evenly = false;
    bool long_tailed = false;
    std::string fade_words;
    std::string shape_words;
};
[[nodiscard]] LearnedChoices learned_choices(const Learned& learned);
[[nodiscard]] std::size_t records_used(const Learned& learned);

// Reads the log and fits, now, on the calling thread (commands; tests). Where `before` is a fit of this log less some
// records at the end, it goes on from what that one left (a few sweeps); else it starts from nothing.
[[nodiscard]] std::shared_ptr<const Learned> learn(Studio& studio, const Learned* before = nullptr);
[[nodiscard]] bool went_on_from_before(const Learned& learned);

// Fits on a thread of its own with its own read-only connection; the window never waits for it.
class Learner {
public:
    // `options` name the log (a file). `wake` is called from the worker when a new fit is ready. `clock` outlives it.
    Learner(StudioOptions options, const Clock& clock, std::function<void()> wake);
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
