// An import that is killed at a random moment leaves the empty log or the whole one, never something between.
#include "app/exchange/export.hpp"
#include "app/exchange/import.hpp"
#include "app/demo/demo.hpp"
#include "app/studio.hpp"
#include "base/files.hpp"
#include "store/log.hpp"
#include "store/query.hpp"

#include <catch2/catch.hpp>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <random>
#include <thread>

using namespace tonebath;
namespace fs = std::filesystem;

namespace {

app::StudioOptions options_for(const fs::path& log) {
    return {.log = log, .create = true, .data = fs::path(TONEBATH_SOURCE_DIR) / "data"};
}

// Begins the import, tells when it has begun to write, and goes when done.
[[noreturn]] void import_and_go(const fs::path& log, const fs::path& folder, int told) {
    const SystemClock clock;
    const auto studio = app::Studio::open(options_for(log), clock);
    if (!studio) {
        _exit(2);
    }
    bool said = false;
    const auto done = app::import_log(**studio, folder, [&](std::string_view, double) {
        if (!said) {
            said = write(told, "W", 1) == 1;
        }
        return true;
    });
    _exit(done ? 0 : 3);
}

}  // namespace

TEST_CASE("killed while importing: the old state or the new one", "[kill]") {
    std::string pattern = (fs::temp_directory_path() / "tonebath-import-kill-XXXXXX").string();
    REQUIRE(mkdtemp(pattern.data()) != nullptr);
    const fs::path folder = pattern;
    const SystemClock clock;
    const fs::path demo_file = folder / "demo.tonebath";
    REQUIRE(app::write_demo(demo_file, fs::path(TONEBATH_SOURCE_DIR) / "data"));
    std::int64_t whole = 0;
    {
        const auto demo = app::Studio::open(options_for(demo_file), clock);
        REQUIRE(demo);
        const auto out = app::export_log(**demo, folder / "out", app::FileForm::csv);
        REQUIRE(out);
        whole = out->records;
    }
    const int rounds = std::getenv("TONEBATH_LONG") != nullptr ? 100 : 5;
    std::mt19937 random(std::random_device{}());
    int killed = 0;
    int old_state = 0;
    int span_ms = 400;  // an import takes about so long; halved when it was over before, doubled when it never was
    for (int round = 0; round < rounds; ++round) {
        const fs::path log = folder / ("log" + std::to_string(round) + ".tonebath");
        int told[2];
        REQUIRE(pipe(told) == 0);
        const pid_t child = fork();
        REQUIRE(child >= 0);
        if (child == 0) {
            close(told[0]);
            import_and_go(log, folder / "out", told[1]);
        }
        close(told[1]);
        char heard = 0;
        REQUIRE(read(told[0], &heard, 1) == 1);
        // The first is killed as soon as it writes: at least one ends so, however quick the machine.
        std::this_thread::sleep_for(std::chrono::milliseconds(round == 0 ? 0 : std::uniform_int_distribution<int>(0, span_ms)(random)));
        kill(child, SIGKILL);
        int status = 0;
        waitpid(child, &status, 0);
        close(told[0]);
        killed += WIFSIGNALED(status) ? 1 : 0;
        span_ms = WIFSIGNALED(status) ? span_ms * 3 / 2 : span_ms / 2 + 1;
        REQUIRE((WIFSIGNALED(status) || WEXITSTATUS(status) == 0));

        const auto studio = app::Studio::open(options_for(log), clock);
        REQUIRE(studio);
        CHECK((*studio)->log().faults().empty());
        if (app::is_empty_log(**studio)) {
            ++old_state;
        } else {
            const auto out = app::export_log(**studio, folder / ("out" + std::to_string(round)), app::FileForm::csv);
            REQUIRE(out);
            CHECK(out->records == whole);
        }
    }
    WARN(rounds << " rounds, " << killed << " killed, " << old_state << " of them with the old state");
    CHECK(killed > 0);
    CHECK(old_state > 0);
    fs::remove_all(folder);
}
