// Identity of a record: a UUID version 7 (RFC 9562), so that two benches' logs can be joined and ids sort by age.
#pragma once

#include "base/clock.hpp"

#include <compare>
#include <cstdint>
#include <random>
#include <string>
#include <string_view>

namespace tonebath {

// 36 characters, lower case. Empty means "none yet".
template <class Noun>
struct Id {
    std::string text;

    [[nodiscard]] bool empty() const { return text.empty(); }
    friend bool operator==(const Id&, const Id&) = default;
    friend std::strong_ordering operator<=>(const Id&, const Id&) = default;
};

// True for 8-4-4-4-12 hexadecimal digits with version 7 and variant 10. Lower case only: one id has one spelling.
[[nodiscard]] bool is_uuid7(std::string_view text);

// Makes ids in rising order, also within one millisecond and when the wall clock is set back (RFC 9562, 6.2 method 1:
// a 12-bit counter in rand_a). Two sources with the same seed and clock make the same ids: the demo relies on it.
// A moment before 1970 counts as 1970. A copy would repeat the ids of the original: keep one source.
class IdSource {
public:
    IdSource();                             // seeded from the system
    explicit IdSource(std::uint64_t seed);  // repeatable
    template <class Noun>
    [[nodiscard]] Id<Noun> next(const Stamp& at) {
        return Id<Noun>{next_text(at)};
    }

private:
    [[nodiscard]] std::string next_text(const Stamp& at);
    std::mt19937_64 random_;
    std::int64_t last_ms_ = 0;
    unsigned counter_ = 0;
};

}  // namespace tonebath
