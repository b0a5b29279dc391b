#include "faults_studio.hpp"

#include "app/learning_input.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cmath>

#include <unistd.h>

namespace tonebath::demo_test {

FaultsStudio::FaultsStudio(const app::DemoFaults& faults, std::uint64_t seed, FitOf fit) {
    const std::string data = std::string(TONEBATH_SOURCE_DIR) + "/data";
    static int made = 0;
    file = std::filesystem::temp_directory_path() / fmt::format("faults-{}-{}.tonebath", ::getpid(), ++made);
    const auto log = store::Log::in_memory();
    REQUIRE(app::make_demo(*log, {.data = data, .seed = seed, .faults = faults}));
    store::run(*log, "VACUUM INTO ?1", {file.string()});
    auto opened = app::Studio::open({.log = file, .data = data}, clock);
    REQUIRE(opened);
    studio = std::move(opened).value();
    if (fit == FitOf::all_laws) {
        learned = app::learn(*studio);
        return;
    }
    if (fit == FitOf::nothing) {
        return;
    }
    auto plain = std::make_shared<app::Learned>();
    app::read_input(*studio, *plain);
    const science::TonePriors& priors = plain->priors;
    const science::ToneStart start{.warm = {},
                                   .centre = {priors.ea_kj_per_mol.mean, priors.strength_exponent.mean,
                                              std::log(priors.still.median), std::log(priors.brisk.median),
                                              {priors.fade_open_hot_per_h.median, priors.fade_covered_per_h.median}}};
    plain->fit = science::fit_tones(plain->input, plain->priors, &start);
    learned = std::move(plain);
}

FaultsStudio::~FaultsStudio() {
    studio.reset();
    for (const char* end : {"", "-wal", "-shm"}) {
        std::error_code failed;
        std::filesystem::remove(file.string() + end, failed);
    }
}

const app::ExplainBook& FaultsStudio::book() const {
    if (!book_) {
        book_ = app::explain_book(*studio, *learned);
    }
    return *book_;
}

app::WhyAnswer FaultsStudio::why(const std::string& number, const std::string& part) const {
    for (const app::WhyAnswer& answer : app::why_different(book(), *learned, piece(number))) {
        if (answer.part == part) {
            return answer;
        }
    }
    FAIL("no answer for " << number << " " << part);
    return {};
}

}  // namespace tonebath::demo_test
