#include "window/widgets/theme.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {

constexpr std::array<std::string_view, kRoleCount> kRoleNames{
    "ground",     "slab",  "raised",  "well",       "line",       "edge",       "ink",
    "text",       "quiet", "copper",  "on_copper",  "wire",       "wire_light", "done",
    "look",       "stop",  "unknown", "on_state",   "paper",      "paper_ink",  "paper_quiet",
    "paper_line", "steel", "held",    "paper_done", "paper_look", "paper_stop", "paper_unknown"};

constexpr std::array<std::string_view, kTypeCount> kTypeNames{"small", "label",      "body",       "strong", "lead",
                                                              "leads", "title",      "figure",     "word",   "next",
                                                              "timer", "alarm_text", "alarm_head", "alarm"};

std::optional<int> hex_digit(char c) {
    if (c >= '0' && c <= '9') {
        return c - '0';
    }
    if (c >= 'a' && c <= 'f') {
        return c - 'a' + 10;
    }
    if (c >= 'A' && c <= 'F') {
        return c - 'A' + 10;
    }
    return std::nullopt;
}

std::uint8_t rounded(float value) {
    return static_cast<std::uint8_t>(std::clamp(std::lround(value), 0L, 255L));
}

}  // namespace

Colour Colour::faded(float alpha) const {
    Colour out = *this;
    out.a = rounded(static_cast<float>(a) * std::clamp(alpha, 0.0F, 1.0F));
    return out;
}

std::string Colour::hex() const {
    return fmt::format("#{:02x}{:02x}{:02x}", r, g, b);
}

Colour mix(Colour from, Colour to, float share) {
    const float s = std::clamp(share, 0.0F, 1.0F);
    const auto between = [s](std::uint8_t x, std::uint8_t y) {
        return rounded(static_cast<float>(x) + (static_cast<float>(y) - static_cast<float>(x)) * s);
    };
    return {between(from.r, to.r), between(from.g, to.g), between(from.b, to.b), between(from.a, to.a)};
}

std::optional<Colour> colour_from_hex(std::string_view hex) {
    if (hex.size() != 7 || hex[0] != '#') {
        return std::nullopt;
    }
    std::array<std::uint8_t, 3> part{};
    for (std::size_t i = 0; i < 3; ++i) {
        const auto high = hex_digit(hex[1 + 2 * i]);
        const auto low = hex_digit(hex[2 + 2 * i]);
        if (!high || !low) {
            return std::nullopt;
        }
        part[i] = static_cast<std::uint8_t>(*high * 16 + *low);
    }
    return Colour{part[0], part[1], part[2], 255};
}

std::string_view role_name(Role role) {
    return kRoleNames[static_cast<std::size_t>(role)];
}

std::optional<Role> role_from_name(std::string_view name) {
    const auto found = std::find(kRoleNames.begin(), kRoleNames.end(), name);
    if (found == kRoleNames.end()) {
        return std::nullopt;
    }
    return static_cast<Role>(found - kRoleNames.begin());
}

std::string_view type_name(Type type) {
    return kTypeNames[static_cast<std::size_t>(type)];
}

bool DrawnScale::words_only() const {
    return std::none_of(tones.begin(), tones.end(), [](const DrawnTone& tone) { return tone.colour.has_value(); });
}

int DrawnScale::index_of(std::string_view word) const {
    for (std::size_t i = 0; i < tones.size(); ++i) {
        if (tones[i].word == word) {
            return static_cast<int>(i);
        }
    }
    return -1;
}

}  // namespace tonebath::window
