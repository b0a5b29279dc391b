// Paper as other programs read it: the text back by pdftotext, the pages by pdfinfo (poppler).
#include "report/writers.hpp"

#include "base/files.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <cstdio>
#include <filesystem>
#include <string>

#include <unistd.h>

using namespace tonebath;
using namespace tonebath::report;
using Catch::Matchers::Contains;

namespace {

Stamp noon() {
    return *parse_iso("2026-03-31T12:00+01:00", 0);
}

// What a command of the system says of a PDF.
std::string told(const std::string& command, const std::string& pdf, const std::string& onto = "") {
    const std::filesystem::path file = std::filesystem::temp_directory_path() / ("tonebath-report-" + std::to_string(getpid()) + ".pdf");
    write_file_whole(file, pdf);
    std::FILE* pipe = popen((command + " " + file.string() + onto + " 2>&1").c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string text;
    char part[4096];
    for (std::size_t n = 0; (n = std::fread(part, 1, sizeof part, pipe)) > 0;) {
        text.append(part, n);
    }
    const int code = pclose(pipe);
    std::filesystem::remove(file);
    INFO(text);
    REQUIRE(code == 0);
    return text;
}
std::string text_in(const std::string& pdf) {
    return told("pdftotext -layout", pdf, " -");
}

Report everything() {
    Report report{.kind = "test", .title = "Überfang, Ω and Λ", .line = "Сера, 試験", .foot = "foot of all pages", .made_at = noon()};
    report.blocks = {Heading{"A heading"},
                     Lines{{"First line.", "Second line, ≤ 40 °C, Δ 3 K."}},
                     Facts{{{"vessel", "V3"}, {"throw by", "never, or 12:26"}}},
                     Figures{{{"out at", "40 s", "aim 38 to 42 s"}, {"look from", "35 s", ""}}},
                     Strip{.tones = {{"straw", "#dfd3aa"}, {"blue", "#5b5aa1"}, {"not a colour", "blue"}}, .bare_colour = "", .aim = 1},
                     Table{.name = "A table", .head = {"when", "what"}, .rows = {{"09:42", "a,b \"c\""}, {"", "x"}}},
                     Cautions{{"Acid frees a poisonous gas."}}};
    return report;
}

}  // namespace

TEST_CASE("every kind of block comes back as text, in any script") {
    const std::string text = text_in(pdf_of(everything(), PaperSize::a4));
    for (const char* part : {"Überfang, Ω and Λ", "Сера, ", "A heading", "Second line, ≤ 40 °C, Δ 3 K.", "throw by", "never, or 12:26", "40 s",
                             "aim 38 to 42 s", "straw", "not a colour", "A table", "a,b \"c\"", "Acid frees a poisonous gas.",
                             "foot of all pages", "page 1 of 1", "31 Mar"}) {
        CHECK_THAT(text, Contains(part));
    }
    const std::string words = text_of(everything());
    CHECK_THAT(words, Contains("straw > [blue]") && Contains("! Acid frees") && Contains("09:42  a,b \"c\""));
}

TEST_CASE("the same report gives the same bytes; the paper is the one asked for") {
    CHECK(pdf_of(everything(), PaperSize::a4) == pdf_of(everything(), PaperSize::a4));
    const auto info = [](PaperSize size) {
        const std::string pdf = pdf_of(everything(), size);
        return told("pdfinfo", pdf);
    };
    // ISO 216 and ANSI: 210 x 297 mm, 8.5 x 11 in, 148 x 210 mm, in points of 1/72 in.
    CHECK_THAT(info(PaperSize::a4), Contains("595.276 x 841.89 pts"));
    CHECK_THAT(info(PaperSize::letter), Contains("612 x 792 pts"));
    CHECK_THAT(info(PaperSize::a5), Contains("419.528 x 595.276 pts"));
}

TEST_CASE("a long table goes on over pages with its head on each, and no row is lost") {
    Report report{.kind = "test", .title = "Long", .foot = "foot", .made_at = noon()};
    Table table{.name = "Rows", .head = {"number", "what was seen"}};
    for (int i = 0; i < 200; ++i) {
        table.rows.push_back({"row-" + std::to_string(1000 + i), i % 7 == 0 ? std::string(300, 'w') + " end" : "short"});
    }
    report.blocks = {std::move(table)};
    const int pages = pages_of(report, PaperSize::a5);
    CHECK(pages > 3);
    const std::string text = text_in(pdf_of(report, PaperSize::a5));
    std::size_t heads = 0;
    for (std::size_t at = 0; (at = text.find("what was seen", at)) != std::string::npos; ++at) {
        ++heads;
    }
    CHECK(heads == static_cast<std::size_t>(pages));
    for (int i = 0; i < 200; ++i) {
        CAPTURE(i);
        CHECK(text.find("row-" + std::to_string(1000 + i)) != std::string::npos);
    }
    CHECK_THAT(text, Contains("page " + std::to_string(pages) + " of " + std::to_string(pages)));
}

TEST_CASE("an empty report is a page, and odd content is no fault") {
    CHECK_THAT(text_in(pdf_of(Report{.kind = "test", .title = "", .made_at = noon()}, PaperSize::a4)), Contains("page 1 of 1"));
    Report odd = everything();
    odd.blocks.push_back(Strip{});
    odd.blocks.push_back(Figures{});
    odd.blocks.push_back(Table{.head = {"only a head"}});
    odd.blocks.push_back(Lines{{std::string(20000, 'x')}});
    odd.blocks.push_back(Strip{.tones = {{"a", ""}}, .aim = 7});
    CHECK_THAT(text_in(pdf_of(odd, PaperSize::a5)), Contains("only a head"));
}

TEST_CASE("JSON holds every block") {
    const auto json = nlohmann::json::parse(json_of(everything()));
    CHECK(json["kind"] == "test");
    CHECK(json["blocks"].size() == 7);
    CHECK(json["blocks"][4]["aim"] == "blue");
    CHECK(json["blocks"][5]["rows"][0][1] == "a,b \"c\"");
}
