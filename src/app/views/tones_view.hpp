// What the log has taught about one scale: where each tone begins, the records it rests on, the two curves, and the plan.
#pragma once

#include "app/learning.hpp"
#include "app/plan.hpp"
#include "app/usual.hpp"
#include "app/views/scales_view.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

struct CurvePoint {
    double x = 0.0;
    double y = 0.0;
    double low = 0.0, high = 0.0;
};

// Records of one lot (or of today's bath) along the dose.
struct RecordRow {
    std::string name;                   // "Bath 46", "LS-2"
    bool today = false;
    std::vector<LearnedRecord> records;
};

struct TonesView {
    std::vector<ScaleView> scales;
    std::string scale;                  // the chosen one's id
    std::vector<ToneBegins> begins;     // by tone
    std::vector<RecordRow> rows;        // today's bath first
    std::size_t strips = 0;             // records on this scale
    std::vector<CurvePoint> by_heat;    // x °C, y seconds to the aimed tone, fresh bath of the usual strength
    std::vector<CurvePoint> by_hours;   // x hours stood, y strength
    std::vector<LearnedFigure> figures;
    std::vector<UsualFigure> usual;     // what it rested on before any record
    std::vector<std::string> choices;   // which law of fading, which shape of scatter, and how clearly
    std::string bath;                   // number of the bath planned for; empty = none in use
    std::optional<Id<Bath>> bath_id;    // the same
    std::optional<double> bath_temp_c;
    std::optional<double> bath_age_h;
    int aim = -1;                       // tone position
    std::string aim_word;
    std::optional<Plan> plan;
    std::string no_plan_words;
};

struct TonesAsk {
    std::string scale;                  // empty = the scale with most records
    int aim = -1;                       // tone position; -1 = a tone in the middle
};
[[nodiscard]] TonesView tones_view(Studio& studio, const std::shared_ptr<const Learned>& learned, const TonesAsk& ask);

}  // namespace tonebath::app
