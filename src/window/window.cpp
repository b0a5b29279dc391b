#include "window/window.hpp"

#include "base/clock.hpp"
#include "base/version.hpp"
#include "window/shell/shell.hpp"
#include "window/widgets/ui.hpp"

#include <fmt/format.h>

#include <cstdio>
#include <string>
#include <string_view>

namespace tonebath::window {
namespace {

// The name and the version on an empty bench.
class Welcome final : public Application {
public:
    Result<Done> start(const LookBook& /*look*/, WindowSettings& /*settings*/,
                       std::function<void()> /*wake*/) override {
        return Done{};
    }
    bool open_page(std::string_view name) override { return name == "today"; }
    [[nodiscard]] std::string page_names() const override { return "today"; }
    void frame(Ui& ui) override {
        ui.background();
        const Vec2 middle = ui.screen().mid();
        ui.paint().text(Type::title, ui.colour(Role::ink), middle, fmt::format("Tonebath {}", version()),
                        Align::centre);
    }
    bool carry_out() override { return false; }
    [[nodiscard]] std::string title() const override { return "Tonebath"; }
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
    Welcome application;
    return run_window(application,
                      {.options = options,
                       .themes_folder = *places.shared / "data" / "themes",
                       .settings_file = places.settings_file},
                      clock);
}

}  // namespace tonebath::window
