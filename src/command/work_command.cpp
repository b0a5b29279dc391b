#include "app/kit.hpp"
#include "app/season.hpp"
#include "app/work_figures.hpp"
#include "command/action_commands.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <array>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

Json json_of_moment(const std::optional<Stamp>& at) { return at ? Json(json_of(*at)) : Json(nullptr); }

Json json_of_group(const app::GroupWork& group) {
    return {{"name", group.name},
            {"design", group.design},
            {"pieces", group.pieces},
            {"gone_over", group.gone_over},
            {"with_a_gap", group.gaps},
            {"last", json_of_moment(group.last)},
            {"set_up_min", json_of(group.set_up_min)},
            {"bath_min", json_of(group.bath_min)},
            {"batch_min", json_of(group.batch_min)},
            {"after_min", json_of(group.after_min)},
            {"finishing_min", json_of(group.finishing_min)},
            {"finished", group.finished},
            {"coats_min", json_of(group.coats_min)},
            {"rework_min", json_of(group.rework_min)},
            {"minutes", json_of(group.minutes)},
            {"minutes_for_each_that_came_out", json_of(group.per_good)},
            {"cost_of_each_that_came_out", json_of(group.cost)}};
}

Json json_of_rates(const app::WorkRates& rates) {
    return {{"hour", json_of(rates.hour)}, {"piece", json_of(rates.piece)}, {"stone", json_of(rates.stone)}};
}

Exit tell_minutes(const Session& session, app::Studio& studio) {
    const app::WorkFigures figures = app::work_figures(studio);
    if (session.style != Style::json) {
        print(app::work_text(figures));
        return Exit::done;
    }
    Json all{{"rates", json_of_rates(figures.rates)}, {"by_size", Json::array()}, {"groups", Json::array()}, {"pieces", Json::array()}, {"words", figures.words}};
    for (const app::GroupWork& group : figures.by_size) {
        all["by_size"].push_back(json_of_group(group));
    }
    for (const app::GroupWork& group : figures.groups) {
        all["groups"].push_back(json_of_group(group));
    }
    for (const app::PieceWork& work : figures.pieces) {
        all["pieces"].push_back({{"piece", work.piece},
                                 {"design", work.design},
                                 {"batch", work.batch},
                                 {"set_up_min", json_of(work.set_up_min)},
                                 {"bath_min", json_of(work.bath_min)},
                                 {"batch_min", json_of(work.batch_min)},
                                 {"after_min", json_of(work.after_min)},
                                 {"coats_min", json_of(work.coats_min)},
                                 {"rework_min", json_of(work.rework_min)},
                                 {"minutes", json_of(work.minutes())},
                                 {"gone_over", work.gone_over},
                                 {"gap", work.gap}});
    }
    print_json(all);
    return Exit::done;
}

Exit tell_mistakes(const Session& session, app::Studio& studio, int quarters_back) {
    const app::MistakeFigures figures = app::mistake_figures(studio, quarters_back);
    if (session.style != Style::json) {
        print(app::mistakes_text(figures));
        return Exit::done;
    }
    Json all = Json::array();
    for (const app::Mistake& mistake : figures.all) {
        all.push_back({{"kind", app::word_of(mistake.kind)}, {"at", json_of(mistake.at)}, {"what", mistake.what}, {"minutes", json_of(mistake.minutes)}, {"cost", json_of(mistake.cost)}});
    }
    print_json({{"from", json_of(figures.from)},
                {"to", json_of(figures.to)},
                {"mistakes", all},
                {"minutes", json_of(figures.minutes)},
                {"cost", json_of(figures.cost)},
                {"without_cost", figures.without_cost}});
    return Exit::done;
}

Json json_of_span(const app::Span& span) {
    return {{"name", span.name},          {"from", json_of(span.from)},   {"to", json_of(span.to)},
            {"baths", span.baths},        {"dips", span.dips},            {"strips", span.strips},
            {"pieces", span.pieces},      {"gone_over", span.gone_over},  {"room_c", json_of(span.room_c)},
            {"in_bath_s", json_of(span.in_bath_s)}, {"designs", span.designs}};
}

Exit tell_seasons(const Session& session, app::Studio& studio) {
    const app::Seasons seasons = app::seasons(studio);
    if (session.style != Style::json) {
        print(app::seasons_text(seasons));
        return Exit::done;
    }
    Json months = Json::array();
    for (const app::Span& month : seasons.months) {
        months.push_back(json_of_span(month));
    }
    print_json({{"this_week", json_of_span(seasons.this_week)}, {"week_last_year", json_of_span(seasons.week_last_year)}, {"months", months}});
    return Exit::done;
}

Exit tell_kit(const Session& session, app::Studio& studio, const app::KitAsk& ask) {
    const auto kit = app::kit_for(studio, ask);
    if (!kit) {
        return say_refusal(session, kit.error());
    }
    if (session.style != Style::json) {
        print(app::kit_text(*kit));
        return Exit::done;
    }
    Json lines = Json::array();
    for (const app::KitLine& line : kit->lines) {
        lines.push_back({{"item", line.item}, {"per_seat", json_of(line.per_seat)}, {"total", line.total}, {"from", line.from}});
    }
    print_json({{"class", kit->class_number}, {"design", kit->design}, {"seats", kit->seats}, {"spare_percent", json_of(kit->spare_percent)}, {"lines", lines}, {"not_known", kit->not_known}});
    return Exit::done;
}

void add_rates(CLI::App& work, const Session& session, std::function<Exit()>& chosen) {
    const auto typed = std::make_shared<std::array<std::string, 3>>();
    CLI::App* rates = work.add_subcommand("rates", "What an hour, the metal of a piece and a stone cost, in your own money; without a figure: say which they are");
    rates->add_option("--hour", (*typed)[0], "An hour of work");
    rates->add_option("--piece", (*typed)[1], "The metal of a piece");
    rates->add_option("--stone", (*typed)[2], "A stone");
    rates->callback([&session, &chosen, typed] {
        chosen = [&session, typed] {
            const bool asks = (*typed)[0].empty() && (*typed)[1].empty() && (*typed)[2].empty();
            return with_studio(session, asks ? Use::reads : Use::writes, [&](app::Studio& studio) {
                const auto set = asks ? Result<app::WorkRates>(app::work_rates(studio)) : app::set_work_rates(studio, (*typed)[0], (*typed)[1], (*typed)[2]);
                if (!set) {
                    return say_refusal(session, set.error());
                }
                print_json(json_of_rates(*set));
                return Exit::done;
            });
        };
    });
}

}  // namespace

void add_work_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App& work = group_of(parser, "work", "What pieces take, what mistakes cost, this week last year");
    work.add_subcommand("minutes", "Minutes and cost of a piece: set-up spread over its batch, rework, what went over")->callback([&] {
        chosen = [&session] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return tell_minutes(session, studio); }); };
    });
    const auto back = std::make_shared<int>(0);
    CLI::App* mistakes = work.add_subcommand("mistakes", "What mistakes cost this quarter: pieces gone over, rework, stones harmed");
    mistakes->add_option("--quarters-back", *back, "An earlier quarter: 1 = the last one")->check(CLI::Range(0, 400));
    mistakes->callback([&session, &chosen, back] {
        chosen = [&session, back] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return tell_mistakes(session, studio, *back); }); };
    });
    work.add_subcommand("season", "This week beside the same week last year, and month beside month")->callback([&] {
        chosen = [&session] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return tell_seasons(session, studio); }); };
    });
    add_rates(work, session, chosen);
    const auto ask = std::make_shared<app::KitAsk>();
    CLI::App* kit = group_of(parser, "class").add_subcommand("kit", "What a class needs: by the seat, times the seats, and spare");
    kit->add_option("number", ask->class_number, "The class; without it say --seats and --design");
    kit->add_option("--design", ask->design, "Whose parts and stones; without it the one that the class's title names");
    kit->add_option("--seats", ask->seats, "For how many; without it the class's seats in use")->check(CLI::Range(1, 1000));
    kit->add_option("--spare", ask->spare_percent, "Spare, in a hundred");
    kit->add_option("--item", ask->items, "Besides, for a seat: \"jump ring 6 mm: 2\"")->expected(1, 1000);
    kit->callback([&session, &chosen, ask] {
        chosen = [&session, ask] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return tell_kit(session, studio, *ask); }); };
    });
}

}  // namespace tonebath::command
