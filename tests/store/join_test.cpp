// Joining a second bench's log: what is added, known, marked, changed and taken back.
#include "store/join_case.hpp"

#include "base/files.hpp"
#include "store/migrate.hpp"

#include <SQLiteCpp/SQLiteCpp.h>

#include <algorithm>

namespace tonebath::store {

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
    CHECK(found.clock.offset_ms == 3'600'000 - 3000);  // two hands, three seconds apart
    CHECK(found.clock.example == "class C-5, started");
    CHECK(find(*ours, dip.id)->dropped_at == later(897.0));
    CHECK(find(*ours, session.id)->at == kMorning);
    const JoinFindings again = joined_with(*ours, file, ids);
    CHECK(again.nothing());
    CHECK(again.clock.offset_ms == 3'600'000 - 3000);
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

}  // namespace tonebath::store
