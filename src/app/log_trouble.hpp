// What the log, or the disk below it, said no to.
#pragma once

#include "base/result.hpp"

#include <exception>
#include <string>
#include <utility>

namespace tonebath::app {

// "log.trouble": the words of a StoreError, which say what is kept. `field`: which log, where it is not the one that is open.
[[nodiscard]] inline Refusal log_trouble(const std::exception& trouble, std::string field = {}) {
    return Refusal{.code = "log.trouble", .field = std::move(field), .value = {}, .message = trouble.what(), .remedy = {}, .answers = {}};
}

}  // namespace tonebath::app
