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

[[nodiscard]] std::string read_file(const std::filesystem::path& file);
// Writes beside, syncs, renames over, syncs the folder.
void write_file_whole(const std::filesystem::path& file, std::string_view content);

}  // namespace tonebath
