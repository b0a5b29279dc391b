// How a reader ended whose library jumps back on a fault: jpeg and png.
#pragma once

#include "picture/read.hpp"

#include <cstdint>
#include <utility>

namespace tonebath::picture {

enum class Ended : std::uint8_t { done, damaged, stopped, refused };

// `work` holds source, raw, refusal, and the library's words of damage.
template <class Work>
[[nodiscard]] Result<Raw> answer_of(Ended ended, Work& work) {
    switch (ended) {
        case Ended::done: return std::move(work.raw);
        case Ended::stopped: return stopped(*work.source);
        case Ended::refused: return *work.refusal;
        case Ended::damaged: break;
    }
    return damaged(*work.source, work.words);
}

}  // namespace tonebath::picture
