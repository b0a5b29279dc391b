#include "app/rescue.hpp"

#include "app/csv_file.hpp"
#include "app/facts.hpp"
#include "app/stone_notes.hpp"
#include "app/stones.hpp"
#include "app/studio.hpp"
#include "app/subject.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

// A line of data/rescue.csv.
struct Rule {
    RescueChoice choice;
    std::string touches;
    bool never_with_stone = false;
    bool silver_only = false;
};

Result<std::vector<Rule>> read_rules(const std::filesystem::path& file) {
    const auto rows = rows_under(file, "choice,name,how,touches,stone,metals,warning,source,trust");
    if (!rows) {
        return rows.error();
    }
    std::vector<Rule> rules;
    for (const CsvRecord& row : *rows) {
        const std::vector<std::string>& c = row.cells;
        const bool known = (c[4] == "never" || c[4] == "with_care") && (c[5] == "any" || c[5] == "silver") && (c[8] == "source" || c[8] == "practice" || c[8] == "memory");
        if (!known || c[7].empty()) {
            return bad_row(file, row.line, "stone is never or with_care, metals any or silver, trust source, practice or memory; and a source belongs to each.");
        }
        rules.push_back({.choice = {.key = c[0], .name = c[1], .how = c[2], .warning = c[6], .source = c[7], .trust = c[8]}, .touches = c[3],
                         .never_with_stone = c[4] == "never", .silver_only = c[5] == "silver"});
    }
    return rules;
}

class Rescuer {
public:
    Rescuer(Studio& studio, const Piece& piece, bool no_stone) : studio_(studio), piece_(piece) {
        stones_ = stones_on(studio, piece.id, studio.now());
        parts_ = store::list<Part>(studio.log(), "WHERE piece_id = ?1 ORDER BY name, id", {piece.id.text});
        told_ = no_stone || !stones_.empty();
        if (!stones_.empty()) {
            rows_ = stone_rows(studio);
        }
    }

    Result<Rescue> find() {
        auto rules = read_rules(studio_.options().data / "rescue.csv");
        if (!rules) {
            return rules.error();
        }
        auto notes = read_stone_notes(studio_.options().data / "stones.csv");
        if (!notes) {
            return notes.error();
        }
        notes_ = std::move(*notes);
        Rescue found{.piece = piece_.number, .stones_known = told_};
        metals();
        found.head = head();
        questions(found);
        for (const Rule& rule : *rules) {
            found.choices.push_back(weighed(rule));
        }
        std::stable_sort(found.choices.begin(), found.choices.end(), [](const RescueChoice& a, const RescueChoice& b) { return a.state < b.state; });
        rework(found);
        return found;
    }

private:
    void metals() {
        for (const Part& part : parts_) {
            const auto metal = part.metal_id ? store::find(studio_.log(), *part.metal_id) : std::nullopt;
            if (!metal) {
                metal_unknown_ = true;
                continue;
            }
            metals_.push_back(metal->name);
            all_silver_ = all_silver_ && metal->film == FilmConstants::silver;
            if (!metal->base_under.empty()) {
                thin_over_ = metal->name;
            }
        }
        metal_unknown_ = metal_unknown_ || parts_.empty();
        for (const AfterWork& work : after_work_of(studio_, subject_of(studio_, piece_))) {
            sealed_ = work.step == AfterStep::sealed ? (work.with.empty() ? "a seal" : work.with) : sealed_;
        }
    }

    std::string head() const {
        std::vector<std::string> words;
        words.push_back(metals_.empty() ? "metal not known" : joined(metals_, " and "));
        if (stones_.empty()) {
            words.emplace_back(told_ ? "no stone" : "no stone is recorded");
        }
        for (const Stone& stone : stones_) {
            words.push_back(stone.kind + (stone.backing == Backing::foil ? ", foil back" : ""));
        }
        if (!sealed_.empty()) {
            words.push_back("sealed with " + sealed_);
        }
        return joined(words, "; ");
    }

    void questions(Rescue& found) const {
        if (!told_) {
            found.ask_first.emplace_back("Is there a stone on it, foil, glue or a coat? None is recorded, and unknown is not none.");
        }
        for (const Stone& stone : stones_) {
            if (!note_for(notes_, stone)) {
                found.ask_first.push_back(fmt::format("What is the stone \"{}\"? Nothing is noted of that kind.", stone.kind));
            } else if (stone.backing == Backing::unknown) {
                found.ask_first.push_back(fmt::format("Has the {} a foil or a glued back? It is not written down.", stone.kind));
            }
        }
        if (metal_unknown_) {
            found.ask_first.emplace_back("Which metal is it? It is not written down.");
        }
    }

    // The strictest of what stands against a choice.
    RescueChoice weighed(const Rule& rule) const {
        RescueChoice choice = rule.choice;
        const auto make = [&choice](RescueState state, std::string why) {
            if (state > choice.state) {
                choice.state = state;
                choice.why = std::move(why);
            }
        };
        if (rule.never_with_stone && !stones_.empty()) {
            make(RescueState::closed, "never " + (rule.touches == "acids" ? std::string("acid") : rule.touches) + " with a stone on the piece: " + stones_.front().kind);
        }
        if (rule.never_with_stone && !told_) {
            make(RescueState::ask, "not before it is known whether a stone is on it");
        }
        if (rule.touches != "none" && !told_) {
            make(RescueState::ask, "stones are not recorded: look first");
        }
        for (const Stone& stone : stones_) {
            against_stone(rule, stone, choice, make);
        }
        if (rule.silver_only && !all_silver_) {
            make(RescueState::closed, "for silver alone");
        }
        if (rule.touches != "none" && metal_unknown_) {
            make(RescueState::ask, "the metal is not known");
        }
        if (!thin_over_.empty() && (rule.touches == "rubbing" || rule.touches == "tumbling")) {
            make(RescueState::careful, thin_over_ + " is a thin layer: rubbing goes through it");
        }
        if (!sealed_.empty() && rule.touches != "none") {
            make(RescueState::careful, "it is sealed with " + sealed_ + ": the seal comes off first");
        }
        if (choice.state == RescueState::open && !choice.warning.empty()) {
            choice.state = RescueState::careful;
        }
        return choice;
    }

    template <class Make>
    void against_stone(const Rule& rule, const Stone& stone, RescueChoice& choice, const Make& make) const {
        if (rule.touches == "none") {
            return;
        }
        const auto note = note_for(notes_, stone);
        if (note && rule.touches == "rubbing") {
            make(RescueState::careful, "keep off the " + stone.kind + (note->backing_note.empty() || note->backing_note == "none" ? "" : ": " + note->backing_note));
        }
        const OwnStones own = by_own_log(rule, stone, choice, make);
        if (!note) {
            make(own.clean() ? RescueState::careful : RescueState::ask, "nothing is noted of the stone \"" + stone.kind + "\"" + (own.clean() ? ": your own log alone speaks for it" : ""));
            return;
        }
        if (rule.touches == "rubbing") {
            return;
        }
        const auto word = note->against.find(rule.touches);
        const std::string said = word == note->against.end() ? "unknown" : word->second;
        const std::string source = note->source.empty() ? std::string() : " (" + note->source + ")";
        if (said == "avoid") {
            make(RescueState::closed, fmt::format("{}: avoid{}", note->kind, source));
        } else if (said == "unknown") {
            make(own.clean() ? RescueState::careful : RescueState::ask,
                 own.clean() ? fmt::format("{}: nothing is published; your own log alone speaks for it", note->kind) : fmt::format("{}: nothing is known; your own log or a spare decides", note->kind));
        } else if (said == "caution") {
            make(RescueState::careful, fmt::format("{}: take care{}", note->kind, source));
        }
        if (said != "unknown") {
            once(choice.noted, fmt::format("{}: {}{}", note->kind, said == "caution" ? "take care" : said, source));
        }
        choice.conflict = choice.conflict || (own.near.seen > 0 && own.near.harmed == 0 && said == "avoid") || (own.near.harmed > 0 && said != "avoid" && said != "unknown");
    }

    // What harmed stones like it here is minded, whatever is published.
    template <class Make>
    OwnStones by_own_log(const Rule& rule, const Stone& stone, RescueChoice& choice, const Make& make) const {
        const auto row = std::ranges::find(rows_, stone.id, &StoneRow::id);
        if (row == rows_.end()) {
            return {};
        }
        OwnStones own = own_stones(studio_.finish_kinds(), rows_, *row, rule.touches);
        for (const std::string& words : own.words) {
            once(choice.own, words);
        }
        if (own.near.harmed > 0) {
            // A hand that rubs can keep off the stone.
            const bool closes = own.mostly_harmed() && rule.touches != "rubbing";
            make(closes ? RescueState::closed : RescueState::careful, fmt::format("your own log: {} of {} like the {} were harmed after it", own.near.harmed, own.near.seen, stone.kind));
        }
        return own;
    }

    static void once(std::vector<std::string>& list, const std::string& words) {
        if (std::ranges::find(list, words) == list.end()) {
            list.push_back(words);
        }
    }

    // Done again after it was judged gone over a tone, or further than the tone aimed at.
    void rework(Rescue& found) const {
        const Subject whole = subject_of(studio_, piece_);
        std::vector<Subject> all{whole};
        for (const Part& part : parts_) {
            all.push_back(subject_of(studio_, part));
        }
        std::optional<Stamp> over;
        for (const Subject& subject : all) {
            for (const Judgement& one : judgements_of(studio_, subject)) {
                if (is_over(one) && (!over || one.at < *over)) {
                    over = one.at;
                }
            }
        }
        if (!over) {
            return;
        }
        std::vector<std::string> seen;
        for (const Subject& subject : all) {
            for (const Dip& dip : dips_of(studio_, subject)) {
                const auto when = when_dipped(dip);
                if (when && *over < *when && std::find(seen.begin(), seen.end(), dip.id.text) == seen.end()) {
                    seen.push_back(dip.id.text);
                    found.rework.push_back({"dipped again", *when});
                }
            }
            for (const AfterWork& work : after_work_of(studio_, subject)) {
                const bool lightens = work.step == AfterStep::rubbed_back || work.step == AfterStep::brushed || work.step == AfterStep::tumbled;
                if (lightens && *over < work.at && std::find(seen.begin(), seen.end(), work.id.text) == seen.end()) {
                    seen.push_back(work.id.text);
                    found.rework.push_back({std::string(tonebath::word_of(work.step)), work.at});
                }
            }
        }
        std::sort(found.rework.begin(), found.rework.end(), [](const Rework& a, const Rework& b) { return a.at < b.at; });
    }

    bool is_over(const Judgement& judgement) const {
        if (judgement.sense == Sense::gone_over) {
            return true;
        }
        const auto tone = judgement.tone_id ? store::find(studio_.log(), *judgement.tone_id) : std::nullopt;
        std::optional<Id<Target>> target_id = piece_.target_id;
        if (!target_id && piece_.batch_id) {
            const auto batch = store::find(studio_.log(), *piece_.batch_id);
            target_id = batch ? batch->target_id : std::nullopt;
        }
        const auto target = target_id ? store::find(studio_.log(), *target_id) : std::nullopt;
        const auto aim = target ? store::find(studio_.log(), target->tone_id) : std::nullopt;
        return tone && aim && judgement.sense == Sense::is && tone->scale_id == aim->scale_id && tone->position > aim->position;
    }

    Studio& studio_;
    const Piece& piece_;
    std::vector<Stone> stones_;
    std::vector<StoneRow> rows_;  // all of the log
    std::vector<Part> parts_;
    std::vector<StoneNote> notes_;
    std::vector<std::string> metals_;
    std::string thin_over_;
    std::string sealed_;
    bool told_ = false;
    bool all_silver_ = true;
    bool metal_unknown_ = false;
};

}  // namespace

std::string_view word_of(RescueState state) {
    switch (state) {
        case RescueState::open:
            return "open";
        case RescueState::careful:
            return "with care";
        case RescueState::ask:
            return "ask first";
        case RescueState::closed:
            return "not on this piece";
    }
    return {};
}

Result<Rescue> rescue(Studio& studio, const RescueAsk& ask) {
    const auto piece = store::find(studio.log(), ask.piece);
    if (!piece) {
        return Refusal{.code = "piece.unknown", .field = "Piece", .value = {}, .message = "the piece is no longer in the log.", .remedy = "Choose another.", .answers = {}};
    }
    return Rescuer(studio, *piece, ask.no_stone).find();
}

}  // namespace tonebath::app
