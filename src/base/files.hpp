// Files: whole reads, and writes that are either the old file or the new one.
#pragma once

#include <filesystem>
#include <stdexcept>
#include <string>
#include <string_view>

namespace tonebath {

// The world broke: disk full, no permission, vanished. what() names the file and the way out.
class FileError : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

// The bytes as they are. Throws FileError.
[[nodiscard]] std::string read_file(const std::filesystem::path& file);
// Writes beside, syncs, renames over, syncs the folder. Follows a link and keeps the permissions of the file it
// replaces. Throws FileError, and then the old file stands as it was, or there is still none; only where the folder
// could not be synced does the new file stand already.
void write_file_whole(const std::filesystem::path& file, std::string_view content);

}  // namespace tonebath
