// Takes the rows of a change back, one by one. For the .cpp files of this folder.
#pragma once

#include "store/change.hpp"
#include "store/query.hpp"

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace tonebath::store {

// Within an open Change.
class Backwards {
public:
    explicit Backwards(Log& log) : log_(log) {}

    // What stands otherwise than the change left it: a refusal's message, or nothing.
    [[nodiscard]] std::optional<std::string> changed_since(const ChangeRow& row);
    void apply(const ChangeRow& row);

private:
    [[nodiscard]] const std::set<std::string>& columns_of(const std::string& table);
    [[nodiscard]] std::optional<std::map<std::string, Bound>> read(const std::string& table, const std::string& record_id);

    Log& log_;
    std::map<std::string, std::set<std::string>> columns_;
};

// Changes of records first, so that a number that was handed on is free again before its record comes back.
[[nodiscard]] std::vector<ChangeRow> in_order_of_undoing(std::vector<ChangeRow> rows);

[[nodiscard]] Refusal undo_refused(std::string code, std::string step, std::string message, std::string remedy);

}  // namespace tonebath::store
