#include "window/widgets/ui.hpp"

#include <algorithm>

namespace tonebath::window {

namespace {

constexpr WidgetId kCover = ~WidgetId{0};  // hides what lies under it, and is nothing itself

// FNV-1a, 64 bits (Fowler, Noll, Vo).
WidgetId hash_of(std::string_view text) {
    WidgetId h = 14695981039346656037ULL;
    for (const char c : text) {
        h = (h ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
    }
    return h == 0 || h == kCover ? 1 : h;
}

}  // namespace

Ui::Scope::Scope(Ui& ui, std::string_view part) : ui_(ui), length_(ui.path_.size()) {
    if (!ui_.path_.empty()) {
        ui_.path_ += '/';
    }
    ui_.path_ += part;
}

Ui::Scope::~Scope() {
    ui_.path_.resize(length_);
}

Ui::Layer::Layer(Ui& ui, bool modal, const Rect& covers) : ui_(ui), before_(ui.layer_) {
    ui_.layer_ = ++ui_.layers_;
    ui_.paint_.set_layer(ui_.layer_);
    if (!covers.empty()) {
        ui_.hits_next_.push_back({kCover, covers, ui_.layer_, false});
    }
    if (modal) {
        ui_.modal_layer_next_ = ui_.layer_;
    }
}

Ui::Layer::~Layer() {
    ui_.layer_ = before_;
    ui_.paint_.set_layer(before_);
}

void Ui::begin_frame(const FrameSetup& setup, InputFrame input) {
    setup_ = setup;
    theme_ = setup.theme;
    const float width_em = setup.screen.w() / (setup.look->base_px * setup.scale);
    width_ = width_em < setup.look->width.narrow ? Width::narrow
             : width_em > setup.look->width.wide ? Width::wide
                                                 : Width::normal;
    paint_ = Painter(*setup.list, *setup.fonts, *setup.look, setup.scale, setup.probe);
    if (setup.probe != nullptr) {
        setup.probe->clear();
    }
    hits_ = std::exchange(hits_next_, {});
    stops_ = std::exchange(stops_next_, {});
    modal_layer_ = std::exchange(modal_layer_next_, 0);
    space_claimed_ = std::exchange(space_claimed_next_, false);
    path_.clear();
    layer_ = 0;
    layers_ = 0;
    animating_ = false;
    wheel_ = input.wheel;
    mods_ = input.mods;
    pointer_ = input.pointer;
    keys_.clear();
    typed_.clear();
    handle_pointer(input);
    hovered_ = hit_at(pointer_);
    handle_keys(input);
    background();
}

void Ui::end_frame() {
    while (!later_.empty()) {
        const auto draws = std::exchange(later_, {});
        for (const auto& draw : draws) {
            draw(*this);
        }
    }
    for (const Key key : {Key::up, Key::down, Key::left, Key::right}) {
        if (focused_ != 0 && !typing_ && take_key(key, kNoMods)) {
            move_focus_towards(key);
        }
    }
    const bool there = std::any_of(stops_next_.begin(), stops_next_.end(),
                                   [this](const FocusStop& stop) { return stop.id == focused_; });
    if (!there && focus_wanted_ == 0) {
        focused_ = 0;
    }
    focus_wanted_ = 0;
    for (auto entry = motions_.begin(); entry != motions_.end();) {
        entry = std::exchange(entry->second.seen, false) ? std::next(entry) : motions_.erase(entry);
    }
}

void Ui::background(Role role) {
    paint_.fill(setup_.screen, colour(role));
    paint_.push_surface(colour(role));
}

float Ui::em(float n) const {
    return std::round(n * setup_.look->base_px * setup_.scale);
}

float Ui::take_wheel(const Rect& over) {
    if (layer_ < modal_layer_ || !over.has(pointer_)) {
        return 0;
    }
    return std::exchange(wheel_, 0.0F);
}

std::string Ui::path_of(std::string_view id) const {
    return path_.empty() ? std::string(id) : path_ + "/" + std::string(id);
}

WidgetId Ui::id_of(std::string_view id) const {
    return hash_of(path_of(id));
}

void Ui::later(std::function<void(Ui&)> draw) {
    // The list belongs to the path it was asked for from.
    later_.emplace_back([path = path_, draw = std::move(draw)](Ui& ui) {
        const std::string before = std::exchange(ui.path_, path);
        draw(ui);
        ui.path_ = before;
    });
}

Touch Ui::touch(std::string_view id, const Rect& rect, Focusable focusable, bool enabled) {
    const WidgetId self = id_of(id);
    hits_next_.push_back({self, rect, layer_, enabled});
    if (enabled && focusable != Focusable::no) {
        stops_next_.push_back({self, path_of(id), rect, layer_, focusable == Focusable::text});
    }
    Touch out;
    out.at = pointer_;
    out.mods = click_mods_;
    out.hovered = hovered_ == self;
    if (!enabled) {
        return out;
    }
    out.held = held_ == self;
    if (const auto down = went_down_.find(self); down != went_down_.end()) {
        out.pressed = true;
        out.at = down->second;
    }
    if (const auto click = clicked_.find(self); click != clicked_.end()) {
        out.clicked = true;
        out.at = click->second;
    }
    out.focused = focused_ == self;
    out.ring = out.focused && ring_;
    out.activated = out.clicked;
    if (out.ring && focusable == Focusable::yes && !space_claimed_ && (pressed(Key::enter) || pressed(Key::space))) {
        out.activated = true;
    }
    return out;
}

void Ui::report(std::string_view id, ProbeWidget widget) {
    if (setup_.probe == nullptr) {
        return;
    }
    widget.id = id_of(id);
    widget.path = path_of(id);
    widget.focused = focused_ == widget.id;
    widget.layer = layer_;
    setup_.probe->add(std::move(widget));
}

float Ui::ease(std::string_view id, float target, float duration_ms) {
    Motion& motion = motions_.try_emplace(id_of(id), Motion{target, target, target, setup_.now_s, true}).first->second;
    motion.seen = true;
    if (motion.target != target) {
        motion.from = motion.value;
        motion.target = target;
        motion.started_s = setup_.now_s;
    }
    const double passed_ms = (setup_.now_s - motion.started_s) * 1000;
    if (setup_.reduced_motion || duration_ms <= 0 || passed_ms >= static_cast<double>(duration_ms)) {
        motion.value = target;
        return target;
    }
    const float share = std::clamp(static_cast<float>(passed_ms) / duration_ms, 0.0F, 1.0F);
    const float smooth = 1 - (1 - share) * (1 - share);
    motion.value = motion.from + (target - motion.from) * smooth;
    if (motion.value != target) {
        animating_ = true;
    }
    return motion.value;
}

float& Ui::memory(std::string_view id, float at_first) {
    return memories_.try_emplace(id_of(id), at_first).first->second;
}

WidgetId Ui::hit_at(Vec2 at) const {
    const Hit* top = nullptr;
    for (const Hit& hit : hits_) {
        if (hit.rect.has(at) && (top == nullptr || hit.layer >= top->layer)) {
            top = &hit;
        }
    }
    return top == nullptr || top->id == kCover ? 0 : top->id;
}

void Ui::handle_pointer(const InputFrame& input) {
    clicked_.clear();
    went_down_.clear();
    for (const InputEvent& event : input.events) {
        if (event.kind != InputEvent::Kind::pointer || event.pointer.second) {
            continue;
        }
        const WidgetId under = hit_at(event.pointer.at);
        click_mods_ = event.pointer.mods;
        if (event.pointer.down) {
            held_ = under;
            if (under != 0) {
                went_down_[under] = event.pointer.at;
            }
            const bool takes_keys =
                std::any_of(stops_.begin(), stops_.end(), [under](const FocusStop& stop) { return stop.id == under; });
            focused_ = takes_keys ? under : 0;
            ring_ = false;
        } else {
            if (held_ != 0 && under == held_) {
                clicked_[held_] = event.pointer.at;
            }
            held_ = 0;
        }
    }
}

void Ui::set_clipboard(std::function<std::string()> read, std::function<void(const std::string&)> write) {
    clipboard_read_ = std::move(read);
    clipboard_write_ = std::move(write);
}

std::string Ui::read_clipboard() const {
    return clipboard_read_ ? clipboard_read_() : own_clipboard_;
}

void Ui::write_clipboard(const std::string& text) {
    own_clipboard_ = text;
    if (clipboard_write_) {
        clipboard_write_(text);
    }
}

}  // namespace tonebath::window
