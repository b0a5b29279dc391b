#include "app/circumstances.hpp"

#include "base/text.hpp"
#include "store/record.hpp"

#include <algorithm>

namespace tonebath::app {

namespace {

// Kinds of a bath; the others are the piece's.
constexpr std::string_view kWater = "water";
constexpr std::string_view kAdditives = "additives";
constexpr std::string_view kThermometer = "thermometer";

void add_word(std::vector<std::pair<std::string, std::string>>& written, std::string_view kind, std::string_view word) {
    if (const std::string plain = folded(word); !plain.empty()) {
        written.emplace_back(kind, plain);
    }
}

bool of_bath(std::string_view kind) { return kind == kWater || kind == kAdditives || kind == kThermometer; }

}  // namespace

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
    Written written;
    add_word(written, kWater, bath.water_source);
    add_word(written, kAdditives, bath.additives);
    if (const auto found = thermometer_of_bath_.find(bath.id.text); found != thermometer_of_bath_.end()) {
        add_word(written, kThermometer, found->second);
    }
    baths_.push_back(std::move(written));
}

void Circumstances::read_subject(const Judgement& judgement, const SubjectOwners& owners) {
    // Each answer as last written before it was judged: the batch's, then the piece's, then the part's own.
    std::string surface = owners.surface;
    if (const auto strip = strip_surface_.find(owners.strip); strip != strip_surface_.end()) {
        surface = strip->second;
    }
    Answer degreased = Answer::unknown;
    Answer sheeted = Answer::unknown;
    Answer pickled = Answer::unknown;
    for (const std::string& owner : {owners.batch, owners.piece, owners.part, owners.strip}) {
        const auto found = prepared_.find(owner);
        if (owner.empty() || found == prepared_.end()) {
            continue;
        }
        for (const Preparation& one : found->second) {
            if (judgement.at < one.at) {
                break;
            }
            surface = one.surface.empty() ? surface : one.surface;
            degreased = one.degreased == Answer::unknown ? degreased : one.degreased;
            sheeted = one.water_sheeted == Answer::unknown ? sheeted : one.water_sheeted;
            pickled = one.pickled == Answer::unknown ? pickled : one.pickled;
        }
    }
    Written written;
    add_word(written, "surface", surface);
    for (const auto& [kind, answer] : {std::pair{"degreased:", degreased}, std::pair{"water sheeted:", sheeted}, std::pair{"pickled:", pickled}}) {
        if (answer != Answer::unknown) {
            add_word(written, kind, word_of(answer));
        }
    }
    subjects_.push_back(std::move(written));
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
