// A window that only counts what reaches it, for tests/scripts/window_smoke.sh. Reports on stdout, one "name value" a
// line.
//
//   shell_probe THEMES_FOLDER SETTINGS_FILE
//
// Keys: Ctrl+A and Backspace are counted; M makes the next two seconds move; W works on the side for half a second and
// wakes the window; T turns the theme; P writes the clipboard's text; Y puts "from the probe" into the clipboard.
#include "base/clock.hpp"
#include "window/shell/shell.hpp"
#include "window/widgets/ui.hpp"

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <cstdio>
#include <mutex>
#include <stop_token>
#include <string>
#include <thread>

namespace {

using namespace tonebath::window;

void report(const char* name, double value) {
    std::printf("%s %.3f\n", name, value);
    std::fflush(stdout);
}

class Counter final : public Application {
public:
    ~Counter() override {
        if (side_work_.joinable()) {
            side_work_.join();
        }
    }
    tonebath::Result<tonebath::Done> start(const LookBook& /*look*/, WindowSettings& settings,
                                           std::function<void()> wake) override {
        settings_ = &settings;
        wake_ = std::move(wake);
        // A worker that is there from the start: a signal must not end the program through it.
        worker_ = std::jthread([](const std::stop_token& stop) {
            std::mutex mutex;
            std::unique_lock lock(mutex);
            std::condition_variable_any never;
            never.wait(lock, stop, [] { return false; });
        });
        return tonebath::Done{};
    }
    bool open_page(std::string_view /*name*/) override { return true; }
    std::string page_names() const override { return "counter"; }
    std::string title() const override { return "shell probe"; }

    void frame(Ui& ui) override {
        ui.background();
        ++frames_;
        while (ui.pressed(Key::a, kCtrl)) {
            ++ctrl_a_;
        }
        while (const auto press = ui.press_of(Key::backspace)) {
            ++backspace_;
            stamped_ = stamped_ && press->pressed_s > 0;
        }
        if (ui.pressed(Key::m)) {
            moving_until_s_ = ui.now_s() + 2;
        }
        if (ui.pressed(Key::t)) {
            settings_->theme = settings_->theme == "slate" ? "chalk" : "slate";
        }
        if (ui.pressed(Key::p)) {
            std::printf("clipboard %s\n", ui.read_clipboard().c_str());
            std::fflush(stdout);
        }
        if (ui.pressed(Key::y)) {
            ui.write_clipboard("from the probe");
        }
        if (ui.pressed(Key::w) && !side_work_.joinable()) {
            side_work_ = std::thread([this] {
                std::this_thread::sleep_for(std::chrono::milliseconds(500));
                side_work_done_ = true;
                wake_();
            });
        }
        if (side_work_done_.exchange(false)) {
            report("woken", 1);
        }
        moving_ = ui.now_s() < moving_until_s_;
        ui.paint().text(
            Type::figure, ui.colour(Role::ink), ui.screen().mid(),
            std::to_string(ctrl_a_) + " " + std::to_string(backspace_) + (moving_ ? " " + std::to_string(frames_) : ""),
            Align::centre);
    }
    bool carry_out() override {
        if (frames_ == 1) {
            report("first_frame", 1);
        }
        return false;
    }
    double seconds_to_next_change() const override { return moving_ ? 0 : std::numeric_limits<double>::infinity(); }
    void close() override {
        report("ctrl_a", ctrl_a_);
        report("backspace", backspace_);
        report("stamped", stamped_ ? 1 : 0);
        report("frames", frames_);
        report("closed", 1);
    }

private:
    WindowSettings* settings_ = nullptr;
    std::function<void()> wake_;
    std::jthread worker_;
    std::thread side_work_;
    std::atomic<bool> side_work_done_{false};
    int frames_ = 0;
    int ctrl_a_ = 0;
    int backspace_ = 0;
    bool stamped_ = true;
    bool moving_ = false;
    double moving_until_s_ = 0;
};

}  // namespace

int main(int argc, char** argv) {
    if (argc != 3) {
        return 2;
    }
    const tonebath::SystemClock clock;
    Counter counter;
    return run_window(counter, {.options = {}, .themes_folder = argv[1], .settings_file = argv[2]}, clock);
}
