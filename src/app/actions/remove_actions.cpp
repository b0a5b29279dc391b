#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/studio.hpp"
#include "model/nouns.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

template <class Noun>
Result<Outcome> remove_noun(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<Noun> record = in.record<Noun>("number");
    if (in.refused()) {
        return in.refusal();
    }
    if constexpr (std::is_same_v<Noun, Dip>) {
        if (!record->past_work) {
            return rules::refuse("remove.timed_dip", in.typed("number"), "that dip was timed at the bench.",
                                 "Correct it, or take the press back.");
        }
    }
    const std::string name = fmt::format("{} {}", noun_word(Noun::kTable), name_of(studio, *record));
    try {
        return studio.write("remove " + name, [&]() -> Result<Outcome> {
            if constexpr (std::is_same_v<Noun, Piece>) {
                // A piece's parts go with it where nothing else was written down about them.
                for (const Part& part : store::list<Part>(studio.log(), "WHERE piece_id = ?1", {record->id.text})) {
                    store::remove(studio.log(), part.id);
                }
            }
            store::remove(studio.log(), record->id);
            return Outcome{
                .said = fmt::format("{} removed; the change log keeps all of it.", name), .cautions = {}, .made = {}};
        });
    } catch (const store::StoreError& trouble) {
        if (trouble.kind() != store::StoreError::Kind::rule) {
            throw;
        }
        return rules::refuse("remove.needed", in.typed("number"), "other records rest on it.",
                             "Remove those first, or correct it instead.");
    }
}

using Handler = Result<Outcome> (*)(Studio&, const Form&);

Result<Outcome> remove(Studio& studio, const Form& form) {
    std::string noun = folded(form.text("noun"));
    std::replace(noun.begin(), noun.end(), '-', '_');
    std::replace(noun.begin(), noun.end(), ' ', '_');
    Handler handler = nullptr;
    std::string kept;
    std::vector<std::string> nouns;
    for_each_noun([&]<class Noun>(const Noun&) {
        const bool meant = noun == Noun::kTable || folded(form.text("noun")) == noun_word(Noun::kTable);
        if (is_kept_table(Noun::kTable) || std::is_same_v<Noun, Person> || std::is_same_v<Noun, Tone> ||
            std::is_same_v<Noun, ToneScale>) {
            kept = meant ? std::string(noun_word(Noun::kTable)) : kept;
            return;
        }
        nouns.emplace_back(Noun::kTable);
        if constexpr (!is_kept_table(Noun::kTable) && !std::is_same_v<Noun, Person> && !std::is_same_v<Noun, Tone> &&
                      !std::is_same_v<Noun, ToneScale>) {
            handler = meant ? &remove_noun<Noun> : handler;
        }
    });
    if (handler != nullptr) {
        return handler(studio, form);
    }
    Reader in(studio, form);
    if (!kept.empty()) {
        return rules::refuse("remove.kept_record", in.typed("noun"), fmt::format("a {} is never removed.", kept),
                             "Withdraw it, blank it or rename it instead.");
    }
    return rules::refuse("correct.no_noun", in.typed("noun"), "there are no records of that kind.",
                         fmt::format("Choose one of {}.", rules::in_a_row(nouns)), nouns);
}

}  // namespace

void add_remove_actions(Actions& table) {
    table.push_back(
        {.id = "record.remove",
         .label = "Remove a record",
         .help = "Only what nothing else rests on; checks, disposals and presses never.",
         .page = "Today",
         .key = "",
         .fields = {required(field("noun", "Kind of record", FieldKind::text, "\"reading\", \"piece\"")),
                    required(field("number", "Which", FieldKind::text, "\"46/3\" is the third reading of bath 46"))},
         .carry_out = remove});
}

}  // namespace tonebath::app
