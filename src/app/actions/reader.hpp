// Reads a form's fields as values, for the handlers of actions. The first refusal sticks: what is read after it comes
// out as not filled in, so a handler reads everything and looks once.
#pragma once

#include "app/actions.hpp"
#include "app/resolve.hpp"
#include "app/subject.hpp"
#include "model/rules/rule.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

class Reader {
public:
    Reader(Studio& studio, const Form& form);

    [[nodiscard]] Studio& studio() { return studio_; }
    [[nodiscard]] bool given(std::string_view key) const { return !form_.text(key).empty(); }
    // The field as it stands on screen with what was typed: for rules.
    [[nodiscard]] rules::Typed typed(std::string_view key) const;

    // Empty or nothing when not filled in or refused.
    [[nodiscard]] std::string text(std::string_view key, std::size_t at_most_bytes = kNote);
    [[nodiscard]] std::optional<double> number(std::string_view key);
    [[nodiscard]] std::optional<int> whole(std::string_view key);
    [[nodiscard]] std::optional<Celsius> temperature(std::string_view key);
    [[nodiscard]] std::optional<Seconds> duration(std::string_view key);
    [[nodiscard]] std::optional<Millilitres> volume(std::string_view key);
    [[nodiscard]] std::optional<Millimetres> length(std::string_view key);
    [[nodiscard]] std::optional<double> amount(std::string_view key, AmountUnit unit);
    // Not in the future.
    [[nodiscard]] std::optional<Stamp> moment(std::string_view key);
    [[nodiscard]] Stamp moment_or_now(std::string_view key) { return moment(key).value_or(now_); }
    [[nodiscard]] std::optional<Stamp> any_moment(std::string_view key);
    [[nodiscard]] std::optional<bool> yes_no(std::string_view key);
    // The lines of a repeated field; "L-131..L-138" becomes eight.
    [[nodiscard]] std::vector<std::string> lines(std::string_view key);
    template <Worded E>
    [[nodiscard]] std::optional<E> choice(std::string_view key) {
        for (const std::string_view word : EnumWords<E>::words) {
            if (folded(word) == folded(form_.text(key))) {
                return from_word<E>(word);
            }
        }
        if (given(key)) {
            const auto& words = EnumWords<E>::words;
            no_choice(key, std::vector<std::string>(words.begin(), words.end()));
        }
        return std::nullopt;
    }
    // The kind of finish that is typed, else `otherwise` in words; nothing where neither is, or it is not known
    // ("kind.unknown", with the kinds on offer).
    [[nodiscard]] const FinishKind* kind(std::string_view key, std::string_view otherwise = {}, std::optional<LotForm> form = std::nullopt);
    template <class Noun>
    [[nodiscard]] std::optional<Noun> record(std::string_view key) {
        if (!given(key) || refusal_) {
            return std::nullopt;
        }
        Result<Noun> found = resolve<Noun>(studio_, typed(key).field, form_.text(key));
        return taken(std::move(found));
    }
    // Each line of a repeated field.
    template <class Noun>
    [[nodiscard]] std::vector<Noun> records(std::string_view key) {
        std::vector<Noun> found;
        for (const std::string& line : lines(key)) {
            if (std::optional<Noun> one = taken(resolve<Noun>(studio_, typed(key).field, line))) {
                found.push_back(std::move(*one));
            }
        }
        return found;
    }
    template <class Noun>
    [[nodiscard]] std::optional<Id<Noun>> id_of(std::string_view key) {
        const std::optional<Noun> found = record<Noun>(key);
        return found ? std::optional<Id<Noun>>(found->id) : std::nullopt;
    }
    // Who did it: the field, or who is at the bench.
    [[nodiscard]] std::optional<Id<Person>> who(std::string_view key = "who");
    // What the fields strip, piece, part and batch name (those that the action has); one of them at least. `part` alone
    // is "L-058 lid"; with a piece it is the part's name on each. A batch becomes one subject.
    [[nodiscard]] std::vector<Subject> subjects();
    [[nodiscard]] std::optional<Subject> subject();
    // A tone's word on the scale of this subject; "sterling: blue" where its metal is not known.
    [[nodiscard]] std::optional<Tone> tone(std::string_view key, const Subject& subject);

    // A rule's answer: a question that was answered "Keep it" passes and is remembered, everything else sticks.
    void check(rules::Question question);
    template <class T>
    [[nodiscard]] std::optional<T> taken(Result<T> result) {
        if (result) {
            return refusal_ ? std::nullopt : std::optional<T>(*result);
        }
        check(result.error());
        return std::nullopt;
    }
    [[nodiscard]] bool refused() const { return refusal_.has_value(); }
    [[nodiscard]] const Refusal& refusal() const { return *refusal_; }
    [[nodiscard]] bool kept_any() const { return !kept_.empty(); }
    // "note" with the values that were kept against a question at its end: "kept as typed: Amount 20 g".
    [[nodiscard]] std::string note(std::string_view key = "note");
    // Columns of the record that were typed from memory, from the keys that the form names.
    template <class Noun>
    [[nodiscard]] std::string from_memory() const {
        std::vector<std::string> columns;
        const Noun empty{};
        Noun::fields(empty, [&](std::string_view column, const auto&) { columns.emplace_back(column); });
        return memory_of(columns);
    }

    static constexpr std::size_t kNumber = 40;  // bytes of a number or name
    static constexpr std::size_t kWords = 200;  // of a short field
    static constexpr std::size_t kNote = 2000;  // of a note

private:
    [[nodiscard]] const FieldSpec& spec(std::string_view key) const;
    [[nodiscard]] bool has(std::string_view key) const;
    void no_choice(std::string_view key, std::vector<std::string> words);
    [[nodiscard]] std::string memory_of(const std::vector<std::string>& columns) const;

    Studio& studio_;
    const Form& form_;
    const ActionSpec& action_;
    Stamp now_;
    std::optional<Refusal> refusal_;
    std::vector<std::string> kept_;
};

// "L-131..L-138" as eight numbers, "L-131" as one. Refusals: "number.bad_range" (backwards, over 200, not alike).
[[nodiscard]] Result<std::vector<std::string>> numbers_of(const rules::Typed& typed);

}  // namespace tonebath::app
