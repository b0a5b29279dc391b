#include "app/studio_desk.hpp"

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;

TEST_CASE("A rack of eight is written down at once") {
    Desk desk;
    desk.does("batch.add", {{"number", "31"}, {"design", "Limpet"}});
    desk.does(
        "piece.add",
        {{"number", "L-131..L-138"}, {"metal", "sterling"}, {"surface", "bright"}, {"batch", "31"}, {"rack", "1"}});
    const std::vector<Piece> pieces = store::list<Piece>(desk.log(), "ORDER BY number");
    REQUIRE(pieces.size() == 8);
    CHECK(pieces.front().number == "L-131");
    CHECK(pieces.back().number == "L-138");
    CHECK(pieces.back().design == "Limpet");
    CHECK(desk.all<Part>().size() == 8);
    desk.does("piece.add", {{"number", "L-008..L-010"}});
    CHECK(desk.one_text(
              "SELECT group_concat(number) FROM (SELECT number FROM piece WHERE number < 'L-1' ORDER BY number)") ==
          "L-008,L-009,L-010");
}

TEST_CASE("Two pieces never have one number") {
    Desk desk;
    desk.does("piece.add", {{"number", "L-133"}});
    CHECK_THAT(desk.refused("piece.add", {{"number", "l-133"}}, "number.taken").text(),
               Contains("Number on the tag l-133"));
    desk.refused("piece.add", {{"number", "L-131..L-138"}}, "number.taken");
    desk.refused("piece.add", {{"number", "K-1\nK-1"}}, "number.taken");
    desk.refused("piece.add", {{"number", "L-9..L-1"}}, "number.bad_range");
    desk.refused("piece.add", {{"number", "L-1..L-900"}}, "number.bad_range");
    desk.refused("piece.add", {{"number", "L-1..M-9"}}, "number.bad_range");
    desk.refused("piece.add", {}, "form.missing");
    desk.refused("piece.add", {{"number", "L-1"}, {"area", "0"}}, "number.zero");
    desk.refused("piece.add", {{"number", "L-1"}, {"area", "-4"}}, "number.negative");
    desk.refused("piece.add", {{"number", "L-1"}, {"rack", "1.5"}}, "number.not_whole");
    desk.refused("piece.add", {{"number", "L-1"}, {"metal", "gold colour"}}, "metal.unknown");
    desk.refused("piece.add", {{"number", "L-1"}, {"assembled", "3 Mar 2026"}, {"sold", "2 Mar 2026"}},
                 "dates.wrong_order");
}

TEST_CASE("Parts have their own metal; an unknown one is allowed and said") {
    Desk desk;
    const app::Outcome outcome = desk.does("piece.add", {{"number", "B-1..B-3"}});
    CHECK_THAT(outcome.cautions.front(), Contains("metal is not written down"));
    CHECK(desk.all<Part>().empty());
    desk.does("part.add", {{"piece", "B-1..B-3"}, {"name", "tabs"}, {"metal", "sterling"}, {"area", "4,5"}});
    desk.does("part.add", {{"piece", "B-1..B-3"}, {"name", "base"}});
    CHECK(desk.all<Part>().size() == 6);
    desk.refused("part.add", {{"piece", "B-2"}, {"name", "Base"}}, "part.taken");
    desk.does("piece.add", {{"number", "B-4"}, {"metal", "sterling"}});
    desk.refused("part.add", {{"piece", "B-4"}, {"name", "base"}}, "part.already_whole");
}

TEST_CASE("A stone is on one piece at a time") {
    Desk desk;
    desk.does("piece.add", {{"number", "L-1..L-2"}});
    desk.does("stone.add", {{"number", "S-1"},
                            {"kind", "foil crystal"},
                            {"shape", "point-back"},
                            {"size", "14 mm"},
                            {"backing", "foil"},
                            {"piece", "L-1"}});
    CHECK_THAT(desk.refused("stone.set", {{"stone", "S-1"}, {"piece", "L-2"}}, "stone.on_another_piece").text(),
               Contains("piece L-1"));
    desk.does(form_of("stone.set", {{"stone", "S-1"}, {"piece", "L-2"}}, {"stone.on_another_piece"}));
    desk.refused("stone.add", {{"number", "S-1"}}, "number.taken");
    desk.refused("stone.add", {{"number", "S-2"}, {"size", "3 m"}}, "number.out_of_range");
    desk.refused("stone.add", {{"number", "S-2"}, {"backing", "maybe"}}, "choice.unknown");
}

TEST_CASE("Orders, repeats and sales") {
    Desk desk;
    desk.does("order.add", {{"number", "R-07"}, {"received", "3 Oct 2025"}});
    desk.does("order.add",
              {{"number", "R-12"}, {"repeat-of", "R-07"}, {"received", "30 Mar 2026"}, {"wanted-by", "20 Apr 2026"}});
    desk.refused("order.add", {{"number", "R-13"}, {"received", "30 Mar 2026"}, {"wanted-by", "1 Mar 2026"}},
                 "dates.wrong_order");
    desk.does("piece.add", {{"number", "L-1"}, {"keep-piece", "yes"}});
    desk.refused("piece.sell", {{"piece", "L-1"}}, "piece.keep_piece_sold");
}

TEST_CASE("an area is typed, or told as wire by gauge and length, or as sheet by its size") {
    Desk desk;
    const auto area = [&desk](const std::string& number, const std::string& typed) {
        desk.does("piece.add", {{"number", number}, {"metal", "sterling"}, {"area", typed}});
        return desk.one_real("SELECT a.area_cm2 FROM part a JOIN piece p ON p.id = a.piece_id WHERE p.number = '" + number + "'");
    };
    CHECK_THAT(area("A-1", "20"), Catch::Matchers::WithinAbs(20.0, 1e-9));
    CHECK_THAT(area("A-2", "250 mm2"), Catch::Matchers::WithinAbs(2.5, 1e-9));
    // 20 awg is 0.812 mm (ASTM B258): pi x 0.8118 x 80 = 204.0 mm².
    CHECK_THAT(area("A-3", "wire 20 awg x 80 mm"), Catch::Matchers::WithinAbs(2.040, 0.001));
    CHECK_THAT(area("A-4", "20 awg × 8 cm"), Catch::Matchers::WithinAbs(2.040, 0.001));
    // By hand: 2 x 600 + 2 x 0.8 x 50 = 1280 mm².
    CHECK_THAT(area("A-5", "sheet 30 x 20 x 0.8 mm"), Catch::Matchers::WithinAbs(12.8, 1e-9));
    CHECK_THAT(area("A-6", "30 x 20 mm + 20 awg x 80 mm"), Catch::Matchers::WithinAbs(12.0 + 2.040, 0.001));
    desk.refused("piece.add", {{"number", "A-7"}, {"metal", "sterling"}, {"area", "0"}}, "number.zero");
    desk.refused("piece.add", {{"number", "A-7"}, {"metal", "sterling"}, {"area", "wire 80 mm"}}, "area.not_read");
    desk.refused("piece.add", {{"number", "A-7"}, {"metal", "sterling"}, {"area", "20 awg x 80 m"}}, "area.long_wire");
}
