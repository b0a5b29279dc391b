// Cards and sheets that go out of the studio or hang in it: an order again, a class's hand-out, what a buyer gets with a
// piece, the sign at the door, a scale with the studio's own strips.
#pragma once

#include "app/learning.hpp"
#include "app/repeat.hpp"
#include "report/report.hpp"

#include <string>

namespace tonebath::app {

class Studio;

// Today's time with its range, the strips to dip first, what is no longer as it was, what it is held against. Refusals: those
// of repeat_order.
[[nodiscard]] Result<report::Report> repeat_card(Studio& studio, const Learned& learned, const RepeatAsk& ask);

// For the seats of a class: the bath, what it never meets, the tone words in order, what holds a dip back, what to do in a
// splash, how to keep the piece. No seat, name or initials stand on it. `number` empty: the class that goes on, or the next.
// Refusals: "class.none_yet", "class.unknown", those of the emergency pages.
[[nodiscard]] Result<report::Report> class_hand_out(Studio& studio, const std::string& number);

// From what was done to the piece and what it is made of: metals and tone, the finish, the seal, stones and what is noted
// against them. Nothing of the customer. Refusals: those of resolve(), "care.not_finished" (nothing was dipped).
[[nodiscard]] Result<report::Report> care_card(Studio& studio, const std::string& piece);

// At the door while a bath stands open: what it is, who may come in, whom to call. Refusals: those of resolve(),
// "door.no_bath" (none in use), those of the emergency pages.
[[nodiscard]] Result<report::Report> door_sign(Studio& studio, const std::string& bath);

// A scale with the numbers, baths and seconds of the strips that show each tone; none where nothing was dipped to it. Refusals:
// those of resolve().
[[nodiscard]] Result<report::Report> tone_card(Studio& studio, const std::string& scale);

}  // namespace tonebath::app
