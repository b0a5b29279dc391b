#include "app/kill_session.hpp"

#include "app/actions.hpp"
#include "base/text.hpp"
#include "store/log.hpp"
#include "support/lists.hpp"

#include <SQLiteCpp/Database.h>
#include <catch2/catch.hpp>
#include <sqlite3.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <sstream>
#include <thread>

namespace tonebath::test {

namespace {

using Typed = std::map<std::string, std::string>;

void tell(int to, const std::string& line) {
    if (write(to, line.data(), line.size()) != static_cast<ssize_t>(line.size())) {
        _exit(3);
    }
}

// Tells of each row written, from inside the database: between this and the confirmation the write is under way.
void row_written(void* told, int, const char*, const char*, sqlite3_int64) { tell(*static_cast<int*>(told), "W\n"); }

class Script {
public:
    Script(app::Studio& studio, int told) : studio_(studio), told_(told) {}

    // Bath, check, then strips: dropped, lifted, rinsed, judged, the bath read, presses taken back, over and over.
    [[noreturn]] void run() {
        for (int loop = 0;; ++loop) {
            if (loop % 4 == 0) {
                // Numbers are read again from the log, so that a session goes on where a killed one stopped.
                answer({.action = "bath.make-up", .typed = {{"lot", "LS-2"}}});
                does("bath.make-up", {{"lot", "LS-2"}, {"amount", "2 g"}, {"water", "400 ml"}, {"start-temp", "60"}, {"room-temp", "19"}});
                bath_ = made_["bath"];
            }
            does("strip.add", {{"metal", "sterling"}});
            const std::string strip = made_["strip"];
            answer({.action = "dip.drop", .typed = {{"bath", bath_}}});
            does("dip.drop", {{"bath", bath_}, {"strip", strip}, {"lane", "1"}});
            if (loop % 3 == 1) {
                does("dip.undo-press", {});
                does("dip.drop", {{"bath", bath_}, {"strip", strip}, {"lane", "1"}});
            }
            for (int reading = 0; reading < 4; ++reading) {
                does("bath.read", {{"bath", bath_}, {"temp", "60"}});
            }
            does("dip.out", {{"watched", "yes"}});
            if (loop % 3 == 2) {
                does("dip.undo-press", {});
                does("dip.out", {});
            }
            does("dip.rinsed", {{"strip", strip}});
            does("judgement.add", {{"strip", strip}, {"tone", "blue"}});
        }
    }

private:
    // The lists that stand before the act.
    void answer(const app::Form& act) {
        for (auto form = answer_before(studio_, act); form; form = answer_before(studio_, act)) {
            does(form->action, form->typed);
        }
    }

    void does(const std::string& action, const Typed& typed) {
        tell(told_, "B " + action + " " + std::to_string(studio_.clock().boot().ms) + "\n");
        const Result<app::Outcome> outcome = studio_.carry_out(app::Form{.action = action, .typed = typed, .kept = {}, .from_memory = {}});
        if (!outcome) {
            tell(told_, "R " + action + " " + outcome.error().code + " " + outcome.error().text() + "\n");
            _exit(2);
        }
        std::string line = "C " + action + " " + std::to_string(studio_.clock().boot().ms);
        for (const auto& [noun, id] : outcome->made) {
            line += " " + noun + "=" + id;
            made_[noun] = id;
        }
        tell(told_, line + "\n");
    }

    app::Studio& studio_;
    int told_;
    std::string bath_;
    std::map<std::string, std::string> made_;
};

[[noreturn]] void bench_session(const std::filesystem::path& file, int told) {
    const SystemClock clock;
    Result<std::unique_ptr<app::Studio>> studio = app::Studio::open(session_options(file, false), clock);
    if (!studio) {
        tell(told, "R open " + studio.error().text() + "\n");
        _exit(2);
    }
    sqlite3_update_hook((*studio)->log().database().getHandle(), row_written, &told);
    Script(**studio, told).run();
}

// The whole lines of what was heard; a line cut off by the kill was not said.
Session understood(const std::string& heard) {
    Session session;
    std::istringstream lines(heard.substr(0, heard.rfind('\n') + 1));
    for (std::string line; std::getline(lines, line);) {
        std::istringstream words(line);
        std::string kind, action, one;
        words >> kind;
        if (kind == "R") {
            session.trouble = line;
        } else if (kind == "W") {
            session.in_write = session.begun.has_value();
        } else if (kind == "B") {
            session.begun.emplace();
            words >> session.begun->action >> session.begun->began_ms;
            session.in_write = false;
        } else if (kind == "C" && session.begun) {
            Step step = *session.begun;
            words >> action >> step.ended_ms;
            while (words >> one) {
                step.made[one.substr(0, one.find('='))] = one.substr(one.find('=') + 1);
            }
            session.confirmed.push_back(step);
            session.begun.reset();
            session.in_write = false;
        } else {
            session.trouble = "not understood: " + line;
        }
    }
    return session;
}

}  // namespace

Folder::Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "tonebath-XXXXXX").string();
    REQUIRE(mkdtemp(name.data()) != nullptr);
    path = name;
}

Folder::~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path, ignored);
}

app::StudioOptions session_options(const std::filesystem::path& file, bool create) {
    app::StudioOptions options;
    options.log = file;
    options.create = create;
    options.data = std::string(TONEBATH_SOURCE_DIR) + "/data";
    return options;
}

void set_up_studio(app::Studio& studio) {
    const std::vector<std::pair<std::string, Typed>> steps{
        {"person.add", {{"initials", "MK"}, {"role", "maker"}}},
        {"lot.add", {{"number", "LS-2"}, {"amount", "90000 g"}, {"usual", "5"}, {"bought", "1 Mar 2024"}, {"opened", "2 Mar 2024"}}}};
    for (const auto& [action, typed] : steps) {
        const Result<app::Outcome> outcome = studio.carry_out(app::Form{.action = action, .typed = typed, .kept = {}, .from_memory = {}});
        INFO(action << ": " << (outcome ? outcome->said : outcome.error().text()));
        REQUIRE(outcome);
    }
}

Session run_and_kill(const std::filesystem::path& file, std::mt19937& random) {
    int told[2];
    REQUIRE(pipe(told) == 0);
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        close(told[0]);
        bench_session(file, told[1]);
    }
    close(told[1]);
    // Up to some step of the session, and then a little on.
    const int enough = std::uniform_int_distribution<int>(1, 40)(random);
    std::string heard;
    char buffer[4096];
    const auto steps = [&heard] {
        int begun = heard.rfind("B ", 0) == 0 ? 1 : 0;
        for (std::size_t at = 0; (at = heard.find("\nB ", at)) != std::string::npos; ++at) {
            ++begun;
        }
        return begun;
    };
    ssize_t got = 1;
    while (steps() < enough && (got = read(told[0], buffer, sizeof buffer)) > 0) {
        heard.append(buffer, static_cast<std::size_t>(got));
    }
    std::this_thread::sleep_for(std::chrono::microseconds(std::uniform_int_distribution<int>(0, 6000)(random)));
    kill(child, SIGKILL);
    int status = 0;
    waitpid(child, &status, 0);
    while ((got = read(told[0], buffer, sizeof buffer)) > 0) {
        heard.append(buffer, static_cast<std::size_t>(got));
    }
    close(told[0]);
    Session session = understood(heard);
    session.was_killed = WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL;
    return session;
}

std::optional<std::string> Session::must_run() const {
    std::optional<std::string> in;
    std::string last;
    for (const Step& step : confirmed) {
        if (step.action == "dip.drop") {
            in = step.made.at("dip");
        } else if (step.action == "dip.out") {
            in.reset();
        } else if (step.action == "dip.undo-press") {
            // It takes back the press before it: after a drop nothing is in, after an out the dip is in again.
            in = last == "dip.out" ? std::optional<std::string>(step.made.contains("dip") ? step.made.at("dip") : std::string()) : std::nullopt;
        }
        last = step.action;
    }
    const bool may_end = begun && (begun->action == "dip.out" || begun->action == "dip.undo-press");
    return may_end ? std::nullopt : in;
}

std::optional<std::pair<std::int64_t, std::int64_t>> Session::last_drop_ms() const {
    std::optional<std::pair<std::int64_t, std::int64_t>> found;
    for (const Step& step : confirmed) {
        if (step.action == "dip.drop") {
            found.emplace(step.began_ms, step.ended_ms);
        }
    }
    if (begun && begun->action == "dip.drop" && in_write) {
        found.emplace(begun->began_ms, INT64_MAX / 4);
    }
    return found;
}

std::vector<std::string> Session::confirmed_dips() const {
    std::vector<std::string> dips;
    std::string last;
    for (const Step& step : confirmed) {
        if (step.action == "dip.drop") {
            dips.push_back(step.made.at("dip"));
        } else if (step.action == "dip.undo-press" && last == "dip.drop") {
            dips.pop_back();
        }
        last = step.action;
    }
    if (begun && begun->action == "dip.undo-press" && last == "dip.drop") {
        dips.pop_back();  // it may be gone
    }
    return dips;
}

}  // namespace tonebath::test
