#include "window/widgets/strict_toml.hpp"
#include "window/widgets/theme.hpp"

#include <fmt/format.h>

namespace tonebath::window {

namespace {

void read_types(StrictTable types, Look& look) {
    look.base_px = types.number("base_px", 8, 64);
    if (const toml::array* files = types.array("merge")) {
        for (const toml::node& file : *files) {
            if (const auto name = file.value<std::string>()) {
                look.merge.push_back(*name);
            } else {
                types.fail("merge", "holds something that is not text");
            }
        }
    }
    for (int i = 0; i < kTypeCount; ++i) {
        StrictTable type = types.table(type_name(static_cast<Type>(i)));
        TypeFace& face = look.type[static_cast<std::size_t>(i)];
        face.size_em = type.number("size", 0.5, 30);
        face.size_narrow_em = type.number_or("size_narrow", face.size_em, 0.5, 30);
        face.size_wide_em = type.number_or("size_wide", face.size_em, 0.5, 30);
        face.file = type.words("file");
        face.glyphs = type.words("glyphs");
        face.equal_digits = type.flag_or("equal_digits", false);
        type.nothing_else();
    }
    types.nothing_else();
}

void read_sizes(StrictTable& top, Look& look) {
    StrictTable space = top.table("space");
    look.space = {space.number("unit", 0.1, 4),         space.number("margin", 0, 10),
                  space.number("gutter", 0, 10),        space.number("row", 2.625, 10),
                  space.number("row_dense", 2.625, 10), space.number("rail_height", 2, 10),
                  space.number("foot_height", 1, 10)};
    space.nothing_else();
    StrictTable radius = top.table("radius");
    look.radius = {radius.number("control", 0, 2), radius.number("slab", 0, 2), radius.number("key_bar", 0, 2)};
    radius.nothing_else();
    StrictTable stroke = top.table("stroke");
    look.stroke = {stroke.number("hair", 0.5, 10),          stroke.number("outline", 0.5, 10),
                   stroke.number("mark", 0.5, 10),          stroke.number("curve", 0.5, 10),
                   stroke.number("wire", 0.5, 10),          stroke.number("bracket", 0.5, 10),
                   stroke.number("bracket_bench", 0.5, 20), stroke.number("keyline", 0, 10)};
    stroke.nothing_else();
    StrictTable target = top.table("target");
    look.target = {target.number("pointer", 1.5, 10), target.number("bench", 3, 10), target.number("gap_bench", 0, 10),
                   target.number("row", 1.5, 10)};
    target.nothing_else();
    StrictTable motion = top.table("motion");
    look.motion = {motion.number("tag_drop", 0, 2000), motion.number("bracket_tighten", 0, 2000),
                   motion.number("film_front_fps", 1, 60)};
    motion.nothing_else();
}

void read_shapes(StrictTable& top, Look& look) {
    StrictTable strip = top.table("strip");
    look.strip = {strip.number("plateau", 0, 1),        strip.number("tab", 0, 3),
                  strip.number("chamfer", 0, 0.5),      strip.number("hole", 0, 0.5),
                  strip.number("sheen_height", 0, 0.5), strip.number("sheen_alpha", 0, 1),
                  strip.number("shade_height", 0, 0.5), strip.number("shade_alpha", 0, 1),
                  strip.number("tick_alpha", 0, 1),     strip.number("height_row", 0.25, 4),
                  strip.number("height_small", 0.5, 6), strip.number("height_plan", 1, 10),
                  strip.number("height_bench", 2, 20),  strip.number("words_from_height", 0, 20)};
    strip.nothing_else();
    StrictTable bracket = top.table("bracket");
    look.bracket = {bracket.number("over", 0, 4), bracket.number("foot", 0, 6), bracket.number("range_over", 0, 4),
                    bracket.number("range_stroke_px", 0.5, 10)};
    bracket.nothing_else();
    StrictTable width = top.table("width");
    look.width = {width.number("narrow", 30, 200), width.number("wide", 30, 400)};
    width.nothing_else();
}

void read_scales(StrictTable& top, Look& look) {
    StrictTable scale = top.table("scale");
    StrictTable silver = scale.table("silver");
    look.silver.name = "silver";
    look.silver.bare = silver.colour("bare");
    if (const toml::array* tones = silver.array("tones")) {
        for (const toml::node& tone : *tones) {
            const toml::table* entry = tone.as_table();
            const auto word = entry == nullptr ? std::nullopt : (*entry)["word"].value<std::string>();
            const auto hex = entry == nullptr ? std::nullopt : (*entry)["colour"].value<std::string>();
            const auto colour = hex ? colour_from_hex(*hex) : std::nullopt;
            if (!word || word->empty() || !colour || entry->size() != 2) {
                silver.fail("tones", "needs a word and a colour for each tone, and nothing else");
                break;
            }
            look.silver.tones.push_back({*word, colour});
        }
        if (look.silver.tones.size() < 2) {
            silver.fail("tones", "needs at least two tones");
        }
    }
    silver.nothing_else();
    StrictTable bare = scale.table("bare_metals");
    for (const std::string& metal : bare.keys()) {
        look.bare_metals.emplace_back(metal, bare.colour(metal));
    }
    scale.nothing_else();
}

}  // namespace

Result<Look> load_look(const std::filesystem::path& file) {
    auto parsed = read_toml(file);
    if (!parsed) {
        return parsed.error();
    }
    std::string wrong;
    StrictTable top(&parsed.value(), "", wrong);
    Look look;
    top.number("schema", 1, 1);
    read_types(top.table("type"), look);
    read_sizes(top, look);
    read_shapes(top, look);
    read_scales(top, look);
    top.nothing_else();
    if (!wrong.empty()) {
        return Refusal{.code = "look.file.wrong",
                       .field = file.filename().string(),
                       .value = {},
                       .message = wrong + ".",
                       .remedy = "Every size must be there once, and nothing else.",
                       .answers = {}};
    }
    return look;
}

}  // namespace tonebath::window
