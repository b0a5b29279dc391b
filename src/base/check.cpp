#include "base/check.hpp"

#include <cstdio>
#include <cstdlib>

namespace tonebath {

void check_failed(std::string_view statement, std::source_location where) {
    std::fprintf(stderr, "tonebath: fault in the program: %.*s does not hold (%s:%u, %s)\n",
                 static_cast<int>(statement.size()), statement.data(), where.file_name(),
                 static_cast<unsigned>(where.line()), where.function_name());
    std::abort();
}

}  // namespace tonebath
