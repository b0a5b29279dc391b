// One piece before and after its dip: its two metals, what would have matched, what can still be done.
#include "app/matched.hpp"
#include "app/rescue.hpp"
#include "app/resolve.hpp"
#include "app/tone_span.hpp"
#include "app/two_metals.hpp"
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

Exit matched(const Session& session, app::Studio& studio, const std::string& typed, const std::string& time) {
    const auto subject = app::dipped_subject(studio, typed);
    if (!subject) {
        return say_refusal(session, subject.error());
    }
    const auto found = app::what_would_have_matched(studio, *app::learn(studio), *subject);
    if (!found) {
        return say_refusal(session, found.error());
    }
    std::optional<double> place;
    if (!time.empty()) {
        const auto length = parse_duration("Seconds", time);
        if (!length) {
            return say_refusal(session, length.error());
        }
        place = app::place_after(*found, length->seconds());
    }
    const auto word = [&](double at) { return found->tones[std::min(static_cast<std::size_t>(at), found->tones.size() - 1)].word; };
    if (session.style == Style::json) {
        Json tones = Json::array();
        for (const app::MatchedTone& one : found->tones) {
            tones.push_back({{"tone", one.word}, {"comes_s", json_of(one.comes_s)}, {"middle_s", json_of(one.middle_s)}, {"actual", one.actual}});
        }
        print_json({{"piece", found->what}, {"bath", found->bath}, {"actual_s", json_of(found->actual_s)}, {"place", json_of(found->place)},
                    {"dose_s", json_of(found->dose_s)}, {"dose_before_s", json_of(found->dose_before_s)}, {"tones", tones},
                    {"at_place", json_of(place)}, {"at_tone", place ? Json(word(*place)) : Json(nullptr)}, {"assumed", found->assumed}});
        return Exit::done;
    }
    std::string text = fmt::format("{} in bath {}: {} in its last dip became {}\n", found->what, found->bath, seconds(found->actual_s), word(found->place));
    for (const app::MatchedTone& one : found->tones) {
        text += fmt::format("  {:<12} {}{}\n", one.word,
                            !one.middle_s          ? std::string("never within a day")
                            : *one.middle_s <= 0.0 ? std::string("past it before this dip")
                                                   : fmt::format("from {}, in its middle at {}", one.comes_s ? seconds(*one.comes_s) : "?", seconds(*one.middle_s)),
                            one.actual ? "  as it was" : "");
    }
    if (place) {
        text += fmt::format("  after {} it would have been {}\n", time, word(*place));
    }
    print(text);
    return Exit::done;
}

struct MetalsAsked {
    std::string piece, bath, time;
    AimAsked aim;
};

Exit two_metals(const Session& session, app::Studio& studio, const MetalsAsked& asked) {
    const auto piece = app::resolve<Piece>(studio, "Piece", asked.piece);
    if (!piece) {
        return say_refusal(session, piece.error());
    }
    const auto bath = bath_or_newest(studio, asked.bath);
    if (!bath) {
        return say_refusal(session, bath.error());
    }
    app::PlanRequest request;
    request.bath_id = bath->id;
    std::optional<double> length_s;
    if (!asked.time.empty()) {
        const auto length = parse_duration("Seconds", asked.time);
        if (!length) {
            return say_refusal(session, length.error());
        }
        length_s = length->seconds();
    } else {
        const auto tone = aim_of(studio, asked.aim);
        if (!tone) {
            return say_refusal(session, tone.error());
        }
        request.scale_id = tone->scale_id;
        request.tone_id = tone->id;
    }
    const auto found = app::two_metals(studio, *app::learn(studio), piece->id, request, length_s);
    if (!found) {
        return say_refusal(session, found.error());
    }
    if (session.style == Style::json) {
        Json parts = Json::array();
        for (const app::PartThen& one : found->parts) {
            Json reports = Json::array();
            for (const app::MetalReport& report : one.reports) {
                reports.push_back({{"report", report.report}, {"source", report.source}, {"trust", report.trust}});
            }
            parts.push_back({{"part", one.part}, {"metal", one.metal}, {"tone", one.tone}, {"from", one.from}, {"to", one.to}, {"share", json_of(one.share)},
                             {"why_none", one.why_none}, {"reports", reports}});
        }
        print_json({{"piece", found->piece}, {"bath", bath->number}, {"seconds", json_of(found->seconds)}, {"gap", json_of(found->gap)}, {"parts", parts},
                    {"warnings", found->warnings}});
        return Exit::done;
    }
    std::string text = fmt::format("{} after {} in bath {}\n", found->piece, seconds(found->seconds), bath->number);
    for (const app::PartThen& one : found->parts) {
        text += fmt::format("  {:<8} {:<14} {}\n", one.part, one.metal.empty() ? "metal not known" : one.metal,
                            one.tone.empty() ? one.why_none : one.from == one.to ? one.tone : fmt::format("{} ({})", one.tone, app::tone_span(one.from, one.to)));
    }
    for (const std::string& warning : found->warnings) {
        text += "  note: " + warning + "\n";
    }
    print(text);
    return Exit::done;
}

Exit rescue(const Session& session, app::Studio& studio, const std::string& number, bool no_stone) {
    const auto piece = app::resolve<Piece>(studio, "Piece", number);
    if (!piece) {
        return say_refusal(session, piece.error());
    }
    const auto found = app::rescue(studio, {.piece = piece->id, .no_stone = no_stone});
    if (!found) {
        return say_refusal(session, found.error());
    }
    if (session.style == Style::json) {
        Json choices = Json::array();
        for (const app::RescueChoice& one : found->choices) {
            choices.push_back({{"choice", one.key}, {"name", one.name}, {"state", app::word_of(one.state)}, {"why", one.why}, {"own_log", one.own}, {"published", one.noted}, {"conflict", one.conflict}, {"how", one.how}, {"warning", one.warning},
                               {"source", one.source}, {"trust", one.trust}});
        }
        Json rework = Json::array();
        for (const app::Rework& one : found->rework) {
            rework.push_back({{"at", json_of(one.at)}, {"what", one.what}});
        }
        print_json({{"piece", found->piece}, {"on_it", found->head}, {"stones_known", found->stones_known}, {"ask_first", found->ask_first}, {"choices", choices},
                    {"rework", rework}});
        return Exit::done;
    }
    std::string text = fmt::format("{}: {}\n", found->piece, found->head);
    for (const std::string& question : found->ask_first) {
        text += "  ask first: " + question + "\n";
    }
    for (const app::RescueChoice& one : found->choices) {
        text += fmt::format("  {:<18} {}{}\n", app::word_of(one.state), one.name, one.why.empty() ? "" : " (" + one.why + ")");
        for (const std::string& words : one.own) {
            text += fmt::format("  {:<18} your own log: {}\n", "", words);
        }
        if (one.conflict) {
            text += fmt::format("  {:<18} published: {}; the two do not agree: the stricter decides\n", "", joined(one.noted, "; "));
        }
        if (one.state != app::RescueState::closed) {
            text += fmt::format("  {:<18} {}{}{} Source: {}.\n", "", one.how, one.warning.empty() ? "" : " ", one.warning, one.source);
        }
    }
    for (const app::Rework& one : found->rework) {
        text += fmt::format("  rework: {} {}\n", one.what, date_time_text(one.at));
    }
    print(text);
    return Exit::done;
}

}  // namespace

void add_piece_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* match = parser.add_subcommand("matched", "What would have matched: each tone's time in a piece's last dip, reckoned back from what it became");
    const auto piece = std::make_shared<std::string>();
    const auto time = std::make_shared<std::string>();
    match->add_option("piece", *piece, "A piece, a part or a strip: L-058, \"L-058 lid\"")->required();
    match->add_option("--seconds", *time, "And what so long would have given: 35 s");
    match->callback([&session, &chosen, piece, time] {
        chosen = [&session, piece, time] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return matched(session, studio, *piece, *time); });
        };
    });

    CLI::App* metals = parser.add_subcommand("two-metals", "Where each metal of a piece will be at one time in one bath, before it is dipped");
    const auto asked = std::make_shared<MetalsAsked>();
    metals->add_option("piece", asked->piece, "Its number")->required();
    metals->add_option("--bath", asked->bath, "Its number; without it the newest in use");
    metals->add_option("--tone", asked->aim.tone, "The tone aimed at");
    metals->add_option("--metal", asked->aim.metal, "On this metal's scale");
    metals->add_option("--target", asked->aim.target, "A target tone instead");
    metals->add_option("--seconds", asked->time, "Or after so long: 40 s");
    metals->callback([&session, &chosen, asked] {
        chosen = [&session, asked] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return two_metals(session, studio, *asked); });
        };
    });

    CLI::App* save = parser.add_subcommand("rescue", "What can still be done with a piece that went over, by what is on it");
    const auto number = std::make_shared<std::string>();
    const auto none = std::make_shared<bool>(false);
    save->add_option("piece", *number, "Its number")->required();
    save->add_flag("--no-stone", *none, "You looked: there is no stone, foil, glue or coat on it");
    save->callback([&session, &chosen, number, none] {
        chosen = [&session, number, none] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return rescue(session, studio, *number, *none); });
        };
    });
}

}  // namespace tonebath::command
