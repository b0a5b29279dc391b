// Bottles, coating evenings, coats and looks at stones, written last and from dice of their own, so that nothing that
// was there before moves. The counts of the planted cases are forced; which stones they fall on is by the dice.
#include "app/demo/demo.hpp"
#include "app/demo/invented_year.hpp"
#include "app/demo/writers.hpp"
#include "science/coat_plan.hpp"
#include "store/change.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr double kDay_s = 86400.0;

struct Kept {
    Stone stone;
    std::optional<Stamp> bathed;  // first dip since it was set
    Stamp ready;                  // set, or written down where it is not
};

struct Evening {
    const char* bottle = "";
    Stamp at;
    int coats = 3;
    double room_c = 18.0;
    double humidity_percent = 44.0;
    std::vector<const Kept*> stones;
    bool thick = false;  // pulls threads: slow to brush and slow to dry
};

class CoatsWriter {
public:
    CoatsWriter(DemoBook& book, std::uint64_t seed) : book_(book), log_(book.log), ids_(seed + 7001), dice_(seed + 7002) {}

    void write() {
        store::Change change(log_, "coats and looks, from the evening sheets", demo_as_of(), maker().text, ids_);
        read_stones();
        for (const auto& [number, opened] : {std::pair{"LQ-1", demo_moment(10, 1, 9, 0)}, {"LQ-2", demo_moment(11, 24, 9, 0)}, {"LQ-3", demo_moment(12, 5, 9, 0)}}) {
            bottle(number, opened);
        }
        foils();
        others();
        again();
        asked();
        change.commit();
    }

private:
    [[nodiscard]] Id<Person> maker() const { return book_.people.at("MK").id; }

    void read_stones() {
        for (Stone& stone : store::list<Stone>(log_, "ORDER BY number")) {
            Kept kept{.stone = stone, .bathed = {}, .ready = stone.set_at.value_or(stone.made_at)};
            if (stone.piece_id && stone.set_at) {
                store::Query first(log_,
                                   "SELECT min(d.dropped_utc_ms), 0 FROM dip d LEFT JOIN part a ON a.id = d.part_id "
                                   "WHERE COALESCE(d.piece_id, a.piece_id) = ?1 AND d.dropped_utc_ms >= ?2",
                                   {stone.piece_id->text, stone.set_at->utc_ms});
                if (first.next() && !first.unknown(0)) {
                    kept.bathed = Stamp{first.integer(0), stone.set_at->offset_min};
                }
            }
            (stone.kind == "foil crystal" ? foils_ : others_).push_back(std::move(kept));
        }
    }

    void bottle(const char* number, const Stamp& opened) {
        Bottle one;
        one.id = ids_.next<Bottle>(demo_as_of());
        one.number = number;
        one.kind = "brushed lacquer";
        one.opened_at = opened;
        one.recoat = Seconds::from_minutes(10.0);
        one.cure = Seconds::from_minutes(720.0);
        one.solids_percent = 20.0;
        one.note = one.number == "LQ-3" ? "thick: pulls threads" : "";
        one.made_at = demo_as_of();
        store::insert(log_, one);
        bottles_[number] = one.id;
        opened_[number] = opened;
    }

    // In any order, the same for the same seed.
    template <class T>
    void shuffle(std::vector<T>& list) {
        for (std::size_t i = list.size(); i > 1; --i) {
            std::swap(list[i - 1], list[static_cast<std::size_t>(dice_.even() * static_cast<double>(i))]);
        }
    }

    // Takes up to `many` from the front of `from`.
    static std::vector<const Kept*> take(std::vector<const Kept*>& from, std::size_t many) {
        const auto end = from.begin() + static_cast<std::ptrdiff_t>(std::min(many, from.size()));
        std::vector<const Kept*> taken(from.begin(), end);
        from.erase(from.begin(), end);
        return taken;
    }

    void foils() {
        std::vector<const Kept*> bathed, waiting;
        for (const Kept& kept : foils_) {
            (kept.bathed ? bathed : waiting).push_back(&kept);
        }
        std::stable_sort(bathed.begin(), bathed.end(), [](const Kept* a, const Kept* b) { return a->ready < b->ready; });
        std::vector<const Kept*> bare = take(bathed, 14);
        // P4: one evening, one bottle, the first 24 stones set after it.
        const Stamp evening = demo_moment(12, 8, 18, 30);
        const auto after = std::find_if(bathed.begin(), bathed.end(), [&](const Kept* kept) { return kept->ready > plus_seconds(evening, 12.0 * 3600.0); });
        std::vector<const Kept*> later(after, bathed.end());
        bathed.erase(after, bathed.end());
        std::vector<const Kept*> thick = take(later, 24);
        bathed.insert(bathed.end(), later.begin(), later.end());
        std::vector<const Kept*> two = take(bathed, 22);
        std::vector<const Kept*> three = bathed;

        const DemoFaults& faults = book_.faults;
        const auto many = [](int count) { return static_cast<std::size_t>(count); };
        harm(bare, 12, many(faults.harmed[0]));
        harm(two, two.size(), many(faults.harmed[1]));
        harm(three, three.size(), many(faults.harmed[2]));
        harm(thick, thick.size(), many(faults.thick_harmed));

        // Stones that still wait for their piece: four bare, eight with two coats, the rest with three.
        static_cast<void>(take(waiting, 4));
        for (const Kept* kept : take(waiting, 8)) {
            two.push_back(kept);
        }
        three.insert(three.end(), waiting.begin(), waiting.end());
        coat({.bottle = faults.thick_bottle ? "LQ-3" : "LQ-2", .at = evening, .coats = 3, .room_c = faults.thick_room_c, .humidity_percent = faults.thick_humidity_percent,
              .stones = thick, .thick = faults.thick_bottle});
        evenings(two, 2, 3);
        evenings(three, 3, 7);
    }

    void evenings(std::vector<const Kept*> stones, int coats, std::size_t many) {
        std::stable_sort(stones.begin(), stones.end(), [](const Kept* a, const Kept* b) { return a->ready < b->ready; });
        for (std::size_t left = many; left > 0; --left) {
            std::vector<const Kept*> some = take(stones, (stones.size() + left - 1) / left);
            if (some.empty()) {
                continue;
            }
            const CivilTime day = civil(plus_seconds(some.front()->ready, -2.0 * kDay_s));
            const Stamp at = stamp_of({.year = day.year, .month = day.month, .day = day.day, .hour = 18, .minute = 30}, some.front()->ready.offset_min);
            coat({.bottle = at < demo_moment(11, 24, 9, 0) ? "LQ-1" : "LQ-2", .at = at, .coats = coats,
                  .room_c = std::round(10.0 * dice_.between(17.0, 20.0)) / 10.0, .humidity_percent = std::round(dice_.between(38.0, 45.0)), .stones = some});
        }
    }

    void coat(const Evening& evening) {
        Coating coating;
        coating.id = ids_.next<Coating>(demo_as_of());
        coating.number = std::to_string(++evenings_);
        coating.bottle_id = bottles_.at(evening.bottle);
        coating.started_at = evening.at;
        coating.stones = static_cast<int>(evening.stones.size());
        coating.coats = evening.coats;
        coating.room = Celsius::from_celsius(evening.room_c);
        coating.humidity_percent = evening.humidity_percent;
        // Each month a bottle stands open it brushes about a second slower.
        const double days = seconds_between(opened_.at(evening.bottle), evening.at) / kDay_s;
        coating.each = Seconds::from_seconds(evening.thick ? 30.0 : 24.0 + std::round(0.04 * days));
        coating.wait = Seconds::from_minutes(evening.thick ? 18.0 : 10.0);
        coating.who = maker();
        coating.made_at = demo_as_of();
        for (const Kept* kept : evening.stones) {
            coating.laid_out += (coating.laid_out.empty() ? "" : "\n") + kept->stone.number;
        }
        coating.check_said = "solvent: bottle capped, rags in the tin\nignition: no flame, heater off\nair: fan on, window open";
        const science::CoatAsk ask{.stones = coating.stones, .coats = coating.coats, .each_s = coating.each.seconds(), .wait_s = coating.wait.seconds(), .cure_s = coating.cure.seconds()};
        coating.ended_at = plus_seconds(evening.at, science::coat_plan(ask).coats_s + 60.0);
        store::insert(log_, coating);
        for (int layer = 1; layer <= evening.coats; ++layer) {
            for (int place = 1; place <= coating.stones; ++place) {
                Coat one;
                one.id = ids_.next<Coat>(demo_as_of());
                one.coating_id = coating.id;
                one.stone_id = evening.stones[static_cast<std::size_t>(place - 1)]->stone.id;
                one.bottle_id = coating.bottle_id;
                one.place = place;
                one.layer = layer;
                one.at = plus_seconds(evening.at, science::coat_begins_s(ask, place, layer));
                one.made_at = demo_as_of();
                store::insert(log_, one);
            }
        }
    }

    void look(const Kept& kept, double days, SeenAs seen, Zone zone = Zone::unknown) {
        FollowUp one;
        one.id = ids_.next<FollowUp>(demo_as_of());
        one.stone_id = kept.stone.id;
        one.at = plus_seconds(*kept.bathed, days * kDay_s);
        one.seen = seen;
        one.zone = zone;
        one.made_at = demo_as_of();
        store::insert(log_, one);
        last_[&kept] = {days, seen, zone};
    }
    [[nodiscard]] static double days_left(const Kept& kept) { return seconds_between(*kept.bathed, demo_as_of()) / kDay_s; }

    // `seen` of these are looked at once, `harmed` of them found harmed within 60 days; points more often than faces.
    void harm(std::vector<const Kept*>& group, std::size_t seen, std::size_t harmed) {
        std::vector<const Kept*> order = group;
        shuffle(order);
        // Harm needs time: those longest in the world first.
        std::stable_partition(order.begin(), order.end(), [](const Kept* kept) { return days_left(*kept) > 61.0; });
        for (std::size_t i = 0; i < seen && i < order.size(); ++i) {
            const Kept& kept = *order[i];
            if (i < harmed) {
                const double where = dice_.even();
                look(kept, dice_.between(20.0, std::min(60.0, days_left(kept))), dice_.even() < 0.5 ? SeenAs::worn : SeenAs::lifted,
                     where < 0.6 ? Zone::point : where < 0.75 ? Zone::side : where < 0.9 ? Zone::edge : Zone::face);
            } else {
                first_look(kept, SeenAs::unharmed);
            }
        }
    }
    void first_look(const Kept& kept, SeenAs seen) {
        const double left = days_left(kept);
        look(kept, left > 30.0 ? dice_.between(25.0, std::min(95.0, left - 1.0)) : dice_.between(2.0, std::max(2.5, left - 0.5)), seen,
             seen == SeenAs::dulled ? Zone::face : Zone::unknown);
    }

    // P6, P7: pearls by band, both opal doublets whole; three of the other stones were never seen again.
    void others() {
        int unseen = 3;
        for (const Kept& kept : others_) {
            const bool planted = kept.stone.kind == "pearl" || kept.stone.kind == "opal doublet";
            if (!kept.bathed || (!planted && kept.stone.kind == "garnet" && unseen-- > 0)) {
                continue;
            }
            first_look(kept, kept.stone.note.find("dulled") != std::string::npos ? SeenAs::dulled : SeenAs::unharmed);
        }
    }

    // 69 stones were seen a second time, as they were before.
    void again() {
        int left = 69;
        std::vector<const Kept*> all;
        for (const std::vector<Kept>* list : {&foils_, &others_}) {
            for (const Kept& kept : *list) {
                all.push_back(&kept);
            }
        }
        for (const Kept* kept : all) {
            const auto seen = last_.find(kept);
            if (left > 0 && seen != last_.end() && seen->second.days + 12.0 < days_left(*kept)) {
                const Seen before = seen->second;
                look(*kept, dice_.between(before.days + 10.0, days_left(*kept) - 1.0), before.seen, before.zone);
                --left;
            }
        }
    }

    // Whoever was due and not seen was asked for; two still wait.
    void asked() {
        struct Due {
            const Kept* kept;
            double days;
        };
        std::vector<Due> due;
        for (const std::vector<Kept>* list : {&foils_, &others_}) {
            for (const Kept& kept : *list) {
                const auto seen = last_.find(&kept);
                const double left = kept.bathed ? days_left(kept) : 0.0;
                const double days = left >= 90.0 ? 90.0 : left >= 30.0 ? 30.0 : 0.0;
                const bool harmed = seen != last_.end() && seen->second.seen != SeenAs::unharmed;
                if (days > 0.0 && !harmed && (seen == last_.end() || seen->second.days < days - 7.0)) {
                    due.push_back({&kept, days});
                }
            }
        }
        std::stable_sort(due.begin(), due.end(), [](const Due& a, const Due& b) { return plus_seconds(*a.kept->bathed, a.days * kDay_s) < plus_seconds(*b.kept->bathed, b.days * kDay_s); });
        for (std::size_t i = 0; i + 2 < due.size(); ++i) {
            look(*due[i].kept, std::min(due[i].days + 1.0, days_left(*due[i].kept)), SeenAs::not_seen);
        }
    }

    struct Seen {
        double days = 0.0;
        SeenAs seen = SeenAs::unharmed;
        Zone zone = Zone::unknown;
    };

    DemoBook& book_;
    store::Log& log_;
    IdSource ids_;
    Dice dice_;
    std::vector<Kept> foils_, others_;
    std::map<std::string, Id<Bottle>, std::less<>> bottles_;
    std::map<std::string, Stamp, std::less<>> opened_;
    std::map<const Kept*, Seen> last_;
    int evenings_ = 0;
};

}  // namespace

void write_coats(DemoBook& book, std::uint64_t seed) {
    CoatsWriter(book, seed).write();
}

}  // namespace tonebath::app
