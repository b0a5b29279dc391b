#include "app/explain.hpp"
#include "app/learning.hpp"
#include "app/resolve.hpp"
#include "base/quantity_text.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <cmath>
#include <map>
#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

Json json_of_why(const app::WhyAnswer& answer) {
    Json rows = Json::array();
    for (const app::WhyRow& row : answer.rows) {
        rows.push_back({{"name", row.name}, {"log_dose", json_of(row.log_dose)}, {"tones", json_of(row.tones)},
                        {"share", json_of(row.share)}, {"log_low", json_of(row.log_low)}, {"log_high", json_of(row.log_high)},
                        {"named", row.named}});
    }
    return {{"piece", answer.piece},
            {"part", answer.part},
            {"batch", answer.batch},
            {"mates", answer.mates},
            {"differs", answer.differs},
            {"at_least", answer.one_sided},
            {"seen_tones", json_of(answer.seen_tones)},
            {"seen_l", json_of(answer.seen_l)},
            {"causes", rows},
            {"unexplained_tones", json_of(answer.unexplained_tones)},
            {"unexplained_low", json_of(answer.unexplained_low)},
            {"unexplained_high", json_of(answer.unexplained_high)},
            {"nothing_recorded_explains", answer.nothing_recorded_explains},
            {"also_differs", answer.also_differs},
            {"not_written", answer.not_written},
            {"doubtful", answer.doubtful},
            {"words", answer.words}};
}

std::string why_text(const app::WhyAnswer& answer) {
    std::string text = answer.words + "\n";
    if (answer.differs) {
        for (const app::WhyRow& row : answer.rows) {
            if (std::abs(row.log_dose) >= 0.005) {
                const bool ranged = row.log_high - row.log_low >= 0.005;
                text += fmt::format("  {:<26} ×{:<6} {:>5} tones{}{}\n", row.name, fixed_text(std::exp(row.log_dose), 2),
                                    fixed_text(row.tones, 1), row.named ? "  named" : "",
                                    ranged ? fmt::format("  (×{} to ×{})", fixed_text(std::exp(row.log_low), 2),
                                                         fixed_text(std::exp(row.log_high), 2))
                                           : "");
            }
        }
        text += fmt::format("  {:<26}         {:>5} tones ({} to {})\n", "not explained", fixed_text(answer.unexplained_tones, 1),
                            fixed_text(answer.unexplained_low, 1), fixed_text(answer.unexplained_high, 1));
    }
    for (const std::string& one : answer.not_written) {
        text += "  not written down: " + one + "\n";
    }
    return text;
}

Exit why(const Session& session, app::Studio& studio, const std::string& number) {
    const auto piece = app::resolve<Piece>(studio, "Piece", number);
    if (!piece) {
        return say_refusal(session, piece.error());
    }
    const auto answers = app::why_different(studio, *app::learn(studio), piece->id);
    if (answers.empty()) {
        return say_refusal(session, {.code = "why.no_mates",
                                     .field = "Piece",
                                     .value = piece->number,
                                     .message = "it cannot be compared: that takes its own tone and dips, and two judged mates of its batch.",
                                     .remedy = "Judge it and its mates, or put it into its batch.",
                                     .answers = {}});
    }
    Json all = Json::array();
    std::string text;
    for (const app::WhyAnswer& answer : answers) {
        all.push_back(json_of_why(answer));
        text += why_text(answer);
    }
    if (session.style == Style::json) {
        print_json(all);
    } else {
        print(text);
    }
    return Exit::done;
}

std::string_view cause_word(app::DriftCause cause) {
    switch (cause) {
        case app::DriftCause::lot: return "lot";
        case app::DriftCause::thermometer: return "thermometer";
        case app::DriftCause::water: return "water";
        case app::DriftCause::additive: return "additive";
        case app::DriftCause::shared: return "shared";
        case app::DriftCause::cannot_tell: return "cannot tell";
    }
    return "";
}

Exit drift(const Session& session, app::Studio& studio) {
    const app::Drift found = app::drift(studio, *app::learn(studio));
    if (session.style == Style::json) {
        Json points = Json::array();
        for (const app::DriftPoint& point : found.points) {
            points.push_back({{"bath", point.bath}, {"lot", point.lot}, {"at", json_of(point.at)}, {"speed", json_of(point.speed)},
                              {"low", json_of(point.low)}, {"high", json_of(point.high)}, {"outside", point.outside}});
        }
        Json shifts = Json::array();
        for (const app::DriftShift& shift : found.shifts) {
            shifts.push_back({{"cause", cause_word(shift.cause)}, {"lot", shift.lot}, {"from_bath", shift.from_bath},
                              {"from", json_of(shift.from)}, {"to_bath", shift.to_bath}, {"slow", shift.slow},
                              {"ratio", json_of(shift.ratio)}, {"ratio_low", json_of(shift.ratio_low)},
                              {"ratio_high", json_of(shift.ratio_high)}, {"half_life_days", json_of(shift.half_life_days)},
                              {"words", shift.words}});
        }
        Json metals = Json::array();
        for (const app::MetalDoubt& doubt : found.metals) {
            metals.push_back({{"batch", doubt.batch}, {"part", doubt.part}, {"written_as", doubt.written_as},
                              {"lighter_l", json_of(doubt.lighter_l)}, {"other_parts_l", json_of(doubt.other_parts_l)},
                              {"words", doubt.words}});
        }
        print_json({{"lower", json_of(found.lower)}, {"upper", json_of(found.upper)}, {"trial", found.trial},
                    {"points", points}, {"shifts", shifts}, {"metals", metals}, {"words", found.words}});
        return Exit::done;
    }
    std::string text;
    if (!found.points.empty()) {
        text = fmt::format("{} baths, speed against what make-up, age and heat should give; limits {} to {} from the first 20{}\n",
                           found.points.size(), fixed_text(found.lower, 2), fixed_text(found.upper, 2),
                           found.trial ? ", on trial: fewer than 20 so far" : "");
        for (const app::DriftPoint& point : found.points) {
            text += fmt::format("  bath {:<4} {:<6} {:<12} ×{}{}\n", point.bath, point.lot, date_text(point.at),
                                fixed_text(point.speed, 2), point.outside ? "  beyond the limits" : "");
        }
    }
    if (found.shifts.empty()) {
        text += found.words + "\n";
    }
    for (const app::DriftShift& shift : found.shifts) {
        text += shift.words + "\n";
    }
    for (const app::MetalDoubt& doubt : found.metals) {
        text += doubt.words + "\n";
    }
    print(text);
    return Exit::done;
}

Exit compare(const Session& session, app::Studio& studio, const app::CompareAsk& ask) {
    const app::Comparison found = app::compare_groups(studio, *app::learn(studio), ask);
    if (session.style == Style::json) {
        Json rows = Json::array();
        for (const app::CompareRow& row : found.rows) {
            rows.push_back({{"first", row.first}, {"second", row.second}, {"first_pieces", row.first_pieces},
                            {"second_pieces", row.second_pieces}, {"raw_tones", json_of(row.raw_tones)},
                            {"equal_dose_tones", json_of(row.equal_dose_tones)},
                            {"equal_dose_se_tones", json_of(row.equal_dose_se_tones)}, {"raw_l", json_of(row.raw_l)},
                            {"equal_dose_l", json_of(row.equal_dose_l)}, {"dose_ratio", json_of(row.dose_ratio)},
                            {"dose_low", json_of(row.dose_low)}, {"dose_high", json_of(row.dose_high)},
                            {"raw_differs", row.raw_differs}, {"equal_dose_differs", row.equal_dose_differs},
                            {"no_common_bath", row.no_common_bath}, {"confounded", row.confounded}, {"words", row.words}});
        }
        print_json({{"scale", found.scale}, {"rows", rows}, {"words", found.words}});
        return Exit::done;
    }
    std::string text = found.scale.empty() ? "" : "On " + found.scale + "\n";
    for (const app::CompareRow& row : found.rows) {
        text += "  " + row.words + "\n";
    }
    print(text + (found.words.empty() ? "" : found.words + "\n"));
    return Exit::done;
}

}  // namespace

void add_explain_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* why_command = parser.add_subcommand("why", "Why a piece came out otherwise than its batch");
    const auto number = std::make_shared<std::string>();
    why_command->add_option("piece", *number, "Its number")->required();
    why_command->callback([&session, &chosen, number] {
        chosen = [&session, number] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return why(session, studio, *number); });
        };
    });
    CLI::App* drift_command = parser.add_subcommand("drift", "The speed of bath after bath, and what a shift points at");
    drift_command->callback([&session, &chosen] {
        chosen = [&session] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return drift(session, studio); });
        };
    });
    CLI::App* compare_command = parser.add_subcommand("compare", "Groups of pieces, as they look and at equal dose");
    const auto ask = std::make_shared<app::CompareAsk>();
    const auto by = std::make_shared<std::string>();
    compare_command->add_option("--by", *by, "who, lot, batch or rack")
        ->required()
        ->check(CLI::IsMember(std::vector<std::string>(EnumWords<app::CompareBy>::words.begin(), EnumWords<app::CompareBy>::words.end())));
    compare_command->add_option("--batch", ask->batch, "Only this batch");
    compare_command->add_option("--part", ask->part, "Only this part");
    compare_command->add_option("--scale", ask->scale, "Only this metal");
    compare_command->callback([&session, &chosen, ask, by] {
        ask->by = *from_word<app::CompareBy>(*by);
        chosen = [&session, ask] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return compare(session, studio, *ask); });
        };
    });
}

}  // namespace tonebath::command
