// Limits of the air that the studio types in itself.
#include "app/actions/class_form.hpp"
#include "app/air.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

constexpr std::string_view kHead = "AL-";
constexpr double kMostPpm = 1e6;  // all of the air

// What figures are worked out for: anything else would be held against nothing.
std::vector<std::string> substances(const Studio& studio) {
    std::vector<std::string> names;
    if (const auto limits = read_air_limits(studio.options().data / "air_limits.csv")) {
        for (const AirLimit& one : *limits) {
            names.push_back(one.substance);
        }
    }
    if (const auto solvents = read_solvents(studio.options().data / "solvents.csv")) {
        for (const Solvent& one : *solvents) {
            names.push_back(one.name);
        }
    }
    std::sort(names.begin(), names.end());
    names.erase(std::unique(names.begin(), names.end()), names.end());
    return names;
}

Result<Outcome> add_limit(Studio& studio, const Form& form) {
    Reader in(studio, form);
    OwnLimit limit;
    limit.number = next_lettered(studio, OwnLimit::kTable, kHead);
    const std::string substance = in.text("substance", Reader::kWords);
    const std::vector<std::string> known = substances(studio);
    const auto found = std::find_if(known.begin(), known.end(), [&](const std::string& name) { return folded(name) == folded(substance); });
    if (found == known.end()) {
        in.check(rules::refuse("limit.substance", in.typed("substance"), "no figure of the air is worked out for that.",
                               fmt::format("There are: {}.", joined(known, ", "))));
    } else {
        limit.substance = *found;
    }
    limit.body = in.text("body", Reader::kWords);
    limit.kind = in.choice<LimitKind>("kind").value_or(LimitKind::ceiling);
    limit.ppm = in.number("ppm").value_or(0.0);
    in.check(rules::above_zero(in.typed("ppm"), limit.ppm, "\"3\""));
    in.check(rules::between(in.typed("ppm"), limit.ppm, 0.0, kMostPpm, "ppm"));
    limit.year = in.text("year", Reader::kWords);
    limit.source = in.text("source", Reader::kWords);
    limit.note = in.note();
    limit.from_memory = in.from_memory<OwnLimit>();
    if (in.refused()) {
        return in.refusal();
    }
    limit.made_at = studio.now();
    limit.id = studio.ids().next<OwnLimit>(limit.made_at);
    return studio.write("limit of the air " + limit.number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), limit);
        return Outcome{.said = fmt::format("{}: {}, {} ppm, {}. The lowest limit of its kind is the one that figures are held against.", limit.number,
                                           limit.substance, rules::figure(limit.ppm), word_of(limit.kind)),
                       .cautions = {},
                       .made = {{"own_limit", limit.id.text}}};
    });
}

Result<Outcome> end_limit(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<OwnLimit> limit = in.record<OwnLimit>("limit");
    const Stamp at = in.moment_or_now("at");
    if (limit && limit->ended_at) {
        in.check(rules::refuse("limit.ended", in.typed("limit"),
                               fmt::format("it is no longer held against since {}.", date_text(*limit->ended_at)), "Type the new one in."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    limit->ended_at = at;
    return studio.write("end of limit " + limit->number, [&]() -> Result<Outcome> {
        store::update(studio.log(), *limit);
        return Outcome{.said = fmt::format("{} is no longer held against; it stays on file.", limit->number),
                       .cautions = {},
                       .made = {{"own_limit", limit->id.text}}};
    });
}

}  // namespace

void add_limit_actions(Actions& table) {
    table.push_back({.id = "limit.add",
                     .label = "A limit of the air of your own",
                     .help = "One that a private body sells, or your inspector's: read it from their sheet. None of these are built in.",
                     .page = "Safety",
                     .key = "",
                     .fields = {required(field("substance", "Substance", FieldKind::text, "\"hydrogen sulfide\"")),
                                required(field("body", "Whose limit", FieldKind::text, "\"our inspector\"")),
                                required(field("ppm", "Parts per million", FieldKind::number, "above 0")),
                                choice_of<LimitKind>("kind", "Over how long", "ceiling: at any time; empty = ceiling"),
                                field("year", "Year", FieldKind::text, "of the sheet"),
                                field("source", "Where it stands", FieldKind::text, "\"letter of 4 Feb\""), note_field()},
                     .carry_out = add_limit});
    table.push_back({.id = "limit.end",
                     .label = "A limit of your own no longer holds",
                     .help = "It stays on file; figures are held against the others.",
                     .page = "Safety",
                     .key = "",
                     .fields = {required(reference("limit", "Limit", "own_limit", "\"AL-1\"")), at_field("Until")},
                     .carry_out = end_limit});
}

}  // namespace tonebath::app
