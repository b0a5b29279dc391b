#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <set>

namespace tonebath::app {

namespace {

Result<Outcome> add_strips(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::vector<std::string> numbers =
        in.given("number") ? in.lines("number") : std::vector<std::string>{next_number(studio, "strip")};
    std::set<std::string> seen;
    for (const std::string& number : numbers) {
        const bool twice = !seen.insert(folded(number)).second;
        in.check(rules::number_free({in.typed("number").field, number}, "strip",
                                    twice || number_taken(studio, "strip", "number", number),
                                    next_number(studio, "strip")));
    }
    Strip strip;
    const std::optional<Metal> metal = in.record<Metal>("metal");
    strip.surface = in.text("surface", Reader::kWords);
    strip.note = in.note();
    strip.from_memory = in.from_memory<Strip>();
    strip.made_at = studio.now();
    if (in.refused()) {
        return in.refusal();
    }
    strip.metal_id = metal->id;
    const std::string all =
        numbers.size() == 1 ? numbers.front() : fmt::format("{} to {}", numbers.front(), numbers.back());
    return studio.write("strip " + all, [&]() -> Result<Outcome> {
        Outcome outcome{
            .said = fmt::format("Strip {} of {} written down.", all, metal->name), .cautions = {}, .made = {}};
        for (std::string& number : numbers) {
            strip.id = studio.ids().next<Strip>(strip.made_at);
            strip.number = std::move(number);
            store::insert(studio.log(), strip);
            outcome.made["strip"] = strip.id.text;
        }
        return outcome;
    });
}

}  // namespace

void add_strip_actions(Actions& table) {
    table.push_back(
        {.id = "strip.add",
         .label = "Write down a test strip",
         .help = "An offcut of the same metal and finish, dipped to learn the time.",
         .page = "Tones",
         .key = "S",
         .fields = {repeated(field("number", "Number", FieldKind::text, "empty = the next one; \"12..14\" for three")),
                    required(reference("metal", "Metal", "metal", "\"sterling\"")),
                    field("surface", "Surface", FieldKind::text, "\"bright\", \"satin\", \"matt\", \"hammered\""),
                    note_field()},
         .carry_out = add_strips});
}

}  // namespace tonebath::app
