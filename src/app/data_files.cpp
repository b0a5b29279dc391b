#include "app/data_files.hpp"

#include "app/csv_file.hpp"
#include "app/exchange/csv.hpp"
#include "app/toml_reader.hpp"
#include "base/text.hpp"

#include <algorithm>
#include <set>
#include <sstream>

namespace tonebath::app {

namespace {

bool is_colour(std::string_view text) {
    return text.size() == 7 && text[0] == '#' &&
           text.find_first_not_of("0123456789abcdef", 1) == std::string_view::npos;
}

const std::set<std::string>& known_families() {
    static const std::set<std::string> families{"sulfide", "acid", "oxidiser",   "ammonia",
                                                "solvent", "heat", "metal_salt", "inert"};
    return families;
}

// One line of finish_kinds.csv, of ten cells; the fault in words where it is not one.
Result<FinishKind> kind_of(const std::vector<std::string>& cells) {
    const auto wrong = [](std::string words) {
        return Refusal{.code = {}, .field = {}, .value = {}, .message = std::move(words), .remedy = {}, .answers = {}};
    };
    FinishKind kind{.key = cells[0],
                    .name = cells[1],
                    .families = split(cells[4], ';'),
                    .form = std::nullopt,
                    .unit = std::nullopt,
                    .measure = cells[5],
                    .dose = cells[6] == "yes",
                    .never_meets = cells[7],
                    .stop_rinse = cells[8],
                    .source = cells[9]};
    if (!cells[2].empty()) {
        kind.form = from_word<LotForm>(cells[2]);
        if (!kind.form) {
            return wrong(fmt::format("no form is called \"{}\".", cells[2]));
        }
    }
    if (!cells[3].empty()) {
        kind.unit = from_word<AmountUnit>(cells[3]);
        if (!kind.unit) {
            return wrong(fmt::format("no unit is called \"{}\".", cells[3]));
        }
    }
    for (const std::string& family : kind.families) {
        if (known_families().count(family) == 0) {
            return wrong(fmt::format("no family is called \"{}\".", family));
        }
    }
    if (cells[6] != "yes" && cells[6] != "no") {
        return wrong("dose is yes or no.");
    }
    if (kind.key.empty() || kind.name.empty() || kind.source.empty()) {
        return wrong("kind, name and source must be there.");
    }
    return kind;
}

}  // namespace

std::vector<CsvRecord> csv_records(std::string_view text) {
    std::istringstream in{std::string(text)};
    CsvReader reader(in, {.comments = true});
    std::vector<CsvRecord> records;
    while (reader.next()) {
        records.push_back({.line = reader.line(), .cells = reader.cells()});
    }
    if (!reader.fault().empty()) {
        records.push_back({.line = reader.line(), .cells = reader.cells()});
    }
    return records;
}

Result<std::vector<FinishKind>> read_finish_kinds(const std::filesystem::path& file) {
    const auto records = rows_under(file, "kind,name,form,unit,families,measure,dose,never_meets,stop_rinse,source");
    if (!records) {
        return records.error();
    }
    std::vector<FinishKind> kinds;
    for (const CsvRecord& record : *records) {
        Result<FinishKind> kind = kind_of(record.cells);
        if (!kind) {
            return bad_row(file, record.line, kind.error().message);
        }
        const bool twice =
            std::any_of(kinds.begin(), kinds.end(), [&](const FinishKind& other) { return other.key == kind->key; });
        if (twice) {
            return bad_row(file, record.line, fmt::format("\"{}\" is there twice.", kind->key));
        }
        kinds.push_back(*kind);
    }
    return kinds;
}

Result<std::vector<MetalWords>> read_metals(const std::filesystem::path& file) {
    TomlReader in(file);
    const toml::table all = in.parse();
    if (!in.fault()) {
        in.only(all, {"schema", "metal"});
    }
    std::vector<MetalWords> metals;
    for (const toml::table* one : in.tables(all, "metal")) {
        in.only(*one, {"name", "film", "bare_colour", "note"});
        const auto film = in.value<std::string>(*one, "film");
        MetalWords metal{.name = in.value<std::string>(*one, "name"),
                         .silver_film = film == "silver",
                         .bare_colour = in.value<std::string>(*one, "bare_colour", false),
                         .note = in.value<std::string>(*one, "note", false)};
        if (film != "silver" && film != "none") {
            in.fault(one->source(), "film is \"silver\" or \"none\".");
        }
        if (!metal.bare_colour.empty() && !is_colour(metal.bare_colour)) {
            in.fault(one->source(), "a colour is written \"#rrggbb\".");
        }
        for (const MetalWords& other : metals) {
            if (other.name == metal.name) {
                in.fault(one->source(), fmt::format("\"{}\" is there twice.", metal.name));
            }
        }
        metals.push_back(std::move(metal));
    }
    if (in.fault()) {
        return *in.fault();
    }
    return metals;
}

Result<std::vector<ScaleWords>> read_scales(const std::filesystem::path& file) {
    TomlReader in(file);
    const toml::table all = in.parse();
    if (!in.fault()) {
        in.only(all, {"schema", "scale"});
    }
    std::vector<ScaleWords> scales;
    for (const toml::table* one : in.tables(all, "scale")) {
        in.only(*one, {"metals", "ceiling", "words", "tone"});
        ScaleWords scale{
            .metals = in.words(*one, "metals"), .words = {}, .ceiling = in.value<std::string>(*one, "ceiling", false)};
        for (const std::string& word : in.words(*one, "words", false)) {
            scale.words.push_back({.word = word, .colour = ""});
        }
        for (const toml::table* tone : in.tables(*one, "tone", false)) {
            in.only(*tone, {"word", "colour"});
            scale.words.push_back({.word = in.value<std::string>(*tone, "word"),
                                   .colour = in.value<std::string>(*tone, "colour", false)});
            if (!scale.words.back().colour.empty() && !is_colour(scale.words.back().colour)) {
                in.fault(tone->source(), "a colour is written \"#rrggbb\".");
            }
        }
        std::set<std::string> seen;
        for (const ScaleWords::Word& word : scale.words) {
            if (!seen.insert(word.word).second) {
                in.fault(one->source(), fmt::format("\"{}\" is there twice.", word.word));
            }
        }
        if (scale.words.size() < 2) {
            in.fault(one->source(), "a scale has two words at least.");
        } else if (!scale.ceiling.empty() && scale.ceiling != scale.words.back().word) {
            in.fault(one->source(), "the ceiling is the last word of the scale.");
        }
        scales.push_back(std::move(scale));
    }
    if (in.fault()) {
        return *in.fault();
    }
    return scales;
}

}  // namespace tonebath::app
