#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/check_meant.hpp"
#include "app/clearance.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

namespace tonebath::app {

namespace {

struct Line {
    std::string name;      // of the item, as typed
    std::string response;  // after the colon
    std::string text;      // both
};

struct Answered {
    ItemState of;
    std::string response;
    std::optional<double> number;
};

// "ses.air: window fan on", one a line.
std::vector<Line> read_lines(Reader& in, const Form& form) {
    std::vector<Line> lines;
    for (const std::string& line : split(form.text("item"), '\n')) {
        const std::string text(trimmed(line));
        if (text.empty()) {
            continue;
        }
        in.check(rules::plain_text({in.typed("item").field, text}, Reader::kWords));
        const std::size_t colon = text.find(':');
        const std::string_view after = colon == std::string::npos ? std::string_view() : trimmed(std::string_view(text).substr(colon + 1));
        lines.push_back({.name = std::string(trimmed(std::string_view(text).substr(0, colon))), .response = std::string(after), .text = text});
    }
    return lines;
}

// The first figure in the words: 0.4 of "0.4 ppm at the face".
std::optional<double> figure_in(const std::string& words) {
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (words[i] >= '0' && words[i] <= '9') {
            const bool minus = i > 0 && words[i - 1] == '-';
            std::string digits = words.substr(i);
            std::replace(digits.begin(), digits.end(), ',', '.');
            const double value = std::strtod(digits.c_str(), nullptr);
            return minus ? -value : value;
        }
    }
    return std::nullopt;
}

void take_number(Reader& in, const rules::Typed& typed, Answered& answered) {
    const ChecklistItem& item = answered.of.item;
    if (!answered.of.asks_number) {
        return;
    }
    if (item.number == "C") {
        if (const auto temp = parse_temperature(typed.field, answered.response, in.studio().units())) {
            answered.number = temp->celsius();
        }
    }
    answered.number = answered.number ? answered.number : figure_in(answered.response);
    if (answered.number) {
        return;
    }
    const std::string message = fmt::format("\"{}\" is answered with a figure in {}.", item.text, item.number == "C" ? "°C" : item.number);
    in.check(item.number_needs.empty()
                 ? rules::refuse("check.no_number", typed, message, fmt::format("Type it with the answer: {}.", item.response))
                 : rules::ask("check.no_number", typed, message, "Type the reading with it, or keep it where smoke or tissue was the proof."));
}

std::vector<Answered> read_answers(Reader& in, const std::vector<Line>& lines, const CheckState& state) {
    std::vector<Answered> answered;
    std::vector<std::string> asked;
    for (const ItemState& one : state.items) {
        if (!one.item.response.empty()) {
            asked.push_back(one.item.key);
        }
    }
    for (const Line& line : lines) {
        const rules::Typed typed{in.typed("item").field, line.text};
        const auto found = std::find_if(state.items.begin(), state.items.end(),
                                        [&](const ItemState& one) { return is_called(one.item, line.name); });
        if (found == state.items.end()) {
            in.check(rules::refuse("check.no_item", typed, "that is not asked for this finish.",
                                   fmt::format("It asks {}.", rules::in_a_row(asked))));
            continue;
        }
        if (line.response.empty() && !found->item.response.empty()) {
            in.check(rules::refuse("check.no_response", typed, fmt::format("\"{}\" wants to know how.", found->item.text),
                                   fmt::format("Type it after a colon: {}, for example \"{}: {}\".", found->item.response,
                                               found->item.key, found->item.response)));
            continue;
        }
        answered.push_back({.of = *found, .response = line.response, .number = {}});
        take_number(in, typed, answered.back());
    }
    if (answered.empty()) {
        in.check(Refusal{.code = "check.nothing",
                         .field = std::string(in.typed("item").field),
                         .value = {},
                         .message = "nothing was answered.",
                         .remedy = fmt::format("Look, then type what you saw for {}.", rules::in_a_row(asked)),
                         .answers = {}});
    }
    return answered;
}

bool is_among(const std::vector<Answered>& answered, const ChecklistItem& item) {
    return std::any_of(answered.begin(), answered.end(), [&](const Answered& one) { return one.of.item.key == item.key; });
}

// The last line closes the list, when the rest is answered.
void check_last_line(Reader& in, const std::vector<Answered>& answered, const CheckState& state) {
    const bool closes = std::any_of(answered.begin(), answered.end(), [](const Answered& one) { return one.of.item.completion; });
    std::vector<std::string> open;
    for (const ItemState& one : state.items) {
        if (one.asked() && !one.answered && !is_among(answered, one.item)) {
            open.push_back(one.item.key);
        }
    }
    if (closes && !open.empty()) {
        in.check(rules::refuse("check.not_last", {in.typed("item").field, answered.back().of.item.key},
                               fmt::format("the list closes when the rest is answered; {} are open.", rules::in_a_row(open)),
                               "Answer those first; a must may be passed over with a name and a reason."));
    }
}

// Since the last answer of this use of the list; the first one has nothing to be measured against.
bool check_speed(Reader& in, Studio& studio, const std::vector<Answered>& answered, const CheckState& state) {
    if (!state.run) {
        return false;
    }
    const std::vector<CheckAnswer> before =
        store::list<CheckAnswer>(studio.log(), "WHERE run_id = ?1 ORDER BY at_utc_ms DESC, id DESC LIMIT 1", {state.run->id.text});
    double needed_s = 0.0;
    for (const Answered& one : answered) {
        needed_s += one.of.item.completion ? 0.0 : reading_s(one.of.item);
    }
    const double took_s = before.empty() ? needed_s : seconds_between(before.front().at, studio.now());
    if (took_s >= needed_s) {
        return false;
    }
    in.check(rules::ask("check.quick", {in.typed("item").field, answered.front().of.item.key},
                        fmt::format("answered {:.1f} s after the line before it; to read it takes {:.1f} s at least.", std::max(0.0, took_s), needed_s),
                        "Read it, look, and answer again, or keep it."));
    return true;
}

CheckRun run_of(Studio& studio, const CheckMeant& meant, const CheckState& state, const std::optional<Id<Person>>& second) {
    if (state.run) {
        CheckRun run = *state.run;
        run.second = second ? second : run.second;
        return run;
    }
    CheckRun run;
    run.list_key = meant.list->key;
    run.list_version = meant.list->version;
    run.finish_kind = meant.about.kind;
    run.bath_id = meant.about.bath_id;
    run.class_id = meant.about.class_id;
    run.room_id = meant.about.room_id;
    run.who = meant.about.who;
    run.second = second;
    run.at = run.made_at = studio.now();
    return run;
}

CheckAnswer answer_to(Studio& studio, const CheckRun& run, const ChecklistItem& item, AnswerState answer_state) {
    CheckAnswer answer;
    answer.at = answer.made_at = studio.now();
    answer.id = studio.ids().next<CheckAnswer>(answer.at);
    answer.run_id = run.id;
    answer.item_key = item.key;
    answer.item_text = item.text;
    answer.level = std::string(word_of(item.level));
    answer.who = run.who;
    answer.state = answer_state;
    return answer;
}

// Writes a new use of the list, or the second person of one that is under way.
void keep_run(Studio& studio, CheckRun& run) {
    if (run.id.empty()) {
        run.id = studio.ids().next<CheckRun>(run.at);
        store::insert(studio.log(), run);
    } else {
        store::update(studio.log(), run);
    }
}

// What was left without an answer stands in the record as left, or as "no meter".
void close_run(Studio& studio, CheckRun& run, const CheckState& state) {
    for (const ItemState& one : state.items) {
        if (one.item.level == CheckLevel::advise && !one.at) {
            const CheckAnswer answer = answer_to(studio, run, one.item, one.mark == ItemMark::no_meter ? AnswerState::no_meter : AnswerState::left);
            store::insert(studio.log(), answer);
        }
    }
    run.done_at = studio.now();
    store::update(studio.log(), run);
}

// Nothing that was closed is changed.
void check_not_closed(Reader& in, const CheckState& state) {
    if (state.closed) {
        in.check(rules::refuse("check.closed", {"List", state.title},
                               fmt::format("it was closed at {} and is not changed any more.", time_text(*state.run->done_at)),
                               "Comment on it, or withdraw it when it turns out not to be so."));
    }
}

Outcome told(Studio& studio, const CheckMeant& meant, const CheckRun& run) {
    const CheckState state = list_state(studio, *meant.list, meant.about);
    Outcome outcome{.said = fmt::format("{}, {}: {}", meant.list->title, meant.words, state.words), .cautions = {}, .made = {{"check_run", run.id.text}}};
    for (const ItemState& one : state.items) {
        if (one.item.level == CheckLevel::advise) {
            outcome.cautions.push_back(one.item.text + ".");
        }
    }
    outcome.cautions.push_back(state.ends_in);
    return outcome;
}

Result<Outcome> confirm(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::vector<Line> lines = read_lines(in, form);
    std::vector<std::string> names;
    for (const Line& line : lines) {
        names.push_back(line.name);
    }
    const std::optional<CheckMeant> meant = check_meant(in, names);
    const std::optional<Id<Person>> second = in.id_of<Person>("with");
    if (in.refused()) {
        return in.refusal();
    }
    const CheckState state = list_state(studio, *meant->list, meant->about);
    const std::vector<Answered> answered = read_answers(in, lines, state);
    if (in.refused()) {
        return in.refusal();
    }
    check_not_closed(in, state);
    check_last_line(in, answered, state);
    const bool quick = check_speed(in, studio, answered, state);
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write(fmt::format("{}, {}", folded(meant->list->title), meant->words), [&]() -> Result<Outcome> {
        CheckRun run = run_of(studio, *meant, state, second);
        if (run.id.empty() || second) {
            keep_run(studio, run);
        }
        bool closes = false;
        for (const Answered& one : answered) {
            CheckAnswer answer = answer_to(studio, run, one.of.item, AnswerState::confirmed);
            answer.response = one.response;
            answer.number = one.number;
            answer.unit = one.number ? one.of.item.number : "";
            answer.quick = quick;
            store::insert(studio.log(), answer);
            closes = closes || one.of.item.completion;
        }
        if (closes) {
            close_run(studio, run, list_state(studio, *meant->list, meant->about));
        }
        return told(studio, *meant, run);
    });
}

Result<Outcome> pass_over(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::string name = in.text("item", Reader::kWords);
    const std::string reason = in.text("reason", Reader::kWords);
    const std::optional<CheckMeant> meant = check_meant(in, {name});
    if (in.refused()) {
        return in.refusal();
    }
    const CheckState state = list_state(studio, *meant->list, meant->about);
    const auto found = std::find_if(state.items.begin(), state.items.end(), [&](const ItemState& one) { return is_called(one.item, name); });
    check_not_closed(in, state);
    if (found == state.items.end()) {
        in.check(rules::refuse("check.no_item", in.typed("item"), "that is not asked for this finish.", "Look at the list again."));
    } else if (found->item.level == CheckLevel::stop) {
        in.check(rules::refuse("check.stop", in.typed("item"), "a stop cannot be passed over.", "Put it right and confirm it, or do not begin."));
    } else if (found->item.completion) {
        in.check(rules::refuse("check.last_line", in.typed("item"), "the last line closes the list and is not passed over.", "Confirm it when the rest is answered."));
    } else if (found->item.level == CheckLevel::advise) {
        in.check(rules::refuse("check.advice", in.typed("item"), "advice may simply be left.", "Go on with the next line."));
    } else if (found->answered) {
        in.check(rules::refuse("check.answered", in.typed("item"), "it is answered already.", "Go on with the next line."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write(fmt::format("pass over {}, {}", found->item.key, meant->words), [&]() -> Result<Outcome> {
        CheckRun run = run_of(studio, *meant, state, std::nullopt);
        if (run.id.empty()) {
            keep_run(studio, run);
        }
        CheckAnswer answer = answer_to(studio, run, found->item, AnswerState::passed_over);
        answer.reason = reason;
        store::insert(studio.log(), answer);
        return told(studio, *meant, run);
    });
}

}  // namespace

void add_check_actions(Actions& table) {
    std::vector<FieldSpec> confirmed = check_meant_fields();
    confirmed.push_back(required(repeated(field("item", "What was looked at", FieldKind::text, "one a line: \"ses.air: window fan on\""))));
    confirmed.push_back(reference("with", "Second person", "person", "initials of who stands by"));
    confirmed.push_back(who_field());
    table.push_back({.id = "check.confirm",
                     .label = "Answer a list",
                     .help = "Line by line, each with what you saw. A stop cannot be passed over; your local rules and a licensed professional decide.",
                     .page = "Safety",
                     .key = "K",
                     .fields = std::move(confirmed),
                     .carry_out = confirm});
    std::vector<FieldSpec> passed = check_meant_fields();
    passed.push_back(required(field("item", "Line", FieldKind::text, "\"eyewash\"; only a must")));
    passed.push_back(required(field("reason", "Why it is passed over", FieldKind::text, "it stays on record")));
    passed.push_back(required(reference("who", "Who passes it over", "person", "initials")));
    table.push_back({.id = "check.pass",
                     .label = "Pass over a line",
                     .help = "A must, by name and with a reason, both kept. A stop never.",
                     .page = "Safety",
                     .key = "",  // the list itself has a key for it, on the line in hand
                     .fields = std::move(passed),
                     .carry_out = pass_over});
    add_check_after_actions(table);
}

}  // namespace tonebath::app
