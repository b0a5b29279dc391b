#include "window/panels/settings_sheet.hpp"

#include "base/quantity_text.hpp"
#include "window/widgets/blocks.hpp"

#include <array>
#include <cstdint>
#include <vector>

namespace tonebath::window {

namespace {

enum class Loudness : std::uint8_t { off, quiet, medium, loud };

constexpr std::array<float, 7> kScales{0.75F, 1.0F, 1.25F, 1.5F, 2.0F, 2.5F, 3.0F};

// A row: its name at the left, the choices side by side. Returns the id chosen now.
std::string row(Ui& ui, Rect& place, std::string_view id, std::string_view name, const std::vector<Option>& options, std::string chosen) {
    Rect line = place.cut_top(ui.em(4.0F));
    const Rect label = line.cut_left(ui.em(13.0F));
    line.y1 = line.y0 + ui.em(2.75F);
    ui.paint().text_in(Type::strong, ui.colour(Role::ink), {label.x0, line.y0, label.x1, line.y1}, name);
    choice_segmented(ui, id, line, name, options, chosen);
    return chosen;
}

template <class E>
E enum_row(Ui& ui, Rect& place, std::string_view id, std::string_view name, const std::vector<std::string>& words, E now) {
    std::vector<Option> options;
    for (const std::string& word : words) {
        options.push_back({.id = word, .label = word});
    }
    const std::string chosen = row(ui, place, id, name, options, words[static_cast<std::size_t>(now)]);
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (words[i] == chosen) {
            return static_cast<E>(i);
        }
    }
    return now;
}

}  // namespace

void SettingsSheet::draw(Ui& ui, float hung_from_x, WindowChoices& choices) {
    if (!open_) {
        return;
    }
    Sheet sheet(ui, "settings", "Window and units", hung_from_x);
    Rect inside = sheet.inside();
    const Rect head = inside.cut_top(ui.em(3.5F));
    page_head(ui, head.x0, head.y0 + ui.em(1.75F), "Window and units");
    choices.theme = row(ui, inside, "theme", "Light", {{.id = "slate", .label = "slate"}, {.id = "chalk", .label = "chalk"}, {.id = "black and white", .label = "black and white"}},
                        choices.theme);
    std::vector<Option> scales;
    std::string scale;
    for (const float one : kScales) {
        const std::string word = fixed_text(static_cast<double>(one), one == 1.0F || one == 2.0F || one == 3.0F ? 0 : 2);
        scales.push_back({.id = word, .label = word + "×"});
        if (one == choices.scale) {
            scale = word;
        }
    }
    const std::string new_scale = row(ui, inside, "scale", "Size", scales, scale);
    for (std::size_t i = 0; i < kScales.size(); ++i) {
        if (scales[i].id == new_scale) {
            choices.scale = kScales[i];
        }
    }
    UnitChoice& units = choices.units;
    units.temperature = enum_row(ui, inside, "temperature", "A bare temperature is", {"°C", "°F"}, units.temperature);
    units.volume = enum_row(ui, inside, "volume", "A bare volume is", {"ml", "US cups", "US fl oz"}, units.volume);
    units.mass = enum_row(ui, inside, "mass", "A bare mass is", {"g", "oz"}, units.mass);
    units.length = enum_row(ui, inside, "length", "A bare length is", {"mm", "AWG", "in"}, units.length);
    choices.sound = static_cast<int>(enum_row(ui, inside, "sound", "Sound of a cue", {"off", "quiet", "medium", "loud"}, static_cast<Loudness>(choices.sound)));
    inside.cut_top(ui.em(0.5F));
    Rect last = inside.cut_top(ui.em(2.75F));
    toggle(ui, "motion", last.cut_left(ui.em(13.0F)), "Less movement", choices.reduced_motion);
    toggle(ui, "voice", last.cut_left(ui.em(17.0F)), "Speak the lane's number", choices.voice);
    const float w = button_width(ui, "Hear the out", Key::o);
    if (button_quiet(ui, "hear", last.cut_left(w), "Hear the out", Key::o, {.refused = choices.sound == 0 ? "the sound is off" : ""})) {
        sound_test_ = true;
    }
    ui.paint().text(Type::label, ui.colour(Role::text), {inside.x0, inside.y0 + ui.em(2.0F)},
                    "A unit that is typed always wins: \"131 F\", \"1 cup\", \"0.5 oz\", \"20 awg\".");
    if (sheet.closed()) {
        open_ = false;
    }
}

}  // namespace tonebath::window
