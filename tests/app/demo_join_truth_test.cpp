// P10: the travelling bench's log is joined with the invented studio's; P18: minutes by size of batch. Counts are those of the truth apart.
#include "app/demo/demo.hpp"
#include "app/join.hpp"
#include "app/studio.hpp"
#include "app/work_figures.hpp"
#include "demo_fixture.hpp"
#include "store/change.hpp"
#include "store/record.hpp"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <filesystem>
#include <map>

using namespace tonebath;
using namespace tonebath::demo_test;

namespace {

std::int64_t of(const app::JoinNews& news, const std::string& noun, std::size_t column) {
    for (const auto& row : news.counts.rows) {
        if (std::get<std::string>(row.front()) == noun) {
            return std::get<std::int64_t>(row[column]);
        }
    }
    return 0;
}

}  // namespace

TEST_CASE("P10: the travelling bench joins: 35 dips and 3 baths, an hour put right, one number kept apart, nothing twice") {
    std::string folder = (std::filesystem::temp_directory_path() / "tonebath-p10-XXXXXX").string();
    REQUIRE(mkdtemp(folder.data()) != nullptr);
    const std::filesystem::path file = std::filesystem::path(folder) / "away.tonebath";
    const std::filesystem::path home = std::filesystem::path(folder) / "home.tonebath";
    {
        const auto away = store::Log::in_memory();
        REQUIRE(app::make_travelling_demo(*away, {.data = std::string(TONEBATH_SOURCE_DIR) + "/data"}));
        const auto& expect = planted("P10").at("expect");
        CHECK(count(*away, "SELECT count(*) FROM bath") == expect.at("baths_there"));
        CHECK(count(*away, "SELECT count(*) FROM dip") == expect.at("dips_there"));
        store::run(*away, "VACUUM INTO ?1", {file.string()});
        store::run(demo(), "VACUUM INTO ?1", {home.string()});
    }
    const SystemClock clock;
    app::StudioOptions options{.log = home};
    options.data = std::string(TONEBATH_SOURCE_DIR) + "/data";
    auto opened = app::Studio::open(options, clock);
    REQUIRE(opened);
    app::Studio& studio = **opened;
    const auto& expect = planted("P10").at("expect");
    const auto news = app::join_log(studio, {.file = file, .mark = {}, .clock = {}});
    INFO((news ? news->said : news.error().text()));
    REQUIRE(news);
    CHECK(of(*news, "dip", 1) == expect.at("dips_added"));
    CHECK(of(*news, "bath", 1) == expect.at("baths_added"));
    CHECK(of(*news, "dip", 2) == expect.at("dips_known"));
    CHECK(of(*news, "bath", 2) == expect.at("baths_known"));
    CHECK(news->clock == "found");
    CHECK(news->clock_s == expect.at("clock_behind_s"));
    REQUIRE(news->clashes.rows.size() * 2 == expect.at("pieces_kept_apart"));
    CHECK(std::get<std::string>(news->clashes.rows[0][3]) == "P-031-T");
    for (std::size_t column = 3; column <= 5; ++column) {  // nothing of ours changed, went or was left out
        for (const auto& row : news->counts.rows) {
            INFO(std::get<std::string>(row.front()));
            CHECK(std::get<std::int64_t>(row[column]) == 0);
        }
    }
    CHECK(news->said.find("35 dips, 3 baths") != std::string::npos);
    CHECK(news->said.find("Kept apart: 2 pieces") != std::string::npos);
    // By the studio's clock: the class bath was made up at 11:00, not at 10:00.
    CHECK(time_text(store::list<Bath>(studio.log(), "WHERE number = 'T-1'").front().made_up_at) == "11:00");
    CHECK(studio.log().faults().empty());

    // P18: finishing minutes by size of batch.
    const app::WorkFigures figures = app::work_figures(studio);
    const auto& minutes = planted("P18").at("expect");
    int seen = 0;
    for (const app::GroupWork& group : figures.groups) {
        if (group.name.starts_with("Batch") && group.finishing_min) {
            ++seen;
            CHECK_THAT(*group.finishing_min, Catch::Matchers::WithinAbs(minutes.at(group.pieces == 6 ? "finishing_min_of_6" : "finishing_min_of_18").get<double>(), 0.01));
        }
    }
    CHECK(seen == 10);
    // A batch whose finishing was not timed pulls no mean down.
    std::map<std::string, app::GroupWork> sizes;
    for (const app::GroupWork& group : figures.by_size) {
        sizes[group.name] = group;
    }
    REQUIRE(sizes.size() == 4);
    CHECK(figures.by_size.front().name == "Alone");  // the travelling bench's pieces
    CHECK_THAT(sizes["Batches of 2 to 6"].finishing_min.value(), Catch::Matchers::WithinAbs(minutes.at("finishing_min_of_6").get<double>(), 0.01));
    CHECK_FALSE(sizes["Batches of 7 to 12"].finishing_min.has_value());
    CHECK_THAT(sizes["Batches of 13 and more"].finishing_min.value(), Catch::Matchers::WithinAbs(minutes.at("finishing_min_of_18").get<double>(), 0.01));
    CHECK(sizes["Batches of 13 and more"].finished < sizes["Batches of 13 and more"].pieces);
    CHECK(app::work_text(figures).find("finishing not timed") != std::string::npos);

    const auto again = app::join_log(studio, {.file = file, .mark = {}, .clock = {}});
    REQUIRE(again);
    CHECK(again->nothing);
    CHECK(of(*again, "dip", 1) == expect.at("second_join_adds"));
    CHECK(again->clock_s == expect.at("clock_behind_s"));

    // One undo. Three checks came with it: they stay, withdrawn, with their baths.
    const auto undone = studio.undo();
    INFO((undone ? undone->said : undone.error().text()));
    REQUIRE(undone);
    CHECK(count(studio.log(), "SELECT count(*) FROM dip") == count(demo(), "SELECT count(*) FROM dip"));
    CHECK(count(studio.log(), "SELECT count(*) FROM check_run WHERE withdrawn_by = 'MK'") == 3);
    CHECK(store::list<Piece>(studio.log(), "WHERE number = 'P-031-T'").empty());
    std::filesystem::remove_all(folder);
}
