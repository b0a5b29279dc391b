// The rows of a mixed regression, flat in memory so that 100,000 of them stay quick.
#pragma once

#include "science/noise_site.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace tonebath::science {

// One entry of a linear form: value * coefficient.
struct Term {
    std::size_t coef = 0;
    double value = 0.0;
};

// A limit of a reading: a number, or a number plus a coefficient (a threshold that is itself learned).
struct RowLimit {
    double value = 0.0;
    std::optional<std::size_t> coef = std::nullopt;
};

// One reading of a response  y = sum of terms + group offset + noise.
//   exact     y = lower          interval  lower <= y < upper
//   at_least  y >= lower         at_most   y < upper
struct MixedRow {
    std::span<const Term> terms;
    std::optional<std::size_t> group = std::nullopt;
    RowKind kind = RowKind::exact;
    RowLimit lower = {};
    RowLimit upper = {};
    bool carries_scatter = true;  // the learned residual scatter is part of the noise
    double own_var = 0.0;         // known extra variance of this row; a row without scatter needs it
};

// As stored: f = terms + group offset + offset, against the lower end (interval, exact, at_least) or the upper end
// (at_most); width = width + coef[width_up] - coef[width_low] for an interval.
struct StoredRow {
    std::size_t first_term = 0;
    std::uint32_t term_count = 0;
    std::int32_t group = -1;
    std::int32_t width_up = -1;
    std::int32_t width_low = -1;
    RowKind kind = RowKind::exact;
    bool carries_scatter = true;
    double offset = 0.0;
    double width = 0.0;
    double own_var = 0.0;
};

class MixedData {
public:
    MixedData(std::size_t coefs, std::size_t groups) : coefs_(coefs), groups_(groups) {}

    // Faults of the caller (coefficient or group out of range, not finite, interval not above zero wide, no noise at all
    // on an exact row) stop the program: rows come from code, not from people.
    void add(const MixedRow& row);

    [[nodiscard]] std::size_t coefs() const { return coefs_; }
    [[nodiscard]] std::size_t groups() const { return groups_; }
    [[nodiscard]] std::size_t size() const { return rows_.size(); }
    [[nodiscard]] const std::vector<StoredRow>& rows() const { return rows_; }
    [[nodiscard]] std::span<const Term> terms(const StoredRow& row) const {
        return std::span(terms_).subspan(row.first_term, row.term_count);
    }

private:
    std::size_t coefs_;
    std::size_t groups_;
    std::vector<StoredRow> rows_;
    std::vector<Term> terms_;
};

}  // namespace tonebath::science
