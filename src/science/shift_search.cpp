#include "science/drift_series.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>

namespace tonebath::science {

namespace {

constexpr std::size_t kMostShifts = 4;  // ours
constexpr double kSpellBeats = 6.0;     // ours: gain by which a spell must beat a step

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
        still += std::abs(own.size - shift.size) > kHolds * own.size_se && std::abs(own.size) < 0.5 * std::abs(shift.size)
                     ? 1U
                     : 0U;
    }
    return still > 0 ? PointsAt::nothing : moved >= 2 ? PointsAt::something_shared : PointsAt::cannot_tell;
}

std::optional<FoundShift> best_of(const Search& search, std::span<const BathSpeed> baths,
                                  const std::vector<std::size_t>& lots) {
    std::optional<FoundShift> best;
    double best_gain = 0.0;
    const auto consider = [&](FoundShift shift, double price) {
        std::size_t in = 0;
        std::size_t out = 0;
        for (std::size_t i = 0; i < baths.size(); ++i) {
            if (shift.points_at != PointsAt::one_lot || baths[i].lot == shift.lot) {
                (inside(shift, i) ? in : out) += 1U;
            }
        }
        if (in < kFewestAfter || out < kFewestAfter || !search.measure(shift) || shift.score - price <= best_gain) {
            return;
        }
        if (shift.points_at != PointsAt::one_lot) {
            shift.points_at = shared_by(search, shift, lots);
            if (shift.points_at == PointsAt::nothing) {
                return;
            }
        }
        best_gain = shift.score - price;
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
            shift.slide = false;
            consider(shift, 0.0);
            shift.slide = true;
            consider(shift, kSlideBeats);
            shift.slide = false;
            for (shift.end = shift.first + kFewestAfter; shift.end < n; ++shift.end) {
                consider(shift, kSpellBeats);
            }
        }
    }
    return best && best_gain >= kNextShiftScore && std::abs(best->size) >= kLeastShift ? best : std::nullopt;
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
    Search search(baths, scatter);
    while (found.size() < kMostShifts) {
        auto best = best_of(search, baths, lots);
        if (!best) {
            break;
        }
        if (lots.size() == 1) {
            best->points_at = PointsAt::cannot_tell;
        }
        search.take(*best);
        found.push_back(std::move(*best));
    }
    // Together: each measured beside all the others.
    for (std::size_t i = 0; i < found.size(); ++i) {
        Search beside(baths, scatter);
        for (std::size_t k = 0; k < found.size(); ++k) {
            if (k != i) {
                beside.take(found[k]);
            }
        }
        FoundShift& shift = found[i];
        beside.measure(shift);
        if (shift.slide && shift.size < 0.0) {
            shift.half_life_days = std::log(2.0) * (last_day(baths, shift) - baths[shift.first - 1].day) / -shift.size;
        }
        for (std::size_t kind = 0; kind < baths.front().other.size(); ++kind) {
            const std::size_t level = baths[shift.first].other[kind];
            bool own = true;
            for (std::size_t k = 0; k < baths.size(); ++k) {
                own = own && (baths[k].other[kind] == level) == inside(shift, k);
            }
            if (own) {
                shift.changed_then.push_back(kind);
            }
        }
    }
    return found;
}

}  // namespace tonebath::science
