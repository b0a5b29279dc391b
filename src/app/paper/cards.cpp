#include "app/paper/cards.hpp"

#include "app/classes.hpp"
#include "app/emergency.hpp"
#include "app/paper/door_card.hpp"
#include "app/resolve.hpp"
#include "app/stone_notes.hpp"
#include "app/studio.hpp"
#include "app/views/scales_view.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "model/rules/rule.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace tonebath::app {

namespace {

constexpr const char* kInvented = "Invented demo studio";
constexpr const char* kNotColour = "Print is not colour: hold pieces against the strips themselves, in daylight.";

report::Report sheet(Studio& studio, std::string kind, std::string title, std::string line, std::string foot) {
    return {.kind = std::move(kind),
            .title = std::move(title),
            .line = studio.demo() ? std::string(kInvented) + (line.empty() ? "" : " · " + line) : std::move(line),
            .blocks = {},
            .foot = std::move(foot),
            .made_at = studio.now()};
}

std::string seconds(double value) { return text_of(Seconds::from_seconds(value)); }

// The strip of a scale, with the aim where there is one.
report::Strip strip_of(Studio& studio, const Id<ToneScale>& scale, const Id<Tone>& aim) {
    report::Strip strip;
    const auto scales = scales_view(studio);
    const auto found = std::find_if(scales.begin(), scales.end(), [&](const ScaleView& one) { return one.id == scale; });
    if (found == scales.end()) {
        return strip;
    }
    strip.bare_colour = found->bare_colour;
    for (const ScaleTone& tone : found->tones) {
        if (tone.id == aim) {
            strip.aim = static_cast<int>(strip.tones.size());
        }
        strip.tones.push_back({tone.word, tone.colour});
    }
    return strip;
}

void add_emergency(report::Report& report, const EmergencyText& page, const EmergencyNumbers& numbers) {
    report.blocks.push_back(report::Cautions{{page.title + ". " + filled(page.first, numbers) + ".", filled(page.first_note, numbers),
                                              filled(page.second, numbers) + "."}});
}

Result<EmergencyText> emergency_page(Studio& studio, std::string_view key) {
    const auto pages = read_emergency_pages(studio.options().checklists);
    if (!pages) {
        return pages.error();
    }
    const auto found = std::find_if(pages->begin(), pages->end(), [key](const EmergencyText& one) { return one.key == key; });
    TB_CHECK(found != pages->end());
    return *found;
}

std::optional<Bath> newest_in_use(Studio& studio) {
    auto baths = store::list<Bath>(studio.log(), "WHERE ended_utc_ms IS NULL ORDER BY made_up_utc_ms DESC, id DESC LIMIT 1");
    return baths.empty() ? std::nullopt : std::optional<Bath>(std::move(baths.front()));
}

std::string make_up_of(Studio& studio, const Bath& bath) {
    std::string words = studio.finish_kind(bath.finish_kind).name;
    const auto lot = bath.lot_id ? store::find(studio.log(), *bath.lot_id) : std::nullopt;
    if (lot && bath.amount) {
        words += fmt::format(", {} {}", fixed_text(*bath.amount, 1), word_of(lot->unit));
    }
    if (bath.water) {
        words += " in " + text_of(*bath.water);
    }
    return words;
}

std::string never_meets(const FinishKind& kind) { return kind.never_meets.empty() ? std::string() : "It never meets " + kind.never_meets + "."; }

// What holds a dip back, in the words of the list.
report::Cautions stops_for(Studio& studio, const FinishKind& kind) {
    report::Cautions cautions;
    if (const std::string words = never_meets(kind); !words.empty()) {
        cautions.lines.push_back(words);
    }
    if (const Checklist* list = studio.checklists().find("before_session")) {
        for (const ChecklistItem& item : items_for(*list, kind)) {
            if (item.level == CheckLevel::stop) {
                cautions.lines.push_back("Stop unless: " + item.text);
            }
        }
        cautions.lines.push_back(list->ends_in);
    }
    return cautions;
}

// Common practice, no source: how a sulfide patina is kept.
std::vector<std::string> care_lines(bool sealed) {
    return {"The colour is a thin layer on the metal: it wears where it is rubbed, first at edges and high points.",
            sealed ? "Its seal wears too; it can be renewed by whoever made it." : "It was left unsealed: it goes on changing slowly in air, and that is its nature.",
            "Keep it dry and away from bath, pool, perfume and cleaning agents. Wipe it with a soft dry cloth.",
            "No silver dip, polish, paste or polishing cloth: they take the colour off. No ultrasonic bath, no tumbler."};
}

}  // namespace

Result<report::Report> repeat_card(Studio& studio, const Learned& learned, const RepeatAsk& ask) {
    const auto order = repeat_order(studio, learned, ask);
    if (!order) {
        return order.error();
    }
    report::Report card = sheet(studio, "repeat card", fmt::format("{} again: {}", order->number, order->tone), "as " + order->pattern,
                                fmt::format("Repeat card of {} · the time holds for this bath, this day", order->number));
    card.blocks.push_back(strip_of(studio, order->scale_id, order->tone_id));
    report::Figures figures;
    if (order->out_s) {
        figures.figures.push_back({"out at", seconds(*order->out_s),
                                   order->low_s && order->high_s ? fmt::format("aim {} to {}", seconds(*order->low_s), seconds(*order->high_s)) : ""});
    }
    std::vector<std::string> strips;
    for (const double strip_s : order->strips_s) {
        strips.push_back(seconds(strip_s));
    }
    if (!strips.empty()) {
        figures.figures.push_back({"strips first", joined(strips, ", "), ""});
    }
    card.blocks.push_back(std::move(figures));
    card.blocks.push_back(report::Lines{repeat_words(*order)});
    report::Table changes{.name = "Then and now", .head = {"what", "then", "now", ""}};
    for (const RepeatChange& change : order->changes) {
        changes.rows.push_back({change.what, change.then.empty() ? "–" : change.then, change.now.empty() ? "–" : change.now, std::string(word_of(change.likeness))});
    }
    card.blocks.push_back(std::move(changes));
    card.blocks.push_back(report::Lines{{kNotColour}});
    return card;
}

Result<report::Report> class_hand_out(Studio& studio, const std::string& number) {
    std::optional<ClassSession> session = class_to_show(studio);
    if (!number.empty() || !session) {
        const auto named = resolve<ClassSession>(studio, "Class", number);
        if (!named) {
            return named.error();
        }
        session = *named;
    }
    const auto splash = emergency_page(studio, "splash");
    if (!splash) {
        return splash.error();
    }
    report::Report sheet_out = sheet(studio, "class hand-out", session->title.empty() ? "Class " + session->number : session->title, date_time_text(session->at),
                                     "Class hand-out · general words; your teacher's come before these");
    std::optional<Bath> bath = newest_in_use(studio);
    if (auto own = baths_of(studio, *session); !own.empty()) {
        bath = std::move(own.back());
    }
    if (bath) {
        const FinishKind& kind = studio.finish_kind(bath->finish_kind);
        sheet_out.blocks.push_back(report::Facts{{{"the bath", make_up_of(studio, *bath)}, {"ends its work", kind.stop_rinse}}});
        sheet_out.blocks.push_back(stops_for(studio, kind));
    } else {
        sheet_out.blocks.push_back(report::Lines{{"No bath is made up yet: the teacher says what it will be."}});
    }
    if (session->aim_id) {
        if (const auto aim = store::find(studio.log(), *session->aim_id)) {
            sheet_out.blocks.push_back(report::Heading{"The tones, in the order they come"});
            sheet_out.blocks.push_back(strip_of(studio, aim->scale_id, aim->id));
            sheet_out.blocks.push_back(report::Lines{{"They always come in this order and never go back; bring the piece out early, rinse and look.", kNotColour}});
        }
    }
    sheet_out.blocks.push_back(report::Heading{"At the bath"});
    sheet_out.blocks.push_back(report::Lines{{"Goggles and gloves on before the cover comes off. No food, no drink. Nobody dips alone.",
                                              "Lift out when your number is called, straight into the rinse; then dry the piece before more work.",
                                              "Smell is no guide: it is lost where it matters. Say so when the fan stops or anything is spilt."}});
    add_emergency(sheet_out, *splash, emergency_numbers(studio));
    sheet_out.blocks.push_back(report::Heading{"Your piece at home"});
    sheet_out.blocks.push_back(report::Lines{care_lines(false)});
    return sheet_out;
}

namespace {

struct Work {
    std::set<std::string> finishes;
    std::string seal;
    std::optional<Stamp> sealed_at;
    std::string tone;
};

// What was done to it, over the piece and its parts.
Work work_on(Studio& studio, const Piece& piece) {
    Work work;
    store::Query dips(studio.log(),
                      "SELECT DISTINCT bath.finish_kind FROM dip JOIN bath ON bath.id = dip.bath_id WHERE dip.piece_id = ?1 OR dip.part_id IN "
                      "(SELECT id FROM part WHERE piece_id = ?1)",
                      {piece.id.text});
    while (dips.next()) {
        work.finishes.insert(studio.finish_kind(dips.text(0)).name);
    }
    const auto seals = store::list<AfterWork>(studio.log(),
                                              "WHERE step = 'sealed' AND (piece_id = ?1 OR part_id IN (SELECT id FROM part WHERE piece_id = ?1) OR batch_id IS ?2) "
                                              "ORDER BY at_utc_ms DESC, id DESC LIMIT 1",
                                              {piece.id.text, piece.batch_id ? store::Bound(piece.batch_id->text) : store::Bound("no batch")});
    if (!seals.empty()) {
        work.seal = seals.front().with.empty() ? "sealed, with what is not written down" : seals.front().with;
        work.sealed_at = seals.front().at;
    }
    store::Query tone(studio.log(),
                      "SELECT tone.word FROM judgement JOIN tone ON tone.id = judgement.tone_id WHERE judgement.piece_id = ?1 OR judgement.part_id IN "
                      "(SELECT id FROM part WHERE piece_id = ?1) ORDER BY judgement.at_utc_ms DESC, judgement.id DESC LIMIT 1",
                      {piece.id.text});
    work.tone = tone.next() ? tone.text(0) : std::string();
    return work;
}

std::vector<std::string> stone_lines(Studio& studio, const Piece& piece, const std::vector<StoneNote>& notes) {
    std::vector<std::string> lines;
    for (const Stone& stone : store::list<Stone>(studio.log(), "WHERE piece_id = ?1 ORDER BY number", {piece.id.text})) {
        const auto note = note_for(notes, stone);
        const std::string kind = stone.kind.empty() ? "a stone" : stone.kind;
        if (!note) {
            lines.push_back(fmt::format("{}: nothing is noted about it; keep it dry and ask its maker.", kind));
            continue;
        }
        std::vector<std::string> avoid;
        std::vector<std::string> caution;
        for (const auto& [what, word] : note->against) {
            if (word == "avoid" || word == "caution") {
                (word == "avoid" ? avoid : caution).push_back(what == "alkalis_sulfides" ? "alkalis" : what);
            }
        }
        std::string words = avoid.empty() ? "" : fmt::format("avoid {}", joined(avoid, ", "));
        if (!caution.empty()) {
            words += fmt::format("{}take care with {}", words.empty() ? "" : "; ", joined(caution, ", "));
        }
        lines.push_back(words.empty() ? fmt::format("{}: nothing is noted against it here; that is no promise.", kind)
                                      : fmt::format("{}: {}. Noted in: {}.", kind, words, note->source));
    }
    return lines;
}

}  // namespace

Result<report::Report> care_card(Studio& studio, const std::string& number) {
    const auto piece = resolve<Piece>(studio, "Piece", number);
    if (!piece) {
        return piece.error();
    }
    const Work work = work_on(studio, *piece);
    if (work.finishes.empty()) {
        return rules::refuse("care.not_finished", {"Piece", piece->number}, "no bath or treatment of it is written down.", "Write its dips down first.");
    }
    const auto notes = read_stone_notes(studio.options().data / "stones.csv");
    if (!notes) {
        return notes.error();
    }
    report::Report card = sheet(studio, "care card", piece->design.empty() ? "Your piece" : piece->design, piece->number, "Care card of " + piece->number);
    std::vector<std::string> metals;
    for (const Part& part : store::list<Part>(studio.log(), "WHERE piece_id = ?1 ORDER BY name, id", {piece->id.text})) {
        const std::string metal = part.metal_id ? name_of(studio, *part.metal_id) : "metal not written down";
        metals.push_back(part.name.empty() || part.name == "whole" ? metal : part.name + " " + metal);
    }
    report::Facts facts{{{"metal", metals.empty() ? "not written down" : joined(metals, ", ")},
                         {"finish", joined(std::vector<std::string>(work.finishes.begin(), work.finishes.end()), "; ")}}};
    if (!work.tone.empty()) {
        facts.facts.push_back({"tone when it left", work.tone});
    }
    facts.facts.push_back({"seal", work.seal.empty() ? "none written down" : work.seal + (work.sealed_at ? ", " + date_text(*work.sealed_at) : "")});
    card.blocks.push_back(std::move(facts));
    card.blocks.push_back(report::Heading{"How to keep it"});
    std::vector<std::string> care = care_lines(!work.seal.empty());
    care.emplace_back("General words, common practice; a source stands where there is one.");
    card.blocks.push_back(report::Lines{std::move(care)});
    if (auto lines = stone_lines(studio, *piece, *notes); !lines.empty()) {
        card.blocks.push_back(report::Heading{"Its stones: keep from them"});
        card.blocks.push_back(report::Lines{std::move(lines)});
    }
    return card;
}

Result<report::Report> door_sign(Studio& studio, const std::string& number) {
    std::optional<Bath> bath = newest_in_use(studio);
    if (!number.empty()) {
        const auto named = resolve<Bath>(studio, "Bath", number);
        if (!named) {
            return named.error();
        }
        bath = *named;
    }
    if (!bath) {
        return rules::refuse("door.no_bath", {"Bath", ""}, "no bath is in use.", "Name the bath, or make it up first.");
    }
    const auto gas = emergency_page(studio, "gas");
    if (!gas) {
        return gas.error();
    }
    const FinishKind& kind = studio.finish_kind(bath->finish_kind);
    report::Report sign = sheet(studio, "door sign", "A bath is in use", kind.name, "Door sign · take it down when the bath is covered or gone");
    sign.letters = kOnADoor;
    sign.blocks.push_back(report::Cautions{{"Knock and wait. Nobody comes in without goggles who works here, nobody at all who does not.", "No child, no animal, no food, no drink.",
                                            never_meets(kind).empty() ? "Bring nothing in." : never_meets(kind) + " Bring none of it in."}});
    const auto who = studio.at_bench();
    const EmergencyNumbers numbers = emergency_numbers(studio);
    sign.blocks.push_back(report::Figures{{{"bath", bath->number, "since " + time_text(bath->made_up_at)}, {"at the bench", who ? who->initials : "____", ""}}});
    add_emergency(sign, *gas, numbers);
    constexpr std::size_t kByHand = 24;
    report::Facts by_hand;
    if (numbers.emergency_number.empty()) {
        by_hand.facts.push_back({"emergency", or_by_hand("", kByHand)});
    } else {
        sign.blocks.push_back(report::Figures{{{"emergency", numbers.emergency_number, ""}}});
    }
    by_hand.facts.push_back({"poison line", or_by_hand(numbers.poison_line, kByHand)});
    by_hand.facts.push_back({"this place", or_by_hand(numbers.address, kByHand)});
    sign.blocks.push_back(std::move(by_hand));
    return sign;
}

Result<report::Report> tone_card(Studio& studio, const std::string& name) {
    const auto scale = resolve<ToneScale>(studio, "Scale", name);
    if (!scale) {
        return scale.error();
    }
    const std::string called = name_of(studio, *scale);
    report::Report card = sheet(studio, "tone card", "Tones on " + called, "the studio's own strips", "Tone card · " + called);
    card.blocks.push_back(report::Cautions{{kNotColour}});
    card.blocks.push_back(strip_of(studio, scale->id, {}));
    report::Table table{.name = "", .head = {"tone", "strip", "bath", "in the bath", "judged"}};
    for (const Tone& tone : tones_of(studio, scale->id)) {
        store::Query strips(studio.log(),
                            "SELECT strip.number, bath.number, dip.in_bath_s, judgement.at_utc_ms, judgement.at_offset_min FROM judgement JOIN strip ON strip.id = "
                            "judgement.strip_id LEFT JOIN dip ON dip.id = judgement.dip_id LEFT JOIN bath ON bath.id = dip.bath_id "
                            "WHERE judgement.tone_id = ?1 AND judgement.sense = 'is' ORDER BY judgement.at_utc_ms DESC, judgement.id LIMIT 3",
                            {tone.id.text});
        bool any = false;
        while (strips.next()) {
            const auto in_bath_s = strips.maybe_real(2);
            table.rows.push_back({any ? "" : tone.word, strips.text(0), strips.unknown(1) ? "–" : strips.text(1), in_bath_s ? seconds(*in_bath_s) : "–",
                                  date_text(strips.stamp(3))});
            any = true;
        }
        if (!any) {
            table.rows.push_back({tone.word, "no strip yet", "–", "–", "–"});
        }
    }
    card.blocks.push_back(std::move(table));
    card.blocks.push_back(report::Lines{{"Seconds are those of that bath on that day, not of today's: the plan tells today's."}});
    return card;
}

}  // namespace tonebath::app
