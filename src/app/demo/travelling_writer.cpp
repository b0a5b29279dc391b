// P10: the log of the travelling bench. It took along the words, people, jars, vessels and the class of 6 December, logged bath
// 20 there by a clock that was an hour behind, and went to three more classes: 35 dips in three baths of its own. One of its
// pieces is P-031, a number that the studio gave too.
#include "app/demo/writers.hpp"
#include "store/change.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <string>
#include <vector>

namespace tonebath::app {

namespace {

constexpr double kClockBehind_s = 3600.0;
constexpr std::string_view kKnownBath = "20";
constexpr int kPieces = 12;
constexpr std::size_t kThirds = 3;
constexpr double kLaneGap_s = 8.0;

struct AwayDay {
    int month = 0, day = 0;
    double start_c = 0.0, room_c = 0.0;
    int dips = 0;
};
constexpr std::array<AwayDay, kThirds> kDays{{{1, 17, 57.0, 15.0, 12}, {2, 14, 56.5, 14.0, 12}, {3, 14, 57.5, 17.0, 11}}};

class TravellingWriter {
public:
    TravellingWriter(DemoBook& home, DemoBook& away) : home_(home), away_(away) {}

    void write() {
        change("taken along from the studio", demo_moment(12, 5, 17, 0), [&] { take_along(); });
        known_day();
        pieces();
        for (std::size_t third = 0; third < kThirds; ++third) {
            one_day(third);
        }
    }

private:
    [[nodiscard]] Stamp by_its_clock(const Stamp& at) const { return plus_seconds(at, -kClockBehind_s); }
    [[nodiscard]] Id<Person> maker() const { return home_.people.at("TB").id; }

    template <class Write>
    void change(const std::string& step, const Stamp& at, Write write) {
        store::Change one(away_.log, step, by_its_clock(at), maker().text, away_.ids);
        write();
        one.commit();
    }
    template <class Noun>
    std::vector<Noun> copy(const std::string& tail = "", const std::vector<store::Bound>& values = {}) {
        std::vector<Noun> all = store::list<Noun>(home_.log, tail, values);
        for (const Noun& one : all) {
            store::insert(away_.log, one);
        }
        return all;
    }

    void take_along() {
        copy<Person>();
        copy<Metal>();
        copy<ToneScale>();
        copy<Tone>();
        copy<Target>();
        copy<Lot>();
        copy<Vessel>();
        copy<Thermometer>("WHERE number = 'T1'");
        copy<Room>();
        class_ = store::list<ClassSession>(home_.log, "WHERE id = (SELECT class_id FROM bath WHERE number = ?1)", {std::string(kKnownBath)}).front();
        ClassSession planned = class_;
        planned.started_at.reset();
        planned.ended_at.reset();
        planned.handed_out_at.reset();
        store::insert(away_.log, planned);
        bath_ = store::list<Bath>(home_.log, "WHERE number = ?1", {std::string(kKnownBath)}).front();
        copy<Batch>("WHERE id IN (SELECT batch_id FROM piece WHERE id IN (SELECT piece_id FROM dip WHERE bath_id = ?1))", {bath_.id.text});
        for (const Piece& piece : copy<Piece>("WHERE id IN (SELECT piece_id FROM dip WHERE bath_id = ?1)", {bath_.id.text})) {
            copy<Part>("WHERE piece_id = ?1", {piece.id.text});
        }
    }

    void earlier(std::optional<Stamp>& at) const {
        if (at) {
            at = by_its_clock(*at);
        }
    }

    // The same presses as in the studio's log, by the clock of the case.
    void known_day() {
        change("class " + class_.number, *class_.started_at, [&] {
            earlier(class_.started_at);
            earlier(class_.ended_at);
            earlier(class_.handed_out_at);
            store::update(away_.log, class_);
        });
        change(fmt::format("bath {}", kKnownBath), bath_.made_up_at, [&] {
            Bath bath = bath_;
            bath.made_up_at = by_its_clock(bath.made_up_at);
            bath.made_at = by_its_clock(bath.made_at);
            earlier(bath.ended_at);
            store::insert(away_.log, bath);
            for (Dip dip : store::list<Dip>(home_.log, "WHERE bath_id = ?1 AND piece_id IS NOT NULL ORDER BY id", {bath_.id.text})) {
                earlier(dip.dropped_at);
                earlier(dip.out_at);
                dip.made_at = by_its_clock(dip.made_at);
                store::insert(away_.log, dip);
                for (Rinse rinse : store::list<Rinse>(home_.log, "WHERE dip_id = ?1", {dip.id.text})) {
                    rinse.at = by_its_clock(rinse.at);
                    rinse.made_at = by_its_clock(rinse.made_at);
                    store::insert(away_.log, rinse);
                }
            }
        });
    }

    void pieces() {
        const Stamp at = by_its_clock(demo_moment(1, 16, 15, 0));
        change("pieces for the classes", demo_moment(1, 16, 15, 0), [&] {
            for (int i = 1; i <= kPieces; ++i) {
                Piece piece;
                piece.id = away_.id<Piece>(at);
                piece.number = i == 1 ? "P-031" : fmt::format("T-{:02}", i);
                piece.design = "Samphire";
                piece.note = "of a class, away";
                piece.made_at = at;
                Part part;
                part.id = away_.id<Part>(at);
                part.piece_id = piece.id;
                part.name = "whole";
                part.metal_id = home_.scales.at("fine silver").metal.id;
                part.surface = "bright";
                part.area_cm2 = 3.0;
                part.made_at = at;
                store::insert(away_.log, piece);
                store::insert(away_.log, part);
                pieces_.push_back(piece);
            }
        });
    }

    void one_day(std::size_t third) {
        const AwayDay& day = kDays[third];
        const Stamp made_up = demo_moment(day.month, day.day, 11, 0);
        change(fmt::format("bath T-{}", third + 1), made_up, [&] { write_bath(third, by_its_clock(made_up)); });
    }

    void write_bath(std::size_t third, const Stamp& made_up) {
        const AwayDay& day = kDays[third];
        DemoBathLaw law;
        law.heats.push_back({0.0, day.start_c});
        law.room_c = day.room_c;
        law.lot_factor = demo_lot_factor("LS-4", made_up, home_.faults);
        Bath bath = bath_;
        bath.id = away_.id<Bath>(made_up);
        bath.number = fmt::format("T-{}", third + 1);
        bath.start_temp = Celsius::from_celsius(day.start_c);
        bath.room_temp = Celsius::from_celsius(day.room_c);
        bath.vessel_id = home_.vessels.at("V1").id;
        bath.class_id.reset();
        bath.note = "away, at a class";
        bath.made_up_at = bath.made_at = made_up;
        store::insert(away_.log, bath);
        write_check(away_, {.list = "before_session", .kind = bath.finish_kind, .at = plus_seconds(made_up, 8.0), .bath_id = bath.id, .every_s = 11.0, .number = {}, .who = "TB", .note = {}});
        double t_s = 300.0;
        for (int i = 0; i < day.dips; ++i, t_s += kLaneGap_s) {
            const double length = std::round(law.true_s(t_s, demo_dose_of(DemoAlloy::fine_silver, "gold") / static_cast<double>(kThirds), DemoAlloy::fine_silver) *
                                             std::exp(0.05 * away_.dice.normal()) * 1000.0) / 1000.0;
            write_dip(bath, pieces_[static_cast<std::size_t>(i)], i + 1, plus_seconds(made_up, t_s), length);
        }
        bath.ended_at = plus_seconds(made_up, 5400.0);
        store::update(away_.log, bath);
    }

    void write_dip(const Bath& bath, const Piece& piece, int lane, const Stamp& dropped, double length_s) {
        Dip dip;
        dip.dropped_at = dropped;
        dip.out_at = plus_seconds(dropped, length_s);
        dip.id = away_.id<Dip>(*dip.out_at);
        dip.bath_id = bath.id;
        dip.piece_id = piece.id;
        dip.lane = lane;
        dip.in_bath = Seconds::from_seconds(length_s);
        dip.aim_tone_id = home_.scales.at("fine silver").tones.at("gold").id;
        dip.who = maker();
        dip.made_at = *dip.out_at;
        store::insert(away_.log, dip);
        Rinse rinse;
        rinse.at = plus_seconds(*dip.out_at, 4.0);
        rinse.id = away_.id<Rinse>(rinse.at);
        rinse.dip_id = dip.id;
        rinse.length = Seconds::from_seconds(25.0);
        rinse.made_at = rinse.at;
        store::insert(away_.log, rinse);
    }

    DemoBook& home_;
    DemoBook& away_;
    ClassSession class_;
    Bath bath_;
    std::vector<Piece> pieces_;
};

}  // namespace

void write_travelling(DemoBook& home, DemoBook& away) {
    away.people = home.people;
    TravellingWriter(home, away).write();
    away.log.set_setting("bench_mark", "T");
    away.log.set_setting("at_bench", home.people.at("TB").id.text);
}

}  // namespace tonebath::app
