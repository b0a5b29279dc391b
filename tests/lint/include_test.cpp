#include "lint/include_rules.hpp"
#include "lint/temporary_tree.hpp"

#include <catch2/catch.hpp>

#include <string>
#include <vector>

using tonebath::lint::include_faults;
using tonebath::lint::TemporaryTree;

namespace {

std::string listed(const std::vector<std::string>& faults) {
    std::string text;
    for (const std::string& fault : faults) {
        text += fault + "\n";
    }
    return text;
}

}  // namespace

TEST_CASE("src keeps to the table of layers, without cycles") {
    const std::string faults = listed(include_faults(TONEBATH_SOURCE_DIR "/src"));
    INFO(faults);
    CHECK(faults.empty());
}

TEST_CASE("The include check finds each kind of fault in a tree made for it") {
    TemporaryTree tree;
    tree.write("base/text.hpp", "#pragma once\n#include <string>\n");
    tree.write("store/log.hpp", "#pragma once\n#include \"base/text.hpp\"\n");
    tree.write("window/shell/loop.hpp", "#pragma once\n");

    SECTION("a sound tree has none") {
        tree.write("store/log.cpp", "#include \"store/log.hpp\"\n#include <SQLiteCpp/Database.h>\n#include <vector>\n");
        tree.write("app/service.cpp", "#include \"store/log.hpp\"\n");
        CHECK(listed(include_faults(tree.root())).empty());
    }
    SECTION("a lower layer that includes a higher one") {
        tree.write("base/bad.cpp", "// comment\n#  include \"store/log.hpp\"\n");
        CHECK(listed(include_faults(tree.root())) == "base/bad.cpp:2: base must not include store (store/log.hpp)\n");
    }
    SECTION("panels and shell stay apart") {
        tree.write("window/panels/bath_panel.cpp", "#include \"window/shell/loop.hpp\"\n");
        CHECK(listed(include_faults(tree.root())) ==
              "window/panels/bath_panel.cpp:1: window/panels must not include window/shell (window/shell/loop.hpp)\n");
    }
    SECTION("store in a header of app") {
        tree.write("app/service.hpp", "#include \"store/log.hpp\"\n");
        CHECK(listed(include_faults(tree.root())) ==
              "app/service.hpp:1: app includes store in .cpp files only (store/log.hpp)\n");
    }
    SECTION("a third-party header outside its layer") {
        tree.write("window/panels/bath_panel.cpp", "#include <GLFW/glfw3.h>\n");
        tree.write("model/bath.cpp", "#include <sqlite3.h>\n");
        CHECK(listed(include_faults(tree.root())) ==
              "model/bath.cpp:1: model must not include <sqlite3.h>\n"
              "window/panels/bath_panel.cpp:1: window/panels must not include <GLFW/glfw3.h>\n");
    }
    SECTION("a heavy header in a header of ours") {
        tree.write("command/parse.hpp", "#include <CLI/CLI.hpp>\n");
        CHECK(listed(include_faults(tree.root())) == "command/parse.hpp:1: <CLI/CLI.hpp> belongs in .cpp files only\n");
    }
    SECTION("files in a pure layer, an unknown library, an unknown folder, a missing file") {
        tree.write("science/fit.cpp", "#include <fstream>\n#include <unistd.h>\n");
        tree.write("base/text.cpp", "#include <absl/strings/str_cat.h>\n#include \"base/gone.hpp\"\n");
        tree.write("utils/misc.hpp", "\n");
        CHECK(include_faults(tree.root()).size() == 5);
    }
    SECTION("a cycle") {
        tree.write("model/a.hpp", "#include \"model/b.hpp\"\n");
        tree.write("model/b.hpp", "#include \"model/c.hpp\"\n");
        tree.write("model/c.hpp", "#include \"model/a.hpp\"\n");
        CHECK(listed(include_faults(tree.root())) ==
              "include cycle: model/a.hpp -> model/b.hpp -> model/c.hpp -> model/a.hpp\n");
    }
}
