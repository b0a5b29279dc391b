// Every page's view on a new log, and on one that holds very little: never a stop, and nothing made up.
#include "app/studio_desk.hpp"

#include "app/bench.hpp"
#include "app/learning.hpp"
#include "app/views/baths_view.hpp"
#include "app/views/bench_view.hpp"
#include "app/views/glance_view.hpp"
#include "app/views/pieces_view.hpp"
#include "app/views/scales_view.hpp"
#include "app/views/today_view.hpp"
#include "app/views/tones_view.hpp"
#include "store/change.hpp"

#include <chrono>

using namespace tonebath;
using namespace tonebath::test;

namespace {

void look_at_all(Desk& desk, const std::shared_ptr<const app::Learned>& learned) {
    app::Studio& studio = desk.studio();
    const app::TodayView today = app::today_view(studio, learned);
    CHECK_FALSE(app::today_text(studio, today).empty());
    const app::Laws laws = learned ? app::laws_of(*learned) : app::Laws{};
    for (const app::BathRow& row : app::baths_list(studio).baths) {
        CHECK(app::bath_portrait(studio, row.id, laws).has_value());
    }
    static_cast<void>(app::bench_view(studio, learned));
    for (const app::PieceRow& row : app::piece_list(studio, "").rows) {
        CHECK(app::piece_story(studio, row.id, laws).has_value());
    }
    for (const Batch& batch : desk.all<Batch>()) {
        CHECK(app::batch_spread(studio, batch.id).has_value());
    }
    for (const app::ScaleView& scale : app::scales_view(studio)) {
        for (int aim = -1; aim <= static_cast<int>(scale.tones.size()); ++aim) {
            static_cast<void>(app::tones_view(studio, learned, {.scale = scale.id.text, .aim = aim}));
        }
    }
    static_cast<void>(app::tones_view(studio, learned, {.scale = "not an id", .aim = 99}));
    static_cast<void>(app::glance_view(studio));
}

}  // namespace

TEST_CASE("Views of a new log show nothing and say what comes first") {
    Desk desk;
    look_at_all(desk, nullptr);
    const auto learned = app::learn(desk.studio());
    CHECK(app::records_used(*learned) == 0);
    look_at_all(desk, learned);
    CHECK(app::glance_view(desk.studio()).empty);
    const app::TodayView today = app::today_view(desk.studio(), learned);
    CHECK(today.day.empty());
    CHECK_FALSE(today.next);
    CHECK(today.owed.empty());
    CHECK_FALSE(today.advice.empty());
    CHECK(app::baths_list(desk.studio()).baths.empty());
    CHECK(app::piece_list(desk.studio(), "limpet").rows.empty());
    CHECK_FALSE(app::scales_view(desk.studio()).empty());
    const app::TonesView tones = app::tones_view(desk.studio(), learned, {});
    CHECK(tones.strips == 0);
    CHECK_FALSE(tones.plan);
    CHECK_FALSE(tones.no_plan_words.empty());
}

TEST_CASE("Views bear records of which little is known") {
    Desk desk;
    // Nothing but numbers, as past work is often written down.
    desk.does("lot.add", {{"number", "old jar"}});
    desk.does("bath.make-up", {{"number", "1"}, {"past", "yes"}});
    desk.does("bath.make-up", {{"number", "2"}, {"past", "yes"}, {"start-temp", "60"}});
    desk.does("batch.add", {{"number", "1"}});
    desk.does("piece.add", {{"number", "P-1"}, {"batch", "1"}});
    desk.does("strip.add", {{"number", "1"}, {"metal", "copper"}});
    desk.does("dip.enter", {{"bath", "1"}, {"piece", "P-1"}});
    desk.does("dip.enter", {{"bath", "2"}, {"strip", "1"}, {"length", "30"}});
    desk.does("judgement.add", {{"strip", "1"}, {"tone", "brown"}});
    desk.does("bath.other-finish", {{"kind", "heat patina"}, {"measure", "200"}, {"measure-in", "metal °C"}, {"piece", "P-1"}});
    look_at_all(desk, nullptr);
    look_at_all(desk, app::learn(desk.studio()));
    CHECK_FALSE(app::bath_portrait(desk.studio(), {"not an id"}, {}));
    CHECK_FALSE(app::piece_story(desk.studio(), {"not an id"}, {}));
    CHECK_FALSE(app::batch_spread(desk.studio(), {"not an id"}));
}

TEST_CASE("The list of pieces comes at once from a log of thousands") {
    Desk desk;
    desk.set_up();
    const int pieces = 5000;
    desk.does("piece.add", {{"number", "L-1..L-200"}, {"metal", "sterling"}, {"design", "Limpet"}});
    {
        IdSource ids(3);
        store::Change change(desk.log(), "many pieces", desk.studio().now(), "", ids);
        Piece piece = desk.last<Piece>();
        for (int i = 201; i <= pieces; ++i) {
            piece.id = ids.next<Piece>(piece.made_at);
            piece.number = "L-" + std::to_string(i);
            store::insert(desk.log(), piece);
        }
        change.commit();
    }
    const auto began = std::chrono::steady_clock::now();
    const app::PieceList list = app::piece_list(desk.studio(), "");
    const double all_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
    CHECK(list.rows.size() == static_cast<std::size_t>(pieces));
    CHECK(list.rows[9].number == "L-10");
    const app::PieceList found = app::piece_list(desk.studio(), "limpet L-4999");
    CHECK(found.rows.size() == 1);
    WARN("5000 pieces listed in " << all_s << " s");
    // A second with sanitizers on a busy machine; a list that asks the log again for each piece takes many.
    CHECK(all_s < 2.0);
}
