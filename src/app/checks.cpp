#include "app/checks.hpp"

#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

CheckState check_state(Studio& studio, const Id<Bath>& bath) {
    const std::optional<Bath> found = store::find(studio.log(), bath);
    return found ? check_state(studio, *found) : CheckState{};
}

CheckState check_state(Studio& studio, const Bath& bath) {
    CheckState state;
    const Checklist& list = studio.before_bath();
    state.ends_in = list.ends_in;
    for (ChecklistItem& item : items_for(list, studio.finish_kind(bath.finish_kind))) {
        state.items.push_back(
            ItemState{.item = std::move(item), .answered = false, .response = {}, .who = {}, .at = std::nullopt});
    }
    const Stamp now = studio.now();
    const std::vector<CheckAnswer> answers =
        store::list<CheckAnswer>(studio.log(),
                                 "WHERE run_id IN (SELECT id FROM check_run WHERE bath_id = ?1 AND list_key = ?2 AND "
                                 "withdrawn_by = '') ORDER BY at_utc_ms, id",
                                 {bath.id.text, list.key});
    std::optional<CheckAnswer> last;
    std::optional<Stamp> first_to_lapse;
    for (ItemState& item : state.items) {
        for (const CheckAnswer& answer : answers) {
            const double age_s = seconds_between(answer.at, now);
            if (answer.item_key == item.item.key && answer.who && age_s < kCheckHolds_s && age_s > -60.0) {
                item.answered = true;
                item.response = answer.response;
                item.at = answer.at;
                item.who = name_of(studio, *answer.who);
                last = !last || last->at < answer.at ? answer : *last;
            }
        }
        if (item.item.level == CheckLevel::stop) {
            ++state.stops;
            state.open_stops += item.answered ? 0 : 1;
            if (item.at && (!first_to_lapse || *item.at < *first_to_lapse)) {
                first_to_lapse = item.at;
            }
        }
    }
    state.done = state.open_stops == 0 && !bath.ended_at;
    if (bath.ended_at) {
        state.words = fmt::format("Bath {} was ended.", bath.number);
    } else if (state.stops == 0) {
        state.words = "No stop applies to this finish.";
    } else if (state.done) {
        state.holds_until = plus_seconds(*first_to_lapse, kCheckHolds_s);
        state.words = fmt::format("Check done by {} at {}, asked again at {}.", name_of(studio, *last->who),
                                  time_text(last->at), time_text(*state.holds_until));
    } else {
        state.words = fmt::format("{} of {} stops open.", state.open_stops, state.stops);
    }
    return state;
}

}  // namespace tonebath::app
