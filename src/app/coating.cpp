#include "app/coating.hpp"

#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

CoatingState state_of(Studio& studio, Coating coating) {
    CoatingState state;
    state.ask = {.stones = coating.stones, .coats = coating.coats, .each_s = coating.each.seconds(), .wait_s = coating.wait.seconds(), .cure_s = coating.cure.seconds()};
    state.plan = science::coat_plan(state.ask);
    if (coating.bottle_id) {
        const auto bottle = store::find(studio.log(), *coating.bottle_id);
        state.bottle = bottle ? bottle->number : std::string();
    }
    const std::vector<std::string> named = split(coating.laid_out, '\n');
    for (int place = 1; place <= coating.stones; ++place) {
        const std::size_t at = static_cast<std::size_t>(place - 1);
        state.places.push_back({.place = place, .stone = at < named.size() ? named[at] : std::string()});
    }
    for (const Coat& coat : store::list<Coat>(studio.log(), "WHERE coating_id = ?1 ORDER BY at_utc_ms, id", {coating.id.text})) {
        if (!coat.place || *coat.place > coating.stones) {
            continue;
        }
        CoatPlace& place = state.places[static_cast<std::size_t>(*coat.place - 1)];
        ++place.done;
        place.passed += coat.skipped ? 1 : 0;
        if (!coat.skipped) {
            place.begun = coat.at;
            state.first = state.first ? std::min(*state.first, coat.at) : coat.at;
            state.last = state.last ? std::max(*state.last, coat.at) : coat.at;
        }
    }
    // The lowest layer that is not whole; in it the first place that lacks it.
    const auto least = std::min_element(state.places.begin(), state.places.end(), [](const CoatPlace& a, const CoatPlace& b) { return a.done < b.done; });
    if (least != state.places.end() && least->done < coating.coats) {
        state.next_place = least->place;
        state.next_layer = least->done + 1;
        if (least->begun) {
            state.next_from = plus_seconds(*least->begun, coating.wait.seconds());
        }
    }
    state.coating = std::move(coating);
    return state;
}

}  // namespace

Stamp CoatingState::coats_end(const Stamp& now) const {
    if (!next_place) {
        return plus_seconds(last.value_or(now), ask.each_s);
    }
    if (!first) {
        return plus_seconds(now, plan.coats_s);
    }
    const Stamp next = next_from ? std::max(now, *next_from) : now;
    return plus_seconds(next, plan.coats_s - science::coat_begins_s(ask, *next_place, std::min(next_layer, coating.coats)));
}

std::optional<CoatingState> open_coating(Studio& studio) {
    std::vector<Coating> open = store::list<Coating>(studio.log(), "WHERE ended_utc_ms IS NULL ORDER BY started_utc_ms DESC, id DESC LIMIT 1");
    return open.empty() ? std::nullopt : std::optional(state_of(studio, std::move(open.front())));
}

std::optional<CoatingState> coating_state(Studio& studio, const Id<Coating>& id) {
    std::optional<Coating> coating = store::find(studio.log(), id);
    return coating ? std::optional(state_of(studio, std::move(*coating))) : std::nullopt;
}

std::pair<int, int> CoatingState::places_of(int row) const {
    const int from = (row - 1) * coating.row + 1;
    return {from, std::min(from + coating.row - 1, coating.stones)};
}

std::optional<Stamp> CoatingState::row_from(int row) const {
    const auto [from, to] = places_of(row);
    const CoatPlace* next = nullptr;
    for (int place = from; place <= to; ++place) {
        const CoatPlace& one = places[static_cast<std::size_t>(place - 1)];
        if (one.done < coating.coats && (next == nullptr || one.done < next->done)) {
            next = &one;
        }
    }
    return next != nullptr && next->begun ? std::optional(plus_seconds(*next->begun, coating.wait.seconds())) : std::nullopt;
}

std::string apart_text(double apart_c, const UnitChoice& units) {
    const bool fahrenheit = units.temperature == UnitChoice::Temperature::fahrenheit;
    return fmt::format("{} °{}", fixed_text(fahrenheit ? 1.8 * apart_c : apart_c, 1), fahrenheit ? "F" : "C");
}

std::vector<std::string> dew_words(std::optional<Celsius> room, std::optional<double> humidity_percent, const UnitChoice& units) {
    if (!room || !humidity_percent || *humidity_percent <= 0.0) {
        return {};
    }
    const science::RoomAir air = science::room_air(room->celsius(), *humidity_percent);
    const auto rule = [](bool met) { return met ? "met" : "not met"; };
    return {fmt::format("Dew point {}, {} below the room.", text_of(Celsius::from_celsius(air.dew_point_c), units), apart_text(air.margin_c, units)),
            fmt::format("Not above 65 % RH: {}. At least {} above the dew point: {}.", rule(air.humidity_met), apart_text(science::kLeastMargin_c, units), rule(air.margin_met)),
            "Both rules are from sprayed lacquer; for a brush they are a guess."};
}

std::string damp_words(std::optional<Celsius> room, std::optional<double> humidity_percent) {
    if (!room || !humidity_percent || *humidity_percent <= 0.0) {
        return {};
    }
    const science::RoomAir air = science::room_air(room->celsius(), *humidity_percent);
    return air.humidity_met && air.margin_met ? "" : "Damp air may cloud the coat and slow it; by how much is not known. Wait for drier air, or warm the room.";
}

std::string cold_words(std::optional<Celsius> room, const UnitChoice& units) {
    if (!room || room->celsius() >= kLabelRoom_c - 0.5) {
        return {};
    }
    const science::DryingFactor slower = science::drying_factor(room->celsius(), kLabelRoom_c);
    return fmt::format("Colder than {}: the wait may be {} to {} times as long (computed, doubtful; solvent coats only).",
                       text_of(Celsius::from_celsius(kLabelRoom_c), units), fixed_text(slower.low, 1), fixed_text(slower.high, 1));
}

}  // namespace tonebath::app
