#include "app/repeat_changes.hpp"

#include "app/course.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace tonebath::app {

namespace {

using Words = std::set<std::string>;

constexpr double kRightWithin_c = 0.1;  // ours: a thermometer that is off by less is right

std::string in_words(const Words& words) {
    return joined({words.begin(), words.end()}, " / ");
}

// A bath's facts in words; what is not written down is left out.
struct BathWords {
    Words lot, make_up, vessel, thermometer, water, additives, agitation;
};

void put(Words& words, std::string_view word) {
    if (!word.empty()) {
        words.insert(std::string(word));
    }
}

class Comparer {
public:
    explicit Comparer(Studio& studio) : studio_(studio), log_(studio.log()) {}

    void compare(std::string what, const Words& then, const Words& now) {
        RepeatChange change{.what = std::move(what), .then = in_words(then), .now = in_words(now)};
        if (!then.empty() && !now.empty()) {
            change.likeness = then == now ? Likeness::same : Likeness::changed;
        }
        changes_.push_back(std::move(change));
    }

    void baths(const std::vector<std::vector<Dip>>& dips, const std::optional<Bath>& today) {
        BathWords then;
        std::set<std::string> seen;
        for (const auto& of_piece : dips) {
            for (const Dip& dip : of_piece) {
                const auto bath = seen.insert(dip.bath_id.text).second ? store::find(log_, dip.bath_id) : std::nullopt;
                if (bath) {
                    tell(*bath, bath->made_up_at, then);
                }
            }
        }
        BathWords now;
        if (today) {
            tell(*today, studio_.now(), now);
        }
        compare("lot", then.lot, now.lot);
        compare("strength at make-up", then.make_up, now.make_up);
        compare("vessel", then.vessel, now.vessel);
        compare("thermometer", then.thermometer, now.thermometer);
        compare("kind of water", then.water, now.water);
        compare("additives", then.additives, now.additives);
        compare("moved", then.agitation, now.agitation);
    }

    // Metal, its source and the surface, part by part.
    void parts(const RepeatPattern& pattern) {
        const auto then = part_words(pattern.pieces);
        const auto now = part_words(pattern.newer);
        for (const auto& [part, words] : then) {
            const std::string name = then.size() > 1 || part != "whole" ? part + ", " : std::string();
            const auto found = now.find(part);
            const PartWords today = found == now.end() ? PartWords{} : found->second;
            compare(name + "metal", words.metal, today.metal);
            compare(name + "source of the metal", words.source, today.source);
            compare(name + "surface", words.surface, today.surface);
        }
    }

    void sealer(const RepeatPattern& pattern) {
        compare("sealed with", sealed_with(pattern.pieces), sealed_with(pattern.newer));
    }

    void who(const std::vector<std::vector<Dip>>& dips) {
        Words then;
        for (const auto& of_piece : dips) {
            for (const Dip& dip : of_piece) {
                const auto person = dip.who ? store::find(log_, *dip.who) : std::nullopt;
                put(then, person ? person->initials : std::string());
            }
        }
        Words now;
        const auto at_bench = studio_.at_bench();
        put(now, at_bench ? at_bench->initials : std::string());
        compare("who", then, now);
    }

    std::vector<RepeatChange> take() {
        const auto rank = [](const RepeatChange& change) {
            return change.likeness == Likeness::changed ? 0 : change.likeness == Likeness::not_known ? 1 : 2;
        };
        std::stable_sort(changes_.begin(), changes_.end(),
                         [&](const RepeatChange& a, const RepeatChange& b) { return rank(a) < rank(b); });
        return std::move(changes_);
    }

private:
    struct PartWords {
        Words metal, source, surface;
    };

    void tell(const Bath& bath, const Stamp& at, BathWords& words) {
        const auto lot = bath.lot_id ? store::find(log_, *bath.lot_id) : std::nullopt;
        if (lot) {
            put(words.lot, lot->number);
            if (bath.amount && bath.water && bath.water->ml() > 0.0) {
                put(words.make_up, fmt::format("{} {}/L", fixed_text(*bath.amount / (bath.water->ml() / 1000.0), 1),
                                               word_of(lot->unit)));
            }
        }
        const auto vessel = bath.vessel_id ? store::find(log_, *bath.vessel_id) : std::nullopt;
        put(words.vessel, vessel ? vessel->number : std::string());
        put(words.water, bath.water_source);
        put(words.additives, bath.additives);
        put(words.agitation, bath.agitation ? word_of(*bath.agitation) : std::string_view());
        for (const Reading& reading : store::list<Reading>(log_, "WHERE bath_id = ?1", {bath.id.text})) {
            put(words.thermometer, thermometer_words(reading));
        }
        if (words.thermometer.empty()) {
            Reading none;
            none.at = at;
            put(words.thermometer, thermometer_words(none));
        }
    }

    // "T2, reads 4.0 °C high": of the one named with the reading, else the one in use at that moment.
    std::string thermometer_words(const Reading& reading) {
        std::optional<Thermometer> thermometer =
            reading.thermometer_id ? store::find(log_, *reading.thermometer_id) : std::nullopt;
        if (!thermometer) {
            const auto in_use = store::list<Thermometer>(
                log_, "WHERE in_use_from_utc_ms <= ?1 ORDER BY in_use_from_utc_ms DESC, id LIMIT 1",
                {reading.at.utc_ms});
            if (in_use.empty()) {
                return {};
            }
            thermometer = in_use.front();
        }
        Reading by_it = reading;
        by_it.thermometer_id = thermometer->id;
        const double correction_c = thermometer_correction_c(log_, by_it);
        return std::abs(correction_c) < kRightWithin_c
                   ? thermometer->number
                   : fmt::format("{}, reads {} °C {}", thermometer->number, fixed_text(std::abs(correction_c), 1),
                                 correction_c < 0.0 ? "high" : "low");
    }

    std::map<std::string, PartWords> part_words(const std::vector<Piece>& pieces) {
        std::map<std::string, PartWords> all;
        for (const Piece& piece : pieces) {
            for (const Part& part : parts_of(studio_, piece)) {
                PartWords& words = all[part.name];
                const auto metal = part.metal_id ? store::find(log_, *part.metal_id) : std::nullopt;
                put(words.metal, metal ? metal->name : std::string());
                put(words.source, part.note);
                // Its own; what a batch was prepared to stands in where nothing is written of the part.
                const auto prepared =
                    part.surface.empty() ? last_preparation(studio_, subject_of(studio_, part)) : std::nullopt;
                put(words.surface, prepared ? prepared->surface : part.surface);
            }
        }
        return all;
    }

    Words sealed_with(const std::vector<Piece>& pieces) {
        Words words;
        for (const Piece& piece : pieces) {
            for (const AfterWork& work : after_work_of(studio_, subject_of(studio_, piece))) {
                if (work.step == AfterStep::sealed) {
                    put(words, work.with.empty() ? "sealer not named" : work.with);
                }
            }
        }
        return words;
    }

    Studio& studio_;
    store::Log& log_;
    std::vector<RepeatChange> changes_;
};

}  // namespace

std::vector<RepeatChange> repeat_changes(Studio& studio, const RepeatPattern& pattern,
                                         const std::vector<std::vector<Dip>>& dips, const std::optional<Bath>& today) {
    Comparer comparer(studio);
    comparer.baths(dips, today);
    comparer.parts(pattern);
    comparer.sealer(pattern);
    comparer.who(dips);
    return comparer.take();
}

}  // namespace tonebath::app
