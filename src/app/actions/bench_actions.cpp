// Laying out the bench: which bath, what waits for it, and the tone aimed at.
#include "app/actions/bench_actions.hpp"

#include "app/actions/reader.hpp"
#include "app/bench.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

Refusal too_many(std::size_t lanes) {
    return {.code = "bench.too_many", .field = "Pieces", .value = std::to_string(lanes),
            .message = fmt::format("the bench has {} lanes.", kMostLanes), .remedy = "Lay out the first rack, and the rest after it.",
            .answers = {}};
}

// A batch stands for those of its pieces that were not dipped yet.
std::vector<Subject> pieces_waiting(Studio& studio, const Id<Batch>& batch) {
    std::vector<Subject> waiting;
    for (const Piece& piece : store::list<Piece>(studio.log(), "WHERE batch_id = ?1 AND sold_utc_ms IS NULL ORDER BY rack, number", {batch.text})) {
        Subject subject = subject_of(studio, piece);
        if (dips_of(studio, subject).empty()) {
            waiting.push_back(std::move(subject));
        }
    }
    return waiting;
}

Result<Outcome> lay_out_bench(Studio& studio, const Form& form) {
    Reader in(studio, form);
    BenchLayout layout = bench_layout(studio);
    if (in.given("bath")) {
        layout.bath_id = in.id_of<Bath>("bath");
    }
    const bool any_subject = in.given("strip") || in.given("piece") || in.given("part") || in.given("batch");
    if (any_subject) {
        layout.lanes.clear();
        layout.aim.reset();
        for (Subject& subject : in.subjects()) {
            if (subject.batch) {
                std::vector<Subject> waiting = pieces_waiting(studio, *subject.batch);
                if (waiting.size() > kMostLanes) {
                    waiting.resize(kMostLanes);  // the rest are laid out when these are done
                }
                layout.lanes.insert(layout.lanes.end(), waiting.begin(), waiting.end());
            } else {
                layout.lanes.push_back(std::move(subject));
            }
        }
    }
    if (in.given("aim") && !layout.lanes.empty()) {
        if (const auto tone = in.tone("aim", layout.lanes.front())) {
            layout.aim = tone->id;
        }
    }
    if (in.given("every")) {
        const auto every = in.duration("every");
        layout.every_s = every ? std::optional<double>(every->seconds()) : std::nullopt;
    }
    if (const auto rinse = in.duration("rinse")) {
        layout.rinse_s = rinse->seconds();
    }
    if (in.refused()) {
        return in.refusal();
    }
    if (layout.lanes.size() > kMostLanes) {
        return too_many(layout.lanes.size());
    }
    layout.laid_out_at = studio.now();
    lay_out(studio, layout);
    std::vector<std::string> names;
    for (const Subject& lane : layout.lanes) {
        names.push_back(lane.name);
    }
    return Outcome{.said = names.empty() ? "The bench is empty." : "Laid out: " + joined(names, ", ") + ".", .cautions = {}, .made = {}};
}

}  // namespace

std::vector<ActionSpec> bench_actions() {
    return {{.id = "bench.lay-out",
             .label = "Lay out the bench",
             .help = "Which bath, what waits for it, and the tone aimed at. A batch stands for its pieces that were not dipped yet.",
             .page = "Bench",
             .key = "L",
             .fields = {{.key = "bath", .label = "Bath", .kind = FieldKind::reference, .help = "its number", .refers_to = "bath"},
                        {.key = "batch", .label = "Batch", .kind = FieldKind::reference, .help = "all of it that waits", .refers_to = "batch"},
                        {.key = "piece", .label = "Pieces", .kind = FieldKind::reference, .help = "L-131..L-138", .refers_to = "piece", .repeated = true},
                        {.key = "part", .label = "Part", .kind = FieldKind::text, .help = "lid, when only that part is dipped"},
                        {.key = "strip", .label = "Strips", .kind = FieldKind::reference, .help = "their numbers", .refers_to = "strip", .repeated = true},
                        {.key = "aim", .label = "Aim", .kind = FieldKind::reference, .help = "a word of the scale: blue", .refers_to = "tone"},
                        {.key = "every", .label = "Between drops", .kind = FieldKind::duration, .help = "15 s; blank: when a hand is free"},
                        {.key = "rinse", .label = "Rinse", .kind = FieldKind::duration, .help = "30 s"}},
             .carry_out = lay_out_bench}};
}

}  // namespace tonebath::app
