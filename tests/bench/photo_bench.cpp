// Photographs: CIEDE2000 of ten million pairs beside lcms2's in the same run, and a photo from file to figure with the
// memory it took. Figures of docs/manual/photo.md.
#include "app/photo_tone.hpp"
#include "science/colour_difference.hpp"
#include "support/photo_scene.hpp"

#include <lcms2.h>
#include <sys/resource.h>

#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <random>
#include <vector>

using namespace tonebath;

namespace {

double seconds_of(const auto& work) {
    const auto from = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
}

double most_memory_mb() {
    rusage used{};
    getrusage(RUSAGE_SELF, &used);
    return static_cast<double>(used.ru_maxrss) / 1024.0;
}

void compare_differences() {
    constexpr std::size_t kPairs = 10'000'000;
    std::mt19937 random(1);
    std::uniform_real_distribution<double> light(0.0, 100.0), colour(-100.0, 100.0);
    std::vector<science::Lab> colours(100'001);
    for (science::Lab& one : colours) {
        one = {light(random), colour(random), colour(random)};
    }
    double ours = 0.0, theirs = 0.0, widest = 0.0;
    const double ours_s = seconds_of([&] {
        for (std::size_t i = 0; i < kPairs; ++i) {
            ours += science::delta_e2000(colours[i % 100'000], colours[i % 100'000 + 1]);
        }
    });
    const double theirs_s = seconds_of([&] {
        for (std::size_t i = 0; i < kPairs; ++i) {
            const science::Lab &a = colours[i % 100'000], &b = colours[i % 100'000 + 1];
            const cmsCIELab first{a.l, a.a, a.b}, second{b.l, b.a, b.b};
            theirs += cmsCIE2000DeltaE(&first, &second, 1.0, 1.0, 1.0);
        }
    });
    for (std::size_t i = 0; i < 100'000; ++i) {
        const science::Lab &a = colours[i], &b = colours[i + 1];
        const cmsCIELab first{a.l, a.a, a.b}, second{b.l, b.a, b.b};
        widest = std::max(widest, std::abs(science::delta_e2000(a, b) - cmsCIE2000DeltaE(&first, &second, 1.0, 1.0, 1.0)));
    }
    std::printf("CIEDE2000, %zu pairs: %.2f million a second here, %.2f by lcms2 in the same run; sums %.0f and %.0f, widest apart %.1e\n", kPairs,
                1e-6 * kPairs / ours_s, 1e-6 * kPairs / theirs_s, ours, theirs, widest);
}

void measure_photo_of(int width, int height) {
    const std::filesystem::path file = std::filesystem::temp_directory_path() / "tonebath_photo_bench.jpg";
    {
        test::TestImage image = test::ramp(width, height);
        const int side = width / 8;
        for (int y = side; y < 2 * side; ++y) {
            for (int x = side; x < 2 * side; ++x) {
                image.put(x, y, 30300, 30300, 30300);
                image.put(x + 2 * side, y, 26000, 20000, 15000);
            }
        }
        std::ofstream(file, std::ios::binary) << test::jpeg_of(image, {.exif = {}, .icc = test::display_p3_profile(), .xmp = {}, .jpeg_quality = 92});
    }
    const double side = width / 8.0;
    app::PhotoMarks marks;
    marks.card = picture::rectangle(1.1 * side, 1.1 * side, 0.8 * side, 0.8 * side);
    marks.areas = {picture::rectangle(3.1 * side, 1.1 * side, 0.8 * side, 0.8 * side)};
    bool read = false;
    const double before_mb = most_memory_mb();
    const double took_s = seconds_of([&] { read = app::measure_photo_file(file, marks).has_value(); });
    std::printf("%d x %d JPEG, %.1f MB, from file to figure: %.2f s, memory up to %.0f MB (%.0f before)%s\n", width, height,
                static_cast<double>(std::filesystem::file_size(file)) / 1e6, took_s, most_memory_mb(), before_mb, read ? "" : ", REFUSED");
    std::filesystem::remove(file);
}

}  // namespace

int main(int argc, char** argv) {
    // One photo a process, so that the memory is that of one: "photo_bench 4000 3000".
    if (argc == 3) {
        measure_photo_of(std::atoi(argv[1]), std::atoi(argv[2]));
    } else {
        compare_differences();
    }
    return 0;
}
