#include "app/coats_plan.hpp"

#include "app/coating.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "model/desk.hpp"
#include "model/rules/rule.hpp"
#include "model/rules/temp_rules.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kDay_s = 86400.0;
constexpr double kMonth_s = 30.0 * kDay_s;

// Reads what was typed, field by field; the first refusal sticks.
class Typing {
public:
    explicit Typing(const UnitChoice& units) : units_(units) {}

    std::optional<double> number(std::string_view field, const std::string& typed, double low, double high, std::string_view unit) {
        if (typed.empty()) {
            return std::nullopt;
        }
        const auto value = taken(parse_number(field, typed));
        return value && passes(rules::between({field, typed}, *value, low, high, unit)) ? value : std::nullopt;
    }
    std::optional<int> whole(std::string_view field, const std::string& typed, int low, int high, std::string_view unit) {
        const auto value = number(field, typed, low, high, unit);
        if (value && *value != std::floor(*value)) {
            passes(rules::refuse("text.not_whole", {field, typed}, "that is not a whole number.", "Type it without a point."));
            return std::nullopt;
        }
        return value ? std::optional(static_cast<int>(*value)) : std::nullopt;
    }
    std::optional<double> seconds(std::string_view field, const std::string& typed) {
        if (typed.empty()) {
            return std::nullopt;
        }
        const auto value = taken(parse_duration(field, typed));
        return value && passes(rules::between({field, typed}, value->seconds() / 3600.0, 0.0, kMonth_s / 3600.0, "h")) ? std::optional(value->seconds()) : std::nullopt;
    }
    std::optional<Celsius> room(std::string_view field, const std::string& typed) {
        if (typed.empty()) {
            return std::nullopt;
        }
        const auto value = taken(parse_temperature(field, typed, units_));
        return value && passes(rules::room_temp({field, typed}, *value, units_)) ? value : std::nullopt;
    }
    std::optional<Stamp> moment(std::string_view field, const std::string& typed, const Stamp& now) {
        if (typed.empty()) {
            return std::nullopt;
        }
        const auto value = parse_moment(typed, now);
        if (!value) {
            passes(rules::refuse("text.not_a_moment", {field, typed}, "that is not read as a moment.", "Type it as \"19:00\" or \"1 Apr 09:00\"."));
        }
        return value;
    }
    template <class T>
    std::optional<T> taken(Result<T> result) {
        if (!result) {
            passes(result.error());
            return std::nullopt;
        }
        return *result;
    }
    bool passes(std::optional<Refusal> refusal) {
        if (refusal && !refusal_) {
            refusal_ = std::move(refusal);
        }
        return !refusal_;
    }
    [[nodiscard]] const std::optional<Refusal>& refusal() const { return refusal_; }

private:
    const UnitChoice& units_;
    std::optional<Refusal> refusal_;
};

bool by_reaction(std::string_view kind) {
    return folded(kind).find("two-part") != std::string::npos || folded(kind).find("epoxy") != std::string::npos;
}

std::string label_words(const Bottle& bottle, const Stamp& now) {
    std::vector<std::string> words;
    if (bottle.opened_at) {
        const double days = seconds_between(*bottle.opened_at, now) / kDay_s;
        const bool weeks = days >= 14.0;
        const auto many = static_cast<std::size_t>(std::max(0.0, weeks ? days / 7.0 : days));
        words.push_back("opened " + counted(many, weeks ? "week" : "day", weeks ? "weeks" : "days"));
    }
    if (bottle.recoat) {
        words.push_back("wait " + span_words(bottle.recoat->seconds()));
    }
    if (bottle.cure) {
        words.push_back("cure " + span_words(bottle.cure->seconds()));
    }
    return joined(words, ", ");
}

// What the room's air does to the times; stretches them where nothing of her own says otherwise.
void weigh_air(CoatsAnswer& answer, std::optional<Celsius> room, std::optional<double> humidity, const std::string& kind, bool wait_typed, std::span<const EveningRecord> evenings,
               const UnitChoice& units) {
    RoomSaid said = room_said(room, humidity, kind, evenings, units, wait_typed);
    answer.air_words = dew_words(room, humidity, units);
    answer.air_words.insert(answer.air_words.end(), said.words.begin(), said.words.end());
    if (room && humidity) {
        answer.air = science::room_air(room->celsius(), *humidity);
        answer.damp = !answer.air->humidity_met || !answer.air->margin_met;
    }
    if (said.own_wait_s) {
        answer.ask.wait_s = std::max(answer.ask.wait_s, std::round(*said.own_wait_s));
        answer.wait_words = "your own evenings as cold";
    } else if (said.slower && !wait_typed) {
        answer.slower = said.slower;
        answer.ask.wait_s = 60.0 * std::ceil(answer.ask.wait_s * *said.slower / 60.0);
        answer.ask.cure_s = 600.0 * std::ceil(answer.ask.cure_s * *said.slower / 600.0);
        answer.wait_words += fmt::format(", {} times as long in the cold", fixed_text(*said.slower, 1));
    }
}

std::string loop_words(const science::CoatAsk& ask, const science::CoatPlan& plan) {
    if (ask.coats == 1) {
        return fmt::format("{} in {}", ask.stones, span_words(plan.loop_s));
    }
    return plan.idle_s <= 0.0 ? fmt::format("{} in {}, so the loop is the wait", ask.stones, span_words(plan.loop_s))
                              : fmt::format("{} in {}, then {} until the first may have its next", ask.stones, span_words(plan.loop_s), span_words(plan.idle_s));
}

std::string cover_words(double stone_mm) {
    const char* words = "";
    switch (science::cover_of(stone_mm)) {
        case science::Cover::whole_back: words = "a coat that reaches 6 to 8 mm from the point covers its whole back"; break;
        case science::Cover::most_of_back: words = "a coat that reaches 6 to 8 mm from the point covers most of its back"; break;
        case science::Cover::part_of_back: words = "a coat that reaches 6 to 8 mm from the point leaves its edge bare"; break;
    }
    return fmt::format("{} mm stone, {} mm from point to edge: {} (common practice, no source).", rules::figure(stone_mm), rules::figure(stone_mm / 2.0), words);
}

// A moment, or a class: when it begins.
std::optional<Stamp> when_wanted(Studio& studio, Typing& in, const std::string& typed, const Stamp& now) {
    if (!folded(typed).starts_with("class")) {
        return in.moment("For", typed, now);
    }
    const auto found = in.taken(resolve<ClassSession>(studio, "For", typed));
    return found ? std::optional(found->at) : std::nullopt;
}

// A bare hour that is past means tomorrow's.
Stamp next_such(const Stamp& at, const std::string& typed, const Stamp& after) {
    const bool bare_hour = typed.size() <= 5 && typed.find(':') != std::string::npos;
    return bare_hour && at < after ? plus_seconds(at, kDay_s) : at;
}

}  // namespace

std::optional<Refusal> humidity_refusal(std::string_view field, std::string_view typed, double percent) {
    if (percent > 0.0 && percent <= 100.0) {
        return std::nullopt;
    }
    return rules::refuse("coating.humidity", {field, typed}, "relative humidity lies above 0 and up to 100 %.", "Read it again, indoors.");
}

RoomSaid room_said(std::optional<Celsius> room, std::optional<double> humidity_percent, std::string_view kind, std::span<const EveningRecord> evenings, const UnitChoice& units,
                   bool wait_typed) {
    RoomSaid said;
    if (const std::string damp = damp_words(room, humidity_percent); !damp.empty()) {
        const OwnAir own = evenings_as_damp(evenings, science::room_air(room->celsius(), *humidity_percent).margin_c, kind);
        said.damp = true;
        said.damp_went_well = own.went_well();
        said.own_damp = own.tells() ? fmt::format("As near to the dew point as this you had {}. That is your own record; no published factor is known.", own.words()) : "";
        said.words.push_back(own.tells() ? said.own_damp : damp);
    }
    const std::string cold = cold_words(room, units);
    if (cold.empty()) {
        return said;
    }
    if (by_reaction(kind)) {
        said.words.emplace_back("A two-part coating hardens by reaction: no factor for a colder room is reckoned. Look on its label.");
        return said;
    }
    const OwnAir own = evenings_as_cold(evenings, room->celsius(), kind);
    if (own.went_well() && own.wait_s && !wait_typed) {
        said.own_wait_s = own.wait_s;
        said.words.push_back(fmt::format("As cold as this you had {}. Their wait is taken in place of a computed one.", own.words()));
        return said;
    }
    said.words.push_back(cold);
    if (own.tells()) {
        said.words.push_back(fmt::format("As cold as this you had {}.", own.words()));
    }
    said.slower = science::drying_factor(room->celsius(), kLabelRoom_c).high;
    return said;
}

RoomSaid room_said_now(Studio& studio, std::optional<Celsius> room, std::optional<double> humidity_percent, std::string_view kind) {
    if (damp_words(room, humidity_percent).empty() && cold_words(room, studio.units()).empty()) {
        return {};
    }
    return room_said(room, humidity_percent, kind, evening_records(studio, stone_rows(studio)), studio.units(), true);
}

Result<CoatsAnswer> coats_plan(Studio& studio, const CoatsAsked& asked, std::span<const EveningRecord> evenings, bool kept) {
    Typing in(studio.units());
    CoatsAnswer answer;
    std::optional<Bottle> bottle;
    if (!asked.bottle.empty()) {
        bottle = in.taken(resolve<Bottle>(studio, "Bottle", asked.bottle));
    }
    const auto stones = in.whole("Stones", asked.stones, 1, 1000, "stones");
    if (!stones) {
        in.passes(rules::refuse("coating.no_stones", {"Stones", asked.stones}, "how many stones lie in the rows is not said.", "Type how many."));
    }
    const auto coats = in.whole("Coats", asked.coats, 1, 20, "coats");
    const auto each = in.seconds("Time for one stone", asked.each);
    const auto wait = in.seconds("Wait between coats", asked.wait);
    const auto cure = in.seconds("Cure", asked.cure);
    const auto room = in.room("Room", asked.room);
    const auto humidity = asked.humidity.empty() ? std::nullopt : in.taken(parse_number("Humidity", asked.humidity));
    if (humidity) {
        in.passes(humidity_refusal("Humidity", asked.humidity, *humidity));
    }
    const auto wet = in.number("Wet film", asked.wet_um, 0.0, 1000.0, "µm");
    const auto solids = in.number("Solids", asked.solids, 0.0, 100.0, "%");
    const auto thinner = in.number("Thinner", asked.thinner, 0.0, 20.0, "parts");
    const auto size = in.number("Stone", asked.stone, 1.0, 100.0, "mm");
    const Stamp now = studio.now();
    const auto start = in.moment("Start", asked.start, now);
    const auto by = when_wanted(studio, in, asked.by, now);
    if (in.refusal()) {
        return *in.refusal();
    }
    const Coating usual;
    answer.ask = {.stones = *stones, .coats = coats.value_or(usual.coats), .each_s = each.value_or(usual.each.seconds())};
    const std::string label = bottle ? bottle->number + "'s label" : std::string();
    const auto from = [&](const std::optional<double>& typed, const std::optional<Seconds>& of_label, const Seconds& otherwise, std::string& words) {
        words = typed ? "typed" : of_label ? label : "usual: look on your bottle";
        return typed ? *typed : of_label.value_or(otherwise).seconds();
    };
    answer.ask.wait_s = from(wait, bottle ? bottle->recoat : std::nullopt, usual.wait, answer.wait_words);
    answer.ask.cure_s = from(cure, bottle ? bottle->cure : std::nullopt, usual.cure, answer.cure_words);
    if (answer.ask.cure_s < answer.ask.wait_s && !kept) {
        return rules::ask("coating.cure_short", {"Cure", asked.cure}, "the cure is shorter than the wait between coats.", "Look on the bottle again, or keep it.");
    }
    if (bottle) {
        answer.bottle = bottle->number;
        answer.bottle_words = label_words(*bottle, now);
    }
    weigh_air(answer, room, humidity, bottle ? bottle->kind : std::string(), wait.has_value(), evenings, studio.units());
    answer.plan = science::coat_plan(answer.ask);
    answer.loop_words = loop_words(answer.ask, answer.plan);

    answer.start = start.value_or(now);
    answer.coats_end = plus_seconds(answer.start, answer.plan.coats_s);
    answer.bath_from = plus_seconds(answer.start, answer.plan.bath_s);
    for (int layer = 1; layer <= answer.ask.coats; ++layer) {
        answer.rounds.push_back(plus_seconds(answer.start, science::coat_begins_s(answer.ask, 1, layer)));
    }
    if (by) {
        answer.by = next_such(*by, asked.by, answer.start);
        answer.latest_start = plus_seconds(*answer.by, -answer.plan.bath_s);
        const double spare_s = seconds_between(answer.start, *answer.latest_start);
        answer.by_words = spare_s >= 0.0 ? fmt::format("For {}: begin by {} at the latest.", date_time_text(*answer.by), date_time_text(*answer.latest_start))
                                         : fmt::format("For {} it is too late by {}: they are cured {}.", date_time_text(*answer.by), span_words(60.0 * std::ceil(-spare_s / 60.0)),
                                                       date_time_text(answer.bath_from));
    }
    const auto of_volume = solids ? solids : bottle ? bottle->solids_percent : std::nullopt;
    if (wet && of_volume) {
        answer.dry_um = science::dry_film_um(*wet, *of_volume, thinner.value_or(0.0));
        answer.film_words = fmt::format("{} µm wet leave {} µm dry a coat, {} µm in {}.", rules::figure(*wet), rules::figure(*answer.dry_um),
                                        rules::figure(*answer.dry_um * answer.ask.coats), counted(static_cast<std::size_t>(answer.ask.coats), "coat", "coats"));
    } else if (wet) {
        answer.film_words = "The solids of this lacquer are not written down: no dry film is reckoned (nail-type lacquer about 15 to 25 %, from memory, doubtful).";
    }
    if (size) {
        answer.cover_words = cover_words(*size);
    }
    return answer;
}

}  // namespace tonebath::app
