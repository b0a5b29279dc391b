#include "app/repeat_pattern.hpp"

#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <algorithm>
#include <set>

namespace tonebath::app {

namespace {

constexpr std::string_view kOfOrder =
    "WHERE order_id = ?1 OR batch_id IN (SELECT id FROM batch WHERE order_id = ?1) ORDER BY made_utc_ms, id";

std::vector<Piece> pieces_of(Studio& studio, const Order& order) {
    return store::list<Piece>(studio.log(), std::string(kOfOrder), {order.id.text});
}

// The first of the line: a repeat of a repeat goes back to the order that was worked out first.
Order first_of_line(Studio& studio, Order order) {
    std::set<std::string> seen{order.id.text};
    while (order.repeat_of && seen.insert(order.repeat_of->text).second) {
        auto before = store::find(studio.log(), *order.repeat_of);
        if (!before) {
            break;
        }
        order = std::move(*before);
    }
    return order;
}

std::optional<Target> target_of(Studio& studio, const std::optional<Id<Target>>& id) {
    return id ? store::find(studio.log(), *id) : std::nullopt;
}

// A piece's own target, its batch's, its orders'.
std::optional<Target> target_of(Studio& studio, const Piece& piece) {
    if (auto own = target_of(studio, piece.target_id)) {
        return own;
    }
    const auto batch = piece.batch_id ? store::find(studio.log(), *piece.batch_id) : std::nullopt;
    if (auto of_batch = batch ? target_of(studio, batch->target_id) : std::nullopt) {
        return of_batch;
    }
    const auto order_id = piece.order_id ? piece.order_id : batch ? batch->order_id : std::nullopt;
    const auto order = order_id ? store::find(studio.log(), *order_id) : std::nullopt;
    return order ? target_of(studio, order->target_id) : std::nullopt;
}

bool holds(const std::vector<Piece>& pieces, const Piece& piece) {
    return std::any_of(pieces.begin(), pieces.end(), [&](const Piece& one) { return one.id == piece.id; });
}

std::vector<Piece> newest_of_design(Studio& studio, const std::vector<Piece>& pattern) {
    if (pattern.empty() || pattern.front().design.empty()) {
        return {};
    }
    std::vector<Piece> newer;
    for (Piece& piece : store::list<Piece>(studio.log(), "WHERE design = ?1 ORDER BY made_utc_ms DESC, id DESC",
                                           {pattern.front().design})) {
        if (holds(pattern, piece) || (!newer.empty() && piece.batch_id != newer.front().batch_id)) {
            break;  // older than the pattern, or of an earlier batch
        }
        newer.push_back(std::move(piece));
    }
    return newer;
}

}  // namespace

Result<RepeatPattern> repeat_pattern(Studio& studio, const std::string& number) {
    RepeatPattern pattern;
    const auto order = resolve<Order>(studio, "Order", number);
    if (order) {
        const Order first = first_of_line(studio, *order);
        pattern.name = "order " + first.number;
        pattern.pieces = pieces_of(studio, first);
        pattern.target = target_of(studio, order->target_id);
        if (!pattern.target) {
            pattern.target = target_of(studio, first.target_id);
        }
        if (order->id != first.id) {
            pattern.newer = pieces_of(studio, *order);
        } else {
            const auto repeats = store::list<Order>(
                studio.log(), "WHERE repeat_of = ?1 ORDER BY made_utc_ms DESC, id DESC LIMIT 1", {first.id.text});
            pattern.newer = repeats.empty() ? std::vector<Piece>{} : pieces_of(studio, repeats.front());
        }
    } else {
        const auto piece = resolve<Piece>(studio, "Piece", number);
        if (!piece) {
            Refusal neither = order.error();
            neither.code = "repeat.unknown";
            neither.field = "Order or piece";
            neither.value = shown(number);
            neither.message = "no order and no piece has this number.";
            neither.remedy = "Look it up with find, or write the order down first.";
            neither.answers.insert(neither.answers.end(), piece.error().answers.begin(), piece.error().answers.end());
            return neither;
        }
        pattern.name = piece->number;
        pattern.pieces = {*piece};
    }
    if (!pattern.target && !pattern.pieces.empty()) {
        pattern.target = target_of(studio, pattern.pieces.front());
    }
    if (pattern.newer.empty()) {
        pattern.newer = newest_of_design(studio, pattern.pieces);
    }
    return pattern;
}

std::vector<Part> parts_of(Studio& studio, const Piece& piece) {
    return store::list<Part>(studio.log(), "WHERE piece_id = ?1 ORDER BY name, id", {piece.id.text});
}

std::vector<Subject> on_scale(Studio& studio, const Piece& piece, const Id<ToneScale>& scale) {
    std::vector<Subject> subjects;
    for (const Part& part : parts_of(studio, piece)) {
        const auto own = part.metal_id ? scale_for(studio, *part.metal_id, part.surface) : std::nullopt;
        if (own && own->id == scale) {
            subjects.push_back(subject_of(studio, part));
        }
    }
    if (subjects.empty()) {
        subjects.push_back(subject_of(studio, piece));
    }
    return subjects;
}

std::vector<std::vector<Dip>> dips_on_scale(Studio& studio, const std::vector<Piece>& pieces,
                                            const Id<ToneScale>& scale) {
    std::vector<std::vector<Dip>> all;
    for (const Piece& piece : pieces) {
        // Two parts of one metal go through the same bath together: the first speaks for the piece.
        all.push_back(dips_of(studio, on_scale(studio, piece, scale).front()));
    }
    return all;
}

}  // namespace tonebath::app
