// The bench's lay-out after what it named was removed, ended or spoiled.
#include "app/studio_desk.hpp"

#include "app/bench.hpp"
#include "app/views/bench_view.hpp"
#include "store/change.hpp"

#include <cmath>

using namespace tonebath;
using namespace tonebath::test;

TEST_CASE("A lay-out leaves out what is no longer there") {
    Desk desk;
    desk.make_bath();
    desk.does("strip.add", {{"number", "1..2"}, {"metal", "sterling"}});
    desk.does("piece.add", {{"number", "L-1"}, {"metal", "sterling"}});
    desk.does("piece.add", {{"number", "B-1"}});
    desk.does("part.add", {{"piece", "B-1"}, {"name", "lid"}, {"metal", "sterling"}});
    desk.does("bench.lay-out", {{"bath", "1"}, {"strip", "1"}, {"piece", "L-1"}, {"aim", "blue"}, {"every", "15"}, {"rinse", "20"}});
    const app::BenchLayout laid = app::bench_layout(desk.studio());
    REQUIRE(laid.bath_id);
    const std::size_t lanes = laid.lanes.size();
    CHECK(lanes >= 2);
    CHECK(laid.aim.has_value());
    CHECK(laid.every_s == 15.0);
    CHECK(laid.rinse_s == 20.0);
    SECTION("a strip taken back") {
        {
            IdSource ids(1);
            store::Change change(desk.log(), "remove", desk.studio().now(), "", ids);
            store::remove(desk.log(), laid.lanes.front().strip ? *laid.lanes.front().strip : *laid.lanes.back().strip);
            change.commit();
        }
        CHECK(app::bench_layout(desk.studio()).lanes.size() == lanes - 1);
        CHECK(app::bench_view(desk.studio(), nullptr).lanes.size() == lanes - 1);
    }
    SECTION("the bath") {
        {
            IdSource ids(1);
            store::Change change(desk.log(), "remove", desk.studio().now(), "", ids);
            store::remove(desk.log(), *laid.bath_id);
            change.commit();
        }
        CHECK_FALSE(app::bench_layout(desk.studio()).bath_id);
        const app::BenchView view = app::bench_view(desk.studio(), nullptr);
        CHECK_FALSE(view.bath);
        CHECK(view.lanes.size() == lanes);
    }
    SECTION("the bath ended: it is shown as it is, and nothing can be dropped") {
        desk.does("bath.end", {{"bath", "1"}});
        static_cast<void>(app::bench_view(desk.studio(), nullptr));
        desk.refused("dip.drop", {{"bath", "1"}, {"strip", "2"}}, "dip.bath_ended");
    }
    SECTION("the setting spoiled by another hand") {
        for (const char* text : {"", "bath", "bath \nstrip\npiece nonsense\naim x\nevery NaN\nrinse -1e999\nat yesterday\n\n\n", "\xFF\xFE\n", "every inf\nrinse inf"}) {
            desk.log().set_setting("bench", text);
            const app::BenchLayout layout = app::bench_layout(desk.studio());
            CHECK(layout.lanes.empty());
            CHECK(std::isfinite(layout.rinse_s));
            CHECK(layout.rinse_s >= 0.0);
            CHECK((!layout.every_s || std::isfinite(*layout.every_s)));
            static_cast<void>(app::bench_view(desk.studio(), nullptr));
        }
    }
}

TEST_CASE("A piece that was laid out twice, or dipped as a whole and by part, stands once in the bath") {
    Desk desk;
    desk.make_bath();
    desk.check_bath();
    desk.does("piece.add", {{"number", "L-1..L-3"}, {"metal", "sterling"}});
    desk.does("bench.lay-out", {{"bath", "1"}, {"piece", "L-1\nL-2\nL-1"}, {"aim", "blue"}});
    CHECK(app::bench_layout(desk.studio()).lanes.size() == 2);
    // A dip of something that is not laid out is shown all the same.
    desk.does("dip.drop", {{"bath", "1"}, {"piece", "L-3"}, {"lane", "5"}});
    const app::BenchView view = app::bench_view(desk.studio(), nullptr);
    REQUIRE(view.lanes.size() == 3);
    std::size_t in = 0;
    for (const app::BenchLane& lane : view.lanes) {
        in += lane.state == LaneState::in_bath ? 1U : 0U;
    }
    CHECK(in == 1);
    // Named twice in one drop: one dip, one press.
    desk.does("dip.drop", {{"bath", "1"}, {"piece", "L-2\nl-2"}});
    CHECK(desk.all<Dip>().size() == 2);
    CHECK(desk.all<Press>().size() == 2);
    desk.does("dip.out", {{"piece", "L-2\nL-2"}});
    CHECK(desk.all<Press>().size() == 3);
}
