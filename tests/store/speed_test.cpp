// How long one press takes to be on disk, and how the log behaves with a million dips in it. The limits are those of a
// person waiting on a slow, busy machine, far above what is measured.
#include "store/dip_store.hpp"
#include "store/find_store.hpp"
#include "store/piece_store.hpp"
#include "store/test_log.hpp"
#include "store/unfilled_store.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <catch2/catch.hpp>

#include <algorithm>
#include <chrono>
#include <vector>

namespace tonebath::store {
namespace {

double ms_of(const std::function<void()>& work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
}

TEST_CASE("one press in a change of its own is on disk within the time of a glance", "[.][long]") {
    const TemporaryFolder folder;
    IdSource ids(1);
    const std::unique_ptr<Log> log = opened(folder / "log.tonebath");
    std::vector<double> times;
    for (int i = 0; i < 500; ++i) {
        Press press;
        press.id = ids.next<Press>(kMorning);
        press.act = "drop";
        press.at = press.made_at = kMorning;
        times.push_back(ms_of([&] { in_change(*log, ids, "press", [&] { insert(*log, press); }); }));
    }
    std::sort(times.begin(), times.end());
    WARN("one press: median " << times[250] << " ms, 99 of 100 below " << times[495] << " ms, longest " << times.back()
                              << " ms");
    CHECK(times[250] < 50.0);
}

TEST_CASE("a log with a million dips can be searched, asked and opened without waiting", "[.][long]") {
    const TemporaryFolder folder;
    IdSource ids(2);
    std::unique_ptr<Log> log = opened(folder / "log.tonebath");
    const Bath bath = bath_numbered(ids, "46");
    std::vector<Piece> pieces;
    in_change(*log, ids, "pieces", [&] {
        insert(*log, bath);
        for (int i = 0; i < 100'000; ++i) {
            Piece piece = piece_numbered(ids, "L-" + std::to_string(i));
            piece.design = i % 10 == 0 ? "Limpet lid" : "Whelk ring";
            insert(*log, piece);
            pieces.push_back(piece);
        }
    });
    const double filling = ms_of([&] {
        for (int chunk = 0; chunk < 20; ++chunk) {
            in_change(*log, ids, "past work", [&] {
                for (int i = 0; i < 50'000; ++i) {
                    Dip dip;
                    dip.id = ids.next<Dip>(kMorning);
                    dip.bath_id = bath.id;
                    dip.piece_id = pieces[static_cast<std::size_t>(chunk * 50'000 + i) % pieces.size()].id;
                    dip.dropped_at = dip.made_at = plus_seconds(kMorning, 60.0 * (chunk * 50'000 + i));
                    dip.out_at = plus_seconds(*dip.dropped_at, 40.0);
                    dip.in_bath = Seconds::from_seconds(40.0);
                    dip.note = i == 7 && chunk == 3 ? "smelled of varnish, redone" : "even, held by the tab";
                    insert(*log, dip);
                }
            });
        }
    });
    WARN("1,000,000 dips with notes and change log: "
         << filling / 1000.0 << " s, " << static_cast<double>(std::filesystem::file_size(log->file())) / 1e6 << " MB");
    const auto quick = [](const char* what, double most_ms, const std::function<void()>& work) {
        const double took = ms_of(work);
        WARN(what << ": " << took << " ms");
        CHECK(took < most_ms);
    };
    quick("find a rare word", 300.0, [&] { CHECK(find_text(*log, "varnish").size() == 1); });
    quick("find a word that all have", 300.0, [&] { CHECK(find_text(*log, "tab").size() == 50); });
    quick("find two words that all have", 2000.0, [&] { CHECK(find_text(*log, "even held").size() == 50); });
    quick("find a number", 300.0, [&] { CHECK(find_text(*log, "L-99999").front().title == "L-99999"); });
    quick("find the beginning of a number", 500.0, [&] { CHECK(find_text(*log, "L-").size() == 50); });
    quick("next number", 2000.0, [&] { CHECK(next_number<Piece>(*log, "L-") == "L-100000"); });
    quick("dips of a piece", 100.0, [&] { CHECK(dips_of(*log, pieces[500].id).size() == 10); });
    quick("running dips", 100.0, [&] { CHECK(running_dips(*log).empty()); });
    quick("what was skipped", 2000.0, [&] { CHECK(unfilled(*log, kMorning).size() == 200); });
    quick("next undo of a new session", 100.0,
          [&] { CHECK_FALSE(next_undo(*log, plus_seconds(kMorning, 1.0)).has_value()); });
    quick("one more press", 500.0, [&] {
        Press press;
        press.id = ids.next<Press>(kMorning);
        press.act = "drop";
        press.at = press.made_at = kMorning;
        in_change(*log, ids, "press", [&] { insert(*log, press); });
    });
    log.reset();
    quick("open", 60'000.0, [&] { log = opened(folder / "log.tonebath"); });
}

}  // namespace
}  // namespace tonebath::store
