// One frame of the window as the pages see it: sizes, colours, keys, focus, and the identity of each widget.
// A page is given a Ui by reference, draws itself top to bottom, and asks for nothing else.
//
// Identity: ids are paths. `auto page = ui.scope("baths");` then a widget "reading" is "baths/reading".
// Use the record's own id for rows, never an index or a label.
// Layers: what is drawn in a later layer (sheet, list, emergency page) covers the layers before it; a modal layer also
// takes their keys and presses. What lies under the pointer is decided by the last frame.
#pragma once

#include "window/widgets/input.hpp"
#include "window/widgets/paint.hpp"

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>

namespace tonebath::window {

struct FrameSetup {
    Rect screen;                // px
    float scale = 1;            // px for one px at scale 1
    float dt_s = 1.0F / 60.0F;  // since the last frame
    double now_s = 0;           // runs on, for slow changes; not the wall clock
    bool reduced_motion = false;
    const Theme* theme = nullptr;
    const Look* look = nullptr;
    const FontSet* fonts = nullptr;
    ImDrawList* list = nullptr;  // everything is drawn here
    Probe* probe = nullptr;      // optional
};

// What the pointer and the keyboard did to one place this frame.
struct Touch {
    bool hovered = false;
    bool held = false;       // pressed and not let go
    bool clicked = false;    // pressed and let go on it
    bool pressed = false;    // went down on it this frame
    bool focused = false;    // has the keys
    bool ring = false;       // has the keys and got them by a key, so the ring is drawn
    bool activated = false;  // clicked, or Enter or Space while it has the keys
    Vec2 at;                 // where the pointer is
    Mods mods;
};

enum class Focusable : std::uint8_t { no, yes, text };

// What Ctrl S keeps of a plot: where it stands in the frame, in px, and what it shows as CSV.
struct KeptPicture {
    std::string name;
    Rect rect;
    std::string csv;
};

class Ui {
public:
    // ---- life of a frame (shell and test driver) ----
    void begin_frame(const FrameSetup& setup, InputFrame input);
    void end_frame();
    void set_clipboard(std::function<std::string()> read, std::function<void(const std::string&)> write);
    [[nodiscard]] bool wants_next_frame() const { return animating_; }  // something is still moving

    // ---- sizes and colours ----
    [[nodiscard]] float em(float n = 1) const;  // n em in whole pixels
    [[nodiscard]] float px(float at_scale_1) const { return paint_.px(at_scale_1); }
    [[nodiscard]] float scale() const { return setup_.scale; }
    [[nodiscard]] Width width() const { return width_; }
    [[nodiscard]] Rect screen() const { return setup_.screen; }
    [[nodiscard]] const Theme& theme() const { return *theme_; }
    [[nodiscard]] Colour colour(Role role) const { return (*theme_)[role]; }
    [[nodiscard]] const Look& look() const { return *setup_.look; }
    [[nodiscard]] const FontSet& fonts() const { return *setup_.fonts; }
    [[nodiscard]] float dt_s() const { return setup_.dt_s; }
    [[nodiscard]] double now_s() const { return setup_.now_s; }
    [[nodiscard]] bool reduced_motion() const { return setup_.reduced_motion; }
    [[nodiscard]] Probe* probe() const { return setup_.probe; }
    [[nodiscard]] Painter& paint() { return paint_; }
    [[nodiscard]] const Painter& paint() const { return paint_; }  // measuring
    void use_theme(const Theme& theme) { theme_ = &theme; }  // emergency pages: black and white, until end of frame
    void background(Role role = Role::ground);

    // ---- keys: each press is given once; a key held down repeats only for arrows and page keys ----
    [[nodiscard]] bool pressed(Key key, Mods mods = kNoMods);
    [[nodiscard]] std::optional<KeyPress> press_of(Key key, Mods mods = kNoMods);
    // Reaches through every layer: the bench key and F12.
    [[nodiscard]] std::optional<KeyPress> press_everywhere(Key key, Mods mods = kNoMods);
    [[nodiscard]] bool typing() const { return typing_; }  // a text field has the keys: letters and digits go there
    [[nodiscard]] float take_wheel(const Rect& over);      // notches turned over this place, given once

    // ---- identity and layers ----
    class Scope {
    public:
        Scope(Ui& ui, std::string_view part);
        ~Scope();
        Scope(const Scope&) = delete;
        Scope& operator=(const Scope&) = delete;

    private:
        Ui& ui_;
        std::size_t length_;
    };
    [[nodiscard]] Scope scope(std::string_view part) { return Scope(*this, part); }
    [[nodiscard]] std::string path_of(std::string_view id) const;
    [[nodiscard]] WidgetId id_of(std::string_view id) const;

    class Layer {
    public:
        Layer(Ui& ui, bool modal, const Rect& covers);
        ~Layer();
        Layer(const Layer&) = delete;
        Layer& operator=(const Layer&) = delete;

    private:
        Ui& ui_;
        int before_;
    };
    // Everything drawn while it lives stands above what was drawn before. covers: what it hides from the pointer.
    [[nodiscard]] Layer layer(bool modal, const Rect& covers) { return Layer(*this, modal, covers); }
    // Drawn after the page, above it: lists that open. Called in end_frame, in a modal layer when modal is true.
    void later(std::function<void(Ui&)> draw);

    // ---- for widgets ----
    Touch touch(std::string_view id, const Rect& rect, Focusable focusable = Focusable::yes, bool enabled = true);
    // Reports a widget; path, id and focus are filled in here.
    void report(std::string_view id, ProbeWidget widget);
    void focus(std::string_view id, bool with_ring = false);
    void focus_path(std::string_view path, bool with_ring = false);
    void drop_focus();
    [[nodiscard]] std::string focused_path() const;
    [[nodiscard]] bool focus_ring_elsewhere(std::string_view id) const;  // another pressable widget shows the ring
    void claim_space(bool enabled);  // the bench key alone gets Space and Enter from the next frame on
    [[nodiscard]] bool space_claimed() const { return space_claimed_; }
    void draw_focus_ring(const Rect& r, float radius);
    [[nodiscard]] std::vector<InputEvent> take_typing(std::string_view id);  // keys and text for the focused text field
    [[nodiscard]] std::string read_clipboard() const;
    void write_clipboard(const std::string& text);
    // Asks for part of this frame as a picture, with its figures; the shell takes it after the frame.
    void keep_picture(KeptPicture picture) { kept_picture_ = std::move(picture); }
    [[nodiscard]] std::optional<KeptPicture> take_kept_picture() { return std::exchange(kept_picture_, std::nullopt); }
    // A value that moves to its target in the given time (cuts when motion is reduced), kept under the widget's id.
    [[nodiscard]] float ease(std::string_view id, float target, float duration_ms);
    // A number kept under the widget's id from frame to frame: where the arrows stand on a strip.
    [[nodiscard]] float& memory(std::string_view id, float at_first);

private:
    struct Hit {
        WidgetId id = 0;
        Rect rect;
        int layer = 0;
        bool enabled = true;
    };
    struct FocusStop {
        WidgetId id = 0;
        std::string path;
        Rect rect;
        int layer = 0;
        bool text = false;
    };
    struct Motion {
        float value = 0;
        float from = 0;
        float target = 0;
        double started_s = 0;
        bool seen = false;
    };
    [[nodiscard]] WidgetId hit_at(Vec2 at) const;
    void handle_pointer(const InputFrame& input);
    void handle_keys(const InputFrame& input);
    void move_focus(int step);
    void move_focus_towards(Key direction);
    [[nodiscard]] std::optional<KeyPress> take_key(Key key, Mods mods);
    [[nodiscard]] const FocusStop* focus_stop() const;

    FrameSetup setup_;
    Painter paint_;
    const Theme* theme_ = nullptr;
    Width width_ = Width::normal;
    std::string path_;
    int layer_ = 0, layers_ = 0;
    int modal_layer_ = 0, modal_layer_next_ = 0;
    std::vector<Hit> hits_, hits_next_;
    std::vector<FocusStop> stops_, stops_next_;
    std::vector<std::function<void(Ui&)>> later_;
    std::vector<KeyPress> keys_;
    std::vector<InputEvent> typed_;
    float wheel_ = 0;
    Vec2 pointer_{-1, -1};
    Mods mods_;
    WidgetId hovered_ = 0, held_ = 0, focused_ = 0, focus_wanted_ = 0;
    std::unordered_map<WidgetId, Vec2> clicked_, went_down_;
    Mods click_mods_;
    bool ring_ = false;
    bool typing_ = false;
    bool space_claimed_ = false, space_claimed_next_ = false;
    bool animating_ = false;
    std::unordered_map<WidgetId, Motion> motions_;
    std::unordered_map<WidgetId, float> memories_;
    std::function<std::string()> clipboard_read_;
    std::function<void(const std::string&)> clipboard_write_;
    std::string own_clipboard_;
    std::optional<KeptPicture> kept_picture_;
};

}  // namespace tonebath::window
