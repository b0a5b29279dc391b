#include "store/bath_store.hpp"
#include "store/dip_store.hpp"
#include "store/piece_store.hpp"
#include "store/test_log.hpp"
#include "store/unfilled_store.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <set>

namespace tonebath::store {
namespace {

// A small studio: a lot, two baths, a batch of three pieces, one of them with two parts, and a strip.
struct Small {
    std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids{1};
    Lot lot;
    Metal metal;
    Bath older = bath_numbered(ids, "45");
    Bath newer = bath_numbered(ids, "46");
    Batch batch;
    std::vector<Piece> pieces;
    Part lid, cup;
    Strip strip;

    Small() {
        lot.id = ids.next<Lot>(kMorning);
        lot.number = "LS-1";
        lot.finish_kind = "liver_of_sulfur";
        lot.made_at = kMorning;
        metal.id = ids.next<Metal>(kMorning);
        metal.name = "sterling";
        metal.made_at = kMorning;
        older.lot_id = newer.lot_id = lot.id;
        older.made_up_at = plus_seconds(kMorning, -86400.0);
        batch.id = ids.next<Batch>(kMorning);
        batch.number = "31";
        batch.made_at = kMorning;
        for (const char* number : {"L-10", "L-9", "L-8"}) {
            Piece piece = piece_numbered(ids, number);
            piece.batch_id = batch.id;
            pieces.push_back(piece);
        }
        pieces[2].rack = 2;
        pieces[0].rack = pieces[1].rack = 1;
        lid = part("lid");
        cup = part("cup");
        strip.id = ids.next<Strip>(kMorning);
        strip.number = "S-1";
        strip.metal_id = metal.id;
        strip.surface = "satin";
        strip.made_at = kMorning;
        write([&] {
            insert(*log, lot);
            insert(*log, metal);
            insert(*log, older);
            insert(*log, newer);
            insert(*log, batch);
            for (const Piece& piece : pieces) {
                insert(*log, piece);
            }
            insert(*log, lid);
            insert(*log, cup);
            insert(*log, strip);
        });
    }

    void write(const std::function<void()>& work) { in_change(*log, ids, "step", work); }

    Part part(const std::string& name) {
        Part made;
        made.id = ids.next<Part>(kMorning);
        made.piece_id = pieces[0].id;
        made.name = name;
        made.made_at = kMorning;
        return made;
    }
    Dip dip(double at_s, std::optional<double> length_s) {
        Dip made;
        made.id = ids.next<Dip>(kMorning);
        made.bath_id = newer.id;
        made.dropped_at = plus_seconds(kMorning, at_s);
        if (length_s) {
            made.out_at = plus_seconds(kMorning, at_s + *length_s);
            made.in_bath = Seconds::from_seconds(*length_s);
        }
        made.made_at = kMorning;
        return made;
    }
    Judgement judgement(double at_s) {
        Judgement made;
        made.id = ids.next<Judgement>(kMorning);
        made.at = plus_seconds(kMorning, at_s);
        made.made_at = kMorning;
        return made;
    }
};

template <class Noun>
std::vector<std::string> ids_of(const std::vector<Noun>& records) {
    std::vector<std::string> ids;
    for (const Noun& record : records) {
        ids.push_back(record.id.text);
    }
    return ids;
}

TEST_CASE("running dips are those dropped, not out and of unknown length") {
    Small small;
    Dip running = small.dip(10.0, std::nullopt);
    running.piece_id = small.pieces[1].id;
    running.lane = 2;
    Dip first = small.dip(20.0, std::nullopt);
    first.piece_id = small.pieces[2].id;
    first.lane = 1;
    Dip done = small.dip(0.0, 40.0);
    done.strip_id = small.strip.id;
    Dip past = small.dip(0.0, std::nullopt);
    past.strip_id = small.strip.id;
    past.dropped_at.reset();
    past.in_bath = Seconds::from_seconds(50.0);
    past.past_work = true;
    small.write([&] {
        for (const Dip& dip : {running, first, done, past}) {
            insert(*small.log, dip);
        }
    });
    CHECK(ids_of(running_dips(*small.log)) == std::vector<std::string>{first.id.text, running.id.text});
    running.out_at = plus_seconds(kMorning, 60.0);
    small.write([&] { update(*small.log, running); });
    CHECK(ids_of(running_dips(*small.log)) == std::vector<std::string>{first.id.text});
}

TEST_CASE("dips and judgements of a piece take in those of its parts, in order of time") {
    Small small;
    Dip whole = small.dip(200.0, 20.0);
    whole.piece_id = small.pieces[0].id;
    Dip of_lid = small.dip(100.0, 20.0);
    of_lid.part_id = small.lid.id;
    Dip other = small.dip(150.0, 20.0);
    other.piece_id = small.pieces[1].id;
    Judgement of_cup = small.judgement(300.0);
    of_cup.part_id = small.cup.id;
    Judgement of_whole = small.judgement(250.0);
    of_whole.piece_id = small.pieces[0].id;
    small.write([&] {
        for (const Dip& dip : {whole, of_lid, other}) {
            insert(*small.log, dip);
        }
        insert(*small.log, of_cup);
        insert(*small.log, of_whole);
    });
    CHECK(ids_of(dips_of(*small.log, small.pieces[0].id)) == std::vector<std::string>{of_lid.id.text, whole.id.text});
    CHECK(ids_of(dips_of(*small.log, small.lid.id)) == std::vector<std::string>{of_lid.id.text});
    CHECK(ids_of(dips_of(*small.log, small.newer.id)) ==
          std::vector<std::string>{of_lid.id.text, other.id.text, whole.id.text});
    CHECK(dips_of(*small.log, small.older.id).empty());
    CHECK(dips_of(*small.log, small.strip.id).empty());
    CHECK(ids_of(judgements_of(*small.log, small.pieces[0].id)) ==
          std::vector<std::string>{of_whole.id.text, of_cup.id.text});
    CHECK(ids_of(judgements_of(*small.log, small.cup.id)) == std::vector<std::string>{of_cup.id.text});
    CHECK(judgements_of(*small.log, small.strip.id).empty());
}

TEST_CASE("baths in use, their readings in order, pieces by rack and number, strips of a metal") {
    Small small;
    CHECK(ids_of(baths_in_use(*small.log)) == std::vector<std::string>{small.newer.id.text, small.older.id.text});
    small.newer.ended_at = kMorning;
    Reading late;
    late.id = small.ids.next<Reading>(kMorning);
    late.bath_id = small.older.id;
    late.at = plus_seconds(kMorning, 60.0);
    late.made_at = kMorning;
    Reading early = late;
    early.id = small.ids.next<Reading>(kMorning);
    early.at = kMorning;
    TopUp top_up;
    top_up.id = small.ids.next<TopUp>(kMorning);
    top_up.bath_id = small.older.id;
    top_up.at = top_up.made_at = kMorning;
    small.write([&] {
        update(*small.log, small.newer);
        insert(*small.log, late);
        insert(*small.log, early);
        insert(*small.log, top_up);
    });
    CHECK(ids_of(baths_in_use(*small.log)) == std::vector<std::string>{small.older.id.text});
    CHECK(ids_of(readings_of(*small.log, small.older.id)) == std::vector<std::string>{early.id.text, late.id.text});
    CHECK(top_ups_of(*small.log, small.older.id).size() == 1);
    CHECK(ids_of(pieces_of(*small.log, small.batch.id)) ==
          std::vector<std::string>{small.pieces[1].id.text, small.pieces[0].id.text, small.pieces[2].id.text});
    CHECK(ids_of(parts_of(*small.log, small.pieces[0].id)) ==
          std::vector<std::string>{small.cup.id.text, small.lid.id.text});
    CHECK(strips_of(*small.log, small.metal.id).size() == 1);
    CHECK(strips_of(*small.log, small.metal.id, "satin").size() == 1);
    CHECK(strips_of(*small.log, small.metal.id, "bright").empty());
}

TEST_CASE("what went out of a lot adds baths, top-ups and spoiling, and counts what is unknown") {
    Small small;
    small.older.amount = 2.0;  // the newer bath's stays unknown
    TopUp stock;
    stock.id = small.ids.next<TopUp>(kMorning);
    stock.bath_id = small.older.id;
    stock.amount = 0.5;
    stock.at = stock.made_at = kMorning;
    TopUp water = stock;
    water.id = small.ids.next<TopUp>(kMorning);
    water.amount.reset();
    water.water_added = Millilitres::from_ml(50.0);
    LotWeighing weighing;
    weighing.id = small.ids.next<LotWeighing>(kMorning);
    weighing.lot_id = small.lot.id;
    weighing.at = weighing.made_at = kMorning;
    weighing.left_amount = 96.5;
    weighing.spoiled_amount = 1.0;
    LotWeighing before = weighing;
    before.id = small.ids.next<LotWeighing>(kMorning);
    before.at = plus_seconds(kMorning, -1000.0);
    before.left_amount = 100.0;
    before.spoiled_amount.reset();
    small.write([&] {
        update(*small.log, small.older);
        insert(*small.log, stock);
        insert(*small.log, water);
        insert(*small.log, weighing);
        insert(*small.log, before);
    });
    const LotUse use = lot_use(*small.log, small.lot.id);
    CHECK(use.made_up == 2.0);
    CHECK(use.topped_up == 0.5);
    CHECK(use.spoiled == 1.0);
    CHECK(use.baths == 2);
    CHECK(use.unknown_amounts == 1);
    REQUIRE(use.last_weighing.has_value());
    CHECK(use.last_weighing->left_amount == 96.5);
    const LotUse none = lot_use(*small.log, small.ids.next<Lot>(kMorning));
    CHECK(none.baths == 0);
    CHECK_FALSE(none.last_weighing.has_value());
}

TEST_CASE("the next number goes on from the highest in digits, keeps its width, and leaves other names alone") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(2);
    CHECK(next_number<Piece>(*log, "L-") == "L-1");
    CHECK(next_number<Bath>(*log) == "1");
    in_change(*log, ids, "numbers", [&] {
        for (const char* number : {"L-9", "L-10", "L-131", "L-2a", "L-", "LX-500", "M-007", "L-99999999999999999999"}) {
            insert(*log, piece_numbered(ids, number));
        }
        insert(*log, bath_numbered(ids, "9"));
        insert(*log, bath_numbered(ids, "10"));
    });
    CHECK(next_number<Piece>(*log, "L-") == "L-132");
    CHECK(next_number<Piece>(*log, "M-") == "M-008");
    CHECK(next_number<Piece>(*log, "N-") == "N-1");
    CHECK(next_number<Bath>(*log, "") == "11");
    CHECK(next_number<Bath>(*log) == "11");
    in_change(*log, ids, "more", [&] { insert(*log, piece_numbered(ids, "L-9%")); });
    CHECK(next_number<Piece>(*log) == "L-9%-1");
    in_change(*log, ids, "more", [&] { insert(*log, piece_numbered(ids, "L-140")); });
    CHECK(next_number<Piece>(*log) == "L-141");
}

std::multiset<Gap> gaps(Log& log) {
    std::multiset<Gap> found;
    for (const Unfilled& one : unfilled(log, kMorning)) {
        found.insert(one.gap);
    }
    return found;
}

TEST_CASE("what was skipped is listed until it is filled in") {
    Small small;
    CHECK(gaps(*small.log) == std::multiset<Gap>{Gap::bath_amount, Gap::bath_amount, Gap::bath_water, Gap::bath_water,
                                                 Gap::bath_start_temp, Gap::bath_start_temp, Gap::part_metal,
                                                 Gap::part_metal});
    small.lid.metal_id = small.cup.metal_id = small.metal.id;
    for (Bath* bath : {&small.older, &small.newer}) {
        bath->amount = 2.0;
        bath->water = Millilitres::from_ml(400.0);
        bath->start_temp = Celsius::from_celsius(60.0);
    }
    small.newer.ended_at = plus_seconds(kMorning, 3600.0);
    Dip of_lid = small.dip(0.0, 40.0);
    of_lid.part_id = small.lid.id;
    Dip of_piece = small.dip(0.0, 40.0);
    of_piece.piece_id = small.pieces[1].id;
    Dip running = small.dip(0.0, std::nullopt);
    running.strip_id = small.strip.id;
    small.write([&] {
        update(*small.log, small.lid);
        update(*small.log, small.cup);
        update(*small.log, small.older);
        update(*small.log, small.newer);
        for (const Dip& dip : {of_lid, of_piece, running}) {
            insert(*small.log, dip);
        }
    });
    CHECK(gaps(*small.log) == std::multiset<Gap>{Gap::dip_tone, Gap::dip_tone, Gap::dip_preparation,
                                                 Gap::dip_preparation, Gap::dip_preparation, Gap::dip_rinse,
                                                 Gap::dip_rinse, Gap::dip_who, Gap::dip_who, Gap::dip_who,
                                                 Gap::bath_disposal, Gap::piece_parts});
    const std::vector<Unfilled> all = unfilled(*small.log, kMorning);
    CHECK(std::any_of(all.begin(), all.end(), [&](const Unfilled& one) {
        return one.gap == Gap::dip_tone && one.record_id == of_lid.id.text && one.number == "L-10 lid" &&
               one.table == "dip";
    }));

    Judgement early = small.judgement(10.0);  // before the piece was out: says nothing of the dip
    early.piece_id = small.pieces[1].id;
    Judgement later = small.judgement(100.0);
    later.part_id = small.lid.id;
    Preparation of_batch;
    of_batch.id = small.ids.next<Preparation>(kMorning);
    of_batch.batch_id = small.batch.id;
    of_batch.at = of_batch.made_at = kMorning;
    Disposal disposal;
    disposal.id = small.ids.next<Disposal>(kMorning);
    disposal.bath_id = small.newer.id;
    disposal.at = disposal.made_at = kMorning;
    Part whole = small.part("whole");
    whole.piece_id = small.pieces[1].id;
    whole.metal_id = small.metal.id;
    small.write([&] {
        insert(*small.log, early);
        insert(*small.log, later);
        insert(*small.log, of_batch);
        insert(*small.log, disposal);
        insert(*small.log, whole);
    });
    CHECK(gaps(*small.log) == std::multiset<Gap>{Gap::dip_tone, Gap::dip_preparation, Gap::dip_rinse, Gap::dip_rinse,
                                                 Gap::dip_who, Gap::dip_who, Gap::dip_who});
    Rinse rinse;
    rinse.id = small.ids.next<Rinse>(kMorning);
    rinse.dip_id = of_lid.id;
    rinse.at = rinse.made_at = kMorning;
    of_piece.past_work = true;  // nobody is asked of it, nor its rinse; its length is known
    running.past_work = true;   // its length is not
    small.write([&] {
        insert(*small.log, rinse);
        update(*small.log, of_piece);
        update(*small.log, running);
    });
    CHECK(gaps(*small.log) == std::multiset<Gap>{Gap::dip_tone, Gap::dip_preparation, Gap::dip_who, Gap::dip_length});
    CHECK(unfilled(*small.log, plus_seconds(kMorning, 1.0)).empty());
    CHECK(unfilled(*small.log, kMorning, 1).size() == 1);

    disposal.withdrawn_by = "MK";
    small.write([&] { update(*small.log, disposal); });
    CHECK(gaps(*small.log).count(Gap::bath_disposal) == 1);
}

}  // namespace
}  // namespace tonebath::store
