// What each rule of a photograph says on screen.
#pragma once

#include "app/photo_tone.hpp"

namespace tonebath::app {

// "3 % of the card is at the top of its range … Take it darker." `extra` is what the file says itself (signs of editing).
[[nodiscard]] PhotoWord photo_word(const science::PhotoFinding& finding, const std::string& extra = {});

}  // namespace tonebath::app
