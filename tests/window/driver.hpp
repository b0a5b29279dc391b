// Hands and eyes for tests of the window: runs pages without a display, presses their widgets by the words on them,
// reads what they show, and takes pictures.
#pragma once

#include "support/image.hpp"
#include "window/widgets/ui.hpp"

#include <functional>
#include <memory>
#include <string>
#include <string_view>

struct ImGuiContext;

namespace tonebath::testing {

struct Screen {
    int width = 1280;  // px at scale 1
    int height = 800;
    float scale = 1;
    std::string theme = "slate";  // slate, chalk, contrast
    bool reduced_motion = false;
};

class Driver {
public:
    using Page = std::function<void(window::Ui&)>;

    explicit Driver(Page page, Screen screen = {});
    ~Driver();
    Driver(const Driver&) = delete;
    Driver& operator=(const Driver&) = delete;

    // Frames of a sixtieth of a second, with the input gathered since the last one going into the first of them.
    void frames(int count = 1);
    // One frame with exactly this input.
    void feed(window::InputFrame input);
    // By path ("baths/reading"), by the end of a path, or by label; fails the test when there is none or it is out of
    // reach.
    void click(std::string_view path_or_label);
    void click_at(window::Vec2 at);
    // Pointer down, moves and up again.
    void drag(window::Vec2 from, window::Vec2 to);
    void move_to(window::Vec2 at);
    void wheel(window::Vec2 at, float notches);
    void press(window::Key key, window::Mods mods = {});
    // A typed text with the key presses that make it, where they are letters or digits.
    void type(std::string_view text);
    void set_page(Page page) { page_ = std::move(page); }
    void set_theme(std::string_view name);

    [[nodiscard]] const window::Probe& probe() const { return probe_; }
    [[nodiscard]] const window::ProbeWidget& widget(std::string_view path_or_label) const;  // fails when there is none
    [[nodiscard]] bool has(std::string_view path_or_label) const;
    [[nodiscard]] bool shows(std::string_view words) const { return probe_.shows(words); }
    [[nodiscard]] std::string focused() const { return ui_.focused_path(); }
    [[nodiscard]] std::vector<window::ProbeFinding> findings() const;
    [[nodiscard]] window::Ui& ui() { return ui_; }
    [[nodiscard]] const window::FontSet& fonts() const;
    [[nodiscard]] Image picture();
    [[nodiscard]] std::string& clipboard() { return clipboard_; }
    [[nodiscard]] int vertices() const { return vertices_; }

    // Themes and look from data/themes.
    [[nodiscard]] static const window::LookBook& look_book();

private:
    Page page_;
    Screen screen_;
    ImGuiContext* context_ = nullptr;
    const window::Theme* theme_ = nullptr;
    window::Ui ui_;
    window::Probe probe_;
    window::InputFrame input_;
    std::string clipboard_;
    double now_s_ = 0;
    int vertices_ = 0;
};

}  // namespace tonebath::testing
