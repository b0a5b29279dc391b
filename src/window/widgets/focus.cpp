// Keys and who has them: Tab order, arrows between widgets, typing into the field that has the keys.
#include "window/widgets/ui.hpp"

#include <algorithm>
#include <limits>

namespace tonebath::window {

namespace {

bool printed_with_shift(Key key) {
    return key == Key::question || key == Key::plus;
}

bool prints(Key key) {
    return (key >= Key::a && key <= Key::d9) || key == Key::space || key == Key::slash || key == Key::question ||
           key == Key::plus || key == Key::minus || key == Key::comma || key == Key::period;
}

bool edits(Key key) {
    return key == Key::backspace || key == Key::del || key == Key::home || key == Key::end || key == Key::left ||
           key == Key::right || key == Key::enter || key == Key::esc || key == Key::insert;
}

// Keys that may be held down to go on.
bool walks(Key key) {
    return key == Key::up || key == Key::down || key == Key::left || key == Key::right || key == Key::page_up ||
           key == Key::page_down;
}

// Presses that belong to a text field while it has the keys.
bool belongs_to_typing(const KeyPress& press) {
    if (press.mods.alt) {
        return false;
    }
    if (press.mods.ctrl) {
        if (press.key == Key::enter) {
            return false;  // sends the form that the field stands on
        }
        return press.key == Key::a || press.key == Key::c || press.key == Key::x || press.key == Key::v ||
               press.key == Key::z || edits(press.key);
    }
    return prints(press.key) || edits(press.key);
}

bool same_mods(const KeyPress& press, Mods mods) {
    Mods held = press.mods;
    if (printed_with_shift(press.key)) {
        held.shift = mods.shift;
    }
    return held == mods;
}

}  // namespace

void Ui::handle_keys(const InputFrame& input) {
    const FocusStop* stop = focus_stop();
    typing_ = stop != nullptr && stop->text;
    for (const InputEvent& event : input.events) {
        if (event.kind == InputEvent::Kind::text) {
            if (typing_) {
                typed_.push_back(event);
            }
        } else if (event.kind == InputEvent::Kind::key) {
            const KeyPress& press = event.key;
            if (press.key == Key::tab && !press.mods.alt && !press.mods.ctrl) {
                move_focus(press.mods.shift ? -1 : 1);
                typing_ = false;  // what follows in this frame waits until the next field is known
            } else if (typing_ && belongs_to_typing(press)) {
                typed_.push_back(event);
            } else if (!press.repeat || walks(press.key)) {
                keys_.push_back(press);  // a key held down does not press a button again
            }
        }
    }
}

std::optional<KeyPress> Ui::take_key(Key key, Mods mods) {
    const auto found = std::find_if(keys_.begin(), keys_.end(),
                                    [&](const KeyPress& press) { return press.key == key && same_mods(press, mods); });
    if (found == keys_.end()) {
        return std::nullopt;
    }
    const KeyPress press = *found;
    keys_.erase(found);
    return press;
}

bool Ui::pressed(Key key, Mods mods) {
    return press_of(key, mods).has_value();
}

std::optional<KeyPress> Ui::press_of(Key key, Mods mods) {
    if (key == Key::none || layer_ < modal_layer_) {
        return std::nullopt;
    }
    if (space_claimed_ && mods == kNoMods && (key == Key::space || key == Key::enter)) {
        return std::nullopt;  // they lift a piece out, and do nothing else
    }
    return take_key(key, mods);
}

std::optional<KeyPress> Ui::press_everywhere(Key key, Mods mods) {
    return key == Key::none ? std::nullopt : take_key(key, mods);
}

std::vector<InputEvent> Ui::take_typing(std::string_view id) {
    if (focused_ != id_of(id)) {
        return {};
    }
    return std::exchange(typed_, {});
}

const Ui::FocusStop* Ui::focus_stop() const {
    const auto found = std::find_if(stops_.begin(), stops_.end(), [this](const FocusStop& stop) {
        return stop.id == focused_ && stop.layer >= modal_layer_;
    });
    return found == stops_.end() ? nullptr : &*found;
}

void Ui::move_focus(int step) {
    std::vector<const FocusStop*> round;
    for (const FocusStop& stop : stops_) {
        if (stop.layer >= modal_layer_) {
            round.push_back(&stop);
        }
    }
    if (round.empty()) {
        return;
    }
    const auto at = std::find_if(round.begin(), round.end(), [this](const FocusStop* s) { return s->id == focused_; });
    const auto count = static_cast<int>(round.size());
    int next = step > 0 ? 0 : count - 1;
    if (at != round.end()) {
        next = (static_cast<int>(at - round.begin()) + step + count) % count;
    }
    focused_ = round[static_cast<std::size_t>(next)]->id;
    ring_ = true;
}

void Ui::move_focus_towards(Key direction) {
    const auto self = std::find_if(stops_next_.begin(), stops_next_.end(),
                                   [this](const FocusStop& stop) { return stop.id == focused_; });
    if (self == stops_next_.end()) {
        return;
    }
    const Vec2 from = self->rect.mid();
    const FocusStop* best = nullptr;
    float best_cost = std::numeric_limits<float>::max();
    for (const FocusStop& stop : stops_next_) {
        if (stop.id == focused_ || stop.layer < modal_layer_next_) {
            continue;
        }
        const Vec2 way = stop.rect.mid() - from;
        const bool across = direction == Key::left || direction == Key::right;
        const float forward = direction == Key::right  ? way.x
                              : direction == Key::left ? -way.x
                              : direction == Key::down ? way.y
                                                       : -way.y;
        const float aside = std::abs(across ? way.y : way.x);
        if (forward <= 1 || aside > forward * 2) {
            continue;
        }
        const float cost = forward + aside * 2;
        if (cost < best_cost) {
            best_cost = cost;
            best = &stop;
        }
    }
    if (best != nullptr) {
        focused_ = best->id;
        focus_wanted_ = best->id;
        ring_ = true;
    }
}

void Ui::focus(std::string_view id, bool with_ring) {
    focus_path(path_of(id), with_ring);
}

void Ui::focus_path(std::string_view path, bool with_ring) {
    const std::string before = std::exchange(path_, std::string{});
    focused_ = id_of(path);
    path_ = before;
    focus_wanted_ = focused_;
    ring_ = with_ring;
}

void Ui::drop_focus() {
    focused_ = 0;
    ring_ = false;
}

std::string Ui::focused_path() const {
    const auto found =
        std::find_if(stops_.begin(), stops_.end(), [this](const FocusStop& stop) { return stop.id == focused_; });
    return found == stops_.end() ? std::string() : found->path;
}

bool Ui::focus_ring_elsewhere(std::string_view id) const {
    if (!ring_ || focused_ == id_of(id)) {
        return false;
    }
    const FocusStop* stop = focus_stop();
    return stop != nullptr && !stop->text;
}

void Ui::claim_space(bool enabled) {
    space_claimed_next_ = space_claimed_next_ || enabled;
}

void Ui::draw_focus_ring(const Rect& r, float radius) {
    paint_.outline(r.grown(px(5)), colour(Role::copper), px(look().stroke.mark), radius + px(4));
}

}  // namespace tonebath::window
