// Prints how long the parts that a person waits for take on the demo studio: for the record, no test. Run by
// tests/scripts/measure.sh.
#include "app/bench.hpp"
#include "app/demo/demo.hpp"
#include "app/learned.hpp"
#include "app/learning.hpp"
#include "app/plan.hpp"
#include "app/studio.hpp"
#include "app/views/baths_view.hpp"
#include "app/views/bench_view.hpp"
#include "app/views/pieces_view.hpp"
#include "app/views/today_view.hpp"
#include "app/views/tones_view.hpp"
#include "store/log.hpp"
#include "store/record.hpp"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <string>
#include <vector>

using namespace tonebath;

namespace {

// Median and longest of `times` runs, ms.
template <class Work>
void timed(const char* what, int times, const Work& work) {
    std::vector<double> took;
    for (int i = 0; i < times; ++i) {
        const auto began = std::chrono::steady_clock::now();
        work();
        took.push_back(std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - began).count());
    }
    std::sort(took.begin(), took.end());
    std::printf("%-34s %9.1f ms, longest %9.1f of %d\n", what, took[took.size() / 2], took.back(), times);
}

int measure(const std::filesystem::path& file, const std::filesystem::path& data) {
    timed("demo studio written", 1, [&] {
        if (const auto done = app::write_demo(file, data); !done) {
            std::fprintf(stderr, "%s\n", done.error().text().c_str());
        }
    });
    app::StudioOptions options;
    options.log = file;
    options.data = data;
    const SystemClock clock;
    std::unique_ptr<app::Studio> studio;
    timed("log opened", 1, [&] {
        auto opened = app::Studio::open(options, clock);
        if (opened) {
            studio = std::move(opened).value();
        } else {
            std::fprintf(stderr, "%s\n", opened.error().text().c_str());
        }
    });
    if (!studio) {
        return 1;
    }
    std::printf("%-34s %9.1f MB\n", "size of the log", static_cast<double>(std::filesystem::file_size(file)) / 1e6);
    const auto pieces = store::list<Piece>(studio->log());
    std::printf("%-34s %zu baths, %zu strips, %zu pieces, %zu dips, %zu judgements\n", "it holds", store::list<Bath>(studio->log()).size(),
                store::list<Strip>(studio->log()).size(), pieces.size(), store::list<Dip>(studio->log()).size(), store::list<Judgement>(studio->log()).size());
    std::shared_ptr<const app::Learned> learned;
    timed("learned from all of it", 5, [&] { learned = app::learn(*studio); });
    std::printf("%-34s %9zu\n", "records used", app::records_used(*learned));
    const app::TonesView tones = app::tones_view(*studio, learned, {});
    const auto baths = app::baths_list(*studio).baths;
    app::PlanRequest asked;
    asked.bath_id = baths.front().id;
    asked.scale_id = {tones.scale};
    for (const app::ScaleView& scale : tones.scales) {
        if (scale.id.text == tones.scale) {
            asked.tone_id = scale.tones[static_cast<std::size_t>(std::max(1, tones.aim))].id;
        }
    }
    bool told = false;
    timed("one plan", 21, [&] { told = app::plan(*studio, *learned, asked).out_s.has_value(); });
    std::printf("%-34s %s\n", "it gives a time", told ? "yes" : "no");
    timed("page Today", 11, [&] { static_cast<void>(app::today_view(*studio, learned)); });
    timed("page Baths, list", 11, [&] { static_cast<void>(app::baths_list(*studio)); });
    timed("page Baths, one bath", 11, [&] { static_cast<void>(app::bath_portrait(*studio, baths.front().id, app::laws_of(*learned))); });
    timed("page Bench", 11, [&] { static_cast<void>(app::bench_view(*studio, learned)); });
    timed("page Pieces, list", 11, [&] { static_cast<void>(app::piece_list(*studio, "")); });
    timed("page Pieces, find \"blue\"", 11, [&] { static_cast<void>(app::piece_list(*studio, "blue")); });
    timed("page Pieces, one piece", 11, [&] { static_cast<void>(app::piece_story(*studio, pieces.front().id, app::laws_of(*learned))); });
    timed("page Tones", 11, [&] { static_cast<void>(app::tones_view(*studio, learned, {})); });
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 3) {
        std::fprintf(stderr, "Usage: app_measure LOG DATA: writes the demo studio to LOG, which must not be there yet\n");
        return 2;
    }
    return measure(argv[1], argv[2]);
}
