#include "app/clearance.hpp"

#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

struct ActWords {
    const char* key;
    const char* words;
};

ActWords words_of(Act act) {
    switch (act) {
        case Act::make_up:
            return {"make_up", "make up baths"};
        case Act::dip_alone:
            return {"dip_alone", "dip alone"};
        case Act::coat:
            return {"coat", "coat"};
        case Act::dispose:
            return {"dispose", "dispose"};
        case Act::supervise:
            break;
    }
    return {"supervise", "supervise"};
}

}  // namespace

bool may(const Person& person, Act act) {
    switch (act) {
        case Act::make_up:
            return person.may_make_up;
        case Act::dip_alone:
            return person.may_dip_alone;
        case Act::coat:
            return person.may_coat;
        case Act::dispose:
            return person.may_dispose;
        case Act::supervise:
            break;
    }
    return person.may_supervise;
}

std::vector<std::string> who_may(Studio& studio, Act act) {
    std::vector<std::string> names;
    for (const Person& person : store::list<Person>(studio.log(), "WHERE blanked = 0 ORDER BY made_utc_ms, id")) {
        if (may(person, act)) {
            names.push_back(person.initials);
        }
    }
    return names;
}

rules::Question clearance(Studio& studio, const rules::Typed& typed, const std::optional<Id<Person>>& who, Act act,
                          const std::optional<Id<Person>>& second) {
    const std::optional<Person> person = who ? store::find(studio.log(), *who) : std::nullopt;
    if (!person || may(*person, act)) {
        return std::nullopt;
    }
    const ActWords words = words_of(act);
    const std::vector<std::string> names = who_may(studio, act);
    const std::string remedy = fmt::format(
        "{} may. Or name who stands by: --with, someone else who may or who supervises.", names.empty() ? "Nobody on file" : joined(names, ", "));
    const std::optional<Person> by = second ? store::find(studio.log(), *second) : std::nullopt;
    if (!by) {
        return rules::refuse(fmt::format("person.may_not_{}", words.key), {typed.field, person->initials},
                             fmt::format("{} was not written down as one who may {}.", person->initials, words.words), remedy);
    }
    if (by->id == person->id || by->blanked || (!may(*by, act) && !may(*by, Act::supervise))) {
        return rules::refuse("person.second_may_not", {"With", by->initials},
                             by->id == person->id ? "nobody stands by themselves."
                                                  : fmt::format("{} may neither {} nor supervise.", by->initials, words.words),
                             remedy);
    }
    return std::nullopt;
}

}  // namespace tonebath::app
