#include "app/data_files.hpp"
#include "app/source_words.hpp"
#include "app/stone_notes.hpp"
#include "base/files.hpp"

#include <catch2/catch.hpp>

#include <unistd.h>

#include <algorithm>
#include <filesystem>

using namespace tonebath;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;

namespace {

const fs::path kTree = TONEBATH_SOURCE_DIR;

class Folder {
public:
    Folder() : path_(fs::temp_directory_path() / ("tonebath-data-" + std::to_string(::getpid()))) {
        fs::create_directories(path_);
    }
    ~Folder() { fs::remove_all(path_); }
    fs::path write(const std::string& name, const std::string& text) const {
        write_file_whole(path_ / name, text);
        return path_ / name;
    }

private:
    fs::path path_;
};

std::string changed(std::string text, const std::string& was, const std::string& is) {
    const std::size_t at = text.find(was);
    REQUIRE(at != std::string::npos);
    return text.replace(at, was.size(), is);
}

}  // namespace

TEST_CASE("Sources are shown in words: no key of a table and no mark of its own is left") {
    const auto notes = app::read_stone_notes(kTree / "data/stones.csv");
    REQUIRE(notes);
    REQUIRE(notes->size() == 56);
    for (const app::StoneNote& note : *notes) {
        INFO(note.kind << ": " << note.source << " | " << note.backing_note);
        CHECK_FALSE(note.source.empty());
        for (const std::string& words : {note.source, note.backing_note}) {
            CHECK(words.find("[M]") == std::string::npos);
            const auto capital = [](char c) { return c >= 'A' && c <= 'Z'; };
            int in_a_row = 0;
            for (const char c : words) {
                in_a_row = capital(c) ? in_a_row + 1 : 0;
                CHECK(in_a_row < 4);  // a key; "F. B. Wade" and "H2S" are none
            }
        }
    }
    const app::SourceWords words{{"BENCH", "a chart"}, {"A1", "a page"}, {"A2", "a page"}};
    CHECK(app::sources_in_words(words, "BENCH (risky); [M]") == "a chart (risky); from memory");
    CHECK(app::sources_in_words(words, "A1; A2; [M] thermal shock; NEW") == "a page; from memory: thermal shock; NEW");
}

TEST_CASE("The program's own data can be read") {
    const auto kinds = app::read_finish_kinds(kTree / "data/finish_kinds.csv");
    REQUIRE(kinds);
    for (const FinishKind& kind : *kinds) {
        INFO(kind.key);
        CHECK((!kind.dose || in_family(kind, "sulfide")));  // a law of growth is published for sulfide baths alone
        CHECK((!kind.dose || kind.measure == "seconds"));
        CHECK_FALSE(kind.source.empty());
    }
    CHECK(find_kind(*kinds, "Liver of sulfur")->key == "liver_of_sulfur_lump");
    CHECK(find_kind(*kinds, "liver of sulfur", LotForm::gel)->key == "liver_of_sulfur_gel");
    CHECK(find_kind(*kinds, "ammonium_sulfide")->families.size() == 2);
    CHECK(find_kind(*kinds, "moonlight") == nullptr);

    const auto metals = app::read_metals(kTree / "data/metals.toml");
    const auto scales = app::read_scales(kTree / "data/tones.toml");
    REQUIRE(metals);
    REQUIRE(scales);
    for (const app::MetalWords& metal : *metals) {
        INFO(metal.name);
        int scales_of_it = 0;
        for (const app::ScaleWords& scale : *scales) {
            scales_of_it += static_cast<int>(std::count(scale.metals.begin(), scale.metals.end(), metal.name));
            const bool drawn = !scale.words.front().colour.empty();
            // Film colours only where film constants are published: silver.
            CHECK(
                (std::count(scale.metals.begin(), scale.metals.end(), metal.name) == 0 || drawn == metal.silver_film));
        }
        CHECK(scales_of_it == 1);
    }
}

TEST_CASE("Comma-separated records keep quotes, commas and line ends inside cells") {
    const auto records = app::csv_records("# a, comment\r\na,\"b, \"\"c\"\"\",d\r\n\n\"two\nlines\",,\n");
    REQUIRE(records.size() == 2);
    CHECK(records[0].cells == std::vector<std::string>{"a", "b, \"c\"", "d"});
    CHECK(records[0].line == 2);
    CHECK(records[1].cells == std::vector<std::string>{"two\nlines", "", ""});
}

TEST_CASE("Kinds of finish are read strictly") {
    const Folder folder;
    const std::string good = read_file(kTree / "data/finish_kinds.csv");
    const auto fault = [&](const std::string& was, const std::string& is) {
        const auto kinds = app::read_finish_kinds(folder.write("finish_kinds.csv", changed(good, was, is)));
        REQUIRE_FALSE(kinds);
        CHECK_THAT(kinds.error().field, Contains("finish_kinds.csv:"));
    };
    fault("kind,name", "kind,title");
    fault(",lump,g,sulfide,", ",lump,stone,sulfide,");
    fault(",lump,g,sulfide,", ",lump,g,sulphide,");
    fault("sodium_sulfide,", "liver_of_sulfur_gel,");
    fault("seconds,yes,", "seconds,perhaps,");
}
