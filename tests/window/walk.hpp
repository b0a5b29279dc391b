// The whole window without a display, on a log of its own in a folder of its own, at a clock set by hand.
#pragma once

#include "support/lists.hpp"
#include "window/driver.hpp"
#include "window/panels/pages_window.hpp"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <filesystem>

namespace tonebath::testing {

using namespace tonebath::window;

// The digit of the page Safety, the last of them.
inline constexpr Key kSafetyKey = Key::d8;

// A folder of its own, gone at the end.
class Folder {
public:
    Folder() {
        std::string pattern = (std::filesystem::temp_directory_path() / "tonebath-walk-XXXXXX").string();
        REQUIRE(mkdtemp(pattern.data()) != nullptr);
        path_ = pattern;
    }
    ~Folder() { std::filesystem::remove_all(path_); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

class Walk {
public:
    // `at_once`: fits and figures on this thread, so that a settled window shows them.
    explicit Walk(bool demo, Screen screen = {}, bool at_once = true) : clock_({.utc_ms = 1'774'946'520'000, .offset_min = 60}), driver_([](Ui&) {}, screen) {
        const std::filesystem::path source = TONEBATH_SOURCE_DIR;
        setup_.places = {.log = folder_.path() / "log.tonebath", .demo = folder_.path() / "demo.tonebath", .data = source / "data",
                         .checklists = source / "checklists", .manual = source / "docs" / "manual"};
        setup_.demo = demo;
        setup_.fit_at_once = at_once;
        setup_.contrast = &Driver::look_book().contrast;
        open();
    }
    // Again, as the program is started by its user: the numbers are asked for on an empty log.
    void start() {
        setup_.asks_numbers = true;
        open();
    }
    void open() {
        window_.reset();
        auto opened = PagesWindow::open(setup_, clock_);
        if (!opened) {
            FAIL(opened.error().text());
        }
        window_ = std::move(opened).value();
        driver_.set_page([this](Ui& ui) { window_->draw(ui); });
        settle();
    }
    void settle() {
        for (int i = 0; i < 3; ++i) {
            driver_.frames();
            window_->carry_out();
        }
        driver_.frames();
    }
    void press(Key key, Mods mods = {}) {
        clock_.advance(0.5);  // no hand is quicker than the debounce
        driver_.press(key, mods);
        settle();
    }
    Result<app::Outcome> does(const std::string& action, std::map<std::string, std::string> typed) {
        const app::Form form{.action = action, .typed = std::move(typed)};
        if (answers_lists) {
            test::answer_lists(window_->studio(), form);
        }
        auto answer = window_->studio().carry_out(form);
        settle();
        return answer;
    }
    // The same, where it must be written.
    void has(const std::string& action, std::map<std::string, std::string> typed) {
        const auto answer = does(action, std::move(typed));
        INFO((answer ? "" : answer.error().text()));
        REQUIRE(answer);
    }
    [[nodiscard]] Driver& driver() { return driver_; }
    [[nodiscard]] const Driver& driver() const { return driver_; }
    HandClock& clock() { return clock_; }
    PagesWindow& window() { return *window_; }
    bool answers_lists = true;  // before each act that is carried out past the pages

private:
    Folder folder_;
    HandClock clock_;
    PagesSetup setup_;
    Driver driver_;
    std::unique_ptr<PagesWindow> window_;
};

// The list on the bench, line by line, each after the time it takes to read: with one key where the same was said before,
// else in words.
inline void answer_on_screen(Walk& walk) {
    for (int line = 0; line < 10 && walk.driver().shows("Signed by"); ++line) {
        const bool in_words = walk.driver().shows("Say:");
        walk.clock().advance(20.0);
        walk.press(Key::enter);
        if (in_words) {
            walk.driver().type("looked at");
            walk.press(Key::enter);
        }
    }
    CHECK_FALSE(walk.driver().shows("Signed by"));
}

inline void check_findings(Walk& walk, const std::string& where) {
    for (const ProbeFinding& finding : find_duplicate_ids(walk.driver().probe())) {
        FAIL_CHECK(where << ": " << finding.path << ": " << finding.what);
    }
    for (const ProbeFinding& finding : find_missing_labels(walk.driver().probe())) {
        FAIL_CHECK(where << ": " << finding.path << ": " << finding.what);
    }
    for (const ProbeFinding& finding : find_small_targets(walk.driver().probe(), 1.0F)) {
        FAIL_CHECK(where << ": " << finding.path << ": " << finding.what);
    }
}

}  // namespace tonebath::testing
