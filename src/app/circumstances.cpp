#include "app/circumstances.hpp"

#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

namespace tonebath::app {

namespace {

// Kinds of a bath; the others are the piece's.
constexpr std::string_view kWater = "water";
constexpr std::string_view kAdditives = "additives";
constexpr std::string_view kThermometer = "thermometer";

void add_word(Written& written, std::string_view kind, std::string_view word) {
    if (const std::string plain = folded(word); !plain.empty()) {
        written.emplace_back(kind, plain);
    }
}

bool of_bath(std::string_view kind) { return kind == kWater || kind == kAdditives || kind == kThermometer; }

// Each answer as last written by then: the later owners before the earlier ones, in one owner the newer before the older.
class PreparedBy {
public:
    PreparedBy(std::string surface, const Stamp& until) : surface_(std::move(surface)), until_(until) {}

    // Oldest first.
    void read(const std::vector<Preparation>& of_owner) {
        for (const Preparation& one : of_owner) {
            if (until_ < one.at) {
                break;
            }
            surface_ = one.surface.empty() ? surface_ : one.surface;
            degreased_ = one.degreased == Answer::unknown ? degreased_ : one.degreased;
            sheeted_ = one.water_sheeted == Answer::unknown ? sheeted_ : one.water_sheeted;
            pickled_ = one.pickled == Answer::unknown ? pickled_ : one.pickled;
        }
    }

    [[nodiscard]] Written written() const {
        Written all;
        add_word(all, "surface", surface_);
        for (const auto& [kind, answer] : {std::pair{"degreased:", degreased_}, std::pair{"water sheeted:", sheeted_}, std::pair{"pickled:", pickled_}}) {
            if (answer != Answer::unknown) {
                add_word(all, kind, word_of(answer));
            }
        }
        return all;
    }

private:
    std::string surface_;
    Answer degreased_ = Answer::unknown;
    Answer sheeted_ = Answer::unknown;
    Answer pickled_ = Answer::unknown;
    Stamp until_;
};

Written written_of_bath(const Bath& bath, const std::string& unchecked_thermometer) {
    Written written;
    add_word(written, kWater, bath.water_source);
    add_word(written, kAdditives, bath.additives);
    add_word(written, kThermometer, unchecked_thermometer);
    return written;
}

Counted counted_as(const Learned& learned, const Written& written) {
    Counted found;
    double square = 0.0;
    for (const auto& [kind, word] : written) {
        const auto ground = learned.factor_ground.find(kind);
        if (ground == learned.factor_ground.end() || ground->second == word) {
            continue;  // nothing to hold it against, or as most records are
        }
        const std::string name = fmt::format("{} {}", kind, word);
        const auto level = std::ranges::find_if(learned.factors, [&](const FactorLevel& one) { return one.kind == kind && one.word == word; });
        if (level == learned.factors.end()) {
            const double sd = of_bath(kind) ? learned.priors.water_log_sd : learned.priors.surface_log_sd;
            square += sd * sd;
            found.cautions.push_back(fmt::format("No record yet of {}: taken as {}, and the range is wider for it.", name, ground->second));
            continue;
        }
        const auto index = static_cast<std::size_t>(level - learned.factors.begin());
        found.levels.push_back(index);
        // A longer time is the other way round than a greater speed.
        const double log_time = -science::mixture_mean(factor_belief(learned, index));
        const double percent = 100.0 * std::expm1(std::abs(log_time));
        found.words.push_back(percent < 0.5 ? fmt::format("{}, no slower or faster than {} ({})", name, level->against, counted(level->records, "record", "records"))
                                            : fmt::format("{}, {} % {} than {} ({})", name, fixed_text(percent, 0), log_time > 0.0 ? "longer" : "shorter", level->against,
                                                          counted(level->records, "record", "records")));
    }
    found.untried_log_sd = std::sqrt(square);
    return found;
}

// The parts of this metal of one piece, or of all pieces of a batch.
std::vector<Part> parts_of_metal(Studio& studio, const Subject& subject, const std::optional<Id<Metal>>& metal) {
    std::vector<Part> parts;
    if (subject.batch) {
        parts = store::list<Part>(studio.log(), "WHERE piece_id IN (SELECT id FROM piece WHERE batch_id = ?1) ORDER BY id", {subject.batch->text});
    } else if (subject.piece) {
        parts = store::list<Part>(studio.log(), "WHERE piece_id = ?1 ORDER BY id", {subject.piece->text});
    }
    std::erase_if(parts, [&](const Part& part) { return metal && part.metal_id != metal; });
    return parts;
}

// The owners whose preparations count, as the fit takes them.
SubjectOwners owners_of(Studio& studio, const Subject& subject, const std::optional<Id<Metal>>& metal) {
    SubjectOwners owners{.strip = subject.strip ? subject.strip->text : "", .part = subject.part ? subject.part->text : "",
                         .piece = subject.of_piece ? subject.of_piece->text : "", .batch = subject.batch ? subject.batch->text : "", .surface = subject.surface};
    const std::vector<Part> parts = parts_of_metal(studio, subject, metal);
    if (!parts.empty() && std::ranges::all_of(parts, [&](const Part& part) { return part.surface == parts.front().surface; })) {
        owners.surface = parts.front().surface;
    }
    if (subject.piece && !parts.empty()) {
        owners.part = parts.back().id.text;
    }
    if (const auto piece = subject.of_piece ? store::find(studio.log(), *subject.of_piece) : std::nullopt; piece && piece->batch_id) {
        owners.batch = piece->batch_id->text;
    }
    return owners;
}

}  // namespace

Counted count_preparation(Studio& studio, const Learned& learned, const Subject& subject, const std::optional<Id<Metal>>& metal, const Stamp& until) {
    const SubjectOwners owners = owners_of(studio, subject, metal);
    PreparedBy prepared(owners.surface, until);
    for (const auto& [column, owner] : std::array<std::pair<const char*, const std::string&>, 4>{
             {{"batch_id", owners.batch}, {"piece_id", owners.piece}, {"part_id", owners.part}, {"strip_id", owners.strip}}}) {
        if (!owner.empty()) {
            prepared.read(store::list<Preparation>(studio.log(), fmt::format("WHERE {} = ?1 ORDER BY at_utc_ms, id", column), {owner}));
        }
    }
    return counted_as(learned, prepared.written());
}

Counted count_bath(Studio& studio, const Learned& learned, const Bath& bath) {
    std::string number;
    for (const Reading& reading : store::list<Reading>(studio.log(), "WHERE bath_id = ?1 AND thermometer_id IS NOT NULL ORDER BY at_utc_ms, id", {bath.id.text})) {
        if (number.empty() && store::list<ThermometerCheck>(studio.log(), "WHERE thermometer_id = ?1 LIMIT 1", {reading.thermometer_id->text}).empty()) {
            const auto thermometer = store::find(studio.log(), *reading.thermometer_id);
            number = thermometer ? thermometer->number : std::string();
        }
    }
    return counted_as(learned, written_of_bath(bath, number));
}

Circumstances::Circumstances(store::Log& log) {
    for (Preparation& one : store::list<Preparation>(log, "ORDER BY at_utc_ms, id")) {
        const std::string owner = one.strip_id ? one.strip_id->text : one.part_id ? one.part_id->text : one.piece_id ? one.piece_id->text : one.batch_id->text;
        prepared_[owner].push_back(std::move(one));
    }
    for (const Strip& strip : store::list<Strip>(log)) {
        strip_surface_[strip.id.text] = strip.surface;
    }
    std::set<std::string> checked;
    for (const ThermometerCheck& check : store::list<ThermometerCheck>(log)) {
        checked.insert(check.thermometer_id.text);
    }
    std::map<std::string, std::string> numbers;
    for (const Thermometer& thermometer : store::list<Thermometer>(log)) {
        numbers[thermometer.id.text] = thermometer.number;
    }
    for (const Reading& reading : store::list<Reading>(log, "WHERE thermometer_id IS NOT NULL ORDER BY at_utc_ms, id")) {
        if (!checked.contains(reading.thermometer_id->text)) {
            thermometer_of_bath_.emplace(reading.bath_id.text, numbers[reading.thermometer_id->text]);
        }
    }
}

void Circumstances::read_bath(const Bath& bath) {
    const auto found = thermometer_of_bath_.find(bath.id.text);
    baths_.push_back(written_of_bath(bath, found == thermometer_of_bath_.end() ? std::string() : found->second));
}

void Circumstances::read_subject(const Judgement& judgement, const SubjectOwners& owners) {
    const auto strip = strip_surface_.find(owners.strip);
    PreparedBy prepared(strip == strip_surface_.end() ? owners.surface : strip->second, judgement.at);
    for (const std::string& owner : {owners.batch, owners.piece, owners.part, owners.strip}) {
        if (const auto found = prepared_.find(owner); !owner.empty() && found != prepared_.end()) {
            prepared.read(found->second);
        }
    }
    subjects_.push_back(prepared.written());
}

void Circumstances::settle(Learned& learned, const science::TonePriors& priors) const {
    // What holds for each record: its own and that of its last bath.
    std::map<std::string, std::map<std::string, std::size_t>> count;
    for (std::size_t i = 0; i < subjects_.size(); ++i) {
        for (const auto& [kind, word] : subjects_[i]) {
            ++count[kind][word];
        }
        for (const auto& [kind, word] : baths_[learned.records[i].bath]) {
            ++count[kind][word];
        }
    }
    std::map<std::pair<std::string, std::string>, std::size_t> level;
    for (const auto& [kind, words] : count) {
        const auto commonest = std::ranges::max_element(words, {}, [](const auto& entry) { return entry.second; });
        learned.factor_ground[kind] = commonest->first;
        for (const auto& [word, records] : words) {
            if (word != commonest->first) {
                level[{kind, word}] = learned.factors.size();
                learned.factors.push_back({.kind = kind, .word = word, .against = commonest->first, .records = records});
                learned.input.factor_sd.push_back(of_bath(kind) ? priors.water_log_sd : priors.surface_log_sd);
            }
        }
    }
    const auto levels_of = [&](const Written& written) {
        std::vector<std::size_t> levels;
        for (const auto& one : written) {
            if (const auto found = level.find(one); found != level.end()) {
                levels.push_back(found->second);
            }
        }
        return levels;
    };
    for (std::size_t i = 0; i < subjects_.size(); ++i) {
        learned.input.subjects[i].factors = levels_of(subjects_[i]);
    }
    for (std::size_t i = 0; i < baths_.size(); ++i) {
        learned.input.baths[i].factors = levels_of(baths_[i]);
    }
}

}  // namespace tonebath::app
