// Colours by their role, and the sizes that the whole look is made from. Both are read from data/themes by a strict
// reader: an unknown, missing or malformed entry is refused with its name, so that a typing slip is never a silent
// default.
#pragma once

#include "base/result.hpp"

#include <array>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::window {

// An sRGB colour with alpha, 8 bits each.
struct Colour {
    std::uint8_t r = 0;
    std::uint8_t g = 0;
    std::uint8_t b = 0;
    std::uint8_t a = 255;
    // alpha 0..1, multiplied onto the present one
    [[nodiscard]] Colour faded(float alpha) const;
    [[nodiscard]] std::uint32_t packed() const {  // as the draw lists take it
        return static_cast<std::uint32_t>(r) | static_cast<std::uint32_t>(g) << 8U |
               static_cast<std::uint32_t>(b) << 16U | static_cast<std::uint32_t>(a) << 24U;
    }
    [[nodiscard]] std::string hex() const;  // "#rrggbb"
    friend bool operator==(const Colour&, const Colour&) = default;
};
[[nodiscard]] Colour mix(Colour from, Colour to, float share);              // share 0 gives from, 1 gives to
[[nodiscard]] std::optional<Colour> colour_from_hex(std::string_view hex);  // "#rrggbb" and nothing else

enum class Role : std::uint8_t {
    ground,
    slab,
    raised,
    well,
    line,
    edge,
    ink,
    text,
    quiet,
    copper,
    on_copper,
    wire,
    wire_light,
    done,
    look,
    stop,
    unknown,
    on_state,
    paper,
    paper_ink,
    paper_quiet,
    paper_line,
    steel,
    held,
    paper_done,
    paper_look,
    paper_stop,
    paper_unknown,
};
inline constexpr int kRoleCount = 28;
[[nodiscard]] std::string_view role_name(Role role);  // as in the theme files
[[nodiscard]] std::optional<Role> role_from_name(std::string_view name);

struct Theme {
    std::string name;  // "slate", "chalk", "black and white"
    bool dark = true;
    std::array<Colour, kRoleCount> colours{};
    float film_not_yet_alpha = 0.8F;  // of well, over the part of a strip not reached
    [[nodiscard]] Colour operator[](Role role) const { return colours[static_cast<std::size_t>(role)]; }
};
[[nodiscard]] Result<Theme> load_theme(const std::filesystem::path& file);

enum class Type : std::uint8_t {
    small,
    label,
    body,
    strong,
    lead,
    leads,
    title,
    figure,
    word,
    next,
    timer,
    alarm_text,
    alarm_head,
    alarm,
};
inline constexpr int kTypeCount = 14;
[[nodiscard]] std::string_view type_name(Type type);

// One type of letter: how large and from which font file.
struct TypeFace {
    float size_em = 1;
    float size_narrow_em = 1;  // under the narrow width
    float size_wide_em = 1;    // over the wide width
    std::string file;
    std::string glyphs;  // "full", "latin", or the very signs ("0123456789:")
    bool equal_digits = false;
};

// The tones of one metal and surface as they are drawn. A scale without colours is drawn in its bare metal with words
// only.
struct DrawnTone {
    std::string word;
    std::optional<Colour> colour;
};
struct DrawnScale {
    std::string name;
    Colour bare;
    std::vector<DrawnTone> tones;
    [[nodiscard]] bool words_only() const;
    [[nodiscard]] int index_of(std::string_view word) const;  // -1 when the scale has no such word
};

// Everything of the look that is not a theme colour. Sizes in em unless the name says px.
struct Look {
    float base_px = 16;
    std::array<TypeFace, kTypeCount> type;
    std::vector<std::string> merge;  // font files that fill in missing signs; the last is the icon font
    struct {
        float unit, margin, gutter, row, row_dense, rail_height, foot_height;
    } space{};
    struct {
        float control, slab, key_bar;
    } radius{};
    struct {  // px at scale 1
        float hair, outline, mark, curve, wire, bracket, bracket_bench, keyline;
    } stroke{};
    struct {
        float pointer, bench, gap_bench, row;
    } target{};
    struct {  // milliseconds; frames a second for the film front
        float tag_drop, bracket_tighten, film_front_fps;
    } motion{};
    struct {
        float plateau, tab, chamfer, hole, sheen_height, sheen_alpha, shade_height, shade_alpha, tick_alpha;
        float height_row, height_small, height_plan, height_bench, words_from_height;
    } strip{};
    struct {
        float over, foot, range_over, range_stroke_px;
    } bracket{};
    struct {
        float narrow, wide;  // layout widths
    } width{};
    DrawnScale silver;                                        // the default scale, for display only
    std::vector<std::pair<std::string, Colour>> bare_metals;  // "copper", "red_brass", ...
    [[nodiscard]] const TypeFace& operator[](Type t) const { return type[static_cast<std::size_t>(t)]; }
};
[[nodiscard]] Result<Look> load_look(const std::filesystem::path& file);

// All three themes and the look from one folder (data/themes).
struct LookBook {
    Look look;
    Theme slate, chalk, contrast;
};
[[nodiscard]] Result<LookBook> load_look_book(const std::filesystem::path& folder);

}  // namespace tonebath::window
