// The words that a new log begins with.
#pragma once

#include "app/data_files.hpp"
#include "base/clock.hpp"
#include "base/ids.hpp"

namespace tonebath::store {
class Log;
}

namespace tonebath::app {

class Studio;

// Name of the change that wrote them.
inline constexpr std::string_view kFirstWords = "first words";

// Metals, their scales and tones, inside a change that is open on the log. `scales` of metals that are not there are a
// fault.
[[nodiscard]] Result<Done> insert_words(store::Log& log, IdSource& ids, const Stamp& at,
                                        const std::vector<MetalWords>& metals, const std::vector<ScaleWords>& scales);
// The same in one change of their own, called "first words".
[[nodiscard]] Result<Done> seed_words(Studio& studio, const std::vector<MetalWords>& metals,
                                      const std::vector<ScaleWords>& scales);

}  // namespace tonebath::app
