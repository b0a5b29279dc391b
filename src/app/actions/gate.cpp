#include "app/actions/gate.hpp"

#include "app/actions/tables.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"

namespace tonebath::app {

void stand_before(Reader& in, Gate gate, Act act, bool past_work, const CheckAbout& about, std::string& note) {
    const std::optional<Id<Person>> named = in.id_of<Person>("with");
    if (in.refused()) {
        return;
    }
    if (named) {
        note += (note.empty() ? "" : "\n") + std::string("second person: ") + name_of(in.studio(), *named);
    }
    if (!past_work) {
        rules::Question question = clearance(in.studio(), in.typed("who"), about.who, act, named);
        if (question && !named) {
            question = clearance(in.studio(), in.typed("who"), about.who, act, second_at(in.studio(), gate, about));
        }
        in.check(std::move(question));
        in.check(held_back(in.studio(), gate, about));
    }
}

FieldSpec with_field() {
    return reference("with", "Second person", "person", "initials of who stands by");
}

}  // namespace tonebath::app
