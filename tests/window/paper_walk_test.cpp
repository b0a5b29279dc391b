// Paper and files in the window by keys alone: the list, its forms, what is written, and what is refused under its field.
#include "app/exchange/import.hpp"
#include "app/paper/record_pack.hpp"
#include "window/walk.hpp"

#include <unistd.h>

#include <algorithm>

using namespace tonebath;
using namespace tonebath::window;
using namespace tonebath::testing;

namespace {

void open_paper(Walk& walk, const std::string& words) {
    walk.press(Key::p, kAlt);
    REQUIRE(walk.driver().shows("Paper and files"));
    walk.driver().type(words);
    walk.settle();
    walk.press(Key::enter);
}

// Writes over what stands in the field that has the keys, and goes on.
void fill(Walk& walk, const std::string& field, const std::string& text) {
    for (int i = 0; i < 9 && !walk.driver().focused().ends_with("/" + field); ++i) {
        walk.press(Key::tab);
    }
    REQUIRE(walk.driver().focused().ends_with("/" + field));
    walk.driver().press(Key::a, kCtrl);
    walk.driver().type(text);
}

}  // namespace

TEST_CASE("every paper form opens from the list, has nothing unlabelled or too small, and leaves by Esc") {
    Walk walk(false);
    for (const app::PaperForm& form : app::paper_forms()) {
        INFO(form.words.id);
        open_paper(walk, form.words.label);
        CHECK(walk.driver().shows(form.words.label));
        CHECK(walk.driver().shows("Write it down"));
        check_findings(walk, form.words.id);
        walk.press(Key::esc);
        CHECK_FALSE(walk.driver().shows("Write it down"));
    }
    walk.press(Key::slash);
    walk.driver().type("record pack");
    walk.settle();
    CHECK(walk.driver().shows("Paper and files"));
}

TEST_CASE("a record pack by keys: refused where it is, written, and looked at again") {
    Walk walk(true);
    const Folder folder;
    const std::string pack = (folder.path() / "pack").string();
    open_paper(walk, "record pack");
    fill(walk, "from", "soon");
    fill(walk, "out", pack);
    walk.press(Key::enter, kCtrl);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("that is not a day"));
    check_findings(walk, "refused");
    fill(walk, "from", "1 Jan 2026");
    walk.press(Key::enter, kCtrl);
    INFO(walk.driver().probe().screen_text());
    CHECK_FALSE(walk.driver().shows("Write it down"));
    CHECK(walk.driver().shows("stand on page one"));
    CHECK(walk.driver().shows("without a list that was finished"));  // the gaps, to be read at once
    check_findings(walk, "gaps");
    walk.press(Key::esc);
    const auto check = app::check_record_pack(pack);
    REQUIRE(check);
    CHECK(check->findings.empty());
    open_paper(walk, "look at a record pack");
    fill(walk, "folder", pack);
    walk.press(Key::enter, kCtrl);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("are as they were written"));
}

TEST_CASE("an export goes out of one window and comes into another, and the window's undo takes it back") {
    const Folder folder;
    const std::string out = (folder.path() / "out").string();
    {
        Walk walk(false);
        walk.has("lot.add", {{"number", "LS-7"}, {"amount", "80 g"}});
        open_paper(walk, "export every");
        fill(walk, "out", out);
        walk.press(Key::enter, kCtrl);
        INFO(walk.driver().probe().screen_text());
        REQUIRE(std::filesystem::exists(out + "/lot.csv"));
    }
    Walk other(false);
    open_paper(other, "bring an export");
    fill(other, "folder", out);
    other.press(Key::enter, kCtrl);
    INFO(other.driver().probe().screen_text());
    CHECK(other.driver().shows("brought in from"));
    other.press(Key::d3);
    CHECK(other.driver().shows("LS-7"));
    other.press(Key::z, kCtrl);
    CHECK_FALSE(other.driver().shows("LS-7"));
}

TEST_CASE("on a thread: the window goes on, the answer comes to the foot") {
    Walk walk(true, {}, false);
    const Folder folder;
    const std::string out = (folder.path() / "out").string();
    open_paper(walk, "export every");
    fill(walk, "out", out);
    walk.press(Key::enter, kCtrl);
    for (int i = 0; i < 600 && !walk.driver().shows(" records is in") && !walk.driver().shows("is in /"); ++i) {
        usleep(20'000);
        walk.settle();
    }
    INFO(walk.driver().probe().screen_text());
    CHECK(std::filesystem::exists(out + "/export.json"));
    CHECK_FALSE(walk.driver().shows("Write it down"));
}

TEST_CASE("on a thread: an import comes in beside the window, and Esc stops one with nothing of it written") {
    const Folder folder;
    const std::string out = (folder.path() / "out").string();
    {
        Walk walk(true);
        open_paper(walk, "export every");
        fill(walk, "out", out);
        walk.press(Key::enter, kCtrl);
        REQUIRE(std::filesystem::exists(out + "/lot.csv"));
    }
    Walk other(false, {}, false);
    const auto wait_for = [&](const std::string& words) {
        for (int i = 0; i < 1500 && !other.driver().shows(words); ++i) {
            usleep(20'000);
            other.settle();
        }
        INFO(other.driver().probe().screen_text());
        CHECK(other.driver().shows(words));
    };
    open_paper(other, "bring an export");
    fill(other, "folder", out);
    other.press(Key::enter, kCtrl);
    CHECK(other.driver().shows("Esc stops it"));
    other.press(Key::esc);
    wait_for("it was stopped");
    open_paper(other, "bring an export");
    fill(other, "folder", out);
    other.press(Key::enter, kCtrl);
    wait_for("brought in from");
    CHECK(other.driver().shows("nobody worked so"));  // whose records they are
    other.press(Key::esc);
    other.press(Key::d3);
    CHECK(other.driver().shows("LS-1"));
    other.press(Key::z, kCtrl);
    INFO(other.driver().probe().screen_text());
    CHECK(app::is_empty_log(other.window().studio()));
}
