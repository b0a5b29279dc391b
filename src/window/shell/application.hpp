// What the shell asks of the thing that it shows: draw a frame, say when the next change is due, take its leave.
#pragma once

#include "base/result.hpp"
#include "window/shell/settings.hpp"

#include <functional>
#include <limits>
#include <string>
#include <string_view>

namespace tonebath::window {

class Ui;
struct LookBook;

class Application {
public:
    virtual ~Application() = default;

    // Called once, before the first frame; look and settings live as long as the shell. What is changed in the settings
    // (theme, scale, full screen, reduced motion, units, page) is taken up between frames and written to their file.
    // wake: from any thread, asks for a frame soon, for work that was done on the side. A refusal is said, and the
    // window does not open.
    [[nodiscard]] virtual Result<Done> start(const LookBook& look, WindowSettings& settings,
                                             std::function<void()> wake) = 0;
    // Opens the page of that name ("today"). False when there is none.
    virtual bool open_page(std::string_view name) = 0;
    // Names for open_page, in the order of the rail.
    [[nodiscard]] virtual std::string page_names() const = 0;

    // Draws one frame. Nothing is saved, queried or computed here: wishes are collected for carry_out.
    virtual void frame(Ui& ui) = 0;
    // Right after the frame, before it is shown: does what was asked for, so that a press is on disk before anything
    // else happens. True when something changed, so that another frame is wanted.
    virtual bool carry_out() = 0;
    // Seconds until the picture changes without any input (a running dip, a clock, a transition). 0: at once;
    // infinity: never. Asked after every frame.
    [[nodiscard]] virtual double seconds_to_next_change() const { return std::numeric_limits<double>::infinity(); }

    // A plot of the frame that was drawn, as PNG and CSV, that its user wants kept.
    virtual void keep_plot(std::string_view /*name*/, const std::string& /*png*/, const std::string& /*csv*/) {}

    // For the window's frame; asked after every frame, never before start.
    [[nodiscard]] virtual std::string title() const = 0;
    // True while the machine should neither sleep nor blank its screen: a dip is running.
    [[nodiscard]] virtual bool keep_awake() const { return false; }
    // The window is about to go, by its close button or by a signal. Never asked twice.
    virtual void close() {}
};

}  // namespace tonebath::window
