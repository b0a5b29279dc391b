// Paper and files in the making: one at a time, beside the window, with how far it has come.
#pragma once

#include "app/paper/paper_forms.hpp"
#include "app/reckoner.hpp"
#include "window/panels/list_sheet.hpp"
#include "window/panels/page.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::window {

// What can be put on paper or into files, for the sheet that lists it; every word typed must stand in a line.
[[nodiscard]] std::vector<ListEntry> paper_for(const std::string& typed);

class PaperDesk {
public:
    ~PaperDesk() { drop(); }
    // Begins it on a thread of the reckoner. One that is under way is stopped.
    void begin(const app::Form& form, app::Reckoner& reckoner);
    // Leaves nothing of it behind. One that brings records in answers once more: it may have been done before it heard.
    void stop();
    // The same, and no answer is waited for.
    void drop();
    [[nodiscard]] bool at_work() const { return going_.has_value(); }
    [[nodiscard]] bool stopping() const { return going_ && going_->stopping; }
    // "Record pack: 42 %, dip.csv · Esc stops it".
    [[nodiscard]] std::string words() const;
    // The answer, once, when it has come.
    [[nodiscard]] std::optional<Told> take();

private:
    struct Course;
    struct Going {
        app::Form form;
        std::string label;
        std::shared_ptr<Course> course;
        app::Reckoned<Result<app::Outcome>> answer;
        bool writes = false, stopping = false;
    };
    std::optional<Going> going_;
    std::optional<Told> done_;
};

}  // namespace tonebath::window
