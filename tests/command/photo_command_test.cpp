// Photographs by commands: measured, refused with the rule that spoke, placed on a scale, compared.
#include "command/program.hpp"
#include "support/photo_scene.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <fstream>

using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

// A card and two pieces on grey cloth, as a telephone would write them.
scene::Shot bench_photo() {
    scene::Shot shot;
    shot.width = 340;
    shot.height = 140;
    shot.ground = scene::scaled(scene::tables().paints[22], 1.4);
    shot.things.push_back({.x = 20.0, .y = 30.0, .width = 80.0, .height = 80.0, .surface = scene::card()});
    for (const double nm : {12.5, 31.0}) {
        shot.things.push_back({.x = nm < 20.0 ? 140.0 : 240.0, .y = 30.0, .width = 80.0, .height = 80.0, .surface = scene::scaled(scene::film_on_silver(nm), 0.8), .texture = 0.03});
    }
    return shot;
}

std::string written(const Program& program, const std::string& name, const std::string& bytes) {
    const std::string file = (program.folder() / name).string();
    std::ofstream(file, std::ios::binary) << bytes;
    return file;
}

}  // namespace

TEST_CASE("a photo with a grey card is measured, each piece by itself, and placed on the scale") {
    const Program program;
    program.does({"person", "add", "--initials", "MK"});
    const scene::Shot shot = bench_photo();
    scene::Shot p3 = shot;
    p3.p3 = true;
    const std::string file = written(program, "bench.jpg", jpeg_of(scene::taken(p3), {.exif = exif_of({.orientation = 1, .taken = "2026:03:14 10:20:30", .location = true}), .icc = display_p3_profile(), .xmp = {}, .jpeg_quality = 92}));
    const auto told = program.tells({"tone", "photo", file, "--card", "30,40,60,60", "--area", "150,40,60,60", "--area", "250,40 310,40 310,100 250,100", "--light", "day", "--metal", "sterling"});
    CHECK(told.at("findings").empty());
    CHECK(told.at("taken") == "2026:03:14 10:20:30");
    CHECK(told.at("location") == true);
    REQUIRE(told.at("areas").size() == 2);
    for (std::size_t i = 0; i < 2; ++i) {
        const auto& area = told.at("areas")[i];
        const scene::Triple truth = scene::truth(shot.things[i + 1].surface);
        const double error = area.at("error").at("total").get<double>();
        CHECK((error > 0.5 && error < 6.0));
        // Nine of ten lie within it; a plain distance is wider than CIEDE2000 for coloured pieces.
        CHECK(std::abs(area.at("lab").at("l").get<double>() - truth.a) < 2.0);
        CHECK(std::hypot(area.at("lab").at("a").get<double>() - truth.b, area.at("lab").at("b").get<double>() - truth.c) < 3.0 * error);
        CHECK_FALSE(area.at("tone").at("stretches").empty());
        CHECK(area.at("tone").at("own_strips") == false);
    }
    // Once her own strips are measured they are the scale: gold and blue as these two pieces are.
    const auto lab = [](const scene::Shot& of, std::size_t i) { return scene::truth(of.things[i].surface); };
    for (const auto& [tone, i] : {std::pair("gold", std::size_t{1}), {"blue", std::size_t{2}}}) {
        program.does({"tone", "measure", "--scale", "sterling", "--tone", tone, "--l", std::to_string(lab(shot, i).a), "--a", std::to_string(lab(shot, i).b), "--b", std::to_string(lab(shot, i).c)});
    }
    const auto own = program.tells({"tone", "photo", file, "--card", "30,40,60,60", "--area", "150,40,60,60", "--area", "250,40,60,60", "--light", "day", "--metal", "sterling"});
    CHECK(own.at("areas")[0].at("tone").at("own_strips") == true);
    CHECK_THAT(own.at("areas")[0].at("tone").at("stretches")[0].at("place").get<double>(), WithinAbs(2.0, 0.3));
    CHECK_THAT(own.at("areas")[1].at("tone").at("stretches")[0].at("place").get<double>(), WithinAbs(6.0, 0.3));
    const std::string words = program.does({"tone", "photo", file, "--card", "30,40,60,60", "--area", "150,40,60,60", "--metal", "sterling"});
    CHECK_THAT(words, Contains("area 1: L* "));
    CHECK_THAT(words, Contains("reference piece has the last word"));
}

TEST_CASE("a photo that would mislead is not measured, and says why") {
    const Program program;
    scene::Shot shot = bench_photo();
    shot.exposure = 6.5;
    const std::string bright = written(program, "bright.jpg", jpeg_of(scene::taken(shot)));
    const Ended ended = program.on_log({"--json", "tone", "photo", bright, "--card", "30,40,60,60", "--area", "150,40,60,60"});
    CHECK(ended.code == 1);
    const auto told = nlohmann::json::parse(ended.out);
    CHECK(told.at("refused") == true);
    CHECK(told.at("areas")[0].at("lab").is_null());
    CHECK(told.at("findings").dump().find("card_clipped_high") != std::string::npos);
    const Ended plain = program.on_log({"tone", "photo", bright, "--area", "150,40,60,60"});
    CHECK(plain.code == 1);
    CHECK_THAT(plain.out, Contains("refused: No grey card"));
    CHECK_THAT(plain.out, Contains("not measured"));

    const std::string broken = written(program, "broken.jpg", jpeg_of(scene::taken(shot)).substr(0, 3000));
    CHECK(program.refuses({"tone", "photo", broken, "--card", "1,1,9,9", "--area", "1,1,9,9"}).at("refused") == "photo.damaged");
    CHECK(program.refuses({"tone", "photo", written(program, "note.txt", "a note"), "--area", "1,1,9,9"}).at("refused") == "photo.unknown_kind");
    CHECK(program.refuses({"tone", "photo", "nowhere.jpg", "--area", "1,1,9,9"}).at("refused") == "photo.no_file");
    for (const char* mark : {"1,1,9", "1,1,0,9", "a,b,c,d", "", "1,1 2,2"}) {
        CHECK(program.refuses({"tone", "photo", bright, "--area", "1,1,9,9", "--card=" + std::string(mark == std::string() ? " " : mark)}).at("field") == "Card");
    }
    CHECK(program.refuses({"tone", "photo", bright, "--area", "1,1,9,9", "--card-colour", "149,0,0"}).at("refused") == "photo.lab");
    CHECK(program.refuses({"tone", "photo", bright, "--area", "1,1,9,9", "--chart", "1,1 2,2 3,3"}).at("field") == "Chart");
    CHECK(program.refuses({"tone", "photo", bright, "--area", "1,1,9,9", "--chart", "1,1,9,9", "--chart-colours", written(program, "c.csv", "x,y\n1,2\n")}).at("refused") == "photo.chart_file");
}

TEST_CASE("two readings: how far, which way, and whether the figures can tell") {
    const Program program;
    program.does({"person", "add", "--initials", "MK"});
    // Sharma, Wu and Dalal 2005, pair 1.
    const auto pair = program.tells({"tone", "difference", "50,2.6772,-79.7751", "50,0,-82.7485"});
    CHECK_THAT(pair.at("de00").get<double>(), WithinAbs(2.0425, 0.0006));
    CHECK(pair.at("error").is_null());
    const auto near = program.tells({"tone", "difference", "50,3,4,1.5", "51,3,4.5,1.0"});
    CHECK(near.at("told_apart") == false);
    CHECK_THAT(near.at("error").get<double>(), WithinAbs(std::hypot(1.5, 1.0), 0.001));
    CHECK_THAT(near.at("words").get<std::string>(), Contains("cannot be told apart"));
    const Ended beyond = program.on_log({"--json", "tone", "difference", "50,3,4", "40,3,4", "--within", "2"});
    CHECK(beyond.code == 1);
    CHECK(nlohmann::json::parse(beyond.out).at("within") == false);
    CHECK(program.tells({"tone", "difference", "50,3,4", "50.5,3,4", "--within", "2"}).at("within") == true);
    // Along her own scale: darker is not further along.
    program.does({"tone", "measure", "--scale", "sterling", "--tone", "gold", "--l", "70", "--a", "5", "--b", "45"});
    program.does({"tone", "measure", "--scale", "sterling", "--tone", "purple", "--l", "30", "--a", "35", "--b", "-10"});
    program.does({"tone", "measure", "--scale", "sterling", "--tone", "blue", "--l", "45", "--a", "-5", "--b", "-25"});
    const auto along = program.tells({"tone", "difference", "30,35,-10", "45,-5,-25", "--metal", "sterling"});
    CHECK_THAT(along.at("tones").get<double>(), WithinAbs(1.0, 0.05));
    CHECK(along.at("l").get<double>() > 0.0);
    CHECK_THAT(along.at("words").get<std::string>(), Contains("past"));
    // A strip that was measured stands for its colour.
    program.does({"strip", "add", "--number", "1", "--metal", "sterling"});
    program.does({"judgement", "add", "--strip", "1", "--tone", "purple", "--l", "31", "--a", "34", "--b", "-9"});
    CHECK(program.tells({"tone", "difference", "1", "30,35,-10"}).at("de00").get<double>() < 2.0);
    // One piece five times; 2.77 times the scatter, by hand: L* 50, 51, 49, 50, 50 scatters by 0.707 in L*, and at L* 50
    // CIEDE2000 is the difference of L*.
    const auto steady = program.tells({"tone", "steady", "50,3,4", "51,3,4", "49,3,4", "50,3,4", "50,3,4"});
    CHECK_THAT(steady.at("scatter").get<double>(), WithinAbs(0.707, 0.002));
    CHECK_THAT(steady.at("smallest").get<double>(), WithinAbs(1.959, 0.005));
    CHECK(program.refuses({"tone", "steady", "50,3,4", "51,3,4"}).at("refused") == "reading.too_few");
    // Files of handheld instruments: CGATS.17 and CSV.
    const std::string cgats = written(program, "readings.txt", "CGATS.17\nORIGINATOR \"handheld\"\nWEIGHTING_FUNCTION \"ILLUMINANT,D50\"\nNUMBER_OF_FIELDS 5\nBEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n"
                                                               "NUMBER_OF_SETS 2\nBEGIN_DATA\n1 \"limpet lid\" 31.00 34.00 -9.00\n2 tab 70.1\t5.0\t45.2\nEND_DATA\n");
    const auto from_file = program.tells({"tone", "difference", cgats + "#limpet lid", "1"});
    CHECK(from_file.at("first") == "limpet lid");
    CHECK(from_file.at("de00") == 0.0);
    const std::string csv = written(program, "readings.csv", "name,L*,a*,b*,error\ntab,70.1,5.0,45.2,0.8\n");
    CHECK(program.tells({"tone", "difference", csv + "#tab", cgats + "#TAB"}).at("de00") == 0.0);
    CHECK(program.refuses({"tone", "difference", csv + "#lid", "1"}).at("remedy").get<std::string>().find("tab") != std::string::npos);
    CHECK(program.refuses({"tone", "difference", "nowhere.csv#1", "1"}).at("refused") == "reading.file");
    CHECK(program.refuses({"tone", "difference", written(program, "d65.txt", "CGATS.17\nWEIGHTING_FUNCTION \"ILLUMINANT,D65\"\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n1 1 2 3\nEND_DATA\n") + "#1", "1"}).at("refused") == "reading.file");
    CHECK(program.refuses({"tone", "difference", written(program, "odd.csv", "L,a,b\n400,2,3\n") + "#1", "1"}).at("refused") == "reading.file");
    CHECK(program.refuses({"tone", "difference", "9", "30,35,-10"}).at("refused") == "reading.none");
    CHECK(program.refuses({"tone", "difference", "30,35", "30,35,-10"}).at("refused") == "reading.none");
    CHECK(program.refuses({"tone", "difference", "50,3,4", "40,3,4", "--metal", "copper"}).at("refused") == "scale.no_colours");
    CHECK(program.refuses({"tone", "difference", "50,3,4", "40,3,4", "--metal", "gold leaf"}).at("field") == "Metal");
}
