#include "app/checklist_file.hpp"

#include "app/toml_reader.hpp"
#include "base/text.hpp"

#include <algorithm>
#include <array>
#include <set>

namespace tonebath::app {

namespace {

constexpr std::int64_t kSchema = 2;
constexpr std::array<std::string_view, 9> kFamilies{"sulfide", "acid",  "oxidiser",   "ammonia", "solvent",
                                                    "heat",    "inert", "metal_salt", "any"};

ChecklistItem item_of(TomlReader& in, const toml::table& one) {
    in.only(one, {"id", "text", "response", "why", "level", "families", "source", "defer_to_local"});
    ChecklistItem item{.key = in.value<std::string>(one, "id"),
                       .text = in.value<std::string>(one, "text"),
                       .response = in.value<std::string>(one, "response"),
                       .why = in.value<std::string>(one, "why"),
                       .level = CheckLevel::advise,
                       .families = in.words(one, "families"),
                       .source = in.words(one, "source"),
                       .defer_to_local = in.value<bool>(one, "defer_to_local")};
    const auto level = in.value<std::string>(one, "level");
    if (const auto known = from_word<CheckLevel>(level)) {
        item.level = *known;
    } else {
        in.fault(one.source(), fmt::format("no level is called \"{}\".", level));
    }
    if (item.key.empty() || item.text.empty() || item.why.empty()) {
        in.fault(one.source(), "id, text and why must not be empty.");
    }
    if (item.source.empty()) {
        in.fault(one.source(), fmt::format("item \"{}\" names no source.", item.key));
    }
    if (item.families.empty()) {
        in.fault(one.source(), fmt::format("item \"{}\" names no family.", item.key));
    }
    for (const std::string& family : item.families) {
        if (std::find(kFamilies.begin(), kFamilies.end(), family) == kFamilies.end()) {
            in.fault(one.source(), fmt::format("no family is called \"{}\".", family));
        }
    }
    if (item.level != CheckLevel::advise && item.response.empty()) {
        in.fault(one.source(), fmt::format("item \"{}\" is asked and must say what the answer states.", item.key));
    }
    return item;
}

}  // namespace

Result<Checklist> read_checklist(const std::filesystem::path& file) {
    TomlReader in(file);
    const toml::table all = in.parse();
    if (in.fault()) {
        return *in.fault();
    }
    in.only(all, {"schema", "id", "version", "title", "when", "mode", "ends_in", "item"});
    if (in.value<std::int64_t>(all, "schema") != kSchema) {
        in.fault(all.source(), fmt::format("schema {} was expected.", kSchema));
    }
    Checklist list{.key = in.value<std::string>(all, "id"),
                   .version = static_cast<int>(in.value<std::int64_t>(all, "version")),
                   .title = in.value<std::string>(all, "title"),
                   .when = in.value<std::string>(all, "when"),
                   .mode = in.value<std::string>(all, "mode"),
                   .ends_in = in.value<std::string>(all, "ends_in"),
                   .items = {}};
    if (list.key != file.stem().string()) {
        in.fault(all.source(), fmt::format("id \"{}\" is not the name of the file.", list.key));
    }
    if (list.mode != "do, then check" && list.mode != "read, then do") {
        in.fault(all.source(), "mode is \"do, then check\" or \"read, then do\".");
    }
    std::set<std::string> keys;
    for (const toml::table* one : in.tables(all, "item")) {
        list.items.push_back(item_of(in, *one));
        if (!keys.insert(list.items.back().key).second) {
            in.fault(one->source(), fmt::format("id \"{}\" is there twice.", list.items.back().key));
        }
    }
    if (in.fault()) {
        return *in.fault();
    }
    return list;
}

}  // namespace tonebath::app
