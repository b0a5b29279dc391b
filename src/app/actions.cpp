#include "app/actions.hpp"

#include "app/actions/pin_actions.hpp"
#include "app/actions/room_actions.hpp"
#include "app/actions/tables.hpp"

#include <algorithm>

namespace tonebath::app {

namespace {

Actions make_table() {
    Actions table;
    add_bath_actions(table);
    add_finish_actions(table);
    add_reading_actions(table);
    add_lot_actions(table);
    add_vessel_actions(table);
    add_check_actions(table);
    add_dip_actions(table);
    add_press_actions(table);
    add_past_dip_actions(table);
    add_judgement_actions(table);
    add_strip_actions(table);
    add_piece_actions(table);
    add_batch_actions(table);
    add_preparation_actions(table);
    add_after_work_actions(table);
    add_scale_actions(table);
    add_disposal_actions(table);
    add_room_actions(table);
    add_class_actions(table);
    add_class_day_actions(table);
    add_person_actions(table);
    add_pin_actions(table);
    add_correct_actions(table);
    add_remove_actions(table);
    add_bench_actions(table);
    add_usual_actions(table);
    add_stone_actions(table);
    add_coat_actions(table);
    add_chemical_actions(table);
    add_near_miss_actions(table);
    add_limit_actions(table);
    return table;
}

}  // namespace

std::span<const ActionSpec> actions() {
    static const Actions table = make_table();
    return table;
}

const ActionSpec* find_action(std::string_view id) {
    const std::span<const ActionSpec> table = actions();
    const auto found =
        std::find_if(table.begin(), table.end(), [&](const ActionSpec& action) { return action.id == id; });
    return found == table.end() ? nullptr : &*found;
}

}  // namespace tonebath::app
