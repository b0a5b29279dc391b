// "Your strips alone": the plain two-point law and fade line, from watched strips and nothing else.
#pragma once

#include "app/learned.hpp"
#include "app/plan.hpp"

#include <string>

namespace tonebath::app {

// The time at which the tone at `position` comes in this bath at start_s, from watched strips of that tone: those of this
// bath when there are two, else those of its lot. Two temperatures give the rate law, one temperature at several ages the
// fade line; a single strip speaks only for its own heat (± 2 °C).
[[nodiscard]] AloneLine strips_alone(const Learned& learned, const BathHistory& bath, const std::string& scale, int position, double start_s);

// Beside what is told with all records and what is usual: that both agree within 5 %, or what sets them apart, by size.
[[nodiscard]] std::string agreement(const Learned& learned, const BathHistory& bath, const std::string& scale, int position, double start_s, const AloneLine& alone,
                                    double usual_s, const std::string& word);

}  // namespace tonebath::app
