// A file that is written piece by piece and takes its place whole at the end: for what is too large to hold at once.
#pragma once

#include <filesystem>
#include <memory>
#include <string_view>

namespace tonebath {

class FileWriter {
public:
    // Begins it beside its place. Throws FileError.
    explicit FileWriter(std::filesystem::path file);
    // Not finished: nothing of it stays, and the file that stood there is as it was.
    ~FileWriter();
    FileWriter(const FileWriter&) = delete;
    FileWriter& operator=(const FileWriter&) = delete;

    // Throws FileError.
    void write(std::string_view bytes);
    // Syncs, renames it over the old file, syncs the folder; follows a link and keeps the permissions of what it
    // replaces. Throws FileError: the old file stands as it was, or, where only the folder could not be synced, the new
    // one stands already.
    void finish();

private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace tonebath
