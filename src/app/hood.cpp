#include "app/hood.hpp"

#include "app/csv_file.hpp"
#include "app/rooms.hpp"
#include "base/air_quantity.hpp"
#include "base/quantity_text.hpp"
#include "model/rules/rule.hpp"
#include "science/air.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kMostArea_m2 = 50.0;
constexpr double kMostSpeed_m_s = 50.0;
constexpr double kMostFlow_m3_h = 100000.0;
constexpr double kMostDistance_m = 10.0;

std::string_view words_of(SpeedStands stands) {
    switch (stands) {
        case SpeedStands::below: return "below";
        case SpeedStands::within: return "within";
        case SpeedStands::above: return "above";
    }
    return "";
}

SpeedHeld held(const AirSpeedRange& range, double speed_m_s) {
    SpeedHeld held{.range = range};
    held.stands = speed_m_s < range.low_m_s    ? SpeedStands::below
                  : speed_m_s > range.high_m_s ? SpeedStands::above
                                               : SpeedStands::within;
    held.words = fmt::format("{} {} to {} m/s, {}: {} {}, {}", words_of(held.stands), rules::figure(range.low_m_s),
                             rules::figure(range.high_m_s), range.situation, range.body,
                             range.year == "undated" ? "(undated)" : range.year, range.trust);
    return held;
}

Result<double> flow_of(const HoodAsk& ask) {
    if (!ask.flow_m3_h && !ask.speed_m_s) {
        return rules::refuse("hood.no_air", {"Flow", ""}, "neither its flow nor the speed at its face is known.",
                             "Type one of them: \"276 m³/h\", or \"0.5 m/s\" as a vane meter shows it.");
    }
    const double by_speed_m3_h = science::face_flow_m3_h(ask.speed_m_s.value_or(0.0), *ask.area_m2);
    if (!ask.flow_m3_h) {
        return by_speed_m3_h;
    }
    if (ask.speed_m_s && std::abs(by_speed_m3_h - *ask.flow_m3_h) > 0.1 * *ask.flow_m3_h) {
        return rules::refuse("hood.two_flows", {"Flow", air_flow_text(*ask.flow_m3_h)},
                             fmt::format("the speed at the face makes {} of it.", air_flow_text(by_speed_m3_h)),
                             "Type the one that was measured, or the opening again.");
    }
    return *ask.flow_m3_h;
}

rules::Question out_of_range(const HoodAsk& ask) {
    struct Limit {
        std::string_view field;
        std::optional<double> value;
        double most;
        std::string_view unit;
    };
    for (const Limit& one : {Limit{"Opening", ask.area_m2, kMostArea_m2, "m²"}, Limit{"Flow", ask.flow_m3_h, kMostFlow_m3_h, "m³/h"},
                             Limit{"Speed at the face", ask.speed_m_s, kMostSpeed_m_s, "m/s"},
                             Limit{"Distance", ask.distance_m, kMostDistance_m, "m"}}) {
        if (one.value) {
            const std::string text = rules::figure(*one.value);
            if (auto question = rules::between({one.field, text}, *one.value, 0.0, one.most, one.unit)) {
                return question;
            }
        }
    }
    return std::nullopt;
}

}  // namespace

Result<std::vector<AirSpeedRange>> read_air_speeds(const std::filesystem::path& file) {
    const auto rows = rows_under(file, "kind,situation,low_m_s,high_m_s,body,year,source,trust");
    if (!rows) {
        return rows.error();
    }
    constexpr std::array<std::string_view, 3> kKinds{"face", "eddies", "capture"};
    constexpr std::array<std::string_view, 4> kTrusts{"read", "second-hand", "memory", "doubtful"};
    std::vector<AirSpeedRange> ranges;
    for (const CsvRecord& row : *rows) {
        const auto& cells = row.cells;
        const auto low = parse_number("", cells[2]);
        const auto high = parse_number("", cells[3]);
        if (!low || !high || *low <= 0.0 || *high < *low) {
            return bad_row(file, row.line, "low and high are speeds above 0, the lower first.");
        }
        if (std::find(kKinds.begin(), kKinds.end(), cells[0]) == kKinds.end()) {
            return bad_row(file, row.line, fmt::format("no kind is called \"{}\".", cells[0]));
        }
        if (std::find(kTrusts.begin(), kTrusts.end(), cells[7]) == kTrusts.end()) {
            return bad_row(file, row.line, fmt::format("no trust is called \"{}\".", cells[7]));
        }
        if (cells[1].empty() || cells[4].empty() || cells[5].empty() || cells[6].empty()) {
            return bad_row(file, row.line, "situation, body, year and source must be there.");
        }
        ranges.push_back({.kind = cells[0], .situation = cells[1], .low_m_s = *low, .high_m_s = *high, .body = cells[4],
                          .year = cells[5], .source = cells[6], .trust = cells[7]});
    }
    return ranges;
}

Result<HoodAnswer> hood_of(const HoodAsk& ask, const std::vector<AirSpeedRange>& ranges) {
    if (const auto question = out_of_range(ask)) {
        return *question;
    }
    if (!ask.area_m2 || *ask.area_m2 <= 0.0) {
        return rules::refuse("hood.no_opening", {"Opening", ""}, "its size is not known.",
                             "Type its two sides: \"0.6 × 0.4 m\", or \"30 × 25 in\".");
    }
    const Result<double> flow_m3_h = flow_of(ask);
    if (!flow_m3_h) {
        return flow_m3_h.error();
    }
    HoodAnswer answer{.area_m2 = *ask.area_m2, .flow_m3_h = *flow_m3_h};
    answer.face_m_s = science::face_velocity_m_s(answer.flow_m3_h, answer.area_m2).value_or(0.0);
    answer.sources = {"flow = speed × opening: Abulencia and Theodore, example 20.4; read"};
    if (ask.distance_m) {
        answer.distance_m = ask.distance_m;
        answer.capture_m_s = science::capture_velocity_m_s(answer.flow_m3_h, *ask.distance_m, answer.area_m2);
        answer.sources.push_back("speed in front of a plain opening = flow / (10 × distance² + opening): from memory");
    }
    for (const AirSpeedRange& range : ranges) {
        if (range.kind == "face") {
            answer.face.push_back(held(range, answer.face_m_s));
            answer.face.back().flow_for_low_m3_h = science::face_flow_m3_h(range.low_m_s, answer.area_m2);
        } else if (range.kind == "capture" && answer.capture_m_s) {
            answer.capture.push_back(held(range, *answer.capture_m_s));
            answer.capture.back().flow_for_low_m3_h =
                science::capture_flow_m3_h(range.low_m_s, *ask.distance_m, answer.area_m2);
        } else if (range.kind == "eddies" && answer.face_m_s >= range.low_m_s) {
            answer.notes.push_back(fmt::format("From {} m/s on {} ({}).", rules::figure(range.low_m_s), range.situation,
                                               range.trust == "memory" ? "from memory" : range.trust));
        } else {
            continue;
        }
        answer.sources.push_back(fmt::format("{} to {} m/s, {}: {} {}, {}; {}", rules::figure(range.low_m_s),
                                             rules::figure(range.high_m_s), range.situation, range.body, range.year,
                                             range.source, range.trust));
    }
    answer.notes.emplace_back("A hood that blows the air back into the room does nothing for gas (from memory).");
    answer.notes.emplace_back("Smoke or a strip of tissue shows whether the air really goes in; a figure does not.");
    answer.decides = "Your local rules and a licensed professional decide.";
    return answer;
}

Result<HoodAsk> hood_asked(Studio& studio, const HoodTyped& typed) {
    HoodAsk ask;
    if (const auto room = room_now(studio)) {
        ask.flow_m3_h = typed.speed.empty() ? room->flow_m3_h : std::nullopt;
        ask.area_m2 = room->opening_m2;
        ask.distance_m = room->distance_m;
    }
    struct One {
        std::string_view field;
        const std::string* text;
        Result<double> (*parse)(std::string_view, std::string_view);
        std::optional<double>* to;
    };
    for (const One& one : {One{"Opening", &typed.opening, parse_opening, &ask.area_m2}, One{"Flow", &typed.flow, parse_air_flow, &ask.flow_m3_h},
                           One{"Speed at the face", &typed.speed, parse_air_speed, &ask.speed_m_s}, One{"Distance", &typed.distance, parse_distance, &ask.distance_m}}) {
        if (!one.text->empty()) {
            const Result<double> figure = one.parse(one.field, *one.text);
            if (!figure) {
                return figure.error();
            }
            *one.to = *figure;
        }
    }
    return ask;
}

}  // namespace tonebath::app
