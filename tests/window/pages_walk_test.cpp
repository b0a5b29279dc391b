// The pages walked by keys, without a display: an empty log, the demo studio, and a first dip typed by hand.
#include "window/driver.hpp"
#include "window/panels/pages_window.hpp"

#include "app/demo/demo.hpp"

#include <catch2/catch.hpp>

#include <array>
#include <cstdlib>
#include <filesystem>

using namespace tonebath;
using namespace tonebath::window;
using tonebath::testing::Driver;

namespace {

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
    explicit Walk(bool demo) : clock_({.utc_ms = 1'774'946'520'000, .offset_min = 60}) {
        const std::filesystem::path source = TONEBATH_SOURCE_DIR;
        setup_.places = {.log = folder_.path() / "log.tonebath", .demo = folder_.path() / "demo.tonebath", .data = source / "data",
                         .checklists = source / "checklists", .manual = source / "docs" / "manual"};
        setup_.demo = demo;
        setup_.fit_at_once = true;
        setup_.contrast = &Driver::look_book().contrast;
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
        auto answer = window_->studio().carry_out({.action = action, .typed = std::move(typed)});
        settle();
        return answer;
    }
    Driver& driver() { return driver_; }
    HandClock& clock() { return clock_; }
    PagesWindow& window() { return *window_; }

private:
    Folder folder_;
    HandClock clock_;
    PagesSetup setup_;
    Driver driver_{[](Ui&) {}};
    std::unique_ptr<PagesWindow> window_;
};

void check_findings(Walk& walk, const std::string& where) {
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

constexpr std::array<Key, 5> kPages{Key::d1, Key::d2, Key::d3, Key::d4, Key::d5};

}  // namespace

TEST_CASE("every page of an empty log says what to do first") {
    Walk walk(false);
    const std::array<std::string_view, 5> words{"Nothing is known about your jar yet.", "No bath is in use.", "No jar and no bath yet.", "No record of this metal yet",
                                                "No pieces yet."};
    for (std::size_t i = 0; i < kPages.size(); ++i) {
        walk.press(kPages[i]);
        INFO(walk.driver().probe().screen_text());
        CHECK(walk.driver().shows(words[i]));
        check_findings(walk, std::string(words[i]));
    }
}

TEST_CASE("every page of the demo studio, by keys") {
    Walk walk(true);
    const std::array<std::string_view, 5> words{"Batch 31", "Nothing is laid out for bath 46.", "LS-2 dry lump", "Why the aim range", "212 pieces"};
    for (std::size_t i = 0; i < kPages.size(); ++i) {
        walk.press(kPages[i]);
        INFO(walk.driver().probe().screen_text());
        CHECK(walk.driver().shows(words[i]));
        CHECK(walk.driver().shows("invented studio"));
        check_findings(walk, std::string(words[i]));
    }
}

TEST_CASE("a letter that the list of actions shows opens that action on its page") {
    Walk walk(false);
    REQUIRE(walk.does("lot.add", {{"number", "LS-1"}}));
    walk.press(Key::d5);
    walk.press(Key::b);
    CHECK(walk.driver().shows("Make a batch"));
    check_findings(walk, "batch form");
    walk.press(Key::esc);
    CHECK_FALSE(walk.driver().shows("Make a batch"));
    // The same letter says nothing where it does nothing.
    walk.press(Key::d3);
    walk.press(Key::b);
    CHECK_FALSE(walk.driver().shows("Make a batch"));
}

TEST_CASE("a first dip by the one key, and the dip outlives the window") {
    Walk walk(false);
    REQUIRE(walk.does("person.add", {{"initials", "MK"}}));
    REQUIRE(walk.does("person.at-bench", {{"who", "MK"}}));
    REQUIRE(walk.does("lot.add", {{"number", "LS-1"}, {"form", "lump"}, {"amount", "100 g"}, {"opened", "today"}}));
    REQUIRE(walk.does("bath.make-up", {{"lot", "LS-1"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}, {"room-temp", "19"}}));
    REQUIRE(walk.does("strip.lay-out", {{"bath", "1"}, {"metal", "sterling"}, {"aim", "blue"}}));
    walk.press(Key::d2);
    INFO(walk.driver().probe().screen_text());
    SECTION("the check's stops stand before the first drop") {
        CHECK(walk.driver().shows("Before bath 1"));
        walk.press(Key::space);
        CHECK_FALSE(walk.window().dip_running());
        for (int stop = 0; stop < 3; ++stop) {
            walk.press(Key::y);
        }
        CHECK_FALSE(walk.driver().shows("Before bath 1"));
        walk.press(Key::space);
        REQUIRE(walk.window().dip_running());
        check_findings(walk, "dip");

        walk.clock().advance(5.0);
        walk.open();  // the window is gone and comes back
        CHECK(walk.window().dip_running());
        walk.press(Key::d2, kAlt);
        INFO(walk.driver().probe().screen_text());
        CHECK(walk.driver().shows("Lift out strip 1, into the rinse"));
        walk.press(Key::space);
        CHECK_FALSE(walk.window().dip_running());
        CHECK(walk.driver().shows("Rinse for"));
        walk.press(Key::space);
        CHECK(walk.driver().shows("touch the strip where it is"));
        // Two touches: where it is, and that it was pulled as that tone came.
        walk.clock().advance(0.5);
        walk.driver().click("Where is strip 1? Touch the strip");
        walk.settle();
        CHECK(walk.driver().shows("Touch again"));
        check_findings(walk, "judging");
        walk.press(Key::p);
        CHECK_FALSE(walk.driver().shows("Touch again"));
        CHECK(walk.driver().shows("strip 1: magenta, whole."));
    }
}
