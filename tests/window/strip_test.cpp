#include "window/widgets/strip.hpp"
#include "window/driver.hpp"
#include "window/widgets/tags.hpp"
#include "window/widgets/timer.hpp"

#include <rapidcheck.h>
#include <catch2/catch.hpp>

namespace tonebath::testing {

using namespace tonebath::window;

namespace {

const Rect kPlace{32, 300, 1248, 404};

StripView plain() {
    StripView view;
    view.scale = &Driver::look_book().look.silver;
    view.label = "strip";
    return view;
}

}  // namespace

TEST_CASE("a place on the strip and its x are each other's inverse", "[strip]") {
    Driver driver([](Ui&) {});
    CHECK(rc::check([&] {
        StripView view = plain();
        if (*rc::gen::arbitrary<bool>()) {
            view.borders = {0};
            for (std::size_t i = 0; i < view.scale->tones.size(); ++i) {
                view.borders.push_back(view.borders.back() + static_cast<float>(*rc::gen::inRange(1, 20)));
            }
            for (float& at : view.borders) {
                at /= view.borders.back();
            }
            view.borders.back() = 1;
        }
        const TonePlace place{*rc::gen::inRange(0, 10), static_cast<float>(*rc::gen::inRange(1, 99)) / 100};
        const float x = strip_x(driver.ui(), kPlace, view, place);
        const TonePlace back = strip_place(driver.ui(), kPlace, view, x);
        RC_ASSERT(back.tone == place.tone);
        RC_ASSERT(std::abs(back.share - place.share) < 0.02F);
    }));
}

SCENARIO("a strip is judged by touch and by arrows", "[strip]") {
    StripView view = plain();
    view.id = "judge";
    std::optional<TonePlace> judged;
    bool entered = false;
    Driver driver([&](Ui& ui) {
        const StripTouch touch = tone_strip(ui, kPlace, view, StripSize::bench);
        if (touch.clicked || touch.activated) {
            judged = touch.place;
            entered = touch.activated;
        }
    });
    const int blue = view.scale->index_of("blue");
    driver.click_at({strip_x(driver.ui(), kPlace, view, {blue, 0.25F}), 350});
    REQUIRE(judged);
    CHECK(judged->tone == blue);
    CHECK_THAT(static_cast<double>(judged->share), Catch::WithinAbs(0.25, 0.02));
    driver.press(Key::tab);
    driver.press(Key::right);
    driver.press(Key::left, kShift);
    driver.press(Key::enter);
    CHECK(entered);
    CHECK(judged->tone == blue + 1);
    CHECK_THAT(static_cast<double>(judged->share), Catch::WithinAbs(0.15, 0.02));
}

TEST_CASE("what the strip shows is said in words", "[strip]") {
    const DrawnScale& silver = Driver::look_book().look.silver;
    StripView view = plain();
    CHECK(span_words(silver, {{5, 0}, {7, 1}}) == "purple to gunmetal");
    CHECK(span_words(silver, {{6, 0}, {6, 1}}) == "blue");
    Driver driver([&](Ui& ui) { tone_strip(ui, kPlace, view, StripSize::bench); });
    CHECK(driver.widget("strip").value == "not known");
    view.pin = TonePlace{3, 0.5F};
    view.pin_is_film = true;
    view.aim = ToneSpan{{6, 0}, {6, 1}};
    view.may_land = ToneSpan{{5, 0.5F}, {7, 0.5F}};
    view.aim_word = "aim";
    view.look = TonePlace{5, 0.1F};
    driver.frames(2);
    CHECK(driver.widget("strip").value == "film at amber; aim blue; may land purple to gunmetal; look at purple");
    for (const DrawnTone& tone : silver.tones) {
        CHECK(driver.shows(tone.word));
    }
    CHECK(driver.shows("aim"));
    CHECK(driver.shows("look"));
}

TEST_CASE("no word is ever printed on a tone, and neighbours' words never touch", "[strip]") {
    const float width = GENERATE(320.0F, 420.0F, 632.0F, 1216.0F);
    const StripSize size = GENERATE(StripSize::small, StripSize::plan, StripSize::bench);
    StripView view = plain();
    view.aim = ToneSpan{{6, 0}, {6, 1}};
    view.aim_word = "aim";
    Rect r;
    Driver driver([&](Ui& ui) {
        r = Rect::at(32, 300, width, strip_height(ui, size));
        tone_strip(ui, r, view, size);
    });
    const auto& texts = driver.probe().texts();
    for (std::size_t i = 0; i < texts.size(); ++i) {
        INFO(texts[i].text);
        CHECK(texts[i].rect.overlap(r).empty());
        for (std::size_t j = i + 1; j < texts.size(); ++j) {
            INFO(texts[j].text);
            CHECK(texts[i].rect.overlap(texts[j].rect).empty());
        }
    }
}

TEST_CASE("the film that is not reached is covered, the rest is the tone itself", "[strip]") {
    StripView view = plain();
    view.pin = TonePlace{4, 0.5F};
    view.pin_is_film = true;
    Driver driver([&](Ui& ui) { tone_strip(ui, kPlace, view, StripSize::bench); });
    const Image image = driver.picture();
    const auto middle = [&](int tone) {
        return image.at(static_cast<int>(strip_x(driver.ui(), kPlace, view, {tone, 0.5F})), 352);
    };
    for (int tone = 1; tone < 4; ++tone) {
        const Colour c = *view.scale->tones[static_cast<std::size_t>(tone)].colour;
        CHECK(middle(tone) == Pixel{c.r, c.g, c.b});
    }
    const Theme& slate = Driver::look_book().slate;
    for (int tone = 5; tone < 10; ++tone) {
        const Colour c =
            mix(*view.scale->tones[static_cast<std::size_t>(tone)].colour, slate[Role::well], slate.film_not_yet_alpha);
        const Pixel seen = middle(tone);
        CHECK(std::abs(seen.r - c.r) <= 2);
        CHECK(std::abs(seen.g - c.g) <= 2);
        CHECK(std::abs(seen.b - c.b) <= 2);
    }
}

TEST_CASE("a bracket is never closed into a box", "[strip]") {
    const float width = GENERATE(6.0F, 12.0F, 30.0F, 120.0F);
    Driver driver([&](Ui& ui) { tone_bracket(ui, 400, 400 + width, 300, 360, 22, 5, ui.colour(Role::copper)); });
    const Image image = driver.picture();
    const Colour copper = Driver::look_book().slate[Role::copper];
    const Pixel wire{copper.r, copper.g, copper.b};
    CHECK_FALSE(image.at(400 + static_cast<int>(width / 2), 300) == wire);
    CHECK(image.at(400, 330) == wire);
    CHECK(image.at(400 + static_cast<int>(width), 330) == wire);
}

TEST_CASE("seconds up to 120, then minutes; late counts up", "[timer]") {
    CHECK(timer_text(23) == "23");
    CHECK(timer_text(120) == "120");
    CHECK(timer_text(121) == "2:01");
    CHECK(timer_text(605.4) == "10:05");
    CHECK(timer_text(-1) == "+1");
    CHECK(timer_text(-0.2) == "0");
    CHECK(timer_in_seconds(120));
    CHECK_FALSE(timer_in_seconds(121));
}

TEST_CASE("each kind of number has its own outline", "[tags]") {
    const Rect r{0, 0, 80, 32};
    std::vector<std::vector<Vec2>> seen;
    for (const TagShape shape : {TagShape::piece, TagShape::bath, TagShape::lot, TagShape::bottle, TagShape::batch}) {
        const auto outline = tag_outline(shape, r);
        for (const Vec2 p : outline) {
            CHECK((p.x >= 0 && p.x <= 80 && p.y >= 0 && p.y <= 32));
        }
        for (const auto& other : seen) {
            CHECK(outline != other);
        }
        seen.push_back(outline);
    }
}

}  // namespace tonebath::testing
