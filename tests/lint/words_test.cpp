#include "lint/words.hpp"
#include "lint/temporary_tree.hpp"

#include <catch2/catch.hpp>

#include <string>
#include <vector>

using namespace tonebath::lint;

TEST_CASE("No word to avoid stands in the text of sources and checklists") {
    const std::string here = TONEBATH_SOURCE_DIR "/tests/lint/";
    const std::vector<std::string> faults = word_faults(TONEBATH_SOURCE_DIR, {"src", "checklists", "data"},
                                                        {here + "words_to_avoid.txt", here + "words_allowed.txt"});
    std::string listed;
    for (const std::string& fault : faults) {
        listed += fault + "\n";
    }
    INFO(listed);
    CHECK(faults.empty());
}

TEST_CASE("Strings are read out of C++ as they are written") {
    const std::string source = R"x(#include "safe/header.hpp"
// "safe" in a comment
const char* a = "one" " and "
                "more";  /* "safe" */
char quote = '"'; int million = 1'000'000;
const char* b = "say \"yes\"";
const char* c = R"sql(SELECT "x")sql";
)x";
    const std::vector<Literal> found = literals_of(source, Language::cpp);
    REQUIRE(found.size() == 3);
    CHECK(found[0].text == "one and more");
    CHECK(found[0].line == 3);
    CHECK(found[1].text == "say \\\"yes\\\"");
    CHECK(found[1].line == 6);
    CHECK(found[2].text == "SELECT \"x\"");
}

TEST_CASE("Screen text is told from keys, formats and SQL") {
    CHECK(is_screen_text("Dip a strip first"));
    CHECK(is_screen_text("Ready"));
    CHECK(is_screen_text("the bath is {} old"));
    CHECK_FALSE(is_screen_text("bath.temp.looks_fahrenheit"));
    CHECK_FALSE(is_screen_text("process"));
    CHECK_FALSE(is_screen_text("%Y-%m-%d %H:%M"));
    CHECK_FALSE(is_screen_text("SELECT id FROM event WHERE id = ?"));
    CHECK_FALSE(is_screen_text("COMMIT"));
}

TEST_CASE("The word check finds what it should, and nothing else") {
    TemporaryTree tree;
    tree.write("avoid.txt", "# comment\nsafe | the figure\nclear | the figure | clear lacquer\njob | session\n");
    tree.write("allowed.txt", "# none\n");
    const WordLists lists{tree.root() / "avoid.txt", tree.root() / "allowed.txt"};

    SECTION("the avoided word, in any case, and once more in a checklist") {
        tree.write("src/a.cpp", "auto t = \"The air is Safe now\";\n");
        tree.write("checklists/b.toml", "# safe\ntext = \"Air is clear\"\n");
        const std::vector<std::string> faults = word_faults(tree.root(), {"src", "checklists"}, lists);
        REQUIRE(faults.size() == 2);
        CHECK(faults[0] == "checklists/b.toml:2: \"clear\" in \"Air is clear\"; say: the figure");
        CHECK(faults[1] == "src/a.cpp:1: \"safe\" in \"The air is Safe now\"; say: the figure");
    }
    SECTION("part of another word, an allowed phrase, a key") {
        tree.write("src/a.cpp", "f(\"safety sheet, jobs\", \"Clear lacquer dries\", \"job\", \"clear_all\");\n");
        CHECK(word_faults(tree.root(), {"src"}, lists).empty());
    }
    SECTION("the word safe even where a key stands") {
        tree.write("src/a.cpp", "f(\"safe\");\n");
        CHECK(word_faults(tree.root(), {"src"}, lists).size() == 1);
    }
    SECTION("an allowance excuses its own text only, and has to be needed") {
        tree.write("src/a.cpp", "f(\"a good job\", \"another job\");\n");
        tree.write("allowed.txt", "src/a.cpp | job | a good job | praise\n");
        CHECK(word_faults(tree.root(), {"src"}, lists).size() == 1);
        tree.write("src/a.cpp", "f(\"nothing here\");\n");
        CHECK(word_faults(tree.root(), {"src"}, lists).size() == 1);
    }
}
