// The command line: everything that makes a record or works out a figure, without any display.
#pragma once

namespace tonebath::command {

// Exit codes: 0 done; 1 refused, or a finding; 2 the words of the command were not understood; 3 the log or the machine
// would not (no such file, disk full). Results go to stdout, messages to stderr.
[[nodiscard]] int run(int argc, char** argv);

}  // namespace tonebath::command
