#include "science/mixed_data.hpp"

#include "base/check.hpp"

#include <cmath>

namespace tonebath::science {

void MixedData::add(const MixedRow& row) {
    StoredRow stored;
    stored.first_term = terms_.size();
    stored.kind = row.kind;
    stored.carries_scatter = row.carries_scatter;
    stored.own_var = row.own_var;
    TB_CHECK(std::isfinite(row.own_var) && row.own_var >= 0.0);
    TB_CHECK(row.kind != RowKind::exact || row.carries_scatter || row.own_var > 0.0);
    for (const Term& term : row.terms) {
        TB_CHECK(term.coef < coefs_ && std::isfinite(term.value));
        terms_.push_back(term);
    }
    if (row.group) {
        TB_CHECK(*row.group < groups_);
        stored.group = static_cast<std::int32_t>(*row.group);
    }
    const RowLimit& against = row.kind == RowKind::at_most ? row.upper : row.lower;
    TB_CHECK(std::isfinite(against.value));
    stored.offset = -against.value;
    if (against.coef) {
        TB_CHECK(*against.coef < coefs_);
        terms_.push_back({*against.coef, -1.0});
    }
    if (row.kind == RowKind::interval) {
        stored.width = row.upper.value - row.lower.value;
        TB_CHECK(std::isfinite(stored.width));
        if (row.lower.coef || row.upper.coef) {
            TB_CHECK(row.lower.coef && row.upper.coef && *row.upper.coef < coefs_);
            stored.width_low = static_cast<std::int32_t>(*row.lower.coef);
            stored.width_up = static_cast<std::int32_t>(*row.upper.coef);
        } else {
            TB_CHECK(stored.width > 0.0);
        }
    }
    stored.term_count = static_cast<std::uint32_t>(terms_.size() - stored.first_term);
    rows_.push_back(stored);
}

}  // namespace tonebath::science
