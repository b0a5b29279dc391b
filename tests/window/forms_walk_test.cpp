// Forms by keys alone: every action's form, what Enter and Ctrl Enter do, refusals under their field, and what Esc keeps.
#include "window/walk.hpp"

#include "app/actions.hpp"

#include <algorithm>
#include <set>

using namespace tonebath;
using namespace tonebath::window;
using namespace tonebath::testing;

namespace {

// Ends of the focused path: "form lot.add/amount" has the keys in "amount".
bool keys_in(const Walk& walk, const std::string& field) {
    const std::string path = walk.driver().focused();
    return path.size() > field.size() && path.ends_with("/" + field);
}

void open_form(Walk& walk, const std::string& words) {
    walk.press(Key::slash);
    walk.driver().type(words);
    walk.settle();
    walk.press(Key::enter);
}

}  // namespace

TEST_CASE("the form of every action opens by its name, has nothing unlabelled or too small, and leaves by Esc") {
    Walk walk(true);
    for (const app::ActionSpec& spec : app::actions()) {
        INFO(spec.id);
        open_form(walk, spec.label);
        INFO(walk.driver().probe().screen_text());
        CHECK(walk.driver().shows("Write it down"));
        CHECK(walk.driver().shows(spec.label));
        check_findings(walk, spec.id);
        // Once round by Tab: every field is come to, those out of sight too.
        std::set<std::string> stops;
        for (std::size_t i = 0; i < spec.fields.size() + 2; ++i) {
            stops.insert(walk.driver().focused());
            walk.driver().press(Key::tab);
        }
        for (const app::FieldSpec& field : spec.fields) {
            INFO(field.key);
            CHECK(stops.count("form " + spec.id + "/" + field.key + (field.kind == app::FieldKind::yes_no ? "/keys" : "")) == 1);
        }
        check_findings(walk, spec.id + ", gone round");
        walk.press(Key::esc);
        CHECK_FALSE(walk.driver().shows("Write it down"));
    }
}

TEST_CASE("Enter goes from field to field, Ctrl Enter writes the form down from inside any of them") {
    Walk walk(false);
    walk.press(Key::d3);
    walk.press(Key::j);
    REQUIRE(keys_in(walk, "number"));
    walk.driver().type("LS-7");
    walk.press(Key::enter);
    CHECK_FALSE(keys_in(walk, "number"));
    for (int i = 0; i < 12 && !keys_in(walk, "amount"); ++i) {
        walk.press(Key::tab);
    }
    REQUIRE(keys_in(walk, "amount"));
    walk.driver().type("80 g");
    walk.press(Key::enter, kCtrl);
    INFO(walk.driver().probe().screen_text());
    CHECK_FALSE(walk.driver().shows("Write it down"));
    CHECK(walk.driver().shows("LS-7"));
    CHECK(walk.driver().shows("80"));
}

TEST_CASE("Enter in the last field writes the form down") {
    Walk walk(false);
    REQUIRE(walk.does("person.add", {{"initials", "MK"}}));
    REQUIRE(walk.does("person.add", {{"initials", "AP"}}));
    open_form(walk, "who is at the bench");
    REQUIRE(keys_in(walk, "who"));
    walk.driver().type("AP");
    walk.press(Key::enter);
    REQUIRE(keys_in(walk, "pin"));
    walk.press(Key::enter);
    CHECK_FALSE(walk.driver().shows("Write it down"));
    CHECK(walk.driver().shows("AP is at the bench."));
}

TEST_CASE("where two may stand at the bench, who does is asked at the start; one alone, and the demo, are not asked") {
    Walk walk(false);
    walk.has("person.add", {{"initials", "MK"}});
    walk.open();
    CHECK_FALSE(walk.driver().shows("Write it down"));
    walk.has("person.add", {{"initials", "AP"}, {"role", "apprentice"}});
    walk.open();
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("Write it down"));
    CHECK(walk.driver().shows("Who is at the bench"));
    check_findings(walk, "at the start");
    walk.press(Key::a, kCtrl);
    walk.driver().type("AP");
    walk.press(Key::enter, kCtrl);
    CHECK(walk.window().studio().at_bench()->initials == "AP");
    Walk demo(true);
    CHECK_FALSE(demo.driver().shows("Write it down"));
}

TEST_CASE("a meter alarm during a dip shows the gas page, and what is in comes out as always") {
    Walk walk(false);
    walk.has("person.add", {{"initials", "MK"}});
    walk.has("lot.add", {{"number", "LS-1"}, {"form", "lump"}, {"amount", "100 g"}});
    walk.has("bath.make-up", {{"lot", "LS-1"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}});
    walk.has("strip.add", {{"number", "1"}, {"metal", "sterling"}});
    walk.has("dip.drop", {{"bath", "1"}, {"strip", "1"}});
    open_form(walk, "Open the lists again");
    REQUIRE(walk.driver().shows("Open the lists again"));
    walk.driver().type("1");
    for (int i = 0; i < 10 && !keys_in(walk, "what"); ++i) {
        walk.press(Key::tab);
    }
    REQUIRE(keys_in(walk, "what"));
    walk.press(Key::down);  // opens its list
    walk.driver().click("meter alarm");
    walk.settle();
    REQUIRE(walk.driver().shows("meter alarm"));
    walk.press(Key::enter, kCtrl);
    INFO(walk.driver().probe().screen_text());
    CHECK(walk.driver().shows("Everyone out now"));
    walk.press(Key::esc);
    CHECK_FALSE(walk.driver().shows("Everyone out now"));
    CHECK(walk.does("dip.out", {}));
    walk.answers_lists = false;
    walk.has("strip.add", {{"number", "2"}, {"metal", "sterling"}});
    const auto held = walk.does("dip.drop", {{"bath", "1"}, {"strip", "2"}});
    REQUIRE_FALSE(held);
    CHECK(held.error().code == "check.open");
}

TEST_CASE("a refusal stands under its field with what to do, and nothing typed is lost, not even by Esc") {
    Walk walk(false);
    REQUIRE(walk.does("lot.add", {{"number", "LS-1"}, {"form", "lump"}, {"amount", "100 g"}}));
    walk.press(Key::d3);
    walk.press(Key::m);
    const auto fill = [&](const std::string& field, const std::string& text) {
        for (int i = 0; i < 40 && !keys_in(walk, field); ++i) {
            walk.press(Key::tab);
        }
        REQUIRE(keys_in(walk, field));
        walk.driver().type(text);
    };
    fill("lot", "LS-1");
    fill("amount", "2 g");
    fill("water", "400 ml");
    fill("start-temp", "150 C");
    walk.press(Key::enter, kCtrl);
    INFO(walk.driver().probe().screen_text());
    REQUIRE(walk.driver().shows("Write it down"));
    CHECK(keys_in(walk, "start-temp"));
    CHECK(walk.driver().widget("start-temp").value.find("150") != std::string::npos);
    const Rect field = walk.driver().widget("start-temp").rect;
    const auto& texts = walk.driver().probe().texts();
    const auto under = std::find_if(texts.begin(), texts.end(), [&](const ProbeText& text) {
        return text.rect.y0 >= field.y1 - 1.0F && text.rect.y0 < field.y1 + 40.0F && text.rect.x0 < field.x1 && text.rect.x1 > field.x0 &&
               text.text.find("hotter than water boils") != std::string::npos;
    });
    CHECK(under != texts.end());
    CHECK(walk.driver().shows("Type it again, with its unit where it is °F"));

    walk.press(Key::esc);
    CHECK_FALSE(walk.driver().shows("Write it down"));
    walk.press(Key::m);
    CHECK(walk.driver().widget("lot").value.find("LS-1") != std::string::npos);
    fill("start-temp", "");
    CHECK(walk.driver().widget("start-temp").value.find("150") != std::string::npos);
}

TEST_CASE("a kind question is answered by its key") {
    Walk walk(false);
    walk.has("lot.add", {{"number", "LS-1"}, {"form", "lump"}, {"amount", "100 g"}});
    test::answer_lists(walk.window().studio(), {.action = "bath.make-up", .typed = {{"lot", "LS-1"}}});
    walk.settle();
    walk.press(Key::d3);
    walk.press(Key::m);
    for (const auto& [field, text] : std::vector<std::pair<std::string, std::string>>{{"lot", "LS-1"}, {"amount", "20 g"}, {"water", "400 ml"}}) {
        for (int i = 0; i < 40 && !keys_in(walk, field); ++i) {
            walk.press(Key::tab);
        }
        walk.driver().type(text);
    }
    walk.press(Key::enter, kCtrl);
    INFO(walk.driver().probe().screen_text());
    REQUIRE(walk.driver().shows("were tenths meant?"));
    walk.press(Key::enter);
    walk.press(Key::enter, kCtrl);
    CHECK(walk.driver().shows("were tenths meant?"));  // a wet press never takes a guess
    walk.press(Key::a, kAlt);
    CHECK_FALSE(walk.driver().shows("Write it down"));
    CHECK(walk.driver().shows("2.0 g in 400 ml"));
}

TEST_CASE("Enter goes over lists and options too") {
    Walk walk(false);
    open_form(walk, "write down a person");
    walk.driver().type("AN");
    walk.press(Key::enter);
    REQUIRE(keys_in(walk, "role"));
    walk.press(Key::enter);  // opens the list
    walk.press(Key::down);
    walk.press(Key::enter);  // takes "maker", and goes on
    CHECK(walk.driver().widget("role").value == "maker");
    for (const char* option : {"may-make-up", "may-dip-alone", "may-coat", "may-dispose", "may-supervise"}) {
        INFO(option << " but " << walk.driver().focused());
        CHECK(keys_in(walk, std::string(option) + "/keys"));
        walk.press(Key::enter);
    }
    CHECK_FALSE(walk.driver().shows("Write it down"));
    CHECK(walk.driver().shows("AN written down"));
}

TEST_CASE("what was left on one record's form does not stand on another's") {
    Walk walk(false);
    walk.has("lot.add", {{"number", "LS-1"}, {"form", "lump"}, {"amount", "100 g"}});
    for (int i = 0; i < 2; ++i) {
        walk.has("bath.make-up", {{"lot", "LS-1"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}});
    }
    const auto open = [&walk](const std::string& bath) {
        walk.window().ask_form("bath.read", {{"bath", bath}});
        walk.settle();
        CHECK(walk.driver().widget("bath").value == bath);
    };
    open("1");
    for (int i = 0; i < 20 && !keys_in(walk, "temp"); ++i) {
        walk.press(Key::tab);
    }
    walk.driver().type("51");
    walk.press(Key::esc);
    open("2");
    CHECK(walk.driver().widget("temp").value.empty());
    walk.press(Key::esc);
    open("1");
    CHECK(walk.driver().widget("temp").value == "51");
}

TEST_CASE("the foot's line says what to do about a refusal, whole") {
    Walk walk(false);
    walk.window().ask_form("bath.read", {{"bath", "9"}, {"temp", "51"}});
    walk.settle();
    walk.press(Key::enter, kCtrl);
    const auto refused = walk.window().studio().carry_out({.action = "bath.read", .typed = {{"bath", "9"}, {"temp", "51"}}});
    REQUIRE_FALSE(refused);
    const auto& texts = walk.driver().probe().texts();
    std::string foot;
    for (const ProbeText& text : texts) {
        if (text.rect.y0 > 760.0F && text.rect.x0 > 200.0F) {
            foot += (foot.empty() ? "" : " ") + text.text;
        }
    }
    INFO(foot);
    CHECK(foot.find(refused.error().text()) != std::string::npos);
}
