#include "app/learning_input.hpp"

#include "app/circumstances.hpp"
#include "app/studio.hpp"
#include "science/silver_ladder.hpp"
#include "store/record.hpp"

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

// Past blue no film thickness is published for the words; each next border is taken a quarter thicker (our assumption,
// inside the prior's own doubt of a factor of two).
constexpr double kDarkerStep = 1.25;

science::Agitation agitation_of(const std::optional<Agitation>& dip, const std::optional<Agitation>& bath) {
    switch (dip.value_or(bath.value_or(Agitation::gentle))) {
        case Agitation::still:
            return science::Agitation::still;
        case Agitation::gentle:
            return science::Agitation::gentle;
        case Agitation::brisk:
            return science::Agitation::brisk;
    }
    return science::Agitation::gentle;
}

class InputReader {
public:
    InputReader(Studio& studio, Learned& learned) : studio_(studio), log_(studio.log()), learned_(learned) {}

    void read() {
        learned_.usual = usual_figures(studio_);
        learned_.priors = priors_.tone;
        read_scales();
        read_baths();
        read_dips();
        read_judgements();
        circumstances_.settle(learned_, priors_.tone);
    }

private:
    void read_scales() {
        std::map<std::string, FilmConstants> film;
        for (const Metal& metal : store::list<Metal>(log_)) {
            film[metal.id.text] = metal.film;
        }
        for (const Tone& tone : store::list<Tone>(log_, "ORDER BY scale_id, position")) {
            tones_[tone.scale_id.text].push_back(tone);
            tone_by_id_.emplace(tone.id.text, tone);
        }
        for (const ToneScale& scale : store::list<ToneScale>(log_, "ORDER BY made_utc_ms, id")) {
            const std::vector<Tone>& tones = tones_[scale.id.text];
            if (tones.size() < 2) {
                continue;
            }
            metal_of_scale_[scale.id.text] = scale.metal_id.text;
            std::vector<std::string> words;
            for (const Tone& tone : tones) {
                words.push_back(tone.word);
            }
            const std::vector<double> borders = film[scale.metal_id.text] == FilmConstants::silver ? silver_borders_nm(words) : std::vector<double>{};
            learned_.scale_has_film[scale.id.text] = !borders.empty();
            learned_.scale_index[scale.id.text] = learned_.input.scales.size();
            learned_.input.scales.push_back(borders.empty() ? science::unknown_scale_prior(tones.size() - 1, priors_.words) : science::film_scale_prior(borders, priors_.film));
        }
    }

    std::size_t lot_of(const std::optional<Id<Lot>>& lot) {
        const auto [found, fresh] = learned_.lot_index.emplace(lot ? lot->text : std::string(), learned_.lot_index.size());
        return found->second;
    }

    void read_baths() {
        std::map<std::string, science::VesselConstant> constants;
        for (const Bath& bath : store::list<Bath>(log_, "ORDER BY made_up_utc_ms, id")) {
            if (!studio_.finish_kind(bath.finish_kind).dose) {
                continue;
            }
            const std::string vessel = bath.vessel_id ? bath.vessel_id->text : std::string();
            auto constant = constants.find(vessel);
            if (constant == constants.end()) {
                const auto record = bath.vessel_id ? store::find(log_, *bath.vessel_id) : std::nullopt;
                constant = constants.emplace(vessel, vessel_constant(log_, record)).first;
            }
            auto history = bath_history(log_, bath.id, &constant->second);
            if (!history || !history->temp_known) {
                continue;
            }
            LearnedBath one{.history = std::move(*history)};
            one.lot_number = one.history.lot ? one.history.lot->number : std::string();
            one.lot = lot_of(bath.lot_id);
            one.history.course.agitation = 1.0;  // agitation is given dip by dip
            learned_.bath_index[bath.id.text] = learned_.baths.size();
            learned_.input.baths.push_back({.course = one.history.course, .lot = one.lot,
                                            .place = stands_covered(one.history) ? science::FadePlace::covered : science::FadePlace::open_hot});
            circumstances_.read_bath(one.history.bath);
            learned_.baths.push_back(std::move(one));
        }
        learned_.input.lots = std::max<std::size_t>(1, learned_.lot_index.size());
    }

    void read_dips() {
        for (const Piece& piece : store::list<Piece>(log_)) {
            pieces_.emplace(piece.id.text, piece);
        }
        for (const Part& part : store::list<Part>(log_, "ORDER BY id")) {
            parts_of_[part.piece_id.text].push_back(part);
            part_by_id_.emplace(part.id.text, part);
        }
        for (const Strip& strip : store::list<Strip>(log_)) {
            strip_numbers_.emplace(strip.id.text, strip.number);
        }
        for (Dip& dip : store::list<Dip>(log_, "ORDER BY COALESCE(dropped_utc_ms, at_about_utc_ms, made_utc_ms), id")) {
            const std::string key = dip.strip_id ? dip.strip_id->text : dip.part_id ? dip.part_id->text : dip.piece_id->text;
            dips_[key].push_back(std::move(dip));
        }
    }

    // One subject a thing and scale: the last judgement before relief speaks; a dip after it does not count.
    void read_judgements() {
        std::map<std::pair<std::string, std::string>, Judgement> last;
        for (Judgement& one : store::list<Judgement>(log_, "WHERE tone_id IS NOT NULL AND moment = 'before relief' AND blotch = '' ORDER BY at_utc_ms, id")) {
            const auto tone = tone_by_id_.find(one.tone_id->text);
            const std::string key = one.strip_id ? one.strip_id->text : one.part_id ? one.part_id->text : one.piece_id->text;
            if (tone != tone_by_id_.end() && learned_.scale_index.contains(tone->second.scale_id.text)) {
                last.insert_or_assign({key, tone->second.scale_id.text}, std::move(one));
            }
        }
        for (const auto& [key, judgement] : last) {
            add_subject(judgement, tone_by_id_.at(judgement.tone_id->text));
        }
    }

    // When a part was joined to its piece: its own date, else the piece's.
    std::optional<Stamp> joined_at(const Part& part, const std::string& piece) const {
        if (part.assembled_at) {
            return part.assembled_at;
        }
        const auto owner = pieces_.find(piece);
        return owner == pieces_.end() ? std::nullopt : owner->second.assembled_at;
    }

    // The part that was judged; of a piece judged as one, its part of this scale's metal.
    std::optional<Part> judged_part(const Judgement& judgement, const std::string& scale) const {
        if (judgement.part_id) {
            const auto found = part_by_id_.find(judgement.part_id->text);
            return found == part_by_id_.end() ? std::nullopt : std::optional<Part>(found->second);
        }
        std::optional<Part> part;
        const auto found = judgement.piece_id ? parts_of_.find(judgement.piece_id->text) : parts_of_.end();
        for (const Part& one : found == parts_of_.end() ? std::vector<Part>{} : found->second) {
            if (one.metal_id && one.metal_id->text == metal_of_scale_.at(scale)) {
                part = one;
            }
        }
        return part;
    }

    // Dips that wetted the judged surface, by the time it was judged.
    std::vector<Dip> dips_before(const Judgement& judgement, const std::string& scale) const {
        std::vector<Dip> dips;
        const auto take = [&](const std::string& key, const std::optional<Stamp>& from) {
            const auto found = dips_.find(key);
            if (found == dips_.end()) {
                return;
            }
            for (const Dip& dip : found->second) {
                const Stamp when = dip.dropped_at ? *dip.dropped_at : dip.at_about.value_or(dip.made_at);
                if (when <= judgement.at && (!from || *from <= when)) {
                    dips.push_back(dip);
                }
            }
        };
        if (judgement.strip_id) {
            take(judgement.strip_id->text, std::nullopt);
            return dips;
        }
        const std::optional<Part> part = judged_part(judgement, scale);
        const std::string piece = part ? part->piece_id.text : judgement.piece_id ? judgement.piece_id->text : std::string();
        if (part) {
            take(part->id.text, std::nullopt);
        }
        take(piece, part ? joined_at(*part, piece) : std::nullopt);
        return dips;
    }

    SubjectOwners part_and_batch(const Judgement& judgement, const std::string& scale) const {
        SubjectOwners owners;
        if (judgement.strip_id) {
            owners.strip = judgement.strip_id->text;
            return owners;
        }
        const std::optional<Part> part = judged_part(judgement, scale);
        if (part) {
            owners.part = part->id.text;
            owners.surface = part->surface;
        }
        owners.piece = judgement.piece_id ? judgement.piece_id->text : part ? part->piece_id.text : "";
        if (const auto piece = pieces_.find(owners.piece); piece != pieces_.end() && piece->second.batch_id) {
            owners.batch = piece->second.batch_id->text;
        }
        return owners;
    }

    std::string name_of_subject(const Judgement& judgement) const {
        if (judgement.strip_id) {
            const auto found = strip_numbers_.find(judgement.strip_id->text);
            return "strip " + (found == strip_numbers_.end() ? std::string("?") : found->second);
        }
        if (judgement.part_id) {
            const auto part = part_by_id_.find(judgement.part_id->text);
            const auto owner = part == part_by_id_.end() ? pieces_.end() : pieces_.find(part->second.piece_id.text);
            return owner == pieces_.end() ? "?" : owner->second.number + " " + part->second.name;
        }
        const auto piece = judgement.piece_id ? pieces_.find(judgement.piece_id->text) : pieces_.end();
        return piece == pieces_.end() ? std::string("?") : piece->second.number;
    }

    void add_subject(const Judgement& judgement, const Tone& tone) {
        science::ToneSubject subject{.scale = learned_.scale_index.at(tone.scale_id.text)};
        RecordRef ref{.what = name_of_subject(judgement), .scale = tone.scale_id.text, .tone = tone.position, .strip = judgement.strip_id.has_value(), .judged_at = judgement.at};
        bool watched = false;
        for (const Dip& dip : dips_before(judgement, tone.scale_id.text)) {
            const auto bath = learned_.bath_index.find(dip.bath_id.text);
            if (bath == learned_.bath_index.end()) {
                return;  // a dip that cannot be turned into dose: the whole exposure is not known
            }
            const BathHistory& history = learned_.baths[bath->second].history;
            const auto times = dip_times(history, dip);
            if (!times) {
                return;
            }
            subject.dips.push_back({.bath = bath->second, .in_s = times->in_s, .out_s = times->out_s,
                                    .agitation = agitation_of(dip.agitation, history.bath.agitation)});
            ref.bath = bath->second;
            ref.seconds += times->out_s - times->in_s;
            ref.in_s = times->in_s;
            ref.out_s = times->out_s;
            watched = dip.watched;
        }
        if (subject.dips.empty()) {
            return;
        }
        const std::size_t thresholds = learned_.input.scales[subject.scale].tones();
        say(judgement, tone, watched, thresholds, subject, ref);
        circumstances_.read_subject(judgement, part_and_batch(judgement, tone.scale_id.text));
        learned_.input.subjects.push_back(std::move(subject));
        learned_.records.push_back(std::move(ref));
    }

    // Threshold j is where the tone at position j + 1 begins.
    static void say(const Judgement& judgement, const Tone& tone, bool watched, std::size_t thresholds, science::ToneSubject& subject, RecordRef& ref) {
        const auto position = static_cast<std::size_t>(tone.position);
        if (position == 0) {
            // Still bare, or lighter than bare: the first tone was not reached. Gone over bare: it was.
            subject.says = judgement.sense == Sense::gone_over ? science::ToneSays::judged : science::ToneSays::lighter_than;
            subject.tone = 0;
            ref.kind = RecordKind::lighter;
            return;
        }
        subject.tone = std::min(position - 1, thresholds - 1);
        if (judgement.sense == Sense::lighter_than) {
            subject.says = science::ToneSays::lighter_than;
            ref.kind = RecordKind::lighter;
        } else if (judgement.sense == Sense::gone_over) {
            subject.says = science::ToneSays::gone_over;
            ref.kind = RecordKind::over;
        } else if (watched) {
            subject.says = science::ToneSays::watched;
            ref.kind = RecordKind::watched;
        } else if (position == thresholds) {
            subject.says = science::ToneSays::at_ceiling;
            ref.kind = RecordKind::ceiling;
        } else {
            subject.says = science::ToneSays::judged;
            ref.kind = RecordKind::judged;
        }
    }

    Studio& studio_;
    store::Log& log_;
    Learned& learned_;
    UsualPriors priors_ = usual_priors(studio_);
    Circumstances circumstances_{log_};
    std::map<std::string, std::vector<Tone>> tones_;        // by scale
    std::map<std::string, Tone> tone_by_id_;
    std::map<std::string, std::string> metal_of_scale_;
    std::map<std::string, Piece> pieces_;
    std::map<std::string, std::vector<Part>> parts_of_;     // by piece
    std::map<std::string, Part> part_by_id_;
    std::map<std::string, std::string> strip_numbers_;
    std::map<std::string, std::vector<Dip>> dips_;          // by strip, part or piece
};

}  // namespace

std::vector<double> silver_borders_nm(const std::vector<std::string>& words) {
    // Known thicknesses of the words; a border lies midway (in log) between two neighbours.
    std::vector<double> place(words.size(), 0.0);
    for (std::size_t i = 1; i < words.size(); ++i) {
        for (const science::SilverTone& tone : science::kSilverTones) {
            if (tone.word == words[i] && tone.film_nm && *tone.film_nm > 0.0) {
                place[i] = *tone.film_nm;
            }
        }
    }
    std::vector<double> borders;
    for (std::size_t i = 1; i < words.size(); ++i) {
        const bool here = place[i] > 0.0;
        const bool before = i > 1 && place[i - 1] > 0.0;
        if (i == 1) {
            if (!here) {
                return {};
            }
            const bool after = words.size() > 2 && place[2] > 0.0;
            borders.push_back(after ? place[1] * std::sqrt(place[1] / place[2]) : place[1] / kDarkerStep);
        } else if (here && before) {
            borders.push_back(std::sqrt(place[i - 1] * place[i]));
        } else if (before) {
            borders.push_back(place[i - 1] * std::sqrt(kDarkerStep));
        } else {
            borders.push_back(borders.back() * kDarkerStep);
        }
        if (borders.size() > 1 && borders.back() <= borders[borders.size() - 2]) {
            return {};  // the words do not stand in the order of the ladder
        }
    }
    return borders;
}

void read_input(Studio& studio, Learned& learned) { InputReader(studio, learned).read(); }

}  // namespace tonebath::app
