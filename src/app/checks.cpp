#include "app/checks.hpp"

#include "app/check_lapse.hpp"
#include "app/resolve.hpp"
#include "app/rooms.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

constexpr double kOffered_s = 30.0 * 24 * 3600;  // ours: an answer older than a month is not offered again

class Reckoning {
public:
    Reckoning(Studio& studio, const Checklist& list, const CheckAbout& about)
        : studio_(studio), list_(list), about_(about), kind_(studio.finish_kind(about.kind)), now_(studio.now()) {
        state_.list = list.key;
        state_.title = list.title;
        state_.version = list.version;
        state_.ends_in = list.ends_in;
        if (about.who) {
            person_ = store::find(studio.log(), *about.who);
        }
    }

    CheckState state() {
        take_items();
        if (about_.who) {
            take_run();
            take_held();
            take_last_time();
        }
        count();
        say();
        return std::move(state_);
    }

private:
    void take_items() {
        for (ChecklistItem& item : items_for(list_, kind_)) {
            ItemState one{.item = std::move(item)};
            if (one.item.stop_when_not_cleared && person_ && !person_->may_dip_alone) {
                one.item.level = CheckLevel::stop;
            }
            if (!one.item.needs.empty() && !is_here(studio_, one.item.needs, kind_)) {
                if (one.item.without.empty()) {
                    continue;
                }
                one.item.level = CheckLevel::advise;
                one.item.text = one.item.without;
                one.item.response.clear();
                one.mark = ItemMark::no_meter;
            }
            one.asks_number = !one.item.number.empty() && one.mark != ItemMark::no_meter &&
                              (one.item.number_needs.empty() || is_here(studio_, one.item.number_needs, kind_));
            state_.items.push_back(std::move(one));
        }
    }

    void take_run() {
        state_.run = newest_run(studio_, list_, about_);
        if (!state_.run) {
            return;
        }
        const std::vector<CheckAnswer> answers = answers_of(studio_, state_.run->id);
        state_.lapsed = lapse_of(studio_, list_, about_, *state_.run, answers);
        if (!state_.lapsed.empty()) {
            state_.run.reset();
            return;
        }
        state_.closed = state_.run->done_at.has_value();
        for (ItemState& one : state_.items) {
            for (const CheckAnswer& answer : answers) {
                if (answer.item_key == one.item.key) {
                    take(one, answer);
                }
            }
        }
    }

    void take(ItemState& one, const CheckAnswer& answer) {
        one.at = answer.at;
        one.who = answer.who ? name_of(studio_, *answer.who) : std::string();
        one.response = answer.response;
        one.reason = answer.reason;
        one.number = answer.number;
        switch (answer.state) {
            case AnswerState::confirmed:
                one.mark = ItemMark::confirmed;
                break;
            case AnswerState::passed_over:
                // A must that became a stop since is open again.
                one.mark = one.item.level == CheckLevel::must ? ItemMark::passed_over : ItemMark::open;
                break;
            case AnswerState::left:
                one.mark = ItemMark::left;
                break;
            case AnswerState::no_meter:
                one.mark = one.item.level == CheckLevel::advise ? ItemMark::no_meter : ItemMark::open;
                break;
        }
        one.answered = one.mark == ItemMark::confirmed || one.mark == ItemMark::passed_over;
    }

    // Confirmed a few minutes before by the same person in the same room for the same kind.
    void take_held() {
        const Stamp since = state_.run ? state_.run->at : now_;
        for (ItemState& one : state_.items) {
            if (!one.item.hold_min || one.answered || one.item.duplicate_of.empty()) {
                continue;
            }
            const std::vector<CheckAnswer> found = store::list<CheckAnswer>(
                studio_.log(),
                "WHERE item_key = ?1 AND state = 'confirmed' AND at_utc_ms >= ?2 AND at_utc_ms <= ?3 AND run_id IN (SELECT id "
                "FROM check_run WHERE who IS ?4 AND room_id IS ?5 AND finish_kind = ?6 AND withdrawn_by = '') ORDER BY "
                "at_utc_ms DESC LIMIT 1",
                {one.item.duplicate_of, plus_seconds(since, -60.0 * *one.item.hold_min).utc_ms, since.utc_ms,
                 store::bound(about_.who), store::bound(about_.room_id), about_.kind});
            if (!found.empty()) {
                take(one, found.front());
                one.mark = ItemMark::held;
                one.answered = true;
            }
        }
    }

    void take_last_time() {
        for (ItemState& one : state_.items) {
            if (one.item.completion) {
                one.last_time = time_text(now_);
                continue;
            }
            if (one.answered || !one.asked()) {
                continue;
            }
            if (one.item.number == "C" && about_.bath_id) {
                store::Query read(studio_.log(), "SELECT temp_c FROM reading WHERE bath_id = ?1 ORDER BY at_utc_ms DESC LIMIT 1", {about_.bath_id->text});
                if (read.next()) {
                    one.last_time = fmt::format("{:.1f} °C, as read last", read.real(0));
                    continue;
                }
            }
            store::Query query(studio_.log(),
                               "SELECT response FROM check_answer WHERE item_key = ?1 AND who IS ?2 AND state = 'confirmed' "
                               "AND at_utc_ms >= ?3 ORDER BY at_utc_ms DESC, id DESC LIMIT 1",
                               {one.item.key, store::bound(about_.who), plus_seconds(now_, -kOffered_s).utc_ms});
            if (query.next()) {
                one.last_time = query.text(0);
            }
        }
    }

    void count() {
        for (const ItemState& one : state_.items) {
            if (one.item.level == CheckLevel::stop) {
                ++state_.stops;
                state_.open_stops += one.answered ? 0 : 1;
            }
            if (one.asked()) {
                ++state_.asked;
                state_.open += one.answered ? 0 : 1;
            }
        }
        state_.all_answered = state_.open == 0;
        state_.done = state_.asked == 0 || (state_.all_answered && (state_.closed || list_.goes_along()));
    }

    void say() {
        const ItemState* last = nullptr;
        std::optional<Stamp> first;
        for (const ItemState& one : state_.items) {
            if (one.answered && one.at && one.mark != ItemMark::held) {
                last = last == nullptr || *last->at < *one.at ? &one : last;
                first = !first || *one.at < *first ? one.at : first;
            }
        }
        if (state_.asked == 0) {
            state_.words = "Nothing is asked for this finish.";
        } else if (state_.done && last != nullptr) {
            state_.holds_until = plus_seconds(*first, kCheckHolds_s);
            if (!list_.goes_along() && !list_.holds(Gate::start_bath) && !list_.gates.empty()) {
                state_.holds_until = std::min(*state_.holds_until, plus_seconds(*state_.run->done_at, kListHolds_s));
            }
            state_.words = fmt::format("Check done by {} at {}, asked again at {}.", last->who, time_text(*last->at),
                                       time_text(*state_.holds_until));
        } else if (state_.all_answered) {
            state_.words = "All answered: the last line closes the list.";
        } else if (state_.open_stops > 0) {
            state_.words = fmt::format("{} of {} stops open.", state_.open_stops, state_.stops);
        } else {
            state_.words = fmt::format("{} of {} lines open.", state_.open, state_.asked);
        }
        if (!state_.lapsed.empty() && !state_.done) {
            state_.words += fmt::format(" Asked again: {}.", state_.lapsed);
        }
    }

    Studio& studio_;
    const Checklist& list_;
    const CheckAbout& about_;
    const FinishKind& kind_;
    Stamp now_;
    std::optional<Person> person_;
    CheckState state_;
};

}  // namespace

bool is_here(Studio& studio, std::string_view need, const FinishKind& kind) {
    if (need == "dry_solid") {
        return kind.unit == AmountUnit::g && (!kind.form || *kind.form == LotForm::lump);
    }
    store::Query query(studio.log(), "SELECT 1 FROM instrument WHERE kind = ?1 AND gone_utc_ms IS NULL LIMIT 1",
                       {std::string(need)});
    return query.next();
}

double reading_s(const ChecklistItem& item) {
    return static_cast<double>(std::count(item.text.begin(), item.text.end(), ' ') + 1) / kWordsPerSecond;
}

bool is_called(const ChecklistItem& item, std::string_view name) {
    const std::string wanted = folded(name);
    const std::size_t dot = item.key.find('.');
    return item.key == wanted || (dot != std::string::npos && item.key.substr(dot + 1) == wanted);
}

CheckAbout about_kind(Studio& studio, std::string_view kind, std::optional<Id<Person>> who) {
    CheckAbout about{.kind = std::string(kind), .who = std::move(who)};
    if (!about.who) {
        if (const std::optional<Person> person = studio.at_bench()) {
            about.who = person->id;
        }
    }
    if (const std::optional<Room> room = room_now(studio); room) {
        about.room_id = room->id;
    }
    return about;
}

CheckAbout about_bath(Studio& studio, const Bath& bath, std::optional<Id<Person>> who) {
    CheckAbout about = about_kind(studio, bath.finish_kind, std::move(who));
    about.bath_id = bath.id;
    return about;
}

CheckState list_state(Studio& studio, const Checklist& list, const CheckAbout& about) {
    return Reckoning(studio, list, about).state();
}

}  // namespace tonebath::app
