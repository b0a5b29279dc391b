// Labels and the sheets they are printed on.
#pragma once

#include "base/clock.hpp"

#include <string>
#include <vector>

namespace tonebath::report {

struct Label {
    std::string number;              // "L-131"
    std::string check;               // its check character, printed after a plus
    std::string payload;             // of the QR code
    std::vector<std::string> lines;  // the first is printed stronger
    std::string hazard;              // at the foot, stronger; may be empty
};

// All in mm. Labels fill rows from the upper left.
struct LabelSheet {
    double page_width = 0.0, page_height = 0.0;
    double label_width = 0.0, label_height = 0.0;
    int columns = 1, rows = 1;

    // The grid stands in the middle of the page.
    [[nodiscard]] double left() const { return (page_width - columns * label_width) / 2.0; }
    [[nodiscard]] double top() const { return (page_height - rows * label_height) / 2.0; }
};

}  // namespace tonebath::report
