// TB_CHECK: states what can only be false through a fault in this program. Active in every build.
#pragma once

#include <source_location>
#include <string_view>

namespace tonebath {

// Prints the broken statement with its place to stderr and stops the program (abort).
// Never used on what a person typed or a file holds: those get a Result.
[[noreturn]] void check_failed(std::string_view statement, std::source_location where = std::source_location::current());

}  // namespace tonebath

#define TB_CHECK(statement)             \
    do {                                        \
        if (!(statement)) {                     \
            ::tonebath::check_failed(#statement); \
        }                                       \
    } while (false)
