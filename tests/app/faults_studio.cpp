#include "faults_studio.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <unistd.h>

namespace tonebath::demo_test {

FaultsStudio::FaultsStudio(const app::DemoFaults& faults, std::uint64_t seed) {
    const std::string data = std::string(TONEBATH_SOURCE_DIR) + "/data";
    static int made = 0;
    file = std::filesystem::temp_directory_path() / fmt::format("faults-{}-{}.tonebath", ::getpid(), ++made);
    const auto log = store::Log::in_memory();
    REQUIRE(app::make_demo(*log, {.data = data, .seed = seed, .faults = faults}));
    store::run(*log, "VACUUM INTO ?1", {file.string()});
    auto opened = app::Studio::open({.log = file, .data = data}, clock);
    REQUIRE(opened);
    studio = std::move(opened).value();
    learned = app::learn(*studio);
}

FaultsStudio::~FaultsStudio() {
    studio.reset();
    for (const char* end : {"", "-wal", "-shm"}) {
        std::error_code failed;
        std::filesystem::remove(file.string() + end, failed);
    }
}

app::WhyAnswer FaultsStudio::why(const std::string& number, const std::string& part) const {
    for (const app::WhyAnswer& answer : app::why_different(*studio, *learned, piece(number))) {
        if (answer.part == part) {
            return answer;
        }
    }
    FAIL("no answer for " << number << " " << part);
    return {};
}

}  // namespace tonebath::demo_test
