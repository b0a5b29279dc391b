#include "app/studio.hpp"
#include "app/views/baths_view.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/capacity.hpp"
#include "science/fade.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kExpectedAhead_h = 2.0;   // how far the dotted curve runs on
constexpr double kUnknownArea_cm2 = 20.0;  // a small piece, where no area is written down (common practice, no source)
constexpr double kUsedUp = 2.0 / 3.0;      // of the sulfide: a third is left, as with fade
constexpr double kFilm_nm = 100.0;         // a thick coloured film: more than any tone before black needs

class Portrait {
public:
    Portrait(Studio& studio, BathHistory history, const science::RateLaw& law) : studio_(studio), law_(law) {
        picture_.history = std::move(history);
    }

    BathPortrait paint() {
        const Bath& bath = picture_.history.bath;
        picture_.in_use = !bath.ended_at;
        picture_.assumed = picture_.history.assumed;
        const Stamp now = bath.ended_at ? *bath.ended_at : studio_.now();
        now_s_ = std::max(0.0, picture_.history.t_of(now));
        picture_.now_hour = hour_of(now_s_);
        heads();
        temperatures();
        dips();
        strength();
        left();
        return std::move(picture_);
    }

private:
    double hour_of(double t_s) const {
        const CivilTime made = civil(picture_.history.bath.made_up_at);
        return made.hour + made.minute / 60.0 + made.second / 3600.0 + t_s / 3600.0;
    }

    void heads() {
        const Bath& bath = picture_.history.bath;
        std::vector<std::string> words;
        if (picture_.history.lot) {
            const Lot& lot = *picture_.history.lot;
            words.push_back(lot.number + (lot.form == LotForm::lump ? " dry lump" : " " + std::string(word_of(lot.form))));
            if (bath.amount) {
                words.push_back(fmt::format("{} {}", fixed_text(*bath.amount, 1), word_of(lot.unit)));
            }
        }
        picture_.title = joined(words, ", ");
        if (bath.water) {
            picture_.title += (picture_.title.empty() ? "" : " in ") + text_of(*bath.water, studio_.units());
            picture_.title += bath.water_source.empty() ? "" : " " + bath.water_source;
        }
        if (picture_.title.empty()) {
            picture_.title = "Make-up not written down";
        }
        const auto& vessel = picture_.history.vessel;
        if (vessel) {
            picture_.line = "vessel " + vessel->number + (vessel->kind.empty() ? "" : ", " + vessel->kind) + ". ";
        }
        picture_.line += "Made up " + date_time_text(bath.made_up_at);
        if (bath.who) {
            if (const auto person = store::find(studio_.log(), *bath.who)) {
                picture_.line += " by " + person->initials;
            }
        }
        picture_.line += ".";
    }

    TempPoint point(double t_s) const {
        const science::TempCurve& curve = picture_.history.course.temp;
        const double temp_c = curve.temp_c(t_s);
        const double sd_c = curve.sd_c(t_s);
        return {.hour = hour_of(t_s), .temp_c = temp_c, .low_c = temp_c - sd_c, .high_c = temp_c + sd_c};
    }

    void temperatures() {
        if (!picture_.history.temp_known) {
            return;
        }
        const double step_s = std::max(15.0, now_s_ / 240.0);
        for (double t_s = 0.0; t_s < now_s_; t_s += step_s) {
            picture_.measured.push_back(point(t_s));
        }
        picture_.measured.push_back(point(now_s_));
        if (picture_.in_use) {
            picture_.temp_now_c = picture_.measured.back().temp_c;
            for (int i = 0; i <= 48; ++i) {
                picture_.expected.push_back(point(now_s_ + kExpectedAhead_h * 3600.0 * i / 48.0));
            }
        }
        for (const CourseReading& reading : picture_.history.readings) {
            if (reading.source != "written with a dip") {
                picture_.readings.push_back({.hour = hour_of(reading.t_s), .temp_c = reading.temp_c});
            }
        }
    }

    void dips() {
        store::Query query(studio_.log(),
                           "SELECT d.dropped_utc_ms, d.strip_id IS NOT NULL, p.rack, t.scale_id, t.position, j.fraction "
                           "FROM dip d LEFT JOIN part ON part.id = d.part_id "
                           "LEFT JOIN piece p ON p.id = COALESCE(d.piece_id, part.piece_id) "
                           "LEFT JOIN judgement j ON j.id = (SELECT id FROM judgement k WHERE k.dip_id = d.id OR "
                           " (k.dip_id IS NULL AND (k.strip_id = d.strip_id OR k.piece_id = d.piece_id OR k.part_id = d.part_id)) "
                           " ORDER BY k.at_utc_ms LIMIT 1) "
                           "LEFT JOIN tone t ON t.id = j.tone_id "
                           "WHERE d.bath_id = ?1 AND d.dropped_utc_ms IS NOT NULL ORDER BY d.dropped_utc_ms, d.id",
                           {picture_.history.bath.id.text});
        while (query.next()) {
            const Stamp at{.utc_ms = query.integer(0)};
            HangingDip dip{.hour = hour_of(picture_.history.t_of(at))};
            dip.group = query.integer(1) != 0 ? "strips" : query.unknown(2) ? "dips" : fmt::format("rack {}", query.integer(2));
            if (!query.unknown(4)) {
                dip.scale = query.text(3);
                dip.tone = ScalePlace{.tone = static_cast<int>(query.integer(4)), .share = query.unknown(5) ? 0.5 : query.real(5)};
            }
            picture_.dips.push_back(std::move(dip));
        }
    }

    void strength() {
        const auto half_h = science::age_at_strength_h(law_, 0.5);
        const auto third_h = science::age_at_strength_h(law_, 1.0 / 3.0);
        if (!half_h || !third_h) {
            return;
        }
        picture_.strength_now = science::strength_left(now_s_ / 3600.0, law_);
        picture_.fade_words = fmt::format("strength {}, half gone in about {} h", fixed_text(*picture_.strength_now, 2), fixed_text(*half_h, 1));
        picture_.throw_by = picture_.history.stamp_at(*third_h * 3600.0);
        picture_.faded_share = 1.0 - *picture_.strength_now;
        if (picture_.in_use) {
            picture_.new_bath_words = now_s_ < *third_h * 3600.0 ? fmt::format("Make a new one by {}: by then this one is three times slower.", date_time_text(*picture_.throw_by))
                                                                 : fmt::format("It is more than three times slower since {}: make a new one.", date_time_text(*picture_.throw_by));
        }
    }

    void left() {
        const Bath& bath = picture_.history.bath;
        const auto& lot = picture_.history.lot;
        if (!lot || lot->unit != AmountUnit::g || !bath.amount || law_.fade == science::FadeKind::none) {
            return;
        }
        store::Query sums(studio_.log(),
                          "SELECT count(*), COALESCE(sum(COALESCE(part.area_cm2, ?2)), 0) FROM dip d LEFT JOIN part ON part.id = d.part_id "
                          "WHERE d.bath_id = ?1 AND d.strip_id IS NULL",
                          {bath.id.text, kUnknownArea_cm2});
        const bool any = sums.next();
        const auto dips = any ? sums.integer(0) : 0;
        const auto sulfide_mg = science::sulfide_as_k2s_mg(*bath.amount);
        if (dips == 0 || !sulfide_mg) {
            return;
        }
        const auto capacity = science::bath_capacity({.sulfide_mg = *sulfide_mg, .area_cm2 = sums.real(1), .film_nm = kFilm_nm,
                                                      .hours = now_s_ / 3600.0, .law = law_});
        if (!capacity) {
            return;
        }
        picture_.used_share = capacity->used_share;
        if (picture_.in_use && capacity->by == science::BathEnd::use) {
            const double more = (kUsedUp - capacity->used_share) / capacity->used_share * static_cast<double>(dips);
            picture_.new_bath_words = more < 1.0 ? "The metal took most of it: make a new one." : fmt::format("Make a new one after about {} more.", counted(static_cast<std::size_t>(more), "dip", "dips"));
        }
        picture_.left_head = capacity->by == science::BathEnd::use    ? "Use ends it, not fade."
                             : capacity->by == science::BathEnd::fade ? "Fade ends it, not use."
                                                                      : "Neither use nor fade shows yet.";
        picture_.left_words = fmt::format("{} took at most {} mg of sulfide; {} g of lump holds up to {} mg.",
                                          counted(static_cast<std::size_t>(dips), "dip", "dips"), fixed_text(capacity->taken_mg, 1),
                                          fixed_text(*bath.amount, 1), fixed_text(*sulfide_mg, 0));
    }

    Studio& studio_;
    const science::RateLaw& law_;
    BathPortrait picture_;
    double now_s_ = 0.0;
};

}  // namespace

std::optional<BathPortrait> bath_portrait(Studio& studio, const Id<Bath>& bath, const Laws& laws) {
    auto history = bath_history(studio.log(), bath);
    if (!history) {
        return std::nullopt;
    }
    const science::RateLaw law = laws.of(*history);
    return Portrait(studio, std::move(*history), law).paint();
}

}  // namespace tonebath::app
