// What a page is: it reads a view of the log, draws it, and adds wishes. It never writes and never computes.
#pragma once

#include "app/form.hpp"
#include "base/clock.hpp"
#include "base/quantity_text.hpp"
#include "model/cue.hpp"
#include "window/widgets/buttons.hpp"
#include "window/widgets/field.hpp"
#include "window/widgets/rail.hpp"

#include <limits>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace tonebath::app {
class Studio;
class Learned;
class Reckoner;
}  // namespace tonebath::app

namespace tonebath::window {

enum class PageName : std::uint8_t { today, bench, baths, tones, pieces, stones, coats, safety };
inline constexpr int kPageCount = 8;
[[nodiscard]] std::string_view page_word(PageName page);  // "Today"
[[nodiscard]] std::optional<PageName> page_of_noun(std::string_view noun);  // where a record of it is shown
[[nodiscard]] std::optional<PageName> page_from(std::string_view name);  // "today", any case

// Carry a form out. The answer comes back to the page (or sheet) that wished it, in the same frame, by Page::told.
struct WishForm {
    app::Form form;
};
struct WishPage {
    PageName page = PageName::today;
    std::string record;                          // id of the record to choose there; may be empty
};
// Open the sheet with the action's form, some of it filled in.
struct WishSheet {
    std::string action;                          // "bath.make-up"
    std::map<std::string, std::string> filled;
};
struct WishUndo {};
struct WishRedo {};
struct WishDemo {
    bool open = true;                            // false: back to her own log
};
struct WishFind {
    std::string text;
};
struct WishActions {};  // find an action by typing
struct WishFillIn {};   // the list of what was skipped
struct WishRepeat {
    std::string number;                          // of an order or a piece wanted again; empty: choose one
};
struct WishHelp {
    std::string topic;                           // page of the manual; empty: the present page's
};
struct WishClass {
    std::string number;                          // of a class; empty: the one that goes on, or the next
};
using Wish = std::variant<WishForm, WishPage, WishSheet, WishUndo, WishRedo, WishDemo, WishFind, WishActions, WishFillIn, WishRepeat, WishHelp, WishClass>;

class Wishes {
public:
    void add(Wish wish) { all_.push_back(std::move(wish)); }
    [[nodiscard]] std::vector<Wish> take() { return std::exchange(all_, {}); }

private:
    std::vector<Wish> all_;
};

// What every page may know without asking the log.
struct Glance {
    Stamp now;
    UnitChoice units;
    std::string who;             // initials at the bench; empty = nobody chosen
    bool demo = false;
    bool read_only = false;
    bool empty = true;           // a log without a lot, a bath, a strip or a piece
    bool fitting = false;        // the learner is at work
    bool dip_running = false;
    // The unit that a bare temperature is read in: "°C" or "°F".
    [[nodiscard]] std::string temperature_unit() const {
        return units.temperature == UnitChoice::Temperature::celsius ? "°C" : "°F";
    }
};

// The answer to a form.
struct Told {
    app::Form form;
    Result<app::Outcome> answer;
};

class Page {
public:
    virtual ~Page() = default;
    [[nodiscard]] virtual PageName name() const = 0;
    [[nodiscard]] virtual LoopArc arc() const = 0;
    // At the right of the rail, before the clock: one fact about the room or bath. May be empty.
    [[nodiscard]] virtual std::string fact() const { return {}; }
    // Reads its view anew: called before the first frame and whenever the log or the fit changed. `learned` may be null
    // until the first fit is there.
    virtual void read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned) = 0;
    // Called before each frame: reads what the last one asked for (another row, a longer search). Cheap when nothing was.
    virtual void catch_up() {}
    // Where to have worked out what takes longer than a frame; called once for each log opened, before it is read.
    virtual void lend(app::Reckoner& reckoner) { static_cast<void>(reckoner); }
    // Draws between rail and foot (page_rect). All keys of the page are listened for here or by its foot hints.
    virtual void draw(Ui& ui, const Glance& glance, Wishes& wishes) = 0;
    // At most five; a hint that is pressed comes back by `hint_used`, as does an action of this page whose letter is not among
    // them: its form is opened, filled in with what is chosen.
    [[nodiscard]] virtual std::vector<FootHint> hints() const = 0;
    virtual void hint_used(std::string_view id, Wishes& wishes) = 0;
    virtual void told(const Told& told) { static_cast<void>(told); }
    // Choose this record, by id or number.
    virtual void choose(std::string_view record) { static_cast<void>(record); }
    // Show this of the page's views ("why", "drift"); unknown names are passed over.
    virtual void show_view(std::string_view view) { static_cast<void>(view); }
    // What this page is to say aloud from now on, shown or not.
    [[nodiscard]] virtual std::vector<Cue> cues() const { return {}; }
    // Hands are full: the machine must not fall asleep.
    [[nodiscard]] virtual bool hands_full() const { return false; }
    // Seconds until the picture changes without input; infinity: never.
    [[nodiscard]] virtual double seconds_to_next_change() const { return std::numeric_limits<double>::infinity(); }
};

// The keys that act on this page: what its foot shows, then the actions of its own that have a letter which the foot left
// free. What "find an action", the list of keys and the page itself listen to.
[[nodiscard]] std::vector<FootHint> page_keys(const Page& page);

// The answers of a refusal, each with the first letter of its words that is still free.
[[nodiscard]] std::vector<QuestionAnswer> question_answers(const Refusal& refusal);

}  // namespace tonebath::window
