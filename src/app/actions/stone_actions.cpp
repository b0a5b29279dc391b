#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/stones.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "model/stones.hpp"
#include "store/log.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

Result<Outcome> follow_up(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::vector<Stone> stones = in.records<Stone>("stone");
    FollowUp look;
    look.seen = in.choice<SeenAs>("seen").value_or(SeenAs::not_seen);
    look.zone = in.choice<Zone>("zone").value_or(Zone::unknown);
    look.at = in.moment_or_now("at");
    look.who = in.who();
    look.note = in.note();
    look.from_memory = in.from_memory<FollowUp>();
    if (look.zone != Zone::unknown && (look.seen == SeenAs::unharmed || look.seen == SeenAs::not_seen)) {
        in.check(rules::refuse("follow_up.zone", in.typed("zone"), "a zone is where the stone is harmed.", "Leave it empty, or say what was seen there."));
    }
    for (const Stone& stone : stones) {
        if (stone.set_at && look.at < *stone.set_at) {
            in.check(rules::refuse("follow_up.before_set", in.typed("at"), fmt::format("{} was set on {}, after that.", stone.number, date_text(*stone.set_at)), "Type a later day."));
        }
        for (const FollowUp& other : store::list<FollowUp>(studio.log(), "WHERE stone_id = ?1", {stone.id.text})) {
            if (date_text(other.at) == date_text(look.at) && other.seen != SeenAs::not_seen) {
                in.check(rules::ask("follow_up.twice", in.typed("stone"), fmt::format("{} was looked at that day already: {}.", stone.number, word_of(other.seen)), "Correct the first look, or keep both."));
            }
        }
    }
    if (in.refused()) {
        return in.refusal();
    }
    look.made_at = studio.now();
    return studio.write(fmt::format("follow-up, {}", stones.front().number), [&]() -> Result<Outcome> {
        for (const Stone& stone : stones) {
            look.stone_id = stone.id;
            look.id = studio.ids().next<FollowUp>(look.made_at);
            store::insert(studio.log(), look);
        }
        return Outcome{.said = fmt::format("{}: {}.", stones.size() == 1 ? stones.front().number : counted(stones.size(), "stone", "stones"), word_of(look.seen)),
                       .cautions = {},
                       .made = {{"follow_up", look.id.text}}};
    });
}

// Added to the newest look, which one touch may have written without it.
Result<Outcome> say_zone(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::optional<Stone> stone = in.record<Stone>("stone");
    const Zone zone = in.choice<Zone>("zone").value_or(Zone::unknown);
    std::vector<FollowUp> looks;
    if (stone) {
        looks = store::list<FollowUp>(studio.log(), "WHERE stone_id = ?1 ORDER BY at_utc_ms DESC, made_utc_ms DESC, id DESC LIMIT 1", {stone->id.text});
        if (looks.empty() || looks.front().seen == SeenAs::unharmed || looks.front().seen == SeenAs::not_seen) {
            in.check(rules::refuse("follow_up.no_harm", in.typed("stone"), looks.empty() ? "no look at it is written down." : fmt::format("its last look says {}.", word_of(looks.front().seen)),
                                   "Log a look first, with what was seen."));
        }
    }
    if (in.refused()) {
        return in.refusal();
    }
    FollowUp look = looks.front();
    look.zone = zone;
    return studio.write(fmt::format("where {} is harmed", stone->number), [&]() -> Result<Outcome> {
        store::update(studio.log(), look);
        return Outcome{.said = fmt::format("{}: {}, {}.", stone->number, word_of(look.seen), zone == Zone::unknown ? "where is not known" : word_of(zone)),
                       .cautions = {},
                       .made = {{"follow_up", look.id.text}}};
    });
}

Result<Outcome> move_stone(Studio& studio, const Form& form) {
    Reader in(studio, form);
    std::optional<Stone> stone = in.record<Stone>("stone");
    const std::optional<Piece> piece = in.record<Piece>("piece");
    const Stamp at = in.moment_or_now("at");
    if (stone && !stone->piece_id) {
        in.check(rules::refuse("stone.on_none", in.typed("stone"), "it is on no piece yet.", "Set it instead."));
    }
    if (stone && stone->set_at && at < *stone->set_at) {
        in.check(rules::refuse("stone.moved_before_set", in.typed("at"), fmt::format("it was set on {}, after that.", date_text(*stone->set_at)), "Type a later day."));
    }
    const std::string note = in.note();
    if (in.refused()) {
        return in.refusal();
    }
    StoneStay stay;
    stay.stone_id = stone->id;
    stay.piece_id = *stone->piece_id;
    stay.set_at = stone->set_at;
    stay.off_at = at;
    stay.note = note;
    stay.made_at = studio.now();
    stay.id = studio.ids().next<StoneStay>(stay.made_at);
    const std::string from = name_of(studio, *stone->piece_id);
    stone->piece_id = piece ? std::optional(piece->id) : std::nullopt;
    stone->set_at = piece ? std::optional(at) : std::nullopt;
    return studio.write(fmt::format("move stone {}", stone->number), [&]() -> Result<Outcome> {
        store::insert(studio.log(), stay);
        store::update(studio.log(), *stone);
        return Outcome{.said = fmt::format("Stone {} is off {}{}.", stone->number, from, piece ? ", on " + piece->number : ""),
                       .cautions = {},
                       .made = {{"stone_stay", stay.id.text}}};
    });
}

Result<Outcome> set_look_days(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::string typed = in.text("days", Reader::kWords);
    const auto days = days_of(typed);
    if (!typed.empty() && !days) {
        in.check(rules::refuse("stone.look_days", in.typed("days"), "those are not days.", "Type whole days, 1 to 3650: \"30 90 365\"."));
    }
    if (in.refused()) {
        return in.refusal();
    }
    studio.log().set_setting(kLookDays, days ? typed : "");
    std::vector<std::string> words;
    for (const int one : look_days(studio)) {
        words.push_back(std::to_string(one));
    }
    return Outcome{.said = fmt::format("Looks fall due {} days after a stone's first bath.", joined(words, ", ")), .cautions = {}, .made = {}};
}

}  // namespace

void add_stone_actions(Actions& table) {
    table.push_back({.id = "stone.look", .label = "Log a look at a stone", .help = "Seen again after its bath, or asked for and not seen.", .page = "Stones", .key = "L",
                     .fields = {required(repeated(reference("stone", "Stone", "stone", "one a line; \"F-001..F-004\""))), required(choice_of<SeenAs>("seen", "Seen")),
                                choice_of<Zone>("zone", "Where it is harmed"), at_field(), who_field(), note_field()},
                     .carry_out = follow_up});
    table.push_back({.id = "stone.zone", .label = "Say where a stone is harmed", .help = "Added to its newest look.", .page = "Stones", .key = "",
                     .fields = {required(reference("stone", "Stone", "stone")), required(choice_of<Zone>("zone", "Where it is harmed"))},
                     .carry_out = say_zone});
    table.push_back({.id = "stone.move", .label = "Move a stone", .help = "Off its piece, onto another or none; what it met there still counts.", .page = "Stones", .key = "M",
                     .fields = {required(reference("stone", "Stone", "stone")), reference("piece", "To piece", "piece", "empty = on none"), at_field("Moved on"), note_field()},
                     .carry_out = move_stone});
    table.push_back({.id = "stone.look-days", .label = "When stones are looked at", .help = "Days after a stone's first bath at which a look falls due.", .page = "Stones", .key = "",
                     .fields = {field("days", "Days", FieldKind::text, "\"30 90 365\"; empty = those")},
                     .carry_out = set_look_days});
}

}  // namespace tonebath::app
