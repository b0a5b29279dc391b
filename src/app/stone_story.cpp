#include "app/stones.hpp"

#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

namespace tonebath::app {

namespace {

constexpr double kDay_s = 86400.0;

// Whether a finish of this kind touches a stone so. Here heat is that of flame and air: a hot bath is told by its chemistry.
bool touches_so(const FinishKind& kind, std::string_view touches) {
    const auto any = [&kind](std::initializer_list<std::string_view> families) {
        return std::ranges::any_of(families, [&kind](std::string_view family) { return in_family(kind, family); });
    };
    return touches == "alkalis_sulfides" ? any({"sulfide", "ammonia"})
           : touches == "acids"          ? any({"acid", "metal_salt", "oxidiser"})
           : touches == "heat"           ? any({"heat"})
                                         : touches == "solvents" && any({"solvent"});
}

// All its baths of these finishes as one: seconds together.
std::optional<StoneExposure> met_so(const std::set<std::string_view>& finishes, const StoneRow& row) {
    std::optional<StoneExposure> all;
    for (const StoneExposure& met : row.met) {
        if (!finishes.contains(met.finish)) {
            continue;
        }
        if (!all) {
            all = met;
            continue;
        }
        all->seconds += met.seconds;
        all->all_timed = all->all_timed && met.all_timed;
    }
    return all;
}

void add(StoneCount& count, bool seen, bool harmed) {
    count.seen += seen ? 1 : 0;
    count.harmed += harmed ? 1 : 0;
    count.not_seen += seen ? 0 : 1;
}

bool worked_so(AfterStep step, std::string_view touches) {
    return touches == "tumbling" ? step == AfterStep::tumbled : step == AfterStep::rubbed_back || step == AfterStep::brushed;
}

// Looks from that work on; harm that was seen before it is none of its doing.
void add_worked(StoneCount& count, const StoneRow& row, std::string_view touches) {
    const auto work = std::ranges::find_if(row.worked, [&](const StoneWork& one) { return worked_so(one.step, touches); });
    if (work == row.worked.end() || row.met.empty()) {
        return;
    }
    const double days = seconds_between(row.met.front().first, work->at) / kDay_s;
    const auto since = [days](const std::optional<double>& look) { return look && *look >= days; };
    if (!row.harmed_days || since(row.harmed_days)) {
        add(count, since(row.harmed_days) || since(row.unharmed_days), since(row.harmed_days));
    }
}

bool has_word(const std::string& words, const std::string& wanted, bool whole) {
    return words.find(" " + wanted + (whole ? " " : "")) != std::string::npos;
}

}  // namespace

std::string coats_words(int coats) {
    return coats == 0 ? "no coats" : counted(static_cast<std::size_t>(coats), "coat", "coats");
}

OwnStones own_stones(const std::vector<FinishKind>& kinds, std::span<const StoneRow> rows, const StoneRow& stone, std::string_view touches) {
    OwnStones own;
    const bool by_hand = touches == "tumbling" || touches == "rubbing";
    std::set<std::string_view> finishes;
    for (const FinishKind& kind : kinds) {
        if (touches_so(kind, touches)) {
            finishes.insert(kind.key);
        }
    }
    const auto mine = met_so(finishes, stone);
    // Where its time is not known, each band may be near.
    const int band = mine ? band_of(&*mine) : 0;
    const auto is_near = [band](int other) { return band > 3 || other == band || (other == band + 1 && other <= 3); };
    std::map<int, StoneCount> by_band;
    StoneCount worked;
    for (const StoneRow& row : rows) {
        if (row.kind != stone.kind || row.backing != stone.backing || row.coats != stone.coats) {
            continue;
        }
        if (by_hand) {
            add_worked(worked, row, touches);
        } else if (const auto met = met_so(finishes, row)) {
            add(by_band[band_of(&*met)], row.seen(), row.harmed_days.has_value());
        }
    }
    const auto say = [&](std::string_view how, const StoneCount& count) {
        if (count.seen > 0) {
            own.words.push_back(fmt::format("{}, {}, {}: {}", stone.kind, coats_words(stone.coats), how, count.words()));
        }
    };
    if (by_hand) {
        say(touches == "tumbling" ? "tumbled" : "rubbed back or brushed", worked);
        own.near = worked;
    }
    for (const auto& [each, count] : by_band) {
        say(band_words(each), count);
        // The worst band near it stands for it: bands are never pooled.
        const bool worse = count.harmed * own.near.seen > own.near.harmed * count.seen || (own.near.harmed == 0 && count.harmed == 0 && count.seen > own.near.seen);
        if (is_near(each) && (own.near.seen == 0 || worse)) {
            own.near = count;
        }
    }
    return own;
}

std::string find_words(const StoneRow& row) {
    std::vector<std::string> words{row.number, row.kind, row.shape, std::string(word_of(row.backing)), row.source_lot, row.piece, row.order, coats_words(row.coats)};
    words.insert(words.end(), row.bottles.begin(), row.bottles.end());
    if (!row.coating.empty()) {
        words.push_back("evening " + row.coating);
    }
    words.emplace_back(row.harmed_days ? "harmed" : row.seen() ? "unharmed" : "not seen");
    if (row.harmed_days) {
        words.emplace_back(word_of(row.harm));
    }
    return " " + folded(joined(words, " ")) + " ";
}

std::vector<std::size_t> stones_with(std::span<const std::string> words, std::string_view typed) {
    std::vector<std::size_t> found(words.size());
    for (std::size_t i = 0; i < found.size(); ++i) {
        found[i] = i;
    }
    for (const std::string& wanted : split(folded(trimmed(typed)), ' ')) {
        if (wanted.empty()) {
            continue;
        }
        // A word that stands whole somewhere is meant whole: LQ-1 is not LQ-10.
        const auto without = [&](bool whole) {
            std::vector<std::size_t> kept;
            std::ranges::copy_if(found, std::back_inserter(kept), [&](std::size_t row) { return has_word(words[row], wanted, whole); });
            return kept;
        };
        std::vector<std::size_t> whole = without(true);
        found = whole.empty() ? without(false) : std::move(whole);
    }
    return found;
}

StoneStory stone_story(Studio& studio, const StoneRow& row) {
    StoneStory story;
    const auto say = [&story](std::string words) { story.words.push_back(std::move(words)); };
    std::vector<std::string> what{row.kind};
    if (!row.shape.empty()) {
        what.push_back(row.shape);
    }
    if (row.size_mm) {
        what.push_back(text_of(Millimetres::from_mm(*row.size_mm), studio.units()));
    }
    what.push_back(row.backing == Backing::unknown ? "back not known" : row.backing == Backing::none ? "no backing" : std::string(word_of(row.backing)) + " back");
    if (!row.source_lot.empty()) {
        what.push_back("from " + row.source_lot);
    }
    say(joined(what, ", "));
    say(row.piece.empty() ? "on no piece" : "on " + row.piece + (row.order.empty() ? "" : ", order " + row.order));
    if (!row.set_known && !row.piece.empty()) {
        say("since when it is on its piece is not written down: no dip is counted");
    }
    say(coats_words(row.coats) + (row.bottles.empty() ? "" : " from " + joined(row.bottles, ", ")) + (row.coating.empty() ? "" : ", evening " + row.coating));
    for (const StoneExposure& one : row.met) {
        say(fmt::format("{}: {} in {}{}{}; {} to {}; {} with no rinse of 10 s written down", studio.finish_kind(one.finish).name, text_of(Seconds::from_seconds(one.seconds)),
                        counted(static_cast<std::size_t>(one.dips), "dip", "dips"), one.all_timed ? "" : ", not all timed",
                        one.hottest_c ? ", at most " + text_of(Celsius::from_celsius(*one.hottest_c), studio.units()) : "", date_text(one.first), date_text(one.last), one.short_rinses));
    }
    if (row.met.empty()) {
        say("no bath yet");
    }
    for (const StoneWork& one : row.worked) {
        say(fmt::format("{} {}{}", word_of(one.step), date_text(one.at), one.with.empty() ? "" : ", " + one.with));
    }
    story.looks = store::list<FollowUp>(studio.log(), "WHERE stone_id = ?1 ORDER BY at_utc_ms, id", {row.id.text});
    for (const FollowUp& look : story.looks) {
        say(fmt::format("{}: {}{}{}", date_text(look.at), word_of(look.seen), look.zone == Zone::unknown ? "" : fmt::format(", {}", word_of(look.zone)), look.note.empty() ? "" : ", " + look.note));
    }
    if (story.looks.empty()) {
        say("no look is written down");
    }
    return story;
}

}  // namespace tonebath::app
