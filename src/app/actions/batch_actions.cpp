#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "model/rules/work_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

Result<Outcome> add_batch(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Batch batch;
    batch.number = in.given("number") ? in.text("number", Reader::kNumber) : next_number(studio, "batch");
    in.check(rules::number_free(in.typed("number"), "batch", number_taken(studio, "batch", "number", batch.number),
                                next_number(studio, "batch")));
    batch.design = in.text("design", Reader::kWords);
    batch.order_id = in.id_of<Order>("order");
    batch.target_id = in.id_of<Target>("target");
    std::vector<Piece> pieces = in.records<Piece>("piece");
    batch.note = in.note();
    if (in.refused()) {
        return in.refusal();
    }
    batch.made_at = studio.now();
    batch.id = studio.ids().next<Batch>(batch.made_at);
    return studio.write("batch " + batch.number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), batch);
        for (Piece& piece : pieces) {
            piece.batch_id = batch.id;
            store::update(studio.log(), piece);
        }
        return Outcome{.said = fmt::format("Batch {} written down{}.", batch.number,
                                           pieces.empty() ? "" : ": " + counted(pieces.size(), "piece", "pieces")),
                       .cautions = {},
                       .made = {{"batch", batch.id.text}}};
    });
}

Result<Outcome> add_order(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Order order;
    order.number = in.text("number", Reader::kNumber);
    in.check(rules::number_free(in.typed("number"), "order",
                                number_taken(studio, "client_order", "number", order.number), ""));
    order.repeat_of = in.id_of<Order>("repeat-of");
    order.target_id = in.id_of<Target>("target");
    order.received_at = in.moment("received");
    order.wanted_by = in.any_moment("wanted-by");
    in.check(rules::in_order(in.typed("wanted-by"), "it was received", order.received_at, order.wanted_by));
    order.note = in.note();
    order.from_memory = in.from_memory<Order>();
    if (in.refused()) {
        return in.refusal();
    }
    order.made_at = studio.now();
    order.id = studio.ids().next<Order>(order.made_at);
    return studio.write("order " + order.number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), order);
        return Outcome{.said = fmt::format("Order {} written down.", order.number),
                       .cautions = {},
                       .made = {{"order", order.id.text}}};
    });
}

}  // namespace

void add_batch_actions(Actions& table) {
    table.push_back(
        {.id = "batch.add",
         .label = "Make a batch",
         .help = "Pieces that are finished together, with the tone they aim at.",
         .page = "Pieces",
         .key = "B",
         .fields = {field("number", "Number", FieldKind::text, "empty = the next one"),
                    field("design", "Design", FieldKind::text), reference("order", "Order", "order"),
                    reference("target", "Target tone", "target"),
                    repeated(reference("piece", "Pieces", "piece", "one a line; \"L-131..L-138\"")), note_field()},
         .carry_out = add_batch});
    table.push_back(
        {.id = "order.add",
         .label = "Write down an order",
         .help = "No names of clients are needed: a number is enough.",
         .page = "Pieces",
         .key = "O",
         .fields = {required(field("number", "Number", FieldKind::text, "\"R-07\"")),
                    reference("repeat-of", "Repeat of", "order"), reference("target", "Target tone", "target"),
                    field("received", "Received", FieldKind::moment),
                    field("wanted-by", "Wanted by", FieldKind::moment), note_field()},
         .carry_out = add_order});
}

}  // namespace tonebath::app
