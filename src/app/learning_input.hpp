// From the log's records to the rows of the tone model.
#pragma once

#include "app/learned.hpp"

namespace tonebath::app {

class Studio;

// Everything but the fit: scales with their priors, lots, baths with their courses, and one subject a judged strip, piece
// or part. Left out, and counted nowhere: dips without a length, baths without a temperature, finishes that have no dose,
// blotched surfaces, judgements after relief or sealing.
void read_input(Studio& studio, Learned& learned);

}  // namespace tonebath::app
