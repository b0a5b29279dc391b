#include "app/answers.hpp"

#include "app/actions.hpp"
#include "model/rules/rule.hpp"

#include <algorithm>

namespace tonebath::app {

namespace {

constexpr std::string_view kReheated = "reheated";
constexpr std::string_view kNotReheated = "not reheated";

std::string key_of_field(const Form& form, std::string_view label) {
    const ActionSpec* spec = find_action(form.action);
    if (spec == nullptr) {
        return {};
    }
    const auto found = std::find_if(spec->fields.begin(), spec->fields.end(),
                                    [&](const FieldSpec& field) { return field.label == label; });
    return found == spec->fields.end() ? std::string() : found->key;
}

}  // namespace

void give_answer(Form& form, const Refusal& question, std::string_view answer) {
    if (std::find(question.answers.begin(), question.answers.end(), answer) == question.answers.end()) {
        return;
    }
    if (answer == rules::kKeepIt) {
        form.kept.insert(question.code);
        return;
    }
    const std::size_t comma = answer.rfind(", ");
    const std::string_view tail = comma == std::string_view::npos ? answer : answer.substr(comma + 2);
    std::string_view value = answer;
    if (tail == kReheated || tail == kNotReheated) {
        form.typed["reheated"] = tail == kReheated ? "yes" : "no";
        if (tail == kNotReheated) {
            form.kept.insert("reading.hotter");
            form.kept.insert("reading.stale");
        }
        if (comma == std::string_view::npos) {
            return;
        }
        value = answer.substr(0, comma);
    }
    const std::string key = key_of_field(form, question.field);
    if (key.empty()) {
        return;
    }
    if (value == rules::kBlank) {
        form.typed.erase(key);
    } else {
        form.typed[key] = std::string(value);
    }
}

bool may_be_kept(const Refusal& question) {
    return rules::may_be_kept(question);
}

}  // namespace tonebath::app
