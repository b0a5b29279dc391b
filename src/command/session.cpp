#include "command/session.hpp"

#include "app/demo/demo.hpp"
#include "base/places.hpp"
#include "base/text.hpp"
#include "command/json_text.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <termios.h>
#include <unistd.h>

#include <cstdio>

namespace tonebath::command {

namespace {

const SystemClock& system_clock() {
    static const SystemClock clock;
    return clock;
}

constexpr double kSitting_s = 12.0 * 3600.0;  // ours: a working day
constexpr std::size_t kLongestPin = 64;       // read so far; none is longer than 12

Result<std::filesystem::path> log_of(const Session& session) {
    if (!session.demo) {
        return session.log;
    }
    const std::filesystem::path file = Places::of_program().state_folder / "demo.tonebath";
    if (const auto made = app::prepare_demo(file, session.data); !made) {
        return made.error();
    }
    return file;
}

Result<std::unique_ptr<app::Studio>> opened(const Session& session, Use use) {
    const auto file = log_of(session);
    if (!file) {
        return file.error();
    }
    app::StudioOptions options{.log = *file,
                               .create = !session.demo && (use == Use::writes || !session.log_named),
                               .units = session.units,
                               .data = session.data,
                               .checklists = session.checklists,
                               .own_checklists = session.demo ? std::filesystem::path() : session.own_checklists};
    std::error_code none;
    if (use == Use::reads_alone && session.who.empty() && std::filesystem::exists(*file, none)) {
        options.read_only = true;
        auto reading = app::Studio::open(options, system_clock());
        if (reading || reading.error().code != "log.older") {
            return reading;
        }
        options.read_only = false;
    }
    return app::Studio::open(options, system_clock());
}

// A line of the terminal without echo (nor signals, which would leave it so), or of the input; it is kept nowhere.
std::string read_pin() {
    const bool terminal = isatty(STDIN_FILENO) == 1;
    termios before{};
    const bool hidden = terminal && tcgetattr(STDIN_FILENO, &before) == 0;
    if (hidden) {
        termios unseen = before;
        unseen.c_lflag &= ~static_cast<tcflag_t>(ECHO | ISIG);
        static_cast<void>(tcsetattr(STDIN_FILENO, TCSAFLUSH, &unseen));
        std::fputs("PIN: ", stderr);
    }
    std::string pin;
    for (int c = std::getchar(); c != EOF && c != '\n' && pin.size() < kLongestPin; c = std::getchar()) {
        pin += static_cast<char>(c);
    }
    if (hidden) {
        static_cast<void>(tcsetattr(STDIN_FILENO, TCSAFLUSH, &before));
        std::fputs("\n", stderr);
    }
    return std::string(trimmed(pin));
}

}  // namespace

void print(const std::string& text) {
    std::fwrite(text.data(), 1, text.size(), stdout);
}

Exit with_studio(const Session& session, Use use, const std::function<Exit(app::Studio&)>& work) {
    auto open = opened(session, use);
    if (!open) {
        static_cast<void>(say_refusal(session, open.error()));
        return Exit::environment;
    }
    const std::unique_ptr<app::Studio> studio = std::move(open).value();
    studio->set_sitting(plus_seconds(studio->now(), -kSitting_s));
    if (!session.who.empty()) {
        app::Form form{.action = "person.at-bench"};
        form.typed["who"] = session.who;
        if (session.pin) {
            form.typed["pin"] = read_pin();
        }
        if (const auto answer = studio->carry_out(form); !answer) {
            return say_refusal(session, answer.error());
        }
    }
    return work(*studio);
}

Exit say(const Session& session, const Result<app::Outcome>& answer) {
    if (!answer) {
        return say_refusal(session, answer.error());
    }
    if (session.style == Style::json) {
        print_json({{"said", answer->said}, {"cautions", answer->cautions}, {"made", answer->made}});
    } else {
        print(answer->said + "\n");
        for (const std::string& caution : answer->cautions) {
            print("  " + caution + "\n");
        }
    }
    return Exit::done;
}

Exit say_refusal(const Session& session, const Refusal& refusal) {
    if (session.style == Style::json) {
        print_json(json_of(refusal));
    }
    std::string line = "tonebath: " + refusal.text() + "\n";
    for (const std::string& one : refusal.answers) {
        line += fmt::format("  to answer: --answer \"{}\"\n", one);
    }
    std::fputs(line.c_str(), stderr);
    return Exit::refused;
}

Exit say_table(const Session& session, const app::RecordTable& table) {
    switch (session.style) {
        case Style::json: print(app::as_json(table)); break;
        case Style::csv: print(app::as_csv(table)); break;
        case Style::text:
            print(table.rows.empty() ? fmt::format("No {} yet.\n", table.noun) : app::as_text(table));
            break;
    }
    return Exit::done;
}

}  // namespace tonebath::command
