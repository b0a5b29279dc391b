// The sheet "The log": backups and the rehearsal of a restore, and joining the log of another bench: look first, then join.
#pragma once

#include "app/log_desk.hpp"
#include "window/panels/page.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/table.hpp"

#include <memory>
#include <optional>
#include <string>

namespace tonebath::window {

class LogSheet {
public:
    // `desk` does the work; it outlives what is drawn.
    void lend(app::LogDesk& desk) { desk_ = &desk; }
    // With another bench's log: looked at straight away.
    void open(app::Studio& studio, const std::string& other = {});
    [[nodiscard]] bool is_open() const { return open_; }
    // Looks whether the desk has an answer. True once when it came: what was said is for the foot.
    [[nodiscard]] std::optional<app::LogTold> catch_up(app::Studio& studio);
    void draw(Ui& ui, float hung_from_x, const Glance& glance);

private:
    void read(app::Studio& studio);
    void draw_backups(Ui& ui, Rect place);
    void draw_join(Ui& ui, Rect place, const Glance& glance);
    void draw_answer(Ui& ui, Rect place);
    [[nodiscard]] app::JoinAsk ask() const;

    app::LogDesk* desk_ = nullptr;
    bool open_ = false, focus_first_ = false;
    std::optional<app::RecordTable> backups_;    // nothing until they were looked at
    bool listed_ = false;                        // that was asked for, and none was made since
    std::string file_, mark_;                    // of this log
    FieldState other_, other_mark_, clock_;
    std::optional<app::LogTold> care_, look_;    // of backups; of the other log
    app::JoinAsk looked_at_;                     // what the look was of: a join is of the same
    ScrollState scroll_;
};

}  // namespace tonebath::window
