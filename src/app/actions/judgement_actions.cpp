#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "model/rules/tone_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

// What was judged of the other dips in this bath, on the same scale, place and moment: one dip, one judgement.
std::vector<rules::JudgedDip> judged_in(Studio& studio, const Dip& mine, const Judgement& like,
                                        const Id<ToneScale>& scale) {
    std::vector<rules::JudgedDip> judged;
    for (const Dip& dip : dips_in(studio, mine.bath_id)) {
        if (dip.id == mine.id || !dip.in_bath || !when_dipped(dip)) {
            continue;
        }
        const Subject subject = subject_of(studio, dip);
        // A second dip of the same thing starts from a film: its length alone says nothing.
        if (dips_of(studio, subject).size() > 1) {
            continue;
        }
        for (const Judgement& judgement : judgements_of(studio, subject)) {
            const std::optional<Tone> tone =
                judgement.tone_id ? store::find(studio.log(), *judgement.tone_id) : std::nullopt;
            if (tone && tone->scale_id == scale && judgement.sense == Sense::is && judgement.place == like.place &&
                judgement.moment == like.moment) {
                judged.push_back({.what = subject.name,
                                  .tone_word = tone->word,
                                  .tone_position = tone->position,
                                  .dropped = *when_dipped(dip),
                                  .in_bath = *dip.in_bath});
            }
        }
    }
    return judged;
}

void check_against_log(Reader& in, Studio& studio, const Subject& subject, const Judgement& judgement, const Tone& tone,
                       const std::vector<Dip>& dips) {
    // The same thing judged before, with no rub-back between.
    const Judgement* before = nullptr;
    const std::vector<Judgement> earlier = judgements_of(studio, subject);
    for (const Judgement& one : earlier) {
        if (one.tone_id && one.sense == Sense::is && one.place == judgement.place && one.moment == judgement.moment &&
            one.at <= judgement.at) {
            before = &one;
        }
    }
    if (before != nullptr) {
        const std::optional<Tone> was = store::find(studio.log(), *before->tone_id);
        bool rubbed = false;
        for (const AfterWork& work : after_work_of(studio, subject)) {
            rubbed = rubbed ||
                     (work.at >= before->at && (work.step == AfterStep::rubbed_back ||
                                                work.step == AfterStep::brushed || work.step == AfterStep::tumbled));
        }
        if (was && was->scale_id == tone.scale_id && !rubbed && judgement.sense != Sense::gone_over) {
            in.check(rules::lighter_than_before(in.typed("tone"), tone.position, was->position, was->word));
        }
    }
    if (judgement.sense != Sense::is || dips.size() != 1 || !dips.front().in_bath || !when_dipped(dips.front())) {
        return;
    }
    const Dip& dip = dips.front();
    const rules::JudgedDip mine{.what = subject.name,
                                .tone_word = tone.word,
                                .tone_position = tone.position,
                                .dropped = *when_dipped(dip),
                                .in_bath = *dip.in_bath};
    in.check(rules::inversion(in.typed("tone"), mine, judged_in(studio, dip, judgement, tone.scale_id)));
}

Result<Outcome> judge(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<Subject> subject = in.subject();
    Judgement judgement;
    judgement.at = in.moment_or_now("at");
    judgement.sense = in.choice<Sense>("sense").value_or(Sense::is);
    judgement.place = in.choice<Place>("place").value_or(Place::whole);
    judgement.moment = in.choice<Moment>("moment").value_or(Moment::before_relief);
    judgement.l = in.number("l");
    judgement.a = in.number("a");
    judgement.b = in.number("b");
    in.check(rules::lab(in.typed("l"), judgement.l, judgement.a, judgement.b));
    judgement.fraction = in.number("fraction");
    if (judgement.fraction) {
        in.check(rules::fraction(in.typed("fraction"), *judgement.fraction));
    }
    judgement.blotch = in.text("blotch", Reader::kWords);
    const std::optional<Dip> named = in.record<Dip>("dip");
    const std::optional<bool> watched = in.yes_no("watched");
    judgement.who = in.who();
    std::optional<Tone> tone;
    if (subject) {
        tone = in.tone("tone", *subject);
    }
    if (!in.refused() && !tone && !judgement.l && judgement.blotch.empty()) {
        in.check(Refusal{.code = "judgement.nothing",
                         .field = std::string(in.typed("tone").field),
                         .value = {},
                         .message = "nothing is judged yet.",
                         .remedy = "Choose a tone, type a measured colour, or say where the blotch is.",
                         .answers = {}});
    }
    if (in.refused()) {
        return in.refusal();
    }
    std::vector<Dip> dips = dips_of(studio, *subject);
    std::erase_if(
        dips, [&](const Dip& dip) { return when_dipped(dip).value_or(dip.made_at) > judgement.at && !dip.past_work; });
    if (!dips.empty() && is_running(dips.back()) && !named) {
        in.check(rules::refuse("judgement.still_in", {in.typed("piece").field, subject->name},
                               "it is in the bath still.", "Lift it out and rinse it first."));
    }
    judgement.dip_id = named          ? std::optional<Id<Dip>>(named->id)
                       : dips.empty() ? std::nullopt
                                      : std::optional<Id<Dip>>(dips.back().id);
    if (tone) {
        judgement.tone_id = tone->id;
        const std::vector<Tone> all = tones_of(studio, tone->scale_id);
        in.check(rules::sense_fits(in.typed("tone"), judgement.sense, *tone, all.empty() ? 0 : all.back().position));
        check_against_log(in, studio, *subject, judgement, *tone, dips);
    }
    // Said of the dip, not of the tone: that the hand pulled it just as the tone came.
    std::optional<Dip> pulled;
    if (watched && judgement.dip_id) {
        pulled = store::find(studio.log(), *judgement.dip_id);
    }
    if (watched.value_or(false) && (!pulled || !tone || judgement.sense != Sense::is)) {
        in.check(rules::refuse("judgement.watched_nothing", in.typed("watched"),
                               "only a dip that ended at a tone can have been pulled as that tone came.",
                               "Choose the tone that it had just reached, or leave Watched not known."));
    }
    judgement.strip_id = subject->strip;
    judgement.piece_id = subject->piece;
    judgement.part_id = subject->part;
    judgement.note = in.note();
    judgement.from_memory = in.from_memory<Judgement>();
    if (in.refused()) {
        return in.refusal();
    }
    judgement.made_at = studio.now();
    judgement.id = studio.ids().next<Judgement>(judgement.made_at);
    return studio.write("judge " + subject->name, [&]() -> Result<Outcome> {
        store::insert(studio.log(), judgement);
        if (pulled && pulled->watched != *watched) {
            pulled->watched = *watched;
            store::update(studio.log(), *pulled);
        }
        const std::string sense = judgement.sense == Sense::is ? "" : std::string(word_of(judgement.sense)) + " ";
        Outcome outcome{
            .said = tone ? fmt::format("{}: {}{}, {}.", subject->name, sense, tone->word, word_of(judgement.place))
                         : fmt::format("{}: written down.", subject->name),
            .cautions = {},
            .made = {{"judgement", judgement.id.text}}};
        if (dips.empty()) {
            outcome.cautions.push_back(
                "No dip of it is written down: this judgement teaches nothing about time until one is.");
        }
        return outcome;
    });
}

}  // namespace

void add_judgement_actions(Actions& table) {
    table.push_back({.id = "judgement.add",
                     .label = "Judge a tone",
                     .help = "The word on its metal's scale: it is that tone, lighter than it, or gone over it.",
                     .page = "Pieces",
                     .key = "J",
                     .fields = {repeated(reference("piece", "Piece", "piece")),
                                repeated(reference("part", "Part", "part", "\"L-058 lid\"")),
                                repeated(reference("strip", "Strip", "strip")),
                                reference("tone", "Tone", "tone", "a word of its metal's scale"),
                                choice_of<Sense>("sense", "It is"),
                                field("watched", "Watched", FieldKind::yes_no, "pulled just as it reached the tone"),
                                field("fraction", "Place inside the tone", FieldKind::number, "0 to 1, from the strip"),
                                choice_of<Place>("place", "Judged on"), choice_of<Moment>("moment", "Judged"),
                                reference("dip", "After the dip", "dip", "\"L-131/2\"; empty = after all so far"),
                                field("l", "L*", FieldKind::number), field("a", "a*", FieldKind::number),
                                field("b", "b*", FieldKind::number),
                                field("blotch", "Blotch", FieldKind::text, "where and what; empty = none noted"),
                                at_field(), who_field(), note_field()},
                     .carry_out = judge});
}

}  // namespace tonebath::app
