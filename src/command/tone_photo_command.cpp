// "tone photo": a photograph with a grey card, measured. "tone difference": two readings against each other. "tone steady": one piece again and again.
#include "command/tone_photo_command.hpp"

#include "app/photo_tone.hpp"
#include "app/tone_reading.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "command/action_commands.hpp"
#include "command/json_text.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <memory>

namespace tonebath::command {

namespace {

using Json = nlohmann::ordered_json;

struct Asked {
    std::string file, card, chart, chart_colours, card_colour, light = "not said", metal, surface;
    std::vector<std::string> areas;
    bool other_ground = false, chart_before_2014 = false;
};

struct Pair {
    std::string first, second, tolerance;
    app::DifferenceAsk ask;
};

constexpr std::string_view kVerdicts[] = {"fine", "warned", "refused"};

Result<app::PhotoMarks> marks_of(const Session& session, const Asked& asked) {
    app::PhotoMarks marks;
    marks.one_ground = !asked.other_ground;
    marks.light = asked.light == "day" ? app::kDaylight : asked.light == "lamp" ? app::kOtherLight : app::kLightNotSaid;
    if (!asked.card.empty()) {
        const auto mark = app::parse_mark("Card", asked.card);
        if (!mark) {
            return mark.error();
        }
        marks.card = *mark;
    }
    for (const std::string& one : asked.areas) {
        const auto mark = app::parse_mark("Area", one);
        if (!mark) {
            return mark.error();
        }
        marks.areas.push_back(*mark);
    }
    if (!asked.card_colour.empty()) {
        const auto colour = app::parse_lab("Card colour", asked.card_colour);
        if (!colour) {
            return colour.error();
        }
        marks.card_colour = *colour;
    }
    if (!asked.chart.empty()) {
        const auto chart = app::chart_mark(asked.chart, asked.chart_colours.empty() ? session.data / "optics" / "chart_24_patch_lab.csv" : std::filesystem::path(asked.chart_colours),
                                           asked.chart_before_2014);
        if (!chart) {
            return chart.error();
        }
        marks.chart = *chart;
    }
    return marks;
}

Json told(const std::vector<app::PhotoWord>& words) {
    Json rows = Json::array();
    for (const app::PhotoWord& word : words) {
        rows.push_back({{"rule", app::rule_key(word)}, {"verdict", kVerdicts[static_cast<std::size_t>(word.finding.verdict)]}, {"figure", json_of(word.finding.figure)}, {"words", word.text}});
    }
    return rows;
}

Json told(const app::ToneFound& tone) {
    Json stretches = Json::array();
    for (const app::ToneStretch& one : tone.stretches) {
        stretches.push_back({{"place", json_of(one.place)}, {"from", json_of(one.from)}, {"to", json_of(one.to)}, {"away", json_of(one.away_de00)}, {"words", one.words}});
    }
    return {{"scale", tone.scale}, {"own_strips", tone.own}, {"off_scale", tone.off_scale}, {"stretches", stretches}, {"words", tone.words}};
}

Json lab_json(const app::MeasuredArea& area) {
    const auto& lab = area.reading->lab;
    return {{"l", json_of(lab.l)}, {"a", json_of(lab.a)}, {"b", json_of(lab.b)}};
}

std::string lines_of(const std::vector<app::PhotoWord>& words, const char* indent) {
    std::string text;
    for (const app::PhotoWord& word : words) {
        text += fmt::format("{}{}: {}\n", indent, kVerdicts[static_cast<std::size_t>(word.finding.verdict)], word.text);
    }
    return text;
}

// Places on the scale, one an area; nothing where no metal was named or the area has no reading.
using Tones = std::vector<std::optional<app::ToneFound>>;

void print_text(const app::MeasuredPhoto& photo, const Tones& tones) {
    std::string text = fmt::format("{}, {} x {}, {} bit, {}\n", photo.name, photo.width, photo.height, photo.bits, photo.colours.empty() ? "no profile" : photo.colours);
    text += lines_of(photo.words, "  ");
    if (photo.chart) {
        text += fmt::format("  chart: patches agree to {} in the middle, nine of ten to {}\n", fixed_text(photo.chart->median_de00, 1), fixed_text(photo.chart->ninth_in_ten_de00, 1));
    }
    for (std::size_t i = 0; i < photo.areas.size(); ++i) {
        const app::MeasuredArea& area = photo.areas[i];
        if (area.reading) {
            text += fmt::format("  area {}: {}  (± {}, nine times of ten; spread {})\n", i + 1, app::lab_text(area.reading->lab), fixed_text(area.reading->error.total, 1), fixed_text(area.reading->spread_de00, 1));
        } else {
            text += fmt::format("  area {}: not measured\n", i + 1);
        }
        text += lines_of(area.words, "    ");
        if (tones[i]) {
            text += fmt::format("    on {}: {}\n", tones[i]->scale, tones[i]->words);
        }
    }
    print(text + "  " + std::string(app::photo_holds_words()) + "\n");
}

void tell_json(const app::MeasuredPhoto& photo, const Tones& tones) {
    Json areas = Json::array();
    for (std::size_t i = 0; i < photo.areas.size(); ++i) {
        const app::MeasuredArea& area = photo.areas[i];
        Json row{{"lab", area.reading ? lab_json(area) : Json()}, {"error", Json()}, {"spread", Json()}, {"glare", json_of(area.glare_share)}, {"findings", told(area.words)}, {"tone", tones[i] ? told(*tones[i]) : Json()}};
        if (area.reading) {
            const auto& error = area.reading->error;
            row["error"] = {{"total", json_of(error.total)}, {"card", json_of(error.card)}, {"texture", json_of(error.texture)}, {"light", json_of(error.light)}, {"shade", json_of(error.shade)}};
            row["spread"] = json_of(area.reading->spread_de00);
        }
        areas.push_back(row);
    }
    Json chart;
    if (photo.chart) {
        chart = {{"median", json_of(photo.chart->median_de00)}, {"nine_of_ten", json_of(photo.chart->ninth_in_ten_de00)}};
    }
    print_json({{"photo", photo.name}, {"width", photo.width}, {"height", photo.height}, {"bits", photo.bits}, {"colours", photo.colours}, {"taken", photo.taken}, {"location", photo.location},
                {"refused", photo.refused}, {"card_chroma", photo.card ? json_of(photo.card->cast_chroma) : Json()}, {"chart", chart}, {"findings", told(photo.words)}, {"areas", areas}, {"holds", app::photo_holds_words()}});
}

Exit measure(const Session& session, const Asked& asked) {
    const auto marks = marks_of(session, asked);
    if (!marks) {
        return say_refusal(session, marks.error());
    }
    const auto photo = app::measure_photo_file(asked.file, *marks);
    if (!photo) {
        return say_refusal(session, photo.error());
    }
    Tones tones(photo->areas.size());
    const bool all = std::ranges::all_of(photo->areas, [](const app::MeasuredArea& area) { return area.reading.has_value(); });
    const auto answer = [&] {
        session.style == Style::json ? tell_json(*photo, tones) : print_text(*photo, tones);
        return all ? Exit::done : Exit::refused;
    };
    if (asked.metal.empty()) {
        return answer();
    }
    return with_studio(session, Use::reads, [&](app::Studio& studio) {
        for (std::size_t i = 0; i < tones.size(); ++i) {
            if (photo->areas[i].reading) {
                const auto& reading = *photo->areas[i].reading;
                const auto tone = app::tone_of_reading(studio, asked.metal, asked.surface, reading.lab, reading.error.total);
                if (!tone) {
                    return say_refusal(session, tone.error());
                }
                tones[i] = *tone;
            }
        }
        return answer();
    });
}

Exit difference(const Session& session, app::Studio& studio, Pair pair) {
    const auto first = app::reading_of(studio, "First", pair.first), second = app::reading_of(studio, "Second", pair.second);
    if (!first || !second) {
        return say_refusal(session, first ? second.error() : first.error());
    }
    if (!pair.tolerance.empty()) {
        const auto tolerance = parse_number("Within", pair.tolerance);
        if (!tolerance) {
            return say_refusal(session, tolerance.error());
        }
        pair.ask.tolerance_de00 = *tolerance;
    }
    const auto found = app::difference_of(studio, *first, *second, pair.ask);
    if (!found) {
        return say_refusal(session, found.error());
    }
    if (session.style == Style::json) {
        print_json({{"first", first->name}, {"second", second->name}, {"de00", json_of(found->de00)}, {"error", json_of(found->error_de00)}, {"told_apart", found->told_apart}, {"l", json_of(found->l)},
                    {"c", json_of(found->c)}, {"h", json_of(found->h)}, {"tones", json_of(found->tones)}, {"within", found->within ? Json(*found->within) : Json()}, {"words", found->words}, {"holds", app::photo_holds_words()}});
    } else {
        print(fmt::format("{} against {}: {}\n  {}\n", second->name, first->name, found->words, app::photo_holds_words()));
    }
    return found->within.value_or(true) ? Exit::done : Exit::refused;
}

Exit steady(const Session& session, app::Studio& studio, const std::vector<std::string>& typed) {
    std::vector<app::ColourReading> readings;
    for (const std::string& one : typed) {
        const auto reading = app::reading_of(studio, "Reading", one);
        if (!reading) {
            return say_refusal(session, reading.error());
        }
        readings.push_back(*reading);
    }
    const auto found = app::steadiness_of(readings);
    if (!found) {
        return say_refusal(session, found.error());
    }
    if (session.style == Style::json) {
        print_json({{"readings", found->readings}, {"scatter", json_of(found->scatter_de00)}, {"smallest", json_of(found->smallest_de00)}, {"words", found->words}});
    } else {
        print(found->words + "\n");
    }
    return Exit::done;
}

}  // namespace

void add_tone_photo_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App& group = group_of(parser, "tone");
    CLI::App* photo = group.add_subcommand("photo", "Measure pieces in a photo that holds a grey card");
    const auto asked = std::make_shared<Asked>();
    photo->add_option("file", asked->file, "JPEG, PNG, TIFF or HEIC")->required();
    photo->add_option("--card", asked->card, "Grey card: left,top,width,height in pixels of the upright photo, or corners \"x,y x,y x,y\"");
    photo->add_option("--area", asked->areas, "The same for a piece or part of it; more than one may be named")->required();
    photo->add_option("--chart", asked->chart, "Field of 6 x 4 patches: a rectangle, or its four corners, the brown patch's first, then clockwise");
    photo->add_option("--chart-colours", asked->chart_colours, "CSV with L, a, b of your own chart; without it the published ones");
    photo->add_flag("--chart-before-2014", asked->chart_before_2014, "The chart was made before November 2014");
    photo->add_option("--card-colour", asked->card_colour, "L*, a*, b* of your card, \"49.5,0,0\" without it");
    photo->add_option("--light", asked->light, "day, lamp, or not said")->check(CLI::IsMember({"day", "lamp", "not said"}));
    photo->add_flag("--other-ground", asked->other_ground, "Card and piece lie on different cloth or board");
    photo->add_option("--metal", asked->metal, "Place the colour on this metal's scale");
    photo->add_option("--surface", asked->surface, "Its surface");
    photo->callback([&session, &chosen, asked] { chosen = [&session, asked] { return measure(session, *asked); }; });

    CLI::App* apart = group.add_subcommand("difference", "How far two measured colours lie apart, and which way along the scale");
    const auto pair = std::make_shared<Pair>();
    apart->add_option("first", pair->first, "\"L,a,b\" under D50, with what it may be off by as a fourth figure where known; or the number of a measured piece or strip")->required();
    apart->add_option("second", pair->second, "The other one")->required();
    apart->add_option("--metal", pair->ask.metal, "Say how far along this metal's scale");
    apart->add_option("--surface", pair->ask.surface, "Its surface");
    apart->add_option("--within", pair->tolerance, "The difference that is accepted (CIEDE2000)");
    CLI::App* again = group.add_subcommand("steady", "One piece measured again and again: from what on a difference is worth believing");
    const auto typed = std::make_shared<std::vector<std::string>>();
    again->add_option("readings", *typed, "\"L,a,b\" of each, or as for difference")->required();
    again->callback([&session, &chosen, typed] {
        chosen = [&session, typed] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return steady(session, studio, *typed); }); };
    });
    apart->callback([&session, &chosen, pair] {
        chosen = [&session, pair] { return with_studio(session, Use::reads, [&](app::Studio& studio) { return difference(session, studio, *pair); }); };
    });
}

}  // namespace tonebath::command
