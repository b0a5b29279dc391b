#include "store/beside.hpp"

#include "store/log.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <signal.h>
#include <sqlite3.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <charconv>
#include <cstdlib>
#include <optional>
#include <system_error>

namespace tonebath::store {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view kHalfMade = ".new-";
constexpr std::string_view kAside = "tonebath-aside-";

bool is_gone(pid_t process) { return process != getpid() && kill(process, 0) != 0 && errno == ESRCH; }

// The process's number where a name goes on with one, and what stands behind it.
struct Numbered {
    pid_t process = 0;
    std::string_view rest;
};
std::optional<Numbered> numbered(std::string_view text) {
    Numbered found;
    const auto [end, failed] = std::from_chars(text.data(), text.data() + text.size(), found.process);
    if (failed != std::errc() || found.process <= 0) {
        return std::nullopt;
    }
    found.rest = text.substr(static_cast<std::size_t>(end - text.data()));
    return found;
}

bool is_left_half_made(const std::string& name, const std::string& stem) {
    const std::size_t mark = name.rfind(kHalfMade);
    if (!name.starts_with(stem) || mark == std::string::npos || mark < stem.size()) {
        return false;
    }
    constexpr std::array<std::string_view, 4> kEndings{"", "-journal", "-wal", "-shm"};
    const auto made_by = numbered(std::string_view(name).substr(mark + kHalfMade.size()));
    return made_by && std::find(kEndings.begin(), kEndings.end(), made_by->rest) != kEndings.end() && is_gone(made_by->process);
}

bool is_left_aside(const std::string& name) {
    if (!name.starts_with(kAside)) {
        return false;
    }
    const auto made_by = numbered(std::string_view(name).substr(kAside.size()));
    return made_by && made_by->rest.starts_with("-") && is_gone(made_by->process);
}

}  // namespace

fs::path beside(const fs::path& file, std::string_view ending) {
    fs::path other = file;
    other += ending;
    return other;
}

fs::path half_made(const fs::path& file) { return beside(file, fmt::format("{}{}", kHalfMade, getpid())); }

std::size_t sweep_half_made(const fs::path& folder, const std::string& stem) {
    std::size_t gone = 0;
    std::error_code failed;
    for (auto entry = fs::directory_iterator(folder.empty() ? fs::path(".") : folder, failed); !failed && entry != fs::directory_iterator(); entry.increment(failed)) {
        std::error_code ignored;
        if (is_left_half_made(entry->path().filename().string(), stem) && fs::remove(entry->path(), ignored)) {
            ++gone;
        }
    }
    return gone;
}

Aside::Aside() {
    std::error_code failed;
    const fs::path all = fs::temp_directory_path();
    for (auto entry = fs::directory_iterator(all, failed); !failed && entry != fs::directory_iterator(); entry.increment(failed)) {
        std::error_code ignored;
        if (is_left_aside(entry->path().filename().string())) {
            fs::remove_all(entry->path(), ignored);
        }
    }
    std::string folder = (all / fmt::format("{}{}-XXXXXX", kAside, getpid())).string();
    if (mkdtemp(folder.data()) == nullptr) {
        throw StoreError("There is no room for a copy of the log aside. Nothing was changed.",
                         errno == ENOSPC ? StoreError::Kind::disk_full : StoreError::Kind::disk_failed);
    }
    folder_ = folder;
}

Aside::~Aside() {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
}

void copy_pages(SQLite::Database& from, const fs::path& to) {
    SQLite::Database target(to.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    sqlite3_backup* backup = sqlite3_backup_init(target.getHandle(), "main", from.getHandle(), "main");
    if (backup == nullptr) {
        throw SQLite::Exception(target.getHandle());
    }
    int step = SQLITE_OK;
    do {
        step = sqlite3_backup_step(backup, -1);
        if (step == SQLITE_BUSY || step == SQLITE_LOCKED) {
            sqlite3_sleep(50);
        }
    } while (step == SQLITE_BUSY || step == SQLITE_LOCKED);
    const int ended = sqlite3_backup_finish(backup);
    if (step != SQLITE_DONE || ended != SQLITE_OK) {
        throw SQLite::Exception(target.getHandle(), step != SQLITE_DONE ? step : ended);
    }
}

}  // namespace tonebath::store
