// The lists: what they hold, what they keep apart, and what they ask of one person.
#include "app/studio_desk.hpp"

#include "app/checks.hpp"
#include "app/pairs.hpp"
#include "base/files.hpp"

#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <set>

using namespace tonebath;
using namespace tonebath::test;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;

namespace {

const fs::path kTree = TONEBATH_SOURCE_DIR;
const fs::path kSources = kTree / "data" / "safety_sources.csv";

// A folder with the program's own lists, to spoil one at a time, and one of a studio beside it.
class Lists {
public:
    Lists() : path_(fs::temp_directory_path() / ("tonebath-lists-" + std::to_string(::getpid()))) {
        fs::remove_all(path_);
        fs::create_directories(path_ / "own");
        fs::copy(kTree / "checklists", path_ / "program");
    }
    ~Lists() { fs::remove_all(path_); }
    [[nodiscard]] fs::path program() const { return path_ / "program"; }
    [[nodiscard]] fs::path own() const { return path_ / "own"; }
    [[nodiscard]] static std::string text(const std::string& list) { return read_file(kTree / "checklists" / (list + ".toml")); }
    void write(const fs::path& folder, const std::string& list, const std::string& text) const {
        write_file_whole(folder / (list + ".toml"), text);
    }
    [[nodiscard]] Result<app::ChecklistBook> read(bool with_own = false) const {
        return app::read_checklists(program(), with_own ? own() : fs::path(), kSources);
    }
    // The refusal of the program's list when `was` stands there as `is`.
    [[nodiscard]] Refusal fault(const std::string& list, const std::string& was, const std::string& is) const {
        write(program(), list, changed(text(list), was, is));
        const auto book = read();
        write(program(), list, text(list));
        INFO(list << ": " << was << " -> " << is);
        REQUIRE_FALSE(book);
        CHECK(book.error().code == "data.bad_file");
        CHECK_THAT(book.error().field, Contains(".toml:"));
        CHECK_THAT(book.error().remedy, Contains("Correct"));
        return book.error();
    }
    [[nodiscard]] static std::string changed(std::string text, const std::string& was, const std::string& is) {
        const std::size_t at = text.find(was);
        REQUIRE(at != std::string::npos);
        return text.replace(at, was.size(), is);
    }

private:
    fs::path path_;
};

app::ChecklistBook program_lists() {
    auto book = app::read_checklists(kTree / "checklists", {}, kSources);
    REQUIRE(book);
    return std::move(book).value();
}

// Families of this kind that stand on that side of a pair; an unread product counts as acid.
std::vector<std::string> families_on(const FinishKind& kind, const std::vector<std::string>& side) {
    std::vector<std::string> families;
    // "acid+oxidiser" is one product with both, and stands for either.
    const auto names = [&](const std::string& family) {
        return std::any_of(side.begin(), side.end(), [&](const std::string& stands) {
            const std::vector<std::string> all = split(stands, '+');
            return std::find(all.begin(), all.end(), family) != all.end();
        });
    };
    for (const std::string& family : kind.families) {
        if (names(family) || std::find(side.begin(), side.end(), "any") != side.end() || kind.key == "unknown") {
            families.push_back(family);
        }
    }
    return families;
}

// A stop at this gate that keeps one of the families away from this kind.
bool keeps_away(const app::ChecklistBook& book, Gate gate, const FinishKind& kind, const std::vector<std::string>& families) {
    for (const Checklist& list : book.lists) {
        for (const ChecklistItem& item : list.holds(gate) && asks_of(list, kind) ? items_for(list, kind) : std::vector<ChecklistItem>{}) {
            const bool away = std::any_of(families.begin(), families.end(), [&](const std::string& family) {
                return std::find(item.away.begin(), item.away.end(), family) != item.away.end();
            });
            if (item.level == CheckLevel::stop && item.needs.empty() && away) {
                return true;
            }
        }
    }
    return false;
}

// Stop-grade pairs that lack a stop on a side, over all kinds. A heat patina is never mixed, a coat neither.
std::vector<std::string> gaps(const app::ChecklistBook& book, const std::vector<FinishKind>& kinds, const std::vector<app::IncompatiblePair>& pairs, int* walked = nullptr) {
    std::vector<std::string> open;
    const auto side = [&](const FinishKind& kind, const FinishKind& other, const std::vector<std::string>& other_side, const app::IncompatiblePair& pair) {
        const std::vector<std::string> families = families_on(other, other_side);
        if (!keeps_away(book, Gate::start_bath, kind, families)) {
            open.push_back("before a bath of " + kind.key + ": " + pair.one + " with " + pair.other + " (" + other.key + ")");
        }
        const bool mixed = shares_family(kind, {"sulfide", "acid", "oxidiser", "ammonia", "metal_salt"});
        if (mixed && !keeps_away(book, Gate::mix, kind, families)) {
            open.push_back("before mixing " + kind.key + ": " + pair.one + " with " + pair.other + " (" + other.key + ")");
        }
    };
    for (const FinishKind& one : kinds) {
        for (const FinishKind& other : kinds) {
            for (const app::IncompatiblePair& pair : pairs) {
                if (pair.level == CheckLevel::stop && app::on_side(one, pair.families) && app::on_side(other, pair.other_families)) {
                    side(one, other, pair.other_families, pair);
                    side(other, one, pair.families, pair);
                    if (walked != nullptr) {
                        ++*walked;
                    }
                }
            }
        }
    }
    return open;
}

}  // namespace

TEST_CASE("the program's own lists are read, in the order of the work") {
    const app::ChecklistBook book = program_lists();
    std::vector<std::string> keys;
    for (const Checklist& list : book.lists) {
        keys.push_back(list.key);
        CHECK(list.items.size() >= 5);
        CHECK(list.items.size() <= app::kMostItems);
        CHECK(list.items.back().completion);
        for (const ChecklistItem& item : list.items) {
            INFO(item.key);
            CHECK_THAT(item.text + item.why + item.response, !Contains("Proposal"));
            if (item.key.ends_with("_away") || item.key.find("air") != std::string::npos) {
                CHECK_FALSE(item.hold_min);  // always asked
            }
        }
    }
    CHECK(keys == std::vector<std::string>{"before_mixing", "before_session", "during", "after_disposal", "lacquer", "monthly"});
}

TEST_CASE("a list that is not understood is a fault with its file and line") {
    const Lists lists;
    const auto says = [&](const std::string& list, const std::string& was, const std::string& is, const std::string& words) {
        const Refusal refusal = lists.fault(list, was, is);
        CHECK_THAT(refusal.text(), Contains(words));
        return refusal.field;
    };
    says("before_session", "why = ", "wherefore = ", "not known here");
    says("before_session", "gates = [\"start_bath\"]", "gates = [\"kiln\"]", "no gate is called \"kiln\"");
    says("before_session", "gates = [\"start_bath\"]\n", "", "missing");
    says("before_session", "id = \"ses.air\"", "id = \"ses.acid_away\"", "twice");
    says("before_session", "id = \"ses.air\"", "id = \"mix.air_on\"", "stands in before_mixing already");
    says("before_session", "duplicate_of = \"mix.eyes_hands\"", "duplicate_of = \"mix.eyes\"", "which no list has");
    says("before_session", "source = [\"S44\"]", "source = []", "no source");
    says("before_session", "source = [\"S44\"]", "source = [\"S99\"]", "no list of sources holds \"S99\"");
    says("before_session", "source = [\"S44\"]\n", "", "missing");
    says("before_session", "level = \"stop\"", "level = \"perhaps\"", "perhaps");
    says("before_session", "families = [\"sulfide\", \"ammonia\"]", "families = [\"sulphide\"]", "no family is called \"sulphide\"");
    says("before_session", "away = [\"acid\", \"metal_salt\", \"oxidiser\"]", "away = [\"acids\"]", "no family is called \"acids\"");
    says("before_session", "needs = \"gas_meter\"", "needs = \"canary\"", "canary");
    says("before_session", "number_needs = \"air_speed_meter\"", "number_needs = \"kite\"", "kite");
    says("before_session", "number = \"m/s\"\n", "", "number_needs stands without number");
    says("before_session", "number = \"m/s\"", "number = \"knots\"", "no figure is told in \"knots\"");
    says("before_session", "hold_min = 15", "hold_min = 0", "above 0");
    says("before_session", "stop_when = \"not_cleared_alone\"", "stop_when = \"tired\"", "not_cleared_alone");
    says("before_session", "needs = \"gas_meter\"\n", "", "without stands without needs");
    says("during", "without = \"No meter here. A meter is the only warning that does not tire; smell is never a test\"\n", "", "must say what stands there");
    says("during", "\"meter_alarm\"]", "\"full_moon\"]", "full_moon");
    says("before_session", "completion = true", "completion = false", "no line closes the list");
    says("before_session", "response = \"worn, glove type\"", "response = \"\"", "ses.eyes_hands");
    says("before_session", "defer_to_local = false", "defer_to_local = \"no\"", "wrong kind");
    says("before_session", "version = 1", "version = 0", "version is 1 or higher");
    says("before_session", "version = 1", "version = \"one\"", "wrong kind");
    says("before_session", "mode = \"do, then check\"", "mode = \"just do\"", "mode is");
    says("before_session", "schema = 2", "schema = 3", "schema 2");
    says("before_session", "max_seconds = 60", "max_seconds = 600", "max_seconds");
    says("before_session", "id = \"before_session\"", "id = \"before_bath\"", "not the name of the file");
    says("before_session", "[[item]]", "[[item", "before_session.toml");
    // A stop after a must, and a tenth item.
    says("before_mixing", "level = \"stop\"", "level = \"must\"", "stops stand first");
    const std::string tenth = "[[item]]\nid = \"mix.tenth\"\ntext = \"Ten\"\nresponse = \"ten\"\nwhy = \"one too many\"\nlevel = \"stop\"\n"
                              "families = [\"any\"]\nsource = [\"M\"]\ndefer_to_local = false\n\n[[item]]\nid = \"mix.acid_away\"";
    says("before_mixing", "[[item]]\nid = \"mix.acid_away\"", tenth, "at most 9 items");
    // The line is that of the fault: the first item of the list stands behind its head.
    const std::string text = Lists::text("before_session");
    const auto line_of = [&](const std::string& words) { return 1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(text.find(words)), '\n'); };
    CHECK(says("before_session", "families = [\"sulfide\", \"ammonia\"]", "families = [\"sulphide\"]", "sulphide") ==
          "before_session.toml:" + std::to_string(line_of("[[item]]")));
    CHECK(says("before_session", "reader = ", "writer = ", "writer") == "before_session.toml:" + std::to_string(line_of("reader = ")));
    fs::remove(lists.program() / "during.toml");
    CHECK_FALSE(lists.read());
}

TEST_CASE("the studio's own folder adds and edits lists, and never loses a stop") {
    const Lists lists;
    const std::string edited = Lists::changed(Lists::text("before_session"), "version = 1", "version = 2");
    const auto own_fault = [&](const std::string& list, const std::string& text) {
        lists.write(lists.own(), list, text);
        const auto book = lists.read(true);
        REQUIRE(book);
        REQUIRE(book->own_fault);
        CHECK_THAT(book->own_fault->field, Contains(list + ".toml:"));
        CHECK(book->find("before_session")->version == 1);  // the program's stand
        fs::remove(lists.own() / (list + ".toml"));
        return book->own_fault->text();
    };
    CHECK_THAT(own_fault("before_session", Lists::text("before_session")), Contains("version above 1"));
    CHECK_THAT(own_fault("before_session", Lists::changed(edited, "id = \"ses.air\"", "id = \"ses.wind\"")), Contains("\"ses.air\" is a stop"));
    CHECK_THAT(own_fault("before_session", Lists::changed(edited, "gates = [\"start_bath\"]", "gates = [\"none\"]")), Contains("gates"));
    CHECK_THAT(own_fault("before_session", Lists::changed(edited, "families = [\"sulfide\", \"ammonia\"]", "families = [\"ammonia\"]")), Contains("never narrower"));
    CHECK_THAT(own_fault("before_session", Lists::changed(edited, "away = [\"acid\", \"metal_salt\", \"oxidiser\"]", "away = [\"acid\"]")), Contains("never narrower"));
    CHECK_THAT(own_fault("kiln", "schema = 2\n"), Contains("missing"));

    // A wider wording with a source of the studio's own, and a list of its own.
    std::string wider = Lists::changed(edited, "Extraction or cross-draught on and proven", "Hood on, tell-tale ribbon moving");
    wider = Lists::changed(wider, "source = [\"S23\", \"S26\", \"S19\"]", "source = [\"S23\", \"HOOD\"]");
    lists.write(lists.own(), "before_session", wider);
    std::string added = Lists::changed(Lists::text("monthly"), "id = \"monthly\"", "id = \"kiln\"");
    for (std::size_t at = added.find("\"mon."); at != std::string::npos; at = added.find("\"mon.")) {
        added.replace(at, 5, "\"kil.");
    }
    lists.write(lists.own(), "kiln", added);
    CHECK(lists.read(true)->own_fault);  // HOOD is no source yet
    write_file_whole(lists.own() / "sources.csv", "key,words\nHOOD,\"sheet of the hood, 2024; read\"\n");
    const auto book = lists.read(true);
    REQUIRE(book);
    INFO((book->own_fault ? book->own_fault->text() : ""));
    REQUIRE_FALSE(book->own_fault);
    CHECK(book->find("before_session")->version == 2);
    CHECK(book->find("before_session")->own);
    CHECK(book->find("kiln")->items.size() == 6);
}

TEST_CASE("while an own list is not understood nothing begins, and the log stays open") {
    const Lists lists;
    lists.write(lists.own(), "before_session", "schema = 2\n");
    HandClock clock(*parse_iso("2026-03-31T09:00+01:00", 0));
    auto studio = app::Studio::open({.data = kTree / "data", .checklists = kTree / "checklists", .own_checklists = lists.own()}, clock);
    REQUIRE(studio);
    REQUIRE((*studio)->carry_out(form_of("person.add", {{"initials", "MK"}})));
    const auto refused = (*studio)->carry_out(form_of("bath.make-up", {}));
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == "data.bad_file");
    CHECK((*studio)->carry_out(form_of("bath.make-up", {{"past", "yes"}})));
}

TEST_CASE("old records keep the words that were confirmed when a list is edited") {
    const Lists lists;
    HandClock clock(*parse_iso("2026-03-31T09:00+01:00", 0));
    const fs::path log = lists.own().parent_path() / "log.tonebath";
    const app::StudioOptions options{.log = log, .create = true, .data = kTree / "data", .checklists = kTree / "checklists", .own_checklists = lists.own()};
    const auto confirm_air = [&] {
        auto studio = app::Studio::open(options, clock);
        REQUIRE(studio);
        if (store::list<Person>((*studio)->log()).empty()) {
            REQUIRE((*studio)->carry_out(form_of("person.add", {{"initials", "MK"}})));
            REQUIRE((*studio)->carry_out(form_of("bath.make-up", {{"past", "yes"}})));
        }
        const auto done = (*studio)->carry_out(form_of("check.confirm", {{"bath", "1"}, {"item", "ses.air: fan on"}}));
        INFO((done ? "" : done.error().text()));
        REQUIRE(done);
        std::vector<std::string> texts;
        for (const CheckAnswer& answer : store::list<CheckAnswer>((*studio)->log(), "ORDER BY at_utc_ms")) {
            texts.push_back(answer.item_text);
        }
        return texts;
    };
    CHECK(confirm_air().size() == 1);
    clock.advance(60.0);
    lists.write(lists.own(), "before_session",
                Lists::changed(Lists::changed(Lists::text("before_session"), "version = 1", "version = 7"), "Extraction or cross-draught on and proven", "Hood on"));
    // Another version: the list begins again, and both texts stand.
    CHECK(confirm_air() == std::vector<std::string>{"Extraction or cross-draught on and proven", "Hood on"});
    auto studio = app::Studio::open(options, clock);
    REQUIRE(studio);
    CHECK(store::list<CheckRun>((*studio)->log()).size() == 2);
    CHECK(store::list<CheckRun>((*studio)->log(), "ORDER BY at_utc_ms DESC").front().list_version == 7);
}

TEST_CASE("every stop-grade pair has a stop on both sides, whatever kinds make it") {
    Desk desk;
    const auto pairs = app::read_pairs(kTree / "data" / "incompatibilities.csv");
    REQUIRE(pairs);
    app::ChecklistBook book = program_lists();
    int walked = 0;
    const std::vector<std::string> open = gaps(book, desk.studio().finish_kinds(), *pairs, &walked);
    for (const std::string& one : open) {
        FAIL_CHECK(one);
    }
    CHECK(walked > 300);
    // The walk sees what is missing: without any one of these stops some pair has lost a side.
    for (const char* key : {"mix.acid_away", "mix.sulfide_away", "ses.acid_away", "ses.sulfide_away", "lac.ignition", "lac.no_oxidiser"}) {
        app::ChecklistBook spoilt = book;
        for (Checklist& list : spoilt.lists) {
            std::erase_if(list.items, [&](const ChecklistItem& item) { return item.key == key; });
        }
        INFO(key);
        CHECK_FALSE(gaps(spoilt, desk.studio().finish_kinds(), *pairs).empty());
    }
    // A stop that became a must is no stop.
    for (Checklist& list : book.lists) {
        for (ChecklistItem& item : list.items) {
            item.level = item.key == "ses.sulfide_away" ? CheckLevel::must : item.level;
        }
    }
    CHECK_FALSE(gaps(book, desk.studio().finish_kinds(), *pairs).empty());
}

TEST_CASE("waste of each family is kept apart when it goes out") {
    Desk desk;
    const app::ChecklistBook book = program_lists();
    for (const FinishKind& kind : desk.studio().finish_kinds()) {
        const bool waste = shares_family(kind, {"sulfide", "acid", "oxidiser", "ammonia", "metal_salt", "solvent"});
        INFO(kind.key);
        CHECK(asks_of(*book.find("after_disposal"), kind) == (waste || in_family(kind, "heat")));
        CHECK(keeps_away(book, Gate::dispose, kind, {"acid"}) == waste);
    }
}

TEST_CASE("from the door to the first dip at most twelve lines are asked of one person, whatever the finish") {
    const bool with_meter = GENERATE(false, true);
    Desk desk;
    desk.answers_lists = false;
    desk.set_up();
    if (with_meter) {
        REQUIRE(desk.studio().write("meter", [&]() -> Result<app::Outcome> {
            Instrument meter;
            meter.made_at = desk.studio().now();
            meter.id = desk.studio().ids().next<Instrument>(meter.made_at);
            meter.name = "meter 1";
            meter.kind = "gas_meter";
            store::insert(desk.log(), meter);
            return app::Outcome{};
        }));
    }
    std::size_t most = 0;
    for (const FinishKind& kind : desk.studio().finish_kinds()) {
        INFO(kind.key);
        std::size_t asked = 0;
        const auto answer_all = [&](const app::CheckState& state, const std::string& subject, const std::string& named) {
            for (const app::ItemState& one : state.items) {
                asked += one.asked() && !one.answered ? 1U : 0U;
            }
            desk.does(whole_answer(state, subject, named));
        };
        for (const app::CheckState& state : app::states_at(desk.studio(), Gate::mix, app::about_kind(desk.studio(), kind.key))) {
            answer_all(state, "kind", kind.key);
        }
        desk.clock.advance(240.0);  // weighing and warming
        REQUIRE(desk.studio().write("bath", [&]() -> Result<app::Outcome> {
            Bath bath;
            bath.made_at = bath.made_up_at = desk.studio().now();
            bath.id = desk.studio().ids().next<Bath>(bath.made_at);
            bath.number = kind.key;
            bath.finish_kind = kind.key;
            store::insert(desk.log(), bath);
            return app::Outcome{};
        }));
        for (const app::CheckState& state : app::states_at(desk.studio(), Gate::start_bath, app::about_bath(desk.studio(), desk.last<Bath>()))) {
            answer_all(state, "bath", kind.key);
        }
        CHECK_FALSE(app::held_back(desk.studio(), Gate::start_bath, app::about_bath(desk.studio(), desk.last<Bath>())));
        CHECK(asked <= 12);
        if (kind.key == "liver_of_sulfur_lump") {
            CHECK(asked == (with_meter ? 11 : 10));
        }
        CHECK((asked == 0) == in_family(kind, "inert"));
        most = std::max(most, asked);
        desk.clock.advance(3600.0);
    }
    CHECK(most >= 10);
}
