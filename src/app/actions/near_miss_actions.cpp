#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/near_misses.hpp"
#include "app/studio.hpp"
#include "app/withdraw.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

Result<Outcome> add_entry(Studio& studio, const Form& form) {
    Reader in(studio, form);
    NearMiss miss;
    miss.kind = in.choice<NearMissKind>("kind").value_or(NearMissKind::near_miss);
    miss.words = in.text("happened", Reader::kNote);
    miss.at = in.moment_or_now("at");
    miss.bath_id = in.id_of<Bath>("bath");
    miss.who = in.who();
    miss.comment = in.text("comment", Reader::kNote);
    miss.from_memory = in.from_memory<NearMiss>();
    if (in.refused()) {
        return in.refusal();
    }
    miss.made_at = studio.now();
    if (!miss.comment.empty()) {
        miss.commented_at = miss.made_at;
    }
    miss.id = studio.ids().next<NearMiss>(miss.made_at);
    miss.number = next_near_miss(studio);
    return studio.write(std::string(word_of(miss.kind)), [&]() -> Result<Outcome> {
        store::insert(studio.log(), miss);
        return Outcome{
            .said = fmt::format("{} is in the book: {} of {}.", miss.number, word_of(miss.kind), date_text(miss.at)),
            .cautions = {},
            .made = {{"near_miss", miss.id.text}}};
    });
}

Result<Outcome> comment(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<NearMiss> miss = in.record<NearMiss>("entry");
    const std::string words = in.text("comment", Reader::kNote);
    if (in.refused()) {
        return in.refusal();
    }
    // What was said before stays as it was said.
    miss->commented_at = studio.now();
    miss->comment += (miss->comment.empty() ? "" : "\n" + date_time_text(*miss->commented_at) + ": ") + words;
    return studio.write("comment on " + miss->number, [&]() -> Result<Outcome> {
        store::update(studio.log(), *miss);
        return Outcome{.said = fmt::format("Your comment stands with {}.", miss->number),
                       .cautions = {},
                       .made = {{"near_miss", miss->id.text}}};
    });
}

Result<Outcome> withdraw(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<NearMiss> miss = in.record<NearMiss>("entry");
    const std::string why = in.text("why", Reader::kWords);
    if (miss && !miss->withdrawn_by.empty()) {
        in.check(rules::refuse("near_miss.withdrawn", in.typed("entry"),
                               fmt::format("it was withdrawn by {}.", miss->withdrawn_by), "Write a new entry."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    return studio.write("withdraw " + miss->number, [&]() -> Result<Outcome> {
        miss->commented_at = studio.now();
        miss->comment += fmt::format("{}withdrawn {}: {}", miss->comment.empty() ? "" : "\n",
                                     date_time_text(*miss->commented_at), why);
        const std::string number = miss->number;
        const std::string id = miss->id.text;
        withdraw_near_miss(studio, *std::move(miss));
        return Outcome{.said = fmt::format("{} is withdrawn; it stays in the book.", number),
                       .cautions = {},
                       .made = {{"near_miss", id}}};
    });
}

}  // namespace

void add_near_miss_actions(Actions& table) {
    table.push_back(
        {.id = "near-miss.add",
         .label = "Write down a near miss",
         .help = "What nearly went wrong, or did. It is never removed and never edited; no health of a person belongs "
                 "in it.",
         .page = "Safety",
         .key = "N",
         .fields = {required(field("happened", "What happened", FieldKind::text, "\"vinegar stood on the bench\"")),
                    choice_of("kind", "Kind", {"near miss", "incident"}, "empty = near miss"),
                    reference("bath", "Bath", "bath"),
                    field("comment", "What is done about it", FieldKind::text, "empty = it waits for your comment"),
                    at_field(), who_field()},
         .carry_out = add_entry});
    table.push_back({.id = "near-miss.comment",
                     .label = "Comment on a near miss",
                     .help = "What came of it. It is added; what was said before stays.",
                     .page = "Safety",
                     .key = "",
                     .fields = {required(reference("entry", "Entry", "near_miss", "\"N-3\"")),
                                required(field("comment", "Comment", FieldKind::text))},
                     .carry_out = comment});
    table.push_back({.id = "near-miss.withdraw",
                     .label = "Withdraw a near miss",
                     .help = "When it turns out not to be so. It stays in the book, with who and why.",
                     .page = "Safety",
                     .key = "",
                     .fields = {required(reference("entry", "Entry", "near_miss", "\"N-3\"")),
                                required(field("why", "Why", FieldKind::text))},
                     .carry_out = withdraw});
}

}  // namespace tonebath::app
