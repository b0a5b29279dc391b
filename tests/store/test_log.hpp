// What the tests of the store share: a folder that goes away, and records that the tables take.
#pragma once

#include "store/change.hpp"
#include "store/log.hpp"
#include "store/record.hpp"

#include <filesystem>
#include <functional>
#include <string>

namespace tonebath::store {

// A new, empty folder, removed with all in it at the end.
class TemporaryFolder {
public:
    TemporaryFolder();
    ~TemporaryFolder();
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    [[nodiscard]] std::filesystem::path operator/(const std::string& name) const { return path_ / name; }

private:
    std::filesystem::path path_;
};

// 31 March 2026, 09:42 in summer time.
inline constexpr Stamp kMorning{1774946520000, 60};

// Opens or makes the log; the test fails with the refusal's text when it is refused.
[[nodiscard]] std::unique_ptr<Log> opened(const std::filesystem::path& file, OpenMode mode = OpenMode::create);

// Runs `write` in one Change and returns the change's id.
std::string in_change(Log& log, IdSource& ids, const std::string& step, const std::function<void()>& write,
                      const Stamp& at = kMorning);

[[nodiscard]] Vessel vessel_named(IdSource& ids, const std::string& number);
[[nodiscard]] Bath bath_numbered(IdSource& ids, const std::string& number);
[[nodiscard]] Piece piece_numbered(IdSource& ids, const std::string& number);

}  // namespace tonebath::store
