#include "app/stones.hpp"

#include "app/course.hpp"
#include "app/studio.hpp"
#include "app/subject.hpp"
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

double StoneBath::seconds() const {
    double all = 0.0;
    for (const StoneDip& dip : dips) {
        all += dip.seconds.value_or(0.0);
    }
    return all;
}

std::vector<StoneBath> stone_baths(Studio& studio, const Id<Stone>& stone) {
    store::Log& log = studio.log();
    const std::vector<Dip> dips = store::list<Dip>(
        log,
        "WHERE id IN (WITH stay (piece_id, since, until) AS ("
        "SELECT s.piece_id, COALESCE(s.set_utc_ms, p.assembled_utc_ms), 9223372036854775807 FROM stone s JOIN piece p ON p.id = s.piece_id WHERE s.id = ?1 UNION ALL "
        "SELECT t.piece_id, COALESCE(t.set_utc_ms, p.assembled_utc_ms), t.off_utc_ms FROM stone_stay t JOIN piece p ON p.id = t.piece_id WHERE t.stone_id = ?1), "
        "wet (dip_id, at, joined, since, until) AS ("
        "SELECT d.id, COALESCE(d.dropped_utc_ms, d.at_about_utc_ms), NULL, since, until FROM stay JOIN dip d ON d.piece_id = stay.piece_id UNION ALL "
        "SELECT d.id, COALESCE(d.dropped_utc_ms, d.at_about_utc_ms), part.assembled_utc_ms, since, until FROM stay JOIN part ON part.piece_id = stay.piece_id JOIN dip d ON d.part_id = part.id) "
        "SELECT dip_id FROM wet WHERE since <= at AND at < until AND (joined IS NULL OR joined <= at)) ORDER BY COALESCE(dropped_utc_ms, at_about_utc_ms), id",
        {stone.text});
    std::vector<StoneBath> baths;
    std::map<std::string, std::pair<std::size_t, std::optional<BathHistory>>> read;  // by bath: its place in `baths`
    for (const Dip& dip : dips) {
        const auto [found, first] = read.try_emplace(dip.bath_id.text, baths.size(), std::nullopt);
        std::optional<BathHistory>& history = found->second.second;
        if (first) {
            history = bath_history(log, dip.bath_id);
            baths.push_back({.number = history ? history->bath.number : std::string(), .finish = history ? history->bath.finish_kind : std::string()});
        }
        StoneDip one{.at = when_dipped(dip).value_or(dip.made_at), .of = subject_of(studio, dip).name};
        one.seconds = dip.in_bath ? std::optional(dip.in_bath->seconds()) : std::nullopt;
        one.temp_c = dip.temp ? std::optional(dip.temp->celsius()) : std::nullopt;
        const auto times = history && history->temp_known ? dip_times(*history, dip) : std::nullopt;
        if (!one.temp_c && times) {
            one.temp_c = history->course.temp.temp_c(0.5 * (times->in_s + times->out_s));
            one.by_curve = true;
        }
        for (const Rinse& rinse : store::list<Rinse>(log, "WHERE dip_id = ?1 AND length_s IS NOT NULL ORDER BY length_s DESC LIMIT 1", {dip.id.text})) {
            one.rinse_s = rinse.length->seconds();
        }
        baths[found->second.first].dips.push_back(std::move(one));
    }
    return baths;
}

namespace {

std::string what_words(const StoneRow& row, const UnitChoice& units) {
    std::vector<std::string> what{row.kind};
    if (!row.shape.empty()) {
        what.push_back(row.shape);
    }
    if (row.size_mm) {
        what.push_back(text_of(Millimetres::from_mm(*row.size_mm), units));
    }
    what.push_back(row.backing == Backing::unknown ? "back not known" : row.backing == Backing::none ? "no backing" : std::string(word_of(row.backing)) + " back");
    if (!row.source_lot.empty()) {
        what.push_back("from " + row.source_lot);
    }
    return joined(what, ", ");
}

std::string dip_words(const StoneBath& bath, const StoneDip& dip, bool of_piece, const UnitChoice& units) {
    std::vector<std::string> words{fmt::format("{} {}, bath {}", date_text(dip.at), time_text(dip.at), bath.number)};
    if (!of_piece) {
        words.push_back(dip.of);
    }
    words.push_back((dip.seconds ? text_of(Seconds::from_seconds(*dip.seconds)) : "time not known") +
                    (dip.temp_c ? fmt::format(" at {}{}", dip.by_curve ? "about " : "", text_of(Celsius::from_celsius(*dip.temp_c), units)) : ", heat not known"));
    words.push_back(dip.rinse_s ? "rinsed " + text_of(Seconds::from_seconds(*dip.rinse_s)) : "no rinse written down");
    return joined(words, ", ");
}

std::optional<double> hottest_dip(const std::vector<StoneBath>& baths, std::string_view finish) {
    std::optional<double> hottest_c;
    for (const StoneBath& bath : baths) {
        for (const StoneDip& dip : bath.dips) {
            if (bath.finish == finish && dip.temp_c) {
                hottest_c = std::max(*dip.temp_c, hottest_c.value_or(*dip.temp_c));
            }
        }
    }
    return hottest_c;
}

// Since when a stone is on its piece; nothing where that is not written down.
std::optional<Stamp> since_when(Studio& studio, const Id<Stone>& id) {
    const auto stone = store::find(studio.log(), id);
    const auto piece = stone && stone->piece_id ? store::find(studio.log(), *stone->piece_id) : std::nullopt;
    return piece ? stone->set_at ? stone->set_at : piece->assembled_at : std::nullopt;
}

}  // namespace

StoneStory stone_story(Studio& studio, const StoneRow& row) {
    StoneStory story{.baths = stone_baths(studio, row.id), .since = since_when(studio, row.id)};
    const auto say = [&story](std::string words, bool under = false) { story.lines.push_back({.words = std::move(words), .under = under}); };
    say(what_words(row, studio.units()));
    say(row.piece.empty() ? "on no piece" : "on " + row.piece + (story.since ? " since " + date_text(*story.since) : "") + (row.order.empty() ? "" : ", order " + row.order));
    if (!row.set_known && !row.piece.empty()) {
        say("since when it is on its piece is not written down: no dip is counted");
    }
    say(coats_words(row.coats) + (row.bottles.empty() ? "" : " from " + joined(row.bottles, ", ")) + (row.coating.empty() ? "" : ", evening " + row.coating));
    double all_s = 0.0;
    for (const StoneExposure& one : row.met) {
        all_s += one.seconds;
        const auto hottest = hottest_dip(story.baths, one.finish);
        say(fmt::format("{}: {} in {}{}{}{}", studio.finish_kind(one.finish).name, text_of(Seconds::from_seconds(one.seconds)), counted(static_cast<std::size_t>(one.dips), "dip", "dips"),
                        one.all_timed ? "" : ", not all timed", hottest ? ", at most " + text_of(Celsius::from_celsius(*hottest), studio.units()) : "",
                        one.short_rinses == 0 ? "" : fmt::format(", {} with no rinse of 10 s written down", one.short_rinses)));
        for (const StoneBath& bath : story.baths) {
            for (const StoneDip& dip : bath.dips) {
                if (bath.finish == one.finish) {
                    say(dip_words(bath, dip, dip.of == row.piece, studio.units()), true);
                }
            }
        }
    }
    if (row.met.empty()) {
        say("no bath yet");
    } else if (row.met.size() > 1) {
        say("in all finishes " + text_of(Seconds::from_seconds(all_s)));
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
