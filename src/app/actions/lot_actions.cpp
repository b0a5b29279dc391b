#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "model/rules/work_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

Result<Outcome> add_lot(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Lot lot;
    lot.number = in.text("number", Reader::kNumber);
    in.check(rules::number_free(in.typed("number"), "lot", number_taken(studio, "lot", "number", lot.number), ""));
    const std::optional<LotForm> typed_form = in.choice<LotForm>("form");
    const FinishKind* kind = in.kind("kind", "liver of sulfur", typed_form);
    if (kind != nullptr && typed_form && kind->form && *kind->form != *typed_form) {
        in.check(rules::refuse("lot.form_of_kind", in.typed("form"),
                               fmt::format("{} comes as {}.", kind->name, word_of(*kind->form)),
                               "Choose the other kind, or leave the form empty.", {std::string(rules::kBlank)}));
    }
    if (in.refused()) {
        return in.refusal();
    }
    lot.finish_kind = kind->key;
    lot.form = typed_form.value_or(kind->form.value_or(LotForm::other));
    lot.unit = in.choice<AmountUnit>("unit").value_or(kind->unit.value_or(AmountUnit::g));
    lot.bought_amount = in.amount("amount", lot.unit);
    if (lot.bought_amount) {
        in.check(rules::above_zero(in.typed("amount"), *lot.bought_amount, "\"100 g\""));
    }
    lot.usual_per_litre = in.number("usual");
    if (lot.usual_per_litre) {
        in.check(rules::above_zero(in.typed("usual"), *lot.usual_per_litre, "5"));
    }
    lot.bought_at = in.moment("bought");
    lot.opened_at = in.moment("opened");
    in.check(rules::lot_dates(in.typed("opened"), lot.bought_at, lot.opened_at));
    lot.place = in.text("place", Reader::kWords);
    lot.note = in.note();
    lot.from_memory = in.from_memory<Lot>();
    if (in.refused()) {
        return in.refusal();
    }
    lot.made_at = studio.now();
    lot.id = studio.ids().next<Lot>(lot.made_at);
    return studio.write("lot " + lot.number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), lot);
        Outcome outcome{.said = fmt::format("Lot {} written down: {}.", lot.number, kind->name),
                        .cautions = {},
                        .made = {{"lot", lot.id.text}}};
        if (!kind->never_meets.empty() && kind->never_meets != "-") {
            outcome.cautions.push_back(
                fmt::format("Keep it apart from {}. Its safety sheet and your local rules decide.", kind->never_meets));
        }
        return outcome;
    });
}

Result<Outcome> open_lot(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<Lot> lot = in.record<Lot>("lot");
    const Stamp at = in.moment_or_now("at");
    if (lot) {
        in.check(rules::lot_dates(in.typed("at"), lot->bought_at, at));
    }
    if (in.refused()) {
        return in.refusal();
    }
    lot->opened_at = at;
    return studio.write("open lot " + lot->number, [&]() -> Result<Outcome> {
        store::update(studio.log(), *lot);
        return Outcome{.said = fmt::format("Lot {} opened on {}.", lot->number, date_text(at)),
                       .cautions = {},
                       .made = {{"lot", lot->id.text}}};
    });
}

Result<Outcome> weigh_lot(Studio& studio, const Form& form) {
    Reader in(studio, form);
    LotWeighing weighing;
    const std::optional<Lot> lot = in.record<Lot>("lot");
    weighing.at = in.moment_or_now("at");
    if (lot) {
        weighing.lot_id = lot->id;
        weighing.left_amount = in.amount("left", lot->unit);
        weighing.spoiled_amount = in.amount("spoiled", lot->unit);
        if (weighing.left_amount) {
            in.check(rules::left_of_bought(in.typed("left"), *weighing.left_amount, *lot));
        }
        if (weighing.spoiled_amount && *weighing.spoiled_amount <= 0.0) {
            in.check(rules::above_zero(in.typed("spoiled"), *weighing.spoiled_amount, "\"3 g\""));
        }
    }
    weighing.event = in.text("happened", Reader::kWords);
    weighing.note = in.note();
    weighing.from_memory = in.from_memory<LotWeighing>();
    if (!in.refused() && !weighing.left_amount && !weighing.spoiled_amount && weighing.event.empty()) {
        in.check(Refusal{.code = "weighing.nothing",
                         .field = std::string(in.typed("left").field),
                         .value = {},
                         .message = "nothing is filled in.",
                         .remedy = "Type what the scale said, what was thrown away, or what happened to the jar.",
                         .answers = {}});
    }
    if (in.refused()) {
        return in.refusal();
    }
    weighing.made_at = studio.now();
    weighing.id = studio.ids().next<LotWeighing>(weighing.made_at);
    return studio.write("weigh lot " + lot->number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), weighing);
        return Outcome{.said = weighing.left_amount ? fmt::format("Lot {}: {} left.", lot->number,
                                                                  rules::amount_words(*weighing.left_amount, lot->unit))
                                                    : fmt::format("Lot {}: written down.", lot->number),
                       .cautions = {},
                       .made = {{"lot_weighing", weighing.id.text}}};
    });
}

Result<Outcome> retire_lot(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<Lot> lot = in.record<Lot>("lot");
    const Stamp at = in.moment_or_now("at");
    if (lot) {
        in.check(rules::in_order(in.typed("at"), "it was opened", lot->opened_at, at));
    }
    if (in.refused()) {
        return in.refusal();
    }
    lot->retired_at = at;
    return studio.write("put lot " + lot->number + " away", [&]() -> Result<Outcome> {
        store::update(studio.log(), *lot);
        return Outcome{.said = fmt::format("Lot {} put away for good on {}.", lot->number, date_text(at)),
                       .cautions = {},
                       .made = {{"lot", lot->id.text}}};
    });
}

}  // namespace

void add_lot_actions(Actions& table) {
    table.push_back(
        {.id = "lot.add",
         .label = "Write down a lot",
         .help = "One jar or bottle as bought, with the date it was opened.",
         .page = "Baths",
         .key = "L",
         .fields = {required(field("number", "Number on the jar", FieldKind::text, "\"LS-1\"")),
                    field("kind", "Kind of finish", FieldKind::text,
                          "empty = liver of sulfur; else its name, such as \"ammonium sulfide\""),
                    choice_of<LotForm>("form", "Form"), choice_of<AmountUnit>("unit", "Measured in"),
                    field("amount", "Amount bought", FieldKind::amount, "\"100 g\""),
                    field("usual", "Usual make-up per litre", FieldKind::number,
                          "in the lot's unit; dry lump 5 where nothing is typed"),
                    field("bought", "Bought", FieldKind::moment), field("opened", "Opened", FieldKind::moment),
                    field("place", "Where it is kept", FieldKind::text), note_field()},
         .carry_out = add_lot});
    table.push_back({.id = "lot.open",
                     .label = "Open a lot",
                     .help = "The day a jar or bottle was first opened.",
                     .page = "Baths",
                     .key = "O",
                     .fields = {required(reference("lot", "Lot", "lot")), at_field("Opened")},
                     .carry_out = open_lot});
    table.push_back({.id = "lot.weigh",
                     .label = "Weigh a lot",
                     .help = "What the scale says is left; also what was thrown away or happened to the jar.",
                     .page = "Baths",
                     .key = "W",
                     .fields = {required(reference("lot", "Lot", "lot")),
                                field("left", "Left by the scale", FieldKind::amount, "\"59 g\""),
                                field("spoiled", "Thrown away since", FieldKind::amount),
                                field("happened", "What happened to it", FieldKind::text, "\"left open\", \"damp\""),
                                at_field(), note_field()},
                     .carry_out = weigh_lot});
    table.push_back({.id = "lot.retire",
                     .label = "Put a lot away for good",
                     .help = "No bath is made up from it any more; its records stay.",
                     .page = "Baths",
                     .key = "",
                     .fields = {required(reference("lot", "Lot", "lot")), at_field("From")},
                     .carry_out = retire_lot});
}

}  // namespace tonebath::app
