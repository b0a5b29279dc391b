#include "app/join.hpp"

#include "app/log_trouble.hpp"
#include "app/plural.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "model/nouns.hpp"
#include "model/rules/rule.hpp"
#include "store/join.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace tonebath::app {

namespace {

constexpr std::size_t kLongestMark = 8;
constexpr std::size_t kClashesTold = 12;

Refusal bad_mark(const std::string& mark) {
    return rules::refuse("join.bad_mark", {"bench mark", mark}, "a mark is one to eight letters or digits.", "Type a short one: T.");
}

bool is_mark(const std::string& mark) {
    return mark.size() <= kLongestMark &&
           std::all_of(mark.begin(), mark.end(), [](char c) { return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); });
}

Result<store::JoinOptions> options_of(const JoinAsk& ask) {
    store::JoinOptions options{.mark = std::string(trimmed(ask.mark)), .clock_offset_ms = {}};
    if (!is_mark(options.mark)) {
        return bad_mark(options.mark);
    }
    std::string_view typed = trimmed(ask.clock);
    if (typed.empty()) {
        return options;
    }
    double sign = 1.0;
    for (const std::string_view minus : {"-", "−"}) {
        if (typed.starts_with(minus)) {
            sign = -1.0;
            typed = trimmed(typed.substr(minus.size()));
        }
    }
    const Result<Seconds> length = parse_duration("clock behind by", typed);
    if (!length) {
        return length.error();
    }
    options.clock_offset_ms = static_cast<std::int64_t>(std::llround(sign * length->seconds() * 1000.0));
    return options;
}

std::string many(std::int64_t n, std::string_view noun) {
    return counted(static_cast<std::size_t>(n), noun, plural_of(noun));
}

// Those that matter most at the bench first.
std::string listed(const std::vector<store::JoinCount>& counts, std::int64_t store::JoinCount::*what) {
    std::vector<std::string> words;
    const auto add = [&](const store::JoinCount& count) {
        if (count.*what > 0) {
            words.push_back(many(count.*what, noun_word(count.table)));
        }
    };
    constexpr std::array<std::string_view, 4> kFirst{Dip::kTable, Bath::kTable, Piece::kTable, Strip::kTable};
    for (const std::string_view first : kFirst) {
        for (const store::JoinCount& count : counts) {
            if (count.table == first) {
                add(count);
            }
        }
    }
    for (const store::JoinCount& count : counts) {
        if (std::find(kFirst.begin(), kFirst.end(), count.table) == kFirst.end()) {
            add(count);
        }
    }
    return joined(words, ", ");
}

// "1 h", "3 min 20 s".
std::string apart_text(double seconds) {
    const auto whole = static_cast<std::int64_t>(std::llround(std::abs(seconds)));
    std::vector<std::string> parts;
    for (const auto& [n, unit] : {std::pair{whole / 3600, "h"}, {whole / 60 % 60, "min"}, {whole % 60, "s"}}) {
        if (n > 0) {
            parts.push_back(fmt::format("{} {}", n, unit));
        }
    }
    return joined(parts, " ");
}

std::string clock_line(const store::JoinClock& clock) {
    using Known = store::JoinClock::Known;
    const double offset_s = static_cast<double>(clock.offset_ms) / 1000.0;
    const std::string apart = fmt::format("{} {}", apart_text(offset_s), offset_s > 0.0 ? "behind" : "ahead");
    switch (clock.known) {
        case Known::none: return "Clock: no moment was logged by both benches, so its moments are taken as they stand.";
        case Known::unclear:
            return fmt::format("Clock: {} moments that both logged do not agree on how far the clocks were apart. Say it: \"1 h\", or \"0 s\".", clock.of);
        case Known::told:
            return offset_s == 0.0 ? "Clock: its moments are taken as they stand, as you said." : fmt::format("Clock: {}, as you said; its moments are put right by that.", apart);
        case Known::found: break;
    }
    const std::string from = fmt::format("{} of {} that both logged ({})", counted(clock.from, "moment", "moments"), clock.of, clock.example);
    return offset_s == 0.0 ? fmt::format("Clock: within two minutes of ours, from {}.", from)
                           : fmt::format("Clock: {}, from {}; its moments are put right by that.", apart, from);
}

std::vector<std::string> lines_of(const store::JoinFindings& found) {
    std::vector<std::string> lines{clock_line(found.clock)};
    for (std::size_t i = 0; i < std::min(found.clashes.size(), kClashesTold); ++i) {
        const store::JoinClash& clash = found.clashes[i];
        lines.push_back(clash.theirs.empty() ? fmt::format("On both benches: {} {}. Give the other bench a mark, and both are kept.", noun_word(clash.table), clash.number)
                                             : fmt::format("On both benches: {} {}. Ours is {}, theirs {}.", noun_word(clash.table), clash.number, clash.ours, clash.theirs));
    }
    if (found.clashes.size() > kClashesTold) {
        lines.push_back(fmt::format("… and {} more numbers that are on both.", found.clashes.size() - kClashesTold));
    }
    if (!found.people.empty()) {
        lines.push_back(fmt::format("{} {} entered on both benches and taken for the same.", joined(found.people, ", "), found.people.size() == 1 ? "was" : "were"));
    }
    if (const std::string changed = listed(found.counts, &store::JoinCount::changed); !changed.empty()) {
        lines.push_back(fmt::format("Changed there later than here, so theirs holds: {}.", changed));
    }
    if (const std::string removed = listed(found.counts, &store::JoinCount::removed); !removed.empty()) {
        lines.push_back(fmt::format("Taken back there, so it goes here too: {}.", removed));
    }
    if (const std::string left = listed(found.counts, &store::JoinCount::left_out); !left.empty()) {
        lines.push_back(fmt::format("Taken back here, so it stays away: {}.", left));
    }
    lines.push_back(fmt::format("{} of its change log {} kept beside ours.", many(found.changes_added, "change"), found.changes_added == 1 ? "is" : "are"));
    return lines;
}

std::string said_of(const store::JoinFindings& found, bool written) {
    if (found.nothing()) {
        return "Nothing new: this log holds all of it.";
    }
    const std::string added = listed(found.counts, &store::JoinCount::added);
    std::string said = written ? "Joined. New: " : "New: ";
    said += (added.empty() ? "nothing" : added) + ".";
    std::vector<std::string> known;
    for (const std::string_view table : {Dip::kTable, Bath::kTable, Piece::kTable, Strip::kTable}) {
        if (const std::int64_t n = found.count_of(table).known; n > 0) {
            known.push_back(many(n, noun_word(table)));
        }
    }
    if (!known.empty()) {
        said += " Known: " + joined(known, ", ") + ".";
    }
    std::vector<std::string> apart;
    for (const store::JoinCount& count : found.counts) {
        const auto n = std::count_if(found.clashes.begin(), found.clashes.end(), [&](const store::JoinClash& clash) { return clash.table == count.table; });
        if (n > 0) {
            apart.push_back(many(2 * n, noun_word(count.table)));
        }
    }
    return apart.empty() ? said : said + " Kept apart: " + joined(apart, ", ") + ".";
}

JoinNews news_of(const store::JoinFindings& found, bool written) {
    JoinNews news{.written = written, .nothing = found.nothing(), .said = said_of(found, written), .lines = lines_of(found), .counts = {.noun = "count"}, .clashes = {.noun = "clash"}};
    for (const char* name : {"noun", "new", "known", "changed", "taken_back", "left_out"}) {
        news.counts.columns.push_back({.name = name});
    }
    for (const store::JoinCount& count : found.counts) {
        news.counts.rows.push_back({std::string(noun_word(count.table)), count.added, count.known, count.changed, count.removed, count.left_out});
    }
    for (const char* name : {"noun", "number", "here", "there"}) {
        news.clashes.columns.push_back({.name = name});
    }
    const auto named = [](const std::string& name) { return name.empty() ? Cell{} : Cell{name}; };
    for (const store::JoinClash& clash : found.clashes) {
        news.clashes.rows.push_back({std::string(noun_word(clash.table)), clash.number, named(clash.ours), named(clash.theirs)});
    }
    constexpr std::array<const char*, 4> kKnown{"none", "found", "told", "unclear"};
    news.clock = kKnown.at(static_cast<std::size_t>(found.clock.known));
    news.clock_s = static_cast<double>(found.clock.offset_ms) / 1000.0;
    news.our_mark = found.our_mark;
    news.their_mark = found.their_mark;
    news.changes = found.changes_added;
    news.form = found.form;
    return news;
}

Result<JoinNews> gone_through(Studio& studio, const JoinAsk& ask, const JoinGoesOn& goes_on, bool write) {
    const Result<store::JoinOptions> options = options_of(ask);
    if (!options) {
        return options.error();
    }
    try {
        const Result<std::unique_ptr<store::OtherLog>> other = store::OtherLog::open(ask.file);
        if (!other) {
            return other.error();
        }
        const std::optional<Person> who = studio.at_bench();
        const Result<store::JoinFindings> found =
            write ? store::join(studio.log(), **other, *options, studio.now(), who ? who->id.text : std::string(), studio.ids(), goes_on)
                  : store::preview_join(studio.log(), **other, *options, goes_on);
        return found ? Result<JoinNews>(news_of(*found, write)) : Result<JoinNews>(found.error());
    } catch (const store::StoreError& problem) {
        return log_trouble(problem, "other log");
    }
}

}  // namespace

Result<JoinNews> look_at_join(Studio& studio, const JoinAsk& ask, const JoinGoesOn& goes_on) {
    return gone_through(studio, ask, goes_on, false);
}

Result<JoinNews> join_log(Studio& studio, const JoinAsk& ask, const JoinGoesOn& goes_on) {
    if (studio.log().read_only()) {
        return Refusal{.code = "log.read_only", .field = {}, .value = {}, .message = "this log is open for reading only.", .remedy = "Write in the window that opened it first, or close that one.", .answers = {}};
    }
    return gone_through(studio, ask, goes_on, true);
}

std::string bench_mark(Studio& studio) {
    return studio.log().setting(store::kBenchMark).value_or("");
}

Result<Done> set_bench_mark(Studio& studio, const std::string& mark) {
    if (!is_mark(mark)) {
        return bad_mark(mark);
    }
    studio.log().set_setting(store::kBenchMark, mark);
    return Done{};
}

}  // namespace tonebath::app
