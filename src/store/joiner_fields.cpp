#include "base/text.hpp"
#include "model/nouns.hpp"
#include "store/joiner.hpp"

#include <fmt/format.h>

#include <utility>

namespace tonebath::store {

bool Joiner::number_free_here(const JoinTable& table, const std::string& number) {
    Query query(ours_, fmt::format("SELECT 1 FROM \"{}\" WHERE \"{}\" = ?1", table.name, table.columns[*table.label]), {number});
    return !query.next();
}

bool Joiner::number_free(const JoinTable& table, const std::string& number) {
    Query theirs(theirs_, fmt::format("SELECT 1 FROM \"{}\" WHERE \"{}\" = ?1", table.name, table.columns[*table.label]), {number});
    return given_.count(table.name + "\n" + number) == 0 && !theirs.next() && number_free_here(table, number);
}

std::string Joiner::marked(const JoinTable& table, const std::string& number, const std::string& mark) {
    std::string made = number + "-" + mark;
    for (int again = 2; !number_free(table, made); ++again) {
        made = fmt::format("{}-{}{}", number, mark, again);
    }
    given_.insert(table.name + "\n" + made);
    return made;
}

void Joiner::give_number(const JoinTable& table, std::vector<Bound>& row) {
    const std::string number = text_of(row[*table.label]);
    std::string holder;
    {
        Query query(ours_, fmt::format("SELECT id FROM \"{}\" WHERE \"{}\" = ?1", table.name, table.columns[*table.label]), {number});
        if (!query.next()) {
            return;
        }
        holder = query.text(0);
    }
    JoinClash clash{.table = table.name, .number = number, .ours = number, .theirs = number};
    if (found_.our_mark < found_.their_mark) {
        clash.theirs = marked(table, number, found_.their_mark);
        row[*table.label] = clash.theirs;
        if (table.name == Bath::kTable) {
            renamed_baths_[number] = clash.theirs;
        }
    } else if (found_.their_mark < found_.our_mark) {
        clash.ours = marked(table, number, found_.our_mark);
        if (writes_) {
            mark_ours(table, holder, number, clash.ours);
        }
    } else if (writes_) {
        throw found_.our_mark.empty() ? join_refused("join.no_mark", number, "this number stands on both benches, and neither has a bench mark.",
                                                     "Give the other bench a mark, one to eight letters: T.")
                                      : join_refused("join.same_mark", found_.our_mark, "both benches have this mark.", "Give the other bench another mark.");
    } else {
        clash.ours.clear();
        clash.theirs.clear();
    }
    found_.clashes.push_back(std::move(clash));
}

void Joiner::mark_ours(const JoinTable& table, const std::string& id, const std::string& number, const std::string& now) {
    run(ours_, fmt::format("UPDATE \"{}\" SET \"{}\" = ?1 WHERE id = ?2", table.name, table.columns[*table.label]), {now, id});
    if (table.name != Bath::kTable) {
        return;
    }
    // Our disposals name it, one bath a line.
    std::vector<std::pair<std::string, std::string>> disposals;
    {
        Query query(ours_, "SELECT id, baths FROM disposal WHERE char(10) || baths || char(10) LIKE '%' || char(10) || ?1 || char(10) || '%'", {number});
        while (query.next()) {
            disposals.emplace_back(query.text(0), query.text(1));
        }
    }
    for (const auto& [disposal, lines] : disposals) {
        std::vector<std::string> numbers = split(lines, '\n');
        for (std::string& one : numbers) {
            one = one == number ? now : one;
        }
        run(ours_, "UPDATE disposal SET baths = ?1 WHERE id = ?2", {joined(numbers, "\n"), disposal});
    }
}

bool Joiner::compare(const JoinTable& table, const std::vector<Bound>& raw, const std::string& their_id, const std::string& our_id) {
    std::vector<Bound> mine;
    {
        Query query(ours_, table.select() + " WHERE id = ?1", {our_id});
        TB_CHECK(query.next());
        mine = row_of(query, table.columns.size());
    }
    const std::vector<Bound> theirs = as_ours(table, raw);
    std::vector<std::size_t> differs;
    for (std::size_t i = 1; i < mine.size(); ++i) {
        if (mine[i] != theirs[i] && mine[i] != raw[i]) {
            differs.push_back(i);
        }
    }
    if (differs.empty()) {
        return false;
    }
    const Touches ours_touched = Touches::in_time(ours_, our_id);
    const Touches theirs_touched(theirs_, their_id, ours_, found_.clock.offset_ms);
    std::vector<std::size_t> taken;
    for (const std::size_t i : differs) {
        const std::string& column = table.columns[i];
        if ((their_id != our_id && column.starts_with("made_")) || marked_before(table, i, mine[i], theirs[i])) {
            continue;
        }
        const Touch& our_touch = ours_touched.of(column);
        const Touch& their_touch = theirs_touched.of(column);
        const bool theirs_holds = our_touch.change_id == their_touch.change_id ? !put_right_before(table, i, mine[i], raw[i], our_touch)
                                                                               : our_touch < their_touch;
        // A number that was handed on here meanwhile stays ours.
        if (theirs_holds && !(table.label == i && !number_free_here(table, text_of(theirs[i])))) {
            taken.push_back(i);
        }
    }
    take(table, our_id, taken, theirs);
    return !taken.empty();
}

bool Joiner::marked_before(const JoinTable& table, std::size_t i, const Bound& mine, const Bound& theirs) const {
    if (table.label != i) {
        return false;
    }
    const auto carries = [](const std::string& longer, const std::string& shorter, const std::string& mark) {
        return !mark.empty() && longer.starts_with(shorter + "-" + mark);
    };
    return carries(text_of(mine), text_of(theirs), found_.their_mark) || carries(text_of(theirs), text_of(mine), found_.our_mark);
}

bool Joiner::put_right_before(const JoinTable& table, std::size_t i, const Bound& mine, const Bound& raw, const Touch& touch) {
    const auto* our_ms = std::get_if<std::int64_t>(&mine);
    const auto* their_ms = std::get_if<std::int64_t>(&raw);
    if (!table.clock[i] || our_ms == nullptr || their_ms == nullptr) {
        return false;
    }
    const auto changed_here = moment_of_change(ours_, touch.change_id);
    const auto changed_there = moment_of_change(theirs_, touch.change_id);
    return changed_here && changed_there && *our_ms - *their_ms == *changed_here - *changed_there;
}

// All at once: the parts of a moment, or of a colour, come together.
void Joiner::take(const JoinTable& table, const std::string& id, const std::vector<std::size_t>& columns, const std::vector<Bound>& theirs) {
    std::string pairs;
    std::vector<Bound> values;
    for (const std::size_t i : columns) {
        if (!table.refers_to[i].empty() && std::holds_alternative<std::string>(theirs[i])) {
            revive(text_of(theirs[i]));
        }
        values.push_back(theirs[i]);
        pairs += fmt::format("{}\"{}\" = ?{}", values.size() == 1 ? "" : ", ", table.columns[i], values.size());
    }
    if (writes_ && !columns.empty()) {
        values.emplace_back(id);
        run(ours_, fmt::format("UPDATE \"{}\" SET {} WHERE id = ?{}", table.name, pairs, values.size()), values);
    }
}

}  // namespace tonebath::store
