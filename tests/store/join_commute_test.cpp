// Joining as a property: every table, random records of every noun, and the days of two benches that share a past.
#include "store/join_case.hpp"
#include "store/random_record.hpp"

#include "base/text.hpp"

#include <rapidcheck.h>

#include <algorithm>

namespace tonebath::store {

TEST_CASE("every table is joined: none is forgotten, none comes before what it refers to, each unique place and each moment is decided") {
    const auto log = Log::in_memory();
    std::set<std::string> tables;
    {
        Query query(*log, "SELECT name FROM pragma_table_list WHERE type = 'table' AND name NOT LIKE 'sqlite%'");
        while (query.next()) {
            tables.insert(query.text(0));
        }
    }
    for (const char* own : {"change", "change_row", "setting", "find_entry"}) {  // not records: joined in their own way, kept, built again
        CHECK(tables.erase(own) == 1);
    }
    std::set<std::string> seen, dates;
    for (const JoinTable& table : join_tables(*log)) {
        CAPTURE(table.name);
        CHECK(tables.count(table.name) == 1);
        CHECK(seen.insert(table.name).second);
        REQUIRE(table.columns.front() == "id");
        for (std::size_t i = 0; i < table.columns.size(); ++i) {
            CAPTURE(table.columns[i]);
            CHECK((table.refers_to[i].empty() || seen.count(table.refers_to[i]) == 1));
            if (table.columns[i].ends_with("_utc_ms") && !table.clock[i]) {
                dates.insert(table.name + "." + table.columns[i].substr(0, table.columns[i].size() - 7));
            }
        }
        // What can be there once only is told apart: by its id, its number or name, or as one with ours.
        Query query(*log, "SELECT (SELECT group_concat(name) FROM pragma_index_info(i.name)) FROM pragma_index_list(?1) i WHERE i.\"unique\" AND i.origin <> 'pk'",
                    {table.name});
        while (query.next()) {
            std::vector<std::string> same;
            for (const std::size_t i : table.same_when) {
                same.push_back(table.columns[i]);
            }
            CAPTURE(query.text(0));
            CHECK(((table.label && table.columns[*table.label] == query.text(0)) || joined(same, ",") == query.text(0)));
        }
    }
    CHECK(seen == tables);
    // Dates that somebody typed, which are not put right with the clock. A new moment belongs here or to the list beside is_clock.
    const std::set<std::string> typed{"bottle.emptied", "bottle.opened", "chemical.gone", "chemical.opened", "chemical.read",
                                      "chemical.sheet", "class_session.at", "client_order.received", "client_order.wanted_by",
                                      "dip.at_about", "instrument.gone", "instrument.tested", "local_rule.said",
                                      "lot.bought", "lot.opened", "lot.retired", "part.assembled", "piece.assembled", "piece.sold",
                                      "thermometer.in_use_from", "thermometer_check.applies_from"};
    CHECK(dates == typed);
}

TEST_CASE("records of every table arrive cell by cell; two benches' random records hold the same facts either way") {
    const TemporaryFolder folder;
    const auto filled = [](std::uint32_t seed, const std::string& mark) {
        auto log = Log::in_memory();
        log->set_setting(kBenchMark, mark);
        RandomRecords random(seed);
        IdSource ids(seed);
        in_change(*log, ids, "all nouns", [&] {
            for_each_noun([&]<class Noun>(const Noun&) {
                for (int i = 0; i < 4; ++i) {
                    insert(*log, random.next<Noun>());
                }
            });
        });
        return log;
    };
    IdSource ids(40);
    const auto a = filled(41, "");
    const auto b = filled(42, "T");
    const fs::path of_a = carried(*a, folder, "a.tonebath");
    const fs::path of_b = carried(*b, folder, "b.tonebath");
    const auto none = Log::in_memory();
    const JoinFindings found = joined_with(*none, of_b, ids);
    CHECK(facts(*none) == facts(*b));
    CHECK(found.clashes.empty());
    std::int64_t added = 0;
    for (const JoinCount& count : found.counts) {
        added += count.added;
    }
    CHECK(added == 4 * static_cast<std::int64_t>(std::tuple_size_v<AllNouns>));

    static_cast<void>(joined_with(*a, of_b, ids));
    static_cast<void>(joined_with(*b, of_a, ids));
    CHECK(facts(*a) == facts(*b));
    CHECK(facts(*a).size() > facts(*none).size());
    CHECK(a->faults().empty());
    CHECK(joined_with(*a, of_b, ids).nothing());
    CHECK(joined_with(*b, of_a, ids).nothing());
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
