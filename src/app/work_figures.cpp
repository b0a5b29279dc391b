#include "app/work_figures.hpp"

#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "model/nouns.hpp"
#include "model/rules/rule.hpp"
#include "store/log.hpp"
#include "store/record.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

namespace tonebath::app {

namespace {

// Ours: hands do not leave the bath for less than this; and what stands longer before the first drop was no set-up.
constexpr double kStays_s = 180.0;
constexpr double kLongestSetUp_s = 2.0 * 3600.0;

constexpr std::string_view kHourKey = "work_hour", kPieceKey = "work_piece", kStoneKey = "work_stone";

std::optional<double> rate_of(Studio& studio, std::string_view key) {
    const std::optional<std::string> text = studio.log().setting(key);
    const auto value = text ? parse_number("rate", *text) : Result<double>(Refusal{});
    return value ? std::optional(*value) : std::nullopt;
}

class Tally {
public:
    explicit Tally(Studio& studio) : log_(studio.log()) {}

    std::map<std::string, PieceWork> pieces() {
        for (const Batch& batch : store::list<Batch>(log_)) {
            batch_numbers_[batch.id.text] = batch.number;
        }
        for (const Piece& piece : store::list<Piece>(log_)) {
            PieceWork& work = all_[piece.id.text];
            work.piece = piece.number;
            work.design = piece.design;
            if (piece.batch_id) {
                work.batch = batch_numbers_[piece.batch_id->text];
                of_batch_[piece.batch_id->text].push_back(piece.id.text);
            }
        }
        for (const Part& part : store::list<Part>(log_)) {
            piece_of_part_[part.id.text] = part.piece_id.text;
        }
        judgements();
        baths();
        after_work();
        coats();
        return std::move(all_);
    }

private:
    struct Wet {
        double from_s = 0.0, to_s = 0.0;  // of the wall clock
        std::string piece;
        Stamp at;
    };

    [[nodiscard]] std::string piece_of(const std::optional<Id<Piece>>& piece, const std::optional<Id<Part>>& part) const {
        if (piece) {
            return piece->text;
        }
        const auto known = part ? piece_of_part_.find(part->text) : piece_of_part_.end();
        return known == piece_of_part_.end() ? std::string() : known->second;
    }

    void judgements() {
        for (const Judgement& judgement : store::list<Judgement>(log_, "WHERE moment <> 'after sealing' ORDER BY at_utc_ms, id")) {
            const std::string piece = piece_of(judgement.piece_id, judgement.part_id);
            if (piece.empty()) {
                continue;
            }
            last_over_[piece] = judgement.sense == Sense::gone_over;
            if (judgement.sense == Sense::gone_over && over_since_.count(piece) == 0) {
                over_since_[piece] = judgement.at;
            }
        }
        for (auto& [id, work] : all_) {
            work.gone_over = last_over_[id];
        }
    }

    // Adds to where it belongs: what comes after "gone over" is rework.
    void add(const std::string& piece, double PieceWork::*where, double seconds, const Stamp& at) {
        PieceWork& work = all_[piece];
        const auto over = over_since_.find(piece);
        const bool again = over != over_since_.end() && at > over->second;
        (again ? work.rework_min : work.*where) += seconds / 60.0;
        if (!work.last || *work.last < at) {
            work.last = at;
        }
    }

    void baths() {
        std::map<std::string, std::vector<Dip>> dips;
        for (Dip& dip : store::list<Dip>(log_, "WHERE strip_id IS NULL ORDER BY dropped_utc_ms, id")) {
            dips[dip.bath_id.text].push_back(std::move(dip));
        }
        std::map<std::string, double> rinsed_s;
        for (const Rinse& rinse : store::list<Rinse>(log_)) {
            rinsed_s[rinse.dip_id.text] += rinse.length ? rinse.length->seconds() : 0.0;
        }
        std::map<std::string, Stamp> checked;
        for (const CheckRun& run : store::list<CheckRun>(log_, "WHERE bath_id IS NOT NULL AND withdrawn_by = '' ORDER BY at_utc_ms DESC")) {
            checked[run.bath_id->text] = run.at;  // the earliest stays
        }
        for (const Bath& bath : store::list<Bath>(log_)) {
            if (const auto its = dips.find(bath.id.text); its != dips.end()) {
                const auto check = checked.find(bath.id.text);
                one_bath(bath, its->second, rinsed_s, check == checked.end() ? bath.made_up_at : std::min(check->second, bath.made_up_at));
            }
        }
    }

    void one_bath(const Bath& bath, const std::vector<Dip>& dips, std::map<std::string, double>& rinsed_s, const Stamp& begun) {
        std::vector<Wet> wet;
        std::set<std::string> pieces;
        for (const Dip& dip : dips) {
            const std::string piece = piece_of(dip.piece_id, dip.part_id);
            if (all_.count(piece) == 0) {
                continue;
            }
            pieces.insert(piece);
            if (dip.dropped_at && dip.out_at && !dip.past_work) {
                const double from_s = seconds_between(begun, *dip.dropped_at);
                wet.push_back({from_s, from_s + seconds_between(*dip.dropped_at, *dip.out_at) + rinsed_s[dip.id.text], piece, *dip.out_at});
            } else if (dip.in_bath) {
                add(piece, &PieceWork::bath_min, dip.in_bath->seconds() + rinsed_s[dip.id.text], dip.at_about.value_or(dip.made_at));
            } else {
                all_[piece].gap = true;
            }
        }
        if (wet.empty()) {
            return;
        }
        std::sort(wet.begin(), wet.end(), [](const Wet& a, const Wet& b) { return a.from_s < b.from_s; });
        if (bath.past_work || wet.front().from_s < 0.0 || wet.front().from_s > kLongestSetUp_s) {
            for (const std::string& piece : pieces) {
                all_[piece].gap = true;
            }
        } else {
            for (const std::string& piece : pieces) {
                const auto first = std::find_if(wet.begin(), wet.end(), [&](const Wet& one) { return one.piece == piece; });
                add(piece, &PieceWork::set_up_min, wet.front().from_s / static_cast<double>(pieces.size()), first == wet.end() ? bath.made_up_at : first->at);
            }
        }
        // One sitting after another: while any hangs, and between two that follow closely.
        for (std::size_t begin = 0; begin < wet.size();) {
            double to_s = wet[begin].to_s;
            std::size_t end = begin + 1;
            while (end < wet.size() && wet[end].from_s <= to_s + kStays_s) {
                to_s = std::max(to_s, wet[end].to_s);
                ++end;
            }
            const double each_s = (to_s - wet[begin].from_s) / static_cast<double>(end - begin);
            for (; begin < end; ++begin) {
                add(wet[begin].piece, &PieceWork::bath_min, each_s, wet[begin].at);
            }
        }
    }

    void after_work() {
        for (const AfterWork& step : store::list<AfterWork>(log_)) {
            const std::string piece = piece_of(step.piece_id, step.part_id);
            const std::vector<std::string> pieces = step.batch_id ? of_batch_[step.batch_id->text] : piece.empty() ? std::vector<std::string>{} : std::vector{piece};
            for (const std::string& one : pieces) {
                // Drying and a rinse take no hands; without a length they leave no gap either.
                const bool hands = step.step != AfterStep::dried && step.step != AfterStep::rinsed && step.step != AfterStep::stop_bath;
                if (step.length) {
                    add(one, step.batch_id ? &PieceWork::batch_min : &PieceWork::after_min, step.length->seconds() / static_cast<double>(pieces.size()), step.at);
                } else if (hands && all_.count(one) != 0) {
                    all_[one].gap = true;
                }
                if (hands && all_.count(one) != 0 && over_since_.count(one) != 0 && step.at > over_since_[one]) {
                    all_[one].gone_over = false;  // something was done about it
                }
            }
        }
    }

    void coats() {
        std::map<std::string, double> each_s;
        for (const Coating& coating : store::list<Coating>(log_)) {
            each_s[coating.id.text] = coating.each.seconds();
        }
        std::map<std::string, std::string> piece_of_stone;
        for (const Stone& stone : store::list<Stone>(log_, "WHERE piece_id IS NOT NULL")) {
            piece_of_stone[stone.id.text] = stone.piece_id->text;
        }
        for (const Coat& coat : store::list<Coat>(log_, "WHERE skipped = 0 AND stone_id IS NOT NULL AND coating_id IS NOT NULL")) {
            if (const auto piece = piece_of_stone.find(coat.stone_id->text); piece != piece_of_stone.end() && all_.count(piece->second) != 0) {
                add(piece->second, &PieceWork::coats_min, each_s[coat.coating_id->text], coat.at);
            }
        }
    }

    store::Log& log_;
    std::map<std::string, PieceWork> all_;  // by id
    std::map<std::string, std::string> batch_numbers_, piece_of_part_;
    std::map<std::string, std::vector<std::string>> of_batch_;
    std::map<std::string, Stamp> over_since_;
    std::map<std::string, bool> last_over_;
};

// Sums first; `close` makes means of them.
void add_to(GroupWork& group, const PieceWork& work) {
    ++group.pieces;
    group.gone_over += work.gone_over ? 1 : 0;
    group.gaps += work.gap ? 1 : 0;
    group.set_up_min += work.set_up_min;
    group.bath_min += work.bath_min;
    group.batch_min += work.batch_min;
    group.after_min += work.after_min;
    group.finished += work.batch_min + work.after_min > 0.0 ? 1 : 0;
    group.coats_min += work.coats_min;
    group.rework_min += work.rework_min;
    group.minutes += work.minutes();
    if (work.last && (!group.last || *group.last < *work.last)) {
        group.last = work.last;
    }
}

void close(GroupWork& group, const WorkRates& rates) {
    const auto n = static_cast<double>(group.pieces);
    const auto good = static_cast<double>(group.pieces - group.gone_over);
    if (good > 0.0) {
        group.per_good = group.minutes / good;
        if (rates.hour) {
            group.cost = *group.per_good / 60.0 * *rates.hour + rates.piece.value_or(0.0) * n / good;
        }
    }
    if (group.finished > 0) {
        group.finishing_min = (group.batch_min + group.after_min) / static_cast<double>(group.finished);
    }
    for (double GroupWork::*mean : {&GroupWork::set_up_min, &GroupWork::bath_min, &GroupWork::batch_min, &GroupWork::after_min, &GroupWork::coats_min, &GroupWork::rework_min, &GroupWork::minutes}) {
        group.*mean /= n;
    }
}

constexpr std::array<std::pair<std::size_t, const char*>, 4> kSizes{{{1, "Alone"}, {2, "Batches of 2 to 6"}, {7, "Batches of 7 to 12"}, {13, "Batches of 13 and more"}}};

std::size_t size_from(std::size_t pieces) {
    std::size_t from = 1;
    for (const auto& [at_least, name] : kSizes) {
        from = pieces >= at_least ? at_least : from;
    }
    return from;
}

}  // namespace

WorkRates work_rates(Studio& studio) {
    return {.hour = rate_of(studio, kHourKey), .piece = rate_of(studio, kPieceKey), .stone = rate_of(studio, kStoneKey)};
}

Result<WorkRates> set_work_rates(Studio& studio, const std::string& hour, const std::string& piece, const std::string& stone) {
    const std::vector<std::pair<std::string_view, const std::string*>> typed{{kHourKey, &hour}, {kPieceKey, &piece}, {kStoneKey, &stone}};
    for (const auto& [key, text] : typed) {
        const auto value = trimmed(*text).empty() ? Result<double>(1.0) : parse_number("rate", *text);
        if (!value || !(*value > 0.0)) {
            return rules::refuse("rate.bad", {"rate", *text}, "that is no amount of money.", "Type a number above 0, in your own money: 18.");
        }
    }
    for (const auto& [key, text] : typed) {
        if (!trimmed(*text).empty()) {
            studio.log().set_setting(key, trimmed(*text));
        }
    }
    return work_rates(studio);
}

WorkFigures work_figures(Studio& studio) {
    WorkFigures figures{.rates = work_rates(studio)};
    std::map<std::string, GroupWork> groups;
    std::map<std::string, std::size_t> sizes;
    for (auto& [id, work] : Tally(studio).pieces()) {
        if (!work.last) {
            continue;  // nothing was done to it yet
        }
        GroupWork& group = groups[work.batch.empty() ? "design " + work.design : "batch " + work.batch];
        group.name = work.batch.empty() ? work.design + ", alone" : "Batch " + work.batch;
        group.design = work.design;
        add_to(group, work);
        figures.pieces.push_back(std::move(work));
    }
    std::map<std::size_t, GroupWork> by_size;
    for (const PieceWork& work : figures.pieces) {
        GroupWork& group = by_size[size_from(work.batch.empty() ? 1 : groups["batch " + work.batch].pieces)];
        add_to(group, work);
    }
    for (auto& [key, group] : groups) {
        close(group, figures.rates);
        figures.groups.push_back(std::move(group));
    }
    for (auto& [from, group] : by_size) {
        group.name = std::find_if(kSizes.begin(), kSizes.end(), [&from = from](const auto& size) { return size.first == from; })->second;
        close(group, figures.rates);
        figures.by_size.push_back(std::move(group));
    }
    std::sort(figures.pieces.begin(), figures.pieces.end(), [](const PieceWork& a, const PieceWork& b) { return natural_less(a.piece, b.piece); });
    std::sort(figures.groups.begin(), figures.groups.end(), [](const GroupWork& a, const GroupWork& b) { return *a.last < *b.last; });
    const auto gaps = static_cast<std::size_t>(std::count_if(figures.pieces.begin(), figures.pieces.end(), [](const PieceWork& work) { return work.gap; }));
    figures.words = {"Set-up is from the check before a bath to its first drop, spread over its pieces; so is after-work that was logged for a whole batch.",
                     "Time at the bath is while any piece hangs or is rinsed, and up to 3 min between two, shared by the dips of that sitting.",
                     "Finishing is after-work that was given a length, and a mean of the pieces that it was timed for; minutes a piece are those that are known.",
                     "Rework is all that came after a piece was judged gone over."};
    if (gaps > 0) {
        figures.words.push_back(counted(gaps, "piece has", "pieces have") + " a step without a length: it took longer than this.");
    }
    return figures;
}

MistakeFigures mistake_figures(Studio& studio, int quarters_back) {
    const CivilTime now = civil(studio.now());
    const int quarter = now.year * 4 + (now.month - 1) / 3 - quarters_back;
    const auto begins = [&](int which) { return stamp_of({.year = which / 4, .month = which % 4 * 3 + 1, .day = 1, .hour = 0, .minute = 0}, studio.now().offset_min); };
    MistakeFigures figures{.from = begins(quarter), .to = begins(quarter + 1)};
    const WorkRates rates = work_rates(studio);
    const auto within = [&](const Stamp& at) { return figures.from <= at && at < figures.to; };
    const auto work_cost = [&](double minutes) { return rates.hour ? std::optional(minutes / 60.0 * *rates.hour) : std::nullopt; };
    for (const auto& [id, work] : Tally(studio).pieces()) {
        if (!work.last || !within(*work.last)) {
            continue;
        }
        if (work.gone_over) {
            const auto hours = work_cost(work.minutes());
            figures.all.push_back({MistakeKind::gone_over, *work.last, work.piece + " went over", work.minutes(), hours && rates.piece ? std::optional(*hours + *rates.piece) : std::nullopt});
        } else if (work.rework_min > 0.0) {
            figures.all.push_back({MistakeKind::rework, *work.last, work.piece + " done over", work.rework_min, work_cost(work.rework_min)});
        }
    }
    // Each stone once, when it was first seen harmed.
    std::set<std::string> counted_stones;
    for (const FollowUp& look : store::list<FollowUp>(studio.log(), "WHERE seen NOT IN ('unharmed', 'not seen') ORDER BY at_utc_ms, id")) {
        const auto stone = store::find(studio.log(), look.stone_id);
        if (stone && counted_stones.insert(stone->id.text).second && within(look.at)) {
            figures.all.push_back({MistakeKind::stone, look.at, "stone " + stone->number + " " + std::string(word_of(look.seen)), 0.0, rates.stone});
        }
    }
    std::stable_sort(figures.all.begin(), figures.all.end(), [](const Mistake& a, const Mistake& b) { return a.at < b.at; });
    for (const Mistake& mistake : figures.all) {
        figures.minutes += mistake.minutes;
        if (mistake.cost) {
            figures.cost = figures.cost.value_or(0.0) + *mistake.cost;
        } else {
            ++figures.without_cost;
        }
    }
    return figures;
}

}  // namespace tonebath::app
