#include "app/actions/gate.hpp"
#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/chemicals.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "model/rules/bath_rules.hpp"
#include "model/rules/temp_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {


// What the make-up form says of the lot and how much of it.
struct Stock {
    std::optional<Lot> lot;
    const FinishKind* kind = nullptr;
    std::optional<double> amount;
    std::string_view amount_key = "amount";
    std::string lump;  // "lump of 6 mm: 0.15 to 0.25 g"
};

void read_lump(Reader& in, Stock& stock) {
    const std::optional<Millimetres> size = in.length("lump-size");
    if (!size || in.refused()) {
        return;
    }
    in.check(rules::above_zero(in.typed("lump-size"), size->mm(), "\"6 mm\""));
    in.check(rules::between(in.typed("lump-size"), size->mm(), 0.5, 60.0, "mm"));
    if (stock.lot && (stock.lot->form != LotForm::lump || stock.lot->unit != AmountUnit::g)) {
        in.check(rules::refuse("bath.lump_of_no_lump", in.typed("lump-size"),
                               fmt::format("{} is no dry lump.", stock.lot->number),
                               "Type the amount instead, or choose another lot.", {std::string(rules::kBlank)}));
    }
    if (in.refused()) {
        return;
    }
    const rules::LumpGuess guess = rules::lump_guess(*size);
    stock.lump = fmt::format("lump of {}: {}", text_of(*size), rules::lump_words(guess));
    if (!stock.amount) {
        stock.amount = guess.middle_g;
        stock.amount_key = "lump-size";
    }
}

Stock read_stock(Reader& in, const Stamp& made_up) {
    Stock stock;
    stock.lot = in.record<Lot>("lot");
    if (in.given("kind")) {
        stock.kind = in.kind("kind", {}, stock.lot ? std::optional<LotForm>(stock.lot->form) : std::nullopt);
        if (stock.kind != nullptr && stock.lot && stock.kind->key != stock.lot->finish_kind) {
            in.check(rules::refuse(
                "bath.kind_of_lot", in.typed("kind"),
                fmt::format("lot {} is {}.", stock.lot->number, in.studio().finish_kind(stock.lot->finish_kind).name),
                "Choose another lot, or leave the kind empty.", {std::string(rules::kBlank)}));
        }
    } else if (stock.lot) {
        stock.kind = &in.studio().finish_kind(stock.lot->finish_kind);
    } else {
        stock.kind = find_kind(in.studio().finish_kinds(), "liver of sulfur");
    }
    if (in.refused()) {
        return stock;
    }
    if (stock.lot) {
        in.check(rules::lot_in_use(in.typed("lot"), *stock.lot, made_up));
    }
    stock.amount = in.amount("amount", stock.lot ? stock.lot->unit : stock.kind->unit.value_or(AmountUnit::g));
    if (stock.amount) {
        in.check(rules::amount_fits_kind(in.typed("amount"), *stock.kind));
        in.check(rules::above_zero(in.typed("amount"), *stock.amount, "\"2 g\""));
    }
    read_lump(in, stock);
    if (stock.amount && stock.lot && !in.refused()) {
        in.check(rules::enough_in_lot(in.typed(stock.amount_key), *stock.amount, *stock.lot,
                                      lot_left(in.studio(), *stock.lot)));
    }
    return stock;
}

void read_water_and_heat(Reader& in, Bath& bath, const Stock& stock, const std::optional<Vessel>& vessel) {
    bath.water = in.volume("water");
    if (bath.water) {
        in.check(rules::above_zero(in.typed("water"), bath.water->ml(), "\"400 ml\""));
        if (!in.refused()) {
            in.check(rules::water(in.typed("water"), *bath.water, vessel ? &*vessel : nullptr));
        }
        if (stock.amount && stock.lot && !in.refused()) {
            in.check(rules::strength(in.typed(stock.amount_key), *stock.amount, *bath.water, *stock.lot));
        }
    }
    bath.start_temp = in.temperature("start-temp");
    if (bath.start_temp) {
        in.check(rules::bath_temp(in.typed("start-temp"), *bath.start_temp, in.studio().units()));
    }
    bath.room_temp = in.temperature("room-temp");
    if (bath.room_temp) {
        in.check(rules::room_temp(in.typed("room-temp"), *bath.room_temp, in.studio().units()));
        in.check(rules::room_against_bath(in.typed("room-temp"), bath.room_temp, bath.start_temp));
    }
}

std::vector<std::string> make_up_cautions(const Bath& bath, const Stock& stock) {
    std::vector<std::string> cautions;
    if (!stock.lump.empty()) {
        cautions.push_back(
            fmt::format("A {} (density not published, 1.3 to 2.2 g/cm³ assumed): weigh it where you can.", stock.lump));
    }
    if (stock.lot && stock.amount && bath.water) {
        const std::optional<double> times = rules::times_usual(*stock.amount, *bath.water, *stock.lot);
        if (times && *times < 0.2) {
            cautions.push_back(fmt::format("That is {} of this lot's usual strength: slow colours, watch and rinse.",
                                           rules::figure(*times)));
        }
    }
    if (!bath.start_temp) {
        cautions.push_back("No temperature is written down yet: read it before the first dip.");
    }
    if (in_family(*stock.kind, "sulfide") && !bath.past_work) {
        cautions.push_back(other_silver_words());
    }
    return cautions;
}

Result<Outcome> make_up(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Bath bath;
    bath.made_at = studio.now();
    bath.made_up_at = in.moment_or_now("at");
    bath.number = in.given("number") ? in.text("number", Reader::kNumber) : next_number(studio, "bath");
    in.check(rules::number_free(in.typed("number"), "bath", number_taken(studio, "bath", "number", bath.number),
                                next_number(studio, "bath")));
    bath.past_work = in.yes_no("past").value_or(seconds_between(bath.made_up_at, bath.made_at) > kAfterwards_s);
    const std::optional<Vessel> vessel = in.record<Vessel>("vessel");
    const Stock stock = read_stock(in, bath.made_up_at);
    bath.who = in.who();
    if (in.refused()) {
        return in.refusal();
    }
    bath.finish_kind = stock.kind->key;
    bath.lot_id = stock.lot ? std::optional<Id<Lot>>(stock.lot->id) : std::nullopt;
    bath.amount = stock.amount;
    read_water_and_heat(in, bath, stock, vessel);
    if (vessel) {
        bath.vessel_id = vessel->id;
        if (!bath.past_work) {
            in.check(rules::vessel_free(in.typed("vessel"), bath_in_vessel(studio, vessel->id)));
        }
    }
    bath.water_source = in.text("water-source", Reader::kWords);
    bath.additives = in.text("additives", Reader::kWords);
    in.check(rules::additives(in.typed("additives"), *stock.kind, bath.past_work));
    bath.agitation = in.choice<Agitation>("agitation");
    bath.note = in.note();
    stand_before(in, Gate::mix, Act::make_up, bath.past_work, about_kind(studio, stock.kind->key, bath.who), bath.note);
    if (!stock.lump.empty()) {
        bath.note += (bath.note.empty() ? "" : "\n") + stock.lump;
    }
    bath.from_memory = in.from_memory<Bath>();
    if (stock.amount_key == "lump-size" && bath.from_memory.find("amount") == std::string::npos) {
        bath.from_memory += bath.from_memory.empty() ? "amount" : " amount";
    }
    if (in.refused()) {
        return in.refusal();
    }
    // Nothing is mixed beside what it must never meet; a bath that stands already is past work.
    if (!bath.past_work) {
        if (std::optional<Refusal> stop = bench_refusal(studio, "Bath", mixing_begins(*stock.kind, bath.lot_id ? bath.lot_id->text : std::string()))) {
            return *std::move(stop);
        }
    }
    bath.id = studio.ids().next<Bath>(bath.made_at);
    return with_bench_stops(studio, studio.write("make up bath " + bath.number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), bath);
        std::string said = fmt::format("Bath {} made up", bath.number);
        if (bath.amount && stock.lot) {
            said += fmt::format(": {} of {}", rules::amount_words(*bath.amount, stock.lot->unit), stock.lot->number);
            said += bath.water ? fmt::format(" in {}", text_of(*bath.water, studio.units())) : std::string();
        }
        return Outcome{.said = said + ".", .cautions = make_up_cautions(bath, stock), .made = {{"bath", bath.id.text}}};
    }));
}

Result<Outcome> top_up(Studio& studio, const Form& form) {
    Reader in(studio, form);
    TopUp added;
    const std::optional<Bath> bath = in.record<Bath>("bath");
    added.at = in.moment_or_now("at");
    added.water_added = in.volume("water");
    if (added.water_added && added.water_added->ml() <= 0.0) {
        in.check(rules::above_zero(in.typed("water"), added.water_added->ml(), "\"50 ml\""));
    }
    added.volume_now = in.volume("volume-now");
    if (added.volume_now) {
        in.check(rules::above_zero(in.typed("volume-now"), added.volume_now->ml(), "\"380 ml\""));
    }
    if (bath && !in.refused()) {
        added.bath_id = bath->id;
        const rules::ReadingFacts facts = reading_facts(studio, *bath, nullptr, added.at);
        in.check(rules::reading_moment(in.typed("at"), added.at, facts));
        const std::optional<Lot> lot = bath->lot_id ? store::find(studio.log(), *bath->lot_id) : std::nullopt;
        const FinishKind& kind = studio.finish_kind(bath->finish_kind);
        added.amount = in.amount("amount", lot ? lot->unit : kind.unit.value_or(AmountUnit::g));
        if (added.amount) {
            in.check(rules::amount_fits_kind(in.typed("amount"), kind));
            in.check(rules::above_zero(in.typed("amount"), *added.amount, "\"1 g\""));
        }
        if (added.amount && lot && !in.refused()) {
            in.check(rules::enough_in_lot(in.typed("amount"), *added.amount, *lot, lot_left(studio, *lot)));
            if (const std::optional<Millilitres> volume = volume_of(studio, *bath); volume && volume->ml() > 0.0) {
                in.check(rules::strength(in.typed("amount"), *added.amount, *volume, *lot));
            }
        }
    }
    if (!in.refused() && !added.amount && !added.water_added && !added.volume_now) {
        in.check(Refusal{.code = "top_up.nothing",
                         .field = std::string(in.typed("amount").field),
                         .value = {},
                         .message = "nothing is filled in.",
                         .remedy = "Type what was added, or what the vessel holds now.",
                         .answers = {}});
    }
    added.note = in.note();
    // Stock that is opened now is asked about as for a make-up; water alone opens nothing.
    const std::optional<Id<Person>> who = in.who();
    const bool past = in.yes_no("past").value_or(bath && (bath->past_work || seconds_between(added.at, studio.now()) > kAfterwards_s));
    if (bath && added.amount && !in.refused()) {
        stand_before(in, Gate::mix, Act::make_up, past, about_kind(studio, bath->finish_kind, who), added.note);
        if (past && !bath->past_work) {
            added.note += (added.note.empty() ? "" : "\n") + std::string("past work: no check");
        }
    }
    added.from_memory = in.from_memory<TopUp>();
    if (in.refused()) {
        return in.refusal();
    }
    added.made_at = studio.now();
    added.id = studio.ids().next<TopUp>(added.made_at);
    return studio.write("top up bath " + bath->number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), added);
        return Outcome{.said = fmt::format("Bath {} topped up.", bath->number),
                       .cautions = {"Read the temperature again: what was added changed it."},
                       .made = {{"top_up", added.id.text}}};
    });
}

Result<Outcome> end_bath(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<Bath> bath = in.record<Bath>("bath");
    const Stamp at = in.moment_or_now("at");
    const std::optional<Millilitres> kept = in.volume("kept-back");
    if (bath && !in.refused()) {
        in.check(rules::bath_end(in.typed(in.given("at") ? "at" : "bath"), *bath, at));
        if (kept) {
            in.check(rules::kept_back(in.typed("kept-back"), *kept, volume_of(studio, *bath)));
        }
        for (const Dip& dip : dips_in(studio, bath->id)) {
            if (is_running(dip)) {
                in.check(rules::refuse("bath.still_in", in.typed("bath"),
                                       fmt::format("{} is in it.", subject_of(studio, dip).name),
                                       "Lift it out first."));
                break;
            }
        }
    }
    if (in.refused()) {
        return in.refusal();
    }
    bath->ended_at = at;
    bath->kept_back = kept ? kept : volume_of(studio, *bath);
    if (const std::string note = in.note(); !note.empty()) {
        bath->note += (bath->note.empty() ? "" : "\n") + note;
    }
    return studio.write("end bath " + bath->number, [&]() -> Result<Outcome> {
        store::update(studio.log(), *bath);
        Outcome outcome{
            .said = fmt::format("Bath {} ended.", bath->number), .cautions = {}, .made = {{"bath", bath->id.text}}};
        if (bath->kept_back && bath->kept_back->ml() > 0.0) {
            outcome.cautions.push_back(fmt::format("{} kept back for disposal: your local rule decides its route.",
                                                   text_of(*bath->kept_back, studio.units())));
        }
        return outcome;
    });
}

}  // namespace

void add_bath_actions(Actions& table) {
    table.push_back(
        {.id = "bath.make-up",
         .label = "Make up a bath",
         .help = "Which lot, how much of it, in how much water, how warm. What is not known stays empty.",
         .page = "Baths",
         .key = "M",
         .fields =
             {field("number", "Number on the vessel's label", FieldKind::text, "empty = the next one"),
              reference("lot", "Lot", "lot"), field("kind", "Kind of finish", FieldKind::text, "empty = as the lot"),
              field("amount", "Amount", FieldKind::amount, "\"2 g\", \"15 ml\", \"4 drops\""),
              field("lump-size", "Lump size", FieldKind::length, "when it was not weighed: \"6 mm\" across"),
              field("water", "Water", FieldKind::volume, "\"400 ml\", \"1 cup\""),
              field("start-temp", "Temperature at make-up", FieldKind::temperature, "\"60\", \"140 F\""),
              field("room-temp", "Room temperature", FieldKind::temperature), reference("vessel", "Vessel", "vessel"),
              field("water-source", "Kind of water", FieldKind::text, "\"hard tap\", \"rain\", \"distilled\""),
              field("additives", "Additives", FieldKind::text, "\"ammonia 5 ml\", \"salt\""),
              choice_of<Agitation>("agitation", "Moved"), at_field("Made up"), who_field(), with_field(),
              field("past", "Past work", FieldKind::yes_no, "yes = written down afterwards, not timed here, no check"),
              note_field()},
         .carry_out = make_up});
    table.push_back(
        {.id = "bath.top-up",
         .label = "Top up a bath",
         .help = "Fresh stock, water or both added to a bath in use; or what the vessel holds now. Before stock is opened the list before mixing is answered.",
         .page = "Baths",
         .key = "T",
         .fields = {required(reference("bath", "Bath", "bath")), field("amount", "Fresh stock", FieldKind::amount),
                    field("water", "Water added", FieldKind::volume),
                    field("volume-now", "Holds now", FieldKind::volume, "read off the vessel"), at_field(), who_field(), with_field(),
                    field("past", "Past work", FieldKind::yes_no, "yes = written down afterwards, no check"), note_field()},
         .carry_out = top_up});
    table.push_back({.id = "bath.end",
                     .label = "End a bath",
                     .help = "No longer used; what is kept back waits for disposal.",
                     .page = "Baths",
                     .key = "E",
                     .fields = {required(reference("bath", "Bath", "bath")),
                                field("kept-back", "Kept back", FieldKind::volume, "empty = all of it"),
                                at_field("Ended"), note_field()},
                     .carry_out = end_bath});
}

}  // namespace tonebath::app
