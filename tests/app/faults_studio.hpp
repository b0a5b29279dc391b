// Demo studios with faults of one's choice, opened and learned from.
#pragma once

#include "demo_fixture.hpp"

#include "app/demo/demo.hpp"
#include "app/explain_records.hpp"
#include "app/learning.hpp"
#include "app/studio.hpp"
#include "base/clock.hpp"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>

namespace tonebath::demo_test {

// How it is learned from: as the program does, which weighs two laws of fade and two shapes of scatter by fits of all, or
// with fading by a constant share and normal scatter alone, in a quarter of the time; or not at all.
enum class FitOf { all_laws, plain_law, nothing };

struct FaultsStudio {
    explicit FaultsStudio(const app::DemoFaults& faults = {}, std::uint64_t seed = 20251001,
                          FitOf fit = FitOf::all_laws);
    ~FaultsStudio();
    FaultsStudio(const FaultsStudio&) = delete;
    FaultsStudio& operator=(const FaultsStudio&) = delete;

    [[nodiscard]] Id<Piece> piece(const std::string& number) const { return piece_of(studio->log(), number).id; }
    // The part's answer; fails the test when there is none.
    [[nodiscard]] app::WhyAnswer why(const std::string& number, const std::string& part) const;
    [[nodiscard]] app::Drift drift() const { return app::drift(*studio, *learned); }

    [[nodiscard]] const app::ExplainBook& book() const;

    SystemClock clock;
    std::filesystem::path file;
    std::unique_ptr<app::Studio> studio;
    std::shared_ptr<const app::Learned> learned;

private:
    mutable std::optional<app::ExplainBook> book_;  // of `learned` when first asked
};

}  // namespace tonebath::demo_test
