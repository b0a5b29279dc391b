// What the log shows of the studio itself, in place of the records on Tones: how baths drifted, how groups of pieces
// compare, and how often the program kept its promises.
#pragma once

#include "app/learning.hpp"
#include "app/reckoner.hpp"
#include "app/views/explain_view.hpp"
#include "window/widgets/buttons.hpp"
#include "window/widgets/plot.hpp"
#include "window/widgets/table.hpp"

#include <memory>
#include <string>
#include <string_view>

namespace tonebath::window {

class Findings {
public:
    void lend(app::Reckoner& reckoner);
    // The log or the fit changed: what is shown is worked out again.
    void read(const std::shared_ptr<const app::Learned>& learned);
    // Shows "drift", "groups" or "promises"; anything else: none of them.
    void show(std::string_view what);
    [[nodiscard]] const std::string& shown() const { return shown_; }
    // Metal and surface that groups are compared on, as the page has chosen it.
    void set_scale(const std::string& scale);
    // Each frame while the page is shown: asks for what is shown, takes up what has come.
    void catch_up();
    void draw(Ui& ui, const Rect& r);

private:
    void draw_drift(Ui& ui, const Rect& r);
    void draw_groups(Ui& ui, Rect r);
    void draw_promises(Ui& ui, const Rect& r);

    app::Reckoner* reckoner_ = nullptr;
    std::shared_ptr<const app::Learned> learned_;
    std::string shown_;
    bool drift_stale_ = true, groups_stale_ = true, promises_stale_ = true;
    app::Reckoned<app::DriftView> drift_;
    app::Reckoned<app::GroupsView> groups_;
    app::Reckoned<app::MarksView> promises_;
    std::string scale_;
    std::string by_ = "who";
    std::string batch_, part_;
    ChoiceState batch_list_, part_list_;
    PlotState plot_;
    ScrollState scroll_;
};

}  // namespace tonebath::window
