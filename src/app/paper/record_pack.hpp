// A record pack: what an insurer, a venue or an inspector asks for, as one folder of plain files whose sums can be looked at
// again by anyone. Paper for people, CSV for machines, a manifest with the SHA-256 of each.
#pragma once

#include "app/exchange/watch.hpp"
#include "app/paper/period.hpp"
#include "base/result.hpp"
#include "report/report.hpp"

#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

class Studio;

inline constexpr std::string_view kManifest = "manifest.json";
inline constexpr std::string_view kPackPaper = "record-pack.pdf";
inline constexpr std::string_view kSums = "SHA256SUMS";  // the same sums, as "sha256sum -c SHA256SUMS" reads them

struct PackFile {
    std::string name, sha256;
    std::int64_t bytes = 0;
};
struct RecordPack {
    std::filesystem::path folder;
    Period period;
    std::vector<std::string> gaps;
    std::vector<PackFile> files;
    std::int64_t records = 0;
};

// All from one moment of the log. Records with a moment of their own are those of the period (a bath also when it was used in
// it); what has none, such as products, vessels and people, is there whole. The folder appears whole or not at all.
// Refusals: "pack.nothing" (no bath, check, disposal or entry in that period), those of export_log.
[[nodiscard]] Result<RecordPack> write_record_pack(Studio& studio, const Period& period, const std::filesystem::path& folder,
                                                   report::PaperSize size = report::PaperSize::a4, const Watch& watch = {});

struct PackCheck {
    std::string period;                 // "2026-01-01 to 2026-03-31"
    std::size_t files = 0;              // that the manifest lists
    std::vector<std::string> findings;  // "lot.csv is not as it was written"; empty: all as it was
};
// Reads every file again and compares it with the manifest; files that it does not list are findings too. No log is needed.
// Refusal "pack.no_manifest".
[[nodiscard]] Result<PackCheck> check_record_pack(const std::filesystem::path& folder);

}  // namespace tonebath::app
