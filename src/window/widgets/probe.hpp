// What one frame showed: every widget and every text, for tests, for the key list and for the lint of the pages.
#pragma once

#include "window/widgets/geometry.hpp"
#include "window/widgets/theme.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::window {

using WidgetId = std::uint64_t;  // 0: none

struct ProbeWidget {
    WidgetId id = 0;
    std::string path{};    // "baths/reading/temperature"
    std::string kind{};    // "button", "field", "strip", ...
    std::string label{};   // words a person would use for it
    std::string value{};   // what it holds or shows
    std::string key{};     // key cap printed on it, if any
    std::string reason{};  // why it cannot be used
    Rect rect{};           // what a pointer must hit
    Colour fg{};           // colour of its label
    Colour bg{};           // colour behind its label
    bool enabled = true;
    bool interactive = true;  // takes presses
    bool focused = false;
    bool bench = false;  // pressed in gloves
    int layer = 0;       // what is on a later layer covers it
};
struct ProbeText {
    std::string text;
    Rect rect;  // of the letters
    Type type = Type::body;
    Colour fg;
    Colour bg;             // what it was said to stand on
    bool clipped = false;  // reaches outside the clipping rectangle
    int layer = 0;
};
struct ProbeFinding {
    std::string path;
    std::string what;
};

class Probe {
public:
    void clear();
    void add(ProbeWidget widget) { widgets_.push_back(std::move(widget)); }
    void add(ProbeText text) { texts_.push_back(std::move(text)); }

    [[nodiscard]] const std::vector<ProbeWidget>& widgets() const { return widgets_; }
    [[nodiscard]] const std::vector<ProbeText>& texts() const { return texts_; }
    // By path; a path without a match is looked for at the end of each path ("temperature").
    [[nodiscard]] const ProbeWidget* find(std::string_view path) const;
    // The first one with this label on the topmost layer that has it.
    [[nodiscard]] const ProbeWidget* find_label(std::string_view label) const;
    // True when the words stand somewhere in one drawn text, or across the texts of one line.
    [[nodiscard]] bool shows(std::string_view words) const;
    // One line a widget: kind, path, label, value, key, enabled or why not. Stable, for golden files.
    [[nodiscard]] std::string dump() const;
    // Every text, top to bottom and left to right, one line a row.
    [[nodiscard]] std::string screen_text() const;

private:
    std::vector<ProbeWidget> widgets_;
    std::vector<ProbeText> texts_;
};

// The lint of a page. scale: as the fonts were built.
[[nodiscard]] std::vector<ProbeFinding> find_duplicate_ids(const Probe& probe);
[[nodiscard]] std::vector<ProbeFinding> find_missing_labels(const Probe& probe);
// Pointer targets under 24 px, bench targets under 48 px on the shorter side, at scale 1 (WCAG 2.2, 2.5.8 and 2.5.5).
[[nodiscard]] std::vector<ProbeFinding> find_small_targets(const Probe& probe, float scale);
[[nodiscard]] std::vector<ProbeFinding> find_unexplained_refusals(const Probe& probe);  // disabled without a reason
[[nodiscard]] std::vector<ProbeFinding> find_key_clashes(const Probe& probe);  // one key on two enabled widgets
[[nodiscard]] std::vector<ProbeFinding> find_clipped_texts(const Probe& probe, const Rect& screen);
[[nodiscard]] std::vector<ProbeFinding> all_findings(const Probe& probe, float scale, const Rect& screen);

}  // namespace tonebath::window
