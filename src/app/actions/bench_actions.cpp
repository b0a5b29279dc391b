// Laying out the bench: which bath, what waits for it, and the tone aimed at.
#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/bench.hpp"
#include "app/facts.hpp"
#include "app/stones.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

Refusal too_many(std::size_t lanes) {
    return {.code = "bench.too_many",
            .field = "Pieces",
            .value = std::to_string(lanes),
            .message = fmt::format("the bench has {} lanes.", kMostLanes),
            .remedy = "Lay out the first rack, and the rest after it.",
            .answers = {}};
}

// A batch stands for those of its pieces that were not dipped yet.
std::vector<Subject> pieces_waiting(Studio& studio, const Id<Batch>& batch) {
    std::vector<Subject> waiting;
    for (const Piece& piece : store::list<Piece>(
             studio.log(), "WHERE batch_id = ?1 AND sold_utc_ms IS NULL ORDER BY rack, number", {batch.text})) {
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
    const auto bath = layout.bath_id ? store::find(studio.log(), *layout.bath_id) : std::nullopt;
    std::vector<std::string> names, cautions;
    for (const Subject& lane : layout.lanes) {
        names.push_back(lane.name);
        for (const std::string& words : bath && lane.of_piece ? tender_stones(studio, *lane.of_piece, bath->finish_kind) : std::vector<std::string>()) {
            cautions.push_back(lane.name + ": " + words);
        }
    }
    return Outcome{.said = names.empty() ? "The bench is empty." : "Laid out: " + joined(names, ", ") + ".",
                   .cautions = cautions,
                   .made = {}};
}

// A strip of its own number, laid out alone: "dip a strip" in one step.
Result<Outcome> lay_out_strip(Studio& studio, const Form& form) {
    Reader in(studio, form);
    BenchLayout layout = bench_layout(studio);
    const auto bath = in.id_of<Bath>("bath");
    const auto metal = in.record<Metal>("metal");
    const std::string surface = in.text("surface", Reader::kWords);
    if (in.refused()) {
        return in.refusal();
    }
    Strip strip{.id = studio.ids().next<Strip>(studio.now()),
                .number = next_number(studio, "strip"),
                .metal_id = metal->id,
                .surface = surface,
                .made_at = studio.now()};
    if (bath) {
        layout.bath_id = bath;
    }
    layout.lanes = {subject_of(strip)};
    layout.aim.reset();
    layout.laid_out_at = studio.now();
    if (const auto tone = in.tone("aim", layout.lanes.front())) {
        layout.aim = tone->id;
    }
    if (in.refused()) {
        return in.refusal();
    }
    const Result<Outcome> written = studio.write("write down strip " + strip.number, [&]() -> Result<Outcome> {
        store::insert(studio.log(), strip);
        return Outcome{.said = fmt::format("Strip {} of {} is laid out.", strip.number, metal->name),
                       .cautions = {},
                       .made = {{"strip", strip.id.text}}};
    });
    if (written) {
        lay_out(studio, layout);
    }
    return written;
}

Result<Outcome> set_emergency_numbers(Studio& studio, const Form& form) {
    Reader in(studio, form);
    const std::string number = in.text("emergency", Reader::kWords);
    const std::string poison = in.text("poison", Reader::kWords);
    const std::string address = in.text("address", Reader::kWords);
    if (in.refused()) {
        return in.refusal();
    }
    studio.log().set_setting("emergency_number", number);
    studio.log().set_setting("poison_line", poison);
    studio.log().set_setting("address", address);
    return Outcome{.said = "The emergency pages show your numbers.", .cautions = {}, .made = {}};
}

}  // namespace

void add_bench_actions(Actions& table) {
    const std::vector<ActionSpec> rows{
        {.id = "bench.lay-out",
         .label = "Lay out the bench",
         .help = "Which bath, what waits for it, and the tone aimed at. A batch stands for its pieces that were not "
                 "dipped yet.",
         .page = "Bench",
         .key = "L",
         .fields =
             {{.key = "bath", .label = "Bath", .kind = FieldKind::reference, .help = "its number", .refers_to = "bath"},
              {.key = "batch",
               .label = "Batch",
               .kind = FieldKind::reference,
               .help = "all of it that waits",
               .refers_to = "batch"},
              {.key = "piece",
               .label = "Pieces",
               .kind = FieldKind::reference,
               .help = "L-131..L-138",
               .refers_to = "piece",
               .repeated = true},
              {.key = "part", .label = "Part", .kind = FieldKind::text, .help = "lid, when only that part is dipped"},
              {.key = "strip",
               .label = "Strips",
               .kind = FieldKind::reference,
               .help = "their numbers",
               .refers_to = "strip",
               .repeated = true},
              {.key = "aim",
               .label = "Aim",
               .kind = FieldKind::reference,
               .help = "a word of the scale: blue",
               .refers_to = "tone"},
              {.key = "every",
               .label = "Between drops",
               .kind = FieldKind::duration,
               .help = "15 s; blank: when a hand is free"},
              {.key = "rinse", .label = "Rinse", .kind = FieldKind::duration, .help = "30 s"}},
         .carry_out = lay_out_bench},
        {.id = "strip.lay-out",
         .label = "Dip a strip",
         .help = "Writes a new strip down and lays it out at the bench, alone. Lay the pieces out again after it.",
         .page = "Bench",
         .key = "S",
         .fields = {reference("bath", "Bath", "bath", "its number"),
                    required(reference("metal", "Metal", "metal", "sterling")),
                    field("surface", "Surface", FieldKind::text, "bright, satin, matt, hammered"),
                    reference("aim", "Aim", "tone", "a word of its scale")},
         .carry_out = lay_out_strip},
        {.id = "studio.emergency-numbers",
         .label = "Your emergency numbers",
         .help = "Shown on the emergency pages, F12 from everywhere. Esc leaves it for later.",
         .page = "Today",
         .key = "",
         .fields = {field("emergency", "Emergency number", FieldKind::text),
                    field("poison", "Poison line", FieldKind::text),
                    field("address", "You are at", FieldKind::text, "as the rescuers need it")},
         .carry_out = set_emergency_numbers}};
    table.insert(table.end(), rows.begin(), rows.end());
}

}  // namespace tonebath::app
