// One door for libFuzzer (LLVM documentation, "libFuzzer – a library for coverage-guided fuzz testing"): TONEBATH_DOOR names it.
#include "fuzz/doors.hpp"

#include <unistd.h>

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <algorithm>
#include <fstream>
#include <string_view>

namespace {

namespace fs = std::filesystem;

// A log is fed as changes to a small one, so that most of it stays a log: two bytes of place, one of length, the bytes.
[[maybe_unused]] std::string changed(std::string log, std::string_view input) {
    while (input.size() > 3) {
        const auto byte = [&input](std::size_t i) { return static_cast<std::size_t>(static_cast<unsigned char>(input[i])); };
        const std::size_t place = 256 * byte(0) + byte(1), length = 1 + byte(2) % 16;
        input.remove_prefix(3);
        for (std::size_t i = 0; i < length && i < input.size() && place + i < log.size(); ++i) {
            log[place + i] = input[i];
        }
        input.remove_prefix(std::min(length, input.size()));
    }
    return log;
}

struct Place {
    fs::path folder = fs::temp_directory_path() / ("tonebath-door-" + std::to_string(getpid()));
    Place() { fs::create_directories(folder); }
    ~Place() {
        std::error_code ignored;
        fs::remove_all(folder, ignored);
    }
};

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const Place place;
    std::string bytes(reinterpret_cast<const char*>(data), size);
    fs::path file = place.folder / "input";
    if constexpr (std::string_view(TONEBATH_DOOR_NAME) == "log") {
        file = place.folder / "input.tonebath";
        static const std::string log = tonebath::fuzz::small_log(place.folder / "seed.tonebath");
        bytes = changed(log, bytes);
    }
    std::ofstream(file, std::ios::binary) << bytes;
    tonebath::fuzz::TONEBATH_DOOR(file);
    return 0;
}
