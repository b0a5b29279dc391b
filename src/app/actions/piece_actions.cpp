#include "app/actions/area.hpp"
#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "model/rules/dip_rules.hpp"
#include "model/rules/work_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <set>

namespace tonebath::app {

namespace {

std::string row_words(const std::vector<std::string>& numbers) {
    return numbers.size() == 1 ? numbers.front() : fmt::format("{} to {}", numbers.front(), numbers.back());
}

Result<Outcome> add_pieces(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::vector<std::string> numbers = in.lines("number");
    std::set<std::string> seen;
    for (const std::string& number : numbers) {
        const bool twice = !seen.insert(folded(number)).second;
        in.check(rules::number_free({in.typed("number").field, number}, "piece",
                                    twice || number_taken(studio, "piece", "number", number), ""));
    }
    Piece piece;
    piece.design = in.text("design", Reader::kWords);
    const std::optional<Batch> batch = in.record<Batch>("batch");
    piece.batch_id = batch ? std::optional<Id<Batch>>(batch->id) : std::nullopt;
    if (batch && piece.design.empty()) {
        piece.design = batch->design;
    }
    piece.rack = in.whole("rack");
    if (piece.rack) {
        in.check(rules::between(in.typed("rack"), *piece.rack, 1, 99, ""));
    }
    piece.order_id = in.id_of<Order>("order");
    piece.target_id = in.id_of<Target>("target");
    piece.assembled_at = in.moment("assembled");
    piece.sold_at = in.moment("sold");
    in.check(rules::in_order(in.typed("sold"), "it was assembled", piece.assembled_at, piece.sold_at));
    piece.keep_piece = in.yes_no("keep-piece").value_or(false);
    Part whole;
    whole.name = "whole";
    whole.metal_id = in.id_of<Metal>("metal");
    whole.surface = in.text("surface", Reader::kWords);
    whole.area_cm2 = area_of(in, "area");
    piece.note = in.note();
    piece.from_memory = in.from_memory<Piece>();
    if (in.refused()) {
        return in.refusal();
    }
    piece.made_at = studio.now();
    whole.made_at = piece.made_at;
    const std::string all = row_words(numbers);
    const bool one_metal = whole.metal_id || !whole.surface.empty() || whole.area_cm2;
    return studio.write("piece " + all, [&]() -> Result<Outcome> {
        Outcome outcome{.said = fmt::format("{} written down: {}.", all, counted(numbers.size(), "piece", "pieces")),
                        .cautions = {},
                        .made = {}};
        for (const std::string& number : numbers) {
            piece.id = studio.ids().next<Piece>(piece.made_at);
            piece.number = number;
            store::insert(studio.log(), piece);
            if (one_metal) {
                whole.id = studio.ids().next<Part>(piece.made_at);
                whole.piece_id = piece.id;
                store::insert(studio.log(), whole);
                outcome.made["part"] = whole.id.text;
            }
            outcome.made["piece"] = piece.id.text;
        }
        if (!whole.metal_id) {
            outcome.cautions.push_back("The metal is not written down: without it no tone can be judged on a scale.");
        }
        return outcome;
    });
}

Result<Outcome> add_part(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::vector<Piece> pieces = in.records<Piece>("piece");
    Part part;
    part.name = in.text("name", Reader::kNumber);
    part.metal_id = in.id_of<Metal>("metal");
    part.surface = in.text("surface", Reader::kWords);
    part.area_cm2 = area_of(in, "area");
    part.assembled_at = in.moment("assembled");
    for (const Piece& piece : pieces) {
        for (const Part& other : store::list<Part>(studio.log(), "WHERE piece_id = ?1", {piece.id.text})) {
            if (folded(other.name) == folded(part.name)) {
                in.check(rules::refuse("part.taken", in.typed("name"),
                                       fmt::format("{} has a part of that name.", piece.number),
                                       "Give it another name, or correct the one that is there."));
            } else if (other.name == "whole") {
                in.check(rules::ask("part.already_whole", in.typed("name"),
                                    fmt::format("{} was written down as one metal all over.", piece.number),
                                    "Correct the name of that part first (it is called \"whole\"), or keep both."));
            }
        }
    }
    part.note = in.note();
    part.from_memory = in.from_memory<Part>();
    if (in.refused()) {
        return in.refusal();
    }
    part.made_at = studio.now();
    return studio.write(fmt::format("part {} of {}", part.name, pieces.front().number), [&]() -> Result<Outcome> {
        Outcome outcome{
            .said = fmt::format("{} written down on {}.", part.name, counted(pieces.size(), "piece", "pieces")),
            .cautions = {},
            .made = {}};
        for (const Piece& piece : pieces) {
            part.id = studio.ids().next<Part>(part.made_at);
            part.piece_id = piece.id;
            store::insert(studio.log(), part);
            outcome.made["part"] = part.id.text;
        }
        return outcome;
    });
}

Result<Outcome> assemble(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const Stamp at = in.moment_or_now("at");
    std::vector<Piece> pieces;
    std::vector<Part> parts;
    for (Subject& subject : in.subjects()) {
        if (subject.part) {
            parts.push_back(*store::find(studio.log(), *subject.part));
        } else {
            pieces.push_back(*store::find(studio.log(), *subject.piece));
        }
    }
    const auto last_alone = [&](const Id<Part>& part) {
        std::optional<Stamp> last;
        for (const Dip& dip : store::list<Dip>(studio.log(), "WHERE part_id = ?1", {part.text})) {
            const std::optional<Stamp> when = when_dipped(dip);
            last = !last || (when && *when > *last) ? when : last;
        }
        return last;
    };
    for (const Part& part : parts) {
        in.check(rules::joined_before_dip(in.typed("at"), part.name, at, last_alone(part.id)));
    }
    for (const Piece& piece : pieces) {
        for (const Part& part : store::list<Part>(studio.log(), "WHERE piece_id = ?1", {piece.id.text})) {
            in.check(rules::joined_before_dip(in.typed("at"), piece.number + " " + part.name, at, last_alone(part.id)));
        }
    }
    const std::string note = in.note();
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write("assembled", [&]() -> Result<Outcome> {
        Outcome outcome{.said = fmt::format("Assembled on {}: {}.", date_text(at),
                                            counted(pieces.size() + parts.size(), "piece", "pieces")),
                        .cautions = {},
                        .made = {}};
        for (Piece& piece : pieces) {
            piece.assembled_at = at;
            piece.note += (note.empty() || piece.note.empty() ? "" : "\n") + note;
            store::update(studio.log(), piece);
            outcome.made["piece"] = piece.id.text;
        }
        for (Part& part : parts) {
            part.assembled_at = at;
            part.note += (note.empty() || part.note.empty() ? "" : "\n") + note;
            store::update(studio.log(), part);
            outcome.made["part"] = part.id.text;
        }
        return outcome;
    });
}

Result<Outcome> sell(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const Stamp at = in.moment_or_now("at");
    std::vector<Piece> pieces;
    for (const Subject& subject : in.subjects()) {
        pieces.push_back(*store::find(studio.log(), *subject.piece));
        in.check(rules::in_order(in.typed("at"), "it was assembled", pieces.back().assembled_at, at));
        if (pieces.back().keep_piece) {
            in.check(rules::ask("piece.keep_piece_sold", in.typed("piece"),
                                fmt::format("{} is a keep-piece.", pieces.back().number),
                                "Name another piece, or keep it where it was sold."));
        }
    }
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write("sold", [&]() -> Result<Outcome> {
        for (Piece& piece : pieces) {
            piece.sold_at = at;
            store::update(studio.log(), piece);
        }
        return Outcome{.said = fmt::format("Sold on {}: {}.", date_text(at), counted(pieces.size(), "piece", "pieces")),
                       .cautions = {},
                       .made = {{"piece", pieces.back().id.text}}};
    });
}

Result<Outcome> add_stone(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::vector<std::string> numbers = in.lines("number");
    std::set<std::string> seen;
    for (const std::string& number : numbers) {
        const bool twice = !seen.insert(folded(number)).second;
        in.check(rules::number_free({in.typed("number").field, number}, "stone",
                                    twice || number_taken(studio, "stone", "number", number), ""));
    }
    Stone stone;
    stone.kind = in.text("kind", Reader::kWords);
    stone.shape = in.text("shape", Reader::kWords);
    stone.size = in.length("size");
    if (stone.size) {
        in.check(rules::above_zero(in.typed("size"), stone.size->mm(), "\"14 mm\""));
        in.check(rules::between(in.typed("size"), stone.size->mm(), 0.0, 200.0, "mm"));
    }
    stone.backing = in.choice<Backing>("backing").value_or(Backing::unknown);
    stone.source_lot = in.text("source-lot", Reader::kWords);
    stone.piece_id = in.id_of<Piece>("piece");
    stone.set_at = in.moment("set");
    stone.note = in.note();
    stone.from_memory = in.from_memory<Stone>();
    if (in.refused()) {
        return in.refusal();
    }
    stone.made_at = studio.now();
    return studio.write("stone " + row_words(numbers), [&]() -> Result<Outcome> {
        Outcome outcome{.said = fmt::format("Stone {} written down.", row_words(numbers)), .cautions = {}, .made = {}};
        for (const std::string& number : numbers) {
            stone.id = studio.ids().next<Stone>(stone.made_at);
            stone.number = number;
            store::insert(studio.log(), stone);
            outcome.made["stone"] = stone.id.text;
        }
        return outcome;
    });
}

Result<Outcome> set_stone(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<Stone> stone = in.record<Stone>("stone");
    const std::optional<Piece> piece = in.record<Piece>("piece");
    const Stamp at = in.moment_or_now("at");
    if (stone && piece && stone->piece_id && *stone->piece_id != piece->id) {
        in.check(rules::stone_on_one_piece(in.typed("piece"), name_of(studio, *stone->piece_id)));
    }
    if (in.refused()) {
        return in.refusal();
    }
    stone->piece_id = piece->id;
    stone->set_at = at;
    if (const std::string note = in.note(); !note.empty()) {
        stone->note += (stone->note.empty() ? "" : "\n") + note;
    }
    return studio.write(fmt::format("set stone {} on {}", stone->number, piece->number), [&]() -> Result<Outcome> {
        store::update(studio.log(), *stone);
        return Outcome{.said = fmt::format("Stone {} is on {} from {}.", stone->number, piece->number, date_text(at)),
                       .cautions = {},
                       .made = {{"stone", stone->id.text}}};
    });
}

constexpr const char* kAreaHelp = "both sides; \"20 awg x 80 mm\" for wire, \"30 x 20 mm\" for sheet";

}  // namespace

void add_piece_actions(Actions& table) {
    const FieldSpec pieces = repeated(reference("piece", "Piece", "piece", "one a line; \"L-131..L-138\""));
    table.push_back(
        {.id = "piece.add",
         .label = "Write down a piece",
         .help = "One piece, or a rack of them at once. A piece of several metals gets its parts afterwards.",
         .page = "Pieces",
         .key = "N",
         .fields = {required(repeated(field("number", "Number on the tag", FieldKind::text,
                                            "\"L-058\", or \"L-131..L-138\" for eight"))),
                    field("design", "Design", FieldKind::text),
                    reference("metal", "Metal", "metal", "where it is one metal all over"),
                    field("surface", "Surface", FieldKind::text, "\"bright\", \"satin\", \"matt\", \"hammered\""),
                    field("area", "Area, cm²", FieldKind::text, kAreaHelp), reference("batch", "Batch", "batch"),
                    field("rack", "Rack", FieldKind::number), reference("order", "Order", "order"),
                    reference("target", "Target tone", "target"), field("assembled", "Assembled on", FieldKind::moment),
                    field("sold", "Sold", FieldKind::moment),
                    field("keep-piece", "Keep-piece", FieldKind::yes_no, "never sold"), note_field()},
         .carry_out = add_pieces});
    table.push_back(
        {.id = "part.add",
         .label = "Write down a part",
         .help = "One metal or surface of a piece, with its own dips and tone: tab, base, cup, lid.",
         .page = "Pieces",
         .key = "A",
         .fields = {required(pieces), required(field("name", "Name of the part", FieldKind::text, "\"lid\", \"base\"")),
                    reference("metal", "Metal", "metal"), field("surface", "Surface", FieldKind::text),
                    field("area", "Area, cm²", FieldKind::text, kAreaHelp), field("assembled", "Joined on", FieldKind::moment),
                    note_field()},
         .carry_out = add_part});
    table.push_back({.id = "piece.assemble",
                     .label = "Assemble a piece",
                     .help = "The day parts and stones were joined: dips before it never met the stones.",
                     .page = "Pieces",
                     .key = "S",
                     .fields = {pieces, repeated(reference("part", "Part", "part", "\"L-058 lid\"; empty = all of it")),
                                at_field("Assembled on"), note_field()},
                     .carry_out = assemble});
    table.push_back({.id = "piece.sell",
                     .label = "Mark a piece sold",
                     .help = "From then on it is not seen any more unless someone looks.",
                     .page = "Pieces",
                     .key = "K",
                     .fields = {required(pieces), at_field("Sold")},
                     .carry_out = sell});
    table.push_back(
        {.id = "stone.add",
         .label = "Write down a stone",
         .help = "Kind and backing decide what a bath may do to it.",
         .page = "Stones",
         .key = "N",
         .fields = {required(repeated(field("number", "Number", FieldKind::text, "\"S-1\", or \"S-1..S-8\""))),
                    field("kind", "Kind", FieldKind::text, "\"foil crystal\", \"pearl\", \"turquoise\""),
                    field("shape", "Shape", FieldKind::text, "\"point-back\", \"flat-back\", \"cabochon\""),
                    field("size", "Size", FieldKind::length, "\"14 mm\""), choice_of<Backing>("backing", "Backing"),
                    field("source-lot", "Where it came from", FieldKind::text), reference("piece", "On piece", "piece"),
                    field("set", "Set on", FieldKind::moment), note_field()},
         .carry_out = add_stone});
    table.push_back({.id = "stone.set",
                     .label = "Set a stone",
                     .help = "Puts a stone on a piece; it is on one piece at a time.",
                     .page = "Stones",
                     .key = "S",
                     .fields = {required(reference("stone", "Stone", "stone")),
                                required(reference("piece", "On piece", "piece")), at_field("Set on"), note_field()},
                     .carry_out = set_stone});
}

}  // namespace tonebath::app
