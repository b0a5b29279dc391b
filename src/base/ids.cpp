#include "base/ids.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>

namespace tonebath {

namespace {

constexpr std::int64_t kLargestMs = (std::int64_t{1} << 48) - 1;
constexpr unsigned kLargestCounter = 0xFFF;

std::mt19937_64 from_system() {
    std::random_device device;
    std::array<std::uint32_t, 16> words{};
    std::generate(words.begin(), words.end(), [&device] { return static_cast<std::uint32_t>(device()); });
    std::seed_seq seed(words.begin(), words.end());
    return std::mt19937_64(seed);
}

}  // namespace

bool is_uuid7(std::string_view text) {
    if (text.size() != 36) {
        return false;
    }
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        const bool dash = i == 8 || i == 13 || i == 18 || i == 23;
        const bool hexadecimal = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f');
        if (dash ? c != '-' : !hexadecimal) {
            return false;
        }
    }
    const bool variant_10 = text[19] == '8' || text[19] == '9' || text[19] == 'a' || text[19] == 'b';
    return text[14] == '7' && variant_10;
}

IdSource::IdSource() : random_(from_system()) {}

IdSource::IdSource(std::uint64_t seed) : random_(seed) {}

// RFC 9562, 5.7: unix_ts_ms (48 bits), ver (4), rand_a (12), var (2), rand_b (62). rand_a is the counter; it starts
// each millisecond at a random value with the top bit clear, so that it has room to rise (6.2, counter rollover).
std::string IdSource::next_text(const Stamp& at) {
    constexpr unsigned kStartMask = kLargestCounter >> 1U;
    const std::int64_t ms = std::clamp<std::int64_t>(at.utc_ms, 0, kLargestMs);
    if (ms > last_ms_) {
        last_ms_ = ms;
        counter_ = static_cast<unsigned>(random_()) & kStartMask;
    } else if (counter_ < kLargestCounter) {
        ++counter_;
    } else {
        // Full: run ahead of the clock by a millisecond rather than wait for it.
        ++last_ms_;
        counter_ = static_cast<unsigned>(random_()) & kStartMask;
    }
    const std::uint64_t random = random_();
    const auto time = static_cast<std::uint64_t>(last_ms_);
    return fmt::format("{:08x}-{:04x}-7{:03x}-{:04x}-{:012x}", time >> 16U, time & 0xFFFFU, counter_,
                       0x8000U | ((random >> 48U) & 0x3FFFU), random & 0xFFFF'FFFF'FFFFU);
}

}  // namespace tonebath
