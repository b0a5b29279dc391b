// Joining a second bench's log: what is added, known, marked, changed and taken back; by itself and as a property of small
// random logs.
#include "store/join.hpp"
#include "store/join_tables.hpp"
#include "store/test_log.hpp"

#include "base/files.hpp"
#include "base/text.hpp"
#include "store/migrate.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <rapidcheck.h>

#include <algorithm>
#include <map>
#include <set>

namespace tonebath::store {
namespace {

namespace fs = std::filesystem;

constexpr std::int64_t kHour_ms = 3'600'000;

Stamp later(double seconds) { return plus_seconds(kMorning, seconds); }

// The log as a file beside it, as it would be carried over.
fs::path carried(Log& log, const TemporaryFolder& folder, const std::string& name) {
    const fs::path file = folder / name;
    fs::remove(file);
    run(log, "VACUUM INTO ?1", {file.string()});
    return file;
}

std::unique_ptr<OtherLog> other(const fs::path& file) {
    Result<std::unique_ptr<OtherLog>> opened = OtherLog::open(file);
    if (!opened) {
        FAIL(opened.error().text());
    }
    return std::move(opened).value();
}

JoinFindings joined_with(Log& ours, const fs::path& file, IdSource& ids, const JoinOptions& options = {}) {
    const auto theirs = other(file);
    Result<JoinFindings> found = join(ours, *theirs, options, later(90'000.0), "", ids);
    if (!found) {
        FAIL(found.error().text());
    }
    return std::move(found).value();
}

// What the log says, without the ids of words that both benches entered for themselves, row by row.
std::set<std::string> facts(Log& log) {
    std::set<std::string> all;
    std::map<std::string, std::string> named;  // id -> what it is one by
    for (const JoinTable& table : join_tables(log)) {
        Query query(log, table.select());
        while (query.next()) {
            std::vector<Bound> row = row_of(query, table.columns.size());
            std::string words = table.name;
            for (std::size_t i = 0; i < row.size(); ++i) {
                if (const auto known = named.find(text_of(row[i])); known != named.end()) {
                    row[i] = known->second;
                }
            }
            std::string name = table.name;
            for (const std::size_t i : table.same_when) {
                name += "/" + text_of(row[i]);
            }
            const bool by_name = !table.same_when.empty();
            for (std::size_t i = 0; i < row.size(); ++i) {
                if (by_name && (i == 0 || table.columns[i].starts_with("made_"))) {
                    continue;
                }
                words += fmt::format("|{}=", table.columns[i]);
                if (const auto* whole = std::get_if<std::int64_t>(&row[i])) {
                    words += std::to_string(*whole);
                } else if (const auto* real = std::get_if<double>(&row[i])) {
                    words += fmt::format("{}", *real);
                } else {
                    words += text_of(row[i]);
                }
            }
            if (by_name) {
                named[query.text(0)] = name;
            }
            all.insert(words);
        }
    }
    return all;
}

Metal metal_named(IdSource& ids, const std::string& name) {
    Metal metal;
    metal.id = ids.next<Metal>(kMorning);
    metal.name = name;
    metal.made_at = kMorning;
    return metal;
}

Dip dip_of(IdSource& ids, const Bath& bath, const Piece& piece, const Stamp& at) {
    Dip dip;
    dip.id = ids.next<Dip>(at);
    dip.bath_id = bath.id;
    dip.piece_id = piece.id;
    dip.dropped_at = at;
    dip.out_at = plus_seconds(at, 40.0);
    dip.in_bath = Seconds::from_seconds(40.0);
    dip.made_at = *dip.out_at;
    return dip;
}

}  // namespace

TEST_CASE("what the other bench has is added, a number on both gets its mark, and a second join adds nothing") {
    const TemporaryFolder folder;
    IdSource ids(1), their_ids(2);
    const auto ours = Log::in_memory();
    const auto theirs = Log::in_memory();
    theirs->set_setting(kBenchMark, "T");
    in_change(*ours, ids, "ours", [&] {
        insert(*ours, metal_named(ids, "sterling"));
        insert(*ours, piece_numbered(ids, "P-031"));
    });
    const Metal silver = metal_named(their_ids, "sterling");
    Strip strip;
    in_change(*theirs, their_ids, "theirs", [&] {
        insert(*theirs, silver);
        const Piece piece = piece_numbered(their_ids, "P-031");
        const Bath bath = bath_numbered(their_ids, "T-1");
        insert(*theirs, piece);
        insert(*theirs, bath);
        insert(*theirs, dip_of(their_ids, bath, piece, kMorning));
        strip.id = their_ids.next<Strip>(kMorning);
        strip.number = "1";
        strip.metal_id = silver.id;
        strip.made_at = kMorning;
        insert(*theirs, strip);
    });
    const fs::path file = carried(*theirs, folder, "theirs.tonebath");
    const std::string bytes = read_file(file);

    const auto looked = preview_join(*ours, *other(file), {});
    REQUIRE(looked);
    CHECK(looked->count_of("dip").added == 1);
    CHECK(looked->count_of("metal").known == 1);  // entered on both, one by its name
    CHECK(looked->count_of("metal").added == 0);
    REQUIRE(looked->clashes.size() == 1);
    CHECK(looked->clashes[0].number == "P-031");
    CHECK(looked->clashes[0].ours == "P-031");
    CHECK(looked->clashes[0].theirs == "P-031-T");
    CHECK(list<Dip>(*ours).empty());  // only looked

    const JoinFindings found = joined_with(*ours, file, ids);
    CHECK(found.count_of("dip").added == 1);
    CHECK(found.changes_added == 1);
    CHECK(ours->faults().empty());
    std::vector<std::string> numbers;
    for (const Piece& piece : list<Piece>(*ours, "ORDER BY number")) {
        numbers.push_back(piece.number);
    }
    CHECK(numbers == std::vector<std::string>{"P-031", "P-031-T"});
    CHECK(find(*ours, strip.id)->metal_id != silver.id);
    CHECK(find(*ours, find(*ours, strip.id)->metal_id)->name == "sterling");
    // Both change logs are kept; theirs stands before ours and is nobody's step to undo here.
    CHECK(changes(*ours, 10).size() == 3);
    CHECK(changes(*ours, 10).back().step == "theirs");
    CHECK(next_undo(*ours, later(-1.0))->id == found.change_id);

    const std::set<std::string> after = facts(*ours);
    const JoinFindings again = joined_with(*ours, file, ids);
    CHECK(again.nothing());
    CHECK(again.change_id.empty());
    CHECK(facts(*ours) == after);
    CHECK(changes(*ours, 10).size() == 3);
    CHECK(read_file(file) == bytes);
    CHECK_FALSE(fs::exists(folder / "theirs.tonebath-wal"));

    // One undo, and then it can be joined again.
    REQUIRE(take_back(*ours, found.change_id, later(91'000.0), "", ids));
    CHECK(list<Dip>(*ours).empty());
    CHECK(list<Piece>(*ours).size() == 1);
    CHECK(joined_with(*ours, file, ids).count_of("dip").added == 1);
    CHECK(facts(*ours) == after);
}

TEST_CASE("numbers clash and no mark tells the benches apart: refused, nothing written, a mark decides it") {
    const TemporaryFolder folder;
    IdSource ids(3), their_ids(4);
    const auto ours = Log::in_memory();
    const auto theirs = Log::in_memory();
    in_change(*ours, ids, "ours", [&] { insert(*ours, bath_numbered(ids, "21")); });
    in_change(*theirs, their_ids, "theirs", [&] {
        insert(*theirs, bath_numbered(their_ids, "21"));
        Disposal disposal;
        disposal.id = their_ids.next<Disposal>(kMorning);
        disposal.at = disposal.made_at = kMorning;
        disposal.baths = "20\n21";
        insert(*theirs, disposal);
    });
    const fs::path file = carried(*theirs, folder, "theirs.tonebath");
    const auto refused = join(*ours, *other(file), {}, later(1.0), "", ids);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == "join.no_mark");
    CHECK(list<Bath>(*ours).size() == 1);
    ours->set_setting(kBenchMark, "T");
    CHECK(join(*ours, *other(file), {.mark = "T", .clock_offset_ms = {}}, later(1.0), "", ids).error().code == "join.same_mark");
    ours->set_setting(kBenchMark, "");
    static_cast<void>(joined_with(*ours, file, ids, {.mark = "T", .clock_offset_ms = {}}));
    CHECK(list<Bath>(*ours, "WHERE number = '21-T'").size() == 1);
    CHECK(list<Disposal>(*ours).front().baths == "20\n21-T");  // it names its own bath still
}

TEST_CASE("a clock an hour behind is found from what both logged, and put right once only") {
    const TemporaryFolder folder;
    IdSource ids(5), their_ids(6);
    const auto ours = Log::in_memory();
    ClassSession session;
    session.id = ids.next<ClassSession>(kMorning);
    session.number = "C-5";
    session.seat_limit = 8;
    session.at = session.made_at = kMorning;
    in_change(*ours, ids, "class", [&] { insert(*ours, session); });
    const fs::path copied = carried(*ours, folder, "copied.tonebath");
    const auto theirs = opened(copied, OpenMode::read_write);
    theirs->set_setting(kBenchMark, "T");
    session.started_at = later(600.0);
    in_change(*ours, ids, "start", [&] { update(*ours, session); }, later(600.0));
    session.started_at = later(603.0 - 3600.0);
    const Piece piece = piece_numbered(their_ids, "T-1");
    const Bath bath = bath_numbered(their_ids, "T-1");
    Dip dip = dip_of(their_ids, bath, piece, later(900.0 - 3600.0));
    in_change(*theirs, their_ids, "start", [&] { update(*theirs, session); }, later(603.0 - 3600.0));
    in_change(*theirs, their_ids, "dip", [&] {
        insert(*theirs, piece);
        insert(*theirs, bath);
        insert(*theirs, dip);
    }, later(940.0 - 3600.0));
    const fs::path file = carried(*theirs, folder, "theirs.tonebath");
    const JoinFindings found = joined_with(*ours, file, ids);
    CHECK(found.clock.known == JoinClock::Known::found);
    CHECK(found.clock.offset_ms == kHour_ms - 3000);  // two hands, three seconds apart
    CHECK(found.clock.example == "class C-5, started");
    CHECK(find(*ours, dip.id)->dropped_at == later(897.0));
    CHECK(find(*ours, session.id)->at == kMorning);
    const JoinFindings again = joined_with(*ours, file, ids);
    CHECK(again.nothing());
    CHECK(again.clock.offset_ms == kHour_ms - 3000);
    CHECK(find(*ours, dip.id)->dropped_at == later(897.0));
}

TEST_CASE("where both changed a record the later change of each field holds, and what was taken back stays so") {
    const TemporaryFolder folder;
    IdSource ids(7), their_ids(8);
    const auto ours = Log::in_memory();
    Piece piece = piece_numbered(ids, "L-1");
    Piece other_piece = piece_numbered(ids, "L-2");
    const std::string added = in_change(*ours, ids, "pieces", [&] { insert(*ours, piece); });
    const std::string second = in_change(*ours, ids, "another", [&] { insert(*ours, other_piece); }, later(1.0));
    const auto theirs = opened(carried(*ours, folder, "copied.tonebath"), OpenMode::read_write);
    Piece mine = piece;
    mine.note = "ours, early";
    mine.design = "Limpet";
    in_change(*ours, ids, "correct", [&] { update(*ours, mine); }, later(10.0));
    REQUIRE(take_back(*ours, second, later(11.0), "", ids));
    Piece its = piece;
    its.note = "theirs, late";
    in_change(*theirs, their_ids, "correct", [&] { update(*theirs, its); }, later(20.0));
    const JoinFindings found = joined_with(*ours, carried(*theirs, folder, "theirs.tonebath"), ids);
    CHECK(find(*ours, piece.id)->note == "theirs, late");
    CHECK(find(*ours, piece.id)->design == "Limpet");
    CHECK_FALSE(find(*ours, other_piece.id).has_value());
    CHECK(found.count_of("piece").changed == 1);
    CHECK(found.count_of("piece").left_out == 1);
}

TEST_CASE("undo of a join with checks and presses keeps those, withdrawn, and joining again brings all back") {
    const TemporaryFolder folder;
    IdSource ids(9), their_ids(10);
    const auto ours = Log::in_memory();
    const auto theirs = Log::in_memory();
    theirs->set_setting(kBenchMark, "T");
    const Bath bath = bath_numbered(their_ids, "T-1");
    const Piece piece = piece_numbered(their_ids, "T-1");
    CheckRun check;
    check.id = their_ids.next<CheckRun>(kMorning);
    check.list_key = "before_session";
    check.list_version = 1;
    check.bath_id = bath.id;
    check.at = check.made_at = kMorning;
    in_change(*theirs, their_ids, "bath", [&] {
        insert(*theirs, bath);
        insert(*theirs, piece);
        insert(*theirs, check);
    });
    const fs::path file = carried(*theirs, folder, "theirs.tonebath");
    const JoinFindings found = joined_with(*ours, file, ids);
    const std::set<std::string> after = facts(*ours);
    REQUIRE(take_back_join(*ours, found.change_id, later(91'000.0), "", "MK", ids));
    CHECK_FALSE(find(*ours, piece.id).has_value());
    CHECK(find(*ours, bath.id).has_value());  // the check stands on it
    CHECK(find(*ours, check.id)->withdrawn_by == "MK");
    CHECK(ours->faults().empty());
    static_cast<void>(joined_with(*ours, file, ids));
    CHECK(facts(*ours) == after);
}

TEST_CASE("a log of the first form is joined through a copy; a newer, a damaged and a strange file are refused and stay as they are") {
    const TemporaryFolder folder;
    IdSource ids(11);
    const auto ours = Log::in_memory();
    const fs::path older = folder / "older.tonebath";
    {
        SQLite::Database database(older.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
        upgrade(database, migrations().first(1));
        database.exec("INSERT INTO metal VALUES ('018f0000-0000-7000-8000-000000000001', 'sterling', 'silver', '', '', '', 0, 0);"
                      "INSERT INTO strip VALUES ('018f0000-0000-7000-8000-000000000002', '1', '018f0000-0000-7000-8000-000000000001', 'bright', '', 0, 0, '')");
    }
    const std::string before = read_file(older);
    const auto theirs = other(older);
    CHECK(theirs->form() == 1);
    const auto found = join(*ours, *theirs, {.mark = "T", .clock_offset_ms = {}}, later(1.0), "", ids);
    REQUIRE(found);
    CHECK(found->count_of("strip").added == 1);
    CHECK(found->form == 1);
    CHECK(read_file(older) == before);

    const fs::path newer = carried(*ours, folder, "newer.tonebath");
    {
        const auto log = opened(newer, OpenMode::read_write);
        run(*log, "PRAGMA user_version = 99");
    }
    CHECK(OtherLog::open(newer).error().code == "log.newer");
    write_file_whole(folder / "text.tonebath", "Limpet, 40 s, warm");
    CHECK(OtherLog::open(folder / "text.tonebath").error().code == "log.not_ours");
    CHECK(OtherLog::open(folder / "none.tonebath").error().code == "log.missing");
    const fs::path damaged = carried(*ours, folder, "damaged.tonebath");
    std::string bytes = read_file(damaged);
    std::fill(bytes.begin() + 4096, bytes.begin() + 3 * 4096, 'x');
    write_file_whole(damaged, bytes);
    CHECK(OtherLog::open(damaged).error().code == "log.damaged");
    CHECK(read_file(damaged) == bytes);
}

TEST_CASE("a join given up half way writes nothing") {
    const TemporaryFolder folder;
    IdSource ids(12), their_ids(13);
    const auto ours = Log::in_memory();
    const auto theirs = Log::in_memory();
    in_change(*theirs, their_ids, "pieces", [&] {
        for (int i = 0; i < 600; ++i) {
            insert(*theirs, piece_numbered(their_ids, "T-" + std::to_string(i)));
        }
    });
    const fs::path file = carried(*theirs, folder, "theirs.tonebath");
    std::int64_t told = 0;
    const auto stops = [&told](std::int64_t done, std::int64_t all) {
        told = done;
        CHECK(all == 601);
        return done < 500;
    };
    CHECK(join(*ours, *other(file), {}, later(1.0), "", ids, stops).error().code == "join.given_up");
    CHECK(told == 512);
    CHECK(list<Piece>(*ours).empty());
    CHECK_FALSE(ours->writing());
    CHECK(changes(*ours, 10).empty());
}

TEST_CASE("an invented studio joins only with one, and no log with itself") {
    const TemporaryFolder folder;
    IdSource ids(14);
    const auto ours = opened(folder / "log.tonebath");
    CHECK(preview_join(*ours, *other(folder / "log.tonebath"), {}).error().code == "join.itself");
    const auto theirs = Log::in_memory();
    theirs->set_setting("demo", "yes");
    CHECK(preview_join(*ours, *other(carried(*theirs, folder, "demo.tonebath")), {}).error().code == "join.demo");
}

namespace {

// One bench at work: numbers from a small pool, so that they clash; steps taken back now and then.
class Bench {
public:
    Bench(std::unique_ptr<Log> log, std::uint64_t seed, std::int64_t ms) : log_(std::move(log)), ids_(seed), ms_(ms) {}

    void act(int what, int which) {
        const std::string number = std::to_string(which % 4);
        const Stamp at{kMorning.utc_ms + ms_ + 2000 * ++steps_, 60};
        switch (what % 9) {
            case 0: add(piece_numbered(ids_, "P-" + number), at); break;
            case 1: add(bath_numbered(ids_, number), at); break;
            case 2: add(metal_named(ids_, "metal " + number), at); break;
            case 3: strip(number, at, which); break;
            case 4: dip(at, which); break;
            case 5: change_piece(at, which); break;
            case 6: change_bath(at, which); break;
            case 7: take_one_back(at, which); break;
            default: check(at, which); break;
        }
    }
    [[nodiscard]] Log& log() { return *log_; }
    [[nodiscard]] IdSource& ids() { return ids_; }

private:
    template <class Noun>
    void add(Noun record, const Stamp& at) {
        record.id = ids_.next<Noun>(at);
        record.made_at = at;
        write(at, [&] { insert(*log_, record); });
    }
    // What the tables do not take (a number twice) is simply not written.
    template <class Write>
    void write(const Stamp& at, Write what) {
        try {
            Change change(*log_, "step", at, "", ids_);
            what();
            mine_.push_back(change.commit());
        } catch (const StoreError&) {
        }
    }
    template <class Noun>
    std::optional<Noun> one_of(int which) {
        std::vector<Noun> all = list<Noun>(*log_, "ORDER BY id");
        return all.empty() ? std::nullopt : std::optional<Noun>(all[static_cast<std::size_t>(which) % all.size()]);
    }
    void strip(const std::string& number, const Stamp& at, int which) {
        if (const auto metal = one_of<Metal>(which)) {
            Strip one;
            one.number = number;
            one.metal_id = metal->id;
            add(one, at);
        }
    }
    void dip(const Stamp& at, int which) {
        const auto bath = one_of<Bath>(which);
        const auto piece = one_of<Piece>(which / 2);
        if (bath && piece) {
            add(dip_of(ids_, *bath, *piece, at), at);
        }
    }
    void change_piece(const Stamp& at, int which) {
        if (auto piece = one_of<Piece>(which)) {
            (which % 2 == 0 ? piece->note : piece->design) = "words " + std::to_string(at.utc_ms);
            write(at, [&] { update(*log_, *piece); });
        }
    }
    void change_bath(const Stamp& at, int which) {
        if (auto bath = one_of<Bath>(which)) {
            bath->note = "words " + std::to_string(at.utc_ms);
            write(at, [&] { update(*log_, *bath); });
        }
    }
    void take_one_back(const Stamp& at, int which) {
        if (!mine_.empty()) {
            static_cast<void>(take_back(*log_, mine_[static_cast<std::size_t>(which) % mine_.size()], at, "", ids_));
        }
    }
    void check(const Stamp& at, int which) {
        CheckRun run;
        run.list_key = "before_session";
        run.list_version = 1;
        if (const auto bath = one_of<Bath>(which)) {
            run.bath_id = bath->id;
        }
        run.at = at;
        add(run, at);
    }

    std::unique_ptr<Log> log_;
    IdSource ids_;
    std::int64_t ms_;
    std::int64_t steps_ = 0;
    std::vector<std::string> mine_;
};

using Acts = std::vector<std::pair<int, int>>;

// Empty, or what does not hold.
std::string joins_commute(const Acts& before, const Acts& ours, const Acts& theirs) {
    const TemporaryFolder folder;
    Bench base(Log::in_memory(), 20, 0);
    for (const auto& [what, which] : before) {
        base.act(what, which);
    }
    const fs::path start = carried(base.log(), folder, "start.tonebath");
    const auto bench = [&](const std::string& name, std::uint64_t seed, std::int64_t ms, const Acts& acts) {
        const fs::path file = folder / name;
        fs::copy_file(start, file);
        // In memory, where nothing waits for the disk.
        auto one = std::make_unique<Bench>(opened(file, OpenMode::read_write), seed, 1'000'000 + ms);
        run(one->log(), "PRAGMA synchronous = OFF");
        for (const auto& [what, which] : acts) {
            one->act(what, which);
        }
        return one;
    };
    const auto a = bench("a.tonebath", 21, 0, ours);
    const auto b = bench("b.tonebath", 22, 1, theirs);
    b->log().set_setting(kBenchMark, "T");
    const fs::path of_a = carried(a->log(), folder, "of_a.tonebath");
    const fs::path of_b = carried(b->log(), folder, "of_b.tonebath");
    const auto others_b = other(of_b);
    const auto others_a = other(of_a);
    const auto joins = [](Bench& one, OtherLog& with) {
        Result<JoinFindings> found = join(one.log(), with, {}, later(90'000.0), "", one.ids());
        return found ? std::optional(std::move(found).value()) : std::nullopt;
    };
    if (!joins(*a, *others_b) || !joins(*b, *others_a)) {
        return "a join was refused";
    }
    const std::set<std::string> facts_a = facts(a->log());
    const std::set<std::string> facts_b = facts(b->log());
    if (facts_a != facts_b) {
        std::vector<std::string> only;
        std::set_symmetric_difference(facts_a.begin(), facts_a.end(), facts_b.begin(), facts_b.end(), std::back_inserter(only));
        return "the facts differ: " + joined(only, "\n");
    }
    if (!a->log().faults().empty() || !b->log().faults().empty()) {
        return "a joined log is not whole";
    }
    return joins(*a, *others_b)->nothing() && joins(*b, *others_a)->nothing() && facts(a->log()) == facts_a ? "" : "a second join was not nothing";
}

rc::Gen<Acts> acts() {
    return rc::gen::container<Acts>(rc::gen::pair(rc::gen::inRange(0, 9), rc::gen::inRange(0, 16)));
}

}  // namespace

TEST_CASE("joins commute: it does not matter which log joins which, and a second join adds nothing", "[property]") {
    constexpr int kCases = 5, kActs = 24;  // many small logs, with shrinking, in the long run
    for (int i = 0; i < kCases; ++i) {
        CAPTURE(i);
        rc::Random random(20260331U + static_cast<std::uint64_t>(i));
        const auto some = [&random] { return acts()(random.split(), kActs).value(); };
        const Acts before = some();
        const Acts ours = some();
        const Acts theirs = some();
        CHECK(joins_commute(before, ours, theirs) == "");
    }
}

TEST_CASE("joins commute, over a hundred triples of random small logs", "[.long]") {
    CHECK(rc::check("A+B and B+A hold the same facts", [] { RC_ASSERT(joins_commute(*acts(), *acts(), *acts()) == ""); }));
}

}  // namespace tonebath::store
