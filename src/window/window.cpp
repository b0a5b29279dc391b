#include "window/window.hpp"

#include "base/clock.hpp"
#include "base/files.hpp"
#include "base/text.hpp"
#include "window/panels/pages_window.hpp"
#include "window/shell/shell.hpp"
#include "window/shell/sound.hpp"
#include "window/widgets/ui.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <exception>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>

namespace tonebath::window {
namespace {

constexpr std::array<float, 4> kVolumes{0.0F, 0.15F, 0.5F, 1.0F};

// The pages, as the shell sees an application.
class PagesApplication final : public Application {
public:
    PagesApplication(PagesSetup setup, const Clock& clock) : setup_(std::move(setup)), clock_(clock), sound_(clock) {}

    Result<Done> start(const LookBook& look, WindowSettings& settings, std::function<void()> wake) override {
        settings_ = &settings;
        setup_.contrast = &look.contrast;
        setup_.wake = std::move(wake);
        setup_.choices = {.theme = settings.theme, .scale = settings.scale, .reduced_motion = settings.reduced_motion, .sound = settings.sound,
                          .voice = settings.voice, .units = settings.units};
        auto opened = PagesWindow::open(setup_, clock_);
        if (!opened) {
            return opened.error();
        }
        pages_ = std::move(opened).value();
        return Done{};
    }
    bool open_page(std::string_view name) override { return pages_->open_page(name); }
    [[nodiscard]] std::string page_names() const override {
        std::string names;
        for (int i = 0; i < kPageCount; ++i) {
            names += (i == 0 ? "" : ", ") + folded(page_word(static_cast<PageName>(i)));
        }
        return names;
    }
    void frame(Ui& ui) override { pages_->draw(ui); }
    bool carry_out() override {
        const bool changed = pages_->carry_out();
        const WindowChoices& choices = pages_->choices();
        settings_->theme = choices.theme;
        settings_->scale = choices.scale;
        settings_->reduced_motion = choices.reduced_motion;
        settings_->sound = choices.sound;
        settings_->voice = choices.voice;
        settings_->units = choices.units;
        sound_.choose({.volume = kVolumes[static_cast<std::size_t>(choices.sound)], .voice = choices.voice});
        if (pages_->take_sound_test()) {
            sound_.try_out();
        }
        if (!setup_.fit_at_once) {  // a picture is silent
            sound_.schedule(pages_->cues());
        }
        settings_->page = folded(page_word(pages_->shown()));
        return changed;
    }
    void keep_plot(std::string_view name, const std::string& png, const std::string& csv) override {
        const std::filesystem::path folder = pages_->studio().options().log.parent_path() / "pictures";
        std::string when = iso_text(pages_->studio().now()).substr(0, 19);
        std::replace(when.begin(), when.end(), ':', '-');
        const std::string stem = (folder / (std::string(name) + " " + when)).string();
        try {
            std::filesystem::create_directories(folder);
            write_file_whole(stem + ".png", png);
            write_file_whole(stem + ".csv", csv);
            pages_->say("The picture and its figures are kept: " + stem + ".png and .csv.", true);
        } catch (const std::exception& problem) {
            pages_->say("Picture: it could not be kept: " + std::string(problem.what()), false);
        }
    }
    [[nodiscard]] double seconds_to_next_change() const override { return pages_->seconds_to_next_change(); }
    [[nodiscard]] std::string title() const override { return pages_->title(); }
    [[nodiscard]] bool keep_awake() const override { return pages_->hands_full(); }
    void close() override { pages_->close(); }

private:
    PagesSetup setup_;
    const Clock& clock_;
    WindowSettings* settings_ = nullptr;
    std::unique_ptr<PagesWindow> pages_;
    Sound sound_;
};

}  // namespace

int open_window(const StartOptions& options, const Places& places) {
    if (!places.shared) {
        std::fputs(
            "tonebath: the folders data and checklists that belong to the program are not found. "
            "Install it again, or name their folder in TONEBATH_DATA.\n",
            stderr);
        return 3;
    }
    const SystemClock clock;
    PagesSetup pages;
    pages.places = {.log = options.log.value_or(places.log_file),
                    .demo = places.state_folder / "demo.tonebath",
                    .data = *places.shared / "data",
                    .checklists = *places.shared / "checklists",
                    .own_checklists = places.own_checklists,
                    .manual = *places.shared / "docs" / "manual"};
    pages.demo = options.demo;
    pages.asks_numbers = !options.screenshot;
    pages.fit_at_once = options.screenshot.has_value();
    PagesApplication application(std::move(pages), clock);
    return run_window(application,
                      {.options = options,
                       .themes_folder = *places.shared / "data" / "themes",
                       .settings_file = places.settings_file},
                      clock);
}

}  // namespace tonebath::window
