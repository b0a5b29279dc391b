// The studio: an open log, who is at the bench, the clock, and what can be done. One per connection, one thread.
#pragma once

#include "app/checklist_file.hpp"
#include "app/form.hpp"
#include "base/clock.hpp"
#include "base/ids.hpp"
#include "base/quantity_text.hpp"
#include "base/result.hpp"
#include "model/finish_kind.hpp"
#include "model/person.hpp"

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::store {
class Log;
class WindowLock;
}  // namespace tonebath::store

namespace tonebath::app {

struct StudioOptions {
    std::filesystem::path log;  // the file; empty = in memory (tests)
    bool create = false;        // make it when it is not there
    bool read_only = false;
    // Take the place of the one window that writes; when it is taken, read_only comes out set.
    bool hold_window = false;
    // The demo's today stands still, so that two pictures of it are equal.
    bool hold_clock = false;
    UnitChoice units;
    std::filesystem::path data;        // folder of the program's own data; empty = where the program finds its own
    std::filesystem::path checklists;  // folder of the checklists; empty = beside the data
    std::filesystem::path own_checklists;  // the studio's own, which may be missing; empty = none
};

class Studio {
public:
    // Opens the log; seeds a new one with the metals, scales and words of data/ (one change, "first words").
    // `clock` outlives the studio. A log that carries an as-of time (the demo) brings its own clock instead.
    [[nodiscard]] static Result<std::unique_ptr<Studio>> open(const StudioOptions& options, const Clock& clock);
    ~Studio();
    Studio(const Studio&) = delete;
    Studio& operator=(const Studio&) = delete;

    // Checks the form with the model's rules and writes it in one change. On a refusal nothing is written; a question
    // that may be kept carries its code, which goes into Form::kept. A StoreError becomes the refusal "log.trouble".
    [[nodiscard]] Result<Outcome> carry_out(const Form& form);

    // Undo of this sitting: the step that would be taken back or brought forward, and doing it.
    [[nodiscard]] std::optional<std::string> undo_step();
    [[nodiscard]] std::optional<std::string> redo_step();
    Result<Outcome> undo();
    Result<Outcome> redo();
    // From when on steps are of this sitting; from opening on where nothing else is said. Commands, each a studio of its
    // own, share one sitting.
    void set_sitting(const Stamp& since) { sitting_since_ = since; }

    // A dated backup beside the log (the last ten are kept), and the window's place given up. The log stays readable.
    // A backup that cannot be written is said on stderr and stops nothing.
    void close();

    [[nodiscard]] store::Log& log() { return *log_; }
    [[nodiscard]] const Clock& clock() const { return *clock_; }
    [[nodiscard]] Stamp now() const { return clock_->now(); }
    [[nodiscard]] const StudioOptions& options() const { return options_; }
    [[nodiscard]] const UnitChoice& units() const { return options_.units; }
    void set_units(const UnitChoice& units) { options_.units = units; }
    [[nodiscard]] IdSource& ids() { return ids_; }
    [[nodiscard]] bool demo() const { return demo_; }  // an invented studio: say so everywhere
    [[nodiscard]] std::optional<Person> at_bench();    // who is at the bench
    [[nodiscard]] std::optional<Stamp> last_written() const { return last_written_; }
    // Kinds of finish as the program's data have them, and the lists with those of the studio's own folder.
    [[nodiscard]] const std::vector<FinishKind>& finish_kinds() const { return finish_kinds_; }
    // The kind with this key; "unknown" (which counts as acid) when the log holds one that this program does not know.
    [[nodiscard]] const FinishKind& finish_kind(std::string_view key) const;
    [[nodiscard]] const ChecklistBook& checklists() const { return checklists_; }
    // Rises when the log's content changed, by this studio or another program: views older than it are stale.
    [[nodiscard]] std::int64_t generation();

    // For action handlers: does `work` inside one Change named `step`; nothing is written when it refuses. `takes_back`
    // is the change that this one withdraws, where records that are never removed were part of it.
    Result<Outcome> write(const std::string& step, const std::function<Result<Outcome>()>& work,
                          const std::string& takes_back = {});

private:
    Studio(StudioOptions options, const Clock& clock, std::unique_ptr<store::Log> log);
    StudioOptions options_;
    std::unique_ptr<Clock> own_clock_;
    const Clock* clock_;
    std::unique_ptr<store::WindowLock> window_lock_;
    std::unique_ptr<store::Log> log_;
    IdSource ids_;
    std::vector<FinishKind> finish_kinds_;
    ChecklistBook checklists_;
    Stamp sitting_since_;
    std::optional<Stamp> last_written_;
    bool demo_ = false;
};

}  // namespace tonebath::app
