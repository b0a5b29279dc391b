// One join, or the look ahead at it. For the .cpp files of this folder.
#pragma once

#include "store/join.hpp"
#include "store/join_tables.hpp"
#include "store/join_touch.hpp"

#include <map>
#include <optional>
#include <string>
#include <unordered_map>
#include <unordered_set>
#include <vector>

namespace tonebath::store {

class Joiner {
public:
    struct GivenUp {};
    enum class Does { looks, writes };

    Joiner(Log& ours, OtherLog& theirs, const JoinOptions& options, const JoinProgress& progress, Does does);
    // Throws GivenUp where the progress says so and, where it writes, the Refusal of what is not decided.
    [[nodiscard]] JoinFindings go_through();

private:
    // Each record of the other log in turn (joiner.cpp).
    void count_all();
    void tell();
    void settle_clock();
    [[nodiscard]] bool here(const JoinTable& table, const std::string& id);
    [[nodiscard]] bool there(const JoinTable& table, const std::string& id);
    // As it would stand here: references to records that are one with ours, moments by our clock.
    [[nodiscard]] std::vector<Bound> as_ours(const JoinTable& table, std::vector<Bound> row) const;
    [[nodiscard]] std::string bath_lines(const std::string& lines) const;
    void records_of(const JoinTable& table);
    void one_record(const JoinTable& table, const std::vector<Bound>& raw, JoinCount& count);
    [[nodiscard]] std::optional<std::string> same_place(const JoinTable& table, const std::vector<Bound>& row);
    [[nodiscard]] bool taken_back_here(const std::string& id);
    void add(const JoinTable& table, std::vector<Bound> row);
    // What was taken back here, but a record of the other bench stands on it.
    void revive(const std::string& id);

    // Numbers and fields (joiner_fields.cpp).
    [[nodiscard]] bool number_free(const JoinTable& table, const std::string& number);
    [[nodiscard]] bool number_free_here(const JoinTable& table, const std::string& number);
    [[nodiscard]] std::string marked(const JoinTable& table, const std::string& number, const std::string& mark);
    // A number that is ours too: the bench with the lesser mark keeps it, so that it does not matter which log joins which.
    void give_number(const JoinTable& table, std::vector<Bound>& row);
    void mark_ours(const JoinTable& table, const std::string& id, const std::string& number, const std::string& now);
    // Fields of a record that both have: the later change holds. True when one of ours is changed.
    [[nodiscard]] bool compare(const JoinTable& table, const std::vector<Bound>& raw, const std::string& their_id, const std::string& our_id);
    // Ours or theirs got its bench mark in an earlier join.
    [[nodiscard]] bool marked_before(const JoinTable& table, std::size_t i, const Bound& mine, const Bound& theirs) const;
    // The last change is one and the same: the moment was put right when it was joined.
    [[nodiscard]] bool put_right_before(const JoinTable& table, std::size_t i, const Bound& mine, const Bound& raw, const Touch& touch);
    void take(const JoinTable& table, const std::string& id, const std::vector<std::size_t>& columns, const std::vector<Bound>& theirs);

    // What was taken back there, and the change log (joiner_changes.cpp).
    void removals();
    [[nodiscard]] bool stood_on(const JoinTable& table, const std::string& id);
    void changes();
    void copy_change(std::int64_t their_seq, std::int64_t seq);

    Log& ours_;
    Log& theirs_;
    const JoinOptions& options_;
    const JoinProgress& progress_;
    bool writes_;
    std::vector<JoinTable> tables_;
    JoinFindings found_;
    std::unordered_map<std::string, std::string> same_;       // their id -> ours
    std::unordered_map<std::string, const JoinTable*> dead_;  // taken back here
    std::unordered_set<std::string> needed_;                  // what added records refer to, or are one with
    std::unordered_set<std::string> given_, removed_;
    std::map<std::string, std::string> renamed_baths_;        // theirs
    std::int64_t done_ = 0, all_ = 0;
};

[[nodiscard]] Refusal join_refused(std::string code, std::string value, std::string message, std::string remedy);

}  // namespace tonebath::store
