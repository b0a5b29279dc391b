// "class sheet": what the sheet shows; "class people": whose initials are kept longer than the studio said.
#include "app/learning.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "app/views/class_view.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "command/action_commands.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

Json json_of_seats(const app::ClassView& view) {
    Json seats = Json::array();
    for (const app::ClassSeat& seat : view.seats) {
        seats.push_back({{"seat", seat.number},
                         {"use", word_of(seat.use)},
                         {"briefed", seat.briefed},
                         {"minor", seat.minor},
                         {"no_consent", seat.no_consent},
                         {"words", seat.more},
                         {"person", seat.who},
                         {"aim", seat.aim},
                         {"over_limit", seat.over},
                         {"let_in", seat.let_in}});
    }
    return seats;
}

Json json_of_class(const app::ClassView& view, const app::ClassPlan& plan, bool demo) {
    Json reasons = Json::array();
    for (const app::ClassReason& reason : view.reasons) {
        reasons.push_back({{"key", reason.key}, {"seat", reason.seat ? Json(*reason.seat) : Json(nullptr)}, {"what", reason.what}, {"missing", reason.missing}});
    }
    Json lanes = Json::array();
    for (const app::ClassLane& lane : plan.lanes) {
        lanes.push_back({{"seat", lane.seat}, {"tone", lane.tone}, {"in", json_of(lane.in_at)}, {"in_bath_s", json_of(lane.in_bath_s)},
                         {"temp_c", json_of(lane.temp_c)}, {"reheat_before", lane.reheat_before}});
    }
    return {{"class", view.number},
            {"head", view.head},
            {"title", view.title},
            {"supervisor", view.supervisor},
            {"second", view.second},
            {"state", view.state_words},
            {"started", view.started},
            {"seats", json_of_seats(view)},
            {"taken", view.count.taken},
            {"in_use", view.count.in_use},
            {"briefed", view.count.briefed},
            {"limit", view.limit},
            {"limit_words", view.limit_words},
            {"over_limit", view.over_words},
            {"consent_asked", view.consent_asked},
            {"refused", reasons},
            {"bath", view.bath},
            {"plan", {{"bath", plan.bath}, {"own", plan.own}, {"lanes", lanes}, {"words", plan.words}, {"why_none", plan.why_none}}},
            {"hand_out", view.hand_out},
            {"after", view.after + "; " + view.after_more},
            {"incidents", view.incidents},
            {"keeps", view.keeps},
            {"invented", demo}};
}

std::string text_of_class(const app::ClassView& view, const app::ClassPlan& plan) {
    std::string text = fmt::format("{}  {}, {}: {}\n  {}; {}\n", view.number, view.head, view.title, view.state_words, view.supervisor, view.second);
    text += fmt::format("  seats: {}; {}\n", view.seats_words, view.use_words);
    for (const app::ClassSeat& seat : view.seats) {
        text += fmt::format("    {:>2}  {}, {}{}\n", seat.number, seat.head, seat.more, seat.who.empty() ? "" : " (" + seat.who + ")");
    }
    if (!view.over_words.empty()) {
        text += "  " + view.over_words + "\n";
    }
    for (const app::ClassReason& reason : view.reasons) {
        text += fmt::format("  start refused: {}: {}\n", reason.what, reason.missing);
    }
    if (!plan.why_none.empty()) {
        text += "  bath plan: " + plan.why_none + "\n";
    } else {
        text += fmt::format("  bath plan, bath {}, {}\n", plan.bath, plan.bath_words);
        for (const app::ClassLane& lane : plan.lanes) {
            text += fmt::format("    {}seat {:>2}  in at {}, {} in the bath to {}\n", lane.reheat_before ? "heat again, then " : "", lane.seat, time_text(lane.in_at),
                                text_of(Seconds::from_seconds(lane.in_bath_s)), lane.tone);
        }
        for (const std::string& words : plan.words) {
            text += "    " + words + "\n";
        }
    }
    text += fmt::format("  limit: {}. {}\n  hand-out: {}; {}\n  after: {}; {}\n", view.limit_words, view.limit_more, view.hand_out, view.hand_out_more, view.after,
                        view.after_more);
    for (const std::string& incident : view.incidents) {
        text += "  " + incident + "\n";
    }
    return text + "  " + view.keeps + "\n";
}

Exit tell_class(const Session& session, app::Studio& studio, const std::string& number) {
    if (!number.empty()) {
        if (const auto found = app::resolve<ClassSession>(studio, "Class", number); !found) {
            return say_refusal(session, found.error());
        }
    }
    const app::ClassView view = app::class_view(studio, number);
    if (view.number.empty()) {
        return say_refusal(session, Refusal{.code = "class.none",
                                            .field = "Class",
                                            .value = {},
                                            .message = "there is no class in the log yet.",
                                            .remedy = "Write one down first.",
                                            .answers = {}});
    }
    const app::ClassPlan plan = app::class_plan(studio, *app::learn(studio), view.number);
    if (session.style == Style::json) {
        print_json(json_of_class(view, plan, studio.demo()));
    } else {
        print(text_of_class(view, plan));
    }
    return Exit::done;
}

Exit tell_people(const Session& session, app::Studio& studio) {
    const auto months = app::months_kept(studio);
    const auto people = app::people_kept_too_long(studio);
    if (session.style == Style::json) {
        Json all = Json::array();
        for (const app::KeptPerson& one : people) {
            all.push_back({{"initials", one.person.initials}, {"last_class", json_of(one.last_class)}});
        }
        print_json({{"kept_months", months ? Json(*months) : Json(nullptr)}, {"people", all}});
        return Exit::done;
    }
    std::string text = months ? fmt::format("Students' initials are kept for {} months. Longer than that: {}\n", *months, people.size())
                              : "How long students' initials are kept is not said: tonebath person keep --months 24\n";
    for (const app::KeptPerson& one : people) {
        text += fmt::format("  {}  last class {}\n", one.person.initials, date_text(one.last_class));
    }
    print(text + (people.empty() ? "" : "  tonebath person blank-due puts a number in place of each.\n"));
    return Exit::done;
}

}  // namespace

void add_class_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App& group = group_of(parser, "class");
    CLI::App* sheet = group.add_subcommand("sheet", "Seats, who was briefed, why it does not start, the bath plan by seat, what is owed");
    const auto number = std::make_shared<std::string>();
    sheet->add_option("number", *number, "Its number; without it the one of today or the next");
    sheet->callback([&session, &chosen, number] {
        chosen = [&session, number] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return tell_class(session, studio, *number); }); };
    });
    CLI::App* people = group.add_subcommand("people", "Students whose initials are kept longer than the studio said");
    people->callback([&session, &chosen] {
        chosen = [&session] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return tell_people(session, studio); }); };
    });
}

}  // namespace tonebath::command
