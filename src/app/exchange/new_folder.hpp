// A folder of files that appears whole: filled beside its place under another name, and renamed at the end.
#pragma once

#include "base/result.hpp"

#include <filesystem>

namespace tonebath::app {

class NewFolder {
public:
    // Refusals: "export.folder_not_empty", "export.not_written".
    [[nodiscard]] static Result<NewFolder> beside(const std::filesystem::path& folder);
    // Not put in its place: it goes, with what is in it.
    ~NewFolder();
    NewFolder(NewFolder&& other) noexcept;
    NewFolder(const NewFolder& other) = delete;
    NewFolder& operator=(const NewFolder&) = delete;
    NewFolder& operator=(NewFolder&&) = delete;

    [[nodiscard]] const std::filesystem::path& path() const { return path_; }  // where it is filled
    // Refusal "export.not_written".
    [[nodiscard]] Result<Done> put_in_place();

private:
    NewFolder(std::filesystem::path folder, std::filesystem::path path);
    std::filesystem::path folder_, path_;
};

// "export.not_written" with the folder and what the system says.
[[nodiscard]] Refusal not_written(const std::filesystem::path& folder, const std::string& why);

}  // namespace tonebath::app
