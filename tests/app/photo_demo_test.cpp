// The demo's twelve photographs: rendered, eight good and four bad, with their marks in data/demo/photos.csv.
#include "app/data_files.hpp"
#include "base/files.hpp"
#include "picture/read.hpp"
#include "support/photo_study.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <fstream>

using namespace tonebath;
using namespace tonebath::test;

namespace {

const std::string kFolder = std::string(TONEBATH_SOURCE_DIR) + "/data/demo";

struct DemoPhoto {
    std::string file;
    std::vector<double> films_nm;  // one piece each
    std::string fault;             // the rule that refuses it; empty = good
    unsigned seed = 1;
};

const std::vector<DemoPhoto>& demo_photos() {
    static const std::vector<DemoPhoto> all = {{"limpet-lid-blue.jpg", {31.0}, "", 11},
                                               {"limpet-lid-magenta.jpg", {22.8}, "", 12},
                                               {"limpet-lid-keep-piece.jpg", {30.0}, "", 13},
                                               {"breakwater-tab-gold.jpg", {12.5}, "", 14},
                                               {"breakwater-tab-amber.jpg", {17.0}, "", 15},
                                               {"samphire-pair-straw.jpg", {8.0, 8.4}, "", 16},
                                               {"lantern-purple.jpg", {26.0}, "", 17},
                                               {"strips-straw-gold-amber.jpg", {8.0, 12.5, 17.0}, "", 18},
                                               {"too-bright.jpg", {26.0}, "card_clipped_high", 19},
                                               {"card-in-shade.jpg", {31.0}, "light_differs", 20},
                                               {"window-and-lamp.jpg", {12.5}, "light_mixed", 21},
                                               {"shrunk-by-a-messenger.jpg", {22.8}, "jpeg_loss", 22}};
    return all;
}

struct Drawn {
    scene::Shot shot;
    FileParts parts{.exif = exif_of({.orientation = 1, .changed = "2026:03:14 10:20:30", .taken = "2026:03:14 10:20:30"}), .icc = srgb_profile(), .xmp = {}, .jpeg_quality = 90};
};

Drawn drawn(const DemoPhoto& photo) {
    Drawn one;
    scene::Shot& shot = one.shot;
    shot.width = 420;
    shot.height = 280;
    shot.seed = photo.seed;
    shot.tilt_x = 0.02;
    shot.exposure = 0.7;
    shot.electrons = 20000.0;
    shot.balance_off = {1.03, 1.0, 0.96};
    // Oiled board, dark and a little warm.
    shot.ground = scene::mixed(scene::tables().paints[22], scene::tables().paints[0], 0.35);
    if (photo.fault == "card_clipped_high") {
        shot.exposure = 6.0;
    } else if (photo.fault == "light_mixed") {
        shot.second_light = "A";
        shot.second_share = 0.8;
    } else if (photo.fault == "jpeg_loss") {
        one.parts.jpeg_quality = 18;
    }
    const double shade = photo.fault == "light_differs" ? 0.4 : 1.0;
    if (shade < 1.0) {
        shot.things.push_back({.x = 0.0, .y = 0.0, .width = 170.0, .height = 280.0, .surface = shot.ground, .light = shade});
    }
    shot.things.push_back({.x = 24.0, .y = 70.0, .width = 120.0, .height = 140.0, .surface = scene::card(), .light = shade});
    const std::size_t count = photo.films_nm.size();
    for (std::size_t i = 0; i < count; ++i) {
        const double wide = count == 1 ? 170.0 : count == 2 ? 100.0 : 64.0;
        const double x = count == 1 ? 210.0 : 180.0 + (wide + 14.0) * static_cast<double>(i);
        shot.things.push_back({.x = x, .y = 50.0, .width = wide, .height = count == 3 ? 180.0 : wide, .surface = scene::scaled(scene::film_on_silver(photo.films_nm[i]), 0.7), .texture = 0.03, .glare = 0.004,
                               .round = count < 3, .hole = 0.0});
    }
    return one;
}

struct Listed {
    std::string file, expected;
    app::PhotoMarks marks;
};

std::vector<Listed> listed() {
    std::vector<Listed> all;
    const auto rows = app::csv_records(read_file(kFolder + "/photos.csv"));
    for (std::size_t i = 1; i < rows.size(); ++i) {
        const auto& cells = rows[i].cells;
        REQUIRE(cells.size() == 5);
        Listed one{.file = cells[0], .expected = cells[4], .marks = {}};
        const auto card = app::parse_mark("Card", cells[2]);
        REQUIRE(card);
        one.marks.card = *card;
        one.marks.light = science::LightKind::daylight;
        for (const std::string& area : {cells[3]}) {
            for (std::size_t at = 0; at < area.size();) {  // marks between semicolons
                const std::size_t end = std::min(area.size(), area.find(';', at));
                const auto mark = app::parse_mark("Area", area.substr(at, end - at));
                REQUIRE(mark);
                one.marks.areas.push_back(*mark);
                at = end + 1;
            }
        }
        all.push_back(std::move(one));
    }
    return all;
}

}  // namespace

TEST_CASE("The demo's photographs: eight are measured near the truth, four are refused by their fault", "[photo]") {
    const std::vector<Listed> all = listed();
    REQUIRE(all.size() == 12);
    int good = 0;
    for (std::size_t i = 0; i < all.size(); ++i) {
        INFO(all[i].file);
        const DemoPhoto& made = demo_photos()[i];
        CHECK(made.file == all[i].file);
        CHECK(made.fault == all[i].expected);
        const auto photo = app::measure_photo_file(kFolder + "/photos/" + all[i].file, all[i].marks);
        REQUIRE(photo);
        std::vector<app::PhotoWord> words = photo->words;
        for (const app::MeasuredArea& area : photo->areas) {
            words.insert(words.end(), area.words.begin(), area.words.end());
        }
        if (!made.fault.empty()) {
            CHECK(std::ranges::none_of(photo->areas, [](const app::MeasuredArea& area) { return area.reading.has_value(); }));
            CHECK(std::ranges::any_of(words, [&](const app::PhotoWord& word) { return app::rule_key(word) == made.fault && word.finding.verdict == science::Verdict::refused; }));
            continue;
        }
        ++good;
        for (const app::PhotoWord& word : words) {
            FAIL_CHECK(word.text);
        }
        REQUIRE(photo->areas.size() == made.films_nm.size());
        for (std::size_t k = 0; k < made.films_nm.size(); ++k) {
            const Piece piece{"film", {}, scene::truth(scene::scaled(scene::film_on_silver(made.films_nm[k]), 0.7))};
            REQUIRE(photo->areas[k].reading);
            CHECK(away(photo->areas[k], piece) < photo->areas[k].reading->error.total);
        }
    }
    CHECK(good == 8);
}

// Makes data/demo/photos anew: app_photo_test "[.make]".
TEST_CASE("Make the demo's photographs", "[.make]") {
    for (const DemoPhoto& photo : demo_photos()) {
        const Drawn one = drawn(photo);
        std::ofstream(kFolder + "/photos/" + photo.file, std::ios::binary) << jpeg_of(scene::taken(one.shot), one.parts);
    }
}
