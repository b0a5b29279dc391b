// Files beside a log and folders aside: half-made ones carry the number of the process that makes them, so that what a killed
// one left is known and swept away later. For the .cpp files of this folder.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>

namespace SQLite {
class Database;
}

namespace tonebath::store {

// "log.tonebath" and "-wal": "log.tonebath-wal".
[[nodiscard]] std::filesystem::path beside(const std::filesystem::path& file, std::string_view ending);

// The name under which this process makes a file before it gets its own: "log.tonebath.new-1234".
[[nodiscard]] std::filesystem::path half_made(const std::filesystem::path& file);
// Removes what processes that are gone left half made of a file in `folder` whose name begins with `stem`, with the journals
// beside it. Returns how many files went; one that cannot be removed does no harm.
std::size_t sweep_half_made(const std::filesystem::path& folder, const std::string& stem);

// A folder of this process alone among the temporary ones, gone with it. Making one sweeps away those of processes that are
// gone: a copy of a log is not left lying there. Throws StoreError.
class Aside {
public:
    Aside();
    ~Aside();
    Aside(const Aside&) = delete;
    Aside& operator=(const Aside&) = delete;
    [[nodiscard]] std::filesystem::path log() const { return folder_ / "log.tonebath"; }

private:
    std::filesystem::path folder_;
};

// The log as it stands, page by page, while others may write to it. Throws SQLite::Exception.
void copy_pages(SQLite::Database& from, const std::filesystem::path& to);

}  // namespace tonebath::store
