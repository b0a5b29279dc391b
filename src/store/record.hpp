// Reading and writing one noun, from the column list that its model type carries. SQL text is built once per type.
#pragma once

#include "model/nouns.hpp"
#include "store/log.hpp"
#include "store/query.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tonebath::store {

// Defined for every noun of the model (explicit instantiations in record.cpp); called through the functions below.
template <class Noun>
struct Records {
    static void insert(Log& log, const Noun& record);
    static void update(Log& log, const Noun& record);
    static void remove(Log& log, const Id<Noun>& id);
    static std::optional<Noun> find(Log& log, const Id<Noun>& id);
    static std::vector<Noun> list(Log& log, const std::string& tail, const std::vector<Bound>& values);
    static const std::vector<std::string>& columns();
};

// Writing needs an open Change (TB_CHECK). Throws StoreError, with nothing written, for a number that is not finite, a
// text that is not UTF-8, and whatever the table's own rules do not take (StoreError::Kind::rule).
// Inserting many rows in one Change reuses one prepared statement.
template <class Noun>
void insert(Log& log, const Noun& record) {
    Records<Noun>::insert(log, record);
}
// Writes all columns, by id. Throws StoreError when the record is gone (another program took it back).
template <class Noun>
void update(Log& log, const Noun& record) {
    Records<Noun>::update(log, record);
}
// Removes the record; the change log keeps all of it. Throws StoreError where others refer to it, and for records that
// are never removed (checks, answers, disposals, presses).
template <class Noun>
void remove(Log& log, const Id<Noun>& id) {
    Records<Noun>::remove(log, id);
}
template <class Noun>
[[nodiscard]] std::optional<Noun> find(Log& log, const Id<Noun>& id) {
    return Records<Noun>::find(log, id);
}
// `tail` follows "SELECT … FROM table ": static text such as "WHERE number = ?1 ORDER BY made_utc_ms". The noun's Stamp
// column "made" is stored as made_utc_ms and made_offset_min, an optional Stamp likewise (both NULL when unknown).
template <class Noun>
[[nodiscard]] std::vector<Noun> list(Log& log, const std::string& tail = "", const std::vector<Bound>& values = {}) {
    return Records<Noun>::list(log, tail, values);
}
// Names of the noun's columns as stored, in order.
template <class Noun>
[[nodiscard]] const std::vector<std::string>& columns() {
    return Records<Noun>::columns();
}

}  // namespace tonebath::store
