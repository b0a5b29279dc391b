#include "window/shell/stop_signals.hpp"

#include <catch2/catch.hpp>

#include <signal.h>
#include <unistd.h>

#include <chrono>
#include <condition_variable>
#include <mutex>

using tonebath::window::StopSignals;

TEST_CASE("A stop signal becomes a wish, wakes once, and ends nothing") {
    for (const int signal_number : {SIGTERM, SIGINT, SIGHUP}) {
        std::mutex mutex;
        std::condition_variable woken;
        int wakes = 0;
        {
            const StopSignals stop([&] {
                const std::lock_guard lock(mutex);
                ++wakes;
                woken.notify_one();
            });
            CHECK_FALSE(stop.asked());
            REQUIRE(kill(getpid(), signal_number) == 0);
            std::unique_lock lock(mutex);
            REQUIRE(woken.wait_for(lock, std::chrono::seconds(20), [&] { return wakes == 1; }));
            CHECK(stop.asked());
            REQUIRE(kill(getpid(), signal_number) == 0);  // a second one, impatient
        }
        CHECK(wakes == 1);  // and this test is still there
    }
}

TEST_CASE("Without a signal it ends quietly") {
    bool woken = false;
    {
        const StopSignals stop([&] { woken = true; });
    }
    CHECK_FALSE(woken);
}
