#include "science/promise_record.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::science {

namespace {

constexpr double kLight = 0.9;
constexpr double kDark = 0.1;

}  // namespace

double place_of_chance(std::span<const double> reached, double chance) {
    double before = 1.0;
    for (std::size_t j = 0; j < reached.size(); ++j) {
        if (reached[j] < chance) {
            return static_cast<double>(j) + (before > reached[j] ? std::clamp((before - chance) / (before - reached[j]), 0.0, 0.999) : 0.0);
        }
        before = reached[j];
    }
    return static_cast<double>(reached.size()) + 0.999;
}

std::optional<PromiseMark> mark_promise(const Promise& promise) {
    const std::size_t last = promise.reached.size();
    if (last == 0 || promise.least > promise.most || promise.most > last) {
        return std::nullopt;
    }
    double before = 1.0;
    for (const double chance : promise.reached) {
        if (!(chance >= 0.0) || chance > before + 1e-12) {
            return std::nullopt;
        }
        before = chance;
    }
    // Chance of having got to a position, and past it.
    const auto got_to = [&](std::size_t position) { return position == 0 ? 1.0 : promise.reached[position - 1]; };
    const auto past = [&](std::size_t position) { return position == last ? 0.0 : promise.reached[position]; };
    PromiseMark mark;
    mark.from = static_cast<std::size_t>(place_of_chance(promise.reached, kLight));
    mark.to = static_cast<std::size_t>(place_of_chance(promise.reached, kDark));
    mark.promised = got_to(mark.from) - past(mark.to);
    if (promise.least >= mark.from && promise.most <= mark.to) {
        mark.inside = true;
    } else if (promise.most < mark.from || promise.least > mark.to) {
        mark.inside = false;
    }
    mark.pit_low = 1.0 - got_to(promise.least);
    mark.pit_high = 1.0 - past(promise.most);
    return mark;
}

PromiseRecord promise_record(std::span<const PromiseMark> marks) {
    PromiseRecord record;
    for (const PromiseMark& mark : marks) {
        if (!mark.inside) {
            continue;
        }
        ++record.seen;
        record.inside += *mark.inside ? 1 : 0;
        record.promised += mark.promised;
        const double width = std::max(mark.pit_high - mark.pit_low, 1e-12);
        for (std::size_t bin = 0; bin < record.pit.size(); ++bin) {
            const double low = static_cast<double>(bin) / static_cast<double>(record.pit.size());
            const double high = static_cast<double>(bin + 1) / static_cast<double>(record.pit.size());
            record.pit[bin] += std::clamp((high - mark.pit_low) / width, 0.0, 1.0) - std::clamp((low - mark.pit_low) / width, 0.0, 1.0);
        }
    }
    if (record.seen > 0) {
        record.promised /= static_cast<double>(record.seen);
        for (double& share : record.pit) {
            share /= static_cast<double>(record.seen);
        }
    }
    record.interval = wilson_interval(record.inside, record.seen);
    if (record.seen >= kFewestPromises) {
        record.verdict = record.promised > record.interval.upper   ? PromiseVerdict::too_narrow
                         : record.promised < record.interval.lower ? PromiseVerdict::too_wide
                                                                   : PromiseVerdict::as_promised;
    }
    return record;
}

}  // namespace tonebath::science
