#include "science/tone_account.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

namespace tonebath::science {

namespace {

constexpr double kTimesUnexplained = 3.0; // ours: "nothing explains this" is said of one piece among many, so more is asked
constexpr double kTimesNoise = 2.0;     // ours: a difference below twice the noise is none
constexpr double kTimesError = 3.0;     // ours: groups are told apart from here on; many are looked at
constexpr double kNamedFrom = 0.10;     // ours: smaller differences of log dose (10 %) are not named
constexpr double kNamedShare = 0.20;    // ours: nor those that make less than a fifth of what was seen
constexpr double kExplainedShare = 0.5; // ours: less than half explained is not explained

std::size_t at(DosePart part) { return static_cast<std::size_t>(part); }

double coef_mean(const ToneFit& fit, std::size_t coef) {
    double mean = 0.0;
    for (const MixedNode& node : fit.mixed.nodes) {
        mean += node.weight * node.mean[coef];
    }
    return mean;
}

double bath_mean(const ToneFit& fit, std::size_t bath) {
    double mean = 0.0;
    for (std::size_t i = 0; i < fit.mixed.nodes.size(); ++i) {
        const NormalPart u = fit.mixed.form(i, {{}, bath});
        mean += u.weight * u.mean;
    }
    return mean;
}

// Of the dose, by bath. The model gives a piece of several baths to the greatest; here each counts by its share, so that
// mates dipped in the same baths do not differ by lot.
std::map<std::size_t, double> shares_by_bath(const ToneFit& fit, const std::vector<ReadDip>& dips) {
    std::map<std::size_t, double> shares;
    double sum = 0.0;
    for (const ReadDip& dip : dips) {
        const auto dose = linear_dose(std::span<const ReadDip>(&dip, 1), fit.centre, fit.fade);
        const double one = dose ? std::exp(dose->log_dose) : 0.0;
        shares[dip.bath] += one;
        sum += one;
    }
    for (auto& [bath, share] : shares) {
        share /= sum;
    }
    return shares;
}

// Where on log dose the record puts the piece.
void set_seen(const ToneFit& fit, const ToneSubject& subject, ToneAccount& out) {
    const std::size_t tones = fit.layout.tones[subject.scale];
    const std::size_t theta = fit.layout.first_theta[subject.scale];
    const auto begins = [&](std::size_t j) { return coef_mean(fit, theta + std::min(j, tones - 1)); };
    switch (subject.says) {
        case ToneSays::watched:
            out.seen = begins(subject.tone);
            out.scatter_sd = fit.priors.watched_log_sd;
            break;
        case ToneSays::judged:
            if (subject.tone + 1 < tones) {
                out.seen = 0.5 * (begins(subject.tone) + begins(subject.tone + 1));
                out.seen_sd = (begins(subject.tone + 1) - begins(subject.tone)) / std::sqrt(12.0);
            } else {
                out.seen = begins(subject.tone);
                out.one_sided = true;
            }
            break;
        case ToneSays::lighter_than:
            out.seen = begins(subject.tone);
            out.one_sided = true;
            break;
        case ToneSays::gone_over:
            out.seen = begins(subject.tone + 1);
            out.one_sided = true;
            break;
        case ToneSays::at_ceiling:
            out.seen = begins(tones - 1);
            out.one_sided = true;
            break;
        case ToneSays::place: {
            const double low = std::clamp(std::floor(subject.place), 0.0, std::max(0.0, static_cast<double>(tones) - 2.0));
            const std::size_t j = static_cast<std::size_t>(low);
            const double spacing = begins(j + 1) - begins(j);
            out.seen = begins(j) + (subject.place - low) * spacing;
            out.seen_sd = subject.place_sd * spacing;
            break;
        }
    }
}

struct Mean {
    std::vector<ToneAccount> accounts;
    std::array<double, kDoseParts> part = {};
    double seen = 0.0;
    double left_over = 0.0;
    double var_of_mean = 0.0;  // scatter and reading
    double spread_of_left_over = 0.0;
};

std::vector<ToneAccount> accounts_of(const ToneFit& fit, const ToneInput& input, std::span<const std::size_t> subjects) {
    std::vector<ToneAccount> accounts;
    for (const std::size_t i : subjects) {
        if (const auto account = account_of(fit, input, i)) {
            accounts.push_back(*account);
        }
    }
    return accounts;
}

Mean mean_of(std::vector<ToneAccount> accounts) {
    Mean out;
    out.accounts = std::move(accounts);
    const double n = static_cast<double>(out.accounts.size());
    for (const ToneAccount& a : out.accounts) {
        for (std::size_t k = 0; k < kDoseParts; ++k) {
            out.part[k] += a.part[k] / n;
        }
        out.seen += a.seen / n;
        out.left_over += a.left_over() / n;
        out.var_of_mean += (a.scatter_sd * a.scatter_sd + a.seen_sd * a.seen_sd) / (n * n);
    }
    for (const ToneAccount& a : out.accounts) {
        out.spread_of_left_over += std::pow(a.left_over() - out.left_over, 2) / std::max(1.0, n - 1.0);
    }
    return out;
}

std::vector<SizedCause> sized(const std::array<double, kDoseParts>& one, const std::array<double, kDoseParts>& other,
                              double seen) {
    std::vector<SizedCause> causes;
    for (std::size_t k = 0; k < kDoseParts; ++k) {
        const double size = one[k] - other[k];
        causes.push_back({static_cast<DosePart>(k), size, seen != 0.0 ? size / seen : 0.0, false});
    }
    std::ranges::stable_sort(causes, std::greater<>{}, [](const SizedCause& c) { return std::abs(c.size); });
    return causes;
}

}  // namespace

std::optional<ToneAccount> account_of(const ToneFit& fit, const ToneInput& input, std::size_t subject) {
    if (subject >= input.subjects.size() || fit.left_out.size() <= subject || fit.left_out[subject] ||
        fit.mixed.nodes.empty()) {
        return std::nullopt;
    }
    const ToneSubject& s = input.subjects[subject];
    std::vector<ReadDip> dips;
    double seconds = 0.0;
    for (const ToneDip& dip : s.dips) {
        const ToneBath& bath = input.baths[dip.bath];
        auto read = read_dip({&bath.course, dip.bath, bath.place, dip.in_s, dip.out_s, dip.agitation});
        if (!read) {
            return std::nullopt;
        }
        dips.push_back(std::move(*read));
        seconds += dip.out_s - dip.in_s;
    }
    const auto dose = linear_dose(std::span<const ReadDip>(dips), fit.centre, fit.fade);
    if (!dose) {
        return std::nullopt;
    }
    ToneAccount out;
    const double exponent = coef_mean(fit, fit.layout.exponent);
    out.part[at(DosePart::time_in_bath)] = std::log(seconds);
    out.heat_per_kj = dose->d_ea;
    out.part[at(DosePart::strength)] = exponent * dose->d_exponent;
    for (std::size_t k = 0; k < 2; ++k) {
        out.part[at(DosePart::fade)] += dose->share[k] * log_fade(fit.fade, fit.centre.fade_per_h[k], dose->age_h[k]);
    }
    out.part[at(DosePart::agitation)] = dose->d_still * fit.centre.log_still + dose->d_brisk * fit.centre.log_brisk;
    // What the dose holds beyond these is heat.
    out.part[at(DosePart::heat)] = dose->log_dose - std::log(seconds) - fit.centre.exponent * dose->d_exponent -
                                   out.part[at(DosePart::fade)] - out.part[at(DosePart::agitation)];
    for (const auto& [bath, share] : shares_by_bath(fit, dips)) {
        out.part[at(DosePart::bath)] += share * bath_mean(fit, bath);
        out.part[at(DosePart::lot)] += share * coef_mean(fit, fit.layout.first_lot + input.baths[bath].lot);
    }
    for (const auto* factors : {&s.factors, &input.baths[dose->main_bath].factors}) {
        for (const std::size_t factor : *factors) {
            out.part[at(DosePart::factors)] += coef_mean(fit, fit.layout.first_factor + factor);
        }
    }
    for (const double part : out.part) {
        out.expected += part;
    }
    for (const MixedNode& node : fit.mixed.nodes) {
        out.scatter_sd += node.weight * node.scatter_sd;
    }
    set_seen(fit, s, out);
    return out;
}

std::optional<WhyDifferent> why_different(const ToneFit& fit, const ToneInput& input, std::size_t odd,
                                          std::span<const std::size_t> mates) {
    const auto own = account_of(fit, input, odd);
    return own ? why_accounts_differ(*own, accounts_of(fit, input, mates)) : std::nullopt;
}

std::optional<WhyDifferent> why_accounts_differ(const ToneAccount& own, std::vector<ToneAccount> mates) {
    const Mean others = mean_of(std::move(mates));
    if (others.accounts.size() < 2) {
        return std::nullopt;
    }
    WhyDifferent out;
    out.seen_difference = own.seen - others.seen;
    // Mates that do not agree among themselves are no firm ground.
    const double mates_var = std::max(others.var_of_mean, others.spread_of_left_over / static_cast<double>(others.accounts.size()));
    out.noise_sd = std::sqrt(own.scatter_sd * own.scatter_sd + own.seen_sd * own.seen_sd + mates_var);
    out.differs = std::abs(out.seen_difference) > kTimesNoise * out.noise_sd;
    const std::size_t ends = static_cast<std::size_t>(std::ranges::count_if(others.accounts, &ToneAccount::one_sided));
    out.one_sided = own.one_sided || 2 * ends > others.accounts.size();
    out.causes = sized(own.part, others.part, out.seen_difference);
    double explained = 0.0;
    for (const SizedCause& cause : out.causes) {
        explained += cause.size;
    }
    out.unexplained = out.seen_difference - explained;
    // Causes that cancel one another explain nothing: together they must make half of what was seen.
    const bool enough = out.differs && explained / out.seen_difference >= kExplainedShare;
    for (SizedCause& cause : out.causes) {
        cause.named = enough && std::abs(cause.size) >= kNamedFrom && cause.share >= kNamedShare;
    }
    out.nothing_recorded_explains = out.differs && !enough && std::abs(out.unexplained) > kTimesUnexplained * out.noise_sd;
    return out;
}

std::optional<GroupComparison> compare_groups(const ToneFit& fit, const ToneInput& input,
                                              std::span<const std::size_t> first, std::span<const std::size_t> second) {
    auto out = compare_accounts(accounts_of(fit, input, first), accounts_of(fit, input, second));
    if (!out) {
        return std::nullopt;
    }
    const auto baths_of = [&](std::span<const std::size_t> group) {
        std::vector<std::size_t> baths;
        for (const std::size_t i : group) {
            for (const ToneDip& dip : input.subjects[i].dips) {
                baths.push_back(dip.bath);
            }
        }
        return baths;
    };
    const std::vector<std::size_t> in_first = baths_of(first);
    out->no_common_bath = std::ranges::none_of(baths_of(second), [&](std::size_t bath) {
        return std::ranges::find(in_first, bath) != in_first.end();
    });
    return out;
}

std::optional<GroupComparison> compare_accounts(std::vector<ToneAccount> first, std::vector<ToneAccount> second) {
    const Mean a = mean_of(std::move(first));
    const Mean b = mean_of(std::move(second));
    if (a.accounts.size() < 2 || b.accounts.size() < 2) {
        return std::nullopt;
    }
    GroupComparison out;
    out.first = a.accounts.size();
    out.second = b.accounts.size();
    out.raw = a.seen - b.seen;
    const auto error_of_seen = [](const Mean& m) {
        double square = 0.0;
        for (const ToneAccount& account : m.accounts) {
            square += std::pow(account.seen - m.seen, 2);
        }
        const double n = static_cast<double>(m.accounts.size());
        return square / (n * (n - 1.0));
    };
    // Never surer than scatter and reading allow: a handful of equal words is not an error of nothing.
    out.raw_se = std::sqrt(std::max(error_of_seen(a), a.var_of_mean) + std::max(error_of_seen(b), b.var_of_mean));
    out.equal_dose = a.left_over - b.left_over;
    out.equal_dose_se =
        std::sqrt(std::max(a.spread_of_left_over / static_cast<double>(out.first), a.var_of_mean) +
                  std::max(b.spread_of_left_over / static_cast<double>(out.second), b.var_of_mean));
    out.raw_differs = std::abs(out.raw) > kTimesError * out.raw_se;
    out.equal_dose_differs = std::abs(out.equal_dose) > kTimesError * out.equal_dose_se;
    out.between = sized(a.part, b.part, out.raw);
    for (SizedCause& cause : out.between) {
        cause.named = std::abs(cause.size) >= kNamedFrom;
    }
    return out;
}

}  // namespace tonebath::science
