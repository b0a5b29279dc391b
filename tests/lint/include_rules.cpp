#include "lint/include_rules.hpp"

#include <algorithm>
#include <array>
#include <fstream>
#include <map>
#include <optional>
#include <set>
#include <string_view>

namespace tonebath::lint {
namespace {

namespace fs = std::filesystem;

struct Include {
    int line = 0;
    std::string name;
    bool quoted = false;
};

struct Layer {
    std::string_view folder;             // below src/
    std::vector<std::string_view> ours;  // folders it may include, besides itself
};

// "window" is what lies directly in src/window: it puts panels, widgets and shell together.
const std::vector<Layer>& layers() {
    static const std::vector<Layer> table = {
        {"base", {}},
        {"science", {"base"}},
        {"picture", {"base", "science"}},
        {"model", {"base", "science"}},
        {"store", {"base", "model"}},
        {"report", {"base", "model", "science"}},
        {"app", {"base", "model", "science", "picture", "store", "report"}},
        {"command", {"base", "app", "model"}},
        {"window/widgets", {"base", "app", "model"}},
        {"window/panels", {"base", "app", "model", "window/widgets"}},
        {"window/shell", {"base", "model", "app", "window/widgets"}},
        {"window", {"base", "app", "model", "window/widgets", "window/panels", "window/shell"}},
        {"main", {"base", "app", "command", "window"}},
    };
    return table;
}

struct ThirdParty {
    std::string_view prefix;
    std::vector<std::string_view> layers;
    bool heavy = false;  // only in .cpp files
};

// The first prefix that fits decides.
const std::vector<ThirdParty>& third_party() {
    static const std::vector<ThirdParty> table = {
        {"sqlite3.h", {"store"}, true},
        {"SQLiteCpp/", {"store"}, true},
        {"imgui_internal.h", {"window/widgets", "window/shell"}, true},
        {"imgui_impl_", {"window/shell"}, true},
        {"imgui", {"window/widgets", "window/panels", "window/shell", "window"}},
        {"GLFW/", {"window/shell"}, true},
        {"GL/", {"window/shell"}, true},
        {"AL/", {"window/shell"}, true},
        {"stb/", {"window/widgets", "window/shell"}, true},
        {"ft2build.h", {"window/widgets", "window/shell"}, true},
        {"CLI/", {"command"}, true},
        {"Eigen/", {"science"}},
        {"boost/", {"science"}, true},
        {"toml++/", {"model", "app", "window/widgets", "window/shell"}},
        {"nlohmann/json_fwd.hpp", {"store", "report", "app", "command"}},
        {"nlohmann/", {"store", "report", "app", "command"}, true},
        {"fmt/",
         {"base", "science", "picture", "model", "store", "report", "app", "command", "window/widgets", "window/panels",
          "window/shell", "window", "main"}},
        {"date/", {"base"}, true},
        {"cairo", {"report"}, true},
        {"pango/", {"report"}, true},
        {"glib.h", {"report"}, true},
        {"qrencode.h", {"report"}, true},
        {"jpeglib.h", {"picture"}, true},
        {"jerror.h", {"picture"}, true},
        {"png.h", {"picture"}, true},
        {"tiffio.h", {"picture"}, true},
        {"lcms2.h", {"picture"}, true},
        {"libexif/", {"picture"}, true},
        {"libheif/", {"picture"}, true},
    };
    return table;
}

// System headers with a name in .h: files, processes, clocks. Pure layers have no use for them.
constexpr std::array<std::string_view, 6> kSystemLayers = {"base", "store", "app", "command", "window/shell", "main"};

bool starts_with(std::string_view text, std::string_view head) {
    return text.substr(0, head.size()) == head;
}

template <class Range>
bool holds(const Range& range, std::string_view value) {
    return std::find(range.begin(), range.end(), value) != range.end();
}

std::string layer_of(const std::string& file) {
    if (file.find('/') == std::string::npos) {
        return "main";
    }
    for (const std::string_view part : {"window/widgets", "window/panels", "window/shell"}) {
        if (starts_with(file, std::string(part) + "/")) {
            return std::string(part);
        }
    }
    return file.substr(0, file.find('/'));
}

std::vector<Include> includes_of(const fs::path& file) {
    std::vector<Include> found;
    std::ifstream in(file);
    std::string line;
    for (int number = 1; std::getline(in, line); ++number) {
        std::size_t at = line.find_first_not_of(" \t");
        if (at == std::string::npos || line[at] != '#') {
            continue;
        }
        at = line.find_first_not_of(" \t", at + 1);
        if (at == std::string::npos || line.compare(at, 7, "include") != 0) {
            continue;
        }
        const std::size_t open = line.find_first_of("\"<", at);
        if (open == std::string::npos) {
            continue;
        }
        const bool quoted = line[open] == '"';
        const std::size_t close = line.find(quoted ? '"' : '>', open + 1);
        if (close != std::string::npos) {
            found.push_back({number, line.substr(open + 1, close - open - 1), quoted});
        }
    }
    return found;
}

using Graph = std::map<std::string, std::vector<std::string>>;

// Depth first; a path that comes back to a file on itself is a cycle, reported once.
void find_cycles(const Graph& graph, const std::string& at, std::vector<std::string>& path, std::set<std::string>& done,
                 std::vector<std::string>& faults) {
    const auto again = std::find(path.begin(), path.end(), at);
    if (again != path.end()) {
        std::string text = "include cycle: ";
        for (auto step = again; step != path.end(); ++step) {
            text += *step + " -> ";
        }
        faults.push_back(text + at);
        return;
    }
    if (done.count(at) != 0) {
        return;
    }
    path.push_back(at);
    if (const auto node = graph.find(at); node != graph.end()) {
        for (const std::string& next : node->second) {
            find_cycles(graph, next, path, done, faults);
        }
    }
    path.pop_back();
    done.insert(at);
}

class Walk {
public:
    explicit Walk(const fs::path& src) : src_(src) {}

    std::vector<std::string> faults() {
        for (const fs::directory_entry& entry : fs::recursive_directory_iterator(src_)) {
            const std::string extension = entry.path().extension().string();
            if (entry.is_regular_file() && (extension == ".hpp" || extension == ".cpp" || extension == ".h")) {
                check_file(entry.path());
            }
        }
        std::sort(faults_.begin(), faults_.end());
        std::vector<std::string> path;
        std::set<std::string> done;
        for (const auto& node : graph_) {
            find_cycles(graph_, node.first, path, done, faults_);
        }
        return faults_;
    }

private:
    void check_file(const fs::path& path) {
        const std::string file = path.lexically_relative(src_).generic_string();
        const std::string layer = layer_of(file);
        const auto rule =
            std::find_if(layers().begin(), layers().end(), [&](const Layer& l) { return l.folder == layer; });
        if (rule == layers().end()) {
            faults_.push_back(file + ": the folder " + layer + " is not a layer");
            return;
        }
        const bool header = path.extension() != ".cpp";
        std::vector<std::string>& edges = graph_[file];
        for (const Include& include : includes_of(path)) {
            const std::string where = file + ":" + std::to_string(include.line) + ": ";
            if (include.quoted) {
                check_own(where, layer, *rule, header, include, edges);
            } else {
                check_foreign(where, layer, header, include.name);
            }
        }
    }

    void check_own(const std::string& where, const std::string& layer, const Layer& rule, bool header,
                   const Include& include, std::vector<std::string>& edges) {
        if (!fs::exists(src_ / include.name)) {
            faults_.push_back(where + "\"" + include.name +
                              "\" is not a file below src/ (third-party headers take <>)");
            return;
        }
        edges.push_back(include.name);
        const std::string target = layer_of(include.name);
        if (target != layer && !holds(rule.ours, target)) {
            faults_.push_back(where + layer + " must not include " + target + " (" + include.name + ")");
        }
        if (layer == "app" && target == "store" && header) {
            faults_.push_back(where + "app includes store in .cpp files only (" + include.name + ")");
        }
    }

    void check_foreign(const std::string& where, const std::string& layer, bool header, const std::string& name) {
        for (const ThirdParty& library : third_party()) {
            if (!starts_with(name, library.prefix)) {
                continue;
            }
            if (!holds(library.layers, layer)) {
                faults_.push_back(where + layer + " must not include <" + name + ">");
            }
            if (library.heavy && header) {
                faults_.push_back(where + "<" + name + "> belongs in .cpp files only");
            }
            return;
        }
        const bool standard = name.find_first_of("./") == std::string::npos;
        const bool system =
            !standard && name.size() > 2 && name.substr(name.size() - 2) == ".h" &&
            (name.find('/') == std::string::npos || starts_with(name, "sys/") || starts_with(name, "linux/"));
        if (!standard && !system) {
            faults_.push_back(where + "<" + name + "> is in no row of the table of third-party headers");
        } else if (system && !holds(kSystemLayers, layer)) {
            faults_.push_back(where + layer + " must not include the system header <" + name + ">");
        }
        if ((layer == "science" || layer == "model") &&
            (name == "fstream" || name == "filesystem" || name == "iostream" || name == "thread")) {
            faults_.push_back(where + layer + " is pure: no <" + name + ">");
        }
    }

    fs::path src_;
    Graph graph_;
    std::vector<std::string> faults_;
};

}  // namespace

std::vector<std::string> include_faults(const fs::path& src) {
    return Walk(src).faults();
}

}  // namespace tonebath::lint
