// What pieces take, what mistakes cost, the kit of a class, this week last year: against sums done by hand.
#include "app/studio_desk.hpp"

#include "app/kit.hpp"
#include "app/season.hpp"
#include "app/work_figures.hpp"
#include "store/change.hpp"

#include <map>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::WithinAbs;

namespace {

// Records as a bench would leave them, past the forms: moments to the second.
struct Bench : Desk {
    const Stamp begun = *parse_iso("2026-03-30T09:00+01:00", 0);
    IdSource ids{77};

    template <class Noun>
    Noun add(Noun record, const Stamp& at) {
        record.id = ids.next<Noun>(at);
        record.made_at = at;
        store::Change change(log(), "add", at, "", ids);
        store::insert(log(), record);
        change.commit();
        return record;
    }
    Stamp at(double minutes) const { return plus_seconds(begun, 60.0 * minutes); }
    Bath bath(const std::string& number, double minutes) {
        Bath one;
        one.number = number;
        one.finish_kind = "liver_of_sulfur_lump";
        one.made_up_at = at(minutes);
        one.room_temp = Celsius::from_celsius(18.0);
        return add(one, at(minutes));
    }
    Piece piece(const std::string& number, const std::string& design, const std::optional<Id<Batch>>& batch = {}) {
        Piece one;
        one.number = number;
        one.design = design;
        one.batch_id = batch;
        return add(one, begun);
    }
    Batch batch(const std::string& number) {
        Batch one;
        one.number = number;
        one.design = "Limpet";
        return add(one, begun);
    }
    void dip(const Bath& in, const Piece& what, double minutes, double seconds) {
        Dip one;
        one.bath_id = in.id;
        one.piece_id = what.id;
        one.dropped_at = at(minutes);
        one.out_at = plus_seconds(at(minutes), seconds);
        one.in_bath = Seconds::from_seconds(seconds);
        add(one, *one.out_at);
    }
    void over(const Piece& what, double minutes) {
        Judgement one;
        one.piece_id = what.id;
        one.at = at(minutes);
        one.sense = Sense::gone_over;
        one.tone_id = store::list<Tone>(log(), "LIMIT 1").front().id;
        add(one, at(minutes));
    }
    void after(const std::optional<Id<Piece>>& what, const std::optional<Id<Batch>>& whole, double minutes, double length_min) {
        AfterWork one;
        one.piece_id = what;
        one.batch_id = whole;
        one.step = AfterStep::rubbed_back;
        one.at = at(minutes);
        one.length = Seconds::from_seconds(60.0 * length_min);
        add(one, at(minutes));
    }
};

const app::PieceWork& work_of(const app::WorkFigures& figures, const std::string& piece) {
    for (const app::PieceWork& one : figures.pieces) {
        if (one.piece == piece) {
            return one;
        }
    }
    FAIL("no " << piece);
    return figures.pieces.front();
}

}  // namespace

TEST_CASE("40 min of set-up over 24 pieces are 1.67 min each; over one piece they are 40") {
    Bench bench;
    const Batch batch = bench.batch("31");
    const Bath many = bench.bath("1", 0.0);
    for (int i = 1; i <= 24; ++i) {
        bench.dip(many, bench.piece("L-" + std::to_string(i), "Limpet", batch.id), 40.0, 60.0);  // one rack, in and out together
    }
    const Bath one = bench.bath("2", 120.0);
    bench.dip(one, bench.piece("N-1", "Lantern"), 160.0, 60.0);
    bench.piece("N-2", "Lantern");  // never worked on: it is in no mean
    const app::WorkFigures figures = app::work_figures(bench.studio());
    REQUIRE(figures.pieces.size() == 25);
    CHECK_THAT(work_of(figures, "L-7").set_up_min, WithinAbs(40.0 / 24.0, 1e-9));
    CHECK_THAT(work_of(figures, "L-7").set_up_min, WithinAbs(1.67, 0.005));
    CHECK_THAT(work_of(figures, "L-7").bath_min, WithinAbs(1.0 / 24.0, 1e-9));  // one minute at the bath for all
    CHECK_THAT(work_of(figures, "N-1").set_up_min, WithinAbs(40.0, 1e-9));
    REQUIRE(figures.groups.size() == 2);
    CHECK(figures.groups[0].name == "Batch 31");
    CHECK(figures.groups[0].pieces == 24);
    CHECK_THAT(figures.groups[0].minutes, WithinAbs(41.0 / 24.0, 1e-9));
    REQUIRE(figures.by_size.size() == 2);
    CHECK(app::work_text(figures).find("Batch 31, Limpet: 1.7 min a piece") != std::string::npos);
}

TEST_CASE("time at the bath is the wall's: lanes side by side share it, a long pause is none of it") {
    Bench bench;
    const Bath bath = bench.bath("1", 0.0);
    const Piece a = bench.piece("A-1", "Limpet");
    const Piece b = bench.piece("B-1", "Groyne");
    bench.dip(bath, a, 10.0, 120.0);
    bench.dip(bath, b, 11.0, 120.0);  // from minute 10 to 13 for both
    bench.dip(bath, a, 60.0, 60.0);   // an hour later, alone
    const app::WorkFigures figures = app::work_figures(bench.studio());
    CHECK_THAT(work_of(figures, "A-1").bath_min, WithinAbs(1.5 + 1.0, 1e-9));
    CHECK_THAT(work_of(figures, "B-1").bath_min, WithinAbs(1.5, 1e-9));
    CHECK_THAT(work_of(figures, "A-1").set_up_min, WithinAbs(5.0, 1e-9));
}

TEST_CASE("what was done to a whole batch is spread, what came after gone over is rework, and the price is a sum") {
    Bench bench;
    const Batch batch = bench.batch("31");
    const Bath bath = bench.bath("1", 0.0);
    std::vector<Piece> pieces;
    for (int i = 1; i <= 4; ++i) {
        pieces.push_back(bench.piece("L-" + std::to_string(i), "Limpet", batch.id));
        bench.dip(bath, pieces.back(), 8.0, 60.0);
    }
    bench.after({}, batch.id, 20.0, 12.0);        // 3 min each
    bench.after(pieces[0].id, {}, 30.0, 5.0);
    bench.over(pieces[1], 40.0);
    bench.after(pieces[1].id, {}, 50.0, 15.0);    // rubbed back: done over
    bench.over(pieces[2], 40.0);                  // left as it is
    app::WorkFigures figures = app::work_figures(bench.studio());
    CHECK_THAT(work_of(figures, "L-1").set_up_min, WithinAbs(8.0 / 4.0, 1e-9));
    CHECK_THAT(work_of(figures, "L-1").batch_min, WithinAbs(3.0, 1e-9));
    CHECK_THAT(work_of(figures, "L-1").after_min, WithinAbs(5.0, 1e-9));
    CHECK_THAT(work_of(figures, "L-2").rework_min, WithinAbs(15.0, 1e-9));
    CHECK_FALSE(work_of(figures, "L-2").gone_over);
    CHECK(work_of(figures, "L-3").gone_over);
    REQUIRE(figures.groups.size() == 1);
    // 4 × (2 + 0.25 + 3) + 5 + 15 = 41 min over the three that came out.
    REQUIRE(figures.groups[0].per_good);
    CHECK_THAT(*figures.groups[0].per_good, WithinAbs(41.0 / 3.0, 1e-9));
    CHECK_FALSE(figures.groups[0].cost);

    CHECK(app::set_work_rates(bench.studio(), "dear", "", "").error().code == "rate.bad");
    CHECK(app::set_work_rates(bench.studio(), "0", "", "").error().code == "rate.bad");
    REQUIRE(app::set_work_rates(bench.studio(), "18", "6", ""));
    figures = app::work_figures(bench.studio());
    CHECK_THAT(*figures.groups[0].cost, WithinAbs(41.0 / 3.0 / 60.0 * 18.0 + 6.0 * 4.0 / 3.0, 1e-9));

    Stone stone;
    stone.number = "F-1";
    stone = bench.add(stone, bench.begun);
    FollowUp look;
    look.stone_id = stone.id;
    look.at = bench.at(60.0);
    look.seen = SeenAs::lifted;
    bench.add(look, look.at);
    look.at = bench.at(70.0);
    bench.add(look, look.at);  // seen twice, counted once
    const app::MistakeFigures mistakes = app::mistake_figures(bench.studio());
    REQUIRE(mistakes.all.size() == 3);
    CHECK_THAT(mistakes.minutes, WithinAbs(15.0 + 5.25, 1e-9));
    CHECK(mistakes.without_cost == 1);  // the stone has no price
    CHECK_THAT(*mistakes.cost, WithinAbs(15.0 / 60.0 * 18.0 + 5.25 / 60.0 * 18.0 + 6.0, 1e-9));
    double sum = 0.0;
    for (const app::Mistake& one : mistakes.all) {
        sum += one.cost.value_or(0.0);
    }
    CHECK_THAT(*mistakes.cost, WithinAbs(sum, 1e-12));
    CHECK(app::mistake_figures(bench.studio(), 1).all.empty());
    CHECK(date_text(mistakes.from) == "1 Jan 2026");
}

TEST_CASE("a kit is what one seat needs times the seats, with spare, rounded up; counted by hand") {
    Bench bench;
    bench.does("piece.add", {{"number", "G-1"}, {"design", "Groyne"}, {"metal", "copper"}});
    bench.does("stone.add", {{"number", "S-1"}, {"kind", "garnet"}, {"piece", "G-1"}});
    bench.does("stone.add", {{"number", "S-2"}, {"kind", "garnet"}, {"piece", "G-1"}});
    const auto kit = app::kit_for(bench.studio(), {.class_number = {}, .design = "Groyne", .seats = 12, .spare_percent = 10.0, .items = {"jump ring 6 mm: 3", "bench card"}});
    REQUIRE(kit);
    std::map<std::string, std::size_t> totals;
    for (const app::KitLine& line : kit->lines) {
        totals[line.item] = line.total;
    }
    // 12 seats and 1.2 spare: 13.2, so 14; two garnets 26.4, so 27; three rings 39.6, so 40.
    CHECK(totals.at("Groyne, copper") == 14);
    CHECK(totals.at("garnet") == 27);
    CHECK(totals.at("jump ring 6 mm") == 40);
    CHECK(totals.at("bench card") == 14);
    CHECK(totals.at("pair of nitrile gloves") == 14);
    const auto none_spare = app::kit_for(bench.studio(), {.class_number = {}, .design = "Groyne", .seats = 10, .spare_percent = 0.0, .items = {}});
    CHECK(none_spare->lines.front().total == 10);
    CHECK(app::kit_for(bench.studio(), {}).error().code == "kit.no_seats");
    CHECK(app::kit_for(bench.studio(), {.class_number = {}, .design = {}, .seats = 3, .spare_percent = 10.0, .items = {"rings: many"}}).error().code == "kit.bad_item");
    CHECK(app::kit_for(bench.studio(), {.class_number = {}, .design = {}, .seats = 3, .spare_percent = -1.0, .items = {}}).error().code == "kit.bad_spare");
    const auto unknown = app::kit_for(bench.studio(), {.class_number = {}, .design = "Kelp", .seats = 3, .spare_percent = 10.0, .items = {}});
    REQUIRE(unknown);
    CHECK(unknown->not_known.size() == 1);
}

TEST_CASE("this week beside the same days a year before, and the months between") {
    Bench bench;  // today is 31 March 2026
    const auto on = [&](const char* iso) { return seconds_between(bench.begun, *parse_iso(iso, 0)) / 60.0; };
    bench.dip(bench.bath("1", on("2025-03-28T10:00+01:00")), bench.piece("L-1", "Limpet"), on("2025-03-28T10:05+01:00"), 40.0);
    bench.dip(bench.bath("2", on("2026-03-27T10:00+01:00")), bench.piece("L-2", "Limpet"), on("2026-03-27T10:05+01:00"), 50.0);
    bench.dip(bench.bath("3", on("2026-03-20T10:00+01:00")), bench.piece("L-3", "Limpet"), on("2026-03-20T10:05+01:00"), 60.0);
    const app::Seasons seasons = app::seasons(bench.studio());
    CHECK(seasons.this_week.baths == 1);
    CHECK(seasons.this_week.pieces == 1);
    CHECK_THAT(*seasons.this_week.in_bath_s, WithinAbs(50.0, 1e-9));
    CHECK(seasons.week_last_year.dips == 1);
    CHECK_THAT(*seasons.week_last_year.in_bath_s, WithinAbs(40.0, 1e-9));
    REQUIRE(seasons.months.size() == 13);
    CHECK(seasons.months.front().name == "Mar 2025");
    CHECK(seasons.months.back().baths == 2);
    CHECK_THAT(*seasons.months.back().in_bath_s, WithinAbs(55.0, 1e-9));
    CHECK(seasons.months[5].baths == 0);
    CHECK_FALSE(seasons.months[5].room_c);
    CHECK(app::seasons_text(seasons).find("The same week last year") != std::string::npos);
    Desk empty;
    CHECK(app::seasons(empty.studio()).months.empty());
    CHECK(app::seasons_text(app::seasons(empty.studio())).find("Nothing was logged then.") != std::string::npos);
}
