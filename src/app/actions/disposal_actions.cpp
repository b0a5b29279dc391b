#include "app/actions/gate.hpp"
#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/facts.hpp"
#include "app/studio.hpp"
#include "app/withdraw.hpp"
#include "base/quantity_text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

constexpr double kPast_s = 12.0 * 3600.0;  // left the studio longer ago: written down afterwards

Result<Outcome> add_disposal(Studio& studio, const Form& form) {
    Reader in(studio, form);
    Disposal disposal;
    const std::optional<Bath> bath = in.record<Bath>("bath");
    disposal.at = in.moment_or_now("at");
    disposal.volume = in.volume("volume");
    disposal.route = in.text("route", Reader::kWords);
    disposal.rule = in.text("rule", Reader::kWords);
    disposal.who = in.who();
    if (disposal.volume) {
        in.check(rules::above_zero(in.typed("volume"), disposal.volume->ml(), "\"400 ml\""));
    }
    if (bath && !in.refused()) {
        disposal.bath_id = bath->id;
        if (disposal.at < bath->made_up_at) {
            in.check(
                rules::refuse("disposal.before_make_up", in.typed("at"),
                              fmt::format("bath {} was made up on {}.", bath->number, date_time_text(bath->made_up_at)),
                              "Type a later time, or name another bath."));
        }
        double gone_ml = disposal.volume ? disposal.volume->ml() : 0.0;
        for (const Disposal& other :
             store::list<Disposal>(studio.log(), "WHERE bath_id = ?1 AND withdrawn_by = ''", {bath->id.text})) {
            gone_ml += other.volume ? other.volume->ml() : 0.0;
        }
        const std::optional<Millilitres> made = volume_of(studio, *bath);
        if (made && disposal.volume && gone_ml > made->ml() * 1.02) {
            in.check(rules::ask("disposal.more_than_made", in.typed("volume"),
                                fmt::format("the bath held {}.", text_of(*made)),
                                "Type it again, or keep it where rinse water went with it."));
        }
    }
    disposal.note = in.note();
    disposal.past_work = in.yes_no("past").value_or(seconds_between(disposal.at, studio.now()) > kPast_s);
    stand_before(in, Gate::dispose, Act::dispose, disposal.past_work,
                 bath ? about_bath(studio, *bath, disposal.who) : about_kind(studio, usual_kind(studio, Gate::dispose), disposal.who),
                 disposal.note);
    disposal.from_memory = in.from_memory<Disposal>();
    if (in.refused()) {
        return in.refusal();
    }
    disposal.made_at = studio.now();
    disposal.id = studio.ids().next<Disposal>(disposal.made_at);
    return studio.write("dispose", [&]() -> Result<Outcome> {
        store::insert(studio.log(), disposal);
        Outcome outcome{
            .said = fmt::format("Disposal logged{}: {}.", bath ? " of bath " + bath->number : "", disposal.route),
            .cautions = {},
            .made = {{"disposal", disposal.id.text}}};
        if (disposal.rule.empty()) {
            outcome.cautions.push_back(
                "No local rule is named with it: who said that this route may be taken, and when?");
        }
        return outcome;
    });
}

Result<Outcome> withdraw(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<Disposal> disposal = in.record<Disposal>("disposal");
    const std::string why = in.text("why", Reader::kWords);
    if (disposal && !disposal->withdrawn_by.empty()) {
        in.check(rules::refuse("disposal.withdrawn", in.typed("disposal"),
                               fmt::format("it was withdrawn by {}.", disposal->withdrawn_by), "Log a new one."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write("withdraw a disposal", [&]() -> Result<Outcome> {
        withdraw_disposal(studio, *disposal, why);
        return Outcome{.said = "The disposal is withdrawn; it stays on record.",
                       .cautions = {},
                       .made = {{"disposal", disposal->id.text}}};
    });
}

}  // namespace

void add_disposal_actions(Actions& table) {
    table.push_back(
        {.id = "disposal.add",
         .label = "Log a disposal",
         .help = "What left the studio, by which route and whose rule. A log, not advice: the local office decides.",
         .page = "Baths",
         .key = "D",
         .fields = {reference("bath", "Bath", "bath"), field("volume", "How much", FieldKind::volume, "\"400 ml\""),
                    required(field("route", "Route", FieldKind::text, "\"collection\"")),
                    field("rule", "Local rule", FieldKind::text, "who said it and when: \"letter of 4 Nov 2025\""),
                    at_field(), who_field(), with_field(),
                    field("past", "Past work", FieldKind::yes_no, "yes = written down afterwards, no check"), note_field()},
         .carry_out = add_disposal});
    table.push_back(
        {.id = "disposal.withdraw",
         .label = "Withdraw a disposal",
         .help = "A disposal is never removed; withdrawn, it stays on record with who and when.",
         .page = "Baths",
         .key = "",
         .fields = {required(reference("disposal", "Disposal", "disposal", "\"46/1\", the first of bath 46")),
                    field("why", "Why", FieldKind::text)},
         .carry_out = withdraw});
}

}  // namespace tonebath::app
