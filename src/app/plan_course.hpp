// The course that plans reckon with: a bath as the log has it, with its own speed and the way it will be moved.
#pragma once

#include "app/course.hpp"
#include "app/plan.hpp"
#include "science/dose.hpp"
#include "science/tone_plan.hpp"

#include <optional>

namespace tonebath::app {

struct PlanCourse {
    BathHistory history;
    science::BathCourse course;  // history's, with the bath's learned speed and the agitation asked for
    science::RateLaw law;
};

// nullopt when there is no such bath, or no temperature of it is written down.
[[nodiscard]] std::optional<PlanCourse> plan_course(Studio& studio, const Learned& learned, const PlanRequest& request);

// Dose of a dip, s at 60 °C fresh, by the law and speed of its bath; nullopt where none can be told.
[[nodiscard]] std::optional<double> learned_dose(Studio& studio, const Learned* learned, const Dip& dip);
// The same of all finished dips of a strip, piece or part.
[[nodiscard]] double dose_had(Studio& studio, const Learned* learned, const Subject& subject);

// The bath's course as `request` will use it, from its history.
[[nodiscard]] science::BathCourse speeded_course(const Learned& learned, const PlanRequest& request, const BathHistory& history);

// Bath, lot, place, way of moving and start of a plan; scale, aim and course are left to the caller.
[[nodiscard]] science::PlanQuery query_for(const Learned& learned, const BathHistory& history, const std::optional<Agitation>& agitation, const Stamp& drop_at);

}  // namespace tonebath::app
