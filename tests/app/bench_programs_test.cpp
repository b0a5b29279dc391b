// Two programs at one log: the window's place, commands beside a window, a learner beside a bench; and clocks that jump.
#include "app/kill_session.hpp"
#include "app/studio_desk.hpp"

#include "app/learning.hpp"
#include "app/views/bench_view.hpp"

#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <functional>
#include <thread>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

// Another process that runs `work` on the log, tells "y" or "n" and stays until it is ended.
class OtherProgram {
public:
    explicit OtherProgram(const std::function<bool()>& work) {
        int told[2];
        REQUIRE(pipe(told) == 0);
        child_ = fork();
        REQUIRE(child_ >= 0);
        if (child_ == 0) {
            const char answer = work() ? 'y' : 'n';
            if (write(told[1], &answer, 1) == 1) {
                pause();
            }
            _exit(0);
        }
        close(told[1]);
        char answer = '?';
        REQUIRE(read(told[0], &answer, 1) == 1);
        close(told[0]);
        did_ = answer == 'y';
    }
    ~OtherProgram() { end(); }
    OtherProgram(const OtherProgram&) = delete;
    OtherProgram& operator=(const OtherProgram&) = delete;
    [[nodiscard]] bool did() const { return did_; }
    void end() {
        if (child_ > 0) {
            kill(child_, SIGKILL);
            waitpid(child_, nullptr, 0);
            child_ = 0;
        }
    }

private:
    pid_t child_ = 0;
    bool did_ = false;
};

std::unique_ptr<app::Studio> opened(app::StudioOptions options, const Clock& clock) {
    Result<std::unique_ptr<app::Studio>> studio = app::Studio::open(options, clock);
    INFO((studio ? std::string() : studio.error().text()));
    REQUIRE(studio);
    return std::move(studio).value();
}

bool does(app::Studio& studio, const std::string& action, std::map<std::string, std::string> typed) {
    const app::Form form{.action = action, .typed = std::move(typed), .kept = {}, .from_memory = {}};
    answer_lists(studio, form);
    return studio.carry_out(form).has_value();
}

}  // namespace

TEST_CASE("The second window reads, says so, and writes once the first is gone") {
    const Folder folder;
    const std::filesystem::path file = folder.path / "log.tonebath";
    const SystemClock clock;
    { set_up_studio(*opened(session_options(file, true), clock)); }
    app::StudioOptions window = session_options(file, false);
    window.hold_window = true;
    std::unique_ptr<app::Studio> first;  // lives in the other process, until it is killed
    OtherProgram other([&] {
        auto studio = app::Studio::open(window, clock);
        if (!studio || (*studio)->options().read_only) {
            return false;
        }
        first = std::move(studio).value();
        return true;
    });
    REQUIRE(other.did());
    {
        const std::unique_ptr<app::Studio> second = opened(window, clock);
        CHECK(second->options().read_only);
        const Result<app::Outcome> refused = second->carry_out(form_of("strip.add", {{"metal", "sterling"}}));
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == "log.read_only");
        CHECK_FALSE(refused.error().remedy.empty());
        CHECK_FALSE(second->undo());
        CHECK(store::list<Strip>(second->log()).empty());
    }
    other.end();
    const std::unique_ptr<app::Studio> third = opened(window, clock);
    CHECK_FALSE(third->options().read_only);
    CHECK(does(*third, "strip.add", {{"metal", "sterling"}}));
}

TEST_CASE("What a command writes beside a window makes the window's pages stale") {
    const Folder folder;
    const std::filesystem::path file = folder.path / "log.tonebath";
    const SystemClock clock;
    { set_up_studio(*opened(session_options(file, true), clock)); }
    app::StudioOptions window_options = session_options(file, false);
    window_options.hold_window = true;
    const std::unique_ptr<app::Studio> window = opened(window_options, clock);
    const std::int64_t before = window->generation();
    CHECK(window->generation() == before);
    const OtherProgram command([&] {
        auto studio = app::Studio::open(session_options(file, false), clock);
        return studio && does(**studio, "strip.add", {{"number", "7"}, {"metal", "sterling"}});
    });
    REQUIRE(command.did());
    CHECK(window->generation() > before);
    CHECK(store::list<Strip>(window->log()).size() == 1);
    // And the window goes on writing on top of it.
    CHECK(does(*window, "strip.add", {{"metal", "sterling"}}));
    CHECK(store::list<Strip>(window->log(), "ORDER BY number").back().number == "8");
}

TEST_CASE("A learner reads while the bench writes") {
    const Folder folder;
    const std::filesystem::path file = folder.path / "log.tonebath";
    const SystemClock clock;
    const std::unique_ptr<app::Studio> window = opened(session_options(file, true), clock);
    set_up_studio(*window);
    REQUIRE(does(*window, "bath.make-up", {{"number", "1"}, {"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}, {"room-temp", "19"}}));
    std::size_t wrong = 0;
    std::size_t newest = 0;
    {
        app::Learner learner(session_options(file, false), clock, [] {});
        for (int i = 1; i <= 40; ++i) {
            const std::string strip = std::to_string(i);
            REQUIRE(does(*window, "strip.add", {{"number", strip}, {"metal", "sterling"}}));
            REQUIRE(does(*window, "dip.enter", {{"bath", "1"}, {"strip", strip}, {"length", "40"}, {"watched", "yes"}}));
            REQUIRE(does(*window, "judgement.add", {{"strip", strip}, {"tone", "blue"}}));
            learner.ask();
            if (const auto fit = learner.latest()) {
                const std::size_t used = app::records_used(*fit);
                wrong += used > static_cast<std::size_t>(i) || used < newest ? 1U : 0U;
                newest = used;
            }
        }
        const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(60);
        while (std::chrono::steady_clock::now() < until && (!learner.latest() || app::records_used(*learner.latest()) < 40)) {
            std::this_thread::sleep_for(std::chrono::milliseconds(5));
        }
        REQUIRE(learner.latest());
        CHECK(app::records_used(*learner.latest()) == 40);
    }
    CHECK(wrong == 0);
    CHECK(window->log().faults().empty());
}

TEST_CASE("The wall clock set back mid-dip changes neither the time in the bath nor the dose") {
    Desk desk;
    desk.make_bath();
    desk.check_bath();
    desk.does("strip.add", {{"number", "1"}, {"metal", "sterling"}});
    desk.does("bench.lay-out", {{"bath", "1"}, {"strip", "1"}, {"aim", "blue"}});
    desk.does("dip.drop", {{"bath", "1"}, {"strip", "1"}, {"lane", "1"}});
    desk.clock.advance(20);
    const auto in_s = [&] {
        const app::BenchView view = app::bench_view(desk.studio(), nullptr);
        REQUIRE(view.lanes.size() == 1);
        const auto seconds = app::in_bath_s(view.lanes[0], desk.clock.now(), desk.clock.boot());
        REQUIRE(seconds);
        return *seconds;
    };
    CHECK_THAT(in_s(), WithinAbs(20.0, 1e-6));
    desk.clock.set_wall(plus_seconds(desk.clock.now(), -3600.0));
    CHECK_THAT(in_s(), WithinAbs(20.0, 1e-6));
    desk.clock.advance(10);
    CHECK_THAT(in_s(), WithinAbs(30.0, 1e-6));
    const app::BenchView view = app::bench_view(desk.studio(), nullptr);
    const auto dose = app::dose_at(view, view.lanes[0], desk.clock.now(), desk.clock.boot());
    REQUIRE(dose);
    CHECK(*dose > 25.0);
    CHECK(*dose < 30.5);
    desk.does("dip.out");
    CHECK_THAT(desk.last<Dip>().in_bath->seconds(), WithinAbs(30.0, 1e-6));
    // The next drop is after the make-up by the boot clock, and before it by the wall clock: a kind question at most.
    desk.does("strip.add", {{"number", "2"}, {"metal", "sterling"}});
    const Result<app::Outcome> next = desk.studio().carry_out(form_of("dip.drop", {{"bath", "1"}, {"strip", "2"}}));
    if (!next) {
        CHECK_FALSE(next.error().message.empty());
        CHECK_FALSE(next.error().remedy.empty());
    }
}

TEST_CASE("After a restart mid-dip the bench runs on by the wall clock") {
    Desk desk;
    desk.make_bath();
    desk.check_bath();
    desk.does("strip.add", {{"number", "1"}, {"metal", "sterling"}});
    desk.does("dip.drop", {{"bath", "1"}, {"strip", "1"}, {"lane", "1"}});
    desk.clock.advance(20);
    desk.clock.restart(70);
    const app::BenchView view = app::bench_view(desk.studio(), nullptr);
    REQUIRE(view.lanes.size() == 1);
    const auto seconds = app::in_bath_s(view.lanes[0], desk.clock.now(), desk.clock.boot());
    REQUIRE(seconds);
    CHECK_THAT(*seconds, WithinAbs(90.0, 1e-6));
    desk.does("dip.out");
    CHECK(desk.last<Dip>().clock_gap);
}
