#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/chemicals.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "model/rules/work_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

std::string kind_key(Reader& in, const std::string& otherwise) {
    const FinishKind* kind = in.kind("kind");
    return kind != nullptr ? kind->key : otherwise;
}

// The codes as they are kept: "H314, EUH031". One that the list does not have is asked about.
std::string read_codes(Reader& in) {
    const std::vector<std::string> codes = statement_codes(in.text("statements", Reader::kWords));
    const auto known = read_sheet_statements(in.studio().options().data / "ghs_statements.csv");
    if (!known) {
        in.check(known.error());
        return {};
    }
    std::vector<std::string> strange;
    for (const std::string& code : codes) {
        if (std::ranges::find(*known, code, &SheetStatement::code) == known->end()) {
            strange.push_back(code);
        }
    }
    if (!strange.empty()) {
        in.check(rules::ask(
            "chemical.strange_code", in.typed("statements"),
            fmt::format("{} is no statement that is known here.", rules::in_a_row(strange)),
            "Look at section 2 of its sheet again: \"H314, H400, EUH031\"; or keep it as the sheet has it."));
    }
    return joined(codes, ", ");
}

// A sheet that says "frees a toxic gas with acids", for what is not written down as anything that does.
void check_kind_of_sheet(Reader& in, const Chemical& chemical) {
    const std::vector<std::string> codes = statement_codes(chemical.hazards);
    const bool frees_gas =
        std::ranges::any_of(codes, [](const std::string& code) { return code == "EUH031" || code == "EUH032"; });
    const FinishKind& kind = in.studio().finish_kind(chemical.finish_kind);
    if (frees_gas && !in_family(kind, "sulfide") && !in_family(kind, "oxidiser")) {
        in.check(rules::ask(
            "chemical.kind_of_sheet", in.typed("kind"),
            fmt::format(
                "its sheet says that acid frees a toxic gas from it, and {} is not held apart from acid for that.",
                kind.name),
            "Name its kind again (a sulfide, or a bleach), or keep it."));
    }
}

void read_sheet(Reader& in, Chemical& chemical) {
    chemical.sheet_at = in.moment("sheet");
    if (in.given("statements")) {
        chemical.hazards = read_codes(in);
    }
    chemical.strength_percent = in.given("strength") ? in.number("strength") : chemical.strength_percent;
    if (chemical.strength_percent && !(*chemical.strength_percent > 0.0 && *chemical.strength_percent <= 100.0)) {
        in.check(rules::refuse("chemical.strength", in.typed("strength"), "a share lies above 0 and up to 100 %.",
                               "Type the highest percentage of section 3 of its sheet."));
    }
    in.check(rules::in_order(in.typed("read"), "its sheet is of", chemical.sheet_at, chemical.read_at));
}

Result<Outcome> add_chemical(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Chemical chemical;
    chemical.name = in.text("name", Reader::kNumber);
    in.check(
        rules::number_free(in.typed("name"), "product", number_taken(studio, "chemical", "name", chemical.name), ""));
    const std::optional<Lot> lot = in.record<Lot>("lot");
    chemical.lot_id = lot ? std::optional(lot->id) : std::nullopt;
    chemical.finish_kind = kind_key(in, lot ? lot->finish_kind : "unknown");
    chemical.opened_at = in.given("opened") ? in.moment("opened") : lot ? lot->opened_at : std::nullopt;
    chemical.read_at = in.moment("read");
    read_sheet(in, chemical);
    if (chemical.read_at && !in.refused()) {
        check_kind_of_sheet(in, chemical);
    }
    chemical.place = in.given("place") || !lot ? in.text("place", Reader::kWords) : lot->place;
    chemical.locked = in.yes_no("locked").value_or(false);
    chemical.note = in.note();
    chemical.from_memory = in.from_memory<Chemical>();
    if (in.refused()) {
        return in.refusal();
    }
    chemical.made_at = studio.now();
    chemical.id = studio.ids().next<Chemical>(chemical.made_at);
    return studio.write("product " + chemical.name, [&]() -> Result<Outcome> {
        store::insert(studio.log(), chemical);
        Outcome outcome{.said = fmt::format("{} is in the register.", chemical.name),
                        .cautions = {},
                        .made = {{"chemical", chemical.id.text}}};
        if (!chemical.read_at) {
            outcome.cautions.push_back(
                fmt::format("{} counts as {}.", chemical.name, counts_as_words(studio, chemical)));
        }
        return outcome;
    });
}

// A change to one product that is in the studio.
template <class Change>
Result<Outcome> change_one(Studio& studio, Reader& in, std::optional<Chemical> chemical, const std::string& step,
                           Change&& change) {
    if (chemical && chemical->gone_at) {
        in.check(rules::refuse("chemical.gone", in.typed("product"),
                               fmt::format("it is no longer in the studio since {}.", date_text(*chemical->gone_at)),
                               "Write it down as a new product."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    Outcome outcome{.said = change(*chemical), .cautions = {}, .made = {{"chemical", chemical->id.text}}};
    return studio.write(step + " " + chemical->name, [&]() -> Result<Outcome> {
        store::update(studio.log(), *chemical);
        return outcome;
    });
}

Result<Outcome> open_chemical(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const auto chemical = in.record<Chemical>("product");
    const Stamp at = in.moment_or_now("at");
    return change_one(studio, in, chemical, "open", [&](Chemical& one) {
        one.opened_at = at;
        return fmt::format("{} opened on {}.", one.name, date_text(at));
    });
}

Result<Outcome> read_chemical(Studio& studio, const Form& form) {
    Reader in(studio, form);
    auto chemical = in.record<Chemical>("product");
    if (chemical) {
        chemical->read_at = in.moment_or_now("read");
        chemical->finish_kind = kind_key(in, chemical->finish_kind);
        read_sheet(in, *chemical);
        if (chemical->finish_kind == "unknown" && !in.refused()) {
            in.check(rules::ask("chemical.kind_unknown", in.typed("kind"), "what it counts as is not said.",
                                "Name its kind as its sheet lets you, or keep it: it goes on counting as acid."));
        }
        if (!in.refused()) {
            check_kind_of_sheet(in, *chemical);
        }
    }
    return with_bench_stops(studio, change_one(studio, in, chemical, "sheet of", [&](Chemical& one) {
                                return fmt::format("The sheet of {} is read: it counts as {}.", one.name,
                                                   studio.finish_kind(one.finish_kind).name);
                            }));
}

Result<Outcome> keep_chemical(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const auto chemical = in.record<Chemical>("product");
    const std::string place = in.text("place", Reader::kWords);
    const bool locked = in.yes_no("locked").value_or(false);
    return change_one(studio, in, chemical, "place of", [&](Chemical& one) {
        one.place = place;
        one.locked = locked;
        return fmt::format("{} is kept here: {}{}.", one.name, place, locked ? ", locked" : "");
    });
}

Result<Outcome> out(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const auto chemical = in.record<Chemical>("product");
    const Stamp at = in.moment_or_now("at");
    if (chemical && chemical->on_bench_at) {
        in.check(rules::refuse("chemical.is_out", in.typed("product"),
                               fmt::format("it stands out since {}.", date_time_text(*chemical->on_bench_at)),
                               "Put it away first, or leave it so."));
    }
    return with_bench_stops(studio, change_one(studio, in, chemical, "out:", [&](Chemical& one) {
                                one.on_bench_at = at;
                                return fmt::format("{} stands out since {}; it counts as {}.", one.name, time_text(at),
                                                   counts_as_words(studio, one));
                            }));
}

Result<Outcome> away(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const auto chemical = in.record<Chemical>("product");
    if (chemical && !chemical->on_bench_at) {
        in.check(
            rules::refuse("chemical.is_away", in.typed("product"), "it does not stand out.", "Nothing is to be done."));
    }
    return change_one(studio, in, chemical, "away:", [&](Chemical& one) {
        one.on_bench_at.reset();
        return fmt::format("{} is put away{}.", one.name, one.place.empty() ? "" : ": " + one.place);
    });
}

Result<Outcome> gone(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const auto chemical = in.record<Chemical>("product");
    const Stamp at = in.moment_or_now("at");
    return change_one(studio, in, chemical, "gone:", [&](Chemical& one) {
        one.on_bench_at.reset();
        one.gone_at = at;
        return fmt::format("{} is no longer in the studio. What was left of it is waste: your local rules decide.",
                           one.name);
    });
}

Result<Outcome> sheet_interval(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const auto months = in.whole("months");
    if (months) {
        in.check(rules::between(in.typed("months"), *months, 1.0, 120.0, "months"));
    }
    if (in.refused()) {
        return in.refusal();
    }
    set_sheet_months(studio, *months);
    return Outcome{
        .said = fmt::format("A sheet is overdue when it is over {} months old.", *months), .cautions = {}, .made = {}};
}

FieldSpec product_field() {
    return required(reference("product", "Product", "chemical"));
}

}  // namespace

void add_chemical_actions(Actions& table) {
    const FieldSpec kind =
        field("kind", "Counts as", FieldKind::text,
              "kind of finish or product: \"acid pickle\", \"bleach dip\"; empty = not known, which counts as acid");
    const FieldSpec statements =
        field("statements", "Statements on its sheet", FieldKind::text, "section 2: \"H314, H400, EUH031\"");
    const FieldSpec sheet = field("sheet", "Date on its sheet", FieldKind::moment);
    const FieldSpec strength =
        field("strength", "Highest share of sulfide", FieldKind::number, "percent, section 3; for gels and liquids");
    const FieldSpec place = field("place", "Where it is kept", FieldKind::text, "\"metal cupboard, hall\"");
    const FieldSpec locked = field("locked", "Locked there", FieldKind::yes_no);
    table.push_back(
        {.id = "chemical.add",
         .label = "Write down a product",
         .help = "A bottle, jar or packet in the studio. Until its safety sheet is read here it counts as acid.",
         .page = "Safety",
         .key = "P",
         .fields = {required(field("name", "Name on the bottle", FieldKind::text, "no brand is needed: \"vinegar\"")),
                    kind, reference("lot", "Lot", "lot", "where it is one of the lots"),
                    field("opened", "Opened", FieldKind::moment), statements, sheet,
                    field("read", "Sheet read here", FieldKind::moment, "empty = not read yet"), strength, place,
                    locked, note_field()},
         .carry_out = add_chemical});
    table.push_back({.id = "chemical.open",
                     .label = "Open a product",
                     .help = "The day a bottle or packet was first opened.",
                     .page = "Safety",
                     .key = "",
                     .fields = {product_field(), at_field("Opened")},
                     .carry_out = open_chemical});
    table.push_back({.id = "chemical.read-sheet",
                     .label = "Read a safety sheet",
                     .help = "What its own sheet says: statements, date, strength. The sheet decides; this is where "
                             "you keep what it said.",
                     .page = "Safety",
                     .key = "E",
                     .fields = {product_field(), kind, statements, sheet, strength,
                                field("read", "Read on", FieldKind::moment, "empty = now")},
                     .carry_out = read_chemical});
    table.push_back({.id = "chemical.keep",
                     .label = "Where a product is kept",
                     .help = "Its place, and whether that is locked.",
                     .page = "Safety",
                     .key = "",
                     .fields = {product_field(), required(place), locked},
                     .carry_out = keep_chemical});
    table.push_back({.id = "chemical.out",
                     .label = "Put a product out",
                     .help = "It stands on the bench from now on. What must never meet raises a stop; putting out is "
                             "written down all the same.",
                     .page = "Safety",
                     .key = "",
                     .fields = {product_field(), at_field()},
                     .carry_out = out});
    table.push_back({.id = "chemical.away",
                     .label = "Put a product away",
                     .help = "It no longer stands on the bench.",
                     .page = "Safety",
                     .key = "",
                     .fields = {product_field()},
                     .carry_out = away});
    table.push_back({.id = "chemical.gone",
                     .label = "A product left the studio",
                     .help = "Used up or collected. Its record stays.",
                     .page = "Safety",
                     .key = "",
                     .fields = {product_field(), at_field()},
                     .carry_out = gone});
    table.push_back(
        {.id = "chemical.sheet-interval",
         .label = "How old a sheet may be",
         .help = "The studio's own interval: after it a sheet is listed as overdue.",
         .page = "Safety",
         .key = "",
         .fields = {required(field("months", "Months", FieldKind::number, "1 to 120; 36 where none is set"))},
         .carry_out = sheet_interval});
}

}  // namespace tonebath::app
