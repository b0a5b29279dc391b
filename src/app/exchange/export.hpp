// The log written out as files that other programs read: one file a noun, CSV or JSON, and a list of them with their sums.
#pragma once

#include "app/exchange/watch.hpp"
#include "base/clock.hpp"
#include "base/result.hpp"

#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

class Studio;

enum class FileForm { csv, json };
// "csv" or "json"; anything else is csv.
[[nodiscard]] FileForm file_form(std::string_view word);
[[nodiscard]] std::string_view ending_of(FileForm form);  // ".csv"

struct WrittenFile {
    std::string name;         // in the folder: "lot.csv"
    std::string sha256;
    std::int64_t records = 0;
};
struct Exported {
    std::filesystem::path folder;
    std::vector<WrittenFile> files;  // in the order of the log
    std::int64_t records = 0;
};

inline constexpr std::string_view kExportList = "export.json";

// Every noun, all from one moment of the log, in flat memory. The folder must not be there yet, or be empty: it appears
// whole, or, when stopped or refused, not at all. The same log gives the same bytes. Pins never leave the log.
// Refusals: "export.folder_not_empty", "export.not_written", "export.stopped", "export.bad_text" (a text of the log that is
// not UTF-8), "log.trouble".
[[nodiscard]] Result<Exported> export_log(Studio& studio, const std::filesystem::path& folder, FileForm form, const Watch& watch = {});

// Records of one noun into one file; `where` may narrow them ("WHERE at_utc_ms >= ?1"), with the moments for ?1 and ?2.
// For the record pack. The watch is told how many were written instead of a share. Throws FileError and StoreError.
// Refusals: "export.stopped", "export.bad_text".
struct NounFile {
    std::string_view table;
    std::string where;
    std::vector<std::int64_t> moments;
};
[[nodiscard]] Result<WrittenFile> write_noun(Studio& studio, const NounFile& what, const std::filesystem::path& folder, FileForm form,
                                             const Watch& watch = {});

}  // namespace tonebath::app
