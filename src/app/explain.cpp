#include "app/explain.hpp"

#include "app/explain_records.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "app/studio.hpp"
#include "science/normal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <set>

namespace tonebath::app {

namespace {


std::string steps_words(double tones) {
    return fmt::format("{} of a tone {}", fixed_text(std::abs(tones), 1), tones < 0.0 ? "lighter" : "further");
}

// What is written down of the piece and each mate, beside what the model sizes.
struct Field {
    std::string_view name;
    std::function<std::string(const ExplainRecord&)> of;
};

const std::vector<Field>& fields() {
    static const std::vector<Field> all{
        {"surface", [](const ExplainRecord& r) { return r.surface; }},
        {"degreased", [](const ExplainRecord& r) { return r.degreased; }},
        {"metal", [](const ExplainRecord& r) { return r.metal; }},
        {"at the bench", [](const ExplainRecord& r) { return r.who; }},
        {"rack", [](const ExplainRecord& r) { return r.rack; }},
    };
    return all;
}

void compare_fields(const ExplainRecord& own, const std::vector<const ExplainRecord*>& mates, WhyAnswer& answer) {
    for (const Field& field : fields()) {
        const std::string mine = field.of(own);
        std::set<std::string> theirs;
        std::size_t unknown = 0;
        for (const ExplainRecord* mate : mates) {
            const std::string one = field.of(*mate);
            if (one.empty()) {
                ++unknown;
            } else {
                theirs.insert(one);
            }
        }
        if (mine.empty() || unknown > 0) {
            answer.not_written.push_back(mine.empty() ? fmt::format("{} of {}", field.name, own.piece)
                                                      : fmt::format("{} of {}", field.name, counted(unknown, "mate", "mates")));
        }
        if (mine.empty() ? !theirs.empty() && unknown == 0 : !theirs.empty() && !theirs.contains(mine)) {
            answer.also_differs.push_back(
                fmt::format("{}: {}, its mates: {}", field.name, mine.empty() ? "not written down" : mine,
                            joined({theirs.begin(), theirs.end()}, " or ")));
        }
    }
}

std::string words_of(const WhyAnswer& answer) {
    const std::string name = answer.part.empty() ? answer.piece : answer.piece + " " + answer.part;
    if (!answer.differs) {
        return fmt::format("{} is as its {}: what little differs is within scatter and reading.", name,
                           counted(answer.mates, "mate", "mates"));
    }
    std::string words = fmt::format("{} is {}{} than its {}", name, answer.one_sided ? "at least " : "",
                                    steps_words(answer.seen_tones), counted(answer.mates, "mate", "mates"));
    if (answer.nothing_recorded_explains) {
        words += answer.also_differs.empty() ? ": nothing recorded explains this."
                                             : ": nothing recorded that can be sized explains this.";
    } else {
        std::vector<std::string> causes;
        for (const WhyRow& row : answer.rows) {
            if (row.named) {
                causes.push_back(fmt::format("{} (×{} dose)", row.name, fixed_text(std::exp(row.log_dose), 2)));
            }
        }
        words += causes.empty() ? ", and what is recorded does not make half of it; luck may." : ", mostly by " + joined(causes, " and ") + ".";
    }
    if (!answer.also_differs.empty()) {
        words += " Also different: " + joined(answer.also_differs, "; ") + ".";
    }
    if (!answer.doubtful.empty()) {
        words += " Ask first: " + joined(answer.doubtful, "; ") + ".";
    }
    return words;
}

WhyAnswer answer_of(const ExplainBook& book, const Learned& learned, const ExplainRecord& own,
                    const std::vector<const ExplainRecord*>& mates, const science::WhyDifferent& why) {
    const double step = book.tone_step.at(learned.records[own.subject].scale);
    WhyAnswer answer{.piece = own.piece, .part = own.part, .batch = own.batch, .mates = mates.size(),
                     .seen_log = why.seen_difference, .seen_tones = why.seen_difference / step};
    answer.differs = why.differs;
    answer.one_sided = why.one_sided;
    answer.what = learned.records[own.subject].what;
    for (const ExplainRecord* mate : mates) {
        answer.mate_records.push_back(learned.records[mate->subject].what);
    }
    double mates_l = 0.0;
    double measured = 0.0;
    for (const ExplainRecord* mate : mates) {
        mates_l += mate->l.value_or(0.0);
        measured += mate->l ? 1.0 : 0.0;
    }
    if (own.l && measured > 0.0) {
        answer.seen_l = *own.l - mates_l / measured;
    }
    double per_kj = own.account.heat_per_kj;
    for (const ExplainRecord* mate : mates) {
        per_kj -= mate->account.heat_per_kj / static_cast<double>(mates.size());
    }
    const double heat = science::kEightyOfHundred * heat_sd(book, learned.records[own.subject].scale, per_kj);
    for (const science::SizedCause& cause : why.causes) {
        const double within = cause.part == science::DosePart::heat ? heat : 0.0;
        answer.rows.push_back({.name = part_words(cause.part), .log_dose = cause.size, .tones = cause.size / step,
                               .share = cause.share, .named = cause.named, .log_low = cause.size - within,
                               .log_high = cause.size + within});
    }
    answer.unexplained_log = why.unexplained;
    answer.unexplained_tones = why.unexplained / step;
    answer.unexplained_low = (why.unexplained - science::kEightyOfHundred * why.noise_sd) / step;
    answer.unexplained_high = (why.unexplained + science::kEightyOfHundred * why.noise_sd) / step;
    answer.nothing_recorded_explains = why.nothing_recorded_explains;
    answer.doubtful = own.doubtful;
    compare_fields(own, mates, answer);
    answer.words = words_of(answer);
    return answer;
}

}  // namespace

std::vector<WhyAnswer> why_different(Studio& studio, const Learned& learned, const Id<Piece>& piece) {
    return why_different(explain_book(studio, learned), learned, piece);
}

std::vector<WhyAnswer> why_different(const ExplainBook& book, const Learned& learned, const Id<Piece>& piece) {
    std::vector<WhyAnswer> answers;
    for (const ExplainRecord& own : book.records) {
        if (own.strip || own.piece_id != piece.text || own.batch.empty()) {
            continue;
        }
        std::vector<const ExplainRecord*> mates;
        for (const ExplainRecord& other : book.records) {
            if (!other.strip && other.piece_id != own.piece_id && other.batch == own.batch && other.part == own.part &&
                learned.records[other.subject].scale == learned.records[own.subject].scale) {
                mates.push_back(&other);
            }
        }
        leave_out_odd(mates);
        if (const auto why = science::why_accounts_differ(own.account, accounts_of(mates))) {
            answers.push_back(answer_of(book, learned, own, mates, *why));
        }
    }
    return answers;
}

}  // namespace tonebath::app
