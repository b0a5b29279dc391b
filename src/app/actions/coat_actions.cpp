#include "app/actions/gate.hpp"
#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/bench_list.hpp"
#include "app/coating.hpp"
#include "app/coats_plan.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "model/rules/temp_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

constexpr double kDoublePress_s = 0.7;  // ours: two presses nearer than this are one, no hand brushes a stone so fast
constexpr double kLongestOnLabel_h = 30.0 * 24.0;  // ours: no label waits for longer than a month

Result<Outcome> add_bottle(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Bottle bottle;
    bottle.number = in.text("number", Reader::kNumber);
    in.check(rules::number_free(in.typed("number"), "bottle", number_taken(studio, "bottle", "number", bottle.number), ""));
    bottle.kind = in.text("kind", Reader::kWords);
    bottle.opened_at = in.moment("opened");
    bottle.recoat = in.duration("recoat");
    bottle.cure = in.duration("cure");
    for (const auto& [key, time] : {std::pair("recoat", bottle.recoat), std::pair("cure", bottle.cure)}) {
        if (time) {
            in.check(rules::between(in.typed(key), time->seconds() / 3600.0, 0.0, kLongestOnLabel_h, "h"));
        }
    }
    bottle.solids_percent = in.number("solids");
    if (bottle.solids_percent) {
        in.check(rules::between(in.typed("solids"), *bottle.solids_percent, 0.0, 100.0, "%"));
    }
    bottle.note = in.note();
    bottle.from_memory = in.from_memory<Bottle>();
    if (in.refused()) {
        return in.refusal();
    }
    bottle.made_at = studio.now();
    bottle.id = studio.ids().next<Bottle>(bottle.made_at);
    return studio.write("bottle " + bottle.number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), bottle);
        return Outcome{.said = fmt::format("Bottle {} written down.", bottle.number), .cautions = {}, .made = {{"bottle", bottle.id.text}}};
    });
}

// Asks where damp air may cloud the coat, by her own evenings where they tell. Returns what is said of the air.
std::vector<std::string> check_air(Reader& in, const std::optional<Celsius>& room, const std::optional<double>& humidity, std::string_view kind) {
    const UnitChoice& units = in.studio().units();
    if (room) {
        in.check(rules::room_temp(in.typed("room-temp"), *room, units));
    }
    if (humidity) {
        const rules::Typed typed = in.typed("humidity");
        in.check(humidity_refusal(typed.field, typed.text, *humidity));
    }
    if (in.refused()) {
        return {};
    }
    const RoomSaid said = room_said_now(in.studio(), room, humidity, kind);
    if (said.damp && !said.damp_went_well) {
        in.check(rules::ask("coating.damp", in.typed("humidity"),
                            !said.own_damp.empty() ? "this air may cloud the coat. " + said.own_damp
                                                   : fmt::format("this air may cloud the coat: the dew point is {} below the room (rules from sprayed lacquer: at least {}, and not above 65 % RH; for a brush a guess).",
                                                                 apart_text(science::room_air(room->celsius(), *humidity).margin_c, units), apart_text(science::kLeastMargin_c, units)),
                            "Wait for drier air, warm the room, or keep it."));
    }
    std::vector<std::string> words = dew_words(room, humidity, units);
    words.insert(words.end(), said.words.begin(), said.words.end());
    return words;
}

// What the bottle's words name; else a solvent, the worst that it may be.
std::string coat_kind(Studio& studio, const std::optional<Bottle>& bottle) {
    const FinishKind* kind = bottle ? find_kind(studio.finish_kinds(), bottle->kind) : nullptr;
    return kind != nullptr && (in_family(*kind, "solvent") || in_family(*kind, "inert")) ? kind->key : "lacquer_solvent";
}

Result<Outcome> begin_coating(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Coating coating;
    const std::vector<Stone> stones = in.records<Stone>("stone");
    const std::optional<int> many = in.whole("stones");
    if (!many && stones.empty() && !in.refused()) {
        in.check(rules::refuse("coating.no_stones", in.typed("stones"), "how many stones lie in the rows is not said.", "Type how many, or name them."));
    }
    coating.stones = many.value_or(static_cast<int>(stones.size()));
    if (!stones.empty() && many && static_cast<std::size_t>(*many) != stones.size()) {
        in.check(rules::refuse("coating.stones_differ", in.typed("stones"), fmt::format("{} stones are named.", stones.size()), "Leave the number out, or name as many."));
    }
    in.check(rules::between(in.typed("stones"), coating.stones, 1, 1000, "stones"));
    const std::optional<Bottle> bottle = in.record<Bottle>("bottle");
    coating.row = in.whole("row").value_or(9);
    in.check(rules::between(in.typed("row"), coating.row, 1, 100, "stones"));
    coating.coats = in.whole("coats").value_or(3);
    in.check(rules::between(in.typed("coats"), coating.coats, 1, 20, "coats"));
    coating.each = in.duration("each").value_or(coating.each);
    const auto wait = in.duration("wait");
    const auto cure = in.duration("cure");
    coating.wait = wait ? *wait : bottle && bottle->recoat ? *bottle->recoat : coating.wait;
    coating.cure = cure ? *cure : bottle && bottle->cure ? *bottle->cure : coating.cure;
    if (coating.cure < coating.wait) {
        in.check(rules::ask("coating.cure_short", in.typed("cure"), "the cure is shorter than the wait between coats.", "Look on the bottle again, or keep it."));
    }
    coating.by_row = in.yes_no("by-row").value_or(false);
    coating.room = in.temperature("room-temp");
    coating.humidity_percent = in.number("humidity");
    const std::vector<std::string> air = check_air(in, coating.room, coating.humidity_percent, bottle ? bottle->kind : std::string());
    coating.who = in.who();
    if (!in.refused()) {
        if (open_coating(studio)) {
            in.check(rules::refuse("coating.open", in.typed("stones"), "a coating is under way.", "End it first; its count stays."));
        }
    }
    coating.note = in.note();
    const CheckAbout about = about_kind(studio, coat_kind(studio, bottle), coating.who);
    stand_before(in, Gate::coat, Act::coat, false, about, coating.note);
    coating.check_said = said_at(studio, Gate::coat, about);
    coating.from_memory = in.from_memory<Coating>();
    if (in.refused()) {
        return in.refusal();
    }
    if (std::optional<Refusal> stop = bench_refusal(studio, "Coating", coating_begins(studio.finish_kind(about.kind)))) {
        return *std::move(stop);
    }
    coating.number = next_number(studio, "coating");
    coating.bottle_id = bottle ? std::optional(bottle->id) : std::nullopt;
    std::vector<std::string> names;
    for (const Stone& stone : stones) {
        names.push_back(stone.number);
    }
    coating.laid_out = joined(names, "\n");
    coating.started_at = coating.made_at = studio.now();
    coating.id = studio.ids().next<Coating>(coating.made_at);
    return with_bench_stops(studio, studio.write("begin coating " + coating.number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), coating);
        const science::CoatPlan plan = coating_state(studio, coating.id)->plan;
        return Outcome{.said = fmt::format("Coating {}: {}, {}; loop {}, the last stroke {}.", coating.number,
                                           counted(static_cast<std::size_t>(coating.stones), "stone", "stones"),
                                           counted(static_cast<std::size_t>(coating.coats), "coat", "coats"),
                                           text_of(Seconds::from_seconds(plan.loop_s)), time_text(plus_seconds(coating.started_at, plan.coats_s))),
                       .cautions = air,
                       .made = {{"coating", coating.id.text}}};
    }));
}

// The coating that is under way; refused when there is none.
std::optional<CoatingState> under_way(Reader& in, std::string_view key) {
    std::optional<CoatingState> state = open_coating(in.studio());
    if (!state && !in.refused()) {
        in.check(rules::refuse("coating.none", in.typed(key), "no coating is under way.", "Begin one first."));
    }
    return state;
}

std::optional<Coat> last_passed_over(Studio& studio, const CoatingState& state, int place) {
    std::vector<Coat> passed = store::list<Coat>(studio.log(), "WHERE coating_id = ?1 AND place = ?2 AND skipped = 1 ORDER BY layer DESC LIMIT 1",
                                                 {state.coating.id.text, static_cast<std::int64_t>(place)});
    return passed.empty() ? std::nullopt : std::optional(std::move(passed.front()));
}

Result<Outcome> press(Studio& studio, const Form& form, bool skipped) {
    Reader in(studio, form);
    const std::optional<int> asked = in.whole("place");
    const std::optional<CoatingState> state = under_way(in, "place");
    if (state && asked && (*asked < 1 || *asked > state->coating.stones)) {
        in.check(rules::refuse("coat.no_place", in.typed("place"), fmt::format("there are places 1 to {}.", state->coating.stones), "Type one of them."));
    }
    if (state && !asked && !state->next_place) {
        in.check(rules::refuse("coat.all_done", in.typed("place"), "every stone has its coats.", "End the coating, or name a place for one more coat."));
    }
    const Stamp at = studio.now();
    if (state && state->last && seconds_between(*state->last, at) >= 0.0 && seconds_between(*state->last, at) < kDoublePress_s) {
        in.check(rules::refuse("coat.twice", in.typed("place"), "that press came with the one before it and was not counted.", "Press again for the next stone."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    const int place = asked ? *asked : *state->next_place;
    // A place that was passed over and is named now gets the coat it lacks.
    const std::optional<Coat> lacking = asked && !skipped ? last_passed_over(studio, *state, place) : std::nullopt;
    const int layer = lacking ? lacking->layer : state->places[static_cast<std::size_t>(place - 1)].done + 1;
    std::vector<int> places{place};
    if (state->coating.by_row && !asked) {
        const int row = state->row_of(place);
        for (int other = place + 1; other <= state->coating.stones && state->row_of(other) == row; ++other) {
            if (state->places[static_cast<std::size_t>(other - 1)].done + 1 == layer) {
                places.push_back(other);
            }
        }
    }
    const std::string name = state->coating.by_row && !asked ? fmt::format("Row {}", state->row_of(place)) : fmt::format("Stone {}", place);
    return studio.write(fmt::format("coat {} on {}", layer, folded(name)), [&]() -> Result<Outcome> {
        if (lacking) {
            store::remove(studio.log(), lacking->id);
        }
        Coat coat;
        coat.coating_id = state->coating.id;
        coat.bottle_id = state->coating.bottle_id;
        coat.layer = layer;
        coat.at = coat.made_at = at;
        coat.skipped = skipped;
        for (const int one : places) {
            coat.id = studio.ids().next<Coat>(at);
            coat.place = one;
            coat.stone_id.reset();
            const std::string& number = state->places[static_cast<std::size_t>(one - 1)].stone;
            if (!number.empty()) {
                if (const auto stone = resolve<Stone>(studio, "", number)) {
                    coat.stone_id = stone->id;
                }
            }
            store::insert(studio.log(), coat);
        }
        Outcome outcome{.said = fmt::format("{}: {}.", name, skipped ? "passed over" : fmt::format("coat {} on", layer)), .cautions = {}, .made = {{"coat", coat.id.text}}};
        if (!skipped && state->next_from && !asked && at < *state->next_from) {
            outcome.cautions.push_back(fmt::format("Its wait was over only at {}.", time_text_seconds(*state->next_from)));
        }
        return outcome;
    });
}

Result<Outcome> coat_on(Studio& studio, const Form& form) {
    return press(studio, form, false);
}
Result<Outcome> coat_skip(Studio& studio, const Form& form) {
    return press(studio, form, true);
}

Result<Outcome> coat_back(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<CoatingState> state = under_way(in, "coating");
    std::vector<Coat> last;
    if (state) {
        last = store::list<Coat>(studio.log(), "WHERE coating_id = ?1 AND made_utc_ms = (SELECT max(made_utc_ms) FROM coat WHERE coating_id = ?1)", {state->coating.id.text});
        if (last.empty()) {
            in.check(rules::refuse("coat.none", in.typed("coating"), "no press was made yet.", "Begin with the first stone."));
        }
    }
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write("take back a coat", [&]() -> Result<Outcome> {
        for (const Coat& coat : last) {
            store::remove(studio.log(), coat.id);
        }
        return Outcome{.said = fmt::format("Taken back: coat {} on stone {}{}.", last.front().layer, last.front().place.value_or(0), last.size() > 1 ? " and its row" : ""), .cautions = {}, .made = {}};
    });
}

// Below what was noted before, with its time.
void add_note(Coating& coating, const std::string& note, const Stamp& at) {
    if (!note.empty()) {
        coating.note += fmt::format("{}{}: {}", coating.note.empty() ? "" : "\n", time_text(at), note);
    }
}

Result<Outcome> end_coating(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<CoatingState> state = under_way(in, "note");
    if (state && state->next_place) {
        in.check(rules::ask("coating.unfinished", in.typed("note"), fmt::format("stone {} still lacks coat {}.", *state->next_place, state->next_layer), "Go on with it, or keep it as it is."));
    }
    const std::string note = in.note();
    if (in.refused()) {
        return in.refusal();
    }
    Coating coating = state->coating;
    coating.ended_at = studio.now();
    add_note(coating, note, studio.now());
    return studio.write("end coating " + coating.number, [&]() -> Result<Outcome> {
        store::update(studio.log(), coating);
        return Outcome{.said = fmt::format("Coating {} ended; into a bath from {}.", coating.number, date_time_text(state->bath_from(studio.now()))), .cautions = {}, .made = {{"coating", coating.id.text}}};
    });
}

Result<Outcome> note_coating(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<CoatingState> state = under_way(in, "note");
    const std::string note = in.note();
    if (in.refused()) {
        return in.refusal();
    }
    Coating coating = state->coating;
    add_note(coating, note, studio.now());
    return studio.write("note on coating " + coating.number, [&]() -> Result<Outcome> {
        store::update(studio.log(), coating);
        return Outcome{.said = "Noted.", .cautions = {}, .made = {{"coating", coating.id.text}}};
    });
}

Result<Outcome> add_coats(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::vector<Stone> stones = in.records<Stone>("stone");
    Coat coat;
    coat.bottle_id = in.id_of<Bottle>("bottle");
    const int coats = in.whole("coats").value_or(1);
    in.check(rules::between(in.typed("coats"), coats, 1, 20, "coats"));
    coat.at = in.moment_or_now("at");
    coat.note = in.note();
    coat.from_memory = in.from_memory<Coat>();
    if (in.refused()) {
        return in.refusal();
    }
    coat.made_at = studio.now();
    return studio.write("coats", [&]() -> Result<Outcome> {
        for (const Stone& stone : stones) {
            coat.stone_id = stone.id;
            const auto before = store::list<Coat>(studio.log(), "WHERE stone_id = ?1 AND skipped = 0", {stone.id.text}).size();
            for (int i = 0; i < coats; ++i) {
                coat.id = studio.ids().next<Coat>(coat.made_at);
                coat.layer = static_cast<int>(before) + i + 1;
                store::insert(studio.log(), coat);
            }
        }
        return Outcome{.said = fmt::format("{} on {}.", counted(static_cast<std::size_t>(coats), "coat", "coats"), counted(stones.size(), "stone", "stones")), .cautions = {}, .made = {{"coat", coat.id.text}}};
    });
}

}  // namespace

void add_coat_actions(Actions& table) {
    const FieldSpec stones = repeated(reference("stone", "Stones", "stone", "one a line; \"F-001..F-036\""));
    const FieldSpec place = field("place", "Place", FieldKind::number, "empty = the next one");
    table.push_back({.id = "bottle.add", .label = "Write down a bottle", .help = "Clear lacquer by its label: wait between coats, cure, solids.", .page = "Coats", .key = "O",
                     .fields = {required(field("number", "Number on the bottle", FieldKind::text, "\"LQ-1\"")), field("kind", "Kind", FieldKind::text, "\"brushed lacquer\", \"two-part epoxy\""),
                                field("opened", "Opened", FieldKind::moment), field("recoat", "Wait between coats", FieldKind::duration, "start to start; \"10 min\""),
                                field("cure", "Cure before a bath", FieldKind::duration, "\"12 h\""), field("solids", "Solids, % of volume", FieldKind::number), note_field()},
                     .carry_out = add_bottle});
    table.push_back({.id = "coating.begin", .label = "Begin coating", .help = "So many stones in rows. The list for lacquer is answered before.", .page = "Coats", .key = "B",
                     .fields = {field("stones", "How many stones", FieldKind::number), stones, reference("bottle", "Bottle", "bottle"), field("coats", "Coats", FieldKind::number, "empty = 3"),
                                field("each", "Time for one stone", FieldKind::duration, "empty = 25 s"), field("wait", "Wait between coats", FieldKind::duration, "start to start; empty = the bottle's, else 10 min"),
                                field("cure", "Cure", FieldKind::duration, "empty = the bottle's, else 12 h"), field("row", "Stones in a row", FieldKind::number, "empty = 9"),
                                field("by-row", "One press for a row", FieldKind::yes_no), field("room-temp", "Room", FieldKind::temperature), field("humidity", "Humidity, %", FieldKind::number, "relative, indoors"),
                                who_field(), with_field(), note_field()},
                     .carry_out = begin_coating});
    table.push_back({.id = "coat.on", .label = "Coat on, next stone", .help = "One press a stone (or a row); written before anything else happens.", .page = "Coats", .key = "Space", .fields = {place}, .carry_out = coat_on});
    table.push_back({.id = "coat.skip", .label = "Pass over a stone", .help = "No coat; the row timer goes on.", .page = "Coats", .key = "X", .fields = {place}, .carry_out = coat_skip});
    table.push_back({.id = "coat.back", .label = "Take the last coat back", .help = "The last stone or row pressed at this coating; the change log keeps what was taken back.", .page = "Coats", .key = "U",
                     .fields = {field("coating", "Coating", FieldKind::text, "empty = the one under way")}, .carry_out = coat_back});
    table.push_back({.id = "coating.note", .label = "Note at this coating", .help = "A word with its time: a spill, a hair, a cloudy stone.", .page = "Coats", .key = "N",
                     .fields = {required(note_field())}, .carry_out = note_coating});
    table.push_back({.id = "coating.end", .label = "End coating", .help = "Says from when the stones may go into a bath.", .page = "Coats", .key = "E", .fields = {note_field()}, .carry_out = end_coating});
    table.push_back({.id = "coat.add", .label = "Write down coats from before", .help = "Coats that were not timed here.", .page = "Coats", .key = "P",
                     .fields = {required(stones), reference("bottle", "Bottle", "bottle"), field("coats", "Coats", FieldKind::number, "empty = 1"), at_field(), note_field()}, .carry_out = add_coats});
}

}  // namespace tonebath::app
