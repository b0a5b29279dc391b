// Changes that brought records of another log in: marked, so that one undo takes them out whole.
#pragma once

#include "store/log.hpp"

#include <string>
#include <vector>

namespace tonebath::store {

void mark_brought_in(Log& log, const std::string& change_id);
[[nodiscard]] bool is_brought_in(Log& log, const std::string& change_id);

// While it lives, within one transaction, checks, disposals, presses and near misses can be removed: what holds them steps
// aside and is put back by `put_back`. A transaction that is rolled back puts it back by itself.
class KeptStepAside {
public:
    explicit KeptStepAside(Log& log);
    void put_back();
    // Takes the words of a removed record out of what is searched: what is never removed has no rule of its own for that.
    void forget(const std::string& record_id);

private:
    Log& log_;
    std::vector<std::string> rules_;
};

}  // namespace tonebath::store
