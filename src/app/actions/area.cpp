#include "app/actions/area.hpp"

#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/capacity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace tonebath::app {

namespace {

constexpr double kLongWire_mm = 5000.0;  // ours

// Parts between "x", "×" or "*"; a decimal comma or point stays inside its part.
std::vector<std::string> sides_of(std::string text) {
    for (std::size_t at = 0; (at = text.find("×", at)) != std::string::npos;) {
        text.replace(at, std::string_view("×").size(), "x");
    }
    std::ranges::replace(text, '*', 'x');
    std::vector<std::string> sides;
    for (const std::string& one : split(text, 'x')) {
        sides.emplace_back(trimmed(one));
    }
    return sides;
}
bool takes_off(std::string& text, std::string_view word) {
    if (!text.starts_with(word)) {
        return false;
    }
    text = std::string(trimmed(std::string_view(text).substr(word.size())));
    return true;
}
bool is_gauge(const std::string& side) {
    return std::ranges::any_of(std::array{"awg", "ga", "gauge"}, [&side](const char* unit) { return side.ends_with(unit); });
}

Result<double> plain(std::string_view field, std::string text) {
    double times = 1.0;
    for (const auto& [unit, factor] : {std::pair{"mm2", 0.01}, {"mm²", 0.01}, {"cm2", 1.0}, {"cm²", 1.0}}) {
        if (text.ends_with(unit)) {
            text.resize(text.size() - std::string_view(unit).size());
            times = factor;
            break;
        }
    }
    const auto value = parse_number(field, text);
    return value ? Result<double>(*value * times) : value;
}

Refusal not_read(std::string_view field, std::string_view typed) {
    return rules::refuse("area.not_read", {field, typed}, "that is not read as an area.", "Type cm², \"20 awg x 80 mm\" for wire or \"30 x 20 mm\" for sheet.");
}

// One wire or sheet, or a plain area.
Result<Done> add(std::string_view field, std::string text, const UnitChoice& units, AreaRead& area) {
    const bool wire = takes_off(text, "wire");
    const bool sheet = !wire && takes_off(text, "sheet");
    const std::vector<std::string> sides = sides_of(text);
    if (sides.size() == 1 && !wire && !sheet) {
        const auto value = plain(field, text);
        if (!value) {
            return value.error();
        }
        area.cm2 += *value;
        return Done{};
    }
    // "30 x 20 mm": the unit that ends it is meant for all that have none.
    std::vector<double> mm;
    for (const std::string& side : sides) {
        const bool bare = !side.empty() && (side.back() >= '0' && side.back() <= '9');
        const auto length = parse_length(field, bare ? side + " mm" : side, units);
        if (!length) {
            return length.error();
        }
        mm.push_back(length->mm());
    }
    const bool as_wire = wire || (!sheet && sides.size() == 2 && is_gauge(sides.front()));
    const auto cm2 = as_wire && mm.size() == 2       ? science::wire_area_cm2(mm[0], mm[1])
                     : !as_wire && mm.size() == 2 ? science::sheet_area_cm2(mm[0], mm[1])
                     : !as_wire && mm.size() == 3 ? science::sheet_area_cm2(mm[0], mm[1], mm[2])
                                                  : std::nullopt;
    if (!cm2) {
        return not_read(field, text);
    }
    area.cm2 += *cm2;
    area.longest_wire_mm = as_wire ? std::max(area.longest_wire_mm, mm[1]) : area.longest_wire_mm;
    return Done{};
}

}  // namespace

Result<AreaRead> parse_area(std::string_view field, std::string_view typed, const UnitChoice& units) {
    AreaRead area;
    for (const std::string& one : split(folded(typed), '+')) {
        if (const auto added = add(field, std::string(trimmed(one)), units, area); !added) {
            return added.error();
        }
    }
    return area;
}

std::optional<double> area_of(Reader& in, std::string_view key) {
    if (!in.given(key) || in.refused()) {
        return std::nullopt;
    }
    const rules::Typed typed = in.typed(key);
    const auto area = in.taken(parse_area(typed.field, typed.text, in.studio().units()));
    if (!area) {
        return std::nullopt;
    }
    in.check(rules::above_zero(typed, area->cm2, "20"));
    in.check(rules::between(typed, area->cm2, 0.0, 5000.0, "cm²"));
    if (area->longest_wire_mm > kLongWire_mm) {
        in.check(rules::ask("area.long_wire", typed, fmt::format("that is {} m of wire.", fixed_text(area->longest_wire_mm / 1000.0, 1)), "Were millimetres meant? Type it again, or keep it."));
    }
    return area->cm2;
}

}  // namespace tonebath::app
