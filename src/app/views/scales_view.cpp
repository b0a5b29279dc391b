#include "app/views/scales_view.hpp"

#include "app/studio.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <algorithm>
#include <cctype>
#include <unordered_map>

namespace tonebath::app {

std::vector<ScaleView> scales_view(Studio& studio) {
    store::Log& log = studio.log();
    std::unordered_map<std::string, std::size_t> records;
    store::Query counts(log, "SELECT t.scale_id, count(*) FROM judgement j JOIN tone t ON t.id = j.tone_id GROUP BY t.scale_id");
    while (counts.next()) {
        records[counts.text(0)] = static_cast<std::size_t>(counts.integer(1));
    }
    std::unordered_map<std::string, Metal> metals;
    for (Metal& metal : store::list<Metal>(log)) {
        metals.emplace(metal.id.text, std::move(metal));
    }
    std::vector<ScaleView> scales;
    for (const ToneScale& scale : store::list<ToneScale>(log, "ORDER BY made_utc_ms, id")) {
        const Metal& metal = metals[scale.metal_id.text];
        ScaleView view{.id = scale.id, .metal_id = scale.metal_id, .metal = metal.name, .surface = scale.surface,
                       .name = metal.name, .bare_colour = metal.bare_colour, .records = records[scale.id.text]};
        if (!view.name.empty()) {
            view.name.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(view.name.front())));
        }
        if (!scale.surface.empty()) {
            view.name += ", " + scale.surface;
        }
        for (const Tone& tone : store::list<Tone>(log, "WHERE scale_id = ?1 ORDER BY position", {scale.id.text})) {
            view.tones.push_back({.id = tone.id, .word = tone.word, .colour = tone.colour, .ceiling = tone.ceiling});
        }
        scales.push_back(std::move(view));
    }
    std::stable_sort(scales.begin(), scales.end(), [](const ScaleView& a, const ScaleView& b) {
        return a.records != b.records ? a.records > b.records : a.name < b.name;
    });
    return scales;
}

}  // namespace tonebath::app
