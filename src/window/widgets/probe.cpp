#include "window/widgets/probe.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace tonebath::window {

namespace {

std::string joined_line(const std::vector<const ProbeText*>& line) {
    std::string out;
    for (const ProbeText* text : line) {
        out += out.empty() ? "" : " ";
        out += text->text;
    }
    return out;
}

// Texts by lines: those whose middles lie within a third of their height of each other, from left to right.
std::vector<std::vector<const ProbeText*>> lines_of(const std::vector<ProbeText>& texts) {
    std::vector<const ProbeText*> order;
    for (const ProbeText& text : texts) {
        order.push_back(&text);
    }
    std::stable_sort(order.begin(), order.end(),
                     [](const ProbeText* a, const ProbeText* b) { return a->rect.y1 < b->rect.y1; });
    std::vector<std::vector<const ProbeText*>> lines;
    for (const ProbeText* text : order) {
        if (lines.empty() || text->rect.y1 - lines.back().front()->rect.y1 > lines.back().front()->rect.h() / 3) {
            lines.emplace_back();
        }
        lines.back().push_back(text);
    }
    for (auto& line : lines) {
        std::stable_sort(line.begin(), line.end(),
                         [](const ProbeText* a, const ProbeText* b) { return a->rect.x0 < b->rect.x0; });
    }
    return lines;
}

}  // namespace

void Probe::clear() {
    widgets_.clear();
    texts_.clear();
}

const ProbeWidget* Probe::find(std::string_view path) const {
    const ProbeWidget* tail = nullptr;
    for (const ProbeWidget& widget : widgets_) {
        if (widget.path == path) {
            return &widget;
        }
        if (tail == nullptr && widget.path.size() > path.size() && widget.path.ends_with(path) &&
            widget.path[widget.path.size() - path.size() - 1] == '/') {
            tail = &widget;
        }
    }
    return tail;
}

const ProbeWidget* Probe::find_label(std::string_view label) const {
    const ProbeWidget* top = nullptr;
    for (const ProbeWidget& widget : widgets_) {
        if (widget.label == label && (top == nullptr || widget.layer > top->layer)) {
            top = &widget;
        }
    }
    return top;
}

bool Probe::shows(std::string_view words) const {
    if (std::any_of(texts_.begin(), texts_.end(),
                    [words](const ProbeText& t) { return t.text.find(words) != std::string::npos; })) {
        return true;
    }
    const auto lines = lines_of(texts_);
    return std::any_of(lines.begin(), lines.end(),
                       [words](const auto& line) { return joined_line(line).find(words) != std::string::npos; });
}

std::string Probe::dump() const {
    std::string out;
    for (const ProbeWidget& widget : widgets_) {
        out += fmt::format("{} {} | {}", widget.kind, widget.path, widget.label);
        if (!widget.value.empty()) {
            out += " = " + widget.value;
        }
        if (!widget.key.empty()) {
            out += " [" + widget.key + "]";
        }
        if (!widget.enabled) {
            out += " (not: " + widget.reason + ")";
        }
        out += widget.focused ? " *\n" : "\n";
    }
    return out;
}

std::string Probe::screen_text() const {
    std::string out;
    for (const auto& line : lines_of(texts_)) {
        out += joined_line(line) + "\n";
    }
    return out;
}

std::vector<ProbeFinding> find_duplicate_ids(const Probe& probe) {
    std::map<WidgetId, int> count;
    std::vector<ProbeFinding> out;
    for (const ProbeWidget& widget : probe.widgets()) {
        if (++count[widget.id] == 2) {
            out.push_back({widget.path, "two widgets have this id"});
        }
    }
    return out;
}

std::vector<ProbeFinding> find_missing_labels(const Probe& probe) {
    std::vector<ProbeFinding> out;
    for (const ProbeWidget& widget : probe.widgets()) {
        if (widget.label.find_first_not_of(' ') == std::string::npos) {
            out.push_back({widget.path, "has no label"});
        }
    }
    return out;
}

std::vector<ProbeFinding> find_small_targets(const Probe& probe, float scale) {
    std::vector<ProbeFinding> out;
    for (const ProbeWidget& widget : probe.widgets()) {
        const float least = (widget.bench ? 48.0F : 24.0F) * scale;
        const float side = std::min(widget.rect.w(), widget.rect.h());
        if (widget.interactive && side < least - 0.01F) {
            out.push_back({widget.path, fmt::format("is {} px on its shorter side, less than {}", side, least)});
        }
    }
    return out;
}

std::vector<ProbeFinding> find_unexplained_refusals(const Probe& probe) {
    std::vector<ProbeFinding> out;
    for (const ProbeWidget& widget : probe.widgets()) {
        if (!widget.enabled && widget.reason.empty()) {
            out.push_back({widget.path, "cannot be used and does not say why"});
        }
    }
    return out;
}

std::vector<ProbeFinding> find_key_clashes(const Probe& probe) {
    std::map<std::string, std::string, std::less<>> first;
    std::vector<ProbeFinding> out;
    for (const ProbeWidget& widget : probe.widgets()) {
        if (widget.key.empty() || !widget.enabled || !widget.interactive || widget.kind == "hint") {
            continue;  // a hint prints the key of something else
        }
        const auto [place, fresh] = first.emplace(std::to_string(widget.layer) + " " + widget.key, widget.path);
        if (!fresh && place->second != widget.path) {
            out.push_back({widget.path, fmt::format("the key {} is also on {}", widget.key, place->second)});
        }
    }
    return out;
}

std::vector<ProbeFinding> find_clipped_texts(const Probe& probe, const Rect& screen) {
    std::vector<ProbeFinding> out;
    for (const ProbeText& text : probe.texts()) {
        const bool off = text.rect.x0 < screen.x0 - 1 || text.rect.x1 > screen.x1 + 1 || text.rect.y0 < screen.y0 - 1 ||
                         text.rect.y1 > screen.y1 + 1;
        if (text.clipped || off) {
            out.push_back({text.text, off ? "runs off the screen" : "is cut off"});
        }
    }
    return out;
}

std::vector<ProbeFinding> all_findings(const Probe& probe, float scale, const Rect& screen) {
    std::vector<ProbeFinding> out;
    for (auto part : {find_duplicate_ids(probe), find_missing_labels(probe), find_small_targets(probe, scale),
                      find_unexplained_refusals(probe), find_key_clashes(probe), find_clipped_texts(probe, screen)}) {
        out.insert(out.end(), part.begin(), part.end());
    }
    return out;
}

}  // namespace tonebath::window
