// Reading and writing one noun, from the column list that its model type carries. SQL text is built once per type.
#pragma once

#include "model/bath.hpp"
#include "store/log.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace tonebath::store {

// A value on its way into a statement.
using Bound = std::variant<std::nullptr_t, std::int64_t, double, std::string>;

// All five are defined for every noun of the model (explicit instantiations in record.cpp); a Change must be open for writes.
template <class Noun>
void insert(Log& log, const Noun& record);
template <class Noun>
void update(Log& log, const Noun& record);  // all columns, by id; TB_CHECK that the record exists
template <class Noun>
[[nodiscard]] std::optional<Noun> find(Log& log, const Id<Noun>& id);
// `tail` follows "SELECT … FROM table ": static text such as "WHERE number = ?1 ORDER BY made_utc_ms". The noun's Stamp
// column "made" is stored as made_utc_ms and made_offset_min, an optional Stamp likewise (both NULL when unknown).
template <class Noun>
[[nodiscard]] std::vector<Noun> list(Log& log, const std::string& tail = "", const std::vector<Bound>& values = {});
// Names of the noun's columns as stored, in order.
template <class Noun>
[[nodiscard]] const std::vector<std::string>& columns();

}  // namespace tonebath::store
