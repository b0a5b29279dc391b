#include "app/log_desk.hpp"

#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <utility>

namespace tonebath::app {

namespace {

LogTold told(const Refusal& no) { return {.said = no.text(), .ok = false}; }

struct Doer {
    Studio& studio;
    const JoinGoesOn& goes_on;

    std::optional<LogTold> operator()(const BackUpTask& task) const {
        if (task.only_when_due && !backup_due(studio)) {
            return std::nullopt;
        }
        const auto file = back_up(studio);
        return file ? LogTold{.said = "Backup written and read back: " + file->filename().string(), .quiet = task.only_when_due} : told(file.error());
    }
    std::optional<LogTold> operator()(const ListTask&) const {
        LogTold all{.quiet = true};
        all.backups = backup_list(studio.options().log);
        return all;
    }
    std::optional<LogTold> operator()(const RehearseTask&) const {
        auto done = rehearse_restore(studio, {}, goes_on);
        if (!done) {
            return told(done.error());
        }
        LogTold all{.said = done->said, .ok = done->sound};
        all.rehearsed = std::move(done).value();
        return all;
    }
    std::optional<LogTold> operator()(const LookTask& task) const { return of(look_at_join(studio, task.ask, goes_on)); }
    std::optional<LogTold> operator()(const JoinTask& task) const { return of(join_log(studio, task.ask, goes_on)); }

    static LogTold of(Result<JoinNews> news) {
        LogTold all = news ? LogTold{.said = news->said} : told(news.error());
        all.of_other = true;
        if (news) {
            all.join = std::move(news).value();
        }
        return all;
    }
};

}  // namespace

struct LogDesk::State {
    Studio* at_once = nullptr;
    StudioOptions options;
    const Clock* clock = nullptr;
    std::function<void()> wake;
    mutable std::mutex mutex;
    std::optional<LogTold> answer;
    std::atomic<bool> busy = false, stop = false;
    std::atomic<std::int64_t> done = 0, all = 0;
    std::thread thread;

    std::optional<LogTold> work(Studio& studio, const LogTask& task) {
        std::int64_t told_at = 0;
        const JoinGoesOn goes_on = [&](std::int64_t so_far, std::int64_t of) {
            done = so_far;
            all = of;
            // A frame for each hundredth.
            if (wake && of > 0 && (so_far - told_at) * 100 >= of) {
                told_at = so_far;
                wake();
            }
            return !stop;
        };
        return std::visit(Doer{studio, goes_on}, task);
    }

    void run(const LogTask& task) {
        std::optional<LogTold> came;
        try {
            auto studio = Studio::open(options, *clock);
            came = studio ? work(**studio, task) : std::optional(told(studio.error()));
        } catch (const std::exception& problem) {
            came = LogTold{.said = problem.what(), .ok = false};
        }
        {
            const std::lock_guard lock(mutex);
            answer = std::move(came);
        }
        busy = false;
        if (wake) {
            wake();
        }
    }
};

LogDesk::LogDesk(StudioOptions options, const Clock& clock, std::function<void()> wake) : state_(std::make_unique<State>()) {
    options.create = false;
    options.hold_window = false;
    state_->options = std::move(options);
    state_->clock = &clock;
    state_->wake = std::move(wake);
}

LogDesk::LogDesk(Studio& studio) : state_(std::make_unique<State>()) { state_->at_once = &studio; }

LogDesk::~LogDesk() {
    state_->stop = true;
    if (state_->thread.joinable()) {
        state_->thread.join();
    }
}

bool LogDesk::ask(LogTask task) {
    if (state_->busy) {
        return false;
    }
    if (state_->at_once != nullptr) {
        state_->answer = state_->work(*state_->at_once, task);
        return true;
    }
    if (state_->thread.joinable()) {
        state_->thread.join();
    }
    state_->busy = true;
    state_->stop = false;
    state_->done = 0;
    state_->all = 0;
    state_->thread = std::thread([state = state_.get(), task = std::move(task)] { state->run(task); });
    return true;
}

void LogDesk::give_up() { state_->stop = true; }

bool LogDesk::busy() const { return state_->busy; }

double LogDesk::share_done() const {
    const std::int64_t all = state_->all;
    return all > 0 ? static_cast<double>(state_->done) / static_cast<double>(all) : 0.0;
}

std::optional<LogTold> LogDesk::take() {
    const std::lock_guard lock(state_->mutex);
    return std::exchange(state_->answer, std::nullopt);
}

}  // namespace tonebath::app
