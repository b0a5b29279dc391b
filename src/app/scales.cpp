#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "model/rules/tone_rules.hpp"
#include "store/record.hpp"

namespace tonebath::app {

std::optional<ToneScale> scale_for(Studio& studio, const Id<Metal>& metal, std::string_view surface) {
    std::optional<ToneScale> every;
    for (ToneScale& scale : store::list<ToneScale>(studio.log(), "WHERE metal_id = ?1", {metal.text})) {
        if (!surface.empty() && folded(scale.surface) == folded(surface)) {
            return scale;
        }
        if (scale.surface.empty()) {
            every = std::move(scale);
        }
    }
    return every;
}

std::vector<Tone> tones_of(Studio& studio, const Id<ToneScale>& scale) {
    return store::list<Tone>(studio.log(), "WHERE scale_id = ?1 ORDER BY position, id", {scale.text});
}

std::vector<std::string> words_of(const std::vector<Tone>& tones) {
    std::vector<std::string> words;
    for (const Tone& tone : tones) {
        words.push_back(tone.word);
    }
    return words;
}

Result<Tone> tone_on(Studio& studio, const ToneScale& scale, std::string_view field, std::string_view typed) {
    const std::string_view text = trimmed(typed);
    const std::vector<Tone> tones = tones_of(studio, scale.id);
    // "sterling: blue" names the scale as well; it must be this one.
    const std::string scale_name = name_of(studio, scale);
    for (const Tone& tone : tones) {
        if (folded(tone.word) == folded(text) || folded(scale_name + ": " + tone.word) == folded(text) ||
            tone.id.text == text) {
            return tone;
        }
    }
    return rules::not_on_scale({field, text}, scale_name, words_of(tones));
}

}  // namespace tonebath::app
