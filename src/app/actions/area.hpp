// The area of a piece's metal as people know it: typed, or wire by gauge and length, or sheet by its size.
#pragma once

#include "app/actions/reader.hpp"

#include <optional>
#include <string_view>

namespace tonebath::app {

struct AreaRead {
    double cm2 = 0.0;
    double longest_wire_mm = 0.0;  // of the wires in it
};
// "20", "20 cm2", "2000 mm2"; "20 awg x 80 mm", "wire 0.8 mm x 80 mm" (its side without the ends); "30 x 20 mm",
// "sheet 30 mm x 20 mm x 0.8 mm" (both faces and the edges); several joined by "+". Refusals: those of a number or a
// length, "area.not_read".
[[nodiscard]] Result<AreaRead> parse_area(std::string_view field, std::string_view typed, const UnitChoice& units);

// The field of a form, cm²: above zero, up to 5,000; a wire longer than 5 m is asked about ("area.long_wire": mm typed as m?).
[[nodiscard]] std::optional<double> area_of(Reader& in, std::string_view key);

}  // namespace tonebath::app
