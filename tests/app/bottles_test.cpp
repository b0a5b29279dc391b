// The bottles: the register and its sheets, what stands out, what must never meet, and the book of near misses.
#include "app/studio_desk.hpp"

#include "app/bench_list.hpp"
#include "app/chemicals.hpp"
#include "app/data_files.hpp"
#include "app/near_misses.hpp"
#include "app/pairs.hpp"

#include <filesystem>
#include <fstream>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;

namespace {

const std::filesystem::path kData = std::filesystem::path(TONEBATH_SOURCE_DIR) / "data";

Chemical product(Desk& desk, const std::string& name) {
    for (const Chemical& one : desk.all<Chemical>()) {
        if (one.name == name) {
            return one;
        }
    }
    FAIL("no product " << name);
    return {};
}

std::vector<NearMiss> stops_in_book(Desk& desk) {
    std::vector<NearMiss> all = desk.all<NearMiss>();
    std::erase_if(all, [](const NearMiss& one) { return one.kind != NearMissKind::stop; });
    return all;
}

std::string all_cautions(const app::Outcome& outcome) {
    std::string text;
    for (const std::string& one : outcome.cautions) {
        text += one + "\n";
    }
    return text;
}

}  // namespace

TEST_CASE("statements of safety sheets: every code of the published rows is known, with source and trust") {
    const auto known = app::read_sheet_statements(kData / "ghs_statements.csv");
    REQUIRE(known);
    // Codes of a published list of sulfides, blackeners and their gases (tests/cases/safety/ghs_statements.csv).
    std::ifstream cases(std::filesystem::path(TONEBATH_SOURCE_DIR) / "tests/cases/safety/ghs_statements.csv");
    REQUIRE(cases);
    std::string text((std::istreambuf_iterator<char>(cases)), std::istreambuf_iterator<char>());
    int seen = 0;
    for (const app::CsvRecord& row : app::csv_records(text)) {
        if (row.cells.size() < 3 || row.cells[0] == "material") {
            continue;
        }
        for (const std::string& code : app::statement_codes(row.cells[2])) {
            if (code == "OR") {
                continue;
            }
            INFO(code);
            const auto found = std::find_if(known->begin(), known->end(),
                                            [&](const app::SheetStatement& one) { return one.code == code; });
            CHECK(found != known->end());
            ++seen;
        }
    }
    CHECK(seen > 25);
    for (const app::SheetStatement& one : *known) {
        INFO(one.code);
        CHECK((one.trust == "read" || one.trust == "second-hand" || one.trust == "memory"));
        CHECK_FALSE(one.source.empty());
    }
    CHECK(app::statement_codes("h314; EUH 031 H302+H312") ==
          std::vector<std::string>{"H314", "EUH031", "H302", "H312"});
    CHECK(app::statement_codes("").empty());
}

TEST_CASE("a product counts as acid until its sheet is read, and its sheet is overdue until then") {
    Desk desk;
    desk.set_up();
    const auto made = desk.does("chemical.add", {{"name", "limescale remover"}, {"place", "under the sink"}});
    CHECK_THAT(all_cautions(made), Contains("counts as acid: its sheet is not read"));
    CHECK(in_family(app::counts_as(desk.studio(), product(desk, "limescale remover")), "acid"));
    REQUIRE(app::chemical_register(desk.studio()).rows.size() == 1);
    CHECK(app::chemical_register(desk.studio()).rows.front().overdue == "its sheet is not read");

    // A wax said to be harmless to all counts as acid as well: nobody read that.
    desk.does("chemical.add", {{"name", "polish"}, {"kind", "wax"}});
    CHECK(in_family(app::counts_as(desk.studio(), product(desk, "polish")), "acid"));
    CHECK_FALSE(in_family(app::counts_as(desk.studio(), product(desk, "polish")), "inert"));

    desk.refused("chemical.read-sheet", {{"product", "polish"}, {"statements", "H999"}}, "chemical.strange_code");
    desk.refused("chemical.read-sheet", {{"product", "polish"}, {"statements", "EUH031"}, {"sheet", "3 Feb 2026"}},
                 "chemical.kind_of_sheet");
    desk.refused("chemical.read-sheet", {{"product", "polish"}, {"strength", "120"}}, "chemical.strength");
    desk.does("chemical.read-sheet",
              {{"product", "polish"}, {"kind", "wax"}, {"statements", "h412"}, {"sheet", "3 Feb 2026"}});
    CHECK(product(desk, "polish").hazards == "H412");
    CHECK_FALSE(in_family(app::counts_as(desk.studio(), product(desk, "polish")), "acid"));
    for (const app::ChemicalRow& row : app::chemical_register(desk.studio()).rows) {
        CHECK(row.overdue.empty() == (row.chemical.name == "polish"));
    }
    // The studio's own interval: 36 months by default; a sheet of three years and two months is over it, not over 60.
    desk.does("chemical.read-sheet", {{"product", "polish"}, {"sheet", "31 Jan 2023"}});
    const auto overdue = [&] { return app::chemical_register(desk.studio()).rows.back().overdue; };
    CHECK_THAT(overdue(), Contains("over 36 months old"));
    desk.does("chemical.sheet-interval", {{"months", "60"}});
    CHECK(overdue().empty());
    desk.refused("chemical.sheet-interval", {{"months", "0"}}, "number.out_of_range");
}

TEST_CASE("vinegar beside a sulfide bath: putting out is written down, the stop names both, and no dip begins") {
    Desk desk;
    desk.make_bath();
    desk.check_bath();
    desk.does("piece.add", {{"number", "A-1"}, {"metal", "sterling"}});
    desk.does("chemical.add", {{"name", "vinegar"},
                               {"kind", "acid pickle"},
                               {"statements", "H319"},
                               {"sheet", "1 Mar 2025"},
                               {"read", "today"}});
    CHECK(app::bench_stops(desk.studio()).empty());
    desk.clock.advance(60.0);
    const app::Outcome out = desk.does("chemical.out", {{"product", "vinegar"}});
    REQUIRE(product(desk, "vinegar").on_bench_at);
    const std::string told = all_cautions(out);
    for (const char* words : {"vinegar and bath 1 (liver of sulfur, lump) must never meet", "H2S gas",
                              "First: leave both where they are", "Smell is no guide"}) {
        CHECK_THAT(told, Contains(words));
    }
    // The row that speaks of vinegar, with its source and trust.
    const app::BenchList list = app::bench_list(desk.studio());
    REQUIRE(list.pairs.size() == 1);
    CHECK_THAT(list.pairs.front().as, Contains("vinegar, lemon"));
    CHECK(list.pairs.front().trust == "read");
    CHECK_THAT(list.pairs.front().source, Contains("1272/2008"));

    REQUIRE(stops_in_book(desk).size() == 1);
    CHECK(stops_in_book(desk).front().number == "N-1");
    CHECK(stops_in_book(desk).front().comment.empty());
    CHECK_THAT(stops_in_book(desk).front().words, Contains("vinegar and bath 1"));
    CHECK(app::near_misses(desk.studio()).front().waits());

    const Refusal held = desk.refused("dip.drop", {{"bath", "1"}, {"piece", "A-1"}}, "bench.never_meet");
    CHECK_THAT(held.message, Contains("vinegar"));
    CHECK_THAT(held.message, Contains("H2S"));
    CHECK_THAT(held.remedy, Contains("Smell is no guide"));
    CHECK(stops_in_book(desk).size() == 1);

    desk.refused("chemical.out", {{"product", "vinegar"}}, "chemical.is_out");
    desk.does("chemical.away", {{"product", "vinegar"}});
    CHECK(app::bench_stops(desk.studio()).empty());
    desk.does("dip.drop", {{"bath", "1"}, {"piece", "A-1"}});
    // A stop that opens during a dip never holds the piece in the bath.
    desk.clock.advance(30.0);
    desk.does("chemical.out", {{"product", "vinegar"}});
    desk.does("dip.out", {{"piece", "A-1"}});
    // Put out again it is a new stop; standing on, it is none.
    CHECK(stops_in_book(desk).size() == 2);
    desk.does("chemical.read-sheet", {{"product", "vinegar"}, {"kind", "acid pickle"}});
    CHECK(stops_in_book(desk).size() == 2);
}

TEST_CASE("whichever of the two comes last raises the stop; an unread product says why") {
    Desk desk;
    desk.set_up();
    desk.does("chemical.add", {{"name", "rust remover"}});
    desk.does("chemical.out", {{"product", "rust remover"}});
    CHECK(stops_in_book(desk).empty());
    // Nothing is mixed beside it, and that stop stands in the book; a bath that stands already is written down as past work.
    const app::Form mix = form_of("bath.make-up", {{"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}});
    answer_lists(desk.studio(), mix);
    for (int attempt = 0; attempt < 2; ++attempt) {
        desk.clock.advance(5.0);
        const auto held = desk.studio().carry_out(mix);
        REQUIRE_FALSE(held);
        CHECK(held.error().code == "bench.never_meet");
        CHECK_THAT(held.error().message, Contains("rust remover and this bath"));
        REQUIRE(stops_in_book(desk).size() == 1);
        CHECK_FALSE(stops_in_book(desk).front().bath_id);
    }
    CHECK(desk.all<Bath>().empty());
    desk.clock.advance(5.0);
    const app::Outcome bath = desk.does("bath.make-up", {{"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}, {"past", "yes"}});
    CHECK_THAT(all_cautions(bath), Contains("The sheet of rust remover is not read: until then it counts as acid."));
    REQUIRE(stops_in_book(desk).size() == 2);
    // One step back withdraws the entry, which stays; the bath stays a bath.
    REQUIRE(desk.studio().undo());
    CHECK(desk.one_text("SELECT count(*) FROM near_miss WHERE withdrawn_by = 'MK' AND bath_id IS NOT NULL") == "1");
    CHECK(desk.all<Bath>().size() == 1);
    // Put away, nothing holds a make-up back; what the air does to other silver is told.
    desk.does("chemical.away", {{"product", "rust remover"}});
    desk.does("bath.end", {{"bath", "1"}});
    CHECK_THAT(all_cautions(desk.does("bath.make-up", {{"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}})), Contains("Other silver in the room"));
}

TEST_CASE("a lot beside the bath that was made from it is no pair, even with its sheet unread") {
    Desk desk;
    desk.make_bath();
    desk.does("chemical.add", {{"name", "LS-2 lump"}, {"lot", "LS-2"}});
    desk.does("chemical.out", {{"product", "LS-2 lump"}});
    CHECK(app::bench_stops(desk.studio()).empty());
    CHECK(desk.all<NearMiss>().empty());
    // Two acids are no stop, bleach beside acid is one; wax is neither.
    Desk other;
    other.set_up();
    const auto add = [&](const char* name, const char* kind) {
        other.does("chemical.add", {{"name", name}, {"kind", kind}, {"read", "today"}, {"sheet", "1 Mar 2025"}});
        return other.does("chemical.out", {{"product", name}});
    };
    add("pickle", "acid pickle");
    CHECK(all_cautions(add("vinegar", "acid pickle")).empty());
    CHECK(all_cautions(add("wax", "wax")).empty());
    CHECK(all_cautions(add("lacquer", "solvent lacquer")).empty());
    CHECK_THAT(all_cautions(add("bleach", "bleach dip")), Contains("chlorine"));
    CHECK(app::bench_stops(other.studio()).size() == 3);
}

TEST_CASE("every pair of kinds that the list stops is stopped on the bench, and no start is open while it stands") {
    Desk desk;
    desk.set_up();
    const auto pairs = app::read_pairs(kData / "incompatibilities.csv");
    REQUIRE(pairs);
    std::map<std::string, std::string> names;
    for (const FinishKind& kind : desk.studio().finish_kinds()) {
        names[kind.key] = "one " + kind.key;
        desk.does(form_of("chemical.add", {{"name", names[kind.key].substr(0, 38)},
                                           {"kind", kind.name},
                                           {"read", "today"},
                                           {"sheet", "1 Mar 2025"}}));
    }
    int stopped = 0;
    for (const FinishKind& one : desk.studio().finish_kinds()) {
        for (const FinishKind& other : desk.studio().finish_kinds()) {
            if (one.key >= other.key) {
                continue;
            }
            const auto met = app::pairs_between(*pairs, one, other);
            const bool stop = !met.empty() && met.front().level == CheckLevel::stop;
            desk.does("chemical.out", {{"product", names[one.key]}});
            desk.does("chemical.out", {{"product", names[other.key]}});
            INFO(one.key << " and " << other.key);
            CHECK(app::bench_stops(desk.studio()).empty() == !stop);
            desk.does("chemical.away", {{"product", names[one.key]}});
            desk.does("chemical.away", {{"product", names[other.key]}});
            stopped += stop ? 1 : 0;
        }
    }
    CHECK(stopped > 50);
    CHECK(stops_in_book(desk).size() == static_cast<std::size_t>(stopped));
}

TEST_CASE("a coating evening is held back like a bath, and each stop it raises stands in the book once") {
    Desk desk;
    desk.set_up();
    const auto begins = [&] {
        const app::Form form = form_of("coating.begin", {{"stones", "6"}});
        answer_lists(desk.studio(), form);
        return desk.studio().carry_out(form);
    };
    desk.does("chemical.add", {{"name", "bleach"}, {"kind", "bleach dip"}, {"read", "today"}, {"sheet", "1 Mar 2025"}});
    desk.does("chemical.out", {{"product", "bleach"}});
    CHECK(stops_in_book(desk).empty());
    for (int attempt = 0; attempt < 2; ++attempt) {
        desk.clock.advance(5.0);
        const auto held = begins();
        REQUIRE_FALSE(held);
        CHECK(held.error().code == "bench.never_meet");
        CHECK_THAT(held.error().message, Contains("bleach and this coating (solvent lacquer) must never meet"));
        CHECK_THAT(held.error().remedy, Contains("Smell is no guide"));
        CHECK(desk.all<Coating>().empty());
        REQUIRE(stops_in_book(desk).size() == 1);
    }
    desk.does("chemical.away", {{"product", "bleach"}});
    REQUIRE(begins());
    desk.does(form_of("coating.end", {}, {"coating.unfinished"}));
    // Put out again it is a new stop. Coats of an earlier evening are written down all the same.
    desk.clock.advance(60.0);
    desk.does("chemical.out", {{"product", "bleach"}});
    CHECK_FALSE(begins());
    CHECK(stops_in_book(desk).size() == 2);
    // A pair of others on the bench holds a coating back as it holds a bath.
    desk.does("chemical.away", {{"product", "bleach"}});
    desk.does("chemical.add", {{"name", "vinegar"}, {"kind", "acid pickle"}, {"read", "today"}, {"sheet", "1 Mar 2025"}});
    desk.does("chemical.out", {{"product", "vinegar"}});
    desk.does("bath.make-up", {{"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}, {"past", "yes"}});
    const auto held = begins();
    REQUIRE_FALSE(held);
    CHECK_THAT(held.error().message, Contains("vinegar and bath 1"));
}

TEST_CASE("waste does not leave beside what it must never meet; other pairs do not hold it, nor is past work held") {
    Desk desk;
    desk.make_bath();
    desk.does("bath.end", {{"bath", "1"}});
    const auto out = [&](const char* name, const char* kind) {
        desk.does("chemical.add", {{"name", name}, {"kind", kind}, {"read", "today"}, {"sheet", "1 Mar 2025"}});
        desk.does("chemical.out", {{"product", name}});
    };
    const auto leaves = [&](const std::string& past) {
        const app::Form form = form_of("disposal.add", {{"bath", "1"}, {"volume", "100 ml"}, {"route", "collection"}, {"past", past}});
        answer_lists(desk.studio(), form);
        return desk.studio().carry_out(form);
    };
    // A solvent beside a flame is a stop, and no matter of this waste.
    out("thinner", "solvent lacquer");
    out("torch", "heat patina");
    REQUIRE(app::bench_stops(desk.studio()).size() == 1);
    REQUIRE(leaves(""));
    out("vinegar", "acid pickle");
    const auto before = stops_in_book(desk).size();
    for (int attempt = 0; attempt < 2; ++attempt) {
        desk.clock.advance(5.0);
        const auto held = leaves("");
        REQUIRE_FALSE(held);
        CHECK(held.error().code == "bench.never_meet");
        CHECK_THAT(held.error().message, Contains("vinegar and waste of bath 1 (liver of sulfur, lump) must never meet: H2S gas") && !Contains("torch"));
        CHECK_THAT(held.error().remedy, Contains("Nothing leaves until"));
        CHECK(stops_in_book(desk).size() == before + 1);
    }
    REQUIRE(leaves("yes"));
    desk.does("chemical.away", {{"product", "vinegar"}});
    REQUIRE(leaves(""));
    CHECK(desk.all<Disposal>().size() == 3);
}

TEST_CASE("bicarbonate is a rinse after water and never goes into a sulfide bath") {
    Desk desk;
    desk.set_up();
    const Refusal never =
        desk.refused("bath.make-up",
                     {{"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}, {"additives", "a spoon of baking soda"}},
                     "bath.bicarbonate");
    CHECK_THAT(never.message, Contains("never poured into a sulfide bath"));
    CHECK_THAT(never.message, Contains("5 %"));
    CHECK_THAT(never.remedy, Contains("water first"));
}

TEST_CASE("the book: nothing is removed, nothing is edited, a comment is added") {
    Desk desk;
    desk.set_up();
    desk.refused("near-miss.add", {}, "form.missing");
    desk.does("near-miss.add", {{"happened", "vinegar stood on the bench"}, {"at", "14 Dec 2025"}});
    desk.does("near-miss.add",
              {{"happened", "a splash on the sleeve"}, {"kind", "incident"}, {"comment", "apron on from now on"}});
    desk.refused("near-miss.add", {{"happened", "x"}, {"kind", "stop"}}, "choice.unknown");
    std::vector<app::NearMissRow> book = app::near_misses(desk.studio());
    REQUIRE(book.size() == 2);
    CHECK(book[0].entry.number == "N-2");
    CHECK(book[1].waits());
    CHECK_FALSE(book[0].waits());
    desk.does("near-miss.comment", {{"entry", "N-1"}, {"comment", "vinegar is kept in the kitchen"}});
    desk.does("near-miss.comment", {{"entry", "n-1"}, {"comment", "and labelled"}});
    book = app::near_misses(desk.studio());
    CHECK_THAT(book[1].entry.comment, Contains("kept in the kitchen") && Contains("and labelled"));
    CHECK(book[1].entry.words == "vinegar stood on the bench");
    desk.does("near-miss.withdraw", {{"entry", "N-2"}, {"why", "it was water"}});
    desk.refused("near-miss.withdraw", {{"entry", "N-2"}, {"why", "again"}}, "near_miss.withdrawn");
    CHECK(app::near_misses(desk.studio())[0].state() == "withdrawn by MK");
    // Neither corrected, nor removed, nor undone away.
    for (const char* action : {"remove", "correct"}) {
        CHECK_FALSE(desk.studio().carry_out(form_of(action, {{"noun", "near miss"}, {"number", "N-1"}})));
    }
    for (int i = 0; i < 6; ++i) {
        static_cast<void>(desk.studio().undo());
    }
    CHECK(desk.all<NearMiss>().size() == 2);
}
