#include "app/paper/paper.hpp"

#include "app/actions/reader.hpp"
#include "app/label_number.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "app/views/baths_view.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

// The records called by what was typed, in its order; "L-131..L-138" is eight.
template <class Noun>
Result<std::vector<Noun>> called(Studio& studio, std::string_view field, const std::vector<std::string>& typed) {
    std::vector<Noun> found;
    for (const std::string& one : typed) {
        const auto numbers = numbers_of({field, one});
        if (!numbers) {
            return numbers.error();
        }
        for (const std::string& number : *numbers) {
            const auto record = resolve<Noun>(studio, field, number);
            if (!record) {
                return record.error();
            }
            found.push_back(*record);
        }
    }
    return found;
}

report::Label label_of(std::string_view noun, const std::string& number) {
    const std::string check(1, check_of(noun, number));
    return {.number = number, .check = check, .payload = fmt::format("tonebath:{}:{}+{}", noun, number, check)};
}

}  // namespace

Result<std::vector<report::Label>> bath_labels(Studio& studio, const Learned& learned,
                                              const std::vector<std::string>& numbers) {
    const auto baths = called<Bath>(studio, "Bath", numbers);
    if (!baths) {
        return baths.error();
    }
    std::vector<report::Label> labels;
    for (const Bath& bath : *baths) {
        report::Label label = label_of(Bath::kTable, bath.number);
        const FinishKind& kind = studio.finish_kind(bath.finish_kind);
        label.lines = {"Bath, " + kind.name};
        const auto portrait = bath_portrait(studio, bath.id, laws_of(learned));
        if (portrait) {
            label.lines.push_back(portrait->title);
        }
        label.lines.push_back("made up " + date_text(bath.made_up_at) + ", " + time_text(bath.made_up_at));
        if (portrait && portrait->throw_by) {
            label.lines.push_back("throw by " + date_text(*portrait->throw_by) + ", " + time_text(*portrait->throw_by));
        }
        if (!kind.never_meets.empty()) {
            label.hazard = "Never with " + kind.never_meets;
        }
        labels.push_back(std::move(label));
    }
    return labels;
}

Result<std::vector<report::Label>> piece_labels(Studio& studio, const std::vector<std::string>& numbers) {
    const auto pieces = called<Piece>(studio, "Piece", numbers);
    if (!pieces) {
        return pieces.error();
    }
    std::vector<report::Label> labels;
    for (const Piece& piece : *pieces) {
        report::Label label = label_of(Piece::kTable, piece.number);
        if (!piece.design.empty()) {
            label.lines.push_back(piece.design);
        }
        std::vector<std::string> metals;
        for (const Part& part : store::list<Part>(studio.log(), "WHERE piece_id = ?1 ORDER BY name, id", {piece.id.text})) {
            if (!part.metal_id) {
                continue;
            }
            const std::string metal = name_of(studio, *part.metal_id);
            if (std::ranges::find(metals, metal) == metals.end()) {
                metals.push_back(metal);
            }
        }
        if (!metals.empty()) {
            label.lines.push_back(joined(metals, ", "));
        }
        if (piece.batch_id) {
            label.lines.push_back("batch " + name_of(studio, *piece.batch_id));
        }
        labels.push_back(std::move(label));
    }
    return labels;
}

}  // namespace tonebath::app
