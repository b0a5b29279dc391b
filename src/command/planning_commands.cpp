// What is planned beside a single dip: a whole batch, the heat and make-up of the next bath, and how good plans have been.
#include "app/batch_plan.hpp"
#include "app/grade.hpp"
#include "app/heat_choice.hpp"
#include "app/resolve.hpp"
#include "app/tone_span.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "command/bath_choice.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

std::string seconds(double value) {
    return text_of(Seconds::from_seconds(value));
}

struct BatchAsked {
    AimAsked aim;
    std::string bath, lanes, every, reheat_to, longest, at, subject;
    std::size_t pieces = 0;
};

Result<app::BatchAsk> batch_ask(const Session& session, app::Studio& studio, const BatchAsked& asked, std::string& bath_number) {
    const auto bath = bath_or_newest(studio, asked.bath);
    if (!bath) {
        return bath.error();
    }
    bath_number = bath->number;
    app::BatchAsk ask;
    ask.first.bath_id = bath->id;
    if (!asked.subject.empty()) {
        const auto subject = subject_named(studio, asked.subject);
        if (!subject) {
            return subject.error();
        }
        ask.first.subject = *subject;
    }
    std::vector<std::string> words = split(asked.lanes, ',');
    if (asked.lanes.empty()) {
        words.assign(asked.pieces, asked.aim.tone);
    }
    for (const std::string& word : words) {
        AimAsked one = asked.aim;
        one.tone = std::string(trimmed(word));
        const auto tone = aim_for(studio, one, ask.first.subject);
        if (!tone) {
            return tone.error();
        }
        ask.first.scale_id = tone->scale_id;
        ask.first.tone_id = tone->id;
        ask.tones.push_back(tone->id);
        if (ask.tones.size() > app::kMostInBatch) {
            break;  // refused by the plan itself
        }
    }
    for (const auto& [field, typed, to] : {std::tuple{"Every", &asked.every, &ask.interval_s}, std::tuple{"Longest", &asked.longest, &ask.longest_s}}) {
        if (!typed->empty()) {
            const auto length = parse_duration(field, *typed);
            if (!length) {
                return length.error();
            }
            *to = length->seconds();
        }
    }
    if (!asked.reheat_to.empty()) {
        const auto temp = parse_temperature("Reheat to", asked.reheat_to, session.units);
        if (!temp) {
            return temp.error();
        }
        ask.reheat_to_c = temp->celsius();
    }
    if (!asked.at.empty()) {
        ask.first.drop_at = parse_moment(asked.at, studio.now());
        if (!ask.first.drop_at) {
            return Refusal{.code = "text.not_a_moment", .field = "At", .value = shown(asked.at), .message = "that is not read as a moment.",
                           .remedy = "Type it as \"10:15\" or \"31 Mar 2026 10:15\".", .answers = {}};
        }
    }
    return ask;
}

Exit plan_batch(const Session& session, app::Studio& studio, const BatchAsked& asked) {
    std::string bath;
    const auto ask = batch_ask(session, studio, asked, bath);
    if (!ask) {
        return say_refusal(session, ask.error());
    }
    const app::BatchPlan plan = app::batch_plan(studio, *app::learn(studio), *ask);
    if (plan.refusal) {
        return say_refusal(session, *plan.refusal);
    }
    if (session.style == Style::json) {
        Json lanes = Json::array();
        for (const app::BatchLane& lane : plan.lanes) {
            lanes.push_back({{"piece", lane.piece}, {"tone", lane.tone}, {"round", lane.round}, {"in_s", json_of(lane.in_s)}, {"out_s", json_of(lane.out_s)},
                             {"in_bath_s", json_of(lane.in_bath_s)}, {"temp_c", json_of(lane.temp_c)}});
        }
        Json rounds = Json::array();
        for (const app::BatchRound& round : plan.rounds) {
            rounds.push_back({{"pieces", round.pieces}, {"interval_s", json_of(round.interval_s)}, {"order", round.order_words},
                              {"reheat_to_c", json_of(round.reheat_to_c)}, {"from_s", json_of(round.from_s)}});
        }
        print_json({{"bath", bath}, {"lanes", lanes}, {"rounds", rounds}, {"words", plan.words}, {"invented", studio.demo()}});
        return Exit::done;
    }
    std::string text = fmt::format("{} in bath {}, times from the first drop{}\n", counted(plan.lanes.size(), "piece", "pieces"), bath,
                                   studio.demo() ? "  (invented demo studio)" : "");
    std::size_t round = 0;
    for (const app::BatchLane& lane : plan.lanes) {
        if (lane.round != round) {
            round = lane.round;
            const app::BatchRound& one = plan.rounds[round - 1];
            text += fmt::format("  {}{}, every {}, {}\n", one.reheat_to_c ? "reheat to " + text_of(Celsius::from_celsius(*one.reheat_to_c), session.units) + ", then " : "",
                                counted(one.pieces, "piece", "pieces"), seconds(one.interval_s), one.order_words);
        }
        text += fmt::format("  {:>3}  {:<10} in {:>6}  out {:>6}  {:>5} in the bath, {} at its drop\n", lane.piece, lane.tone, seconds(lane.in_s), seconds(lane.out_s),
                            seconds(lane.in_bath_s), text_of(Celsius::from_celsius(lane.temp_c), session.units));
    }
    for (const std::string& words : plan.words) {
        text += "  note: " + words + "\n";
    }
    print(text);
    return Exit::done;
}

Exit plan_bath(const Session& session, app::Studio& studio, const std::string& like, const AimAsked& aim) {
    const auto bath = bath_or_newest(studio, like);
    if (!bath) {
        return say_refusal(session, bath.error());
    }
    const auto tone = aim_of(studio, aim);
    if (!tone) {
        return say_refusal(session, tone.error());
    }
    const app::HeatChoice choice = app::heat_choice(studio, *app::learn(studio), {.like = bath->id, .scale_id = tone->scale_id, .tone_id = tone->id});
    if (choice.refusal) {
        return say_refusal(session, *choice.refusal);
    }
    if (session.style == Style::json) {
        Json cells = Json::array();
        for (const app::HeatCell& cell : choice.cells) {
            cells.push_back({{"temp_c", json_of(cell.temp_c)}, {"make_up", json_of(cell.make_up)}, {"amount", json_of(cell.amount)}, {"out_s", json_of(cell.out_s)},
                             {"low_s", json_of(cell.low_s)}, {"high_s", json_of(cell.high_s)}, {"window_s", json_of(cell.window_s)},
                             {"window_share", json_of(cell.window_share)}, {"on_tone", json_of(cell.on_tone)}, {"practical", cell.practical},
                             {"beyond_tried", cell.beyond_tried}});
        }
        print_json({{"like_bath", bath->number}, {"tone", choice.tone}, {"unit", choice.unit}, {"best", choice.best ? cells[*choice.best] : Json(nullptr)},
                    {"cells", cells}, {"words", choice.words}, {"cautions", choice.cautions}, {"invented", studio.demo()}});
        return Exit::done;
    }
    std::string text = fmt::format("A fresh bath like {}, for {}\n  {}\n", bath->number, choice.tone, choice.words);
    text += "      heat  make-up     time  aim range         stays   lands on it\n";
    for (std::size_t i = 0; i < choice.cells.size(); ++i) {
        const app::HeatCell& cell = choice.cells[i];
        text += fmt::format("  {} {:>8}  x {:<6} {:>8}  {:>6} to {:<8} {:>6}  {:>3} in 100{}\n", choice.best == i ? "*" : " ",
                            text_of(Celsius::from_celsius(cell.temp_c), session.units), fixed_text(cell.make_up, 1), seconds(cell.out_s), seconds(cell.low_s),
                            seconds(cell.high_s), seconds(cell.window_s), fixed_text(100.0 * cell.on_tone, 0), cell.practical ? "" : "  outside 20 to 90 s");
    }
    for (const std::string& caution : choice.cautions) {
        text += "  note: " + caution + "\n";
    }
    print(text);
    return Exit::done;
}

Exit grade(const Session& session, app::Studio& studio) {
    const app::Grade grade = app::grade(studio, *app::learn(studio));
    if (session.style == Style::json) {
        Json pieces = Json::array();
        for (const app::GradedPiece& one : grade.pieces) {
            pieces.push_back({{"what", one.what}, {"at", json_of(one.at)}, {"bath", one.bath}, {"judged", one.judged}, {"from", one.from}, {"to", one.to},
                              {"promised", json_of(one.mark.promised)}, {"inside", one.mark.inside ? Json(*one.mark.inside) : Json(nullptr)},
                              {"pit_low", json_of(one.mark.pit_low)}, {"pit_high", json_of(one.mark.pit_high)}});
        }
        print_json({{"seen", grade.record.seen}, {"inside", grade.record.inside}, {"low", json_of(grade.record.interval.lower)},
                    {"high", json_of(grade.record.interval.upper)}, {"promised", json_of(grade.record.promised)}, {"pit", grade.record.pit},
                    {"words", grade.words}, {"verdict", grade.verdict}, {"watched", grade.watched}, {"without_time", grade.without_time},
                    {"earlier", grade.earlier}, {"pieces", pieces}, {"invented", studio.demo()}});
        return Exit::done;
    }
    std::string text = grade.words + "\n";
    if (!grade.verdict.empty()) {
        text += "  " + grade.verdict + "\n";
    }
    if (grade.watched + grade.without_time + grade.earlier > 0) {
        text += fmt::format("  not counted: {} pulled by eye, {} without a time of their own, {} earlier\n", grade.watched, grade.without_time, grade.earlier);
    }
    for (const app::GradedPiece& one : grade.pieces) {
        text += fmt::format("  {:<12} {}  bath {:<4} promised {}, became {}{}\n", one.what, date_text(one.at), one.bath, app::tone_span(one.from, one.to), one.judged,
                            !one.mark.inside ? "  (may be either)" : *one.mark.inside ? "" : "  outside");
    }
    print(text);
    return Exit::done;
}

void add_aim(CLI::App& command, AimAsked& aim) {
    command.add_option("--tone", aim.tone, "The tone's word: blue, or \"sterling: blue\"");
    command.add_option("--metal", aim.metal, "Whose scale the word is on: sterling");
    command.add_option("--surface", aim.surface, "bright, satin, matt, hammered, where it has a scale of its own");
    command.add_option("--target", aim.target, "A target tone instead of tone and metal");
}

}  // namespace

void add_planning_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* batch = parser.add_subcommand("plan-batch", "Several pieces in one bath: order, interval, each one's in and out, and when to reheat");
    const auto asked = std::make_shared<BatchAsked>();
    batch->add_option("--bath", asked->bath, "Its number; without it the newest in use");
    add_aim(*batch, asked->aim);
    batch->add_option("--pieces", asked->pieces, "How many, all to the same tone");
    batch->add_option("--lanes", asked->lanes, "Or one tone for each piece: gold,blue,blue");
    batch->add_option("--for", asked->subject, "Whose preparation counts: \"batch 31\", or a piece like them");
    batch->add_option("--every", asked->every, "Wanted between drops; without it 15 s");
    batch->add_option("--reheat-to", asked->reheat_to, "Without it the hottest that the bath was read at");
    batch->add_option("--longest", asked->longest, "A piece that would hang longer waits for a reheat; without it 90 s");
    batch->add_option("--at", asked->at, "When the first is dropped: 10:15; without it now");
    batch->callback([&session, &chosen, asked] {
        chosen = [&session, asked] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return plan_batch(session, studio, *asked); });
        };
    });

    CLI::App* bath = parser.add_subcommand("plan-bath", "Heat and make-up of the next bath: which bring the tone within 20 to 90 s, and how widely");
    const auto like = std::make_shared<std::string>();
    const auto aim = std::make_shared<AimAsked>();
    bath->add_option("--like", *like, "A bath with the lot, vessel and water meant; without it the newest in use");
    add_aim(*bath, *aim);
    bath->callback([&session, &chosen, like, aim] {
        chosen = [&session, like, aim] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return plan_bath(session, studio, *like, *aim); });
        };
    });

    CLI::App* marks = parser.add_subcommand("grade", "How often pieces landed inside the range that was promised before their dip");
    marks->callback([&session, &chosen] {
        chosen = [&session] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return grade(session, studio); }); };
    });
}

}  // namespace tonebath::command
