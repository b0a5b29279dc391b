#include "app/checklist_file.hpp"

#include "app/toml_reader.hpp"
#include "base/text.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <set>

namespace tonebath::app {

namespace {

constexpr std::int64_t kSchema = 2;
constexpr std::array<std::string_view, 9> kFamilies{"sulfide", "acid",  "oxidiser",   "ammonia", "solvent",
                                                    "heat",    "inert", "metal_salt", "any"};
constexpr std::array<std::string_view, 3> kNeeds{"gas_meter", "air_speed_meter", "dry_solid"};
constexpr std::array<std::string_view, 6> kUnits{"ppm", "m/s", "C", "mL", "L", "min"};
constexpr std::array<std::string_view, 5> kReopens{"bath_changed", "finish_kind_changed", "extraction_off",
                                                   "break_over_15_min", "meter_alarm"};
constexpr std::array<std::string_view, 6> kOrder{"before_mixing",  "before_session", "during",
                                                 "after_disposal", "lacquer",        "monthly"};
constexpr double kLongestHold_min = 60.0;  // ours

template <class Known>
bool is_one_of(const Known& known, std::string_view word) {
    return std::find(known.begin(), known.end(), word) != known.end();
}

// Where each item and each mention of another stands, for faults that only the whole shows.
struct Places {
    std::map<std::string, toml::source_region> items, repeats;
};

void check_words(TomlReader& in, const toml::table& one, const ChecklistItem& item, const SourceWords& sources) {
    for (const std::vector<std::string>* row : {&item.families, &item.away}) {
        for (const std::string& family : *row) {
            if (!is_one_of(kFamilies, family)) {
                in.fault(one.source(), fmt::format("no family is called \"{}\".", family));
            }
        }
    }
    for (const std::string& source : item.source) {
        if (sources.find(source) == sources.end()) {
            in.fault(one.source(), fmt::format("no list of sources holds \"{}\".", source));
        }
    }
    for (const std::string* need : {&item.needs, &item.number_needs}) {
        if (!need->empty() && !is_one_of(kNeeds, *need)) {
            in.fault(one.source(), fmt::format("nothing that can be needed is called \"{}\".", *need));
        }
    }
    if (!item.number.empty() && !is_one_of(kUnits, item.number)) {
        in.fault(one.source(), fmt::format("no figure is told in \"{}\".", item.number));
    }
    if (item.number.empty() && !item.number_needs.empty()) {
        in.fault(one.source(), "number_needs stands without number.");
    }
    if (item.needs.empty() && !item.without.empty()) {
        in.fault(one.source(), "without stands without needs.");
    }
    if (item.hold_min && (*item.hold_min <= 0.0 || *item.hold_min > kLongestHold_min)) {
        in.fault(one.source(), "hold_min lies above 0 and up to 60.");
    }
    if (item.hold_min && !item.away.empty()) {
        in.fault(one.source(), "what must be kept away is always asked: it has no hold_min.");
    }
}

ChecklistItem item_of(TomlReader& in, const toml::table& one, const SourceWords& sources) {
    in.only(one, {"id", "text", "response", "why", "level", "families", "source", "defer_to_local", "away", "needs",
                  "without", "number", "number_needs", "hold_min", "stop_when", "duplicate_of", "completion"});
    ChecklistItem item{.key = in.value<std::string>(one, "id"),
                       .text = in.value<std::string>(one, "text"),
                       .response = in.value<std::string>(one, "response"),
                       .why = in.value<std::string>(one, "why"),
                       .level = CheckLevel::advise,
                       .families = in.words(one, "families"),
                       .source = in.words(one, "source"),
                       .defer_to_local = in.value<bool>(one, "defer_to_local"),
                       .away = in.words(one, "away", false),
                       .needs = in.value<std::string>(one, "needs", false),
                       .without = in.value<std::string>(one, "without", false),
                       .number = in.value<std::string>(one, "number", false),
                       .number_needs = in.value<std::string>(one, "number_needs", false),
                       .duplicate_of = in.value<std::string>(one, "duplicate_of", false),
                       .completion = in.value<bool>(one, "completion", false)};
    if (one.contains("hold_min")) {
        item.hold_min = static_cast<double>(in.value<std::int64_t>(one, "hold_min"));
    }
    if (one.contains("stop_when")) {
        item.stop_when_not_cleared = in.value<std::string>(one, "stop_when") == "not_cleared_alone";
        if (!item.stop_when_not_cleared) {
            in.fault(one.source(), "stop_when is \"not_cleared_alone\".");
        }
    }
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
    check_words(in, one, item, sources);
    if (item.level != CheckLevel::advise && item.response.empty()) {
        in.fault(one.source(), fmt::format("item \"{}\" is asked and must say what the answer states.", item.key));
    }
    if (item.level == CheckLevel::stop && !item.needs.empty() && item.without.empty()) {
        in.fault(one.source(), fmt::format("the stop \"{}\" must say what stands there without {}.", item.key, item.needs));
    }
    return item;
}

void read_head(TomlReader& in, const toml::table& all, Checklist& list) {
    for (const std::string& word : in.words(all, "gates")) {
        if (const auto gate = from_word<Gate>(word)) {
            list.gates.push_back(*gate);
        } else if (word != "none") {
            in.fault(all.source(), fmt::format("no gate is called \"{}\".", word));
        }
    }
    for (const std::string& word : list.reopen_on) {
        if (!is_one_of(kReopens, word)) {
            in.fault(all.source(), fmt::format("nothing that opens a list again is called \"{}\".", word));
        }
    }
    if (list.version < 1) {
        in.fault(all.source(), "version is 1 or higher.");
    }
    if (list.max_seconds < 10 || list.max_seconds > 120) {
        in.fault(all.source(), "max_seconds lies between 10 and 120.");
    }
    if (list.mode != "do, then check" && list.mode != "read, then do") {
        in.fault(all.source(), "mode is \"do, then check\" or \"read, then do\".");
    }
}

// Order and number of the items, and the line that closes the list.
void check_whole(TomlReader& in, const std::vector<const toml::table*>& tables, const Checklist& list) {
    if (list.items.size() > kMostItems) {
        in.fault(tables[kMostItems]->source(), fmt::format("a list has at most {} items.", kMostItems));
    }
    bool past_stops = false;
    std::set<std::string> keys;
    for (std::size_t i = 0; i < list.items.size(); ++i) {
        const ChecklistItem& item = list.items[i];
        if (!keys.insert(item.key).second) {
            in.fault(tables[i]->source(), fmt::format("id \"{}\" is there twice.", item.key));
        }
        if (item.level == CheckLevel::stop && past_stops) {
            in.fault(tables[i]->source(), fmt::format("stops stand first: \"{}\" comes too late.", item.key));
        }
        past_stops = past_stops || item.level != CheckLevel::stop;
        const bool last = i + 1 == list.items.size();
        if (item.completion && (!last || item.level != CheckLevel::must)) {
            in.fault(tables[i]->source(), "the line that closes the list stands last, and its level is must.");
        }
        if (last && !item.completion) {
            in.fault(tables[i]->source(), "no line closes the list: the last item needs completion = true.");
        }
    }
}

struct ReadList {
    Checklist list;
    Places places;
};

Result<ReadList> read_one(TomlReader& in, const std::filesystem::path& file, const SourceWords& sources) {
    const toml::table all = in.parse();
    if (in.fault()) {
        return *in.fault();
    }
    in.only(all, {"schema", "id", "version", "title", "when", "mode", "gates", "max_seconds", "reader", "reopen_on",
                  "ends_in", "item"});
    if (in.value<std::int64_t>(all, "schema") != kSchema) {
        in.fault(all.source(), fmt::format("schema {} was expected.", kSchema));
    }
    ReadList read{.list = {.key = in.value<std::string>(all, "id"),
                           .version = static_cast<int>(in.value<std::int64_t>(all, "version")),
                           .title = in.value<std::string>(all, "title"),
                           .when = in.value<std::string>(all, "when"),
                           .mode = in.value<std::string>(all, "mode"),
                           .ends_in = in.value<std::string>(all, "ends_in"),
                           .reopen_on = in.words(all, "reopen_on", false),
                           .max_seconds = static_cast<int>(in.value<std::int64_t>(all, "max_seconds")),
                           .reader = in.value<std::string>(all, "reader")},
                  .places = {}};
    Checklist& list = read.list;
    if (list.key != file.stem().string()) {
        in.fault(all.source(), fmt::format("id \"{}\" is not the name of the file.", list.key));
    }
    if (list.title.empty() || list.ends_in.empty()) {
        in.fault(all.source(), "title and ends_in must not be empty.");
    }
    read_head(in, all, list);
    const auto tables = in.tables(all, "item");
    for (const toml::table* one : tables) {
        list.items.push_back(item_of(in, *one, sources));
        read.places.items.emplace(list.items.back().key, one->source());
        if (!list.items.back().duplicate_of.empty()) {
            read.places.repeats.emplace(list.items.back().duplicate_of, one->source());
        }
    }
    check_whole(in, tables, list);
    if (in.fault()) {
        return *in.fault();
    }
    return read;
}

// What an edited list of the program may not lose.
void check_edit(TomlReader& in, const ReadList& own, const Checklist& program) {
    const toml::source_region head{};
    if (own.list.version <= program.version) {
        in.fault(head, fmt::format("a changed list needs a version above {}.", program.version));
    }
    if (own.list.gates != program.gates || own.list.reopen_on != program.reopen_on) {
        in.fault(head, "gates and reopen_on stay as the program has them.");
    }
    for (const ChecklistItem& stop : program.items) {
        if (stop.level != CheckLevel::stop) {
            continue;
        }
        const auto kept = std::find_if(own.list.items.begin(), own.list.items.end(),
                                       [&](const ChecklistItem& item) { return item.key == stop.key; });
        const auto all_of = [](const std::vector<std::string>& more, const std::vector<std::string>& less) {
            return std::all_of(less.begin(), less.end(), [&](const std::string& one) { return is_one_of(more, one) || is_one_of(more, "any"); });
        };
        if (kept == own.list.items.end()) {
            in.fault(head, fmt::format("\"{}\" is a stop and may not be left out.", stop.key));
        } else if (kept->level != CheckLevel::stop || !all_of(kept->families, stop.families) ||
                   !all_of(kept->away, stop.away) || (stop.needs.empty() && !kept->needs.empty()) ||
                   (!stop.hold_min && kept->hold_min)) {
            in.fault(own.places.items.at(stop.key),
                     fmt::format("\"{}\" is a stop and may be made wider, never narrower.", stop.key));
        }
    }
}

// Ids across the lists: each belongs to one list, and what an item repeats is there.
std::optional<Refusal> check_across(const std::vector<std::pair<std::filesystem::path, ReadList>>& read) {
    std::map<std::string, std::string> owner;
    for (const auto& [file, one] : read) {
        for (const ChecklistItem& item : one.list.items) {
            const auto [known, fresh] = owner.emplace(item.key, one.list.key);
            if (!fresh && known->second != one.list.key) {
                TomlReader in(file);
                in.fault(one.places.items.at(item.key), fmt::format("id \"{}\" stands in {} already.", item.key, known->second));
                return in.fault();
            }
        }
    }
    for (const auto& [file, one] : read) {
        for (const auto& [key, where] : one.places.repeats) {
            if (owner.find(key) == owner.end()) {
                TomlReader in(file);
                in.fault(where, fmt::format("duplicate_of names \"{}\", which no list has.", key));
                return in.fault();
            }
        }
    }
    return std::nullopt;
}

std::vector<std::filesystem::path> list_files(const std::filesystem::path& folder) {
    std::vector<std::filesystem::path> files;
    std::error_code none;
    for (const auto& entry : std::filesystem::directory_iterator(folder, none)) {
        if (entry.path().extension() == ".toml" && !entry.path().stem().string().starts_with("emergency_")) {
            files.push_back(entry.path());
        }
    }
    const auto place = [](const std::filesystem::path& file) {
        return std::find(kOrder.begin(), kOrder.end(), file.stem().string()) - kOrder.begin();
    };
    std::sort(files.begin(), files.end(), [&](const auto& a, const auto& b) {
        return std::pair(place(a), a.filename()) < std::pair(place(b), b.filename());
    });
    return files;
}

using ReadLists = std::vector<std::pair<std::filesystem::path, ReadList>>;

Result<ReadLists> with_own(const ReadLists& program, const std::filesystem::path& own_folder, SourceWords& sources) {
    if (const auto file = own_folder / "sources.csv"; std::filesystem::exists(file)) {
        const auto more = read_source_words(file);
        if (!more) {
            return more.error();
        }
        sources.insert(more->begin(), more->end());
    }
    ReadLists all = program;
    for (const std::filesystem::path& file : list_files(own_folder)) {
        TomlReader in(file);
        Result<ReadList> own = read_one(in, file, sources);
        if (!own) {
            return own.error();
        }
        ReadList one = std::move(own).value();
        one.list.own = true;
        const auto edited = std::find_if(all.begin(), all.end(), [&](const auto& other) { return other.second.list.key == one.list.key; });
        if (edited == all.end()) {
            all.emplace_back(file, std::move(one));
            continue;
        }
        check_edit(in, one, edited->second.list);
        if (in.fault()) {
            return *in.fault();
        }
        *edited = {file, std::move(one)};
    }
    if (auto fault = check_across(all)) {
        return *fault;
    }
    return all;
}

}  // namespace

Result<Checklist> read_checklist(const std::filesystem::path& file, const SourceWords& sources) {
    TomlReader in(file);
    Result<ReadList> read = read_one(in, file, sources);
    return read ? Result<Checklist>(read->list) : Result<Checklist>(read.error());
}

const Checklist* ChecklistBook::find(std::string_view key) const {
    const auto found = std::find_if(lists.begin(), lists.end(), [&](const Checklist& list) { return list.key == key; });
    return found == lists.end() ? nullptr : &*found;
}

Result<ChecklistBook> read_checklists(const std::filesystem::path& folder, const std::filesystem::path& own_folder,
                                      const std::filesystem::path& sources) {
    auto words = read_source_words(sources);
    if (!words) {
        return words.error();
    }
    ChecklistBook book{.lists = {}, .sources = *words, .own_fault = {}};
    ReadLists read;
    for (const std::string_view key : kOrder) {
        const std::filesystem::path file = folder / fmt::format("{}.toml", key);
        TomlReader in(file);
        Result<ReadList> one = read_one(in, file, book.sources);
        if (!one) {
            return one.error();
        }
        read.emplace_back(file, std::move(one).value());
    }
    if (auto fault = check_across(read)) {
        return *fault;
    }
    if (!own_folder.empty()) {
        if (Result<ReadLists> all = with_own(read, own_folder, book.sources)) {
            read = std::move(all).value();
        } else {
            book.own_fault = all.error();
        }
    }
    for (auto& [file, one] : read) {
        book.lists.push_back(std::move(one.list));
    }
    return book;
}

}  // namespace tonebath::app
