#include "store/piece_store.hpp"

#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::store {
namespace {

// Digits beyond 18 would not fit 64 bits; such a tail is part of the name, not a count.
constexpr std::size_t kMostDigits = 18;

std::string next_after(Log& log, std::string_view table, const std::string& prefix) {
    Query query(log,
                fmt::format("SELECT substr(number, length(?1) + 1) AS tail FROM {} WHERE number >= ?1 AND number < ?2 "
                            "AND tail <> '' AND length(tail) <= ?3 AND tail NOT GLOB '*[^0-9]*' "
                            "ORDER BY CAST(tail AS INTEGER) DESC, length(tail) DESC LIMIT 1",
                            table),
                {prefix, prefix + ":", static_cast<std::int64_t>(kMostDigits)});  // ':' follows '9'
    if (!query.next()) {
        return prefix + "1";
    }
    const std::string digits = query.text(0);
    return fmt::format("{}{:0{}}", prefix, std::stoll(digits) + 1, digits.size());
}

std::string next_after_newest(Log& log, std::string_view table) {
    std::string newest;
    {
        Query query(log, fmt::format("SELECT number FROM {} ORDER BY rowid DESC LIMIT 1", table));
        if (query.next()) {
            newest = query.text(0);
        }
    }
    std::size_t prefix = newest.size();
    while (prefix > 0 && newest.size() - prefix < kMostDigits && newest[prefix - 1] >= '0' &&
           newest[prefix - 1] <= '9') {
        --prefix;
    }
    return next_after(log, table, prefix == newest.size() && !newest.empty() ? newest + "-" : newest.substr(0, prefix));
}

}  // namespace

std::vector<Piece> pieces_of(Log& log, const Id<Batch>& batch) {
    return list<Piece>(log, "WHERE batch_id = ?1 ORDER BY rack, length(number), number", {batch.text});
}

std::vector<Part> parts_of(Log& log, const Id<Piece>& piece) {
    return list<Part>(log, "WHERE piece_id = ?1 ORDER BY name", {piece.text});
}

std::vector<Strip> strips_of(Log& log, const Id<Metal>& metal, std::string_view surface) {
    return list<Strip>(log, "WHERE metal_id = ?1 AND (?2 = '' OR surface = ?2) ORDER BY made_utc_ms DESC, id DESC",
                       {metal.text, std::string(surface)});
}

template <class Noun>
std::string next_number(Log& log, const std::string& prefix) {
    return next_after(log, Noun::kTable, prefix);
}

template <class Noun>
std::string next_number(Log& log) {
    return next_after_newest(log, Noun::kTable);
}

template std::string next_number<Lot>(Log&, const std::string&);
template std::string next_number<Vessel>(Log&, const std::string&);
template std::string next_number<Thermometer>(Log&, const std::string&);
template std::string next_number<Bath>(Log&, const std::string&);
template std::string next_number<Strip>(Log&, const std::string&);
template std::string next_number<Batch>(Log&, const std::string&);
template std::string next_number<Order>(Log&, const std::string&);
template std::string next_number<Piece>(Log&, const std::string&);
template std::string next_number<Stone>(Log&, const std::string&);
template std::string next_number<Lot>(Log&);
template std::string next_number<Vessel>(Log&);
template std::string next_number<Thermometer>(Log&);
template std::string next_number<Bath>(Log&);
template std::string next_number<Strip>(Log&);
template std::string next_number<Batch>(Log&);
template std::string next_number<Order>(Log&);
template std::string next_number<Piece>(Log&);
template std::string next_number<Stone>(Log&);
template std::string next_number<Bottle>(Log&);
template std::string next_number<Coating>(Log&);

}  // namespace tonebath::store
