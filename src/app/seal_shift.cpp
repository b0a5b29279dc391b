#include "app/seal_shift.hpp"

#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "model/piece.hpp"
#include "science/colour_path.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

namespace tonebath::app {

namespace {

constexpr std::size_t kFewestForPath = 3;   // ours: measured records of a tone before its colour counts
constexpr std::size_t kFewestForAim = 3;    // ours: pairs before the plan is moved by them
constexpr double kReading_de00 = 2.0;       // ours: error of a measured colour
constexpr double kMostSteps = 2.0;          // ours: no sealer is followed further

struct Look {
    std::string part;  // empty where the piece has one part or is judged whole
    std::string place;
    Stamp at;
    bool sealed = false;
    std::optional<double> l, a, b;
    std::string scale;
    std::optional<double> tone;  // place on the scale as judged in words
};
struct Seal {
    std::string piece, part, sealer;
    Stamp at;
};

class Reader {
public:
    explicit Reader(Studio& studio) : log_(studio.log()) {
        read_pieces();
        read_looks();
        read_seals();
        read_work();
        read_paths();
    }

    std::vector<SealShift> shifts() {
        std::map<std::string, SealShift> by_sealer;
        std::map<std::string, std::vector<double>> after_l;
        std::set<std::string> sealed_pieces;
        for (const Seal& seal : seals_) {
            SealShift& shift = by_sealer[folded(seal.sealer)];
            shift.sealer = shift.sealer.empty() ? seal.sealer : shift.sealer;
            ++shift.sealed;
            sealed_pieces.insert(seal.piece);
            pair(seal, shift, after_l[folded(seal.sealer)]);
        }
        const std::vector<double> bare_l = never_sealed(sealed_pieces);
        std::vector<SealShift> shifts;
        for (auto& [sealer, shift] : by_sealer) {
            const auto range = [&shift = shift](std::optional<double> SealPair::*field) {
                std::vector<double> values;
                for (const SealPair& one : shift.pairs) {
                    if (one.*field) {
                        values.push_back(*(one.*field));
                    }
                }
                return science::mean_range(values);
            };
            shift.l = range(&SealPair::l);
            shift.a = range(&SealPair::a);
            shift.b = range(&SealPair::b);
            shift.steps = range(&SealPair::steps);
            shift.unpaired_l = science::group_difference(after_l[sealer], bare_l);
            say(shift);
            shifts.push_back(std::move(shift));
        }
        std::stable_sort(shifts.begin(), shifts.end(), [](const SealShift& one, const SealShift& other) { return one.pairs.size() > other.pairs.size(); });
        return shifts;
    }

private:
    void read_pieces() {
        store::Query query(log_, "SELECT p.id, p.number, (SELECT count(*) FROM part a WHERE a.piece_id = p.id) FROM piece p");
        while (query.next()) {
            numbers_[query.text(0)] = query.text(1);
            if (query.integer(2) > 1) {
                of_parts_.insert(query.text(0));
            }
        }
        store::Query parts(log_, "SELECT id, name FROM part");
        while (parts.next()) {
            part_names_[parts.text(0)] = parts.text(1);
        }
    }
    [[nodiscard]] std::string part_key(const std::string& piece, const std::string& part) const { return of_parts_.contains(piece) ? part : std::string(); }

    void read_looks() {
        store::Query query(log_,
                           "SELECT COALESCE(j.piece_id, part.piece_id), COALESCE(j.part_id, ''), j.place, j.at_utc_ms, j.at_offset_min, j.moment, j.lab_l, j.lab_a, "
                           "j.lab_b, t.scale_id, t.position, j.fraction, j.sense FROM judgement j LEFT JOIN part ON part.id = j.part_id "
                           "LEFT JOIN tone t ON t.id = j.tone_id WHERE j.strip_id IS NULL ORDER BY j.at_utc_ms, j.id");
        while (query.next()) {
            Look look{.part = part_key(query.text(0), query.text(1)), .place = query.text(2), .at = query.stamp(3), .sealed = query.text(5) == "after sealing",
                      .l = query.maybe_real(6), .a = query.maybe_real(7), .b = query.maybe_real(8), .scale = query.text(9)};
            if (!query.unknown(10) && query.text(12) == "is") {
                look.tone = static_cast<double>(query.integer(10)) + query.maybe_real(11).value_or(0.5);
            }
            looks_[query.text(0)].push_back(std::move(look));
        }
    }

    void read_seals() {
        store::Query query(log_,
                           "SELECT COALESCE(w.piece_id, part.piece_id, p.id), COALESCE(w.part_id, ''), w.used, w.at_utc_ms, w.at_offset_min FROM after_work w "
                           "LEFT JOIN part ON part.id = w.part_id LEFT JOIN piece p ON p.batch_id = w.batch_id "
                           "WHERE w.step = 'sealed' AND COALESCE(w.piece_id, part.piece_id, p.id) IS NOT NULL ORDER BY w.at_utc_ms, w.id");
        while (query.next()) {
            seals_.push_back({.piece = query.text(0), .part = part_key(query.text(0), query.text(1)), .sealer = query.text(2).empty() ? "not named" : query.text(2), .at = query.stamp(3)});
        }
    }

    // Whatever moves the tone besides: dips, and work on the surface.
    void read_work() {
        store::Query query(log_,
                           "SELECT COALESCE(d.piece_id, part.piece_id), COALESCE(d.dropped_utc_ms, d.at_about_utc_ms) FROM dip d "
                           "LEFT JOIN part ON part.id = d.part_id WHERE COALESCE(d.piece_id, part.piece_id) IS NOT NULL "
                           "UNION ALL SELECT COALESCE(w.piece_id, part.piece_id, p.id), w.at_utc_ms FROM after_work w LEFT JOIN part ON part.id = w.part_id "
                           "LEFT JOIN piece p ON p.batch_id = w.batch_id WHERE w.step IN ('rubbed back', 'brushed', 'tumbled')");
        while (query.next()) {
            worked_[query.text(0)].push_back(query.integer(1));
        }
    }

    // Colours of each scale's tones: as she measured them, else the middle of what was judged so and measured.
    void read_paths() {
        std::map<std::pair<std::string, int>, std::vector<science::Lab>> seen;
        for (const auto& [piece, looks] : looks_) {
            for (const Look& look : looks) {
                if (!look.sealed && look.tone && look.l && look.a && look.b) {
                    seen[{look.scale, static_cast<int>(std::floor(*look.tone))}].push_back({*look.l, *look.a, *look.b});
                }
            }
        }
        for (const Tone& tone : store::list<Tone>(log_, "ORDER BY scale_id, position")) {
            std::optional<science::Lab> colour;
            if (tone.l && tone.a && tone.b) {
                colour = science::Lab{*tone.l, *tone.a, *tone.b};
            } else if (const auto found = seen.find({tone.scale_id.text, tone.position}); found != seen.end() && found->second.size() >= kFewestForPath) {
                science::Lab sum{0.0, 0.0, 0.0};
                for (const science::Lab& one : found->second) {
                    sum = {sum.l + one.l, sum.a + one.a, sum.b + one.b};
                }
                const auto n = static_cast<double>(found->second.size());
                colour = science::Lab{sum.l / n, sum.a / n, sum.b / n};
            }
            if (colour) {
                paths_[tone.scale_id.text].push_back({.place = tone.position + 0.5, .colour = *colour});
            }
        }
    }

    // Nearest to where it was judged, or to where it lay before.
    [[nodiscard]] std::optional<double> on_path(const std::string& scale, const Look& look, std::optional<double> near) const {
        const auto path = paths_.find(scale);
        if (path == paths_.end() || path->second.size() < 2 || !look.l || !look.a || !look.b || !near) {
            return std::nullopt;
        }
        const science::PathReading reading = science::place_on_path(path->second, {*look.l, *look.a, *look.b}, kReading_de00);
        const auto places = science::agreeing_with(reading, *near - 1.0, *near + 1.0);
        return places.empty() || std::abs(places.front().place - *near) > kMostSteps ? std::nullopt : std::optional(places.front().place);
    }

    void pair(const Seal& seal, SealShift& shift, std::vector<double>& after_l) const {
        const auto looks = looks_.find(seal.piece);
        bool after_any = false, paired = false;
        if (looks != looks_.end()) {
            std::set<std::pair<std::string, std::string>> done;
            for (const Look& after : looks->second) {
                const bool of_it = seal.part.empty() || after.part == seal.part;
                if (!after.sealed || after.at < seal.at || !of_it || sealed_again(seal, after.at) || !done.insert({after.part, after.place}).second) {
                    continue;
                }
                after_any = true;
                if (after.l) {
                    after_l.push_back(*after.l);
                }
                if (const Look* before = before_of(looks->second, seal, after)) {
                    shift.pairs.push_back(pair_of(seal, *before, after));
                    paired = true;
                }
            }
        }
        shift.not_measured += after_any ? 0 : 1;
        shift.no_before += after_any && !paired ? 1 : 0;
    }
    [[nodiscard]] bool sealed_again(const Seal& seal, const Stamp& by) const {
        return std::ranges::any_of(seals_, [&](const Seal& other) { return other.piece == seal.piece && other.at > seal.at && other.at <= by; });
    }
    [[nodiscard]] const Look* before_of(const std::vector<Look>& looks, const Seal& seal, const Look& after) const {
        const Look* before = nullptr;
        for (const Look& one : looks) {
            if (!one.sealed && one.at <= seal.at && one.part == after.part && one.place == after.place && (one.l || one.tone)) {
                before = &one;
            }
        }
        const auto worked = worked_.find(seal.piece);
        const bool moved = before != nullptr && worked != worked_.end() &&
                           std::ranges::any_of(worked->second, [&](std::int64_t at_ms) { return at_ms > before->at.utc_ms && at_ms < after.at.utc_ms; });
        return moved ? nullptr : before;
    }
    [[nodiscard]] SealPair pair_of(const Seal& seal, const Look& before, const Look& after) const {
        const auto number = numbers_.find(seal.piece);
        const auto part = part_names_.find(after.part);
        SealPair pair{.piece = number == numbers_.end() ? "" : number->second, .part = part == part_names_.end() ? "" : part->second, .sealed_at = seal.at};
        const auto less = [](std::optional<double> one, std::optional<double> other) { return one && other ? std::optional(*one - *other) : std::nullopt; };
        pair.l = less(after.l, before.l);
        pair.a = less(after.a, before.a);
        pair.b = less(after.b, before.b);
        pair.before_l = before.l;
        pair.after_l = after.l;
        // Words against words, or colour against colour: never one against the other.
        if (after.tone && before.tone && after.scale == before.scale) {
            pair.steps = *after.tone - *before.tone;
        } else {
            const auto from = on_path(before.scale, before, before.tone);
            pair.steps = less(on_path(before.scale, after, from), from);
        }
        return pair;
    }

    // The last measured lightness of pieces that were never sealed.
    [[nodiscard]] std::vector<double> never_sealed(const std::set<std::string>& sealed) const {
        std::vector<double> values;
        for (const auto& [piece, looks] : looks_) {
            std::optional<double> last;
            for (const Look& look : looks) {
                last = look.l && !look.sealed ? look.l : last;
            }
            if (last && !sealed.contains(piece)) {
                values.push_back(*last);
            }
        }
        return values;
    }

    static void say(SealShift& shift) {
        if (shift.l) {
            shift.words.push_back(fmt::format("{} L* {} ({} to {}), from {} measured before and after.", shift.l->mean < 0.0 ? "Darker by" : "Lighter by",
                                              fixed_text(std::abs(shift.l->mean), 1), fixed_text(shift.l->low, 1), fixed_text(shift.l->high, 1),
                                              counted(shift.l->n, "piece", "pieces")));
            if (shift.unpaired_l) {
                shift.words.push_back(fmt::format("Against pieces never sealed the difference would read {} ({} to {}): pieces differ more than the seal does.",
                                                  fixed_text(shift.unpaired_l->mean, 1), fixed_text(shift.unpaired_l->low, 1), fixed_text(shift.unpaired_l->high, 1)));
            }
        } else {
            shift.words.push_back(shift.pairs.empty() ? "No piece is measured both before and after it." : "One piece alone is measured before and after it: too few to tell.");
        }
        if (shift.steps) {
            shift.words.push_back(fmt::format("On the tone scale {} tones ({} to {}).", fixed_text(shift.steps->mean, 2), fixed_text(shift.steps->low, 2), fixed_text(shift.steps->high, 2)));
        }
        if (shift.no_before > 0) {
            shift.words.push_back(fmt::format("{} have nothing before it to hold against: judge before sealing, in the same light.", shift.no_before));
        }
    }

    store::Log& log_;
    std::map<std::string, std::string> numbers_, part_names_;
    std::set<std::string> of_parts_;
    std::map<std::string, std::vector<Look>> looks_;
    std::vector<Seal> seals_;
    std::map<std::string, std::vector<std::int64_t>> worked_;
    std::map<std::string, std::vector<science::PathPoint>> paths_;
};

// The sealer that a target's pieces get: its keep-piece's, else that of the last of its pieces that was sealed, else the
// last that was used at all.
std::string sealer_of(store::Log& log, const Target& target) {
    store::Query query(log,
                       "SELECT w.used FROM after_work w LEFT JOIN part ON part.id = w.part_id LEFT JOIN piece p ON p.id = COALESCE(w.piece_id, part.piece_id) "
                       "OR (w.batch_id IS NOT NULL AND p.batch_id = w.batch_id) LEFT JOIN batch b ON b.id = p.batch_id "
                       "WHERE w.step = 'sealed' AND w.used <> '' "
                       "ORDER BY (p.number = ?1 AND ?1 <> '') DESC, (COALESCE(p.target_id, b.target_id, '') = ?2) DESC, w.at_utc_ms DESC LIMIT 1",
                       {target.keep_piece, target.id.text});
    return query.next() ? query.text(0) : std::string();
}

SealAim aim_of(store::Log& log, const std::vector<SealShift>& shifts, const Target& target) {
    SealAim aim{.sealer = sealer_of(log, target), .words = {}};
    const std::string wanted = fmt::format("\"{}\" is told as after sealing", target.name);
    if (aim.sealer.empty()) {
        aim.words = wanted + ": no seal is written down yet, so the plan aims at that tone itself";
        return aim;
    }
    const auto shift = std::ranges::find_if(shifts, [&](const SealShift& one) { return folded(one.sealer) == folded(aim.sealer); });
    if (shift == shifts.end() || !shift->steps || shift->steps->n < kFewestForAim) {
        aim.words = fmt::format("{}: how many tones {} moves it is not known, so the plan aims at that tone itself. Judge it before and after", wanted, aim.sealer);
        return aim;
    }
    aim.earlier_steps = std::clamp(shift->steps->mean, -kMostSteps, kMostSteps);
    aim.words = fmt::format("{}: {} moves it {} tones ({} to {}, {}), so the bath is to leave it that much {}", wanted, aim.sealer, fixed_text(aim.earlier_steps, 2),
                            fixed_text(shift->steps->low, 2), fixed_text(shift->steps->high, 2), counted(shift->steps->n, "pair", "pairs"),
                            aim.earlier_steps >= 0.0 ? "earlier" : "further on");
    return aim;
}

}  // namespace

std::vector<SealShift> seal_shifts(Studio& studio) { return Reader(studio).shifts(); }

std::optional<SealAim> seal_aim(Studio& studio, const Target& target) {
    return target.moment == Moment::after_sealing ? std::optional(aim_of(studio.log(), seal_shifts(studio), target)) : std::nullopt;
}

std::map<std::string, SealAim> seal_aims(Studio& studio) {
    std::map<std::string, SealAim> aims;
    const std::vector<Target> targets = store::list<Target>(studio.log(), "WHERE moment = ?1", {std::string(word_of(Moment::after_sealing))});
    const std::vector<SealShift> shifts = targets.empty() ? std::vector<SealShift>{} : seal_shifts(studio);
    for (const Target& target : targets) {
        aims.emplace(target.id.text, aim_of(studio.log(), shifts, target));
    }
    return aims;
}

}  // namespace tonebath::app
