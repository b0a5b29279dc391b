// Answers in JSON: what is not known is null, bytes that are not UTF-8 come out as U+FFFD.
#pragma once

#include "app/plan.hpp"
#include "app/records.hpp"
#include "base/result.hpp"

#include <nlohmann/json_fwd.hpp>

#include <optional>
#include <string>

namespace tonebath::command {

// On stdout, indented by two, with a line end.
void print_json(const nlohmann::ordered_json& value);
// To a thousandth: seconds, tones, shares.
[[nodiscard]] nlohmann::ordered_json json_of(std::optional<double> value);
[[nodiscard]] nlohmann::ordered_json json_of(const Refusal& refusal);
[[nodiscard]] nlohmann::ordered_json json_of(const app::Plan& plan);
// ISO 8601 with its offset.
[[nodiscard]] std::string json_of(const Stamp& at);

}  // namespace tonebath::command
