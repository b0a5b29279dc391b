#include "app/seed.hpp"

#include "app/studio.hpp"
#include "model/tone.hpp"
#include "store/record.hpp"

#include <map>

namespace tonebath::app {

Result<Done> insert_words(store::Log& log, IdSource& ids, const Stamp& at, const std::vector<MetalWords>& metals,
                          const std::vector<ScaleWords>& scales) {
    std::map<std::string, Id<Metal>> metal_ids;
    for (const MetalWords& words : metals) {
        Metal metal;
        metal.id = ids.next<Metal>(at);
        metal.name = words.name;
        metal.film = words.silver_film ? FilmConstants::silver : FilmConstants::none;
        metal.bare_colour = words.bare_colour;
        metal.note = words.note;
        metal.made_at = at;
        store::insert(log, metal);
        metal_ids[metal.name] = metal.id;
    }
    for (const ScaleWords& words : scales) {
        for (const std::string& metal : words.metals) {
            if (metal_ids.count(metal) == 0) {
                return Refusal{.code = "data.bad_file",
                               .field = "tones.toml",
                               .value = metal,
                               .message = "that metal is not in metals.toml.",
                               .remedy = "Correct one of the two files.",
                               .answers = {}};
            }
            ToneScale scale;
            scale.id = ids.next<ToneScale>(at);
            scale.metal_id = metal_ids[metal];
            scale.made_at = at;
            store::insert(log, scale);
            int position = 0;
            for (const ScaleWords::Word& word : words.words) {
                Tone tone;
                tone.id = ids.next<Tone>(at);
                tone.scale_id = scale.id;
                tone.position = position++;
                tone.word = word.word;
                tone.colour = word.colour;
                tone.ceiling = word.word == words.ceiling;
                tone.made_at = at;
                store::insert(log, tone);
            }
        }
    }
    return Done{};
}

Result<Done> seed_words(Studio& studio, const std::vector<MetalWords>& metals, const std::vector<ScaleWords>& scales) {
    const Stamp at = studio.now();
    const Result<Outcome> written = studio.write(std::string(kFirstWords), [&]() -> Result<Outcome> {
        // Another program may have opened the same new log a moment earlier.
        if (!store::list<Metal>(studio.log(), "LIMIT 1").empty()) {
            return Outcome{.said = "First words were there.", .cautions = {}, .made = {}};
        }
        if (const Result<Done> inserted = insert_words(studio.log(), studio.ids(), at, metals, scales); !inserted) {
            return inserted.error();
        }
        return Outcome{.said = "First words written.", .cautions = {}, .made = {}};
    });
    if (!written) {
        return written.error();
    }
    return Done{};
}

}  // namespace tonebath::app
