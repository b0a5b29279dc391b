#include "command/session.hpp"

#include "app/demo/demo.hpp"
#include "base/places.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cstdio>

namespace tonebath::command {

namespace {

const SystemClock& system_clock() {
    static const SystemClock clock;
    return clock;
}

nlohmann::ordered_json json_of(const app::Cell& cell) {
    return std::visit(
        [](const auto& value) -> nlohmann::ordered_json {
            if constexpr (std::is_same_v<std::decay_t<decltype(value)>, std::monostate>) {
                return nullptr;
            } else {
                return value;
            }
        },
        cell);
}

}  // namespace

void print(const std::string& text) { std::fwrite(text.data(), 1, text.size(), stdout); }

std::unique_ptr<app::Studio> Session::open(bool create) const {
    std::filesystem::path file = log;
    if (demo) {
        file = Places::of_program().state_folder / "demo.tonebath";
        if (const auto made = app::prepare_demo(file, data); !made) {
            static_cast<void>(say_refusal(*this, made.error()));
            return nullptr;
        }
    }
    app::StudioOptions options{.log = file, .create = create, .units = units, .data = data, .checklists = checklists};
    auto opened = app::Studio::open(options, system_clock());
    if (!opened) {
        static_cast<void>(say_refusal(*this, opened.error()));
        return nullptr;
    }
    auto studio = std::move(opened).value();
    if (!who.empty()) {
        app::Form form{.action = "person.at-bench"};
        form.typed["person"] = who;
        if (const auto answer = studio->carry_out(form); !answer) {
            static_cast<void>(say_refusal(*this, answer.error()));
            return nullptr;
        }
    }
    return studio;
}

std::string figures_json(const Figures& figures) {
    nlohmann::ordered_json all;
    for (const auto& [name, cell] : figures) {
        all[name] = json_of(cell);
    }
    return all.dump(2) + "\n";
}

Exit say(const Session& session, const Result<app::Outcome>& answer) {
    if (!answer) {
        return say_refusal(session, answer.error());
    }
    if (session.style == Style::json) {
        nlohmann::ordered_json all{{"said", answer->said}, {"cautions", answer->cautions}, {"made", answer->made}};
        print(all.dump(2) + "\n");
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
        nlohmann::ordered_json all{{"refused", refusal.code},        {"field", refusal.field},   {"value", refusal.value},
                                   {"message", refusal.message},     {"remedy", refusal.remedy}, {"answers", refusal.answers}};
        print(all.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n");
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
        case Style::json:
            print(app::as_json(table));
            break;
        case Style::csv:
            print(app::as_csv(table));
            break;
        case Style::text:
            print(table.rows.empty() ? fmt::format("No {} yet.\n", table.noun) : app::as_text(table));
            break;
    }
    return Exit::done;
}

}  // namespace tonebath::command
