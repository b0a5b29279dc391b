// Words of the bench: what stands on the key, and what a lane's form promises.
#pragma once

#include "app/form.hpp"
#include "app/views/bench_view.hpp"

#include <string>

namespace tonebath::window {

// What a lane is called aloud: "L-131", "strip 2".
[[nodiscard]] std::string lane_name(const app::BenchLane& lane);
// On its disc: the seat in a bath of a class, else the lane's number.
[[nodiscard]] std::string lane_disc(const app::BenchLane& lane);
// "Drop L-131 in", "Lift out L-131, into the rinse", "L-131 is rinsed".
[[nodiscard]] std::string key_words(BenchAct act, const app::BenchLane& lane);
// The same where the key is short, with its lane: "Lift L-131 out", "Drop strip 2 in".
[[nodiscard]] std::string lane_key_words(BenchAct act, const app::BenchLane& lane);
// What comes after: "out after about 43 s", "then rinse 30 s", "then judge it".
[[nodiscard]] std::string then_words(BenchAct act, const app::BenchLane& lane, double rinse_s);
// Marks a dip whose seconds the wall clock decided, because the machine was restarted while it was in; else empty.
[[nodiscard]] std::string gap_words(const app::BenchLane& lane, const BootTime& boot);
// "23 s", "2:05", "+4 s" when late.
[[nodiscard]] std::string clock_words(double seconds);
// Writes what was promised into the form of a drop, so that the program can grade itself.
void add_promise(app::Form& form, const app::BenchLane& lane);

}  // namespace tonebath::window
