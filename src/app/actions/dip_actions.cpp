#include "app/actions/gate.hpp"
#include "app/actions/press.hpp"
#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/bench_list.hpp"
#include "app/classes.hpp"
#include "app/facts.hpp"
#include "app/stones.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "model/rules/bath_rules.hpp"
#include "model/rules/dip_rules.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

std::string lane_holder(Studio& studio, const std::vector<Dip>& running, int lane) {
    const auto found = std::find_if(running.begin(), running.end(), [&](const Dip& dip) { return dip.lane == lane; });
    return found == running.end() ? std::string() : subject_of(studio, *found).name;
}

void check_before_drop(Reader& in, Studio& studio, const Bath& bath, const Subject& subject,
                       const std::vector<Dip>& running) {
    const rules::Typed typed{subject.strip  ? in.typed("strip").field
                             : subject.part ? in.typed("part").field
                                            : in.typed("piece").field,
                             subject.name};
    in.check(rules::not_in_bath(typed, held_in(studio, subject, running)));
    const std::optional<Preparation> prepared = last_preparation(studio, subject);
    in.check(rules::acid_carried(typed, studio.finish_kind(bath.finish_kind), prepared ? &*prepared : nullptr));
    if (subject.part) {
        in.check(rules::part_alone(typed, subject.name, subject.joined, studio.now()));
    }
}

// A bath of a class takes nothing while something of the class stands against it.
std::optional<Refusal> class_holds(Studio& studio, const Bath& bath) {
    const std::optional<ClassSession> session = class_of(studio, bath);
    const std::vector<ClassReason> reasons = session ? why_no_dip(studio, *session) : std::vector<ClassReason>{};
    if (reasons.empty()) {
        return std::nullopt;
    }
    std::vector<std::string> words;
    for (const ClassReason& reason : reasons) {
        words.push_back(fmt::format("{}: {}", reason.what, reason.missing));
    }
    return Refusal{.code = "class.open",
                   .field = fmt::format("Class {}, bath {}", session->number, bath.number),
                   .value = {},
                   .message = fmt::format("nothing goes in yet, {}.", counted(reasons.size(), "reason", "reasons")),
                   .remedy = joined(words, ". ") + ".",
                   .answers = {}};
}

Result<Outcome> drop(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<Bath> bath = in.record<Bath>("bath");
    const std::vector<Subject> subjects = in.subjects();
    Dip dip;
    dip.lane = in.whole("lane");
    if (dip.lane) {
        in.check(rules::between(in.typed("lane"), *dip.lane, 1, 99, ""));
    }
    dip.agitation = in.choice<Agitation>("agitation");
    dip.target_id = in.id_of<Target>("target");
    if (in.given("aim") && !subjects.empty()) {
        const std::optional<Tone> aim = in.tone("aim", subjects.front());
        dip.aim_tone_id = aim ? std::optional<Id<Tone>>(aim->id) : std::nullopt;
    }
    dip.watched = in.yes_no("watched").value_or(false);
    for (const auto& [key, to] : {std::pair{"planned-low", &dip.planned_low_s}, std::pair{"planned", &dip.planned_s},
                                  std::pair{"planned-high", &dip.planned_high_s}}) {
        if (const std::optional<Seconds> planned = in.duration(key)) {
            in.check(rules::between(in.typed(key), planned->seconds(), 0.0, 86400.0, "s"));
            *to = planned->seconds();
        }
    }
    if (dip.planned_s && ((dip.planned_low_s && *dip.planned_low_s > *dip.planned_s) ||
                          (dip.planned_high_s && *dip.planned_high_s < *dip.planned_s))) {
        in.check(rules::refuse("dip.plan_order", in.typed("planned"),
                               "the plan's earliest, middle and latest are not in order.",
                               "Type them again, or leave them empty."));
    }
    dip.who = in.who();
    if (in.refused()) {
        return in.refusal();
    }
    dip.bath_id = bath->id;
    const std::vector<Dip> running = running_dips(studio);
    in.check(rules::dip_moment(in.typed("bath"), *bath, studio.now()));
    dip.note = in.note();
    stand_before(in, Gate::start_bath, Act::dip_alone, false, about_bath(studio, *bath, dip.who), dip.note);
    if (std::optional<Refusal> stop = bench_refusal(studio, "Bath " + bath->number, bath_begins(studio, *bath)); stop && !in.refused()) {
        return *std::move(stop);
    }
    if (const auto refusal = in.refused() ? std::nullopt : class_holds(studio, *bath)) {
        return *refusal;
    }
    for (std::size_t i = 0; i < subjects.size(); ++i) {
        check_before_drop(in, studio, *bath, subjects[i], running);
        if (dip.lane) {
            in.check(rules::lane_free(in.typed("lane"), lane_holder(studio, running, *dip.lane + static_cast<int>(i))));
        }
    }
    if (in.refused()) {
        return in.refusal();
    }
    std::vector<std::string> cautions;
    for (const Subject& subject : subjects) {
        for (const std::string& words : subject.of_piece ? tender_stones(studio, *subject.of_piece, bath->finish_kind) : std::vector<std::string>()) {
            cautions.push_back(subject.name + ": " + words);
        }
        const std::vector<Dip> before = dips_of(studio, subject);
        if (!before.empty()) {
            std::string caution =
                rules::no_rinse_caution(subject.name, true, rinsed_since(studio, subject, before.back()));
            if (!caution.empty()) {
                cautions.push_back(std::move(caution));
            }
        }
    }
    const BootTime boot = studio.clock().boot();
    dip.dropped_at = studio.now();
    dip.dropped_boot_ms = boot.ms;
    dip.boot_id = boot.boot_id;
    dip.made_at = studio.now();
    return studio.write("drop " + subjects.front().name, [&]() -> Result<Outcome> {
        Outcome outcome{
            .said = fmt::format(
                "{} in bath {}.",
                subjects.size() == 1 ? subjects.front().name : fmt::format("{} pieces", subjects.size()), bath->number),
            .cautions = cautions,
            .made = {}};
        for (const Subject& subject : subjects) {
            dip.id = studio.ids().next<Dip>(dip.made_at);
            dip.strip_id = subject.strip;
            dip.piece_id = subject.piece;
            dip.part_id = subject.part;
            store::insert(studio.log(), dip);
            write_press(studio, "drop", dip.lane, dip.id);
            outcome.made["dip"] = dip.id.text;
            if (dip.lane) {
                dip.lane = *dip.lane + 1;
            }
        }
        return outcome;
    });
}

// The dips meant: named by dip, lane, piece, part or strip; the only one that is `wanted` when nothing is named.
std::vector<Dip> dips_meant(Reader& in, const std::vector<Dip>& wanted, std::string_view what) {
    Studio& studio = in.studio();
    std::vector<Dip> meant;
    const bool named = in.given("dip") || in.given("piece") || in.given("part") || in.given("strip");
    const std::optional<int> lane = in.whole("lane");
    if (lane || (!named && wanted.size() == 1)) {
        for (const Dip& dip : wanted) {
            if (!lane || dip.lane == lane) {
                meant.push_back(dip);
            }
        }
    } else if (in.given("dip")) {
        if (const std::optional<Dip> dip = in.record<Dip>("dip")) {
            meant.push_back(*dip);
        }
    } else if (named) {
        for (const Subject& subject : in.subjects()) {
            std::optional<Dip> newest;
            for (const Dip& dip : wanted) {
                const Subject held = subject_of(studio, dip);
                if (held.name == subject.name) {
                    newest = dip;
                }
            }
            if (!newest) {
                in.check(rules::refuse("dip.not_in", {in.typed("piece").field, subject.name},
                                       fmt::format("it is not {}.", what),
                                       "Choose another, or write its dip down as past work."));
            } else {
                meant.push_back(*newest);
            }
        }
    }
    if (meant.empty()) {
        std::vector<std::string> names;
        for (const Dip& dip : wanted) {
            names.push_back(subject_of(studio, dip).name);
        }
        in.check(Refusal{
            .code = names.empty() ? "dip.none" : "dip.which",
            .field = std::string(in.typed("piece").field),
            .value = {},
            .message = names.empty() ? fmt::format("nothing is {}.", what)
                                     : fmt::format("{} are {}.", joined(names, ", "), what),
            .remedy = names.empty() ? "Drop a piece first, or write past work down." : "Say which, by piece or lane.",
            .answers = names});
    }
    return in.refused() ? std::vector<Dip>{} : meant;
}

Result<Outcome> out(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::vector<Dip> dips = dips_meant(in, running_dips(studio), "in a bath");
    const std::optional<bool> watched = in.yes_no("watched");
    for (const Dip& dip : dips) {
        if (!is_running(dip)) {
            in.check(rules::refuse("dip.out_already", {in.typed("dip").field, subject_of(studio, dip).name},
                                   "it came out before.", "Choose one that is in a bath."));
        }
    }
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write("lift out " + subject_of(studio, dips.front()).name, [&]() -> Result<Outcome> {
        Outcome outcome{.said = {}, .cautions = {}, .made = {}};
        for (Dip& dip : dips) {
            lift_out(studio, dip);
            dip.watched = watched.value_or(dip.watched);
            store::update(studio.log(), dip);
            write_press(studio, "out", dip.lane, dip.id);
            const std::string name = subject_of(studio, dip).name;
            outcome.said +=
                fmt::format("{}{} out{}.", outcome.said.empty() ? "" : " ", name,
                            dip.in_bath ? " after " + text_of(*dip.in_bath) : "; for how long is not known");
            if (dip.clock_gap) {
                outcome.cautions.push_back(
                    fmt::format("The machine was restarted while {} was in: the wall clock decided.", name));
            }
            outcome.made["dip"] = dip.id.text;
        }
        return outcome;
    });
}

// Out of a bath within the last hour and not rinsed yet.
std::vector<Dip> unrinsed(Studio& studio) {
    const std::int64_t since = plus_seconds(studio.now(), -3600.0).utc_ms;
    return store::list<Dip>(
        studio.log(),
        "WHERE out_utc_ms >= ?1 AND past_work = 0 AND id NOT IN (SELECT dip_id FROM rinse) ORDER BY out_utc_ms, id",
        {since});
}

Result<Outcome> rinsed(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::vector<Dip> dips = dips_meant(in, unrinsed(studio), "waiting for its rinse");
    const std::optional<Seconds> length = in.duration("length");
    if (length) {
        in.check(rules::rinse_length(in.typed("length"), *length));
    }
    std::vector<Rinse> rinses;
    for (const Dip& dip : dips) {
        Rinse rinse;
        rinse.dip_id = dip.id;
        rinse.at = dip.out_at.value_or(when_dipped(dip).value_or(studio.now()));
        rinse.length = length;
        if (is_running(dip)) {
            in.check(rules::refuse("rinse.still_in", {in.typed("piece").field, subject_of(studio, dip).name},
                                   "it is in the bath still.", "Lift it out first."));
        }
        if (!length && dip.out_at && !dip.past_work) {
            const Seconds timed = Seconds::from_seconds(std::max(0.0, seconds_between(*dip.out_at, studio.now())));
            in.check(rules::rinse_length({in.typed("length").field, text_of(timed)}, timed));
            rinse.length = timed;
        }
        rinses.push_back(rinse);
    }
    const std::string note = in.note();
    const std::string marks = in.from_memory<Rinse>();
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write("rinse " + subject_of(studio, dips.front()).name, [&]() -> Result<Outcome> {
        Outcome outcome{.said = {}, .cautions = {}, .made = {}};
        for (std::size_t i = 0; i < rinses.size(); ++i) {
            Rinse& rinse = rinses[i];
            rinse.made_at = studio.now();
            rinse.note = note;
            rinse.from_memory = marks;
            rinse.id = studio.ids().next<Rinse>(rinse.made_at);
            store::insert(studio.log(), rinse);
            if (!length) {
                write_press(studio, "rinsed", dips[i].lane, dips[i].id);
            }
            outcome.said +=
                fmt::format("{}{} rinsed{}.", outcome.said.empty() ? "" : " ", subject_of(studio, dips[i]).name,
                            rinse.length ? " for " + text_of(*rinse.length) : "");
            outcome.made["rinse"] = rinse.id.text;
        }
        return outcome;
    });
}

}  // namespace

void add_dip_actions(Actions& table) {
    const FieldSpec piece = repeated(reference("piece", "Piece", "piece", "one a line; \"L-131..L-138\""));
    const FieldSpec part = repeated(reference("part", "Part", "part", "\"L-058 lid\""));
    const FieldSpec strip = repeated(reference("strip", "Strip", "strip"));
    const FieldSpec dip = reference("dip", "Dip", "dip", "\"L-131/2\"");
    const FieldSpec lane = field("lane", "Lane", FieldKind::number);
    table.push_back(
        {.id = "dip.drop",
         .label = "Drop",
         .help = "Stamped the moment it is pressed. The check before the bath must be done.",
         .page = "Bench",
         .key = "Space",
         .fields = {required(reference("bath", "Bath", "bath")), piece, part, strip, lane,
                    choice_of<Agitation>("agitation", "Moved"), reference("target", "Target tone", "target"),
                    reference("aim", "Aim", "tone", "a tone's word"),
                    field("watched", "Watched", FieldKind::yes_no, "pulled just as it reaches the tone"),
                    field("planned-low", "Aim from", FieldKind::duration),
                    field("planned", "Out at", FieldKind::duration),
                    field("planned-high", "Aim to", FieldKind::duration), who_field(), with_field(), note_field()},
         .carry_out = drop});
    table.push_back({.id = "dip.out",
                     .label = "Lift out",
                     .help = "Stamped the moment it is pressed. Without a name: the only one that is in.",
                     .page = "Bench",
                     .key = "Space",
                     .fields = {dip, lane, piece, part, strip,
                                field("watched", "Watched", FieldKind::yes_no, "it had just reached the tone")},
                     .carry_out = out});
    table.push_back(
        {.id = "dip.rinsed",
         .label = "Rinsed",
         .help = "Ends the rinse that began when it came out; or a length typed for past work.",
         .page = "Bench",
         .key = "R",
         .fields = {dip, lane, piece, part, strip, field("length", "Rinsed for", FieldKind::duration), note_field()},
         .carry_out = rinsed});
}

}  // namespace tonebath::app
