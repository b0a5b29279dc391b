// Work on the log that takes longer than a frame, on a thread with a connection of its own: backups, rehearsing a restore,
// looking at another bench's log and joining it. One at a time, with how far it is and a way to give it up.
#pragma once

#include "app/join.hpp"
#include "app/log_care.hpp"
#include "app/studio.hpp"

#include <functional>
#include <memory>
#include <optional>
#include <variant>

namespace tonebath::app {

struct BackUpTask {
    bool only_when_due = false;  // scheduled: nothing is done or said while the newest one is younger than a day
};
struct ListTask {};      // the backups that there are, each opened and looked at
struct RehearseTask {};  // the newest backup
struct LookTask {
    JoinAsk ask;
};
struct JoinTask {
    JoinAsk ask;
};
using LogTask = std::variant<BackUpTask, ListTask, RehearseTask, LookTask, JoinTask>;

struct LogTold {
    std::string said;                  // one line
    bool ok = true;
    bool of_other = false;             // of the other bench's log; else of backups
    bool quiet = false;                // the backup of the day, a list: nothing is said of it
    std::optional<JoinNews> join;      // of a look or a join
    std::optional<Rehearsed> rehearsed;
    std::optional<RecordTable> backups;
};

class LogDesk {
public:
    // `wake` asks for a frame, from the thread. `clock` outlives it.
    LogDesk(StudioOptions options, const Clock& clock, std::function<void()> wake);
    // At once, on the asking thread: for pictures, tests and a log in memory. `studio` outlives it.
    explicit LogDesk(Studio& studio);
    // Gives up what is under way.
    ~LogDesk();
    LogDesk(const LogDesk&) = delete;
    LogDesk& operator=(const LogDesk&) = delete;

    // False where something else is under way.
    bool ask(LogTask task);
    void give_up();
    [[nodiscard]] bool busy() const;
    [[nodiscard]] double share_done() const;  // 0..1
    // What came of it, once.
    [[nodiscard]] std::optional<LogTold> take();

private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace tonebath::app
