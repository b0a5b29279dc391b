#include "science/drift_series.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>

namespace tonebath::science {

namespace {

constexpr std::size_t kMostShifts = 4;   // ours
constexpr double kSpellBeats = 6.0;      // ours: gain by which a spell must beat a step
constexpr double kRecordedEases = 6.0;   // ours: gain that a shift of just the baths of a recorded change may lack
constexpr double kSameLotAgain = 30.0;   // ours: gain by which a second shift of one lot must beat a step
constexpr double kStoodStill = 3.0;      // ours: standard errors from the others' shift, for "this lot stood still"
constexpr int kMostRounds = 4;           // ours
constexpr int kMostTries = 8;            // ours

// Weighted columns made free of lot levels and of one another.
class Search {
public:
    Search(std::span<const BathSpeed> baths, double scatter) : baths_(baths), all_(series_of(baths, scatter, std::nullopt)) {
        y_ = freed(values());
    }

    // The shape of a shift, lot by lot centred, less what the shifts taken so far explain.
    std::vector<double> freed(std::vector<double> x) const {
        std::map<std::size_t, std::array<double, 2>> lots;
        for (std::size_t i = 0; i < x.size(); ++i) {
            lots[all_.lot[i]][0] += all_.weight[i];
            lots[all_.lot[i]][1] += all_.weight[i] * x[i];
        }
        for (std::size_t i = 0; i < x.size(); ++i) {
            x[i] -= lots[all_.lot[i]][1] / lots[all_.lot[i]][0];
        }
        for (const std::vector<double>& taken : taken_) {
            const double share = dot(taken, x) / dot(taken, taken);
            for (std::size_t i = 0; i < x.size(); ++i) {
                x[i] -= share * taken[i];
            }
        }
        return x;
    }

    std::vector<double> shape(const FoundShift& shift) const {
        std::vector<double> x(baths_.size());
        for (std::size_t i = 0; i < x.size(); ++i) {
            x[i] = shift_at(baths_, shift, i);
        }
        return x;
    }

    // Size, error and gain of a shift on top of those taken.
    bool measure(FoundShift& shift) const {
        const std::vector<double> x = freed(shape(shift));
        const double xx = dot(x, x);
        if (!(xx > 1e-9)) {
            return false;
        }
        const double xy = dot(x, y_);
        shift.size = xy / xx;
        shift.size_se = 1.0 / std::sqrt(xx);
        shift.score = xy * xy / xx;
        return true;
    }

    // What the shifts taken leave, in squares of its own scale.
    double left() const { return dot(y_, y_); }

    void take(const FoundShift& shift) {
        taken_.push_back(freed(shape(shift)));
        y_ = freed(y_);
    }

private:
    std::vector<double> values() const { return all_.value; }
    double dot(const std::vector<double>& a, const std::vector<double>& b) const {
        double sum = 0.0;
        for (std::size_t i = 0; i < a.size(); ++i) {
            sum += all_.weight[i] * a[i] * b[i];
        }
        return sum;
    }

    std::span<const BathSpeed> baths_;
    Series all_;
    std::vector<std::vector<double>> taken_;
    std::vector<double> y_;
};

bool inside(const FoundShift& shift, std::size_t bath) { return bath >= shift.first && bath < shift.end; }

// Who shares a shift of all baths: at least two lots moved alike and none stood still.
PointsAt shared_by(const Search& search, const FoundShift& shift, const std::vector<std::size_t>& lots) {
    std::size_t moved = 0;
    std::size_t still = 0;
    for (const std::size_t lot : lots) {
        FoundShift own = shift;
        own.points_at = PointsAt::one_lot;
        own.lot = lot;
        if (!search.measure(own)) {
            continue;
        }
        moved += own.size * shift.size > 0.0 && std::abs(own.size) > kHolds * own.size_se ? 1U : 0U;
        still += std::abs(own.size - shift.size) > kStoodStill * own.size_se && std::abs(own.size) < 0.5 * std::abs(shift.size)
                     ? 1U
                     : 0U;
    }
    return still > 0 ? PointsAt::nothing : moved >= 2 ? PointsAt::something_shared : PointsAt::cannot_tell;
}

// Kinds of `other` that had a level of their own for just the baths of this shift.
std::vector<std::size_t> changed_with(std::span<const BathSpeed> baths, const FoundShift& shift) {
    std::vector<std::size_t> kinds;
    for (std::size_t kind = 0; kind < baths.front().other.size(); ++kind) {
        const std::size_t level = baths[shift.first].other[kind];
        bool own = true;
        for (std::size_t k = 0; k < baths.size(); ++k) {
            own = own && (baths[k].other[kind] == level) == inside(shift, k);
        }
        if (own) {
            kinds.push_back(kind);
        }
    }
    return kinds;
}

// What a shape must gain beyond kNextShiftScore, for how many of its kind are tried. One that stands in the records is one
// of a few; a second one of the same lot is mostly the first one badly put.
double price_of(std::span<const BathSpeed> baths, const FoundShift& shift, const std::vector<FoundShift>& others) {
    const bool again = shift.points_at == PointsAt::one_lot && std::ranges::any_of(others, [&](const FoundShift& other) {
        return other.points_at == PointsAt::one_lot && other.lot == shift.lot;
    });
    if (again) {
        return kSameLotAgain;
    }
    if (shift.points_at != PointsAt::one_lot && !shift.slide && !changed_with(baths, shift).empty()) {
        return -kRecordedEases;
    }
    return shift.slide ? kSlideBeats : shift.end < baths.size() ? kSpellBeats : 0.0;
}

Search beside(std::span<const BathSpeed> baths, double scatter, const std::vector<FoundShift>& found) {
    Search search(baths, scatter);
    for (const FoundShift& shift : found) {
        search.take(shift);
    }
    return search;
}

std::vector<FoundShift> all_but(std::vector<FoundShift> found, std::size_t i) {
    found.erase(found.begin() + static_cast<std::ptrdiff_t>(i));
    return found;
}

// The best beside these others.
std::optional<FoundShift> best_of(std::span<const BathSpeed> baths, double scatter, const std::vector<std::size_t>& lots,
                                  const std::vector<FoundShift>& others) {
    const Search search = beside(baths, scatter, others);
    std::optional<FoundShift> best;
    double best_gain = 0.0;
    const auto consider = [&](FoundShift shift) {
        std::size_t in = 0;
        std::size_t out = 0;
        for (std::size_t i = 0; i < baths.size(); ++i) {
            if (shift.points_at != PointsAt::one_lot || baths[i].lot == shift.lot) {
                (inside(shift, i) ? in : out) += 1U;
            }
        }
        if (in < kFewestAfter || out < kFewestAfter || !search.measure(shift) || std::abs(shift.size) < kLeastShift) {
            return;
        }
        const double gain = shift.score - price_of(baths, shift, others);
        if (gain <= best_gain) {
            return;
        }
        if (shift.points_at != PointsAt::one_lot) {
            shift.points_at = shared_by(search, shift, lots);
            if (shift.points_at == PointsAt::nothing) {
                return;
            }
        }
        best_gain = gain;
        best = shift;
    };
    const std::size_t n = baths.size();
    for (std::size_t scope = 0; scope <= lots.size(); ++scope) {
        FoundShift shift;
        shift.points_at = scope == 0 ? PointsAt::something_shared : PointsAt::one_lot;
        shift.lot = scope == 0 ? 0 : lots[scope - 1];
        for (shift.first = 1; shift.first < n; ++shift.first) {
            if (scope > 0 && baths[shift.first].lot != shift.lot) {
                continue;
            }
            shift.end = n;
            for (const bool slide : {false, true}) {
                shift.slide = slide;
                consider(shift);
            }
            shift.slide = false;
            for (shift.end = shift.first + kFewestAfter; shift.end < n; ++shift.end) {
                consider(shift);
            }
        }
    }
    return best && best_gain >= kNextShiftScore ? best : std::nullopt;
}

bool same_shape(const FoundShift& a, const FoundShift& b) {
    return (a.points_at == PointsAt::one_lot) == (b.points_at == PointsAt::one_lot) && a.lot == b.lot && a.slide == b.slide &&
           a.first == b.first && a.end == b.end;
}

// Each shift is looked for again beside the others, for the first ones were found while the others still hid them.
void look_again(std::span<const BathSpeed> baths, double scatter, const std::vector<std::size_t>& lots,
                std::vector<FoundShift>& found) {
    for (int round = 0; round < kMostRounds; ++round) {
        bool moved = false;
        for (std::size_t i = 0; i < found.size();) {
            const auto better = best_of(baths, scatter, lots, all_but(found, i));
            if (!better) {
                found.erase(found.begin() + static_cast<std::ptrdiff_t>(i));
                moved = true;
                continue;
            }
            moved = moved || !same_shape(*better, found[i]);
            found[i++] = *better;
        }
        if (!moved) {
            return;
        }
    }
}

// From these shifts on: the best is added, all are looked for again, until none is worth its price.
std::vector<FoundShift> search_from(std::vector<FoundShift> found, std::span<const BathSpeed> baths, double scatter,
                                    const std::vector<std::size_t>& lots) {
    for (int tries = 0; tries < kMostTries && found.size() < kMostShifts; ++tries) {
        auto best = best_of(baths, scatter, lots, found);
        if (!best) {
            break;
        }
        found.push_back(*best);
        look_again(baths, scatter, lots, found);
    }
    return found;
}

// What a set of shifts leaves, and what it costs to say so.
double cost_of(std::span<const BathSpeed> baths, double scatter, const std::vector<FoundShift>& found) {
    double cost = beside(baths, scatter, found).left();
    for (std::size_t i = 0; i < found.size(); ++i) {
        cost += kNextShiftScore + price_of(baths, found[i], all_but(found, i));
    }
    return cost;
}

// Baths of each level of each kind that came once and went for good: where a search may begin.
std::vector<FoundShift> recorded_changes(std::span<const BathSpeed> baths) {
    std::vector<FoundShift> all;
    for (std::size_t kind = 0; kind < baths.front().other.size(); ++kind) {
        for (std::size_t i = 1; i < baths.size(); ++i) {
            if (baths[i].other[kind] == baths[i - 1].other[kind]) {
                continue;
            }
            FoundShift shift{.points_at = PointsAt::something_shared, .first = i, .end = i + 1};
            while (shift.end < baths.size() && baths[shift.end].other[kind] == baths[i].other[kind]) {
                ++shift.end;
            }
            if (!changed_with(baths, shift).empty()) {
                all.push_back(shift);
            }
        }
    }
    return all;
}

// Day of the last bath that a shift reaches.
double last_day(std::span<const BathSpeed> baths, const FoundShift& shift) {
    std::size_t last = baths.size() - 1;
    while (shift.points_at == PointsAt::one_lot && last > shift.first && baths[last].lot != shift.lot) {
        --last;
    }
    return baths[last].day;
}

}  // namespace

double shift_at(std::span<const BathSpeed> baths, const FoundShift& shift, std::size_t bath) {
    if (!inside(shift, bath) || (shift.points_at == PointsAt::one_lot && baths[bath].lot != shift.lot)) {
        return 0.0;
    }
    if (!shift.slide) {
        return 1.0;
    }
    const double from = baths[shift.first - 1].day;
    return (baths[bath].day - from) / std::max(last_day(baths, shift) - from, 1e-9);
}

std::vector<FoundShift> find_shifts(std::span<const BathSpeed> baths) {
    std::vector<FoundShift> found;
    if (baths.size() < kFewestBaths || !sound(baths)) {
        return found;
    }
    std::vector<std::size_t> lots;
    for (const BathSpeed& b : baths) {
        if (std::ranges::find(lots, b.lot) == lots.end()) {
            lots.push_back(b.lot);
        }
    }
    const double scatter = scatter_of(baths);
    found = search_from({}, baths, scatter, lots);
    // A shift that the records know of may hide behind others that were found first.
    for (const FoundShift& change : recorded_changes(baths)) {
        auto other = search_from({change}, baths, scatter, lots);
        if (cost_of(baths, scatter, other) < cost_of(baths, scatter, found)) {
            found = std::move(other);
        }
    }
    for (std::size_t i = 0; i < found.size(); ++i) {
        FoundShift& shift = found[i];
        beside(baths, scatter, all_but(found, i)).measure(shift);
        if (lots.size() == 1) {
            shift.points_at = PointsAt::cannot_tell;
        }
        if (shift.slide && shift.size < 0.0) {
            shift.half_life_days = std::log(2.0) * (last_day(baths, shift) - baths[shift.first - 1].day) / -shift.size;
        }
        shift.changed_then = changed_with(baths, shift);
    }
    return found;
}

}  // namespace tonebath::science
