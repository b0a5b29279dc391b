#include "app/actions/correct.hpp"
#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "base/quantity_text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

template <class T>
struct Inner {
    using Type = T;
    static constexpr bool kOptional = false;
};
template <class T>
struct Inner<std::optional<T>> {
    using Type = T;
    static constexpr bool kOptional = true;
};

bool is_amount(std::string_view column) {
    return column.size() >= 6 && column.substr(column.size() - 6) == "amount";
}
bool in_seconds(std::string_view column) {
    return column.size() > 2 && column.substr(column.size() - 2) == "_s";
}

// Reads the typed text by the type of the column.
class Setter {
public:
    Setter(Reader& in, AmountUnit unit, std::string_view scale_of_tone, rules::Typed typed)
        : in_(in), unit_(unit), scale_(scale_of_tone), typed_(typed) {}

    template <class T>
    void set(std::string_view column, T& value) {
        using Type = typename Inner<T>::Type;
        if (trimmed(typed_.text).empty()) {
            if constexpr (Inner<T>::kOptional) {
                value.reset();
            } else if constexpr (std::is_same_v<T, std::string>) {
                value.clear();
            } else {
                in_.check(rules::refuse("correct.needed", typed_, "this cannot be left empty.", "Type its new value."));
            }
            return;
        }
        if (std::optional<Type> read = parse(column, static_cast<Type*>(nullptr)); read && !in_.refused()) {
            value = *read;
        }
    }

private:
    [[nodiscard]] UnitChoice units() { return in_.studio().units(); }

    std::optional<std::string> parse(std::string_view column, std::string*) {
        in_.check(rules::plain_text(typed_, column == "note" ? Reader::kNote : Reader::kWords));
        return std::string(trimmed(typed_.text));
    }
    std::optional<bool> parse(std::string_view, bool*) {
        const std::string word = folded(typed_.text);
        if (word == "yes" || word == "no") {
            return word == "yes";
        }
        in_.check(
            rules::refuse("choice.unknown", typed_, "that is neither yes nor no.", "Type yes or no.", {"yes", "no"}));
        return std::nullopt;
    }
    std::optional<double> parse(std::string_view column, double*) {
        if (is_amount(column)) {
            return positive(in_.taken(parse_amount(typed_.field, typed_.text, unit_)));
        }
        if (in_seconds(column)) {
            const std::optional<Seconds> time = in_.taken(parse_duration(typed_.field, typed_.text));
            return positive(time ? std::optional<double>(time->seconds()) : std::nullopt);
        }
        return in_.taken(parse_number(typed_.field, typed_.text));
    }
    std::optional<int> parse(std::string_view, int*) {
        const std::optional<double> value = in_.taken(parse_number(typed_.field, typed_.text));
        if (value && (*value != std::floor(*value) || *value < 0.0 || *value > 1e6)) {
            in_.check(
                rules::refuse("number.not_whole", typed_, "that is not a whole number.", "Type one, for example 2."));
            return std::nullopt;
        }
        return value ? std::optional<int>(static_cast<int>(*value)) : std::nullopt;
    }
    std::optional<std::int64_t> parse(std::string_view, std::int64_t*) { return std::nullopt; }
    std::optional<Celsius> parse(std::string_view, Celsius*) {
        return in_.taken(parse_temperature(typed_.field, typed_.text, units()));
    }
    std::optional<Seconds> parse(std::string_view, Seconds*) {
        const std::optional<Seconds> time = in_.taken(parse_duration(typed_.field, typed_.text));
        return time && positive(time->seconds()) ? time : std::nullopt;
    }
    std::optional<Millilitres> parse(std::string_view, Millilitres*) {
        const std::optional<Millilitres> volume = in_.taken(parse_volume(typed_.field, typed_.text, units()));
        return volume && positive(volume->ml()) ? volume : std::nullopt;
    }
    std::optional<Millimetres> parse(std::string_view, Millimetres*) {
        const std::optional<Millimetres> length = in_.taken(parse_length(typed_.field, typed_.text, units()));
        return length && positive(length->mm()) ? length : std::nullopt;
    }
    std::optional<Stamp> parse(std::string_view column, Stamp*) {
        const std::optional<Stamp> at = parse_moment(trimmed(typed_.text), in_.studio().now());
        if (!at) {
            in_.check(rules::refuse("moment.not_understood", typed_, "that is not a time this program can read.",
                                    "Type for example \"09:42\", \"31 Mar 2026\" or \"31 Mar 2026 09:42\"."));
        } else if (column != "wanted_by") {
            in_.check(rules::not_in_future(typed_, *at, in_.studio().now()));
        }
        return at;
    }
    template <Worded E>
    std::optional<E> parse(std::string_view, E*) {
        for (const std::string_view word : EnumWords<E>::words) {
            if (folded(word) == folded(trimmed(typed_.text))) {
                return from_word<E>(word);
            }
        }
        const auto& words = EnumWords<E>::words;
        std::vector<std::string> choices(words.begin(), words.end());
        std::string remedy = fmt::format("Choose {}.", rules::in_a_row(choices));
        in_.check(rules::refuse("choice.unknown", typed_, "that is none of the choices.", std::move(remedy),
                                std::move(choices)));
        return std::nullopt;
    }
    template <class Noun>
    std::optional<Id<Noun>> parse(std::string_view, Id<Noun>*) {
        std::string name(typed_.text);
        if constexpr (std::is_same_v<Noun, Tone>) {
            if (name.find(':') == std::string::npos && !scale_.empty()) {
                name = scale_ + ": " + name;
            }
        }
        const std::optional<Noun> found = in_.taken(resolve<Noun>(in_.studio(), typed_.field, name));
        return found ? std::optional<Id<Noun>>(found->id) : std::nullopt;
    }
    std::optional<double> positive(std::optional<double> value) {
        if (value && *value <= 0.0) {
            in_.check(rules::above_zero(typed_, *value, "2"));
            return std::nullopt;
        }
        return value;
    }

    Reader& in_;
    AmountUnit unit_;
    std::string scale_;
    rules::Typed typed_;
};

template <class Noun>
std::string scale_of(Studio& studio, const Noun& record) {
    if constexpr (requires { record.tone_id->text; }) {
        const std::optional<Tone> tone = record.tone_id ? store::find(studio.log(), *record.tone_id) : std::nullopt;
        return tone ? name_of(studio, tone->scale_id) : std::string();
    } else if constexpr (requires { record.scale_id; }) {
        return name_of(studio, record.scale_id);
    } else {
        return {};
    }
}

// Numbers and names must not be given twice.
template <class Noun>
rules::Question still_free(Studio& studio, const Noun& record, std::string_view column, const rules::Typed& typed) {
    if (column != "number" && column != "initials" &&
        !(column == "name" && (std::is_same_v<Noun, Metal> || std::is_same_v<Noun, Target>))) {
        return std::nullopt;
    }
    if (trimmed(typed.text).empty()) {
        return rules::refuse("correct.needed", typed, "this cannot be left empty.", "Type its new value.");
    }
    const std::vector<Noun> same =
        store::list<Noun>(studio.log(), fmt::format("WHERE {} = ?1", column), {std::string(trimmed(typed.text))});
    const bool taken = !same.empty() && same.front().id != record.id;
    return rules::number_free(typed, noun_word(Noun::kTable), taken, "");
}

// A dip, a judgement or a step of work is of one thing: naming another takes the first one's place.
template <class Noun>
void one_subject(Noun& record, std::string_view column) {
    if constexpr (requires { record.part_id; }) {
        const auto clear_unless = [column](std::string_view own, auto& id) {
            if (column != own) {
                id.reset();
            }
        };
        const auto named = [&](std::string_view own, const auto& id) { return column == own && id.has_value(); };
        bool given = named("piece_id", record.piece_id) || named("part_id", record.part_id);
        if constexpr (requires { record.strip_id; }) {
            given = given || named("strip_id", record.strip_id);
        }
        if constexpr (requires { record.batch_id; }) {
            given = given || named("batch_id", record.batch_id);
        }
        if (!given) {
            return;
        }
        clear_unless("piece_id", record.piece_id);
        clear_unless("part_id", record.part_id);
        if constexpr (requires { record.strip_id; }) {
            clear_unless("strip_id", record.strip_id);
        }
        if constexpr (requires { record.batch_id; }) {
            clear_unless("batch_id", record.batch_id);
        }
    }
}

// Puts a column on the list of those that were typed from memory, or takes it off: a value looked up takes its mark away.
void remember(std::string& columns, const std::string& column, bool from_memory) {
    std::vector<std::string> rest = split(columns, ' ');
    std::erase_if(rest, [&column](const std::string& one) { return one.empty() || one == column; });
    if (from_memory) {
        rest.push_back(column);
    }
    columns = joined(rest, " ");
}

template <class Noun>
Result<Outcome> correct_noun(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<Noun> record = in.record<Noun>("number");
    std::vector<std::string> columns;
    const Noun empty{};
    Noun::fields(empty, [&](std::string_view column, const auto&) { columns.emplace_back(column); });
    const std::optional<std::string> column = column_of(columns, form.text("field"));
    if (!column || is_own_column(*column)) {
        std::erase_if(columns, [](const std::string& one) { return is_own_column(one); });
        in.check(rules::refuse("correct.no_field", in.typed("field"),
                               fmt::format("a {} has no such field to correct.", noun_word(Noun::kTable)),
                               fmt::format("Choose one of {}.", rules::in_a_row(columns)), columns));
    }
    if (in.refused()) {
        return in.refusal();
    }
    const std::string label = fmt::format("{} {}", name_of(studio, *record), std::string(form.text("field")));
    const rules::Typed typed{label, form.text("value")};
    in.check(still_free(studio, *record, *column, typed));
    Setter setter(in, unit_for(studio, *record), scale_of(studio, *record), typed);
    Noun::fields(*record, [&](std::string_view name, auto& value) {
        if (name == *column) {
            setter.set(name, value);
        }
    });
    if (!in.refused()) {
        in.check(rule_for(studio, *record, *column, typed));
    }
    if constexpr (requires { record->note; }) {
        if (in.kept_any() && !in.refused()) {
            record->note +=
                (record->note.empty() ? "" : "\n") + fmt::format("kept as typed: {} {}", *column, shown(typed.text));
        }
    }
    if constexpr (requires { record->from_memory; }) {
        if (*column != "from_memory") {
            remember(record->from_memory, *column, form.from_memory.count("value") > 0);
        }
    }
    if constexpr (requires { record->kept; }) {
        record->kept = record->kept || in.kept_any();
    }
    if (in.refused()) {
        return in.refusal();
    }
    one_subject(*record, *column);
    try {
        return studio.write("correct " + label, [&]() -> Result<Outcome> {
            store::update(studio.log(), *record);
            return Outcome{.said = fmt::format("{} {}: {} is {} now; the old value is kept.", noun_word(Noun::kTable),
                                               name_of(studio, *record), std::string(form.text("field")),
                                               typed.text.empty() ? "not known" : shown(typed.text)),
                           .cautions = {},
                           .made = {{std::string(Noun::kTable), record->id.text}}};
        });
    } catch (const store::StoreError& trouble) {
        if (trouble.kind() != store::StoreError::Kind::rule) {
            throw;
        }
        // The tables' own limits, where no rule has words of its own.
        return rules::refuse("correct.not_taken", typed,
                             typed.text.empty() ? "this cannot be left empty."
                                                : "that is outside what this field holds, stands there already, or needs other fields with it.",
                             "Type another value. The old one stands.");
    }
}

using Handler = Result<Outcome> (*)(Studio&, const Form&);

Result<Outcome> correct(Studio& studio, const Form& form) {
    std::string noun = folded(form.text("noun"));
    std::replace(noun.begin(), noun.end(), '-', '_');
    std::replace(noun.begin(), noun.end(), ' ', '_');
    Handler handler = nullptr;
    std::string kept;
    for_each_noun([&]<class Noun>(const Noun&) {
        const bool meant = noun == Noun::kTable || folded(form.text("noun")) == noun_word(Noun::kTable) ||
                           (noun == "scale" && std::is_same_v<Noun, ToneScale>);
        if (!meant) {
            return;
        }
        if (is_kept_table(Noun::kTable)) {
            kept = noun_word(Noun::kTable);
            return;
        }
        if constexpr (!is_kept_table(Noun::kTable)) {
            handler = &correct_noun<Noun>;
        }
    });
    if (handler != nullptr) {
        return handler(studio, form);
    }
    Reader in(studio, form);
    if (!kept.empty()) {
        return rules::refuse("correct.kept_record", in.typed("noun"), fmt::format("a {} is never changed.", kept),
                             "Withdraw it, then write a new one.");
    }
    std::vector<std::string> nouns;
    for_each_noun([&]<class Noun>(const Noun&) {
        if (!is_kept_table(Noun::kTable)) {
            nouns.emplace_back(Noun::kTable);
        }
    });
    return rules::refuse("correct.no_noun", in.typed("noun"), "there are no records of that kind.",
                         fmt::format("Choose one of {}.", rules::in_a_row(nouns)), nouns);
}

Result<Outcome> undo(Studio& studio, const Form&) {
    return studio.undo();
}
Result<Outcome> redo(Studio& studio, const Form&) {
    return studio.redo();
}

}  // namespace

void add_correct_actions(Actions& table) {
    table.push_back(
        {.id = "record.correct",
         .label = "Correct a record",
         .help = "Any field of any record; the old value is kept in the change log.",
         .page = "Today",
         .key = "",
         .fields = {required(field("noun", "Kind of record", FieldKind::text, "\"bath\", \"reading\", \"dip\"")),
                    required(
                        field("number", "Which", FieldKind::text, "\"46\"; \"46/3\" is the third reading of bath 46")),
                    required(field("field", "Field", FieldKind::text, "\"water\", \"start-temp\"")),
                    field("value", "New value", FieldKind::text, "empty = not known")},
         .carry_out = correct});
    table.push_back(
        {.id = "log.undo",
         .label = "Undo",
         .help =
             "Takes back the last step of this sitting. Checks, disposals and presses are withdrawn, never removed.",
         .page = "Today",
         .key = "Ctrl+Z",
         .fields = {},
         .carry_out = undo});
    table.push_back({.id = "log.redo",
                     .label = "Redo",
                     .help = "Brings forward what was taken back last.",
                     .page = "Today",
                     .key = "Ctrl+Y",
                     .fields = {},
                     .carry_out = redo});
}

}  // namespace tonebath::app
