#include "app/demo/writers.hpp"

#include "store/record.hpp"

#include <fmt/format.h>

#include <array>
#include <string_view>
#include <utility>

namespace tonebath::app {

namespace {

constexpr std::array<std::pair<std::string_view, std::string_view>, 21> kSaid{{
    {"ses.acid_away", "no pickle used"},
    {"ses.sulfide_away", "sulfide on the shelf of the other room"},
    {"ses.air", "window fan on, tissue drifts away"},
    {"ses.room", "one, nobody to supervise"},
    {"ses.eyes_hands", "worn, nitrile"},
    {"ses.knows", "studio neighbour, knocks on the hour"},
    {"ses.eyewash", "6 seconds"},
    {"ses.go", "done"},
    {"aft.no_acid", "acid shelf of the other room, shut"},
    {"aft.no_silver_ammonia", "none kept"},
    {"aft.separate", "sulfide tub"},
    {"aft.not_drain", "collection"},
    {"aft.waste_label", "tub closed, labelled"},
    {"aft.wash", "washed"},
    {"aft.air", "an hour after the last bath"},
    {"aft.done", "done"},
    {"mon.eyewash", "3 minutes"},
    {"mon.air", "tissue drifts away at both places"},
    {"mon.labels", "all labelled"},
    {"mon.numbers", "looked up today"},
    {"mon.done", "done"},
}};

}  // namespace

void write_check(DemoBook& book, const DemoCheck& what) {
    const Checklist& list = *book.lists.find(what.list);
    const FinishKind& kind = *find_kind(book.kinds, what.kind);
    CheckRun run;
    run.id = book.id<CheckRun>(what.at);
    run.list_key = list.key;
    run.list_version = list.version;
    run.finish_kind = what.kind;
    run.bath_id = what.bath_id;
    run.who = book.people.at(std::string(what.who)).id;
    run.at = run.made_at = what.at;
    run.note = what.note;
    std::vector<CheckAnswer> answers;
    Stamp at = what.at;
    for (const ChecklistItem& item : items_for(list, kind)) {
        at = plus_seconds(at, what.every_s);
        CheckAnswer answer;
        answer.id = book.id<CheckAnswer>(at);
        answer.run_id = run.id;
        answer.item_key = item.key;
        answer.item_text = item.text;
        answer.level = std::string(word_of(item.level));
        answer.who = run.who;
        answer.at = answer.made_at = at;
        if (item.needs == "gas_meter") {
            answer.item_text = item.without;
            answer.level = std::string(word_of(CheckLevel::advise));
            answer.state = AnswerState::no_meter;
        } else if (item.level == CheckLevel::advise) {
            answer.state = AnswerState::left;
        } else {
            for (const auto& [key, said] : kSaid) {
                if (key == item.key) {
                    answer.response = said;
                }
            }
            if (!item.number.empty() && item.number_needs.empty()) {
                answer.number = what.number;
                answer.unit = item.number;
            }
        }
        answers.push_back(std::move(answer));
    }
    run.done_at = at;
    store::insert(book.log, run);
    for (const CheckAnswer& answer : answers) {
        store::insert(book.log, answer);
    }
}

void plan_checks(DemoBook& book) {
    // One a month, on the first working day; one before each class, for its own bath of strips.
    static constexpr std::array<std::pair<int, int>, 6> kMonths{{{10, 1}, {11, 3}, {12, 1}, {1, 5}, {2, 2}, {3, 2}}};
    for (const auto& [month, day] : kMonths) {
        const Stamp at = demo_moment(month, day, 8, 40);
        book.plan(at, "the month's check", "MK", [&book, at] {
            write_check(book, {.list = "monthly", .kind = "liver_of_sulfur_lump", .at = at, .bath_id = {}, .every_s = 60.0, .number = 3.0, .note = {}});
        });
    }
    struct BeforeClass {
        int month, day, hour, minute;
        std::string_view who, note;
    };
    // Twenty minutes before each class that was held, and one before an evening that nobody came to.
    static constexpr std::string_view kBefore = "before the class";
    static constexpr std::array<BeforeClass, 9> kClasses{{{10, 11, 10, 10, "MK", kBefore},
                                                          {10, 30, 18, 40, "MK", kBefore},
                                                          {11, 15, 10, 10, "MK", kBefore},
                                                          {11, 28, 18, 10, "MK", kBefore},
                                                          {12, 6, 10, 40, "TB", kBefore},
                                                          {12, 13, 10, 10, "MK", kBefore},
                                                          {1, 24, 10, 10, "MK", kBefore},
                                                          {2, 21, 10, 10, "MK", kBefore},
                                                          {3, 13, 18, 10, "MK", "before an evening class that was called off"}}};
    for (const BeforeClass& one : kClasses) {
        const Stamp at = demo_moment(one.month, one.day, one.hour, one.minute);
        book.plan(at, "check before the class", one.who, [&book, &one, at] {
            write_check(book, {.list = "before_session", .kind = "liver_of_sulfur_lump", .at = at, .bath_id = {}, .every_s = 20.0, .number = {}, .who = one.who, .note = std::string(one.note)});
        });
    }
}

}  // namespace tonebath::app
