// Paper out: "card" for the wall above the bath, "label" for bowls and pieces.
#include "app/paper/bench_card.hpp"
#include "app/paper/cards.hpp"
#include "app/paper/door_card.hpp"
#include "app/paper/paper.hpp"
#include "base/text.hpp"
#include "command/bath_choice.hpp"
#include "command/json_text.hpp"
#include "command/topics.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <array>
#include <memory>

namespace tonebath::command {

namespace {

struct Paper {
    std::string out;  // empty = said on the screen
    std::string size = "a4";

    void add_to(CLI::App* command) {
        command->add_option("--out", out, "The PDF to write; without it the words are said");
        command->add_option("--paper", size, "a4, letter or a5")->check(CLI::IsMember({"a4", "letter", "a5"}));
    }
    [[nodiscard]] report::PaperSize chosen() const { return *from_word<report::PaperSize>(size); }
};

// As a PDF where one is named, else in words.
Exit put_out(const Session& session, const Paper& paper, const Result<report::Report>& card) {
    if (!card) {
        return say_refusal(session, card.error());
    }
    if (!paper.out.empty()) {
        if (const auto saved = app::save_pdf(*card, paper.chosen(), paper.out); !saved) {
            return say_refusal(session, saved.error());
        }
    }
    if (session.style == Style::json) {
        print(app::report_json(*card));
    } else if (paper.out.empty()) {
        print(app::report_text(*card));
    } else {
        print(fmt::format("{} is in {}\n", card->title, paper.out));
    }
    return Exit::done;
}

struct CardAsked {
    Paper paper;
    std::string bath;
    AimAsked aim;
};

Exit card(const Session& session, app::Studio& studio, const CardAsked& asked) {
    const auto bath = bath_or_newest(studio, asked.bath);
    if (!bath) {
        return say_refusal(session, bath.error());
    }
    const auto tone = aim_of(studio, asked.aim);
    if (!tone) {
        return say_refusal(session, tone.error());
    }
    return put_out(session, asked.paper,
                   app::bench_card(studio, *app::learn(studio),
                                   {.bath_id = bath->id, .scale_id = tone->scale_id, .tone_id = tone->id}, asked.paper.chosen()));
}

struct LabelsAsked {
    Paper paper;
    std::vector<std::string> baths, pieces;
    std::string sheet = "3x8";
    int used = 0;
};

Exit labels(const Session& session, app::Studio& studio, const LabelsAsked& asked) {
    const auto sheet = app::label_sheet(asked.sheet, asked.paper.chosen());
    if (!sheet) {
        return say_refusal(session, sheet.error());
    }
    std::vector<report::Label> all;
    if (!asked.baths.empty()) {
        const auto baths = app::bath_labels(studio, *app::learn(studio), asked.baths);
        if (!baths) {
            return say_refusal(session, baths.error());
        }
        all = *baths;
    }
    const auto pieces = app::piece_labels(studio, asked.pieces);
    if (!pieces) {
        return say_refusal(session, pieces.error());
    }
    all.insert(all.end(), pieces->begin(), pieces->end());
    if (all.empty()) {
        return say_refusal(session, Refusal{.code = "label.none",
                                            .field = "Label",
                                            .value = {},
                                            .message = "nothing was named.",
                                            .remedy = "Name baths with --bath 46 or pieces with --piece L-131..L-138.",
                                            .answers = {}});
    }
    if (!asked.paper.out.empty()) {
        if (const auto saved = app::save_pdf(all, *sheet, asked.used, studio.now(), asked.paper.out); !saved) {
            return say_refusal(session, saved.error());
        }
    }
    if (session.style == Style::json) {
        nlohmann::ordered_json rows = nlohmann::ordered_json::array();
        for (const report::Label& label : all) {
            rows.push_back({{"number", label.number}, {"check", label.check}, {"code", label.payload}, {"lines", label.lines},
                            {"hazard", label.hazard}});
        }
        print_json(rows);
        return Exit::done;
    }
    for (const report::Label& label : all) {
        print(fmt::format("{}+{}  {}\n", label.number, label.check, joined(label.lines, ", ")));
    }
    if (!asked.paper.out.empty()) {
        print(fmt::format("{} in {}\n", counted(all.size(), "label", "labels"), asked.paper.out));
    }
    return Exit::done;
}

// A card of one thing: its command, what it is of, and how it is made.
struct CardOf {
    const char* name;
    const char* help;
    const char* of;
    bool needed;
    Result<report::Report> (*make)(app::Studio&, const std::string&);
};
constexpr std::array<CardOf, 5> kCards{{
    {"repeat-card", "An order or a piece again: today's time, strips to dip first, what changed since", "Number of the order or piece: R-07", true,
     [](app::Studio& studio, const std::string& number) { return app::repeat_card(studio, *app::learn(studio), {.number = number}); }},
    {"hand-out", "For the seats of a class: bath, tones, stops, splash, care; no name of a student", "Number of the class; without it the one that goes on, or the next",
     false, app::class_hand_out},
    {"care-card", "For the buyer of a piece, from its real finish, seal and stones", "Number of the piece: L-131", true, app::care_card},
    {"door-sign", "For the door while a bath is in use", "Number of the bath; without it the newest in use", false, app::door_sign},
    {"tone-card", "A tone scale with the numbers of the studio's own strips", "The scale: sterling", true, app::tone_card},
}};

void add_cards(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    for (const CardOf& card : kCards) {
        CLI::App* command = parser.add_subcommand(card.name, card.help);
        const auto paper = std::make_shared<Paper>();
        const auto of = std::make_shared<std::string>();
        paper->add_to(command);
        command->add_option("of", *of, card.of)->required(card.needed);
        command->callback([&session, &chosen, &card, paper, of] {
            chosen = [&session, &card, paper, of] {
                return with_studio(session, Use::reads, [&](app::Studio& studio) { return put_out(session, *paper, card.make(studio, *of)); });
            };
        });
    }
}

}  // namespace

void add_paper_commands(CLI::App& parser, const Session& session, std::function<Exit()>& chosen) {
    CLI::App* card_command = parser.add_subcommand("card", "The bench card of a bath and a tone: one page for the wall");
    const auto card_asked = std::make_shared<CardAsked>();
    card_asked->paper.add_to(card_command);
    card_command->add_option("--bath", card_asked->bath, "Its number; without it the newest in use");
    card_command->add_option("--tone", card_asked->aim.tone, "The tone's word: blue, or \"sterling: blue\"");
    card_command->add_option("--metal", card_asked->aim.metal, "Whose scale the word is on: sterling");
    card_command->add_option("--surface", card_asked->aim.surface, "bright, satin, matt, hammered, where it has a scale of its own");
    card_command->add_option("--target", card_asked->aim.target, "A target tone instead of tone and metal");
    card_command->callback([&session, &chosen, card_asked] {
        chosen = [&session, card_asked] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return card(session, studio, *card_asked); });
        };
    });

    add_cards(parser, session, chosen);

    CLI::App* door_command = parser.add_subcommand("door-card", "An emergency page for the door, with the studio's own numbers");
    const auto door_paper = std::make_shared<Paper>();
    const auto page = std::make_shared<std::string>();
    door_paper->add_to(door_command);
    door_command->add_option("page", *page, "gas, splash or fire")->required();
    door_command->callback([&session, &chosen, door_paper, page] {
        chosen = [&session, door_paper, page] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return put_out(session, *door_paper, app::door_card(studio, *page)); });
        };
    });

    CLI::App* label_command = parser.add_subcommand("label", "Labels with number, check character and QR code");
    const auto labels_asked = std::make_shared<LabelsAsked>();
    labels_asked->paper.add_to(label_command);
    label_command->add_option("--bath", labels_asked->baths, "Baths to label: 46");
    label_command->add_option("--piece", labels_asked->pieces, "Pieces to label: L-131, L-131..L-138");
    label_command->add_option("--sheet", labels_asked->sheet, "Columns and rows that fill the page, 3x8; or one a page, 62x29mm");
    label_command->add_option("--used", labels_asked->used, "Places of the first sheet that are gone already")->check(CLI::Range(0, 500));
    label_command->callback([&session, &chosen, labels_asked] {
        chosen = [&session, labels_asked] {
            return with_studio(session, Use::reads, [&](app::Studio& studio) { return labels(session, studio, *labels_asked); });
        };
    });
}

}  // namespace tonebath::command
