#include "app/bench_list.hpp"

#include "app/coating.hpp"
#include "app/near_misses.hpp"
#include "app/pairs.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/bath_store.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

constexpr double kSitting_s =
    12.0 * 3600.0;  // ours: past work that began longer ago and was never ended stands nowhere
const std::string kTogether = "Out together: ";  // how an entry of the book begins

BenchThing thing_of(Studio& studio, const Chemical& chemical) {
    return {.what = BenchThing::What::chemical,
            .id = chemical.id.text,
            .name = chemical.name,
            .kind = counts_as(studio, chemical),
            .since = *chemical.on_bench_at,
            .lot = chemical.lot_id ? chemical.lot_id->text : std::string(),
            .unread = !chemical.read_at};
}

BenchThing thing_of(Studio& studio, const Bath& bath) {
    return {.what = BenchThing::What::bath,
            .id = bath.id.text,
            .name = "bath " + bath.number,
            .kind = studio.finish_kind(bath.finish_kind),
            .since = bath.made_up_at,
            .lot = bath.lot_id ? bath.lot_id->text : std::string()};
}

BenchThing thing_of(Studio& studio, const CoatingState& coating) {
    const auto bottle =
        coating.coating.bottle_id ? store::find(studio.log(), *coating.coating.bottle_id) : std::nullopt;
    const FinishKind* kind = bottle ? find_kind(studio.finish_kinds(), bottle->kind) : nullptr;
    return {.what = BenchThing::What::coating,
            .id = coating.coating.id.text,
            .name = "coating " + coating.coating.number,
            .kind = kind != nullptr ? *kind : studio.finish_kind("lacquer_solvent"),
            .since = coating.coating.started_at,
            .lot = {}};
}

std::vector<BenchThing> things_out(Studio& studio, const BenchThing* begins) {
    std::vector<BenchThing> things;
    for (const Chemical& chemical : store::list<Chemical>(
             studio.log(), "WHERE on_bench_utc_ms IS NOT NULL AND gone_utc_ms IS NULL ORDER BY on_bench_utc_ms, id")) {
        things.push_back(thing_of(studio, chemical));
    }
    std::vector<Bath> baths = store::baths_in_use(studio.log());
    std::erase_if(baths, [&](const Bath& bath) {
        const bool long_past = bath.past_work && seconds_between(bath.made_up_at, studio.now()) > kSitting_s;
        return long_past || (begins != nullptr && bath.id.text == begins->id);
    });
    std::ranges::stable_sort(baths, {}, &Bath::made_up_at);
    for (const Bath& bath : baths) {
        things.push_back(thing_of(studio, bath));
    }
    if (begins != nullptr) {
        things.push_back(*begins);
    }
    if (const auto coating = open_coating(studio)) {
        things.push_back(thing_of(studio, *coating));
    }
    return things;
}

// Which row of the list speaks of the thing most nearly: how many words of its name stand there, then of its kind.
std::size_t nearness(const BenchThing& thing, const IncompatiblePair& pair) {
    constexpr std::size_t kNameFirst = 100;
    const std::string row = folded(pair.one + " " + pair.other);
    const auto words_found = [&row](const std::string& name) {
        const std::vector<std::string> words = split(folded(name), ' ');
        return static_cast<std::size_t>(std::ranges::count_if(
            words, [&row](const std::string& word) { return word.size() > 3 && row.find(word) != std::string::npos; }));
    };
    return kNameFirst * words_found(thing.name) + words_found(thing.kind.name);
}

// A bath is made of its lot: that the two are together is no news, unless the lot's kind itself says otherwise.
bool one_lot(const BenchThing& one, const BenchThing& other) {
    return !one.lot.empty() && one.lot == other.lot;
}

std::optional<BenchPair> pair_of(const std::vector<IncompatiblePair>& list, const BenchThing& one,
                                 const BenchThing& other) {
    std::vector<IncompatiblePair> met = pairs_between(list, one.kind, other.kind);
    if (met.empty() || one_lot(one, other) || (!one.unread && !other.unread && one.kind.key == other.kind.key)) {
        return std::nullopt;
    }
    std::erase_if(met, [&](const IncompatiblePair& pair) { return pair.level != met.front().level; });
    const auto nearest = std::ranges::max_element(
        met, {}, [&](const IncompatiblePair& pair) { return nearness(one, pair) + nearness(other, pair); });
    return BenchPair{.one = one,
                     .other = other,
                     .gives = nearest->gives,
                     .as = nearest->one + " with " + nearest->other,
                     .level = nearest->level,
                     .source = nearest->source,
                     .trust = nearest->trust};
}

bool is_same(const BenchThing& one, const BenchThing& other) {
    return one.what == other.what && one.id == other.id && one.name == other.name;
}

template <class Counts>
std::vector<std::string> stops_of(const BenchList& list, const Counts& counts) {
    std::vector<std::string> stops;
    if (!list.fault.empty()) {
        stops.push_back(list.fault);
    }
    for (const BenchPair& pair : list.pairs) {
        if (pair.level == CheckLevel::stop && counts(pair)) {
            stops.push_back(pair.words());
        }
    }
    return stops;
}

// The stops among these that are not in the book since the two stand together, in a change of their own.
Result<Outcome> enter_stops(Studio& studio, const std::vector<BenchPair>& pairs, Outcome outcome) {
    std::vector<NearMiss> fresh;
    for (const BenchPair& pair : pairs) {
        if (pair.level != CheckLevel::stop) {
            continue;
        }
        // By the names of the two: what is read on a sheet meanwhile makes no second entry.
        const std::string head = kTogether + pair.head();
        const auto entered = store::list<NearMiss>(
            studio.log(), "WHERE kind = 'stop' AND substr(words, 1, length(?1)) = ?1 AND at_utc_ms >= ?2 LIMIT 1",
            {head, std::max(pair.one.since, pair.other.since).utc_ms});
        if (entered.empty()) {
            NearMiss miss;
            miss.kind = NearMissKind::stop;
            miss.words = kTogether + pair.words() + " " + pair.from();
            miss.bath_id =
                pair.other.what == BenchThing::What::bath ? std::optional(Id<Bath>{pair.other.id}) : std::nullopt;
            fresh.push_back(std::move(miss));
        }
    }
    if (fresh.empty()) {
        return outcome;
    }
    return studio.write("stop on the bench", [&]() -> Result<Outcome> {
        const std::optional<Person> who = studio.at_bench();
        for (NearMiss& miss : fresh) {
            miss.at = miss.made_at = studio.now();
            miss.id = studio.ids().next<NearMiss>(miss.made_at);
            miss.number = next_near_miss(studio);
            miss.who = who ? std::optional(who->id) : std::nullopt;
            store::insert(studio.log(), miss);
            outcome.made["near_miss"] = miss.id.text;
        }
        return outcome;
    });
}

}  // namespace

FinishKind counts_as(Studio& studio, const Chemical& chemical) {
    FinishKind kind = studio.finish_kind(chemical.finish_kind);
    if (!chemical.read_at) {
        std::erase(kind.families, "inert");
        if (!in_family(kind, "acid")) {
            kind.families.emplace_back("acid");
        }
        kind.key = "unknown";
    }
    return kind;
}

std::string counts_as_words(Studio& studio, const Chemical& chemical) {
    const FinishKind& kind = studio.finish_kind(chemical.finish_kind);
    if (chemical.read_at) {
        return kind.name;
    }
    return kind.key == "unknown" || in_family(kind, "acid") ? "acid: its sheet is not read"
                                                            : "acid and " + kind.name + ": its sheet is not read";
}

std::string BenchThing::words() const {
    return what == What::chemical ? name : fmt::format("{} ({})", name, kind.name);
}

std::string BenchPair::head() const {
    return fmt::format("{} and {} must never meet", one.words(), other.words());
}

std::string BenchPair::words() const {
    std::string words = fmt::format("{}: {}.", head(), gives);
    for (const BenchThing* thing : {&one, &other}) {
        if (thing->unread) {
            words += fmt::format(" The sheet of {} is not read: until then it counts as acid.", thing->name);
        }
    }
    return words;
}

std::string BenchPair::from() const {
    return fmt::format("{} ({}; {})", as, source, trust);
}

BenchThing bath_begins(Studio& studio, const Bath& bath) {
    return thing_of(studio, bath);
}

BenchThing coating_begins(const FinishKind& kind) {
    return {.what = BenchThing::What::coating, .id = {}, .name = "this coating", .kind = kind, .since = {}, .lot = {}};
}

BenchThing mixing_begins(const FinishKind& kind, const std::string& lot_id) {
    return {.what = BenchThing::What::mixing, .id = {}, .name = "this bath", .kind = kind, .since = {}, .lot = lot_id};
}

BenchThing waste_leaves(const FinishKind& kind, const Bath* bath) {
    return {.what = BenchThing::What::waste,
            .id = bath != nullptr ? bath->id.text : std::string(),
            .name = bath != nullptr ? "waste of bath " + bath->number : std::string("this waste"),
            .kind = kind,
            .since = {},
            .lot = bath != nullptr && bath->lot_id ? bath->lot_id->text : std::string()};
}

BenchList bench_list(Studio& studio, const BenchThing* begins) {
    BenchList list{.things = things_out(studio, begins)};
    if (list.things.size() < 2) {
        return list;
    }
    const auto pairs = read_pairs(studio.options().data / "incompatibilities.csv");
    if (!pairs) {
        list.fault = "What must never meet cannot be told: " + pairs.error().text();
        return list;
    }
    for (std::size_t i = 0; i < list.things.size(); ++i) {
        for (std::size_t j = i + 1; j < list.things.size(); ++j) {
            if (auto pair = pair_of(*pairs, list.things[i], list.things[j])) {
                list.pairs.push_back(std::move(*pair));
            }
        }
    }
    std::ranges::stable_sort(list.pairs, {}, [](const BenchPair& pair) { return static_cast<int>(pair.level); });
    return list;
}

std::vector<std::string> bench_stops(Studio& studio, const BenchThing* begins) {
    return stops_of(bench_list(studio, begins), [](const BenchPair&) { return true; });
}

std::optional<Refusal> bench_refusal(Studio& studio, const std::string& field, const BenchThing& begins) {
    const BenchList list = bench_list(studio, &begins);
    const auto own = [&](const BenchPair& pair) { return is_same(pair.one, begins) || is_same(pair.other, begins); };
    const bool waste = begins.what == BenchThing::What::waste;
    const std::vector<std::string> stops = stops_of(list, [&](const BenchPair& pair) { return !waste || own(pair); });
    if (stops.empty()) {
        return std::nullopt;
    }
    if (begins.what != BenchThing::What::bath) {
        std::vector<BenchPair> raised = list.pairs;
        std::erase_if(raised, [&](const BenchPair& pair) { return !own(pair); });
        static_cast<void>(enter_stops(studio, raised, {}));
    }
    return Refusal{.code = "bench.never_meet",
                   .field = field,
                   .value = {},
                   .message = joined(stops, " "),
                   .remedy = fmt::format("{} Nothing {} until one of the two is put away, gone or ended in the log.", first_words(), waste ? "leaves" : "begins"),
                   .answers = {}};
}

Result<Outcome> with_bench_stops(Studio& studio, Result<Outcome> done) {
    if (!done) {
        return done;
    }
    Outcome outcome = *done;
    const BenchList list = bench_list(studio);
    for (const BenchPair& pair : list.pairs) {
        if (pair.level == CheckLevel::stop) {
            outcome.cautions.push_back("Stop: " + pair.words() + " " + first_words());
        }
    }
    return enter_stops(studio, list.pairs, std::move(outcome));
}

}  // namespace tonebath::app
