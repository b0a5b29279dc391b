// The emergency pages: F12 from everywhere, again for the next. They ask nothing and stop nothing.
#pragma once

#include "app/emergency.hpp"
#include "window/panels/page.hpp"
#include "window/widgets/emergency.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::window {

class EmergencySheet {
public:
    void set_pages(std::vector<app::EmergencyText> pages) { pages_ = std::move(pages); }
    // The studio's own, read anew when the log changed.
    void set_numbers(app::EmergencyNumbers numbers) { numbers_ = std::move(numbers); }
    void show_next();  // opens the first; again: the next one; after the last, the first
    void show(std::string_view key);  // "gas"; an unknown key opens nothing
    void hide() { shown_.reset(); }
    [[nodiscard]] bool is_open() const { return shown_.has_value(); }
    // Covers everything. During a dip the bench key stays alive: `bench_key` is drawn, and its press is returned.
    BenchPress draw(Ui& ui, const Theme& contrast, const std::optional<BenchKeyView>& bench_key);

private:
    std::vector<app::EmergencyText> pages_;
    app::EmergencyNumbers numbers_;
    std::optional<std::size_t> shown_;
    double opened_s_ = 0.0;
    bool fresh_ = false;
};

}  // namespace tonebath::window
