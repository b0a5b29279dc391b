#include "app/two_metals.hpp"

#include "app/circumstances.hpp"
#include "app/csv_file.hpp"
#include "app/learned.hpp"
#include "app/plan_course.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "app/tone_span.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "science/promise_record.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace tonebath::app {

namespace {

Result<std::vector<MetalReport>> read_reports(const std::filesystem::path& file) {
    const auto rows = rows_under(file, "metal,report,source,trust");
    if (!rows) {
        return rows.error();
    }
    std::vector<MetalReport> reports;
    for (const CsvRecord& row : *rows) {
        reports.push_back({.metal = row.cells[0], .report = row.cells[1], .source = row.cells[2], .trust = row.cells[3]});
    }
    return reports;
}

class Looker {
public:
    Looker(Studio& studio, const Learned& learned, const PlanRequest& request, BathHistory history, std::vector<MetalReport> reports)
        : studio_(studio), learned_(learned), request_(request), history_(std::move(history)), reports_(std::move(reports)) {}

    PartThen look(const Part& part, double seconds) {
        PartThen then{.part = part.name};
        const auto metal = part.metal_id ? store::find(studio_.log(), *part.metal_id) : std::nullopt;
        if (!metal) {
            then.why_none = "its metal is not known";
            return then;
        }
        then.metal = metal->name;
        for (const MetalReport& one : reports_) {
            if (one.metal == metal->name || (one.metal == "plated" && !metal->base_under.empty())) {
                then.reports.push_back(one);
            }
        }
        const auto scale = scale_for(studio_, metal->id, part.surface);
        const auto index = scale ? learned_.scale_index.find(scale->id.text) : learned_.scale_index.end();
        if (index == learned_.scale_index.end()) {
            then.why_none = metal->name + " has no tone scale yet";
            return then;
        }
        history_.course.agitation = 1.0;
        science::PlanQuery query = query_for(learned_, history_, request_.agitation, request_.drop_at.value_or(studio_.now()));
        query.scale = index->second;
        const Counted counted = count_preparation(studio_, learned_, subject_of(studio_, part), metal->id, studio_.now());
        query.factors = counted.levels;
        query.untried_log_sd = counted.untried_log_sd;
        query.course = &history_.course;
        const std::vector<double> reached = science::chances_at(learned_.fit, query, seconds);
        const std::vector<Tone> tones = tones_of(studio_, scale->id);
        if (reached.empty() || tones.size() != reached.size() + 1) {
            then.why_none = "the log does not give a tone for it";
            return then;
        }
        const auto word = [&tones](double place) { return tones[std::min(static_cast<std::size_t>(place), tones.size() - 1)].word; };
        const double middle = science::place_of_chance(reached, 0.5);
        then.tone = word(middle);
        then.from = word(science::place_of_chance(reached, 0.9));
        then.to = word(science::place_of_chance(reached, 0.1));
        then.share = middle / static_cast<double>(tones.size());
        return then;
    }

    // What a plated or filled part's own metal says of the base below it.
    std::string base_words(const Part& part) const {
        const auto metal = part.metal_id ? store::find(studio_.log(), *part.metal_id) : std::nullopt;
        if (!metal || metal->base_under.empty()) {
            return {};
        }
        return metal->base_under == "unknown"
                   ? fmt::format("{}: the base under {} is not known. Where it shows, nothing can be told of its tone: dip a spare first.", part.name, metal->name)
                   : fmt::format("{}: {} over {}. Where the base shows it colours as {} does.", part.name, metal->name, metal->base_under, metal->base_under);
    }

private:
    Studio& studio_;
    const Learned& learned_;
    const PlanRequest& request_;
    BathHistory history_;
    std::vector<MetalReport> reports_;
};

std::string range_words(const PartThen& then) {
    return then.from == then.to ? then.tone : fmt::format("{} ({})", then.tone, tone_span(then.from, then.to));
}

}  // namespace

Result<TwoMetals> two_metals(Studio& studio, const Learned& learned, const Id<Piece>& piece_id, const PlanRequest& request, std::optional<double> seconds) {
    const auto piece = store::find(studio.log(), piece_id);
    auto history = bath_history(studio.log(), request.bath_id);
    if (!piece || !history || !history->temp_known) {
        return Refusal{.code = "plan.no_temperature", .field = "plan", .value = {}, .message = "no temperature of this bath is written down.",
                       .remedy = "Type a reading, and the time is told.", .answers = {}};
    }
    if (!seconds) {
        const Plan planned = plan(studio, learned, request);
        if (planned.refusal) {
            return *planned.refusal;
        }
        seconds = planned.out_s;
    }
    auto reports = read_reports(studio.options().data / "metal_reports.csv");
    if (!reports) {
        return reports.error();
    }
    TwoMetals found{.piece = piece->number, .seconds = *seconds};
    Looker looker(studio, learned, request, std::move(*history), std::move(*reports));
    std::set<std::string> metals;
    double least = 1.0;
    double most = 0.0;
    std::size_t told = 0;
    for (const Part& part : store::list<Part>(studio.log(), "WHERE piece_id = ?1 ORDER BY name, id", {piece_id.text})) {
        PartThen then = looker.look(part, *seconds);
        metals.insert(then.metal);
        if (then.share) {
            least = std::min(least, *then.share);
            most = std::max(most, *then.share);
            ++told;
        }
        if (const std::string base = looker.base_words(part); !base.empty()) {
            found.warnings.push_back(base);
        }
        if (!then.reports.empty()) {
            std::vector<std::string> words;
            for (const MetalReport& one : then.reports) {
                words.push_back(fmt::format("{} ({})", one.report, one.source));
            }
            found.warnings.push_back(fmt::format("{}, {}: {}. Others' reports, not known here: dip a strip first.", then.part, then.metal, joined(words, "; ")));
        }
        found.parts.push_back(std::move(then));
    }
    if (metals.size() > 1) {
        if (told > 1) {
            found.gap = most - least;
        }
        std::vector<std::string> words;
        for (const PartThen& then : found.parts) {
            words.push_back(then.tone.empty() ? fmt::format("the {} cannot be told: {}", then.part, then.why_none)
                                              : fmt::format("the {} ({}) is at {}", then.part, then.metal, range_words(then)));
        }
        found.warnings.insert(found.warnings.begin(), fmt::format("Two metals in one bath. After {} {}. Dip the parts apart where the tones must agree.",
                                                                  text_of(Seconds::from_seconds(*seconds)), joined(words, ", ")));
    }
    return found;
}

}  // namespace tonebath::app
