// The window itself: made by GLFW, with callbacks that only queue what happened.
#pragma once

#include "base/clock.hpp"
#include "base/result.hpp"
#include "window/shell/input_queue.hpp"
#include "window/shell/settings.hpp"

#include <memory>
#include <string>

struct GLFWwindow;

namespace tonebath::window {

// What came from the display since it was last looked at. Flags are taken down by whoever acts on them.
struct DisplayEvents {
    InputQueue input;
    bool anything = false;       // any event at all: the picture may change
    bool uncovered = false;      // the display lost the picture: draw it again
    bool scale_changed = false;  // moved to a display with other pixels
    bool close_asked = false;
};

class GlfwWindow {
public:
    enum class Shown : bool { no, yes };

    // size_px: in pixels of the display. Tries OpenGL 3.3 core, then 3.0. Refuses ("display.none", "display.no_opengl")
    // with words that name the command line. The clock stamps key presses; it must outlive the window.
    [[nodiscard]] static Result<std::unique_ptr<GlfwWindow>> open(const std::string& title, WindowSize size_px,
                                                                  Shown shown, const Clock& clock);
    ~GlfwWindow();
    GlfwWindow(const GlfwWindow&) = delete;
    GlfwWindow& operator=(const GlfwWindow&) = delete;

    [[nodiscard]] DisplayEvents& events() { return events_; }
    [[nodiscard]] const char* glsl() const { return glsl_; }
    [[nodiscard]] float content_scale() const;     // of the display, 1 when it does not say
    [[nodiscard]] WindowSize drawable_px() const;  // 0x0 while minimised
    [[nodiscard]] WindowSize windowed_px() const;  // the size outside full screen
    [[nodiscard]] bool full_screen() const { return full_screen_; }
    void set_full_screen(bool on);
    void set_title(const std::string& title);
    void swap();

    // Waits up to seconds (0: only looks) and runs the callbacks.
    void wait(double seconds);
    [[nodiscard]] double seconds() const;         // since the start, runs on
    [[nodiscard]] std::string clipboard() const;  // empty when it holds no text
    void set_clipboard(const std::string& text);

    // From any thread: ends a wait that is going on.
    static void wake();

private:
    explicit GlfwWindow(const Clock& clock) : clock_(clock) {}
    void listen();
    [[nodiscard]] Vec2 in_pixels(double x, double y) const;

    const Clock& clock_;
    GLFWwindow* window_ = nullptr;
    const char* glsl_ = nullptr;
    DisplayEvents events_;
    std::string title_;
    bool full_screen_ = false;
    int x_ = 0, y_ = 0, width_ = 0, height_ = 0;  // outside full screen, in the display's own measure
};

}  // namespace tonebath::window
