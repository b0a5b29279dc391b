#include "app/course.hpp"
#include "app/studio.hpp"
#include "app/views/judged.hpp"
#include "app/views/pieces_view.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <map>

namespace tonebath::app {

namespace {

class Teller {
public:
    Teller(Studio& studio, const Piece& piece, const Laws& laws)
        : studio_(studio), log_(studio.log()), piece_(piece), laws_(laws),
          parts_(store::list<Part>(log_, "WHERE piece_id = ?1 ORDER BY name, id", {piece.id.text})) {}

    PieceStory tell() {
        PieceStory story{.piece = piece_};
        story.title = title();
        if (const auto order = piece_.order_id ? store::find(log_, *piece_.order_id) : std::nullopt) {
            story.order = order->number;
        }
        story.line = line();
        prepared(story);
        dipped(story);
        judged(story);
        worked(story);
        if (piece_.assembled_at) {
            story.steps.push_back({.id = piece_.id.text + "-joined", .at = *piece_.assembled_at, .what = "Parts and stones joined"});
        }
        if (piece_.sold_at) {
            story.steps.push_back({.id = piece_.id.text + "-sold", .at = *piece_.sold_at, .what = "Sold"});
        }
        std::stable_sort(story.steps.begin(), story.steps.end(),
                         [](const StoryStep& a, const StoryStep& b) { return a.at < b.at; });
        return story;
    }

private:
    std::string part_name(const std::optional<Id<Part>>& id) const {
        if (!id || parts_.size() < 2) {
            return {};
        }
        const auto found = std::find_if(parts_.begin(), parts_.end(), [&id](const Part& part) { return part.id == *id; });
        return found == parts_.end() ? std::string() : found->name + ": ";
    }

    // Records of the piece, of its parts, and of its batch where the noun has one.
    template <class Noun>
    std::vector<Noun> of_piece(bool with_batch) const {
        std::string tail = "WHERE piece_id = ?1 OR part_id IN (SELECT id FROM part WHERE piece_id = ?1)";
        std::vector<store::Bound> values{piece_.id.text};
        if (with_batch && piece_.batch_id) {
            tail += " OR batch_id = ?2";
            values.emplace_back(piece_.batch_id->text);
        }
        return store::list<Noun>(log_, tail, values);
    }

    std::string title() const {
        std::vector<std::string> metals;
        for (const Part& part : parts_) {
            const auto metal = part.metal_id ? store::find(log_, *part.metal_id) : std::nullopt;
            std::string words = metal ? metal->name : "metal not known";
            if (parts_.size() > 1 || part.name != "whole") {
                words += " " + part.name;
            }
            metals.push_back(std::move(words));
        }
        const std::string design = piece_.design.empty() ? "Piece" : piece_.design;
        return metals.empty() ? design : design + ", " + joined(metals, " and ");
    }

    std::string line() const {
        std::vector<std::string> parts;
        for (const Stone& stone : store::list<Stone>(log_, "WHERE piece_id = ?1 ORDER BY number, id", {piece_.id.text})) {
            std::string words = stone.kind;
            if (!stone.shape.empty()) {
                words += " " + stone.shape;
            }
            if (stone.size) {
                words += " " + text_of(*stone.size, studio_.units());
            }
            parts.push_back(std::move(words));
        }
        if (piece_.sold_at) {
            parts.push_back("Sold " + date_text(*piece_.sold_at));
        }
        if (piece_.batch_id) {
            if (const auto batch = store::find(log_, *piece_.batch_id)) {
                parts.push_back("Batch " + batch->number + (piece_.rack ? fmt::format(", rack {}", *piece_.rack) : ""));
            }
        }
        if (piece_.order_id) {
            if (const auto order = store::find(log_, *piece_.order_id)) {
                parts.push_back("Order " + order->number);
            }
        }
        return joined(parts, ". ");
    }

    void prepared(PieceStory& story) const {
        for (const Preparation& one : of_piece<Preparation>(true)) {
            std::vector<std::string> words;
            words.push_back(one.degreased == Answer::yes  ? "Degreased"
                            : one.degreased == Answer::no ? "Not degreased"
                                                          : "Degreasing not written down");
            if (one.water_sheeted != Answer::unknown) {
                words.push_back(one.water_sheeted == Answer::yes ? "water sheeted" : "a water break was seen");
            }
            if (one.pickled == Answer::yes) {
                words.push_back(one.rinses_after_pickle ? fmt::format("pickled, {}", counted(static_cast<std::size_t>(*one.rinses_after_pickle), "rinse", "rinses"))
                                                        : "pickled, rinses not written down");
            }
            story.steps.push_back({.id = one.id.text, .at = one.at, .what = part_name(one.part_id) + joined(words, ", "),
                                   .more = one.surface.empty() ? "" : "left " + one.surface});
        }
    }

    void dipped(PieceStory& story) {
        for (const Dip& dip : of_piece<Dip>(false)) {
            const BathHistory* history = history_of(dip.bath_id);
            StoryStep step{.id = dip.id.text, .main = true};
            step.at = dip.dropped_at ? *dip.dropped_at : dip.at_about.value_or(dip.made_at);
            std::string words = part_name(dip.part_id);
            if (!dip.in_bath && dip.dropped_at && !dip.out_at) {
                words += "In the bath now";
            } else {
                words += dip.in_bath ? "Dipped " + text_of(*dip.in_bath) : "Dipped, time not known";
            }
            const std::optional<science::DipTimes> times = history ? dip_times(*history, dip) : std::nullopt;
            if (history != nullptr && history->temp_known && times) {
                const double temp_c = history->course.temp.temp_c(0.5 * (times->in_s + times->out_s));
                words += " at " + text_of(Celsius::from_celsius(temp_c), studio_.units());
            }
            if (history != nullptr) {
                words += ", Bath " + history->bath.number + (history->lot ? ", " + history->lot->number : "");
            }
            step.what = std::move(words);
            if (const auto dose = history ? dose_of(*history, dip, laws_.of(*history)) : std::nullopt) {
                step.more = "equal to " + text_of(Seconds::from_seconds(*dose)) + " at 60 °C, fresh";
            }
            if (!dip.from_memory.empty()) {
                step.more += step.more.empty() ? "from memory" : ", from memory";
            }
            if (dip.past_work) {
                step.more += step.more.empty() ? "not timed here, no check" : "; not timed here, no check";
            }
            story.steps.push_back(std::move(step));
            for (const Rinse& rinse : store::list<Rinse>(log_, "WHERE dip_id = ?1 ORDER BY at_utc_ms, id", {dip.id.text})) {
                story.steps.push_back({.id = rinse.id.text, .at = rinse.at,
                                       .what = rinse.length ? "Rinsed " + text_of(*rinse.length) : "Rinsed, not timed"});
            }
        }
    }

    void judged(PieceStory& story) const {
        std::optional<Stamp> latest;
        for (const Judgement& one : of_piece<Judgement>(false)) {
            const auto tone = one.tone_id ? store::find(log_, *one.tone_id) : std::nullopt;
            std::string words = part_name(one.part_id) + "Judged ";
            words += one.sense == Sense::lighter_than ? "lighter than " : one.sense == Sense::gone_over ? "gone over " : "";
            words += tone ? tone->word : "by colour";
            std::vector<std::string> more;
            if (one.place != Place::whole) {
                more.emplace_back(word_of(one.place));
            }
            if (one.moment != Moment::before_relief) {
                more.emplace_back(word_of(one.moment));
            }
            if (one.l) {
                more.push_back(fmt::format("L* {}", fixed_text(*one.l, 1)));
            }
            if (!one.blotch.empty()) {
                more.push_back("blotch: " + one.blotch);
            }
            story.steps.push_back({.id = one.id.text, .at = one.at, .what = words, .more = joined(more, ", ")});
            if (tone && one.moment != Moment::after_sealing && (!latest || *latest < one.at)) {
                latest = one.at;
                story.scale = tone->scale_id.text;
                story.tone = ScalePlace{.tone = tone->position, .share = one.fraction.value_or(0.5)};
            }
        }
    }

    void worked(PieceStory& story) const {
        for (const AfterWork& one : of_piece<AfterWork>(true)) {
            std::string words = part_name(one.part_id) + std::string(word_of(one.step));
            words.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(words.front())));
            if (!one.with.empty()) {
                words += one.step == AfterStep::sealed ? " with " + one.with : ", " + one.with;
            }
            story.steps.push_back({.id = one.id.text, .at = one.at, .what = words});
        }
    }

    const BathHistory* history_of(const Id<Bath>& id) {
        auto found = histories_.find(id.text);
        if (found == histories_.end()) {
            found = histories_.emplace(id.text, bath_history(log_, id)).first;
        }
        return found->second ? &*found->second : nullptr;
    }

    Studio& studio_;
    store::Log& log_;
    const Piece& piece_;
    const Laws& laws_;
    std::vector<Part> parts_;
    std::map<std::string, std::optional<BathHistory>> histories_;
};

}  // namespace

std::optional<PieceStory> piece_story(Studio& studio, const Id<Piece>& id, const Laws& laws) {
    const auto piece = store::find(studio.log(), id);
    if (!piece) {
        return std::nullopt;
    }
    PieceStory story = Teller(studio, *piece, laws).tell();
    if (piece->batch_id) {
        if (auto spread = batch_spread(studio, *piece->batch_id)) {
            story.spread_words = spread->words;
            if (story.scale.empty()) {
                story.scale = spread->scale;
            }
            if (story.scale == spread->scale) {
                story.mates = std::move(spread->mates);
                std::erase_if(story.mates, [&piece](const BatchMate& mate) { return mate.number == piece->number; });
            }
            story.aim_word = spread->target_word;
        }
    }
    // The piece's own target goes before its batch's.
    std::optional<Target> target = piece->target_id ? store::find(studio.log(), *piece->target_id) : std::nullopt;
    if (!target && piece->batch_id) {
        const auto batch = store::find(studio.log(), *piece->batch_id);
        target = batch && batch->target_id ? store::find(studio.log(), *batch->target_id) : std::nullopt;
    }
    if (target) {
        const auto tone = store::find(studio.log(), target->tone_id);
        if (tone && (story.scale.empty() || story.scale == tone->scale_id.text)) {
            story.scale = tone->scale_id.text;
            story.aim = ScalePlace{.tone = tone->position, .share = 0.5};
            story.aim_word = tone->word;
        }
    }
    return story;
}

}  // namespace tonebath::app
