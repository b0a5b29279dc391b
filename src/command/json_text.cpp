#include "command/json_text.hpp"

#include "command/session.hpp"

#include <nlohmann/json.hpp>

#include <cmath>

namespace tonebath::command {

using Json = nlohmann::ordered_json;

void print_json(const Json& value) {
    print(value.dump(2, ' ', false, Json::error_handler_t::replace) + "\n");
}

Json json_of(std::optional<double> value) {
    return value && std::isfinite(*value) ? Json(std::round(*value * 1000.0) / 1000.0) : Json(nullptr);
}

Json json_of(const Refusal& refusal) {
    return {{"refused", refusal.code},    {"field", refusal.field},   {"value", refusal.value},
            {"message", refusal.message}, {"remedy", refusal.remedy}, {"answers", refusal.answers}};
}

std::string json_of(const Stamp& at) {
    return iso_text(at);
}

Json json_of(const app::Plan& plan) {
    if (plan.refusal) {
        return json_of(*plan.refusal);
    }
    Json shares = Json::array();
    for (const app::RangeShare& share : plan.shares) {
        shares.push_back({{"cause", share.cause}, {"percent", json_of(share.percent)}});
    }
    return {{"out_s", json_of(plan.out_s)},
            {"aim_low_s", json_of(plan.aim_low_s)},
            {"aim_high_s", json_of(plan.aim_high_s)},
            {"comes_s", json_of(plan.comes_s)},
            {"look_s", json_of(plan.look_s)},
            {"dose_s", json_of(plan.dose_s)},
            {"over_chance", json_of(plan.over_chance)},
            {"lands_from", plan.lands_from},
            {"lands_to", plan.lands_to},
            {"lands_from_place", json_of(plan.lands_from_place)},
            {"lands_to_place", json_of(plan.lands_to_place)},
            {"shares", shares},
            {"strips_alone",
             {{"out_s", json_of(plan.alone.out_s)},
              {"low_s", json_of(plan.alone.low_s)},
              {"high_s", json_of(plan.alone.high_s)},
              {"times_per_10_c", json_of(plan.alone.times_per_10_c)},
              {"ea_kj_per_mol", json_of(plan.alone.ea_kj_per_mol)},
              {"words", plan.alone.words}}},
            {"agree", plan.agree_words},
            {"rests_on", plan.rests_on},
            {"counts_in", plan.counts_in},
            {"cautions", plan.cautions},
            {"strip",
             {{"at_s", json_of(plan.strip_at_s)},
              {"low_s", json_of(plan.strip_low_s)},
              {"high_s", json_of(plan.strip_high_s)},
              {"words", plan.strip_words}}}};
}

}  // namespace tonebath::command
