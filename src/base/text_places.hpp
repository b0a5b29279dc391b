// Texts numbered in the order in which they first come, and found again by their number: for ids by the hundred thousand,
// where a map of strings would make and follow a block of memory for each.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath {

class TextPlaces {
public:
    static constexpr std::uint32_t kNone = 0xFFFF'FFFF;

    // The place of this text, from 0; a new text takes the next one. At most 4 GB of text.
    std::uint32_t place_of(std::string_view text) {
        if (4 * (ends_.size() + 1) > 3 * slots_.size()) {
            grow();
        }
        const std::uint32_t hash = hash_of(text);
        const std::size_t slot = slot_of(text, hash);
        if (slots_[slot].place == kNone) {
            slots_[slot] = {.hash = hash, .place = static_cast<std::uint32_t>(ends_.size())};
            all_ += text;
            ends_.push_back(static_cast<std::uint32_t>(all_.size()));
        }
        return slots_[slot].place;
    }
    // kNone where it never came.
    [[nodiscard]] std::uint32_t find(std::string_view text) const { return slots_.empty() ? kNone : slots_[slot_of(text, hash_of(text))].place; }
    // Of a place that was given. It stands until another text comes.
    [[nodiscard]] std::string_view text(std::uint32_t place) const {
        const std::size_t begin = place == 0 ? 0 : ends_[place - 1];
        return std::string_view(all_).substr(begin, ends_[place] - begin);
    }
    [[nodiscard]] std::size_t size() const { return ends_.size(); }

private:
    struct Slot {
        std::uint32_t hash = 0;
        std::uint32_t place = kNone;
    };

    static std::uint32_t hash_of(std::string_view text) { return static_cast<std::uint32_t>(std::hash<std::string_view>{}(text)); }

    // Where it stands, or the free slot where it would.
    [[nodiscard]] std::size_t slot_of(std::string_view wanted, std::uint32_t hash) const {
        std::size_t slot = hash & (slots_.size() - 1);
        while (slots_[slot].place != kNone && (slots_[slot].hash != hash || text(slots_[slot].place) != wanted)) {
            slot = (slot + 1) & (slots_.size() - 1);
        }
        return slot;
    }

    void grow() {
        std::vector<Slot> before(slots_.empty() ? 64 : 2 * slots_.size());
        before.swap(slots_);
        for (const Slot& one : before) {
            if (one.place != kNone) {
                std::size_t slot = one.hash & (slots_.size() - 1);
                while (slots_[slot].place != kNone) {
                    slot = (slot + 1) & (slots_.size() - 1);
                }
                slots_[slot] = one;
            }
        }
    }

    std::vector<Slot> slots_;          // a power of two of them, at most three quarters taken
    std::string all_;                  // one text after the other
    std::vector<std::uint32_t> ends_;  // by place
};

}  // namespace tonebath
