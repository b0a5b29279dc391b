// Rules of the source tree that need no more than a look at each file.
#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <set>
#include <string>

namespace fs = std::filesystem;

namespace {

const fs::path kTree = TONEBATH_SOURCE_DIR;

long lines_of(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    return std::count(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>(), '\n');
}

}  // namespace

TEST_CASE("No C++ file below src has over 400 lines") {
    int seen = 0;
    for (const fs::directory_entry& entry : fs::recursive_directory_iterator(kTree / "src")) {
        if (entry.path().extension() == ".cpp" || entry.path().extension() == ".hpp") {
            INFO(entry.path().lexically_relative(kTree).string() << ": split it by what its parts are about");
            CHECK(lines_of(entry.path()) <= 400);
            ++seen;
        }
    }
    CHECK(seen > 10);
}

TEST_CASE("Every header below src has its pragma once") {
    for (const fs::directory_entry& entry : fs::recursive_directory_iterator(kTree / "src")) {
        if (entry.path().extension() == ".hpp") {
            std::ifstream in(entry.path());
            std::string line;
            bool found = false;
            while (!found && std::getline(in, line)) {
                found = line == "#pragma once";
            }
            INFO(entry.path().lexically_relative(kTree).string());
            CHECK(found);
        }
    }
}

TEST_CASE("The top level holds what it should and nothing else") {
    const std::set<std::string> known = {
        "CMakeLists.txt", "README.md",      "DEVELOPERS.md", "LICENSE", "src",   "third_party",
        "tests",          "checklists",     "data",          "docs",    ".ci",   ".clang-format",
        ".clang-tidy",    ".gitattributes", ".gitignore",    ".git",    "build", "CMakePresets.json"};
    for (const fs::directory_entry& entry : fs::directory_iterator(kTree)) {
        INFO(entry.path().filename().string());
        CHECK(known.count(entry.path().filename().string()) == 1);
    }
}
