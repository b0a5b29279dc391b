// What is usual, before her own strips say better: every prior of the tone model with its source and how far to trust it,
// and what the studio has put in its place.
#pragma once

#include "base/clock.hpp"
#include "model/own_figure.hpp"
#include "model/rules/rule.hpp"
#include "science/tone_priors.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {

class Studio;

// One figure that is usual. Limits: 80 of 100 lie between them; none where the figure is a fixed setting.
struct UsualFigure {
    std::string key;      // "temperature-effect": the action's and the command's word for it
    std::string name;     // in words
    std::string unit;     // empty for a plain number
    double middle = 0.0;
    std::optional<double> low, high;
    std::string source;   // where the figure comes from
    std::string trust;    // "low", "guess", of the studio's own as it was typed, else "own"
    bool own = false;     // the studio's own
    std::optional<Stamp> own_since;
    std::string who;      // initials of who set the studio's own; empty = not known
    double published_middle = 0.0;
    std::optional<double> published_low, published_high;
};

// All of them, in the order in which they are shown; the studio's own where it has set one.
[[nodiscard]] std::vector<UsualFigure> usual_figures(Studio& studio);

// The same as the model takes them.
struct UsualPriors {
    science::TonePriors tone;
    science::FilmPrior film;
    science::WordsPrior words;
};
[[nodiscard]] UsualPriors usual_priors(Studio& studio);

// Which figure it is, and whether it can be right: within what is ever possible, limits around the middle.
[[nodiscard]] rules::Question own_figure_fits(const OwnFigure& own, const rules::Typed& middle, const rules::Typed& limits);

// Keys in order, for the form.
[[nodiscard]] std::vector<std::string> usual_keys();

// "4 h (1 to 16)", as it is shown.
[[nodiscard]] std::string usual_text(double middle, const std::optional<double>& low, const std::optional<double>& high, std::string_view unit);

}  // namespace tonebath::app
