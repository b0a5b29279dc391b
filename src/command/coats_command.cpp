// A coating evening planned, how far the one under way is, what own evenings say of bottles, and what seals do.
#include "app/coats_plan.hpp"
#include "app/views/coats_view.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <cmath>
#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

struct Asked {
    app::CoatsAsked plan;
    bool keep = false;
};

Json json_of_range(const std::optional<science::MeanRange>& range) {
    return range ? Json({{"n", range->n}, {"mean", json_of(range->mean)}, {"low", json_of(range->low)}, {"high", json_of(range->high)}}) : Json(nullptr);
}
Json json_of_moment(const std::optional<Stamp>& at) { return at ? Json(json_of(*at)) : Json(nullptr); }

void tell(const Session& session, const std::string& text, const Json& json) {
    if (session.style == Style::json) {
        print_json(json);
    } else {
        print(text);
    }
}

Exit plan(const Session& session, app::Studio& studio, const Asked& asked) {
    const auto found = app::coats_plan(studio, asked.plan, app::coats_books(studio).evenings, asked.keep);
    if (!found) {
        return say_refusal(session, found.error());
    }
    const app::CoatsAnswer& answer = *found;
    const std::vector<Stamp>& begins = answer.rounds;
    std::string text = fmt::format("{} of {}, {} each{}\n", counted(static_cast<std::size_t>(answer.ask.coats), "coat", "coats"),
                                   counted(static_cast<std::size_t>(answer.ask.stones), "stone", "stones"), app::span_words(answer.ask.each_s),
                                   answer.bottle.empty() ? "" : fmt::format(", from {}{}", answer.bottle, answer.bottle_words.empty() ? "" : " (" + answer.bottle_words + ")"));
    text += fmt::format("  loop: {}; hands idle {}\n", answer.loop_words, answer.plan.idle_s > 0.0 ? app::span_words(answer.plan.idle_s) + " a round" : "never");
    text += fmt::format("  wait {} ({}), from the start of a coat to the start of the stone's next\n", app::span_words(answer.ask.wait_s), answer.wait_words);
    text += fmt::format("  cure {} ({})\n", app::span_words(answer.ask.cure_s), answer.cure_words);
    for (std::size_t i = 0; i < begins.size(); ++i) {
        text += fmt::format("  coat {} begins {}\n", i + 1, date_time_text(begins[i]));
    }
    text += fmt::format("  last coat on {}, {} in all\n  into a bath from {}\n", date_time_text(answer.coats_end), app::span_words(answer.plan.coats_s), date_time_text(answer.bath_from));
    std::vector<std::string> more = answer.air_words;
    for (const std::string& words : {answer.by_words, answer.film_words, answer.cover_words}) {
        if (!words.empty()) {
            more.push_back(words);
        }
    }
    for (const std::string& words : more) {
        text += "  " + words + "\n";
    }
    Json rounds = Json::array();
    for (const Stamp& at : begins) {
        rounds.push_back(json_of(at));
    }
    Json air = nullptr;
    if (answer.air) {
        air = {{"dew_point_c", json_of(answer.air->dew_point_c)}, {"margin_c", json_of(answer.air->margin_c)}, {"humidity_met", answer.air->humidity_met}, {"margin_met", answer.air->margin_met}};
    }
    tell(session, text,
         {{"stones", answer.ask.stones}, {"coats", answer.ask.coats}, {"each_s", json_of(answer.ask.each_s)}, {"wait_s", json_of(answer.ask.wait_s)}, {"wait_from", answer.wait_words},
          {"cure_s", json_of(answer.ask.cure_s)}, {"cure_from", answer.cure_words}, {"slower", json_of(answer.slower)}, {"bottle", answer.bottle}, {"loop_s", json_of(answer.plan.loop_s)},
          {"round_s", json_of(answer.plan.round_s)}, {"idle_s", json_of(answer.plan.idle_s)}, {"coats_s", json_of(answer.plan.coats_s)}, {"begins", rounds},
          {"last_coat_ends", json_of(answer.coats_end)}, {"bath_from", json_of(answer.bath_from)}, {"for", json_of_moment(answer.by)}, {"latest_start", json_of_moment(answer.latest_start)},
          {"air", air}, {"air_words", answer.air_words}, {"dry_um", json_of(answer.dry_um)}, {"film", answer.film_words}, {"cover", answer.cover_words}});
    return Exit::done;
}

Exit now(const Session& session, app::Studio& studio, const Asked&) {
    const auto state = app::open_coating(studio);
    if (!state) {
        tell(session, "No coating is under way.\n", {{"under_way", false}});
        return Exit::done;
    }
    const Stamp at = studio.now();
    const app::CoatNow words = app::coat_now(*state, at, {});
    std::string text = fmt::format("Coating {}: {}, {}, {}{}\n", state->coating.number, words.head, words.coat, words.where, words.wait.empty() ? "" : ", " + words.wait);
    Json rows = Json::array();
    for (const app::CoatRow& row : app::coat_rows(*state, at)) {
        text += fmt::format("  row {} ({} to {}): {}; {}\n", row.row, row.first, row.last, row.head, row.more);
        rows.push_back({{"row", row.row}, {"first", row.first}, {"last", row.last}, {"state", row.head}, {"more", row.more}, {"wait_s", json_of(row.wait_s)}});
    }
    const std::string bath = app::hour_words(state->bath_from(at), at);
    text += fmt::format("  last coat on {}, into a bath from {}\n{}", time_text(state->coats_end(at)), bath, words.missed.empty() ? "" : "  " + words.missed + "\n");
    Json places = Json::array();
    for (const app::CoatPlace& place : state->places) {
        places.push_back({{"place", place.place}, {"stone", place.stone}, {"done", place.done}, {"passed_over", place.passed}, {"begun", json_of_moment(place.begun)}});
    }
    tell(session, text,
         {{"under_way", true}, {"coating", state->coating.number}, {"bottle", state->bottle}, {"next_place", state->next_place ? Json(*state->next_place) : Json(nullptr)},
          {"next_layer", state->next_layer}, {"next_from", json_of_moment(state->next_from)}, {"coats_end", json_of(state->coats_end(at))}, {"bath_from", json_of(state->bath_from(at))},
          {"rows", rows}, {"places", places}});
    return Exit::done;
}

Exit bottles(const Session& session, app::Studio& studio, const Asked&) {
    std::string text;
    Json list = Json::array();
    for (const app::BottleTrend& trend : app::coats_books(studio).bottles) {
        text += fmt::format("{}, {}: {}, {}; {}\n", trend.bottle, trend.kind.empty() ? "kind not said" : trend.kind,
                            trend.days_open ? fmt::format("open {} days{}", fixed_text(*trend.days_open, 0), trend.emptied ? ", empty" : "") : "opened when is not said",
                            counted(trend.evenings.size(), "evening", "evenings"), trend.count.words());
        Json evenings = Json::array();
        for (const app::EveningRecord& one : trend.evenings) {
            text += fmt::format("  {} (evening {}): {}, {} a stone, {} between coats{}{}{}\n", date_text(one.at), one.number, counted(static_cast<std::size_t>(one.stones), "stone", "stones"),
                                one.pace_s ? app::span_words(*one.pace_s) : "?", one.wait_s ? app::span_words(std::round(*one.wait_s)) : "?", one.loop_was_wait ? " (the loop was the wait)" : "",
                                one.room_c ? ", " + text_of(Celsius::from_celsius(*one.room_c), session.units) : "", one.humidity_percent ? fmt::format(", {} % RH", fixed_text(*one.humidity_percent, 0)) : "");
            evenings.push_back({{"evening", one.number}, {"at", json_of(one.at)}, {"stones", one.stones}, {"pace_s", json_of(one.pace_s)}, {"wait_s", json_of(one.wait_s)},
                                {"loop_was_wait", one.loop_was_wait}, {"room_c", json_of(one.room_c)}, {"humidity_percent", json_of(one.humidity_percent)}, {"margin_c", json_of(one.margin_c)},
                                {"seen", one.count.seen}, {"harmed", one.count.harmed}});
        }
        for (const std::string& words : trend.words) {
            text += "  " + words + "\n";
        }
        list.push_back({{"bottle", trend.bottle}, {"kind", trend.kind}, {"days_open", json_of(trend.days_open)}, {"pace_s", json_of(trend.pace_s)}, {"wait_s", json_of(trend.wait_s)},
                        {"others_pace_s", json_of(trend.others_pace_s)}, {"others_wait_s", json_of(trend.others_wait_s)}, {"slow", trend.slow},
                        {"pace_per_month_s", json_of(trend.pace_per_month_s)}, {"low_s", json_of(trend.low_s)}, {"high_s", json_of(trend.high_s)}, {"words", trend.words}, {"evenings", evenings}});
    }
    tell(session, text.empty() ? "No bottle is written down.\n" : text, {{"bottles", list}});
    return Exit::done;
}

Exit seals(const Session& session, app::Studio& studio, const Asked&) {
    std::string text;
    Json list = Json::array();
    for (const app::SealShift& shift : app::seal_shifts(studio)) {
        text += fmt::format("{}: {}, {} measured before and after\n", shift.sealer, counted(shift.sealed, "seal", "seals"), shift.pairs.size());
        for (const std::string& words : shift.words) {
            text += "  " + words + "\n";
        }
        Json pairs = Json::array();
        for (const app::SealPair& pair : shift.pairs) {
            pairs.push_back({{"piece", pair.piece}, {"part", pair.part}, {"at", json_of(pair.sealed_at)}, {"l", json_of(pair.l)}, {"a", json_of(pair.a)}, {"b", json_of(pair.b)}, {"steps", json_of(pair.steps)}});
        }
        list.push_back({{"sealer", shift.sealer}, {"sealed", shift.sealed}, {"not_measured", shift.not_measured}, {"no_before", shift.no_before}, {"l", json_of_range(shift.l)},
                        {"a", json_of_range(shift.a)}, {"b", json_of_range(shift.b)}, {"steps", json_of_range(shift.steps)}, {"unpaired_l", json_of_range(shift.unpaired_l)}, {"pairs", pairs}});
    }
    tell(session, text.empty() ? "No seal is written down.\n" : text, {{"seals", list}});
    return Exit::done;
}

using Work = Exit (*)(const Session&, app::Studio&, const Asked&);

}  // namespace

void add_coats_command(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* group = parser.add_subcommand("coats", "A coating evening planned or under way, bottles by their evenings, and what sealing does to the colour");
    group->require_subcommand(1);
    const auto asked = std::make_shared<Asked>();
    const auto verb = [&](const char* name, const char* help, Work work) -> CLI::App& {
        CLI::App* command = group->add_subcommand(name, help);
        command->callback([&session, &chosen, asked, work] {
            chosen = [&session, asked, work] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return work(session, studio, *asked); }); };
        });
        return *command;
    };
    CLI::App& planned = verb("plan", "Loop, waits, finish and the earliest bath of an evening, and what the room's air does to it", plan);
    planned.add_option("--stones", asked->plan.stones, "How many lie in the rows")->required();
    planned.add_option("--coats", asked->plan.coats, "Coats on each; without it 3");
    planned.add_option("--each", asked->plan.each, "Time for one stone; without it 25 s");
    planned.add_option("--bottle", asked->plan.bottle, "Its label tells wait and cure");
    planned.add_option("--wait", asked->plan.wait, "Wait between coats, start to start; without it the bottle's, else 10 min");
    planned.add_option("--cure", asked->plan.cure, "Cure before a bath; without it the bottle's, else 12 h");
    planned.add_option("--room", asked->plan.room, "Temperature of the room, indoors");
    planned.add_option("--humidity", asked->plan.humidity, "Relative humidity of the room, %");
    planned.add_option("--start", asked->plan.start, "First stroke; without it now");
    planned.add_option("--for", asked->plan.by, "When they are wanted in the bath: \"10:00\", \"1 Apr 10:00\", \"class C-9\"; tells the latest start");
    planned.add_option("--wet", asked->plan.wet_um, "Wet film of one coat, µm");
    planned.add_option("--solids", asked->plan.solids, "Solids, % of volume; without it the bottle's");
    planned.add_option("--thinner", asked->plan.thinner, "Parts of thinner to one of lacquer");
    planned.add_option("--stone", asked->plan.stone, "Size of a stone, mm: how far a coat should reach");
    planned.add_flag("--keep", asked->keep, "Keep a cure that is shorter than the wait");
    verb("now", "The coating under way: next stone, rows and their waits", now);
    verb("bottles", "Bottles: age, own evenings, and whether they thicken", bottles);
    verb("seals", "What each sealer does to the colour, pieces before and after", seals);
}

}  // namespace tonebath::command
