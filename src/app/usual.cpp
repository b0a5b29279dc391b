#include "app/usual.hpp"

#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "store/log.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace tonebath::app {

namespace {

constexpr std::string_view kSetting = "usual";
constexpr double kTenth = 1.2815515655446004;  // standard normal, 90 of 100 below

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

// The studio's own, oldest first: "key<tab>moment<tab>middle<tab>low<tab>high<tab>source"; middle empty: back to usual.
struct OwnLine {
    std::string key;
    std::optional<Stamp> at;
    std::optional<double> middle, low, high;
    std::string source;
};

std::optional<double> number_of(const std::string& text) {
    const auto value = parse_number("", text);
    return value ? std::optional<double>(*value) : std::nullopt;
}

// The last word on each figure.
std::map<std::string, OwnLine> own_lines(Studio& studio) {
    std::map<std::string, OwnLine> last;
    for (const std::string& line : split(studio.log().setting(kSetting).value_or(""), '\n')) {
        const std::vector<std::string> parts = split(line, '\t');
        if (parts.size() != 6 || find_known(parts[0]) == nullptr) {
            continue;
        }
        OwnLine own{.key = parts[0], .at = parse_iso(parts[1], 0), .middle = number_of(parts[2]), .low = number_of(parts[3]),
                    .high = number_of(parts[4]), .source = parts[5]};
        last.insert_or_assign(own.key, own);
    }
    std::erase_if(last, [](const auto& entry) { return !entry.second.middle; });
    return last;
}

double spread_of(Shape shape, double low, double high) {
    return shape == Shape::factor ? std::log(high / low) / (2.0 * kTenth) : (high - low) / (2.0 * kTenth);
}

double limit_of(Shape shape, const Belief& belief, double z) {
    return shape == Shape::factor ? belief.middle * std::exp(z * belief.spread) : belief.middle + z * belief.spread;
}

Result<Outcome> set_usual(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const Known* known = find_known(form.text("figure"));
    const std::optional<double> middle = in.number("middle");
    const std::optional<double> low = in.number("low");
    const std::optional<double> high = in.number("high");
    const std::string source = in.text("source", Reader::kWords);
    const bool back = in.yes_no("as-usual").value_or(false);
    if (in.refused()) {
        return in.refusal();
    }
    if (known == nullptr) {
        return rules::refuse("usual.unknown", in.typed("figure"), "there is no such figure.", "One of: " + joined(usual_keys(), ", ") + ".");
    }
    if (!back && !middle) {
        return rules::refuse("usual.no_middle", in.typed("middle"), "the figure itself is missing.", "Type it, or say \"as usual\".");
    }
    if (!back) {
        in.check(rules::between(in.typed("middle"), *middle, known->least, known->most, std::string(known->unit)));
        if (in.refused()) {
            return in.refusal();
        }
        if (known->shape == Shape::fixed ? low || high : !low || !high) {
            return rules::refuse("usual.limits", in.typed("low"),
                                 known->shape == Shape::fixed ? "this figure is fixed and has no limits." : "both limits are needed.",
                                 known->shape == Shape::fixed ? "Leave both limits empty." : "Between which two would 80 of 100 lie?");
        }
        if (low && (!(*low < *middle && *middle < *high) || (known->shape == Shape::factor && *low <= 0.0))) {
            return rules::refuse("usual.order", in.typed("low"), "the limits do not stand around the figure.", "Lower limit, figure, upper limit, in this order.");
        }
    }
    const auto text_of_number = [](const std::optional<double>& value) { return value ? fmt::format("{}", *value) : std::string(); };
    std::string plain = source;
    std::ranges::replace(plain, '\t', ' ');
    std::ranges::replace(plain, '\n', ' ');
    const std::string line = back ? fmt::format("{}\t{}\t\t\t\t", known->key, iso_text(studio.now()))
                                  : fmt::format("{}\t{}\t{}\t{}\t{}\t{}", known->key, iso_text(studio.now()), text_of_number(middle), text_of_number(low),
                                                text_of_number(high), plain);
    // Every line stays: what was believed when, and from whom, can be read in the log.
    const std::string before = studio.log().setting(kSetting).value_or("");
    studio.log().set_setting(kSetting, before.empty() ? line : before + "\n" + line);
    return Outcome{.said = back ? fmt::format("{}: as usual again.", known->name)
                                : fmt::format("{}: {} from now on, your own.", known->name, usual_text(*middle, low, high, known->unit)),
                   .cautions = {"Times and ranges are learned again with it."},
                   .made = {}};
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

UsualPriors usual_priors(Studio& studio) {
    UsualPriors all;
    for (const auto& [key, own] : own_lines(studio)) {
        const Known& known = *find_known(key);
        known.write(all, {*own.middle, own.low && own.high ? spread_of(known.shape, *own.low, *own.high) : 0.0});
    }
    return all;
}

std::vector<UsualFigure> usual_figures(Studio& studio) {
    const std::map<std::string, OwnLine> own = own_lines(studio);
    const UsualPriors published;
    std::vector<UsualFigure> figures;
    for (const Known& known : known_figures()) {
        const Belief belief = known.read(published);
        UsualFigure one{.key = std::string(known.key), .name = std::string(known.name), .unit = std::string(known.unit), .middle = belief.middle,
                        .source = std::string(known.source), .trust = std::string(known.trust), .published_middle = belief.middle};
        if (known.shape != Shape::fixed) {
            one.low = limit_of(known.shape, belief, -kTenth);
            one.high = limit_of(known.shape, belief, kTenth);
        }
        one.published_low = one.low;
        one.published_high = one.high;
        if (const auto found = own.find(one.key); found != own.end()) {
            one.middle = *found->second.middle;
            one.low = found->second.low;
            one.high = found->second.high;
            one.source = found->second.source.empty() ? "your own" : found->second.source;
            one.trust = "own";
            one.own = true;
            one.own_since = found->second.at;
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
                                field("as-usual", "As usual again", FieldKind::yes_no)},
                     .carry_out = set_usual});
}

}  // namespace tonebath::app
