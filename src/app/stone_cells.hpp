// Stones counted by finish, kind, backing, coats and band: for those read whole and those read for this alone.
#pragma once

#include "app/stones.hpp"

#include <map>
#include <string_view>
#include <tuple>
#include <vector>

namespace tonebath::app {

class CellCounter {
public:
    // One stone. The texts stand as long as the counter.
    struct Of {
        std::string_view kind;
        Backing backing = Backing::unknown;
        int coats = 0;
        bool seen = false, harmed = false;
    };

    // Empty: every finish, and the stones that met none.
    explicit CellCounter(std::string_view only_finish) : only_(only_finish) {}
    void add(const Of& stone, std::string_view finish, int band);
    // In the order of their keys.
    [[nodiscard]] std::vector<StoneCell> cells() const;

private:
    std::string_view only_;
    std::map<std::tuple<std::string_view, std::string_view, Backing, int, int>, StoneCount> cells_;
};

}  // namespace tonebath::app
