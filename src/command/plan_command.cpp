#include "app/plan.hpp"

#include "app/plan_course.hpp"
#include "app/resolve.hpp"
#include "app/winter.hpp"
#include "base/quantity_text.hpp"
#include "command/bath_choice.hpp"
#include "command/json_text.hpp"
#include "command/plan_words.hpp"
#include "command/topics.hpp"
#include "model/rules/temp_rules.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <memory>

namespace tonebath::command {

namespace {

struct Asked {
    std::string bath, tone, metal, surface, target, at, temp, room, agitation, dose_done, subject;
    bool as_it_comes = false;
};

Result<app::PlanRequest> request_of(app::Studio& studio, const app::Learned& learned, const Asked& asked, std::string& bath_number,
                                    std::string& tone_word) {
    const auto bath = bath_or_newest(studio, asked.bath);
    if (!bath) {
        return bath.error();
    }
    std::optional<app::Subject> subject;
    if (!asked.subject.empty()) {
        const auto found = subject_named(studio, asked.subject);
        if (!found) {
            return found.error();
        }
        subject = *found;
    }
    const auto tone = aim_for(studio, {.tone = asked.tone, .metal = asked.metal, .surface = asked.surface, .target = asked.target}, subject);
    if (!tone) {
        return tone.error();
    }
    app::PlanRequest request{.bath_id = bath->id, .scale_id = tone->scale_id, .tone_id = tone->id, .as_it_comes = asked.as_it_comes, .subject = subject};
    if (!asked.target.empty()) {
        if (const auto target = app::resolve<Target>(studio, "Target tone", asked.target)) {
            request.target_id = target->id;
        }
    }
    if (!asked.at.empty()) {
        request.drop_at = parse_moment(asked.at, studio.now());
        if (!request.drop_at) {
            return Refusal{.code = "text.not_a_moment",
                           .field = "At",
                           .value = shown(asked.at),
                           .message = "that is not read as a moment.",
                           .remedy = "Type it as \"10:15\" or \"31 Mar 2026 10:15\".",
                           .answers = {}};
        }
    }
    if (!asked.temp.empty()) {
        const auto temp = parse_temperature("Temperature", asked.temp, studio.units());
        if (!temp) {
            return temp.error();
        }
        if (const auto odd = rules::bath_temp({"Temperature", asked.temp}, *temp, studio.units())) {
            return *odd;
        }
        request.temp_c = temp->celsius();
    }
    const auto room = app::winter_room(studio, asked.room);
    if (!room) {
        return room.error();
    }
    request.room_c = *room;
    if (!asked.agitation.empty()) {
        request.agitation = from_word<Agitation>(asked.agitation);
    }
    if (!asked.dose_done.empty()) {
        const auto dose = parse_duration("Dose done", asked.dose_done);
        if (!dose) {
            return dose.error();
        }
        if (dose->seconds() < 0.0) {
            return Refusal{.code = "dose.negative",
                           .field = "Dose done",
                           .value = shown(asked.dose_done),
                           .message = "a dose is not below 0.",
                           .remedy = "Type what the piece already had, as seconds at 60 °C, fresh.",
                           .answers = {}};
        }
        request.dose_done_s = dose->seconds();
    } else if (subject && !subject->batch) {
        request.dose_done_s = app::dose_had(studio, &learned, *subject);
    }
    bath_number = bath->number;
    tone_word = tone->word;
    return request;
}

Exit plan(const Session& session, app::Studio& studio, const Asked& asked) {
    std::string bath;
    std::string tone;
    const auto learned = app::learn(studio);
    const auto request = request_of(studio, *learned, asked, bath, tone);
    if (!request) {
        return say_refusal(session, request.error());
    }
    const app::Plan plan = app::plan(studio, *learned, *request);
    if (plan.refusal) {
        return say_refusal(session, *plan.refusal);
    }
    const Stamp drop = request->drop_at.value_or(studio.now());
    if (session.style == Style::json) {
        nlohmann::ordered_json all{
            {"bath", bath}, {"tone", tone}, {"drop_at", json_of(drop)}, {"invented", studio.demo()}};
        all.update(json_of(plan));
        print_json(all);
    } else {
        print(fmt::format("{} in bath {}, dropped {}{}\n", tone, bath, date_time_text(drop),
                          studio.demo() ? "  (invented demo studio)" : "") +
              plan_text(plan, tone));
    }
    return Exit::done;
}

}  // namespace

void add_plan_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* command = parser.add_subcommand(
        "plan", "How long, now: the time to a tone in a bath, with its range and what it rests on");
    const auto asked = std::make_shared<Asked>();
    command->add_option("--bath", asked->bath, "Its number; without it the newest in use");
    command->add_option("--tone", asked->tone, "The tone's word: blue, or \"sterling: blue\"");
    command->add_option("--metal", asked->metal, "Whose scale the word is on: sterling");
    command->add_option("--surface", asked->surface, "bright, satin, matt, hammered, where it has a scale of its own");
    command->add_option("--target", asked->target, "A target tone instead of tone and metal");
    command->add_flag("--as-it-comes", asked->as_it_comes, "Aim where the tone begins, not at its middle");
    command->add_option("--for", asked->subject, "What is dipped: a piece, part, strip or batch; its preparation and what it already had count");
    command->add_option("--at", asked->at, "When it is dropped: 10:15; without it now");
    command->add_option("--temp", asked->temp, "What if the bath were at this when it is dropped: \"52 C\", \"126 F\"");
    command->add_option("--room-temp", asked->room, "What if the room were at this from now on: \"8 C\", \"46 F\"");
    command->add_option("--agitation", asked->agitation, "As it will be moved; without it as the bath")
        ->check(CLI::IsMember({"still", "gentle", "brisk"}));
    command->add_option("--dose-done", asked->dose_done, "Dose that the piece already had, seconds at 60 °C, fresh");
    command->callback([&session, &chosen, asked] {
        chosen = [&session, asked] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return plan(session, studio, *asked); });
        };
    });
}

}  // namespace tonebath::command
