// The program's own data: kinds of finish, metals and tone words. Strict readers: what is not understood is a fault
// with its file and line, never passed over.
#pragma once

#include "base/result.hpp"
#include "model/finish_kind.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace tonebath::app {

struct MetalWords {
    std::string name;
    bool silver_film = false;
    std::string bare_colour;
    std::string note;
};
struct ScaleWords {
    struct Word {
        std::string word;
        std::string colour;  // may be empty
    };
    std::vector<std::string> metals;
    std::vector<Word> words;  // in order of growth, bare metal first
    std::string ceiling;      // the last of them; empty = none known
};

// Refusal code "data.bad_file"; field = "finish_kinds.csv:12", message = what is wrong there.
[[nodiscard]] Result<std::vector<FinishKind>> read_finish_kinds(const std::filesystem::path& file);
[[nodiscard]] Result<std::vector<MetalWords>> read_metals(const std::filesystem::path& file);
[[nodiscard]] Result<std::vector<ScaleWords>> read_scales(const std::filesystem::path& file);

// One record of a comma-separated file with its first line (RFC 4180; "#" lines are comments). A quote that never
// closes ends the file.
struct CsvRecord {
    int line = 0;
    std::vector<std::string> cells;
};
[[nodiscard]] std::vector<CsvRecord> csv_records(std::string_view text);

}  // namespace tonebath::app
