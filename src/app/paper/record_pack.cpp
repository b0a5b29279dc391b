#include "app/paper/record_pack.hpp"

#include "app/exchange/columns.hpp"
#include "app/exchange/export.hpp"
#include "app/exchange/new_folder.hpp"
#include "app/log_trouble.hpp"
#include "app/paper/pack_report.hpp"
#include "app/studio.hpp"
#include "base/files.hpp"
#include "base/text.hpp"
#include "base/version.hpp"
#include "model/nouns.hpp"
#include "report/digest.hpp"
#include "report/writers.hpp"
#include "store/query.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <set>

namespace tonebath::app {

namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

// The moment of a record that says when it happened; empty = the noun has none, and stands whole.
std::string when_of(const ExchangeNoun& noun) {
    if (noun.table == Dip::kTable) {
        return "coalesce(dropped_utc_ms, at_about_utc_ms, made_utc_ms)";
    }
    for (const ExchangeColumn& column : noun.columns) {
        if (column.kind == CellKind::moment && !column.optional && column.name != "made") {
            return std::string(column.name) + "_utc_ms";
        }
    }
    return {};
}

NounFile part_of(const ExchangeNoun& noun, const Period& period) {
    NounFile what{.table = noun.table};
    const std::string when = when_of(noun);
    if (!when.empty()) {
        what.where = fmt::format("WHERE ({0} >= ?1 AND {0} < ?2)", when);
    } else if (noun.table == Seat::kTable) {
        what.where = "WHERE class_id IN (SELECT id FROM class_session WHERE at_utc_ms >= ?1 AND at_utc_ms < ?2)";
    }
    if (noun.table == Bath::kTable) {
        what.where += " OR id IN (SELECT bath_id FROM dip WHERE dropped_utc_ms >= ?1 AND dropped_utc_ms < ?2)";
    }
    if (!what.where.empty()) {
        what.moments = {period.from.utc_ms, period.until.utc_ms};
    }
    return what;
}

bool holds_anything(Studio& studio, const Period& period) {
    constexpr std::array<const char*, 5> kTold{"SELECT 1 FROM bath WHERE made_up_utc_ms >= ?1 AND made_up_utc_ms < ?2 LIMIT 1",
                                               "SELECT 1 FROM dip WHERE dropped_utc_ms >= ?1 AND dropped_utc_ms < ?2 LIMIT 1",
                                               "SELECT 1 FROM check_run WHERE at_utc_ms >= ?1 AND at_utc_ms < ?2 LIMIT 1",
                                               "SELECT 1 FROM disposal WHERE at_utc_ms >= ?1 AND at_utc_ms < ?2 LIMIT 1",
                                               "SELECT 1 FROM near_miss WHERE at_utc_ms >= ?1 AND at_utc_ms < ?2 LIMIT 1"};
    return std::any_of(kTold.begin(), kTold.end(), [&](const char* sql) {
        store::Query query(studio.log(), sql, {period.from.utc_ms, period.until.utc_ms});
        return query.next();
    });
}

std::string sum_of(const std::string& bytes) {
    report::Digest sum;
    sum.add(bytes);
    return sum.hex();
}

// Of the last day, as people name it in files.
std::string iso_day(const Stamp& at) { return iso_text(at).substr(0, 10); }

// Fills the folder, file by file.
class PackWriter {
public:
    PackWriter(Studio& studio, const Period& period, fs::path folder) : studio_(studio), period_(period), folder_(std::move(folder)) {}

    RecordPack pack;

    Result<Done> write(report::PaperSize size, const Watch& watch) {
        const auto& nouns = exchange_nouns();
        for (std::size_t i = 0; i < nouns.size(); ++i) {
            const double share = static_cast<double>(i) / static_cast<double>(nouns.size() + 1);
            const Watch look = [&](std::string_view what, double) { return !watch || watch(what, share); };
            const auto file = write_noun(studio_, part_of(nouns[i], period_), folder_, FileForm::csv, look);
            if (!file) {
                return file.error();
            }
            if (!look(file->name, 0.0)) {
                return stopped();
            }
            pack.records += file->records;
            pack.files.push_back({.name = file->name, .sha256 = file->sha256, .bytes = static_cast<std::int64_t>(fs::file_size(folder_ / file->name))});
        }
        pack.gaps = pack_gaps(studio_, period_);
        put(kPackPaper, report::pdf_of(pack_report(studio_, period_, pack.gaps), size));
        const std::string manifest = manifest_text();
        write_file_whole(folder_ / kManifest, manifest);
        std::string sums;
        for (const PackFile& file : pack.files) {
            sums += file.sha256 + "  " + file.name + "\n";
        }
        write_file_whole(folder_ / kSums, sums + sum_of(manifest) + "  " + std::string(kManifest) + "\n");
        return !watch || watch(kManifest, 1.0) ? Result<Done>(Done{}) : stopped();
    }

private:
    static Refusal stopped() {
        return Refusal{.code = "export.stopped", .message = "it was stopped.", .remedy = "Nothing of it stays; begin again when you like."};
    }

    void put(std::string_view name, const std::string& bytes) {
        write_file_whole(folder_ / name, bytes);
        pack.files.push_back({.name = std::string(name), .sha256 = sum_of(bytes), .bytes = static_cast<std::int64_t>(bytes.size())});
    }

    std::string manifest_text() const {
        Json files = Json::array();
        for (const PackFile& file : pack.files) {
            files.push_back({{"file", file.name}, {"bytes", file.bytes}, {"sha256", file.sha256}});
        }
        const auto who = studio_.at_bench();
        return Json{{"what", "tonebath record pack"},
                    {"program", fmt::format("tonebath {}", version())},
                    {"from", iso_day(period_.from)},
                    {"to", iso_day(period_.last_day())},
                    {"made", iso_text(studio_.now())},
                    {"by", who ? Json(who->initials) : Json(nullptr)},
                    {"invented_studio", studio_.demo()},
                    {"gaps", pack.gaps},
                    {"files", files}}
                   .dump(2) +
               "\n";
    }

    Studio& studio_;
    const Period& period_;
    fs::path folder_;
};

}  // namespace

Result<RecordPack> write_record_pack(Studio& studio, const Period& period, const fs::path& folder, report::PaperSize size, const Watch& watch) {
    try {
        const store::Snapshot one_moment(studio.log());
        if (!holds_anything(studio, period)) {
            return Refusal{.code = "pack.nothing",
                           .field = "From",
                           .value = period.words(),
                           .message = "nothing was written down in that period.",
                           .remedy = "Look whether the days are right.",
                           .answers = {}};
        }
        Result<NewFolder> place = NewFolder::beside(folder);
        if (!place) {
            return place.error();
        }
        NewFolder part = std::move(place).value();
        PackWriter writer(studio, period, part.path());
        if (const Result<Done> written = writer.write(size, watch); !written) {
            return written.error();
        }
        if (const Result<Done> placed = part.put_in_place(); !placed) {
            return placed.error();
        }
        writer.pack.folder = folder;
        writer.pack.period = period;
        return writer.pack;
    } catch (const FileError& trouble) {
        return not_written(folder, trouble.what());
    } catch (const store::StoreError& trouble) {
        return log_trouble(trouble);
    }
}

Result<PackCheck> check_record_pack(const fs::path& folder) {
    const auto no_manifest = [&](const std::string& why) {
        return Refusal{.code = "pack.no_manifest",
                       .field = "Folder",
                       .value = folder.string(),
                       .message = fmt::format("its manifest cannot be read ({}).", why),
                       .remedy = "Name the folder of a record pack, as it was written.",
                       .answers = {}};
    };
    PackCheck check;
    std::set<std::string> known{std::string(kManifest), std::string(kSums)};
    try {
        const auto manifest = nlohmann::json::parse(read_file(folder / kManifest));
        check.period = manifest.at("from").get<std::string>() + " to " + manifest.at("to").get<std::string>();
        for (const auto& one : manifest.at("files")) {
            const auto name = one.at("file").get<std::string>();
            ++check.files;
            known.insert(name);
            std::error_code trouble;
            if (name.find('/') != std::string::npos || !fs::is_regular_file(folder / name, trouble)) {
                check.findings.push_back(name + " is not there.");
            } else if (sum_of(read_file(folder / name)) != one.at("sha256").get<std::string>()) {
                check.findings.push_back(name + " is not as it was written.");
            }
        }
        for (const auto& entry : fs::directory_iterator(folder)) {
            if (const std::string name = entry.path().filename().string(); !known.contains(name)) {
                check.findings.push_back(name + " does not belong to it.");
            }
        }
    } catch (const nlohmann::json::exception& problem) {
        return no_manifest(problem.what());
    } catch (const FileError& problem) {
        return no_manifest(problem.what());
    }
    return check;
}

}  // namespace tonebath::app
