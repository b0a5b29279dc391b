#include "window/panels/paper_desk.hpp"

#include "app/studio.hpp"
#include "base/check.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <mutex>

namespace tonebath::window {

// Shared with the thread that is at it.
struct PaperDesk::Course {
    mutable std::mutex mutex;
    std::string what;
    double share = 0.0;
    bool stopped = false;

    bool tell(std::string_view now_at, double now_share) {
        const std::lock_guard lock(mutex);
        what = now_at;
        share = now_share;
        return !stopped;
    }
};

std::vector<ListEntry> paper_for(const std::string& typed) {
    const std::vector<std::string> words = split(folded(trimmed(typed)), ' ');
    std::vector<ListEntry> entries;
    for (const app::PaperForm& form : app::paper_forms()) {
        const std::string all = folded(form.words.label + " " + form.words.help);
        if (std::all_of(words.begin(), words.end(), [&all](const std::string& word) { return all.find(word) != std::string::npos; })) {
            entries.push_back({.id = form.words.id, .cap = {}, .words = form.words.label, .more = form.words.help});
        }
    }
    // What is called so stands before what only speaks of it.
    const std::string called = folded(trimmed(typed));
    std::stable_partition(entries.begin(), entries.end(), [&called](const ListEntry& entry) { return folded(entry.words).starts_with(called); });
    return entries;
}

void PaperDesk::begin(const app::Form& form, app::Reckoner& reckoner) {
    drop();
    const app::PaperForm* spec = app::find_paper_form(form.action);
    TB_CHECK(spec != nullptr);
    Going& going = going_.emplace(Going{.form = form, .label = spec->words.label, .course = std::make_shared<Course>(), .answer = {}, .writes = spec->writes});
    going.answer.ask(
        reckoner,
        [form, course = going.course](app::Studio& studio, const app::StillWanted& wanted) {
            return app::carry_out_paper(studio, form, [&](std::string_view what, double share) { return course->tell(what, share) && wanted(); });
        },
        spec->writes ? app::Pace::writing : app::Pace::slow);
}

void PaperDesk::stop() {
    if (!going_ || !going_->writes) {
        drop();
        return;
    }
    going_->stopping = true;
    const std::lock_guard lock(going_->course->mutex);
    going_->course->stopped = true;
}

void PaperDesk::drop() {
    if (going_) {
        const std::lock_guard lock(going_->course->mutex);
        going_->course->stopped = true;
    }
    going_.reset();
}

std::string PaperDesk::words() const {
    if (!going_) {
        return {};
    }
    constexpr double kPercent = 100.0;
    const std::lock_guard lock(going_->course->mutex);
    return fmt::format("{}: {} %{}{} · Esc stops it", going_->label, static_cast<int>(going_->course->share * kPercent), going_->course->what.empty() ? "" : ", ",
                       going_->course->what);
}

std::optional<Told> PaperDesk::take() {
    if (going_ && going_->answer.look()) {
        done_ = Told{.form = going_->form, .answer = *going_->answer.latest()};
        going_.reset();
    }
    return std::exchange(done_, std::nullopt);
}

}  // namespace tonebath::window
