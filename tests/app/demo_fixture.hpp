// The demo studio, made once for all tests, and its truth as kept apart from it.
#pragma once

#include "app/course.hpp"
#include "model/nouns.hpp"
#include "science/dose.hpp"
#include "store/log.hpp"
#include "store/query.hpp"

#include <nlohmann/json.hpp>

#include <memory>
#include <string>
#include <vector>

namespace tonebath::demo_test {

// A demo of its own, for tests that change it.
[[nodiscard]] std::unique_ptr<store::Log> fresh_demo(std::uint64_t seed = 20251001);
// The one that all others read.
[[nodiscard]] store::Log& demo();

[[nodiscard]] const nlohmann::json& truth();
[[nodiscard]] const nlohmann::json& planted(const std::string& id);
[[nodiscard]] std::vector<std::string> texts(const nlohmann::json& list);

[[nodiscard]] std::int64_t count(store::Log& log, const std::string& sql, const std::vector<store::Bound>& values = {});
[[nodiscard]] double real(store::Log& log, const std::string& sql, const std::vector<store::Bound>& values = {});

// The law that the demo was made by, in the program's own terms.
[[nodiscard]] science::RateLaw made_by();
[[nodiscard]] app::BathHistory history_of(store::Log& log, const std::string& bath_number);
[[nodiscard]] Piece piece_of(store::Log& log, const std::string& number);
[[nodiscard]] Part part_of(store::Log& log, const Piece& piece, const std::string& name);
// Dips that wetted this part, its own and the whole piece's, in time.
[[nodiscard]] std::vector<Dip> dips_on(store::Log& log, const Piece& piece, const Part& part);
[[nodiscard]] double dose_on(store::Log& log, const Piece& piece, const Part& part);
// The last measured colour of a part (or of its piece, where that has one part) before sealing.
[[nodiscard]] Judgement measured_of(store::Log& log, const Piece& piece, const Part& part);
[[nodiscard]] std::vector<Piece> pieces_of_batch(store::Log& log, const std::string& batch);
[[nodiscard]] double mean(const std::vector<double>& values);

// Log dose of the sterling strips of one bath that were watched, less the log dose at which their tone truly begins:
// minus the log of how fast the bath looks.
[[nodiscard]] std::vector<double> slowness_of(store::Log& log, const std::string& bath_number);

}  // namespace tonebath::demo_test
