#include "app/exchange/new_folder.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <atomic>
#include <system_error>
#include <utility>

namespace tonebath::app {

namespace fs = std::filesystem;

Refusal not_written(const fs::path& folder, const std::string& why) {
    return Refusal{.code = "export.not_written",
                   .field = "Folder",
                   .value = folder.string(),
                   .message = fmt::format("it could not be written ({}).", why),
                   .remedy = "Name another place, or make room there. Nothing of it stays.",
                   .answers = {}};
}

Result<NewFolder> NewFolder::beside(const fs::path& folder) {
    static std::atomic<unsigned> count{0};
    std::error_code trouble;
    const bool there = fs::exists(fs::symlink_status(folder, trouble));
    if (there && (!fs::is_directory(folder, trouble) || !fs::is_empty(folder, trouble))) {
        return Refusal{.code = "export.folder_not_empty",
                       .field = "Folder",
                       .value = folder.string(),
                       .message = "something is there already.",
                       .remedy = "Name a new folder; nothing is written over.",
                       .answers = {}};
    }
    fs::path whole = fs::absolute(folder, trouble).lexically_normal();
    if (!whole.has_filename()) {
        whole = whole.parent_path();  // named with a slash at its end
    }
    const fs::path path = whole.parent_path() / fmt::format(".tonebath-{}-{}.part", ::getpid(), count++);
    fs::create_directories(whole.parent_path(), trouble);
    if (trouble || !fs::create_directory(path, trouble)) {
        return not_written(folder, trouble ? trouble.message() : "its place is taken");
    }
    return NewFolder(whole, path);
}

NewFolder::NewFolder(fs::path folder, fs::path path) : folder_(std::move(folder)), path_(std::move(path)) {}

NewFolder::NewFolder(NewFolder&& other) noexcept : folder_(std::move(other.folder_)), path_(std::exchange(other.path_, fs::path())) {}

NewFolder::~NewFolder() {
    if (!path_.empty()) {
        std::error_code gone_anyway;
        fs::remove_all(path_, gone_anyway);
    }
}

Result<Done> NewFolder::put_in_place() {
    std::error_code trouble;
    fs::rename(path_, folder_, trouble);  // over an empty folder, or where there is none
    if (trouble) {
        return not_written(folder_, trouble.message());
    }
    path_.clear();
    return Done{};
}

}  // namespace tonebath::app
