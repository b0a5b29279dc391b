// 100,000 stones in the register (Google Benchmark): reading them, the grid, filters, what the page and the rescue ask. The log
// is made in a file first, some twenty seconds; the reading is that of a file as the program keeps it.
#include "app/demo/dice.hpp"
#include "app/stones.hpp"
#include "app/studio.hpp"
#include "app/views/coats_view.hpp"
#include "app/views/stones_view.hpp"
#include "model/nouns.hpp"
#include "store/change.hpp"
#include "store/log.hpp"
#include "store/record.hpp"

#include <benchmark/benchmark.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

using namespace tonebath;

namespace {

constexpr int kStones = 100'000;
constexpr int kAnEvening = 36;
constexpr double kDay_s = 86400.0;

class Register {
public:
    // Made in a folder of its own that goes with it; with a file named, there; or one that was made so, read again.
    explicit Register(const std::filesystem::path& kept = {}) : clock_(*parse_iso("2026-03-31T09:42+01:00", 60)) {
        std::string pattern = (std::filesystem::temp_directory_path() / "tonebath-stones-XXXXXX").string();
        if (kept.empty() && mkdtemp(pattern.data()) == nullptr) {
            std::exit(1);
        }
        folder_ = kept.empty() ? std::filesystem::path(pattern) : std::filesystem::path();
        app::StudioOptions options;
        options.log = kept.empty() ? folder_ / "log.tonebath" : kept;
        options.data = std::string(TONEBATH_SOURCE_DIR) + "/data";
        options.create = kept.empty() || !std::filesystem::exists(kept);
        auto opened = app::Studio::open(options, clock_);
        if (!opened) {
            std::fprintf(stderr, "%s\n", opened.error().text().c_str());
            std::exit(1);
        }
        studio_ = std::move(opened).value();
        if (!options.create) {
            return;
        }
        store::Change change(studio_->log(), "many stones", clock_.now(), "", studio_->ids());
        baths_and_bottles();
        stones();
        change.commit();
    }
    ~Register() {
        studio_.reset();
        if (!folder_.empty()) {
            std::filesystem::remove_all(folder_);
        }
    }
    Register(const Register&) = delete;
    Register& operator=(const Register&) = delete;
    app::Studio& studio() { return *studio_; }

private:
    template <class Noun>
    Noun fresh() {
        Noun noun;
        noun.id = studio_->ids().next<Noun>(clock_.now());
        noun.made_at = clock_.now();
        return noun;
    }
    template <class Noun>
    void put(const Noun& noun) {
        store::insert(studio_->log(), noun);
    }
    Stamp days_ago(double days) const { return plus_seconds(clock_.now(), -kDay_s * days); }

    void baths_and_bottles() {
        for (int i = 0; i < 2000; ++i) {
            Bath bath = fresh<Bath>();
            bath.number = std::to_string(i + 1);
            bath.finish_kind = i % 4 == 3 ? "liver_of_sulfur_gel" : "liver_of_sulfur_lump";
            bath.made_up_at = days_ago(dice_.between(100.0, 900.0));
            bath.start_temp = Celsius::from_celsius(60.0);
            put(bath);
            baths_.push_back(bath.id);
        }
        for (int i = 0; i < 12; ++i) {
            Bottle bottle = fresh<Bottle>();
            bottle.number = "LQ-" + std::to_string(i + 1);
            put(bottle);
            bottles_.push_back(bottle.id);
        }
    }

    // A piece to a stone, two rinsed dips each in one of 2,000 baths; two of three with three coats, brushed in evenings of 36; a look at
    // two of three.
    void stones() {
        static constexpr std::array<const char*, 8> kKinds{"foil crystal", "pearl", "turquoise", "opal doublet", "garnet", "moonstone", "onyx", "labradorite"};
        Coating evening;
        for (int i = 0; i < kStones; ++i) {
            const Stamp set = days_ago(dice_.between(95.0, 900.0));
            Piece piece = fresh<Piece>();
            piece.number = "P-" + std::to_string(i + 1);
            piece.assembled_at = set;
            put(piece);
            Stone stone = fresh<Stone>();
            stone.number = "F-" + std::to_string(i + 1);
            stone.kind = kKinds[static_cast<std::size_t>(dice_.even() * 8.0)];
            stone.backing = stone.kind == "foil crystal" ? Backing::foil : Backing::none;
            stone.piece_id = piece.id;
            stone.set_at = set;
            put(stone);
            for (int dip = 0; dip < 2; ++dip) {
                Dip one = fresh<Dip>();
                one.bath_id = baths_[static_cast<std::size_t>(dice_.even() * static_cast<double>(baths_.size()))];
                one.piece_id = piece.id;
                one.dropped_at = plus_seconds(set, 600.0 * (dip + 1));
                one.in_bath = Seconds::from_seconds(dice_.between(5.0, 90.0));
                put(one);
                Rinse rinse = fresh<Rinse>();
                rinse.dip_id = one.id;
                rinse.at = plus_seconds(*one.dropped_at, 100.0);
                rinse.length = Seconds::from_seconds(dice_.between(5.0, 60.0));
                put(rinse);
            }
            if (i % kAnEvening == 0) {
                evening = fresh<Coating>();
                evening.number = std::to_string(i / kAnEvening + 1);
                evening.bottle_id = bottles_[static_cast<std::size_t>(dice_.even() * 12.0)];
                evening.started_at = set;
                evening.stones = kAnEvening;
                evening.room = Celsius::from_celsius(dice_.between(12.0, 24.0));
                evening.humidity_percent = dice_.between(35.0, 85.0);
                put(evening);
            }
            for (int layer = 1; layer <= (i % 3 == 0 ? 0 : 3); ++layer) {
                Coat coat = fresh<Coat>();
                coat.stone_id = stone.id;
                coat.coating_id = evening.id;
                coat.bottle_id = evening.bottle_id;
                coat.place = i % kAnEvening + 1;
                coat.layer = layer;
                coat.at = plus_seconds(set, -kDay_s + 900.0 * layer + 25.0 * (i % kAnEvening));
                put(coat);
            }
            if (i % 3 != 1) {
                FollowUp look = fresh<FollowUp>();
                look.stone_id = stone.id;
                look.at = plus_seconds(set, kDay_s * dice_.between(20.0, 90.0));
                look.seen = dice_.one_in(12.0) ? SeenAs::worn : SeenAs::unharmed;
                put(look);
            }
        }
    }

    HandClock clock_;
    std::filesystem::path folder_;
    std::unique_ptr<app::Studio> studio_;
    app::Dice dice_{20260331};
    std::vector<Id<Bath>> baths_;
    std::vector<Id<Bottle>> bottles_;
};

std::filesystem::path named_log;  // named: made there, or read
Register& all() {
    static Register made(named_log);
    return made;
}
const std::vector<app::StoneRow>& rows() {
    static const std::vector<app::StoneRow> read = app::stone_rows(all().studio());
    return read;
}

template <class Work>
void timed(benchmark::State& state, const Work& work) {
    for (auto _ : state) {
        benchmark::DoNotOptimize(work());
    }
}

void read_register(benchmark::State& state) {
    timed(state, [] { return app::stone_rows(all().studio()); });
}
void whole_page(benchmark::State& state) {
    timed(state, [] { return app::stones_view(all().studio()); });
}
void coats_page(benchmark::State& state) {
    timed(state, [] { return app::coats_books(all().studio()); });
}
const app::StoneFilter kFour{.kind = "foil crystal", .finish = "liver_of_sulfur_lump", .bottle = "LQ-3", .coats = 3};
void cells(benchmark::State& state) {
    timed(state, [] { return app::stone_cells(all().studio()); });
}
void cells_of_four(benchmark::State& state) {
    timed(state, [] { return app::stone_cells(all().studio(), kFour); });
}
void grid(benchmark::State& state) {
    timed(state, [] { return app::stone_grid(rows()); });
}
void filter_of_four(benchmark::State& state) {
    timed(state, [] { return app::stone_grid(rows(), kFour); });
}
void filter_kind(benchmark::State& state) {
    timed(state, [] { return app::stone_grid(rows(), {.kind = "pearl"}); });
}
void bottles(benchmark::State& state) {
    timed(state, [] { return app::bottle_study(rows()); });
}
void due(benchmark::State& state) {
    timed(state, [] { return app::follow_ups_due(all().studio(), rows()); });
}
void ask_back(benchmark::State& state) {
    timed(state, [] { return app::stones_of(rows(), "LQ-3"); });
}
void damage(benchmark::State& state) {
    timed(state, [] { return app::damage_map(rows()); });
}
void own_log_of_one(benchmark::State& state) {
    timed(state, [] { return app::own_stones(all().studio().finish_kinds(), rows(), rows().front(), "alkalis_sulfides"); });
}
void gate(benchmark::State& state) {
    static const std::vector<app::StoneCell> cells = app::stone_grid(rows());
    timed(state, [] { return app::stone_gate(all().studio(), cells, "pearl", Backing::none, "liver_of_sulfur_lump"); });
}

double worst(const std::vector<double>& times) { return *std::max_element(times.begin(), times.end()); }
template <class Work>
void listed(const char* name, const Work& work) {
    benchmark::RegisterBenchmark(name, work)->Unit(benchmark::kMillisecond)->Repetitions(15)->Iterations(1)->ReportAggregatesOnly()->ComputeStatistics("worst", worst);
}

// What `stones grid` does between its options and its print, once, in a process that has read nothing yet.
int once() {
    const auto now = [] { return std::chrono::steady_clock::now(); };
    const auto ms = [](auto from, auto to) { return std::chrono::duration<double, std::milli>(to - from).count(); };
    const SystemClock clock;
    const auto start = now();
    const auto opened = app::Studio::open({.log = named_log, .read_only = true, .data = std::string(TONEBATH_SOURCE_DIR) + "/data"}, clock);
    if (!opened) {
        std::fprintf(stderr, "%s\n", opened.error().text().c_str());
        return 1;
    }
    const auto open = now();
    const std::size_t made = app::stone_cells(**opened).size();
    const auto read = now();
    std::printf("open %.1f ms, read and grid %.1f ms, %zu cells\n", ms(start, open), ms(open, read), made);
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    if (argc >= 3 && std::string_view(argv[1]) == "--log") {
        named_log = argv[2];
        if (!std::filesystem::exists(named_log)) {
            static_cast<void>(all());
            return 0;
        }
        if (argc == 4 && std::string_view(argv[3]) == "--once") {
            return once();
        }
        argc -= 2;
        argv += 2;
    }
    listed("read the register", read_register);
    listed("read for the grid alone, and the grid", cells);
    listed("read for a filter of four alone, and the grid", cells_of_four);
    listed("grid", grid);
    listed("filter: one kind", filter_kind);
    listed("filter: kind, finish, bottle, coats", filter_of_four);
    listed("bottles and damp evenings", bottles);
    listed("ask back", ask_back);
    listed("looks due", due);
    listed("where harmed", damage);
    listed("before a bath", gate);
    listed("own log for a rescue", own_log_of_one);
    listed("page Stones, whole", whole_page);
    listed("page Coats, whole", coats_page);
    benchmark::Initialize(&argc, argv);
    benchmark::RunSpecifiedBenchmarks();
    return 0;
}
