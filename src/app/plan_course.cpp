#include "app/plan_course.hpp"

#include "app/learned.hpp"
#include "app/studio.hpp"

#include <algorithm>

namespace tonebath::app {

std::optional<double> learned_dose(Studio& studio, const Learned* learned, const Dip& dip) {
    auto history = bath_history(studio.log(), dip.bath_id);
    if (!history) {
        return std::nullopt;
    }
    history->course.log_speed = learned ? bath_log_speed(*learned, dip.bath_id) : 0.0;
    return dose_of(*history, dip, (learned ? laws_of(*learned) : Laws{}).of(*history));
}

double dose_had(Studio& studio, const Learned* learned, const Subject& subject) {
    double sum_s = 0.0;
    for (const Dip& dip : dips_of(studio, subject)) {
        sum_s += is_running(dip) ? 0.0 : learned_dose(studio, learned, dip).value_or(0.0);
    }
    return sum_s;
}

science::BathCourse speeded_course(const Learned& learned, const PlanRequest& request, const BathHistory& history) {
    science::BathCourse course = history.course;
    course.log_speed = bath_log_speed(learned, request.bath_id);
    course.agitation = agitation_factor(request.agitation.value_or(history.bath.agitation.value_or(Agitation::gentle)));
    return course;
}

science::PlanQuery query_for(const Learned& learned, const BathHistory& history, const std::optional<Agitation>& agitation, const Stamp& drop_at) {
    science::PlanQuery query;
    if (const auto bath = learned.bath_index.find(history.bath.id.text); bath != learned.bath_index.end()) {
        query.bath = bath->second;
    }
    if (const auto lot = learned.lot_index.find(history.bath.lot_id ? history.bath.lot_id->text : std::string()); lot != learned.lot_index.end()) {
        query.lot = lot->second;
    }
    query.place = stands_covered(history) ? science::FadePlace::covered : science::FadePlace::open_hot;
    const Agitation moved = agitation.value_or(history.bath.agitation.value_or(Agitation::gentle));
    query.agitation = moved == Agitation::still   ? science::Agitation::still
                      : moved == Agitation::brisk ? science::Agitation::brisk
                                                  : science::Agitation::gentle;
    query.start_s = std::max(0.0, history.t_of(drop_at));
    return query;
}

std::optional<PlanCourse> plan_course(Studio& studio, const Learned& learned, const PlanRequest& request) {
    auto history = bath_history(studio.log(), request.bath_id);
    if (!history || !history->temp_known) {
        return std::nullopt;
    }
    PlanCourse found{.history = std::move(*history), .course = {}, .law = {}};
    found.law = laws_of(learned).of(found.history);
    found.course = speeded_course(learned, request, found.history);
    return found;
}

}  // namespace tonebath::app
