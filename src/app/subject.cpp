#include "app/subject.hpp"

#include "app/studio.hpp"
#include "store/record.hpp"

#include <algorithm>

namespace tonebath::app {

Subject subject_of(const Strip& strip) {
    Subject subject;
    subject.strip = strip.id;
    subject.name = "strip " + strip.number;
    subject.metal = strip.metal_id;
    subject.surface = strip.surface;
    return subject;
}

Subject subject_of(Studio& studio, const Piece& piece) {
    Subject subject;
    subject.piece = piece.id;
    subject.of_piece = piece.id;
    subject.name = piece.number;
    const std::vector<Part> parts = store::list<Part>(studio.log(), "WHERE piece_id = ?1", {piece.id.text});
    if (!parts.empty() && std::all_of(parts.begin(), parts.end(),
                                      [&](const Part& part) { return part.metal_id == parts.front().metal_id; })) {
        subject.metal = parts.front().metal_id;
        subject.surface = parts.front().surface;
    }
    return subject;
}

Subject subject_of(Studio& studio, const Part& part) {
    Subject subject;
    subject.part = part.id;
    subject.of_piece = part.piece_id;
    subject.metal = part.metal_id;
    subject.surface = part.surface;
    subject.joined = part.assembled_at;
    const std::optional<Piece> piece = store::find(studio.log(), part.piece_id);
    subject.name = (piece ? piece->number + " " : std::string()) + part.name;
    if (!subject.joined && piece) {
        subject.joined = piece->assembled_at;
    }
    return subject;
}

Subject subject_of(const Batch& batch) {
    Subject subject;
    subject.batch = batch.id;
    subject.name = "batch " + batch.number;
    return subject;
}

Subject subject_of(Studio& studio, const Dip& dip) {
    if (dip.strip_id) {
        const std::optional<Strip> strip = store::find(studio.log(), *dip.strip_id);
        return strip ? subject_of(*strip) : Subject{};
    }
    if (dip.part_id) {
        const std::optional<Part> part = store::find(studio.log(), *dip.part_id);
        return part ? subject_of(studio, *part) : Subject{};
    }
    const std::optional<Piece> piece = dip.piece_id ? store::find(studio.log(), *dip.piece_id) : std::nullopt;
    return piece ? subject_of(studio, *piece) : Subject{};
}

std::optional<Target> target_of(Studio& studio, const Subject& subject) {
    const auto piece = subject.of_piece ? store::find(studio.log(), *subject.of_piece) : std::nullopt;
    if (piece && piece->target_id) {
        return store::find(studio.log(), *piece->target_id);
    }
    const std::optional<Id<Batch>> of = subject.batch ? subject.batch : piece ? piece->batch_id : std::nullopt;
    const auto batch = of ? store::find(studio.log(), *of) : std::nullopt;
    return batch && batch->target_id ? store::find(studio.log(), *batch->target_id) : std::nullopt;
}

std::optional<Stamp> when_dipped(const Dip& dip) {
    return dip.dropped_at ? dip.dropped_at : dip.at_about;
}

bool is_running(const Dip& dip) {
    return dip.dropped_at && !dip.out_at && !dip.in_bath;
}

std::vector<Dip> dips_of(Studio& studio, const Subject& subject) {
    store::Log& log = studio.log();
    std::vector<Dip> dips;
    if (subject.strip) {
        dips = store::list<Dip>(log, "WHERE strip_id = ?1", {subject.strip->text});
    } else if (subject.part) {
        dips =
            store::list<Dip>(log, "WHERE part_id = ?1 OR piece_id = ?2", {subject.part->text, subject.of_piece->text});
        std::erase_if(dips, [&](const Dip& dip) {
            return dip.piece_id && subject.joined && when_dipped(dip) && *when_dipped(dip) < *subject.joined;
        });
    } else if (subject.piece) {
        dips = store::list<Dip>(log, "WHERE piece_id = ?1 OR part_id IN (SELECT id FROM part WHERE piece_id = ?1)",
                                {subject.piece->text});
    } else if (subject.batch) {
        dips = store::list<Dip>(log,
                                "WHERE piece_id IN (SELECT id FROM piece WHERE batch_id = ?1) OR part_id IN "
                                "(SELECT part.id FROM part JOIN piece ON piece.id = part.piece_id WHERE batch_id = ?1)",
                                {subject.batch->text});
    }
    std::stable_sort(dips.begin(), dips.end(), [](const Dip& a, const Dip& b) {
        return when_dipped(a).value_or(a.made_at) < when_dipped(b).value_or(b.made_at);
    });
    return dips;
}

std::optional<Preparation> last_preparation(Studio& studio, const Subject& subject) {
    const std::string newest = " ORDER BY at_utc_ms DESC, made_utc_ms DESC, id DESC LIMIT 1";
    std::vector<Preparation> found;
    if (subject.strip) {
        found = store::list<Preparation>(studio.log(), "WHERE strip_id = ?1" + newest, {subject.strip->text});
    } else if (subject.of_piece) {
        found = store::list<Preparation>(studio.log(),
                                         "WHERE piece_id = ?1 OR part_id = ?2 OR batch_id IN "
                                         "(SELECT batch_id FROM piece WHERE id = ?1)" +
                                             newest,
                                         {subject.of_piece->text, subject.part ? subject.part->text : std::string()});
    } else if (subject.batch) {
        found = store::list<Preparation>(studio.log(), "WHERE batch_id = ?1" + newest, {subject.batch->text});
    }
    return found.empty() ? std::nullopt : std::optional<Preparation>(found.front());
}

std::vector<Judgement> judgements_of(Studio& studio, const Subject& subject) {
    const std::string by_time = " ORDER BY at_utc_ms, made_utc_ms, id";
    if (subject.strip) {
        return store::list<Judgement>(studio.log(), "WHERE strip_id = ?1" + by_time, {subject.strip->text});
    }
    if (subject.part) {
        return store::list<Judgement>(studio.log(), "WHERE part_id = ?1" + by_time, {subject.part->text});
    }
    return subject.piece ? store::list<Judgement>(studio.log(), "WHERE piece_id = ?1" + by_time, {subject.piece->text})
                         : std::vector<Judgement>{};
}

std::vector<AfterWork> after_work_of(Studio& studio, const Subject& subject) {
    const std::string by_time = " ORDER BY at_utc_ms, made_utc_ms, id";
    if (subject.of_piece) {
        return store::list<AfterWork>(studio.log(),
                                      "WHERE piece_id = ?1 OR part_id = ?2 OR batch_id IN "
                                      "(SELECT batch_id FROM piece WHERE id = ?1)" +
                                          by_time,
                                      {subject.of_piece->text, subject.part ? subject.part->text : std::string()});
    }
    return subject.batch ? store::list<AfterWork>(studio.log(), "WHERE batch_id = ?1" + by_time, {subject.batch->text})
                         : std::vector<AfterWork>{};
}

}  // namespace tonebath::app
