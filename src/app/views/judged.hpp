// How pieces and parts were judged, read for lists and spreads. For .cpp files of this layer only.
#pragma once

#include "app/views/pieces_view.hpp"

#include <optional>
#include <string>
#include <unordered_map>

namespace tonebath::store {
class Log;
}

namespace tonebath::app {

// The judgement that speaks for a piece: the last one, of the piece or any of its parts, that is not after sealing.
struct Judged {
    std::string scale;
    ScalePlace place;
    std::string word;
    std::string blotch;
    double l = 0.0;            // measured L*, with `measured`
    bool measured = false;
};
// By piece id. `batch`: only that batch's pieces; empty = all.
[[nodiscard]] std::unordered_map<std::string, Judged> judged_pieces(store::Log& log, const std::string& batch = {});

}  // namespace tonebath::app
