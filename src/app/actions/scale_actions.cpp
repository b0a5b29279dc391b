#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "model/rules/tone_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

Result<Outcome> add_metal(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Metal metal;
    metal.name = in.text("name", Reader::kNumber);
    in.check(rules::number_free(in.typed("name"), "metal", number_taken(studio, "metal", "name", metal.name), ""));
    metal.base_under = in.text("base-under", Reader::kWords);
    metal.film = in.yes_no("silver").value_or(false) ? FilmConstants::silver : FilmConstants::none;
    metal.note = in.note();
    if (in.refused()) {
        return in.refusal();
    }
    metal.made_at = studio.now();
    metal.id = studio.ids().next<Metal>(metal.made_at);
    return studio.write("metal " + metal.name, [&]() -> Result<Outcome> {
        store::insert(studio.log(), metal);
        return Outcome{.said = fmt::format("{} written down.", metal.name),
                       .cautions = {"It has no tone scale yet: make one before judging it."},
                       .made = {{"metal", metal.id.text}}};
    });
}

Result<Outcome> add_scale(Studio& studio, const Form& form) {
    Reader in(studio, form);
    ToneScale scale;
    const std::optional<Metal> metal = in.record<Metal>("metal");
    scale.surface = in.text("surface", Reader::kWords);
    std::vector<std::string> words;
    for (const std::string& line : split(form.text("words"), '\n')) {
        for (const std::string& word : split(line, ',')) {
            const rules::Typed typed{in.typed("words").field, trimmed(word)};
            if (typed.text.empty()) {
                continue;
            }
            in.check(rules::tone_word(typed, words));
            words.emplace_back(typed.text);
        }
    }
    if (words.size() < 2 || words.size() > 40) {
        in.check(rules::refuse("scale.too_few_words", in.typed("words"),
                               "a scale has two words at least and forty at most.",
                               "Type them in order of growth, bare metal first, one a line or with commas."));
    }
    if (metal) {
        for (const ToneScale& other : store::list<ToneScale>(studio.log(), "WHERE metal_id = ?1", {metal->id.text})) {
            if (folded(other.surface) == folded(scale.surface)) {
                in.check(rules::refuse("scale.taken", in.typed("metal"), "that metal and surface have a scale.",
                                       "Add or rename tones on it, or name another surface."));
            }
        }
    }
    const std::string ceiling = in.text("ceiling", Reader::kNumber);
    if (!ceiling.empty() && !words.empty() && folded(ceiling) != folded(words.back())) {
        in.check(rules::refuse("scale.ceiling_not_last", in.typed("ceiling"),
                               "the ceiling is the last word of a scale: more time adds nothing.",
                               "Move it to the end, or leave it empty.", {words.back()}));
    }
    scale.note = in.note();
    if (in.refused()) {
        return in.refusal();
    }
    scale.metal_id = metal->id;
    scale.made_at = studio.now();
    scale.id = studio.ids().next<ToneScale>(scale.made_at);
    return studio.write("tone scale of " + metal->name, [&]() -> Result<Outcome> {
        store::insert(studio.log(), scale);
        int position = 0;
        for (const std::string& word : words) {
            Tone tone;
            tone.id = studio.ids().next<Tone>(scale.made_at);
            tone.scale_id = scale.id;
            tone.position = position++;
            tone.word = word;
            tone.ceiling = folded(word) == folded(ceiling);
            tone.made_at = scale.made_at;
            store::insert(studio.log(), tone);
        }
        return Outcome{.said = fmt::format("Scale of {} made: {}.", metal->name, rules::in_a_row(words)),
                       .cautions = {},
                       .made = {{"tone_scale", scale.id.text}}};
    });
}

Result<Outcome> rename_tone(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<ToneScale> scale = in.record<ToneScale>("scale");
    std::optional<Tone> tone;
    if (scale) {
        tone = in.taken(tone_on(studio, *scale, in.typed("tone").field, form.text("tone")));
        std::vector<std::string> words = words_of(tones_of(studio, scale->id));
        if (tone) {
            std::erase(words, tone->word);
        }
        in.check(rules::tone_word(in.typed("word"), words));
    }
    if (in.refused()) {
        return in.refusal();
    }
    const std::string was = tone->word;
    tone->word = std::string(form.text("word"));
    return studio.write(fmt::format("rename {} to {}", was, tone->word), [&]() -> Result<Outcome> {
        store::update(studio.log(), *tone);
        return Outcome{.said = fmt::format("{} is called {} now, in old records too.", was, tone->word),
                       .cautions = {},
                       .made = {{"tone", tone->id.text}}};
    });
}

Result<Outcome> add_tone(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<ToneScale> scale = in.record<ToneScale>("scale");
    std::vector<Tone> tones;
    std::optional<Tone> after;
    if (scale) {
        tones = tones_of(studio, scale->id);
        after = in.taken(tone_on(studio, *scale, in.typed("after").field, form.text("after")));
        in.check(rules::tone_word(in.typed("word"), words_of(tones)));
    }
    if (after) {
        in.check(rules::below_ceiling(in.typed("after"), *after));
    }
    if (in.refused()) {
        return in.refusal();
    }
    Tone tone;
    tone.made_at = studio.now();
    tone.id = studio.ids().next<Tone>(tone.made_at);
    tone.scale_id = scale->id;
    tone.position = after->position + 1;
    tone.word = std::string(form.text("word"));
    return studio.write("add tone " + tone.word, [&]() -> Result<Outcome> {
        for (auto later = tones.rbegin(); later != tones.rend() && later->position > after->position; ++later) {
            ++later->position;
            store::update(studio.log(), *later);
        }
        store::insert(studio.log(), tone);
        return Outcome{.said = fmt::format("{} added after {}.", tone.word, after->word),
                       .cautions = {"What was judged before keeps its word: look again where it may be the new one."},
                       .made = {{"tone", tone.id.text}}};
    });
}

Result<Outcome> measure_tone(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<ToneScale> scale = in.record<ToneScale>("scale");
    std::optional<Tone> tone;
    if (scale) {
        tone = in.taken(tone_on(studio, *scale, in.typed("tone").field, form.text("tone")));
    }
    const std::optional<double> l = in.number("l");
    const std::optional<double> a = in.number("a");
    const std::optional<double> b = in.number("b");
    in.check(rules::lab(in.typed("l"), l, a, b));
    if (in.refused()) {
        return in.refusal();
    }
    tone->l = l;
    tone->a = a;
    tone->b = b;
    return studio.write("colour of " + tone->word, [&]() -> Result<Outcome> {
        store::update(studio.log(), *tone);
        return Outcome{.said = fmt::format("Measured colour of {} written down.", tone->word),
                       .cautions = {},
                       .made = {{"tone", tone->id.text}}};
    });
}

Result<Outcome> add_target(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Target target;
    target.name = in.text("name", Reader::kWords);
    in.check(
        rules::number_free(in.typed("name"), "target tone", number_taken(studio, "target", "name", target.name), ""));
    const std::optional<ToneScale> scale = in.record<ToneScale>("scale");
    std::optional<Tone> tone;
    if (scale) {
        tone = in.taken(tone_on(studio, *scale, in.typed("tone").field, form.text("tone")));
    }
    target.place = in.choice<Place>("place").value_or(Place::whole);
    target.moment = in.choice<Moment>("moment").value_or(Moment::before_relief);
    if (const std::optional<Seconds> dose = in.duration("dose")) {
        in.check(rules::above_zero(in.typed("dose"), dose->seconds(), "\"40 s\""));
        in.check(rules::between(in.typed("dose"), dose->seconds(), 0.0, 86400.0, "s"));
        target.dose_s = dose->seconds();
    }
    target.tolerance_steps = in.number("tolerance");
    if (target.tolerance_steps) {
        in.check(rules::between(in.typed("tolerance"), *target.tolerance_steps, 0.0, 10.0, "tones"));
    }
    target.keep_piece = in.text("keep-piece", Reader::kNumber);
    target.note = in.note();
    target.from_memory = in.from_memory<Target>();
    if (in.refused()) {
        return in.refusal();
    }
    target.scale_id = scale->id;
    target.tone_id = tone->id;
    target.made_at = studio.now();
    target.id = studio.ids().next<Target>(target.made_at);
    return studio.write("target " + target.name, [&]() -> Result<Outcome> {
        store::insert(studio.log(), target);
        Outcome outcome{
            .said = fmt::format("Target \"{}\": {} {}, {}, {}.", target.name, name_of(studio, scale->metal_id),
                                tone->word, word_of(target.place), word_of(target.moment)),
            .cautions = {},
            .made = {{"target", target.id.text}}};
        if (target.moment != Moment::after_sealing) {
            outcome.cautions.push_back("Sealing moves the tone: what the client sees is the tone after it.");
        }
        return outcome;
    });
}

}  // namespace

void add_scale_actions(Actions& table) {
    const FieldSpec scale = required(reference("scale", "Scale", "tone_scale", "\"sterling\", \"sterling, satin\""));
    const FieldSpec tone = required(reference("tone", "Tone", "tone", "a word of that scale"));
    table.push_back({.id = "metal.add",
                     .label = "Write down a metal",
                     .help = "Filled or plated metal too: name the base under it, \"unknown\" where it is not known.",
                     .page = "Tones",
                     .key = "",
                     .fields = {required(field("name", "Name", FieldKind::text, "\"gold-filled\"")),
                                field("base-under", "Base under it", FieldKind::text),
                                field("silver", "Silver at the surface", FieldKind::yes_no), note_field()},
                     .carry_out = add_metal});
    table.push_back(
        {.id = "scale.add",
         .label = "Make a tone scale",
         .help = "The studio's own words for one metal, and one surface where it differs, in order of growth.",
         .page = "Tones",
         .key = "G",
         .fields = {required(reference("metal", "Metal", "metal")),
                    field("surface", "Surface", FieldKind::text, "empty = every surface"),
                    required(repeated(field("words", "Tones in order", FieldKind::text,
                                            "bare metal first, one a line or with commas"))),
                    field("ceiling", "Ceiling", FieldKind::text, "the last word, where more time adds nothing"),
                    note_field()},
         .carry_out = add_scale});
    table.push_back({.id = "tone.rename",
                     .label = "Rename a tone",
                     .help = "The place on the scale stays, the word changes everywhere.",
                     .page = "Tones",
                     .key = "R",
                     .fields = {scale, tone, required(field("word", "New word", FieldKind::text))},
                     .carry_out = rename_tone});
    table.push_back({.id = "tone.add",
                     .label = "Add a tone",
                     .help = "Between two tones of a scale.",
                     .page = "Tones",
                     .key = "A",
                     .fields = {scale, required(field("word", "Word", FieldKind::text, "\"teal\"")),
                                required(reference("after", "After", "tone", "the tone before it"))},
                     .carry_out = add_tone});
    table.push_back(
        {.id = "tone.measure",
         .label = "Give a tone its measured colour",
         .help = "L*, a* and b* under D50, from your own strip.",
         .page = "Tones",
         .key = "M",
         .fields = {scale, tone, required(field("l", "L*", FieldKind::number)),
                    required(field("a", "a*", FieldKind::number)), required(field("b", "b*", FieldKind::number))},
         .carry_out = measure_tone});
    table.push_back({.id = "target.add",
                     .label = "Set a target tone",
                     .help = "The tone aimed at, where on the piece and when it is judged.",
                     .page = "Tones",
                     .key = "T",
                     .fields = {required(field("name", "Name", FieldKind::text, "\"Limpet lid blue\"")), scale, tone,
                                choice_of<Place>("place", "Judged on"), choice_of<Moment>("moment", "Judged"),
                                field("dose", "Dose, at 60 °C fresh", FieldKind::duration, "empty until known"),
                                field("tolerance", "Accepted distance, tones", FieldKind::number),
                                field("keep-piece", "Keep-piece", FieldKind::text), note_field()},
                     .carry_out = add_target});
}

}  // namespace tonebath::app
