// The bench card: one page for the wall above the bath. Times by what the thermometer says, make-up, check, cautions.
#pragma once

#include "app/plan.hpp"
#include "report/report.hpp"

namespace tonebath::app {

// Times for the bath and tone of `request`, dropped now, at temperatures 3 °C apart around the bath's own: as many as
// leave the card on one page. Refusals: those of plan().
[[nodiscard]] Result<report::Report> bench_card(Studio& studio, const Learned& learned, const PlanRequest& request,
                                                report::PaperSize size);

}  // namespace tonebath::app
