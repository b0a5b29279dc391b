#include "app/usual.hpp"

#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/normal.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace tonebath::app {

namespace {

// How the two limits stand to the middle: evenly, by equal factors, or not at all (a fixed setting).
enum class Shape { even, factor, fixed };

struct Belief {
    double middle = 0.0;
    double spread = 0.0;  // sd, log-sd, or nothing
};

struct Known {
    std::string_view key;
    std::string_view name;
    std::string_view unit;
    Shape shape = Shape::even;
    double least = 0.0;   // of what may be typed: what can never be right
    double most = 0.0;
    std::string_view trust;
    std::string_view source;
    Belief (*read)(const UsualPriors&) = nullptr;
    void (*write)(UsualPriors&, const Belief&) = nullptr;
};

template <auto Group, auto Member>
Belief read_normal(const UsualPriors& all) {
    return {(all.*Group.*Member).mean, (all.*Group.*Member).sd};
}
template <auto Group, auto Member>
void write_normal(UsualPriors& all, const Belief& own) {
    all.*Group.*Member = {own.middle, own.spread};
}
template <auto Group, auto Member>
Belief read_log(const UsualPriors& all) {
    return {(all.*Group.*Member).median, (all.*Group.*Member).log_sd};
}
template <auto Group, auto Member>
void write_log(UsualPriors& all, const Belief& own) {
    all.*Group.*Member = {own.middle, own.spread};
}
template <auto Group, auto Member>
Belief read_fixed(const UsualPriors& all) {
    return {all.*Group.*Member, 0.0};
}
template <auto Group, auto Member>
void write_fixed(UsualPriors& all, const Belief& own) {
    all.*Group.*Member = own.middle;
}
// Fade is kept as a rate and told as the hours after which half is gone.
template <auto Member>
Belief read_half_life(const UsualPriors& all) {
    return {std::log(2.0) / (all.tone.*Member).median, (all.tone.*Member).log_sd};
}
template <auto Member>
void write_half_life(UsualPriors& all, const Belief& own) {
    all.tone.*Member = {std::log(2.0) / own.middle, own.spread};
}

constexpr auto kTone = &UsualPriors::tone;
constexpr auto kFilm = &UsualPriors::film;
constexpr auto kWords = &UsualPriors::words;
using science::FilmPrior;
using science::TonePriors;
using science::WordsPrior;

const std::array<Known, 17>& known_figures() {
    static const std::array<Known, 17> all{{
        {"temperature-effect", "temperature effect", "kJ/mol", Shape::even, 1.0, 200.0, "low",
         "18 to 20 if diffusion sets the pace (Stokes-Einstein), 40 to 60 if chemistry does; no study of polysulfide on silver was found",
         read_normal<kTone, &TonePriors::ea_kj_per_mol>, write_normal<kTone, &TonePriors::ea_kj_per_mol>},
        {"strength-exponent", "strength exponent", "", Shape::even, 0.05, 3.0, "low",
         "1 if diffusion in the solution sets the pace, less if the film or the surface does",
         read_normal<kTone, &TonePriors::strength_exponent>, write_normal<kTone, &TonePriors::strength_exponent>},
        {"still", "held still, against gently moved", "times", Shape::factor, 0.02, 5.0, "low",
         "boundary layer theory: flux goes as one over its thickness", read_log<kTone, &TonePriors::still>, write_log<kTone, &TonePriors::still>},
        {"brisk", "swished briskly, against gently moved", "times", Shape::factor, 0.2, 50.0, "low",
         "the same; laminar flux goes as speed to the third or half", read_log<kTone, &TonePriors::brisk>, write_log<kTone, &TonePriors::brisk>},
        {"fade-open", "half gone after, open and hot", "h", Shape::factor, 0.05, 1000.0, "low",
         "makers' accounts at 50 to 80 °C: make it fresh, boiling ruins it", read_half_life<&TonePriors::fade_open_hot_per_h>,
         write_half_life<&TonePriors::fade_open_hot_per_h>},
        {"fade-covered", "half gone after, covered and cool", "h", Shape::factor, 0.05, 5000.0, "low",
         "oxygen transfer estimate, and the trade's \"a day\"", read_half_life<&TonePriors::fade_covered_per_h>,
         write_half_life<&TonePriors::fade_covered_per_h>},
        {"lot", "lots differ by, log dose", "", Shape::fixed, 0.001, 3.0, "guess",
         "composition is loosely defined, lumps age from the skin in; fixed, the offsets are learned", read_fixed<kTone, &TonePriors::lot_log_sd>,
         write_fixed<kTone, &TonePriors::lot_log_sd>},
        {"bath", "baths of a lot differ by, log dose", "", Shape::factor, 0.005, 2.0, "guess",
         "0.15 in log thickness at exponent 0.75; learned from there", read_log<kTone, &TonePriors::bath_sd>, write_log<kTone, &TonePriors::bath_sd>},
        {"piece", "pieces of a bath differ by, log dose", "", Shape::factor, 0.005, 2.0, "guess",
         "0.12 in log thickness at exponent 0.75; learned from there", read_log<kTone, &TonePriors::piece_sd>, write_log<kTone, &TonePriors::piece_sd>},
        {"watched", "own scatter of a watched strip, log time", "", Shape::fixed, 0.005, 1.0, "guess",
         "judgement of the moment to pull: about 6 % of the time; fixed, not learned, because it cannot be told from the bath's offset with few strips",
         read_fixed<kTone, &TonePriors::watched_log_sd>, write_fixed<kTone, &TonePriors::watched_log_sd>},
        {"beyond", "extra doubt about the temperature effect outside what was tried", "kJ/mol", Shape::fixed, 0.0, 100.0, "guess", "ours",
         read_fixed<kTone, &TonePriors::beyond_ea_sd_kj_per_mol>, write_fixed<kTone, &TonePriors::beyond_ea_sd_kj_per_mol>},
        {"surface", "surface and preparation: each kind differs by, log dose", "", Shape::fixed, 0.001, 3.0, "guess", "ours; shrinks to nothing unless the records speak",
         read_fixed<kTone, &TonePriors::surface_log_sd>, write_fixed<kTone, &TonePriors::surface_log_sd>},
        {"water", "water, additives and thermometer: each kind differs by, log dose", "", Shape::fixed, 0.001, 3.0, "guess",
         "ours; 0.07 is what 1.5 °C of an unchecked thermometer does", read_fixed<kTone, &TonePriors::water_log_sd>,
         write_fixed<kTone, &TonePriors::water_log_sd>},
        {"film", "film on silver after 10 s of dose", "nm", Shape::factor, 1.0, 2000.0, "low",
         "a handbook recipe, blue-black in seconds at 4 to 5 g/L and 71 to 82 °C, under the ceiling that diffusion sets", read_log<kFilm, &FilmPrior::h_ref_nm>,
         write_log<kFilm, &FilmPrior::h_ref_nm>},
        {"time-exponent", "time exponent of the film on silver", "", Shape::even, 0.3, 1.2, "medium-low", "between parabolic (0.5) and linear (1) growth",
         read_normal<kFilm, &FilmPrior::exponent>, write_normal<kFilm, &FilmPrior::exponent>},
        {"first-tone", "first tone of a metal without film constants begins at", "s", Shape::factor, 0.1, 3600.0, "guess", "ours: no number was found for copper at these strengths",
         read_log<kWords, &WordsPrior::first_tone_s>, write_log<kWords, &WordsPrior::first_tone_s>},
        {"tone-step", "from one tone to the next on such a metal, log dose", "", Shape::even, 0.01, 3.0, "guess", "ours",
         read_normal<kWords, &WordsPrior::step>, write_normal<kWords, &WordsPrior::step>},
    }};
    return all;
}

const Known* find_known(std::string_view key) {
    const auto& all = known_figures();
    const auto found = std::ranges::find(all, key, &Known::key);
    return found == all.end() ? nullptr : &*found;
}

// The studio's own, by key; what this program has no figure for is left alone.
std::map<std::string, OwnFigure> own_figures(Studio& studio) {
    std::map<std::string, OwnFigure> all;
    for (OwnFigure& own : store::list<OwnFigure>(studio.log())) {
        if (find_known(own.figure) != nullptr) {
            all.insert_or_assign(own.figure, std::move(own));
        }
    }
    return all;
}

double spread_of(Shape shape, double low, double high) {
    return shape == Shape::factor ? std::log(high / low) / (2.0 * science::kEightyOfHundred) : (high - low) / (2.0 * science::kEightyOfHundred);
}

double limit_of(Shape shape, const Belief& belief, double z) {
    return shape == Shape::factor ? belief.middle * std::exp(z * belief.spread) : belief.middle + z * belief.spread;
}

Result<Outcome> back_to_usual(Studio& studio, const Known& known, const std::optional<OwnFigure>& own) {
    if (!own) {
        return Outcome{.said = fmt::format("{}: it is as usual.", known.name), .cautions = {}, .made = {}};
    }
    return studio.write(fmt::format("{}, as usual again", known.key), [&]() -> Result<Outcome> {
        store::remove(studio.log(), own->id);
        return Outcome{.said = fmt::format("{}: as usual again.", known.name), .cautions = {"Times and ranges are learned again with it."}, .made = {}};
    });
}

Result<Outcome> set_usual(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const Known* known = find_known(form.text("figure"));
    const std::optional<double> middle = in.number("middle");
    OwnFigure typed{.figure = std::string(form.text("figure")), .middle = middle.value_or(0.0), .low = in.number("low"), .high = in.number("high"),
                    .source = in.text("source", Reader::kWords), .trust = in.text("trust", Reader::kWords), .at = in.moment_or_now("at"), .who = in.who()};
    const bool back = in.yes_no("as-usual").value_or(false);
    if (in.refused()) {
        return in.refusal();
    }
    if (known == nullptr) {
        return *own_figure_fits(typed, in.typed("figure"), in.typed("figure"));
    }
    const auto own = own_figures(studio);
    const auto before = own.find(typed.figure);
    if (back) {
        return back_to_usual(studio, *known, before == own.end() ? std::nullopt : std::optional<OwnFigure>(before->second));
    }
    if (!middle) {
        return rules::refuse("usual.no_middle", in.typed("middle"), "the figure itself is missing.", "Type it, or say \"as usual\".");
    }
    in.check(own_figure_fits(typed, in.typed("middle"), in.typed("low")));
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write(fmt::format("own figure for {}", known->key), [&]() -> Result<Outcome> {
        typed.made_at = studio.now();
        typed.trust = typed.trust.empty() ? "own" : typed.trust;
        if (before != own.end()) {
            typed.id = before->second.id;
            typed.made_at = before->second.made_at;
            store::update(studio.log(), typed);
        } else {
            typed.id = studio.ids().next<OwnFigure>(typed.made_at);
            store::insert(studio.log(), typed);
        }
        return Outcome{.said = fmt::format("{}: {} from now on, your own.", known->name, usual_text(typed.middle, typed.low, typed.high, known->unit)),
                       .cautions = {"Times and ranges are learned again with it."},
                       .made = {{std::string(OwnFigure::kTable), typed.id.text}}};
    });
}

}  // namespace

std::vector<std::string> usual_keys() {
    std::vector<std::string> keys;
    for (const Known& known : known_figures()) {
        keys.emplace_back(known.key);
    }
    return keys;
}

std::string usual_text(double middle, const std::optional<double>& low, const std::optional<double>& high, std::string_view unit) {
    const auto told = [](double value) { return fixed_text(value, std::abs(value) >= 20.0 ? 0 : std::abs(value) >= 2.0 ? 1 : 2); };
    const std::string after = unit.empty() ? std::string() : " " + std::string(unit);
    return low && high ? fmt::format("{}{} ({} to {})", told(middle), after, told(*low), told(*high)) : told(middle) + after;
}

rules::Question own_figure_fits(const OwnFigure& own, const rules::Typed& middle, const rules::Typed& limits) {
    const Known* known = find_known(own.figure);
    if (known == nullptr) {
        return rules::refuse("usual.unknown", middle, "there is no such figure.", "One of: " + joined(usual_keys(), ", ") + ".");
    }
    if (rules::Question odd = rules::between(middle, own.middle, known->least, known->most, std::string(known->unit))) {
        return odd;
    }
    if (known->shape == Shape::fixed ? own.low || own.high : !own.low || !own.high) {
        return rules::refuse("usual.limits", limits, known->shape == Shape::fixed ? "this figure is fixed and has no limits." : "both limits are needed.",
                             known->shape == Shape::fixed ? "Leave both limits empty." : "Between which two would 80 of 100 lie?");
    }
    if (own.low && (!(*own.low < own.middle && own.middle < *own.high) || (known->shape == Shape::factor && *own.low <= 0.0))) {
        return rules::refuse("usual.order", limits, "the limits do not stand around the figure.", "Lower limit, figure, upper limit, in this order.");
    }
    return std::nullopt;
}

UsualPriors usual_priors(Studio& studio) {
    UsualPriors all;
    for (const auto& [key, own] : own_figures(studio)) {
        const Known& known = *find_known(key);
        known.write(all, {own.middle, own.low && own.high ? spread_of(known.shape, *own.low, *own.high) : 0.0});
    }
    return all;
}

std::vector<UsualFigure> usual_figures(Studio& studio) {
    const std::map<std::string, OwnFigure> own = own_figures(studio);
    const UsualPriors published;
    std::vector<UsualFigure> figures;
    for (const Known& known : known_figures()) {
        const Belief belief = known.read(published);
        UsualFigure one{.key = std::string(known.key), .name = std::string(known.name), .unit = std::string(known.unit), .middle = belief.middle,
                        .source = std::string(known.source), .trust = std::string(known.trust), .published_middle = belief.middle};
        if (known.shape != Shape::fixed) {
            one.low = limit_of(known.shape, belief, -science::kEightyOfHundred);
            one.high = limit_of(known.shape, belief, science::kEightyOfHundred);
        }
        one.published_low = one.low;
        one.published_high = one.high;
        if (const auto found = own.find(one.key); found != own.end()) {
            one.middle = found->second.middle;
            one.low = found->second.low;
            one.high = found->second.high;
            one.source = found->second.source.empty() ? "your own" : found->second.source;
            one.trust = found->second.trust.empty() ? "own" : found->second.trust;
            one.own = true;
            one.own_since = found->second.at;
            one.who = found->second.who ? name_of(studio, *found->second.who) : std::string();
        }
        figures.push_back(std::move(one));
    }
    return figures;
}

void add_usual_actions(Actions& table) {
    table.push_back({.id = "usual.set",
                     .label = "Use your own for what is usual",
                     .help = "Before strips speak, times rest on weak figures from elsewhere. Put your own in the place of one, or go back.",
                     .page = "Tones",
                     .key = "",
                     .fields = {required(choice_of("figure", "Figure", usual_keys())),
                                field("middle", "Your figure", FieldKind::number),
                                field("low", "Lower limit", FieldKind::number, "80 of 100 lie between the two limits"),
                                field("high", "Upper limit", FieldKind::number), field("source", "Where it comes from", FieldKind::text),
                                field("trust", "Trust", FieldKind::text, "\"low\", \"good\"; empty = own"), at_field("From when"), who_field(),
                                field("as-usual", "As usual again", FieldKind::yes_no)},
                     .carry_out = set_usual});
}

}  // namespace tonebath::app
