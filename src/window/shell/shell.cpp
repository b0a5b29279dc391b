#include "window/shell/shell.hpp"

#include "base/files.hpp"
#include "window/shell/canvas.hpp"
#include "window/shell/glfw_window.hpp"
#include "window/shell/keep_awake.hpp"
#include "window/shell/stop_signals.hpp"
#include "window/widgets/fonts.hpp"
#include "window/widgets/theme.hpp"
#include "window/widgets/ui.hpp"

#include <fmt/format.h>
#include <imgui.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdio>
#include <optional>
#include <utility>

namespace tonebath::window {
namespace {

constexpr double kFrame_s = 1.0 / 60.0;  // between frames while something moves
constexpr double kLongestWait_s = 1.0;
constexpr double kSettingsPause_s = 2.0;  // settings are written when they have rested this long
constexpr int kFramesAfterInput = 3;      // focus and lists that open settle on the second
constexpr int kFramesForPicture = 120;    // two seconds of motion at 60 a second, at most

void say(const std::string& line) {
    std::fprintf(stderr, "tonebath: %s\n", line.c_str());
}

const Theme& theme_named(const LookBook& book, std::string_view name) {
    for (const Theme* theme : {&book.slate, &book.chalk, &book.contrast}) {
        if (theme->name == name) {
            return *theme;
        }
    }
    return book.slate;
}

// Letters for one scale and width; built anew when either changes.
class Letters {
public:
    Letters(Canvas& canvas, const Look& look) : canvas_(canvas), look_(look) {}

    const FontSet& for_size(float scale, WindowSize px) {
        const float em = static_cast<float>(px.width) / (look_.base_px * scale);
        const Width width = em < look_.width.narrow ? Width::narrow
                            : em > look_.width.wide ? Width::wide
                                                    : Width::normal;
        if (!fonts_ || fonts_->scale != scale || fonts_->width != width) {
            canvas_.atlas().Clear();
            fonts_ = build_fonts(canvas_.atlas(), look_, scale, width);
            canvas_.atlas_changed();
            for (const std::string& message : fonts_->messages) {
                if (!said_) {
                    say(message);
                }
            }
            said_ = true;
        }
        return *fonts_;
    }

private:
    Canvas& canvas_;
    const Look& look_;
    std::optional<FontSet> fonts_;
    bool said_ = false;
};

class Shell {
public:
    Shell(Application& application, const ShellSetup& setup, const LookBook& book, GlfwWindow& window,
          ReadSettings read)
        : application_(application),
          setup_(setup),
          book_(book),
          window_(window),
          canvas_(window.glsl()),
          letters_(canvas_, book.look),
          settings_(std::move(read.settings)),
          written_(settings_text(settings_)) {
        for (const std::string& message : read.messages) {
            say(message);
        }
        if (setup.options.theme) {
            settings_.theme = *setup.options.theme;
        }
        ui_.set_clipboard([this] { return window_.clipboard(); },
                          [this](const std::string& text) { window_.set_clipboard(text); });
    }

    [[nodiscard]] Result<Done> start() {
        return application_.start(book_, settings_, [this] {
            woken_ = true;
            GlfwWindow::wake();
        });
    }

    // False when the page that was asked for does not exist; the last one shown is only a wish.
    [[nodiscard]] bool open_first_page() {
        if (setup_.options.page) {
            if (!application_.open_page(*setup_.options.page)) {
                say(fmt::format("--page {}: there is no page of that name. There are: {}.", *setup_.options.page,
                                application_.page_names()));
                return false;
            }
            return true;
        }
        application_.open_page(settings_.page);
        return true;
    }

    int save_picture() {
        const float scale = setup_.options.scale.value_or(1.0F);
        const WindowSize size = setup_.options.size.value_or(WindowSize{});
        const WindowSize px{static_cast<int>(std::lround(static_cast<float>(size.width) * scale)),
                            static_cast<int>(std::lround(static_cast<float>(size.height) * scale))};
        // Until nothing moves any more; a running dip never rests, hence the limit.
        bool changed = true;
        for (int i = 0; i < kFramesForPicture && (i < kFramesAfterInput || changed || ui_.wants_next_frame()); ++i) {
            draw_frame(px, scale, static_cast<float>(kFrame_s), i * kFrame_s, InputFrame{});
            canvas_.end();
            changed = application_.carry_out();
        }
        try {
            write_file_whole(*setup_.options.screenshot, png_of(canvas_.picture()));
        } catch (const std::exception& problem) {
            say(problem.what());
            return 1;
        }
        return 0;
    }

    int loop(const StopSignals& stop) {
        DisplayEvents& events = window_.events();
        if (settings_.full_screen) {
            window_.set_full_screen(true);
        }
        int frames_left = kFramesAfterInput;
        double next_change = 0;  // window seconds
        double last_frame = -1;
        while (true) {
            const bool moving = frames_left > 0 || ui_.wants_next_frame();
            const double due = moving ? last_frame + kFrame_s : next_change;
            window_.wait(std::clamp(due - window_.seconds(), 0.0, kLongestWait_s));
            if (stop.asked() || events.close_asked) {
                break;
            }
            if (events.anything || woken_.exchange(false)) {
                events.anything = false;
                frames_left = kFramesAfterInput;
            } else if (window_.seconds() < due) {
                keep_settings();
                continue;
            }
            if (events.input.take_press(Key::f11)) {
                settings_.full_screen = !settings_.full_screen;
            }
            const WindowSize px = window_.drawable_px();
            const double now = window_.seconds();
            bool changed = false;
            if (px.width > 0 && px.height > 0) {
                const float scale = window_.content_scale() * setup_.options.scale.value_or(settings_.scale);
                const float dt = static_cast<float>(std::clamp(now - last_frame, 0.001, 0.1));
                draw_frame(px, scale, dt, now, events.input.take());
                changed = canvas_.end() || std::exchange(events.uncovered, false);
            }
            if (const std::optional<KeptPicture> kept = ui_.take_kept_picture()) {
                application_.keep_plot(kept->name, png_of(part_of(canvas_.picture(), kept->rect)), kept->csv);
            }
            last_frame = now;
            frames_left = application_.carry_out() ? kFramesAfterInput : std::max(frames_left - 1, 0);
            if (changed) {
                canvas_.show();
                window_.swap();
            }
            next_change = now + std::max(application_.seconds_to_next_change(), 0.0);
            apply_wishes();
        }
        application_.close();
        settings_.size = size_to_keep();
        write_settings_now();
        return 0;
    }

private:
    void draw_frame(WindowSize px, float scale, float dt_s, double now_s, InputFrame input) {
        const FontSet& fonts = letters_.for_size(scale, px);
        FrameSetup frame;
        frame.list = canvas_.begin(px.width, px.height, dt_s);
        frame.screen = Rect{0, 0, static_cast<float>(px.width), static_cast<float>(px.height)};
        frame.scale = scale;
        frame.dt_s = dt_s;
        frame.now_s = now_s;
        frame.reduced_motion = settings_.reduced_motion;
        frame.theme = &theme_named(book_, settings_.theme);
        frame.look = &book_.look;
        frame.fonts = &fonts;
        ui_.begin_frame(frame, std::move(input));
        application_.frame(ui_);
        ui_.end_frame();
    }

    void apply_wishes() {
        window_.set_title(application_.title());
        if (settings_.full_screen != window_.full_screen()) {
            window_.set_full_screen(settings_.full_screen);
            settings_.full_screen = window_.full_screen();
        }
        awake_.set(application_.keep_awake());
        keep_settings();
    }

    // Written once they have rested, so that a slider does not write at every step.
    void keep_settings() {
        const std::string now = settings_text(settings_);
        if (now != wished_) {
            wished_ = now;
            wished_at_ = window_.seconds();
        } else if (now != written_ && window_.seconds() - wished_at_ >= kSettingsPause_s) {
            write_settings_now();
        }
    }

    void write_settings_now() {
        std::string now = settings_text(settings_);
        if (now == written_) {
            return;
        }
        try {
            write_settings(setup_.settings_file, settings_);
        } catch (const std::exception& problem) {
            say(problem.what());
        }
        written_ = std::move(now);  // not tried again until something else changes
    }

    [[nodiscard]] WindowSize size_to_keep() const {
        const WindowSize px = window_.windowed_px();
        const auto at_scale_1 = [&](int pixels, int least, int most) {
            return std::clamp(static_cast<int>(std::lround(static_cast<float>(pixels) / window_.content_scale())),
                              least, most);
        };
        if (px.width <= 0 || px.height <= 0) {
            return settings_.size;  // minimised
        }
        return {at_scale_1(px.width, kSmallestWindow.width, kLargestWindow.width),
                at_scale_1(px.height, kSmallestWindow.height, kLargestWindow.height)};
    }

    Application& application_;
    const ShellSetup& setup_;
    const LookBook& book_;
    GlfwWindow& window_;
    Canvas canvas_;
    Letters letters_;
    Ui ui_;
    WindowSettings settings_;
    KeepAwake awake_;
    std::atomic<bool> woken_{false};
    std::string written_;  // what the settings file holds
    std::string wished_;
    double wished_at_ = 0;
};

}  // namespace

int run_window(Application& application, const ShellSetup& setup, const Clock& clock) {
    const Result<LookBook> book = load_look_book(setup.themes_folder);
    if (!book) {
        say(book.error().text());
        return 3;
    }
    ReadSettings read = read_settings(setup.settings_file);
    const bool picture = setup.options.screenshot.has_value();
    // First of all: threads that drivers and the application start inherit what is held back.
    std::optional<StopSignals> stop;
    if (!picture) {
        stop.emplace([] { GlfwWindow::wake(); });
    }
    WindowSize size = setup.options.size.value_or(read.settings.size);
    const float scale = setup.options.size ? setup.options.scale.value_or(1.0F) : 1.0F;
    size = {static_cast<int>(std::lround(static_cast<float>(size.width) * scale)),
            static_cast<int>(std::lround(static_cast<float>(size.height) * scale))};
    // A picture is drawn apart from the window, which stays hidden and small.
    const Result<std::unique_ptr<GlfwWindow>> window = GlfwWindow::open(
        "Tonebath", picture ? kSmallestWindow : size, picture ? GlfwWindow::Shown::no : GlfwWindow::Shown::yes, clock);
    if (!window) {
        say(window.error().text());
        return 3;
    }
    Shell shell(application, setup, *book, **window, std::move(read));
    const Result<Done> started = shell.start();
    if (!started) {
        say(started.error().text());
        return 1;
    }
    if (!shell.open_first_page()) {
        return 1;
    }
    return picture ? shell.save_picture() : shell.loop(*stop);
}

}  // namespace tonebath::window
