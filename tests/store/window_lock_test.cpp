#include "store/window_lock.hpp"
#include "store/test_log.hpp"

#include <sys/wait.h>
#include <unistd.h>
#include <catch2/catch.hpp>

#include <csignal>

namespace tonebath::store {
namespace {

TEST_CASE("one window writes; another process's window is told; a killed window lets go") {
    const TemporaryFolder folder;
    const std::filesystem::path file = folder / "log.tonebath";
    { const std::unique_ptr<Log> made = opened(file); }
    std::filesystem::create_symlink(file, folder / "link.tonebath");
    int told[2];
    REQUIRE(pipe(told) == 0);
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        const Result<WindowLock> lock = WindowLock::acquire(file);
        const char answer = lock ? 'y' : 'n';
        if (write(told[1], &answer, 1) == 1) {
            pause();
        }
        _exit(0);
    }
    char answer = '?';
    REQUIRE(read(told[0], &answer, 1) == 1);
    CHECK(answer == 'y');
    for (const char* name : {"log.tonebath", "link.tonebath"}) {
        const Result<WindowLock> second = WindowLock::acquire(folder / name);
        REQUIRE_FALSE(second.has_value());
        CHECK(second.error().code == "window.second");
        CHECK(second.error().message == "Another window has this log open, so this one only reads.");
    }
    // A command writes beside the window.
    IdSource ids(1);
    const std::unique_ptr<Log> command = opened(file, OpenMode::read_write);
    CHECK_FALSE(in_change(*command, ids, "add", [&] { insert(*command, vessel_named(ids, "V1")); }).empty());

    kill(child, SIGKILL);
    int status = 0;
    waitpid(child, &status, 0);
    CHECK(WindowLock::acquire(file).has_value());
    close(told[0]);
    close(told[1]);
}

TEST_CASE("a lock moves with its owner and ends with it") {
    const TemporaryFolder folder;
    const std::filesystem::path file = folder / "log.tonebath";
    {
        Result<WindowLock> made = WindowLock::acquire(file);
        REQUIRE(made.has_value());
        const WindowLock moved = std::move(made).value();
        CHECK_FALSE(WindowLock::acquire(file).has_value());
    }
    CHECK(WindowLock::acquire(file).has_value());
}

TEST_CASE("where no lock file can be made the window says so") {
    const TemporaryFolder folder;
    CHECK(WindowLock::acquire(folder / "no such folder/log.tonebath").error().code == "window.no_lock");
}

}  // namespace
}  // namespace tonebath::store
