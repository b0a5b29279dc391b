#include "app/kit.hpp"

#include "app/classes.hpp"
#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "model/rules/rule.hpp"
#include "store/log.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <utility>

namespace tonebath::app {

namespace {

// Rounded up; what floating point adds to a whole number is no more.
std::size_t with_spare(double per_seat, int seats, double spare_percent) {
    return static_cast<std::size_t>(std::ceil(per_seat * seats * (1.0 + spare_percent / 100.0) - 1e-9));
}

class KitMaker {
public:
    KitMaker(Studio& studio, Kit kit) : log_(studio.log()), kit_(std::move(kit)) {}

    Kit made(const std::vector<std::pair<std::string, double>>& typed) {
        of_design();
        // Ours: what everybody wears, and the strips that come before the piece.
        add("pair of nitrile gloves", 1.0, "everybody");
        add("eye protection", 1.0, "everybody");
        add("test strip of that metal", 2.0, "everybody");
        for (const auto& [item, many] : typed) {
            add(item, many, "typed");
        }
        return std::move(kit_);
    }

private:
    void add(std::string item, double per_seat, std::string from) {
        kit_.lines.push_back({.item = std::move(item), .per_seat = per_seat, .total = with_spare(per_seat, kit_.seats, kit_.spare_percent), .from = std::move(from)});
    }

    // As the last piece of this design is made up: its parts, its stones, and the coats on them.
    void of_design() {
        if (kit_.design.empty()) {
            kit_.not_known.emplace_back("No design is named, so no part and no stone is counted.");
            return;
        }
        const std::vector<Piece> pieces = store::list<Piece>(log_, "WHERE design = ?1 ORDER BY made_utc_ms DESC, id DESC LIMIT 1", {kit_.design});
        if (pieces.empty()) {
            kit_.not_known.push_back("No piece of the design " + kit_.design + " is in the log, so no part and no stone is counted.");
            return;
        }
        const Piece& piece = pieces.front();
        const std::string from = "piece " + piece.number;
        for (const Part& part : store::list<Part>(log_, "WHERE piece_id = ?1 ORDER BY made_utc_ms, id", {piece.id.text})) {
            const auto metal = part.metal_id ? store::find(log_, *part.metal_id) : std::nullopt;
            add((part.name == "whole" ? kit_.design : part.name) + ", " + (metal ? metal->name : "metal not known"), 1.0, from);
        }
        std::map<std::string, double> stones;
        double coats = 0.0;
        for (const Stone& stone : store::list<Stone>(log_, "WHERE piece_id = ?1 ORDER BY number", {piece.id.text})) {
            stones[stone.kind + (stone.shape.empty() ? "" : ", " + stone.shape) + (stone.size ? ", " + text_of(*stone.size) : "")] += 1.0;
            store::Query query(log_, "SELECT count(*) FROM coat WHERE stone_id = ?1 AND skipped = 0", {stone.id.text});
            coats += query.next() ? static_cast<double>(query.integer(0)) : 0.0;
        }
        for (const auto& [stone, many] : stones) {
            add(stone, many, from);
        }
        if (coats > 0.0) {
            add("coat of clear lacquer on a stone", coats, from);
        }
    }

    store::Log& log_;
    Kit kit_;
};

}  // namespace

Result<Kit> kit_for(Studio& studio, const KitAsk& ask) {
    Kit kit{.class_number = {}, .design = ask.design, .seats = ask.seats, .spare_percent = ask.spare_percent, .lines = {}, .not_known = {}};
    if (!(ask.spare_percent >= 0.0 && ask.spare_percent <= 200.0)) {
        return rules::refuse("kit.bad_spare", {"spare", fixed_text(ask.spare_percent, 0)}, "that is no share to lay in besides.", "Say 0 to 200 in a hundred.");
    }
    if (!ask.class_number.empty()) {
        const Result<ClassSession> session = resolve<ClassSession>(studio, "Class", ask.class_number);
        if (!session) {
            return session.error();
        }
        kit.class_number = session->number;
        if (kit.seats == 0) {
            kit.seats = static_cast<int>(count_of(seats_of(studio, session->id)).in_use);
        }
        for (const Piece& piece : kit.design.empty() ? store::list<Piece>(studio.log(), "WHERE design <> '' GROUP BY design") : std::vector<Piece>{}) {
            if (folded(session->title).find(folded(piece.design)) != std::string::npos && piece.design.size() > kit.design.size()) {
                kit.design = piece.design;
            }
        }
    }
    if (kit.seats <= 0) {
        return rules::refuse("kit.no_seats", {"seats", ""}, "it is not known for how many.", "Name a class, or say --seats 12.");
    }
    std::vector<std::pair<std::string, double>> typed;
    for (const std::string& item : ask.items) {
        const std::size_t colon = item.rfind(':');
        const std::string name(trimmed(item.substr(0, colon)));
        const auto many = colon == std::string::npos ? Result<double>(1.0) : parse_number("item", item.substr(colon + 1));
        if (name.empty() || !many || !(*many > 0.0)) {
            return rules::refuse("kit.bad_item", {"item", item}, "that names no thing and how many of it for a seat.", "Type it as \"jump ring 6 mm: 2\".");
        }
        typed.emplace_back(name, *many);
    }
    return KitMaker(studio, std::move(kit)).made(typed);
}

std::string kit_text(const Kit& kit) {
    std::string text = fmt::format("{}{} seats{}, {} in a hundred spare.\n", kit.class_number.empty() ? "" : "Class " + kit.class_number + ": ", kit.seats,
                                   kit.design.empty() ? "" : ", " + kit.design, fixed_text(kit.spare_percent, 0));
    text += "## For all seats\n";
    for (const KitLine& line : kit.lines) {
        text += fmt::format("- {} × {} ({} a seat; {})\n", line.total, line.item, fixed_text(line.per_seat, line.per_seat == std::floor(line.per_seat) ? 0 : 1), line.from);
    }
    if (!kit.not_known.empty()) {
        text += "## Not known\n";
        for (const std::string& line : kit.not_known) {
            text += "- " + line + "\n";
        }
    }
    return text;
}

}  // namespace tonebath::app
