// Pages of paper as pictures, drawn by poppler and held against those kept in tests/cases/paper. Letters of another
// drawing differ a little at their edges: cells of 8 x 8 pixels are compared by their mean.
// To keep new ones, after looking at them: TONEBATH_KEEP_PAPER=1 build/dev/tests/report/report_test "[paper]"
#include "report/writers.hpp"

#include "base/files.hpp"
#include "support/image.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <string>

#include <unistd.h>

using namespace tonebath;
using namespace tonebath::report;
using testing::Image;
namespace fs = std::filesystem;

namespace {

constexpr int kCell = 8;            // pixels; at 50 dots an inch 4 mm
constexpr double kTolerance = 16.0;  // of 255, in the mean of a cell
constexpr double kMostCells = 0.004;  // share of cells that may be further off

Image picture_of(const std::string& pdf, int page) {
    const fs::path base = fs::temp_directory_path() / ("tonebath-paper-" + std::to_string(getpid()));
    const fs::path file = base.string() + ".pdf";
    write_file_whole(file, pdf);
    const std::string command = "pdftoppm -r 50 -png -singlefile -f " + std::to_string(page) + " " + file.string() + " " + base.string();
    REQUIRE(std::system(command.c_str()) == 0);
    const auto image = testing::read_png(base.string() + ".png");
    fs::remove(file);
    fs::remove(base.string() + ".png");
    REQUIRE(image);
    return *image;
}

// Share of the cells whose mean differs by more than the tolerance; 1 when the sizes differ.
double share_that_differs(const Image& a, const Image& b) {
    if (a.width != b.width || a.height != b.height) {
        return 1.0;
    }
    int cells = 0;
    int off = 0;
    for (int top = 0; top < a.height; top += kCell) {
        for (int left = 0; left < a.width; left += kCell) {
            double sum = 0.0;
            int pixels = 0;
            for (int y = top; y < std::min(top + kCell, a.height); ++y) {
                for (int x = left; x < std::min(left + kCell, a.width); ++x) {
                    const auto p = a.at(x, y);
                    const auto q = b.at(x, y);
                    sum += (p.r - q.r) + (p.g - q.g) + (p.b - q.b);
                    pixels += 3;
                }
            }
            ++cells;
            off += std::abs(sum / pixels) > kTolerance ? 1 : 0;
        }
    }
    return static_cast<double>(off) / cells;
}

Stamp noon() { return *parse_iso("2026-03-31T12:00+01:00", 0); }

Strip strip(int aim) {
    return {.tones = {{"straw", "#dfd3aa"}, {"gold", "#d5b65a"}, {"magenta", "#a6506a"}, {"blue", "#5b5aa1"}, {"black", "#1e1f21"}},
            .bare_colour = "#dcdcda", .aim = aim};
}

// For the wall above the bath: figures that are read at arm's length.
Report bench_page() {
    Report report{.kind = "test", .title = "Sterling to blue", .line = "bath 46", .foot = "for this bath, this day", .made_at = noon()};
    report.blocks = {strip(3), Figures{{{"out at", "40 s", "aim 38 s to 42 s"}, {"look from", "35 s", ""}}},
                     Table{.name = "By the thermometer", .head = {"°C", "out at", "look from"}, .rows = {{"60", "40 s", "35 s"}, {"55", "52 s", "46 s"}}, .arms_length = true},
                     Facts{{{"made up", "2.0 g in 400 ml"}, {"throw by", "12:26"}}}, Cautions{{"It never meets acids, acid pickle or metal-salt baths."}}};
    return report;
}

// A card that a buyer takes home, on a small page: sentences that wrap.
Report small_page() {
    Report report{.kind = "test", .title = "Limpet", .line = "L-058", .foot = "Care card of L-058", .made_at = noon()};
    report.blocks = {Facts{{{"metal", "cup copper, lid sterling"}, {"finish", "liver of sulfur, gel; liver of sulfur, lump"}}}, Heading{"How to keep it"},
                     Lines{{"The colour is a thin layer on the metal: it wears where it is rubbed, first at edges and high points.", "Keep it dry."}}};
    return report;
}

// On a door: letters of 6 mm.
Report door_page() {
    Report report{.kind = "test", .title = "A bath is in use", .line = "liver of sulfur", .foot = "take it down", .made_at = noon(), .letters = 1.7};
    report.blocks = {Cautions{{"Knock and wait.", "No child, no animal, no food, no drink."}}, Figures{{{"bath", "46", "since 09:30"}, {"at the bench", "MK", ""}}},
                     Cautions{{"Gas. Everyone out now."}}, Facts{{{"emergency", "________________________"}}}};
    return report;
}

// A table over pages: its name stays with its first row.
Report long_page() {
    Report report{.kind = "test", .title = "Record pack", .line = "1 Jan 2026 to 31 Mar 2026", .foot = "record pack", .made_at = noon()};
    Table table{.name = "Baths", .head = {"bath", "made", "what"}};
    for (int i = 0; i < 46; ++i) {
        table.rows.push_back({std::to_string(i + 1), "5 Jan 2026 10:00", i == 20 ? "a sentence that is longer than its column is wide, so that it goes on below, and on" : "lump"});
    }
    report.blocks = {table, Table{.name = "Rules", .head = {"name", "what it says"}, .rows = {{"letter", "collection"}}}};
    return report;
}

std::string labels() {
    const LabelSheet sheet{.page_width = 210, .page_height = 297, .label_width = 70, .label_height = 37, .columns = 3, .rows = 8};
    return pdf_of({{.number = "L-131", .check = "7", .payload = "tonebath:piece:L-131+7", .lines = {"Limpet", "copper, sterling"}, .hazard = ""},
                   {.number = "46", .check = "K", .payload = "tonebath:bath:46+K", .lines = {"liver of sulfur, lump", "throw by 12:26"}, .hazard = "Never with acids"}},
                  sheet, 1, noon());
}

void hold_against(const std::string& name, const Image& page) {
    const fs::path kept = fs::path(TONEBATH_SOURCE_DIR) / "tests" / "cases" / "paper" / (name + ".png");
    if (std::getenv("TONEBATH_KEEP_PAPER") != nullptr) {
        REQUIRE(testing::write_png(page, kept));
    }
    const auto image = testing::read_png(kept);
    REQUIRE(image);
    INFO(name);
    CHECK(share_that_differs(page, *image) <= kMostCells);
}

}  // namespace

TEST_CASE("pages look as those that were looked at", "[paper]") {
    hold_against("bench", picture_of(pdf_of(bench_page(), PaperSize::a4), 1));
    hold_against("small", picture_of(pdf_of(small_page(), PaperSize::a5), 1));
    hold_against("door", picture_of(pdf_of(door_page(), PaperSize::letter), 1));
    hold_against("long-1", picture_of(pdf_of(long_page(), PaperSize::a4), 1));
    hold_against("long-2", picture_of(pdf_of(long_page(), PaperSize::a4), 2));
    hold_against("labels", picture_of(labels(), 1));
}

TEST_CASE("a page on which something moved, went or changed its colour is told", "[paper]") {
    const Image page = picture_of(pdf_of(bench_page(), PaperSize::a4), 1);
    const auto differs = [&](const Report& other) { return share_that_differs(page, picture_of(pdf_of(other, PaperSize::a4), 1)) > kMostCells; };
    CHECK_FALSE(differs(bench_page()));
    Report moved = bench_page();
    moved.line.clear();
    CHECK(differs(moved));
    Report gone = bench_page();
    gone.blocks.pop_back();
    CHECK(differs(gone));
    Report other_aim = bench_page();
    std::get<Strip>(other_aim.blocks[0]).aim = 1;
    std::get<Strip>(other_aim.blocks[0]).tones[2].colour = "#202020";
    CHECK(differs(other_aim));
}
