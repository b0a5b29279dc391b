#include "app/actions/reader.hpp"

#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "model/rules/tone_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

namespace tonebath::app {

Reader::Reader(Studio& studio, const Form& form)
    : studio_(studio), form_(form), action_(*find_action(form.action)), now_(studio.now()) {}

bool Reader::has(std::string_view key) const {
    return std::any_of(action_.fields.begin(), action_.fields.end(),
                       [&](const FieldSpec& field) { return field.key == key; });
}

const FieldSpec& Reader::spec(std::string_view key) const {
    const auto found = std::find_if(action_.fields.begin(), action_.fields.end(),
                                    [&](const FieldSpec& field) { return field.key == key; });
    TB_CHECK(found != action_.fields.end());
    return *found;
}

rules::Typed Reader::typed(std::string_view key) const {
    return {spec(key).label, form_.text(key)};
}

void Reader::check(rules::Question question) {
    if (!question) {
        return;
    }
    if (rules::may_be_kept(*question) && form_.kept.count(question->code) > 0) {
        const std::string words = question->field + (question->value.empty() ? "" : " " + question->value);
        if (std::find(kept_.begin(), kept_.end(), words) == kept_.end()) {
            kept_.push_back(words);
        }
        return;
    }
    if (!refusal_) {
        refusal_ = std::move(question);
    }
}

std::string Reader::text(std::string_view key, std::size_t at_most_bytes) {
    check(rules::plain_text(typed(key), at_most_bytes));
    return refusal_ ? std::string() : std::string(form_.text(key));
}

std::optional<double> Reader::number(std::string_view key) {
    return given(key) ? taken(parse_number(typed(key).field, form_.text(key))) : std::nullopt;
}

std::optional<int> Reader::whole(std::string_view key) {
    const std::optional<double> value = number(key);
    if (value && (*value != std::floor(*value) || std::abs(*value) > 1e6)) {
        check(rules::refuse("number.not_whole", typed(key), "that is not a whole number.", "Type one, for example 2."));
        return std::nullopt;
    }
    return value ? std::optional<int>(static_cast<int>(*value)) : std::nullopt;
}

std::optional<Celsius> Reader::temperature(std::string_view key) {
    return given(key) ? taken(parse_temperature(typed(key).field, form_.text(key), studio_.units())) : std::nullopt;
}

std::optional<Seconds> Reader::duration(std::string_view key) {
    return given(key) ? taken(parse_duration(typed(key).field, form_.text(key))) : std::nullopt;
}

std::optional<Millilitres> Reader::volume(std::string_view key) {
    return given(key) ? taken(parse_volume(typed(key).field, form_.text(key), studio_.units())) : std::nullopt;
}

std::optional<Millimetres> Reader::length(std::string_view key) {
    return given(key) ? taken(parse_length(typed(key).field, form_.text(key), studio_.units())) : std::nullopt;
}

std::optional<double> Reader::amount(std::string_view key, AmountUnit unit) {
    return given(key) ? taken(parse_amount(typed(key).field, form_.text(key), unit)) : std::nullopt;
}

std::optional<Stamp> Reader::any_moment(std::string_view key) {
    if (!given(key) || refusal_) {
        return std::nullopt;
    }
    const std::optional<Stamp> at = parse_moment(form_.text(key), now_);
    if (!at) {
        check(rules::refuse("moment.not_understood", typed(key), "that is not a time this program can read.",
                            "Type for example \"09:42\", \"10 min ago\", \"31 Mar 2026\" or \"31 Mar 2026 09:42\"."));
    }
    return at;
}

std::optional<Stamp> Reader::moment(std::string_view key) {
    const std::optional<Stamp> at = any_moment(key);
    if (at) {
        check(rules::not_in_future(typed(key), *at, now_));
    }
    return refusal_ ? std::nullopt : at;
}

std::optional<bool> Reader::yes_no(std::string_view key) {
    if (!given(key)) {
        return std::nullopt;
    }
    static constexpr std::array<std::string_view, 5> kYes{"yes", "y", "true", "1", "on"};
    static constexpr std::array<std::string_view, 5> kNo{"no", "n", "false", "0", "off"};
    const std::string word = folded(form_.text(key));
    if (std::find(kYes.begin(), kYes.end(), word) != kYes.end()) {
        return true;
    }
    if (std::find(kNo.begin(), kNo.end(), word) != kNo.end()) {
        return false;
    }
    no_choice(key, {"yes", "no"});
    return std::nullopt;
}

void Reader::no_choice(std::string_view key, std::vector<std::string> words) {
    std::string remedy = fmt::format("Choose {}, or leave it empty when it is not known.", rules::in_a_row(words));
    check(rules::refuse("choice.unknown", typed(key), "that is none of the choices.", std::move(remedy),
                        std::move(words)));
}

const FinishKind* Reader::kind(std::string_view key, std::string_view otherwise, std::optional<LotForm> form) {
    const std::string words = given(key) ? text(key, kWords) : std::string(otherwise);
    const FinishKind* found = words.empty() ? nullptr : find_kind(studio_.finish_kinds(), words, form);
    if (found == nullptr && !words.empty()) {
        std::vector<std::string> names;
        for (const FinishKind& one : studio_.finish_kinds()) {
            names.push_back(one.name);
        }
        check(rules::refuse("kind.unknown", typed(key), "that kind of finish is not known here.",
                            "Choose one of the list; \"not known\" counts as acid until its sheet is read.", std::move(names)));
    }
    return found;
}

std::vector<std::string> Reader::lines(std::string_view key) {
    std::vector<std::string> found;
    for (const std::string& line : split(form_.text(key), '\n')) {
        if (trimmed(line).empty()) {
            continue;
        }
        const std::optional<std::vector<std::string>> row = taken(numbers_of({typed(key).field, line}));
        if (!row) {
            return {};
        }
        found.insert(found.end(), row->begin(), row->end());
    }
    return found;
}

std::optional<Id<Person>> Reader::who(std::string_view key) {
    if (given(key)) {
        return id_of<Person>(key);
    }
    const std::optional<Person> person = studio_.at_bench();
    return person ? std::optional<Id<Person>>(person->id) : std::nullopt;
}

std::vector<Subject> Reader::subjects() {
    std::vector<Subject> found;
    const auto each = [&](std::string_view key, const auto& take) {
        if (has(key)) {
            for (const std::string& line : lines(key)) {
                take(line);
            }
        }
    };
    each("strip", [&](const std::string& line) {
        if (const auto strip = taken(resolve<Strip>(studio_, typed("strip").field, line))) {
            found.push_back(subject_of(*strip));
        }
    });
    std::vector<Piece> pieces;
    each("piece", [&](const std::string& line) {
        if (const auto piece = taken(resolve<Piece>(studio_, typed("piece").field, line))) {
            pieces.push_back(*piece);
        }
    });
    if (has("part") && given("part")) {
        // Without a piece each line is a whole name; with pieces it is the part's name on every one of them.
        const std::vector<std::string> names = split(form_.text("part"), '\n');
        for (const std::string& name : names) {
            for (std::size_t i = 0; i < std::max<std::size_t>(1, pieces.size()); ++i) {
                const std::string whole = pieces.empty() ? name : pieces[i].number + " " + name;
                if (const auto part = taken(resolve<Part>(studio_, typed("part").field, whole))) {
                    found.push_back(subject_of(studio_, *part));
                }
            }
        }
    } else {
        for (const Piece& piece : pieces) {
            found.push_back(subject_of(studio_, piece));
        }
    }
    if (has("batch") && given("batch")) {
        if (const auto batch = record<Batch>("batch")) {
            found.push_back(subject_of(*batch));
        }
    }
    // Named twice is named once: nothing goes into a bath two times over.
    std::set<std::string> seen;
    std::erase_if(found, [&seen](const Subject& one) {
        const std::string& id = one.strip   ? one.strip->text
                                : one.part  ? one.part->text
                                : one.piece ? one.piece->text
                                            : one.batch->text;
        return !seen.insert(id).second;
    });
    if (found.empty() && !refusal_) {
        std::vector<std::string> fields;
        for (const std::string_view key : {"strip", "piece", "part", "batch"}) {
            if (has(key)) {
                fields.push_back(folded(spec(key).label));
            }
        }
        check(Refusal{.code = "subject.missing",
                      .field = spec(has("piece") ? "piece" : "strip").label,
                      .value = {},
                      .message = "nothing is named yet.",
                      .remedy = fmt::format("Fill in one of {}.", rules::in_a_row(fields)),
                      .answers = {}});
    }
    return refusal_ ? std::vector<Subject>{} : found;
}

std::optional<Subject> Reader::subject() {
    const std::vector<Subject> all = subjects();
    if (all.size() > 1) {
        check(rules::refuse("subject.several", typed(has("piece") ? "piece" : "strip"), "that names more than one.",
                            "Name one, and do the others after it."));
    }
    return refusal_ || all.empty() ? std::nullopt : std::optional<Subject>(all.front());
}

std::optional<Tone> Reader::tone(std::string_view key, const Subject& subject) {
    if (!given(key) || refusal_) {
        return std::nullopt;
    }
    const std::optional<ToneScale> scale =
        subject.metal ? scale_for(studio_, *subject.metal, subject.surface) : std::nullopt;
    if (scale) {
        return taken(tone_on(studio_, *scale, typed(key).field, form_.text(key)));
    }
    if (subject.metal) {
        check(rules::not_on_scale(typed(key), name_of(studio_, *subject.metal), {}));
        return std::nullopt;
    }
    if (form_.text(key).find(':') == std::string_view::npos && !is_uuid7(form_.text(key))) {
        check(rules::refuse("tone.metal_unknown", typed(key),
                            fmt::format("the metal of {} is not written down.", subject.name),
                            "Write its metal down, name one part of it, or type the metal before the tone, for example "
                            "\"sterling: blue\"."));
        return std::nullopt;
    }
    return taken(resolve<Tone>(studio_, typed(key).field, form_.text(key)));
}

std::string Reader::note(std::string_view key) {
    std::string note = text(key);
    if (!kept_.empty()) {
        note += (note.empty() ? "" : "\n") + std::string("kept as typed: ") + joined(kept_, "; ");
    }
    return note;
}

std::string Reader::memory_of(const std::vector<std::string>& columns) const {
    std::vector<std::string> marked;
    for (std::string key : form_.from_memory) {
        std::replace(key.begin(), key.end(), '-', '_');
        const auto found = std::find_if(columns.begin(), columns.end(), [&](const std::string& column) {
            return column == key || column.rfind(key + "_", 0) == 0 || (key == "length" && column == "in_bath_s") ||
                   (key == "with" && column == "used") || (key == "lump_size" && column == "amount");
        });
        marked.push_back(found == columns.end() ? key : *found);
    }
    std::sort(marked.begin(), marked.end());
    marked.erase(std::unique(marked.begin(), marked.end()), marked.end());
    return joined(marked, " ");
}

}  // namespace tonebath::app
