#include "app/winter.hpp"

#include "app/course.hpp"
#include "app/learned.hpp"
#include "app/plan_course.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "app/views/scales_view.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "model/rules/temp_rules.hpp"
#include "model/stones.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kLongestSession_s = 4.0 * 3600.0;
constexpr std::size_t kMostDrops = 120;  // ours: more lines than anyone reads
constexpr double kColdestRoom_c = -20.0, kHottestRoom_c = 50.0;  // as any room is asked about
constexpr double kHottestInWinter_c = 30.0;  // ours: a bare figure above it is asked about
constexpr double kSlower = 0.9;          // ours: a vessel is named where it loses heat a tenth more slowly, or better
constexpr double kLearnedLogSd = 0.4;    // of a vessel's constant: below it there are readings or a typed figure behind it

Refusal refused(std::string code, std::string field, std::string value, std::string message, std::string remedy) {
    return {.code = std::move(code), .field = std::move(field), .value = std::move(value), .message = std::move(message),
            .remedy = std::move(remedy), .answers = {}};
}

std::string seconds_words(double seconds) { return text_of(Seconds::from_seconds(seconds)); }

std::string minutes_words(double seconds) { return fixed_text(seconds / 60.0, 0) + " min"; }

class Winter {
public:
    Winter(Studio& studio, const Learned& learned, const WinterAsk& ask) : studio_(studio), learned_(learned), ask_(ask) {}

    WinterPlan make() {
        if (!asked_soundly() || !prepare() || !rooms()) {
            return std::move(plan_);
        }
        dips();
        order();
        words();
        cautions();
        return std::move(plan_);
    }

private:
    bool asked_soundly() {
        const auto outside = [](double value, double low, double high) { return !(value >= low && value <= high); };
        if (ask_.room_c && outside(*ask_.room_c, kColdestRoom_c, kHottestRoom_c)) {
            plan_.refusal = refused("winter.room", "Room", fixed_text(*ask_.room_c, 1) + " °C", "no room to work in is that hot or cold.",
                                    "Type the room as it is with the window open: 8 C, or 46 F.");
        } else if (ask_.fresh_c && outside(*ask_.fresh_c, 0.0, 100.0)) {
            plan_.refusal = refused("winter.fresh", "Made up at", fixed_text(*ask_.fresh_c, 1) + " °C", "a bath of water stands between 0 and 100 °C.",
                                    "Type it as 60 °C.");
        } else if (outside(ask_.session_s, 60.0, kLongestSession_s)) {
            plan_.refusal = refused("winter.session", "Session", seconds_words(ask_.session_s), "a session here lasts 1 min to 4 hours.", "Type it as 1 h.");
        } else if (outside(ask_.every_s, 10.0, 7200.0) || ask_.session_s / ask_.every_s > static_cast<double>(kMostDrops)) {
            plan_.refusal = refused("winter.every", "Every", seconds_words(ask_.every_s),
                                    fmt::format("drops stand 10 s to 2 hours apart here, at most {} in the session.", kMostDrops), "Type it as 5 min.");
        } else if (outside(ask_.longest_s, 4.0, 3600.0)) {
            plan_.refusal = refused("winter.longest", "Longest", seconds_words(ask_.longest_s), "the longest time in the bath is 4 s to an hour here.", "Type it as 90 s.");
        }
        return !plan_.refusal;
    }

    // The bath as it is, or as a fresh one of its kind would be; and the dose that the tone asks of it.
    bool prepare() {
        history_ = bath_history(studio_.log(), ask_.first.bath_id);
        request_ = ask_.first;
        request_.room_c.reset();
        if (history_ && ask_.fresh_c) {
            request_.temp_c = ask_.fresh_c;
            request_.drop_at = history_->bath.made_up_at;
        }
        Plan now = plan(studio_, learned_, request_);
        if (now.refusal || !now.dose_s) {
            plan_.refusal = now.refusal ? std::move(now.refusal) : refused("plan.no_fit", "plan", {}, "no dose can be told for this tone.", "Dip a strip in this bath.");
            return false;
        }
        dose_s_ = *now.dose_s;
        plan_.bath = history_->bath.number;
        plan_.tone = name_of_tone();
        plan_.before.first = {.out_s = *now.out_s, .low_s = *now.aim_low_s, .high_s = *now.aim_high_s};
        plan_.cautions = std::move(now.cautions);
        if (ask_.fresh_c) {
            if (history_->temp_known) {
                history_->cooling.k_per_min = history_->course.temp.fit().k_per_min;
            }
            if (!history_->course.strength.empty()) {
                history_->course.strength.resize(1);
                history_->course.strength.front().drift_per_h = 0.0;
            }
            start_s_ = 0.0;
            static_cast<void>(suppose_temperature(*history_, 0.0, *ask_.fresh_c));
            plan_.cautions.push_back(fmt::format("A fresh bath as fast as bath {}: dip a strip in it first.", plan_.bath));
        } else {
            plan_.dose_s = dose_s_;
            start_s_ = std::max(0.0, history_->t_of(request_.drop_at.value_or(studio_.now())));
            if (request_.temp_c) {
                static_cast<void>(suppose_temperature(*history_, start_s_, *request_.temp_c));
            }
        }
        law_ = laws_of(learned_).of(*history_);
        plan_.start_c = history_->course.temp.temp_c(start_s_);
        plan_.k_per_min = history_->course.temp.fit().k_per_min;
        plan_.before.room_c = history_->room_c;
        plan_.room_before_known = history_->room_known;
        return true;
    }

    std::string name_of_tone() {
        const auto tone = store::find(studio_.log(), ask_.first.tone_id);
        return tone ? tone->word : std::string();
    }

    bool rooms() {
        if (ask_.room_c) {
            plan_.colder.room_c = *ask_.room_c;
            plan_.room_from = "as typed";
        } else if (const auto record = last_room_temp(studio_)) {
            plan_.colder.room_c = record->room_c;
            plan_.room_from = fmt::format("written down with {}, {}", record->with, date_text(record->at));
        } else {
            plan_.refusal = refused("winter.no_room", "Room", {}, "no temperature of the room is written down.", "Type the room as it is with the window open: 8 C, or 46 F.");
            return false;
        }
        if (plan_.colder.room_c >= plan_.start_c) {
            plan_.refusal = refused("winter.room_hotter", "Room", text_of(Celsius::from_celsius(plan_.colder.room_c), studio_.units()),
                                    fmt::format("the bath ({}) is no hotter than that room: it does not cool in it.", text_of(Celsius::from_celsius(plan_.start_c), studio_.units())),
                                    "Were the two changed over? Type the room again.");
            return false;
        }
        request_.temp_c = plan_.start_c;
        request_.room_c = plan_.colder.room_c;
        Plan colder = plan(studio_, learned_, request_);
        if (colder.refusal) {
            plan_.refusal = std::move(colder.refusal);
            return false;
        }
        plan_.colder.first = {.out_s = *colder.out_s, .low_s = *colder.aim_low_s, .high_s = *colder.aim_high_s};
        before_ = speeded_course(learned_, ask_.first, *history_);
        colder_ = in_colder_room(plan_.k_per_min);
        for (auto [room, course] : {std::pair{&plan_.before, &before_}, std::pair{&plan_.colder, &colder_}}) {
            room->loss_c_per_min = plan_.k_per_min * (plan_.start_c - room->room_c);
            room->reheat_s = reheat_s(*course);
            if (room->reheat_s) {
                room->pieces = pieces_until(*room->reheat_s);
            }
        }
        return true;
    }

    // From the first drop on, in the colder room, in a vessel that cools at k.
    [[nodiscard]] science::BathCourse in_colder_room(double k_per_min) const {
        BathHistory moved = *history_;
        moved.room_c = plan_.colder.room_c;
        moved.cooling.k_per_min = k_per_min;
        static_cast<void>(suppose_temperature(moved, start_s_, plan_.start_c));
        return speeded_course(learned_, ask_.first, moved);
    }

    [[nodiscard]] std::optional<double> hangs_s(const science::BathCourse& course, double at_s) const {
        const auto out = science::matched_seconds(course, law_, start_s_ + at_s, dose_s_);
        return out ? std::optional(*out) : std::nullopt;
    }

    // The first moment at which a piece would hang too long: a bath left alone only gets slower.
    [[nodiscard]] std::optional<double> reheat_s(const science::BathCourse& course) const {
        const auto too_long = [&](double at_s) { return hangs_s(course, at_s).value_or(science::kLongestDip_s) > ask_.longest_s; };
        if (too_long(0.0)) {
            return 0.0;
        }
        if (!too_long(kLongestSession_s)) {
            return std::nullopt;
        }
        double in_time = 0.0;
        double late = kLongestSession_s;
        while (late - in_time > 0.5) {
            const double middle = 0.5 * (in_time + late);
            (too_long(middle) ? late : in_time) = middle;
        }
        return late;
    }

    // Drops at 0, one interval, two … that come before the reheat.
    [[nodiscard]] std::size_t pieces_until(double reheat) const {
        return reheat <= 0.0 ? 0 : static_cast<std::size_t>(std::ceil(reheat / ask_.every_s));
    }

    void dips() {
        const auto count = static_cast<std::size_t>(ask_.session_s / ask_.every_s + 1e-9);
        for (std::size_t i = 0; i <= count; ++i) {
            const double at_s = static_cast<double>(i) * ask_.every_s;
            plan_.dips.push_back({.at_s = at_s, .before_c = before_.temp.temp_c(start_s_ + at_s), .colder_c = colder_.temp.temp_c(start_s_ + at_s),
                                  .before_s = hangs_s(before_, at_s), .colder_s = hangs_s(colder_, at_s)});
        }
    }

    [[nodiscard]] std::string degrees(double celsius) const { return text_of(Celsius::from_celsius(celsius), studio_.units()); }
    // A difference, not a temperature.
    [[nodiscard]] std::string loss(double c_per_min) const {
        const bool fahrenheit = studio_.units().temperature == UnitChoice::Temperature::fahrenheit;
        return fixed_text(fahrenheit ? 1.8 * c_per_min : c_per_min, 1) + (fahrenheit ? " °F" : " °C");
    }
    [[nodiscard]] static std::string hangs_words(const std::optional<double>& seconds) { return seconds ? seconds_words(*seconds) : "longer than a day"; }
    [[nodiscard]] static std::string reheat_words(const std::optional<double>& reheat) {
        return !reheat ? "not within 4 hours" : *reheat <= 0.0 ? "at once" : "after " + minutes_words(*reheat);
    }

    void words() {
        const WinterRoom& before = plan_.before;
        const WinterRoom& colder = plan_.colder;
        const WinterDip& last = plan_.dips.back();
        plan_.words.push_back(fmt::format("In a room of {} the bath, at {}, loses {} a minute at first instead of {}, and left alone comes to rest at {} instead of {}.",
                                          degrees(colder.room_c), degrees(plan_.start_c), loss(colder.loss_c_per_min), loss(before.loss_c_per_min), degrees(colder.room_c),
                                          degrees(before.room_c)));
        plan_.words.push_back(fmt::format("A piece to {} hangs {} where it is the first, and {} where it is dropped {} later; in the room as it was {}.", plan_.tone,
                                          seconds_words(colder.first.out_s), hangs_words(last.colder_s), minutes_words(last.at_s), hangs_words(last.before_s)));
        std::string due = fmt::format("A reheat is due {} instead of {}", reheat_words(colder.reheat_s), reheat_words(before.reheat_s));
        if (colder.reheat_s && !ask_.fresh_c) {
            due += fmt::format(", at about {}", time_text(history_->stamp_at(start_s_ + *colder.reheat_s)));
        }
        plan_.words.push_back(due + fmt::format(": from then on a piece hangs longer than {}.", seconds_words(ask_.longest_s)));
    }

    void order() {
        plan_.order.push_back({.what = "Air first", .words = "Window and fan stay as the air asks: never less air to keep a bath warm.", .from = {}, .last_s = {}, .reheat_s = {}});
        water_bath();
        lid();
        WinterHelp fewer{.what = "Fewer pieces to a heat", .words = {}, .from = {}, .last_s = {}, .reheat_s = plan_.colder.reheat_s};
        fewer.words = plan_.colder.pieces
                          ? fmt::format("At one every {}: {}, then reheat; in the room as it was {}.", ask_.every_s < 120.0 ? seconds_words(ask_.every_s) : minutes_words(ask_.every_s),
                                        *plan_.colder.pieces == 0 ? std::string("reheat before the first piece") : counted(*plan_.colder.pieces, "piece", "pieces"),
                                        plan_.before.pieces ? std::to_string(*plan_.before.pieces) : "more than 4 hours of them")
                          : std::string("No reheat is due within 4 hours: no need.");
        plan_.order.push_back(std::move(fewer));
    }

    // The slowest to cool of the log's vessels that would hold this bath.
    void water_bath() {
        WinterHelp help{.what = "Heat through a water bath", .words = {}, .from = {}, .last_s = {}, .reheat_s = {}};
        std::optional<Vessel> best;
        double best_k = kSlower * plan_.k_per_min;
        bool any = false;
        for (const Vessel& vessel : store::list<Vessel>(studio_.log(), "WHERE strips_only = 0 ORDER BY number")) {
            const bool own = history_->vessel && history_->vessel->id == vessel.id;
            const bool holds = !vessel.volume || !history_->bath.water || vessel.volume->ml() >= history_->bath.water->ml();
            const science::VesselConstant constant = vessel_constant(studio_.log(), vessel);
            if (own || !holds || constant.log_sd >= kLearnedLogSd) {
                continue;
            }
            any = true;
            if (constant.k_per_min < best_k) {
                best_k = constant.k_per_min;
                best = vessel;
            }
        }
        if (best) {
            const science::BathCourse course = in_colder_room(best_k);
            help.last_s = hangs_s(course, plan_.dips.back().at_s);
            help.reheat_s = reheat_s(course);
            help.words = fmt::format("In {} ({}) the last piece takes {}, and a reheat is due {}.", best->number, best->kind.empty() ? "kind not written down" : best->kind,
                                     hangs_words(help.last_s), reheat_words(help.reheat_s));
            help.from = fmt::format("its {} per minute: {}", fixed_text(best_k, 3), best->cooling_per_min ? "typed" : "from its readings");
        } else if (any && history_->vessel) {
            help.words = fmt::format("Of the vessels with a figure of their own none holds heat longer than {}.", history_->vessel->number);
        } else {
            help.words = "Stand the vessel in warm water. No vessel of the log has readings in one yet: two of them make the figure.";
        }
        plan_.order.push_back(std::move(help));
    }

    void lid() {
        WinterHelp help{.what = "A lid between dips", .words = {}, .from = {}, .last_s = {}, .reheat_s = {}};
        if (stands_covered(*history_)) {
            help.words = "This vessel stands under its lid already.";
        } else {
            const double k = plan_.k_per_min * kCoveredConstant_per_min / science::VesselConstant{}.k_per_min;
            const science::BathCourse course = in_colder_room(k);
            help.last_s = hangs_s(course, plan_.dips.back().at_s);
            help.reheat_s = reheat_s(course);
            help.words = fmt::format("On all the time but for the dips: the last piece takes {}, and a reheat is due {}. Gas gathers under it: open it away from the face.",
                                     hangs_words(help.last_s), reheat_words(help.reheat_s));
            help.from = "a heat balance of 250 ml with a lid and without, computed, not measured here";
        }
        plan_.order.push_back(std::move(help));
    }

    void cautions() {
        plan_.cautions.emplace_back("The cooling was learned in still air: a draught across the bath takes more. Read it again after ten minutes.");
        if (!plan_.room_before_known) {
            plan_.cautions.emplace_back("What the room was at make-up is not written down: write it with the next bath.");
        }
        double coldest = plan_.start_c;
        bool any = false;
        for (const LearnedRecord& record : learned_records(learned_, ask_.first.scale_id)) {
            coldest = any ? std::min(coldest, record.temp_c) : record.temp_c;
            any = true;
        }
        const double last_c = plan_.dips.back().colder_c;
        if (any && last_c < coldest - 0.5) {
            plan_.cautions.push_back(fmt::format("The last drops are colder than any record on this scale, which ends at {}: dip a strip there before a piece.", degrees(coldest)));
        }
    }

    Studio& studio_;
    const Learned& learned_;
    const WinterAsk& ask_;
    WinterPlan plan_;
    PlanRequest request_;
    std::optional<BathHistory> history_;
    science::RateLaw law_;
    science::BathCourse before_, colder_;
    double start_s_ = 0.0, dose_s_ = 0.0;
};

}  // namespace

WinterPlan winter_plan(Studio& studio, const Learned& learned, const WinterAsk& ask) { return Winter(studio, learned, ask).make(); }

Result<std::optional<double>> winter_room(Studio& studio, std::string_view typed) {
    if (trimmed(typed).empty()) {
        return std::optional<double>();
    }
    const Result<Celsius> room = parse_temperature("Room", typed, studio.units());
    if (!room) {
        return room.error();
    }
    if (const auto odd = rules::room_temp({"Room", typed}, *room, studio.units())) {
        return *odd;
    }
    // A bare 46 is a room in °F and no winter in °C.
    if (room->celsius() > kHottestInWinter_c && studio.units().temperature == UnitChoice::Temperature::celsius && !rules::names_unit(typed)) {
        const std::string meant = text_of(Celsius::from_fahrenheit(room->celsius()));
        return rules::refuse("room.temp.looks_fahrenheit", {"Room", typed}, fmt::format("That looks like °F: {} °F is {}.", rules::figure(room->celsius()), meant),
                             "Choose, or type it with its unit.", {meant, std::string(rules::kBlank)});
    }
    return std::optional(room->celsius());
}

std::optional<RoomRecord> last_room_temp(Studio& studio) {
    std::optional<RoomRecord> newest;
    for (const Bath& bath : store::list<Bath>(studio.log(), "WHERE room_temp_c IS NOT NULL ORDER BY made_up_utc_ms DESC, id DESC LIMIT 1")) {
        newest = RoomRecord{.room_c = bath.room_temp->celsius(), .at = bath.made_up_at, .with = "bath " + bath.number};
    }
    for (const Coating& coating : store::list<Coating>(studio.log(), "WHERE room_c IS NOT NULL ORDER BY started_utc_ms DESC, id DESC LIMIT 1")) {
        if (!newest || newest->at < coating.started_at) {
            newest = RoomRecord{.room_c = coating.room->celsius(), .at = coating.started_at, .with = "coating " + coating.number};
        }
    }
    return newest;
}

std::optional<WinterAim> winter_aim(Studio& studio) {
    const std::vector<Bath> baths = baths_to_plan(studio, 1);
    if (baths.empty()) {
        return std::nullopt;
    }
    const auto aimed = store::list<Dip>(studio.log(), "WHERE aim_tone_id IS NOT NULL OR target_id IS NOT NULL ORDER BY (bath_id = ?1) DESC, made_utc_ms DESC, id DESC LIMIT 1",
                                        {baths.front().id.text});
    if (!aimed.empty()) {
        const Dip& dip = aimed.front();
        const auto target = dip.target_id ? store::find(studio.log(), *dip.target_id) : std::nullopt;
        const auto tone = dip.aim_tone_id ? store::find(studio.log(), *dip.aim_tone_id) : target ? store::find(studio.log(), target->tone_id) : std::nullopt;
        if (tone && tone->position > 0) {
            return WinterAim{.bath = baths.front(), .tone = *tone};
        }
    }
    for (const ScaleView& scale : scales_view(studio)) {
        if (scale.tones.size() > 1) {
            const auto tone = store::find(studio.log(), scale.tones[std::max<std::size_t>(1, scale.tones.size() * 2 / 3)].id);
            return tone ? std::optional(WinterAim{.bath = baths.front(), .tone = *tone}) : std::nullopt;
        }
    }
    return std::nullopt;
}

}  // namespace tonebath::app
