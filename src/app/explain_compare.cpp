#include "app/explain.hpp"
#include "app/explain_records.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

namespace tonebath::app {

namespace {

using Group = std::vector<const ExplainRecord*>;

constexpr double kTimesError = 2.5;          // ours: a difference at equal dose is named from here on
constexpr double kLeastMetalLog = 0.7;       // ours: twice the dose for one lightness, before a metal is asked about
constexpr double kTimesBatchSd = 4.0;        // ours: and so many times what batches differ by luck
constexpr double kLeastBatchSd = 0.1;        // ours, log dose
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

std::vector<science::ToneAccount> accounts_of(const Group& group) {
    std::vector<science::ToneAccount> accounts;
    for (const ExplainRecord* one : group) {
        accounts.push_back(one->account);
    }
    return accounts;
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
        words += fmt::format("; {} differed too (×{} dose)", joined(row.confounded, ", "), fixed_text(row.dose_ratio, 2));
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
    row.equal_dose_differs = std::abs(found.equal_dose) > kTimesError * found.equal_dose_se;
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
    for (const ExplainRecord* one : group) {
        dose += given_dose(one->account) / static_cast<double>(group.size());
    }
    for (const ExplainRecord* one : other) {
        dose -= given_dose(one->account) / static_cast<double>(other.size());
    }
    row.dose_ratio = std::exp(dose);
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
    double l = 0.0;       // mean L*
    double dose = 0.0;    // mean log dose
    std::size_t pieces = 0;
};

double middle_of(std::vector<double> values) {
    std::ranges::sort(values);
    const std::size_t n = values.size();
    return n % 2 == 1 ? values[n / 2] : 0.5 * (values[n / 2 - 1] + values[n / 2]);
}

// Log dose that one batch's part needed more than the middle of other batches for the same lightness; nullopt: too few.
struct MoreDose {
    double log_dose = 0.0;
    double batch_sd = 0.0;
    std::size_t batches = 0;
};
std::optional<MoreDose> more_dose(const std::vector<Unit>& units, const Unit& one, double slope) {
    std::vector<double> others;
    for (const Unit& unit : units) {
        if (unit.design == one.design && unit.part == one.part && unit.batch != one.batch) {
            others.push_back(unit.dose + unit.l / slope);
        }
    }
    if (others.size() < kFewestBatches) {
        return std::nullopt;
    }
    const double middle = middle_of(others);
    std::vector<double> spread;
    for (const double other : others) {
        spread.push_back(std::abs(other - middle));
    }
    return MoreDose{one.dose + one.l / slope - middle, std::max(kLeastBatchSd, 1.4826 * middle_of(spread)), others.size()};
}

std::optional<MetalDoubt> doubt_of(const std::vector<Unit>& units, const Unit& one, double slope) {
    const auto more = more_dose(units, one, slope);
    if (!more || std::abs(more->log_dose) < std::max(kLeastMetalLog, kTimesBatchSd * more->batch_sd)) {
        return std::nullopt;
    }
    MetalDoubt doubt{.batch = one.batch, .part = one.part, .design = one.design, .written_as = one.metal,
                     .pieces = one.pieces, .other_batches = more->batches, .lighter_l = more->log_dose * slope};
    // Other parts of the same pieces went through the same hands: where they are off as well, it is not this metal.
    for (const Unit& unit : units) {
        if (unit.batch == one.batch && unit.part != one.part) {
            const auto same = more_dose(units, unit, slope);
            doubt.other_parts_l = same ? same->log_dose * slope : 0.0;
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
    const std::map<std::string, Group>& groups = by_scale[scale];
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
    // How lightness falls with dose, on all metals that were measured.
    double slope = 0.0;
    for (const auto& [scale, curve] : book.curves) {
        slope -= curve.slope(0.5 * (curve.low + curve.high)) / static_cast<double>(book.curves.size());
    }
    std::map<std::array<std::string, 3>, Unit> sums;
    for (const ExplainRecord& one : book.records) {
        if (!one.strip && one.l && !one.batch.empty()) {
            Unit& unit = sums[{one.design, one.part, one.batch}];
            unit.batch = one.batch;
            unit.part = one.part;
            unit.design = one.design;
            unit.metal = one.metal;
            unit.l += *one.l;
            unit.dose += one.account.expected;
            ++unit.pieces;
        }
    }
    std::vector<Unit> units;
    for (auto& [key, unit] : sums) {
        if (unit.pieces >= kFewestInBatch) {
            unit.l /= static_cast<double>(unit.pieces);
            unit.dose /= static_cast<double>(unit.pieces);
            units.push_back(unit);
        }
    }
    std::vector<MetalDoubt> doubts;
    for (const Unit& one : units) {
        if (const auto doubt = doubt_of(units, one, slope)) {
            doubts.push_back(*doubt);
        }
    }
    return doubts;
}

}  // namespace tonebath::app
