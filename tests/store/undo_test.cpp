#include "store/test_log.hpp"

#include <catch2/catch.hpp>

#include <map>
#include <random>

namespace tonebath::store {
namespace {

const Stamp kSessionStart = kMorning;

std::string code_of(const Result<Done>& result) {
    return result ? "done" : result.error().code;
}

std::string undo(Log& log, IdSource& ids) {
    const std::optional<ChangeEntry> next = next_undo(log, kSessionStart);
    return next ? code_of(take_back(log, next->id, kMorning, "", ids)) : "none";
}

std::string redo(Log& log, IdSource& ids) {
    const std::optional<ChangeEntry> next = next_redo(log, kSessionStart);
    return next ? code_of(take_back(log, next->id, kMorning, "", ids)) : "none";
}

TEST_CASE("undo takes the newest step back, redo brings it forward, a new step ends redo") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(1);
    Vessel vessel = vessel_named(ids, "V1");
    in_change(*log, ids, "add vessel V1", [&] { insert(*log, vessel); });
    vessel.volume = Millilitres::from_ml(400.0);
    in_change(*log, ids, "volume of V1", [&] { update(*log, vessel); });

    CHECK(next_undo(*log, kSessionStart)->step == "volume of V1");
    CHECK_FALSE(next_redo(*log, kSessionStart).has_value());
    CHECK(undo(*log, ids) == "done");
    CHECK_FALSE(find(*log, vessel.id)->volume.has_value());
    CHECK(next_undo(*log, kSessionStart)->step == "add vessel V1");
    CHECK(next_redo(*log, kSessionStart)->step == "undo: volume of V1");
    CHECK(undo(*log, ids) == "done");
    CHECK_FALSE(find(*log, vessel.id).has_value());
    CHECK(undo(*log, ids) == "none");

    CHECK(redo(*log, ids) == "done");
    CHECK(find(*log, vessel.id)->number == "V1");
    CHECK(redo(*log, ids) == "done");
    CHECK(find(*log, vessel.id)->volume == Millilitres::from_ml(400.0));
    CHECK(redo(*log, ids) == "none");
    CHECK(undo(*log, ids) == "done");

    in_change(*log, ids, "add vessel V2", [&] { insert(*log, vessel_named(ids, "V2")); });
    CHECK(redo(*log, ids) == "none");
    CHECK(undo(*log, ids) == "done");
    CHECK(next_undo(*log, kSessionStart)->step == "add vessel V1");

    // Nothing was removed from the log: each step, each undo and each redo is there.
    const std::vector<ChangeEntry> all = changes(*log, 100);
    CHECK(all.size() == 9);
    CHECK(all[3].step == "redo: volume of V1");
    CHECK(all[2].step == "undo: volume of V1");
}

TEST_CASE("a change says which change took it back, until that one is taken back") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(2);
    const std::string step = in_change(*log, ids, "add", [&] { insert(*log, vessel_named(ids, "V1")); });
    CHECK(change_of_id(*log, step)->undone_by.empty());
    REQUIRE(undo(*log, ids) == "done");
    const std::string undone_by = change_of_id(*log, step)->undone_by;
    CHECK(undone_by == changes(*log, 1)[0].id);
    CHECK(changes(*log, 1)[0].undoes == step);
    CHECK(code_of(take_back(*log, step, kMorning, "", ids)) == "undo.already");
    REQUIRE(redo(*log, ids) == "done");
    CHECK(change_of_id(*log, step)->undone_by.empty());
    CHECK_FALSE(change_of_id(*log, undone_by)->undone_by.empty());
}

TEST_CASE("steps of an earlier session are not offered but can be taken back by name") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(3);
    const Vessel vessel = vessel_named(ids, "V1");
    const std::string old = in_change(
        *log, ids, "add", [&] { insert(*log, vessel); }, plus_seconds(kSessionStart, -3600.0));
    CHECK_FALSE(next_undo(*log, kSessionStart).has_value());
    CHECK(code_of(take_back(*log, old, kMorning, "", ids)) == "done");
    CHECK_FALSE(find(*log, vessel.id).has_value());
    CHECK(redo(*log, ids) == "done");
    CHECK(find(*log, vessel.id).has_value());
}

TEST_CASE("a field that was changed after the step refuses the step's undo, another field does not") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(4);
    Vessel vessel = vessel_named(ids, "V1");
    in_change(*log, ids, "add", [&] { insert(*log, vessel); });
    vessel.note = "chipped";
    const std::string noted = in_change(*log, ids, "note", [&] { update(*log, vessel); });
    vessel.covered = true;
    in_change(*log, ids, "cover", [&] { update(*log, vessel); });
    vessel.note = "chipped twice";
    in_change(*log, ids, "note again", [&] { update(*log, vessel); });

    const Result<Done> refused = take_back(*log, noted, kMorning, "", ids);
    REQUIRE_FALSE(refused.has_value());
    CHECK(refused.error().code == "undo.changed_since");
    CHECK(refused.error().message == "The note of this vessel was changed after it.");
    CHECK(find(*log, vessel.id)->note == "chipped twice");

    REQUIRE(undo(*log, ids) == "done");
    CHECK(code_of(take_back(*log, noted, kMorning, "", ids)) == "done");
    CHECK(find(*log, vessel.id)->note.empty());
    CHECK(find(*log, vessel.id)->covered);
}

TEST_CASE("what later records stand on is not taken away") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(5);
    const Bath bath = bath_numbered(ids, "46");
    const std::string made_up = in_change(*log, ids, "make up bath 46", [&] { insert(*log, bath); });
    Reading reading;
    reading.id = ids.next<Reading>(kMorning);
    reading.bath_id = bath.id;
    reading.at = reading.made_at = kMorning;
    reading.temp = Celsius::from_celsius(60.0);
    in_change(*log, ids, "reading", [&] { insert(*log, reading); });
    CHECK(code_of(take_back(*log, made_up, kMorning, "", ids)) == "undo.needed");
    CHECK(find(*log, bath.id).has_value());
    CHECK_FALSE(log->writing());
    CHECK(undo(*log, ids) == "done");
    CHECK(undo(*log, ids) == "done");
    CHECK_FALSE(find(*log, bath.id).has_value());
}

TEST_CASE("a bath and its first reading made in one step go and come back together") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(6);
    const Bath bath = bath_numbered(ids, "46");
    Reading reading;
    reading.id = ids.next<Reading>(kMorning);
    reading.bath_id = bath.id;
    reading.at = reading.made_at = kMorning;
    in_change(*log, ids, "make up bath 46", [&] {
        insert(*log, bath);
        insert(*log, reading);
    });
    REQUIRE(undo(*log, ids) == "done");
    CHECK_FALSE(find(*log, reading.id).has_value());
    REQUIRE(redo(*log, ids) == "done");
    CHECK(find(*log, reading.id).has_value());
    CHECK(log->faults().empty());
}

TEST_CASE("checks, answers, disposals and presses stay; what withdraws them lets undo go on") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(7);
    in_change(*log, ids, "add vessel", [&] { insert(*log, vessel_named(ids, "V1")); });
    CheckRun check;
    check.id = ids.next<CheckRun>(kMorning);
    check.list_key = "before_bath";
    check.at = check.made_at = kMorning;
    CheckAnswer answer;
    answer.id = ids.next<CheckAnswer>(kMorning);
    answer.run_id = check.id;
    answer.item_key = "acid_away";
    answer.level = "stop";
    answer.at = answer.made_at = kMorning;
    const std::string answered = in_change(*log, ids, "answer the check", [&] {
        insert(*log, check);
        insert(*log, answer);
    });
    const std::optional<ChangeEntry> next = next_undo(*log, kSessionStart);
    REQUIRE(next.has_value());
    CHECK(next->touches_kept);
    CHECK(undo(*log, ids) == "undo.kept_record");
    CHECK(find(*log, answer.id).has_value());

    {
        Change withdrawal(*log, "withdraw the check", kMorning, "", ids);
        withdrawal.takes_back(answered);
        check.withdrawn_by = "MK";
        check.withdrawn_at = kMorning;
        update(*log, check);
        withdrawal.commit();
    }
    CHECK(next_undo(*log, kSessionStart)->step == "add vessel");
    CHECK_FALSE(next_redo(*log, kSessionStart).has_value());
    CHECK(undo(*log, ids) == "done");

    Disposal disposal;
    disposal.id = ids.next<Disposal>(kMorning);
    disposal.at = disposal.made_at = kMorning;
    const std::string gone = in_change(*log, ids, "disposal", [&] { insert(*log, disposal); });
    CHECK(code_of(take_back(*log, gone, kMorning, "", ids)) == "undo.kept_record");
}

TEST_CASE("an unknown change cannot be taken back") {
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(8);
    CHECK(code_of(take_back(*log, "nothing", kMorning, "", ids)) == "undo.missing");
}

// The vessels as a plain map, with undo and redo as copies of it: what the log must agree with.
TEST_CASE("any sequence of steps, undos and redos leaves what a plain model leaves") {
    using State = std::map<std::string, std::pair<std::string, std::optional<double>>>;
    const auto seed = GENERATE(range(1U, 13U));
    CAPTURE(seed);
    std::mt19937 random(seed);
    const auto below = [&random](std::size_t n) {
        return std::uniform_int_distribution<std::size_t>(0, n - 1)(random);
    };
    const std::unique_ptr<Log> log = Log::in_memory();
    IdSource ids(seed);
    std::vector<State> past{State{}};
    std::vector<State> future;
    std::map<std::string, Vessel> made;
    int undone = 0;
    int redone = 0;
    for (int step = 0; step < 150; ++step) {
        const State& now = past.back();
        const std::size_t what = below(10);
        if (what < 3 || (what < 6 && now.empty())) {
            Vessel vessel = vessel_named(ids, "V" + std::to_string(step));
            if (below(2) == 0) {
                vessel.volume = Millilitres::from_ml(0.1 * static_cast<double>(below(5000) + 1));
            }
            State next = now;
            next[vessel.id.text] = {vessel.number, vessel.volume ? std::optional(vessel.volume->ml()) : std::nullopt};
            made[vessel.id.text] = vessel;
            in_change(*log, ids, "add", [&] { insert(*log, vessel); });
            past.push_back(next);
            future.clear();
        } else if (what < 6) {
            const std::string id = std::next(now.begin(), static_cast<std::ptrdiff_t>(below(now.size())))->first;
            State next = now;
            if (what == 5) {
                next.erase(id);
                in_change(*log, ids, "remove", [&] { remove(*log, Id<Vessel>{id}); });
            } else {
                Vessel vessel = *find(*log, Id<Vessel>{id});
                vessel.number = "N" + std::to_string(step);
                vessel.volume = below(2) == 0 ? std::nullopt : std::optional(Millilitres::from_ml(1.0 / (1.0 + step)));
                next[id] = {vessel.number, vessel.volume ? std::optional(vessel.volume->ml()) : std::nullopt};
                in_change(*log, ids, "change", [&] { update(*log, vessel); });
            }
            past.push_back(next);
            future.clear();
        } else if (what < 8) {
            REQUIRE(undo(*log, ids) == (past.size() == 1 ? "none" : "done"));
            if (past.size() > 1) {
                ++undone;
                future.push_back(past.back());
                past.pop_back();
            }
        } else {
            REQUIRE(redo(*log, ids) == (future.empty() ? "none" : "done"));
            if (!future.empty()) {
                ++redone;
                past.push_back(future.back());
                future.pop_back();
            }
        }
        State found;
        for (const Vessel& vessel : list<Vessel>(*log)) {
            found[vessel.id.text] = {vessel.number, vessel.volume ? std::optional(vessel.volume->ml()) : std::nullopt};
        }
        REQUIRE(found == past.back());
    }
    CHECK(undone > 10);
    CHECK(redone > 3);
    CHECK(log->faults().empty());
}

}  // namespace
}  // namespace tonebath::store
