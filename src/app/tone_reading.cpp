#include "app/tone_reading.hpp"

#include "app/instrument_file.hpp"
#include "app/photo_tone.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "app/subject.hpp"
#include "base/files.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/colour_difference.hpp"
#include "science/colour_spread.hpp"
#include "science/silver_ladder.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tonebath::app {

namespace {

using science::Lab;
using science::PathPoint;

// The studio's own measured tones; empty for fewer than two.
std::vector<PathPoint> own_path(const std::vector<Tone>& tones) {
    std::vector<PathPoint> path;
    for (const Tone& tone : tones) {
        if (tone.l && tone.a && tone.b) {
            path.push_back({static_cast<double>(tone.position), {*tone.l, *tone.a, *tone.b}});
        }
    }
    return path.size() < 2 ? std::vector<PathPoint>{} : path;
}

// Colours of a film of silver sulfide, where the scale's first words are those that optics knows; D50.
Result<std::vector<PathPoint>> film_path(Studio& studio, const Metal& metal, const std::vector<Tone>& tones) {
    const bool same = metal.film == FilmConstants::silver && tones.size() >= science::kSilverFilmTones &&
                      std::equal(science::kSilverTones.begin(), science::kSilverTones.begin() + science::kSilverFilmTones, tones.begin(),
                                 [](const science::SilverTone& known, const Tone& tone) { return folded(known.word) == folded(tone.word); });
    if (!same) {
        return std::vector<PathPoint>{};
    }
    const std::filesystem::path folder = studio.options().data / "optics";
    const auto table = [&](const char* name) { return science::parse_number_table(read_file(folder / name)); };
    const auto observer = table("cie1931_2deg_5nm.csv"), lights = table("illuminants_5nm.csv");
    const auto silver = table("Ag_nk_Johnson1972.csv"), sulfide = table("Ag2S_model_nk.csv");
    for (const auto* one : {&observer, &lights, &silver, &sulfide}) {
        if (!*one) {
            return one->error();
        }
    }
    const auto viewing = science::Viewing::make(*observer, *lights, "D50");
    const auto under = science::optical_table(*silver);
    const auto film = science::optical_table(*sulfide, "k_x1");
    if (!viewing || !under || !film) {
        return !viewing ? viewing.error() : !under ? under.error() : film.error();
    }
    const auto ladder = science::SilverLadder::make(*viewing, *under, *film);
    return ladder ? Result<std::vector<PathPoint>>(ladder->path(4, science::SilverLadder::Surface::uneven)) : ladder.error();
}

std::string place_words(const std::vector<Tone>& tones, const science::PathPlace& place, bool last_known) {
    const auto index = std::min(static_cast<std::size_t>(std::max(0.0, place.place)), tones.size() - 1);
    const double share = place.place - static_cast<double>(index);
    std::string words = tones[index].word;
    if (share >= 0.05 && index + 1 < tones.size()) {
        words += share > 0.95 ? std::string() : fmt::format(", {} of the way to {}", fixed_text(share, 1), tones[index + 1].word);
        words = share > 0.95 ? tones[index + 1].word : words;
    }
    if (place.at_end && last_known) {
        words += " or further along";
    } else if (place.at_start && index == 0) {
        words += " or lighter";
    }
    return words;
}

Refusal no_colours(const std::string& scale) {
    return {.code = "scale.no_colours",
            .field = "Metal",
            .value = scale,
            .message = "fewer than two of its tones have a measured colour.",
            .remedy = "Measure your strips and give the tones their colours: tone measure --scale … --tone … --l … --a … --b …",
            .answers = {}};
}

std::optional<ColourReading> newest_measured(Studio& studio, const Subject& subject) {
    std::optional<Judgement> newest;
    for (const Judgement& judgement : judgements_of(studio, subject)) {
        if (judgement.l && judgement.a && judgement.b && (!newest || newest->at <= judgement.at)) {
            newest = judgement;
        }
    }
    return newest ? std::optional(ColourReading{.name = subject.name, .colour = {*newest->l, *newest->a, *newest->b}, .error_de00 = {}}) : std::nullopt;
}

std::string figure_with_error(double figure, const std::optional<double>& error) {
    return error ? fmt::format("{} (± {})", fixed_text(figure, 1), fixed_text(*error, 1)) : fixed_text(figure, 1);
}

std::string sides(const ReadingDifference& found) {
    std::vector<std::string> words;
    // Ours: what is under a half of a unit is not told.
    const auto side = [&](double value, const char* more, const char* less) {
        if (std::abs(value) >= 0.5) {
            words.push_back(fmt::format("{} by {}", value > 0.0 ? more : less, fixed_text(std::abs(value), 1)));
        }
    };
    side(found.l, "lighter", "darker");
    side(found.c, "more coloured", "greyer");
    if (std::abs(found.h) >= 0.5) {
        words.push_back(fmt::format("another hue by {}", fixed_text(std::abs(found.h), 1)));
    }
    return words.empty() ? "" : "The second is " + joined(words, ", ") + ".";
}

}  // namespace

Result<ToneFound> tone_of_reading(Studio& studio, std::string_view metal_typed, std::string_view surface, const Lab& colour, double error_de00) {
    const Result<Metal> metal = resolve<Metal>(studio, "Metal", metal_typed);
    if (!metal) {
        return metal.error();
    }
    const std::optional<ToneScale> scale = scale_for(studio, metal->id, surface);
    if (!scale) {
        return no_colours(metal->name);
    }
    ToneFound found{.scale = name_of(studio, *scale)};
    const std::vector<Tone> tones = tones_of(studio, scale->id);
    std::vector<PathPoint> path = own_path(tones);
    found.own = !path.empty();
    if (!found.own) {
        auto film = film_path(studio, *metal, tones);
        if (!film) {
            return film.error();
        }
        path = std::move(film).value();
    }
    if (path.empty()) {
        return no_colours(found.scale);
    }
    const science::PathReading reading = science::place_on_path(path, colour, std::max(error_de00, 0.1));
    found.off_scale = reading.off_path;
    for (const science::PathPlace& place : reading.places) {
        found.stretches.push_back({place.place, place.from, place.to, place.distance_de00, place_words(tones, place, place.to >= path.back().place - 1e-9)});
    }
    std::vector<std::string> words;
    for (const ToneStretch& stretch : found.stretches) {
        words.push_back(stretch.words);
    }
    found.words = joined(words, "; or ");
    if (words.size() > 1) {
        found.words += ": the judged word chooses";
    }
    if (found.off_scale) {
        found.words += fmt::format(". It lies {} off the scale, more than it may be off by: another surface, light or metal", fixed_text(found.stretches.front().away_de00, 1));
    }
    if (!found.own) {
        found.words += ". By the film that optics gives for silver, until your own strips are measured";
    }
    found.words += ".";
    return found;
}

Result<ColourReading> reading_of(Studio& studio, std::string_view field, std::string_view typed) {
    const std::string_view text = trimmed(typed);
    if (const std::vector<std::string> parts = split(text, ','); parts.size() == 3 || parts.size() == 4) {
        const Result<Lab> colour = parse_lab(field, joined({parts[0], parts[1], parts[2]}, ","));
        if (!colour) {
            return colour.error();
        }
        ColourReading reading{.name = lab_text(*colour), .colour = *colour, .error_de00 = {}};
        if (parts.size() == 4) {
            const Result<double> error = parse_number(field, parts[3]);
            if (!error) {
                return error.error();
            }
            reading.error_de00 = std::abs(*error);
        }
        return reading;
    }
    // "readings.txt#12": the one called 12 in a file of an instrument.
    if (const std::size_t mark = text.rfind('#'); mark != std::string_view::npos && mark > 0) {
        const auto all = readings_in_file(std::filesystem::path(std::string(text.substr(0, mark))));
        if (!all) {
            return all.error();
        }
        for (const ColourReading& one : *all) {
            if (folded(one.name) == folded(text.substr(mark + 1))) {
                return one;
            }
        }
        std::vector<std::string> names;
        for (const ColourReading& one : *all) {
            names.push_back(one.name);
        }
        return Refusal{.code = "reading.none", .field = std::string(field), .value = shown(text), .message = "the file holds no reading of that name.", .remedy = shortened("It holds " + joined(names, ", "), 300) + ".", .answers = {}};
    }
    std::optional<ColourReading> reading;
    if (const auto piece = resolve<Piece>(studio, field, text)) {
        reading = newest_measured(studio, subject_of(studio, *piece));
    } else if (const auto strip = resolve<Strip>(studio, field, text)) {
        reading = newest_measured(studio, subject_of(*strip));
    } else if (const auto part = resolve<Part>(studio, field, text)) {
        reading = newest_measured(studio, subject_of(studio, *part));
    }
    if (reading) {
        return *reading;
    }
    return Refusal{.code = "reading.none",
                   .field = std::string(field),
                   .value = shown(text),
                   .message = "no measured colour is known by that.",
                   .remedy = "Type L*, a* and b* under D50, \"48.2, 3.1, -10\", the number of a piece or strip that was measured, or a file of readings with a name, \"readings.txt#12\".",
                   .answers = {}};
}

Result<ReadingDifference> difference_of(Studio& studio, const ColourReading& first, const ColourReading& second, const DifferenceAsk& ask) {
    ReadingDifference found;
    found.de00 = science::delta_e2000(first.colour, second.colour);
    const science::Lch a = science::lch_from_lab(first.colour), b = science::lch_from_lab(second.colour);
    found.l = second.colour.l - first.colour.l;
    found.c = b.c - a.c;
    const double turn = (b.h_deg - a.h_deg) * std::numbers::pi / 360.0;
    found.h = 2.0 * std::sqrt(a.c * b.c) * std::sin(turn);
    if (first.error_de00 && second.error_de00) {
        found.error_de00 = std::hypot(*first.error_de00, *second.error_de00);
        found.told_apart = found.de00 > *found.error_de00;
    }
    found.words = fmt::format("{} apart (CIEDE2000).", figure_with_error(found.de00, found.error_de00));
    if (!found.told_apart) {
        found.words += " That is within what they may be off by: by these figures they cannot be told apart.";
    }
    if (const std::string words = sides(found); !words.empty()) {
        found.words += " " + words;
    }
    if (ask.tolerance_de00) {
        found.within = found.de00 <= *ask.tolerance_de00;
        found.words += fmt::format(" {} the {} that is asked.", *found.within ? "Within" : "Beyond", fixed_text(*ask.tolerance_de00, 1));
    }
    if (!ask.metal.empty()) {
        const auto from = tone_of_reading(studio, ask.metal, ask.surface, first.colour, first.error_de00.value_or(1.0));
        const auto to = tone_of_reading(studio, ask.metal, ask.surface, second.colour, second.error_de00.value_or(1.0));
        if (!from || !to) {
            return from ? to.error() : from.error();
        }
        if (from->stretches.size() == 1 && to->stretches.size() == 1) {
            found.tones = to->stretches.front().place - from->stretches.front().place;
            found.words += std::abs(*found.tones) < 0.05
                               ? std::string(" Both stand at one place of the scale.")
                               : fmt::format(" Along the scale the second is {} {} the first: {} against {}.", fixed_text(std::abs(*found.tones), 1) + " tones",
                                             *found.tones > 0.0 ? "past" : "short of", to->stretches.front().words, from->stretches.front().words);
        } else {
            found.words += " Along the scale one of them may stand at two places: the judged word must choose first.";
        }
    }
    return found;
}

Result<Steadiness> steadiness_of(const std::vector<ColourReading>& readings) {
    std::vector<Lab> colours;
    for (const ColourReading& reading : readings) {
        colours.push_back(reading.colour);
    }
    const auto spread = science::colour_spread(colours);
    if (!spread || readings.size() < 3) {
        return Refusal{.code = "reading.too_few",
                       .field = "Readings",
                       .value = std::to_string(readings.size()),
                       .message = "that is too few to tell how they scatter.",
                       .remedy = "Measure the same piece three times or more, laid down and photographed anew each time.",
                       .answers = {}};
    }
    const auto n = static_cast<double>(readings.size());
    Steadiness found{.readings = readings.size(), .mean = spread->mean};
    found.scatter_de00 = spread->rms_to_mean_de00 * std::sqrt(n / (n - 1.0));
    found.smallest_de00 = 2.77 * found.scatter_de00;
    found.words = fmt::format("{} readings scatter by {} about {}. A difference between two readings is worth believing from {} on{}.", readings.size(), fixed_text(found.scatter_de00, 1), lab_text(found.mean),
                              fixed_text(found.smallest_de00, 1), readings.size() < 6 ? "; six readings or more would tell it better" : "");
    return found;
}

}  // namespace tonebath::app
