// Who changed a record last, and when: what decides where two benches changed one field. For the .cpp files of this folder.
#pragma once

#include "store/join.hpp"
#include "store/join_tables.hpp"

#include <cstdint>
#include <map>
#include <string>
#include <string_view>

namespace tonebath::store {

// A change as it touched something. Later is greater; of two in one millisecond the greater id.
struct Touch {
    std::int64_t at_ms = 0;
    std::string change_id;

    friend auto operator<=>(const Touch&, const Touch&) = default;
};

// What was done to one record, as the changes of one log tell. Joins only carry, so they and what took them back are left out.
class Touches {
public:
    // In the order of writing, by the log's own clock.
    Touches(Log& log, const std::string& record_id);
    // Of the other log, by ours: a change that both know has our moment, its own are put right by the offset. In that order.
    Touches(Log& theirs, const std::string& record_id, Log& ours, std::int64_t offset_ms);
    // Of ours, in the order of moments: what was joined stands among our own.
    [[nodiscard]] static Touches in_time(Log& ours, const std::string& record_id);

    [[nodiscard]] const Touch& of(const std::string& column) const;
    [[nodiscard]] const Touch& last() const { return last_; }
    [[nodiscard]] bool taken_back() const { return taken_back_; }  // the last of it removed the record

private:
    struct Row;
    Touches() = default;
    static std::vector<Row> rows_of(Log& log, const std::string& record_id);
    void take(std::vector<Row> rows);

    Touch made_, last_;
    std::map<std::string, Touch> columns_;
    bool taken_back_ = false;
};

// The step of a join, of what took it back, or of what brought it forward again.
[[nodiscard]] bool carries_only(std::string_view step);

// How far the other bench's clock was behind, from moments that both logged.
[[nodiscard]] JoinClock find_clock(Log& ours, Log& theirs, const std::vector<JoinTable>& tables);

// The moment of that change in the log; unknown where it has none of this id.
[[nodiscard]] std::optional<std::int64_t> moment_of_change(Log& log, const std::string& change_id);

}  // namespace tonebath::store
