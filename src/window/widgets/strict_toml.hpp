// Reading a TOML table entry by entry: each one must be there, of its kind and in range, and nothing else may be.
#pragma once

#include "window/widgets/theme.hpp"

#include <toml++/toml.h>

#include <set>

namespace tonebath::window {

class StrictTable {
public:
    // The first thing that is wrong is kept in `wrong`; later reads then do nothing.
    StrictTable(const toml::table* table, std::string name, std::string& wrong)
        : table_(table), name_(std::move(name)), wrong_(wrong) {}

    // A number between the given ends.
    float number(std::string_view key, double low, double high);
    float number_or(std::string_view key, float otherwise, double low, double high);
    bool flag(std::string_view key);
    bool flag_or(std::string_view key, bool otherwise);
    std::string words(std::string_view key);
    Colour colour(std::string_view key);
    StrictTable table(std::string_view key);
    const toml::array* array(std::string_view key);
    [[nodiscard]] bool has(std::string_view key) const { return table_ != nullptr && table_->contains(key); }
    // Every entry of the table, in the order of the file.
    [[nodiscard]] std::vector<std::string> keys() const;
    // To be called last: refuses entries that nobody asked for.
    void nothing_else();
    void fail(std::string_view key, std::string_view what);

private:
    const toml::node* node(std::string_view key);

    const toml::table* table_;
    std::string name_;
    std::string& wrong_;
    std::set<std::string, std::less<>> used_;
};

// The file as a table, or why not.
[[nodiscard]] Result<toml::table> read_toml(const std::filesystem::path& file);

}  // namespace tonebath::window
