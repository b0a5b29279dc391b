#include "app/views/explain_view.hpp"

#include "app/explain_records.hpp"
#include "app/learned.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace tonebath::app {

namespace {

constexpr double kSame = 0.005;  // ours: log dose below which a circumstance is called the same

// What is told beside the sizes.
struct Circumstance {
    double seconds = 0.0;
    double temp_c = 0.0;
    double hours = 0.0;
};

// Of all its dips together: seconds added up, the heat as their mean by time, the hours at its first.
std::optional<Circumstance> circumstance(const Learned& learned, const std::string& what) {
    const auto found = std::ranges::find(learned.records, what, &RecordRef::what);
    if (found == learned.records.end()) {
        return std::nullopt;
    }
    const auto& dips = learned.input.subjects[static_cast<std::size_t>(found - learned.records.begin())].dips;
    Circumstance sum;
    for (const science::ToneDip& dip : dips) {
        const double seconds = dip.out_s - dip.in_s;
        sum.seconds += seconds;
        sum.temp_c += seconds * learned.input.baths[dip.bath].course.temp.temp_c(0.5 * (dip.in_s + dip.out_s));
    }
    if (sum.seconds <= 0.0) {
        return std::nullopt;
    }
    sum.temp_c /= sum.seconds;
    sum.hours = dips.front().in_s / 3600.0;
    return sum;
}

std::optional<Circumstance> mean_of(const Learned& learned, const std::vector<std::string>& all) {
    Circumstance mean;
    for (const std::string& what : all) {
        const auto one = circumstance(learned, what);
        if (!one) {
            return std::nullopt;
        }
        const auto n = static_cast<double>(all.size());
        mean.seconds += one->seconds / n;
        mean.temp_c += one->temp_c / n;
        mean.hours += one->hours / n;
    }
    return mean;
}

std::string figures_of(const std::string& name, const std::optional<Circumstance>& own, const std::optional<Circumstance>& mates, const UnitChoice& units) {
    if (!own || !mates) {
        return {};
    }
    const auto pair = [](const std::string& a, const std::string& b) { return fmt::format("{}, mates {}", a, b); };
    if (name == part_words(science::DosePart::heat)) {
        return pair(text_of(Celsius::from_celsius(own->temp_c), units), text_of(Celsius::from_celsius(mates->temp_c), units));
    }
    if (name == part_words(science::DosePart::time_in_bath)) {
        return pair(text_of(Seconds::from_seconds(own->seconds)), text_of(Seconds::from_seconds(mates->seconds)));
    }
    if (name == part_words(science::DosePart::fade)) {
        return pair(fixed_text(own->hours, 1) + " h", fixed_text(mates->hours, 1) + " h");
    }
    return {};
}

// The sentence above the bars; names no cause that the answer does not.
std::string seen_words(const WhyAnswer& answer) {
    std::string words = (answer.one_sided ? "At least " : "It is ") + off_words(answer.seen_tones) + " than they are";
    if (answer.nothing_recorded_explains) {
        return words + (answer.also_differs.empty() ? ". Nothing recorded explains this." : ". Nothing recorded that can be sized explains this.");
    }
    std::vector<std::string> named;
    for (const WhyRow& row : answer.rows) {
        if (row.named) {
            named.push_back(row.name);
        }
    }
    return words + (named.empty() ? ", and what is recorded does not make half of it; luck may." : ", mostly by " + joined(named, " and ") + ".");
}

WhyPart part_of(const Learned& learned, const WhyAnswer& answer, const UnitChoice& units) {
    const std::string own_name = answer.part.empty() ? "it" : "the " + answer.part;
    WhyPart part{.note = fmt::format("against {} of batch {}", counted(answer.mates, "mate", "mates"), answer.batch), .differs = answer.differs,
                 .seen_tones = answer.seen_tones, .left = answer.unexplained_tones, .left_low = answer.unexplained_low, .left_high = answer.unexplained_high};
    if (answer.differs) {
        part.head = fmt::format("Why is {} {} than its batch?", own_name, answer.seen_tones < 0.0 ? "lighter" : "further");
        part.words = seen_words(answer);
        const auto own = circumstance(learned, answer.what);
        const auto mates = mean_of(learned, answer.mate_records);
        std::vector<std::string> same;
        for (const WhyRow& row : answer.rows) {
            if (std::abs(row.log_dose) < kSame) {
                same.push_back(row.name);
                continue;
            }
            part.causes.push_back({.name = row.name, .figures = figures_of(row.name, own, mates, units), .dose = dose_words(std::exp(row.log_dose)),
                                   .tones = row.tones, .named = row.named});
            part.widest = std::max(part.widest, std::abs(row.tones));
        }
        part.same = same.empty() ? "" : "The same for all: " + joined(same, ", ") + ".";
        part.widest = std::max({part.widest, std::abs(part.left_low), std::abs(part.left_high)});
        const auto signed_text = [](double tones) { return (tones < -0.05 ? "−" : "") + fixed_text(std::abs(tones), 1); };
        part.left_words = fmt::format("{} to {} tones", signed_text(part.left_low), signed_text(part.left_high));
    } else {
        part.head = fmt::format("{} is as its batch", answer.part.empty() ? answer.piece : "The " + answer.part);
        part.words = "What little differs is within scatter and reading: no cause is named.";
    }
    for (const std::string& one : answer.doubtful) {
        part.beside.push_back("Ask first: " + one + ".");
    }
    if (!answer.also_differs.empty()) {
        part.beside.push_back("Also different, without a size: " + joined(answer.also_differs, "; ") + ".");
    }
    if (!answer.not_written.empty()) {
        part.beside.push_back("Not written down, so not counted as equal: " + joined(answer.not_written, "; ") + ".");
    }
    return part;
}

}  // namespace

std::string dose_words(double times) { return fixed_text(times, 2) + (times < 1.0 ? " of the dose" : " times the dose"); }

std::string off_words(double tones) {
    const double size = std::abs(tones);
    return fmt::format("{} {} {}", fixed_text(size, 1), size < 0.95 ? "of a tone" : size < 1.05 ? "tone" : "tones", tones < 0.0 ? "lighter" : "further");
}

WhyView why_view(Studio& studio, const Learned& learned, const Id<Piece>& piece) {
    WhyView view;
    for (const WhyAnswer& answer : why_different(studio, learned, piece)) {
        view.parts.push_back(part_of(learned, answer, studio.units()));
    }
    std::stable_sort(view.parts.begin(), view.parts.end(), [](const WhyPart& a, const WhyPart& b) { return a.differs && !b.differs; });
    if (view.parts.empty()) {
        view.none = "It cannot be compared yet: that takes its own tone and dips, and two judged mates of its batch. Judge it and its mates, or put it into its batch.";
    }
    return view;
}

}  // namespace tonebath::app
