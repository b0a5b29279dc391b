// The rows that each topic adds to the table of actions, and short ways to write their fields.
#pragma once

#include "app/actions.hpp"

#include <utility>

namespace tonebath::app {

using Actions = std::vector<ActionSpec>;

void add_person_actions(Actions& table);
void add_lot_actions(Actions& table);
void add_vessel_actions(Actions& table);
void add_bath_actions(Actions& table);
void add_finish_actions(Actions& table);
void add_reading_actions(Actions& table);
void add_strip_actions(Actions& table);
void add_piece_actions(Actions& table);
void add_batch_actions(Actions& table);
void add_scale_actions(Actions& table);
void add_preparation_actions(Actions& table);
void add_dip_actions(Actions& table);
void add_press_actions(Actions& table);
void add_past_dip_actions(Actions& table);
void add_judgement_actions(Actions& table);
void add_after_work_actions(Actions& table);
void add_check_actions(Actions& table);
void add_check_after_actions(Actions& table);
void add_disposal_actions(Actions& table);
void add_correct_actions(Actions& table);
void add_remove_actions(Actions& table);
void add_bench_actions(Actions& table);
void add_usual_actions(Actions& table);
void add_stone_actions(Actions& table);
void add_coat_actions(Actions& table);
void add_chemical_actions(Actions& table);
void add_near_miss_actions(Actions& table);
void add_limit_actions(Actions& table);
void add_class_actions(Actions& table);
void add_class_day_actions(Actions& table);

[[nodiscard]] inline FieldSpec field(std::string key, std::string label, FieldKind kind, std::string help = {}) {
    FieldSpec spec;
    spec.key = std::move(key);
    spec.label = std::move(label);
    spec.kind = kind;
    spec.help = std::move(help);
    return spec;
}
[[nodiscard]] inline FieldSpec required(FieldSpec spec) {
    spec.required = true;
    return spec;
}
[[nodiscard]] inline FieldSpec repeated(FieldSpec spec) {
    spec.repeated = true;
    return spec;
}
[[nodiscard]] inline FieldSpec reference(std::string key, std::string label, std::string noun, std::string help = {}) {
    FieldSpec spec = field(std::move(key), std::move(label), FieldKind::reference, std::move(help));
    spec.refers_to = std::move(noun);
    return spec;
}
[[nodiscard]] inline FieldSpec choice_of(std::string key, std::string label, std::vector<std::string> choices,
                                         std::string help = {}) {
    FieldSpec spec = field(std::move(key), std::move(label), FieldKind::choice, std::move(help));
    spec.choices = std::move(choices);
    return spec;
}
template <class E>
[[nodiscard]] FieldSpec choice_of(std::string key, std::string label, std::string help = {}) {
    const auto& words = EnumWords<E>::words;
    return choice_of(std::move(key), std::move(label), std::vector<std::string>(words.begin(), words.end()),
                     std::move(help));
}
[[nodiscard]] inline FieldSpec who_field() {
    return reference("who", "Who", "person", "initials; empty = who is at the bench");
}
[[nodiscard]] inline FieldSpec note_field() {
    return field("note", "Note", FieldKind::text);
}
[[nodiscard]] inline FieldSpec at_field(std::string label = "When") {
    return field("at", std::move(label), FieldKind::moment, "empty = now; \"09:42\", \"10 min ago\", \"31 Mar 2026\"");
}

}  // namespace tonebath::app
