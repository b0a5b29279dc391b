#include "app/explain.hpp"
#include "app/explain_records.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/normal.hpp"
#include "science/spread.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

namespace tonebath::app {

namespace {

constexpr double kLeastMetalLog = 0.7;       // ours: twice the dose for one lightness, before a metal is asked about
constexpr double kTimesBatchSd = 4.0;        // ours: and so many times what batches differ by luck
constexpr double kLeastBatchSd = 0.1;        // ours, log dose
constexpr double kLeastMetalL = 3.0;         // ours, L*: less is not worth asking about
constexpr std::size_t kFewestBatches = 3;    // ours
constexpr std::size_t kFewestInBatch = 3;    // ours

std::string group_of(const ExplainRecord& one, CompareBy by) {
    switch (by) {
        case CompareBy::who: return one.who;
        case CompareBy::lot: return one.lot;
        case CompareBy::batch: return one.batch;
        case CompareBy::rack: return one.rack.empty() ? "" : one.batch + " rack " + one.rack;
    }
    return {};
}

double given_dose(const science::ToneAccount& account) {
    const auto part = [&](science::DosePart p) { return account.part[static_cast<std::size_t>(p)]; };
    using enum science::DosePart;
    return part(time_in_bath) + part(heat) + part(strength) + part(fade) + part(agitation);
}

// Speed of the baths a piece was in, as their strips have it: pieces of a doubted metal do not speak for the bath.
double speed_by_strips(const std::vector<std::optional<BathPace>>& paces, const Learned& learned, const ExplainRecord& one) {
    const auto part = [&](science::DosePart p) { return one.account.part[static_cast<std::size_t>(p)]; };
    double sum = 0.0;
    double seconds = 0.0;
    for (const science::ToneDip& dip : learned.input.subjects[one.subject].dips) {
        const auto& pace = paces[dip.bath];
        sum += (dip.out_s - dip.in_s) *
               (pace && pace->strips ? pace->log_speed : part(science::DosePart::bath) + part(science::DosePart::lot));
        seconds += dip.out_s - dip.in_s;
    }
    return seconds > 0.0 ? sum / seconds : 0.0;
}

struct Lightness {
    double raw = 0.0;
    double at_equal_dose = 0.0;
    std::size_t measured = 0;
};

Lightness lightness_of(const Group& group, const LightnessCurve& curve) {
    Lightness sum;
    for (const ExplainRecord* one : group) {
        if (one->l) {
            sum.raw += *one->l;
            sum.at_equal_dose += *one->l - curve.held(one->account.expected);
            ++sum.measured;
        }
    }
    sum.raw /= static_cast<double>(std::max<std::size_t>(1, sum.measured));
    sum.at_equal_dose /= static_cast<double>(std::max<std::size_t>(1, sum.measured));
    return sum;
}

bool share_a_bath(const Learned& learned, const Group& a, const Group& b) {
    std::set<std::size_t> baths;
    for (const ExplainRecord* one : a) {
        for (const science::ToneDip& dip : learned.input.subjects[one->subject].dips) {
            baths.insert(dip.bath);
        }
    }
    return std::ranges::any_of(b, [&](const ExplainRecord* one) {
        return std::ranges::any_of(learned.input.subjects[one->subject].dips,
                                   [&](const science::ToneDip& dip) { return baths.contains(dip.bath); });
    });
}

std::string words_of(const CompareRow& row) {
    std::string words = fmt::format("{} against {}: ", row.first, row.second);
    const auto off = [](double tones) {
        return fmt::format("{} of a tone {}", fixed_text(std::abs(tones), 1), tones < 0.0 ? "lighter" : "further");
    };
    words += row.raw_differs ? off(row.raw_tones) + " as they look" : "no difference as they look";
    words += row.equal_dose_differs ? "; at equal dose " + off(row.equal_dose_tones) : "; at equal dose no difference";
    if (!row.confounded.empty()) {
        words += fmt::format("; {} differed too (×{} dose, {} to {})", joined(row.confounded, ", "), fixed_text(row.dose_ratio, 2),
                             fixed_text(row.dose_low, 2), fixed_text(row.dose_high, 2));
    }
    if (row.no_common_bath) {
        words += "; no bath held pieces of both, so bath and group cannot be told apart";
    }
    return words + ".";
}

CompareRow row_of(const ExplainBook& book, const Learned& learned, const std::string& scale, const std::string& name,
                  const Group& group, const std::string& against, const Group& other,
                  const science::GroupComparison& found) {
    const double step = book.tone_step.at(scale);
    CompareRow row{.first = name, .second = against, .first_pieces = found.first, .second_pieces = found.second,
                   .raw_tones = found.raw / step, .equal_dose_tones = found.equal_dose / step,
                   .equal_dose_se_tones = found.equal_dose_se / step};
    row.raw_differs = found.raw_differs;
    row.equal_dose_differs = found.equal_dose_differs;
    const auto curve = book.curves.find(scale);
    if (curve != book.curves.end()) {
        const Lightness a = lightness_of(group, curve->second);
        const Lightness b = lightness_of(other, curve->second);
        if (a.measured > 1 && b.measured > 1) {
            row.raw_l = a.raw - b.raw;
            row.equal_dose_l = a.at_equal_dose - b.at_equal_dose;
        }
    }
    double dose = 0.0;
    double per_kj = 0.0;
    for (const auto& [pieces, sign] : {std::pair(&group, 1.0), std::pair(&other, -1.0)}) {
        for (const ExplainRecord* one : *pieces) {
            dose += sign * given_dose(one->account) / static_cast<double>(pieces->size());
            per_kj += sign * one->account.heat_per_kj / static_cast<double>(pieces->size());
        }
    }
    const double within = science::kEightyOfHundred * heat_sd(book, scale, per_kj);
    row.dose_ratio = std::exp(dose);
    row.dose_low = std::exp(dose - within);
    row.dose_high = std::exp(dose + within);
    for (const science::SizedCause& cause : found.between) {
        if (cause.named) {
            row.confounded.push_back(part_words(cause.part));
        }
    }
    row.no_common_bath = !share_a_bath(learned, group, other);
    row.words = words_of(row);
    return row;
}

struct Unit {
    std::string batch, part, design, metal;
    double dose = 0.0;  // means: log dose, L*, and log dose beyond what the ruler's metal takes for the same lightness
    double l = 0.0;
    double more = 0.0;
    std::size_t pieces = 0;
};

// Log dose that one batch's part needed more than the middle of other batches for the same lightness; nullopt: too few.
struct MoreDose {
    double log_dose = 0.0;
    double lighter_l = 0.0;
    double batch_sd = 0.0;
    std::size_t batches = 0;
};
std::optional<MoreDose> more_dose(const std::vector<Unit>& units, const Unit& one, const LightnessCurve& ruler) {
    std::vector<double> others;
    for (const Unit& unit : units) {
        if (unit.design == one.design && unit.part == one.part && unit.batch != one.batch) {
            others.push_back(unit.more);
        }
    }
    if (others.size() < kFewestBatches) {
        return std::nullopt;
    }
    const double middle = science::median_of(others);
    std::vector<double> spread;
    for (const double other : others) {
        spread.push_back(std::abs(other - middle));
    }
    return MoreDose{one.more - middle, one.l - ruler.at_beyond(one.dose - middle), std::max(kLeastBatchSd, 1.4826 * science::median_of(spread)), others.size()};
}

std::optional<MetalDoubt> doubt_of(const std::vector<Unit>& units, const Unit& one, const LightnessCurve& ruler) {
    const auto more = more_dose(units, one, ruler);
    if (!more || std::abs(more->log_dose) < std::max(kLeastMetalLog, kTimesBatchSd * more->batch_sd) ||
        std::abs(more->lighter_l) < kLeastMetalL) {
        return std::nullopt;
    }
    MetalDoubt doubt{.batch = one.batch, .part = one.part, .design = one.design, .written_as = one.metal,
                     .pieces = one.pieces, .other_batches = more->batches, .lighter_l = more->lighter_l};
    // Other parts of the same pieces went through the same hands: where they are off as well, it is not this metal.
    for (const Unit& unit : units) {
        if (unit.batch == one.batch && unit.part != one.part) {
            const auto same = more_dose(units, unit, ruler);
            doubt.other_parts_l = same ? same->lighter_l : 0.0;
            if (std::abs(doubt.other_parts_l) > 0.5 * std::abs(doubt.lighter_l)) {
                return std::nullopt;
            }
        }
    }
    doubt.words = fmt::format(
        "Batch {}: its {} took ×{} the dose for the tone that the {} of {} other batches got, its other parts did not. "
        "Check the metal: {} is written down.",
        one.batch, one.part, fixed_text(std::exp(more->log_dose), 1), one.part, more->batches,
        one.metal.empty() ? "nothing" : one.metal);
    return doubt;
}

}  // namespace

Comparison compare_groups(Studio& studio, const Learned& learned, const CompareAsk& ask) {
    const ExplainBook book = explain_book(studio, learned);
    std::map<std::string, std::map<std::string, Group>> by_scale;
    std::map<std::string, std::size_t> counts;
    for (const ExplainRecord& one : book.records) {
        const std::string group = group_of(one, ask.by);
        const std::string& scale = learned.records[one.subject].scale;
        if (one.strip || group.empty() || (!ask.batch.empty() && one.batch != ask.batch) ||
            (!ask.part.empty() && one.part != ask.part) ||
            (!ask.scale.empty() && book.scale_names.at(scale) != ask.scale)) {
            continue;
        }
        by_scale[scale][group].push_back(&one);
        ++counts[scale];
    }
    Comparison out;
    const auto most = std::ranges::max_element(counts, {}, &std::pair<const std::string, std::size_t>::second);
    if (most == counts.end()) {
        out.words = "No judged pieces to compare.";
        return out;
    }
    const std::string scale = most->first;
    out.scale = book.scale_names.at(scale);
    std::map<std::string, Group>& groups = by_scale[scale];
    for (auto& [name, group] : groups) {
        leave_out_odd(group);
    }
    const auto largest = std::ranges::max_element(groups, {}, [](const auto& g) { return g.second.size(); });
    for (const auto& [name, group] : groups) {
        if (name == largest->first) {
            continue;
        }
        if (const auto found = science::compare_accounts(accounts_of(group), accounts_of(largest->second))) {
            out.rows.push_back(row_of(book, learned, scale, name, group, largest->first, largest->second, *found));
        }
    }
    if (out.rows.empty()) {
        out.words = "There are no two groups of at least two judged pieces each.";
    }
    return out;
}

std::vector<MetalDoubt> metal_doubts(Studio& studio, const Learned& learned) {
    const ExplainBook book = explain_book(studio, learned);
    if (book.curves.empty()) {
        return {};
    }
    // Lightness of the metal with most measured records is the ruler for all: only ratios of dose are read from it.
    const LightnessCurve& ruler = std::ranges::max_element(book.curves, {}, [](const auto& c) { return c.second.points; })->second;
    const auto paces = bath_paces(book, learned);
    std::map<std::array<std::string, 3>, Unit> sums;
    for (const ExplainRecord& one : book.records) {
        if (!one.strip && one.l && !one.batch.empty()) {
            Unit& unit = sums[{one.design, one.part, one.batch}];
            unit.batch = one.batch;
            unit.part = one.part;
            unit.design = one.design;
            unit.metal = one.metal;
            const double dose = given_dose(one.account) + speed_by_strips(paces, learned, one);
            unit.dose += dose;
            unit.l += *one.l;
            unit.more += dose - ruler.dose_beyond(*one.l);
            ++unit.pieces;
        }
    }
    std::vector<Unit> units;
    for (auto& [key, unit] : sums) {
        if (unit.pieces >= kFewestInBatch) {
            for (double* mean : {&unit.dose, &unit.l, &unit.more}) {
                *mean /= static_cast<double>(unit.pieces);
            }
            units.push_back(unit);
        }
    }
    std::vector<MetalDoubt> doubts;
    for (const Unit& one : units) {
        if (const auto doubt = doubt_of(units, one, ruler)) {
            doubts.push_back(*doubt);
        }
    }
    return doubts;
}

}  // namespace tonebath::app
