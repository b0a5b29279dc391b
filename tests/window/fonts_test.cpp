#include "window/driver.hpp"

#include <imgui.h>
#include <catch2/catch.hpp>

#include <cmath>

namespace tonebath::testing {

using namespace tonebath::window;

TEST_CASE("every type can write what pages say", "[fonts]") {
    Driver driver([](Ui&) {});
    const FontSet& fonts = driver.fonts();
    CHECK(fonts.messages.empty());
    for (int i = 0; i < kTypeCount; ++i) {
        const Type type = static_cast<Type>(i);
        const TypeFace& face = Driver::look_book().look[type];
        INFO(type_name(type));
        if (face.glyphs == "full") {
            CHECK(can_draw(fonts[type], "Žluťoučký kůň, Größe, São, Œuvre, Łódź, ČĎĚŇŘŠŤŮ"));
            CHECK(can_draw(fonts[type], "Ελληνικά, Кириллица, Ґґ"));
            CHECK(can_draw(fonts[type], "K₂S, m³, 10⁻³, H₂S · ±5 % … – — ‘a’ “b” 60 °C Δ Ω µ"));
            CHECK(can_draw(fonts[type], "≤ ≥ ≈ ≠ − × ÷ ∞ → ← ↑ ↓ ☐ ☑ ✓ € №"));
            for (int icon = 0; icon < kIconCount; ++icon) {
                CHECK(can_draw(fonts[type], icon_utf8(static_cast<Icon>(icon))));
            }
        } else if (face.glyphs == "latin") {
            CHECK(can_draw(fonts[type], "dark grey, gunmetal, žlutá, größer: 51.4 °C ±"));
        } else {
            CHECK(can_draw(fonts[type], "0123456789:"));
        }
        CHECK_FALSE(can_draw(fonts[type], "漢"));
        CHECK_FALSE(can_draw(fonts[type], "😀"));
    }
    CHECK(can_draw(fonts[Type::timer], "OUT"));
    CHECK(can_draw(fonts[Type::timer], "LOOK"));
}

TEST_CASE("digits that count down sit in equal cells, others in their own", "[fonts]") {
    Driver driver([](Ui&) {});
    for (const Type type : {Type::timer, Type::next, Type::figure}) {
        const float cell = driver.fonts()[type].font->GetCharAdvance('0');
        for (ImWchar digit = '1'; digit <= '9'; ++digit) {
            INFO(type_name(type) << " " << static_cast<char>(digit));
            CHECK(driver.fonts()[type].font->GetCharAdvance(digit) == cell);
        }
        CHECK(driver.ui().paint().text_width(type, "111") == driver.ui().paint().text_width(type, "888"));
    }
    CHECK(driver.ui().paint().text_width(Type::word, "111") < driver.ui().paint().text_width(Type::word, "888"));
}

TEST_CASE("letters are as large as the look says, at every scale", "[fonts]") {
    const float scale = GENERATE(1.0F, 1.5F, 2.0F);
    Driver driver([](Ui&) {}, {.scale = scale});
    for (int i = 0; i < kTypeCount; ++i) {
        const Type type = static_cast<Type>(i);
        const FontFace& face = driver.fonts()[type];
        INFO(type_name(type) << " at " << scale);
        CHECK_THAT(static_cast<double>(face.em_px),
                   Catch::WithinAbs(static_cast<double>(Driver::look_book().look[type].size_em * 16 * scale), 0.02));
        // Capitals of this family are 0.727 em high (its OS/2 table, sCapHeight 2048 of 2816); a pixel for the edge.
        CHECK_THAT(static_cast<double>(face.cap_px), Catch::WithinAbs(0.727 * static_cast<double>(face.em_px), 1.6));
    }
}

TEST_CASE("pairs of letters are moved together, digits are not", "[fonts]") {
    Driver driver([](Ui&) {});
    const Painter& paint = driver.ui().paint();
    const auto gain = [&](Type type, std::string_view pair) {
        return paint.text_width(type, pair.substr(0, 1)) + paint.text_width(type, pair.substr(1)) -
               paint.text_width(type, pair);
    };
    CHECK(gain(Type::title, "To") > 1);
    CHECK(gain(Type::title, "AV") > 1);
    CHECK(std::abs(gain(Type::title, "11")) < 1e-3F);
    CHECK(std::abs(gain(Type::title, "nn")) < 1e-3F);
}

TEST_CASE("missing letter files are replaced and said", "[fonts]") {
    ImFontAtlas atlas;
    const FontSet none = build_fonts(atlas, Driver::look_book().look, 1, Width::normal, {"/nowhere/at/all"});
    REQUIRE_FALSE(none.messages.empty());
    for (const FontFace& face : none.faces) {
        REQUIRE(face.font != nullptr);
        CHECK(face.cap_px > 4);
    }
    ImFontAtlas other;
    const FontSet dejavu =
        build_fonts(other, Driver::look_book().look, 1, Width::normal, {"/usr/share/fonts/truetype/dejavu"});
    REQUIRE_FALSE(dejavu.messages.empty());
    CHECK_THAT(dejavu.messages.front(), Catch::Contains("Inter-Medium.otf") && Catch::Contains("DejaVuSans.ttf"));
    CHECK(can_draw(dejavu[Type::body], "ž Ж ☑ ₂"));
}

}  // namespace tonebath::testing
