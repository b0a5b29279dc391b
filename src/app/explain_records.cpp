#include "app/explain_records.hpp"

#include "app/studio.hpp"
#include "store/record.hpp"

#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace tonebath::app {

namespace {

constexpr double kFarFromOthers = 3.0;  // ours: sd of one record beyond which it does not speak for its bath

// Pieces of one batch and part that went through the same baths, or strips of one bath: bath, lot and hands are the same.
std::string together(const Learned& learned, const ExplainRecord& one) {
    std::set<std::size_t> baths;
    for (const science::ToneDip& dip : learned.input.subjects[one.subject].dips) {
        baths.insert(dip.bath);
    }
    return fmt::format("{}|{}|{}|{}", one.strip ? "strip" : one.batch, one.part, one.surface, fmt::join(baths, ","));
}

class BookReader {
public:
    BookReader(Studio& studio, const Learned& learned) : log_(studio.log()), learned_(learned) {}

    ExplainBook read() {
        read_names();
        for (std::size_t i = 0; i < learned_.records.size(); ++i) {
            if (const auto account = science::account_of(learned_.fit, learned_.input, i)) {
                add(i, *account);
            }
        }
        read_curves();
        read_heats();
        read_curves();
        return std::move(book_);
    }

private:
    void read_names() {
        std::map<std::string, std::string> metals;
        for (const Metal& metal : store::list<Metal>(log_)) {
            metals[metal.id.text] = metal.name;
        }
        for (const ToneScale& scale : store::list<ToneScale>(log_)) {
            scale_metal_[scale.id.text] = metals[scale.metal_id.text];
            book_.scale_names[scale.id.text] =
                metals[scale.metal_id.text] + (scale.surface.empty() ? "" : ", " + scale.surface);
            const auto index = learned_.scale_index.find(scale.id.text);
            if (index != learned_.scale_index.end()) {
                const auto begins = tone_begins(learned_, scale.id);
                book_.tone_step[scale.id.text] =
                    begins.size() > 2 ? std::log(begins.back().middle_s / begins[1].middle_s) /
                                            static_cast<double>(begins.size() - 2)
                                      : 1.0;
            }
        }
        for (const Person& person : store::list<Person>(log_)) {
            people_[person.id.text] = person.initials;
        }
        std::map<std::string, std::string> batches;
        for (const Batch& batch : store::list<Batch>(log_)) {
            batches[batch.id.text] = batch.number;
        }
        for (const Preparation& one : store::list<Preparation>(log_, "ORDER BY at_utc_ms, id")) {
            if (one.degreased != Answer::unknown) {
                const std::string key = one.piece_id   ? one.piece_id->text
                                        : one.part_id  ? one.part_id->text
                                        : one.batch_id ? one.batch_id->text
                                                       : one.strip_id->text;
                degreased_[key] = one.degreased == Answer::yes ? "yes" : "no";
            }
        }
        for (const Dip& dip : store::list<Dip>(log_, "ORDER BY COALESCE(dropped_utc_ms, at_about_utc_ms, made_utc_ms), id")) {
            dips_[dip.part_id ? dip.part_id->text : dip.piece_id ? dip.piece_id->text : std::string()].push_back(dip);
        }
        for (const Judgement& one : store::list<Judgement>(
                 log_, "WHERE lab_l IS NOT NULL AND moment = 'before relief' AND blotch = '' ORDER BY at_utc_ms, id")) {
            lightness_[one.part_id ? one.part_id->text : one.piece_id ? one.piece_id->text : std::string()] = one.l;
        }
        std::map<std::string, std::vector<Part>> parts;
        for (const Part& part : store::list<Part>(log_)) {
            parts[part.piece_id.text].push_back(part);
        }
        for (const Piece& piece : store::list<Piece>(log_)) {
            ExplainRecord one;
            one.piece = piece.number;
            one.piece_id = piece.id.text;
            one.design = piece.design;
            one.batch = piece.batch_id ? batches[piece.batch_id->text] : std::string();
            one.rack = piece.rack ? std::to_string(*piece.rack) : std::string();
            describe(one, {piece.id.text}, piece.batch_id ? piece.batch_id->text : std::string());
            const std::vector<Part>& own = parts[piece.id.text];
            named_[piece.number] = one;
            for (const Part& part : own) {
                ExplainRecord of_part = one;
                of_part.part = part.name;
                of_part.metal = part.metal_id ? metals[part.metal_id->text] : std::string();
                of_part.surface = part.surface;
                describe(of_part, {part.id.text, piece.id.text}, piece.batch_id ? piece.batch_id->text : std::string());
                named_[piece.number + " " + part.name] = of_part;
                if (own.size() == 1) {
                    of_part.part.clear();
                    named_[piece.number] = of_part;
                }
            }
        }
    }

    // What is known by its own id, its piece's and its batch's; the nearest speaks.
    void describe(ExplainRecord& one, const std::vector<std::string>& keys, const std::string& batch) {
        std::optional<Stamp> last;
        one.doubtful.clear();
        for (const std::string& key : keys) {
            const auto dips = dips_.find(key);
            for (const Dip& dip : dips == dips_.end() ? std::vector<Dip>{} : dips->second) {
                const Stamp when = dip.dropped_at ? *dip.dropped_at : dip.at_about.value_or(dip.made_at);
                if (!last || *last <= when) {
                    last = when;
                    one.who = dip.who ? people_[dip.who->text] : std::string();
                }
                if (!dip.from_memory.empty() && dip.in_bath) {
                    one.doubtful.push_back(fmt::format("{:.0f} s in the bath was typed from memory", dip.in_bath->seconds()));
                }
            }
        }
        for (const std::string& key : keys) {
            const auto l = lightness_.find(key);
            if (l != lightness_.end() && (!one.l || key == keys.front())) {
                one.l = l->second;
                break;
            }
        }
        for (const std::string& key : {keys.front(), keys.back(), batch}) {
            const auto found = degreased_.find(key);
            if (found != degreased_.end() && !key.empty()) {
                one.degreased = found->second;
                break;
            }
        }
    }

    void add(std::size_t subject, const science::ToneAccount& account) {
        const RecordRef& ref = learned_.records[subject];
        ExplainRecord one;
        if (!ref.strip) {
            const auto found = named_.find(ref.what);
            if (found == named_.end()) {
                return;
            }
            one = found->second;
        }
        one.strip = ref.strip;
        one.subject = subject;
        one.account = account;
        one.lot = learned_.baths[ref.bath].lot_number;
        if (one.metal.empty()) {
            one.metal = scale_metal_[ref.scale];
        }
        book_.records.push_back(std::move(one));
    }

    void read_curves() {
        std::map<std::string, std::vector<std::pair<double, double>>> points;
        for (const ExplainRecord& one : book_.records) {
            if (one.l) {
                points[learned_.records[one.subject].scale].emplace_back(one.account.expected, *one.l);
            }
        }
        for (const auto& [scale, measured] : points) {
            if (const auto curve = lightness_curve(measured)) {
                book_.curves[scale] = *curve;
                Groups groups;
                for (const ExplainRecord& one : book_.records) {
                    if (one.l && learned_.records[one.subject].scale == scale) {
                        groups[together(learned_, one)].push_back({.y = *one.l - curve->held(one.account.expected)});
                    }
                }
                book_.curves[scale].within_sd = std::max(LightnessCurve::kLeastSd, spread_within(groups, 0.0).value_or(curve->sd));
            }
        }
        for (ExplainRecord& one : book_.records) {
            const auto curve = book_.curves.find(learned_.records[one.subject].scale);
            if (one.l && curve != book_.curves.end()) {
                science::ToneAccount& account = one.account;
                account.seen = curve->second.dose_of(*one.l);
                // Scatter of pieces and of reading are both in the curve's own.
                account.seen_sd = curve->second.within_sd / -curve->second.slope(account.seen);
                account.scatter_sd = 0.0;
                account.one_sided = account.seen <= curve->second.low + 1e-6 || account.seen >= curve->second.high - 1e-6;
            }
        }
    }

    void read_heats() {
        std::map<std::string, Groups> by_scale;
        std::map<std::string, std::pair<double, double>> sums;
        for (const ExplainRecord& one : book_.records) {
            const std::string& scale = learned_.records[one.subject].scale;
            sums[scale].first += one.account.heat_per_kj;
            sums[scale].second += 1.0;
            if (!one.account.one_sided) {
                const double sd = std::hypot(one.account.seen_sd, one.account.scatter_sd);
                by_scale[scale][together(learned_, one)].push_back(
                    {.x = one.account.heat_per_kj, .y = one.account.left_over(), .weight = 1.0 / (sd * sd)});
            }
        }
        const science::Term ea{learned_.fit.layout.ea, 1.0};
        book_.all_metals_heat_sd = science::mixture_sd(learned_.fit.mixed.mixture({{&ea, 1}}));
        for (const auto& [scale, groups] : by_scale) {
            if (const auto own = slope_within(groups)) {
                book_.heats[scale] = {learned_.fit.centre.ea_kj_per_mol + own->ea_kj_per_mol, own->sd};
            }
        }
        for (ExplainRecord& one : book_.records) {
            const std::string& scale = learned_.records[one.subject].scale;
            const auto heat = book_.heats.find(scale);
            if (heat != book_.heats.end()) {
                // About the metal's mean heat: where its tones begin was learned there.
                const double more = (heat->second.ea_kj_per_mol - learned_.fit.centre.ea_kj_per_mol) *
                                    (one.account.heat_per_kj - sums[scale].first / sums[scale].second);
                one.account.part[static_cast<std::size_t>(science::DosePart::heat)] += more;
                one.account.expected += more;
            }
        }
    }

    store::Log& log_;
    const Learned& learned_;
    ExplainBook book_;
    std::map<std::string, std::string> scale_metal_;
    std::map<std::string, std::string> people_;
    std::map<std::string, std::string> degreased_;       // by strip, part, piece or batch
    std::map<std::string, std::vector<Dip>> dips_;       // by part or piece
    std::map<std::string, std::optional<double>> lightness_;
    std::map<std::string, ExplainRecord> named_;         // as the fit names its records
};

}  // namespace

ExplainBook explain_book(Studio& studio, const Learned& learned) { return BookReader(studio, learned).read(); }

std::vector<std::optional<BathPace>> bath_paces(const ExplainBook& book, const Learned& learned) {
    struct Sum {
        std::vector<std::pair<double, double>> value_sd;
        bool strips = false;
    };
    std::vector<Sum> sums(learned.baths.size());
    for (const ExplainRecord& one : book.records) {
        const science::ToneSubject& subject = learned.input.subjects[one.subject];
        const std::size_t bath = subject.dips.front().bath;
        const bool one_bath = std::ranges::all_of(subject.dips, [&](const auto& dip) { return dip.bath == bath; });
        Sum& sum = sums[bath];
        // Strips speak first: nothing rides on how they come out.
        if (!one_bath || one.account.one_sided || (sum.strips && !one.strip)) {
            continue;
        }
        if (one.strip && !sum.strips) {
            sum.value_sd.clear();
        }
        sum.strips = one.strip;
        const science::ToneAccount& a = one.account;
        const double own = a.part[static_cast<std::size_t>(science::DosePart::bath)] +
                           a.part[static_cast<std::size_t>(science::DosePart::lot)];
        sum.value_sd.emplace_back(a.left_over() + own, std::hypot(a.scatter_sd, a.seen_sd));
    }
    std::vector<std::optional<BathPace>> paces(sums.size());
    for (std::size_t i = 0; i < sums.size(); ++i) {
        auto& all = sums[i].value_sd;
        if (all.empty()) {
            continue;
        }
        // Weighted; a record far from the middle of three or more is left out.
        std::ranges::sort(all);
        const double middle = all[all.size() / 2].first;
        double weight = 0.0;
        double sum = 0.0;
        for (const auto& [value, sd] : all) {
            if (all.size() < 3 || std::abs(value - middle) <= kFarFromOthers * sd) {
                weight += 1.0 / (sd * sd);
                sum += value / (sd * sd);
            }
        }
        paces[i] = BathPace{sum / weight, 1.0 / std::sqrt(weight), sums[i].strips};
    }
    return paces;
}

double heat_sd(const ExplainBook& book, const std::string& scale, double per_kj) {
    const auto own = book.heats.find(scale);
    return std::abs(per_kj) * (own == book.heats.end() ? book.all_metals_heat_sd : own->second.sd);
}

std::string part_words(science::DosePart part) {
    switch (part) {
        case science::DosePart::time_in_bath: return "time in the bath";
        case science::DosePart::heat: return "heat of the bath";
        case science::DosePart::strength: return "strength as made up";
        case science::DosePart::fade: return "hours the bath had stood";
        case science::DosePart::agitation: return "agitation";
        case science::DosePart::bath: return "that bath's own speed";
        case science::DosePart::lot: return "the lot";
        case science::DosePart::factors: return "logged factors";
    }
    return {};
}

}  // namespace tonebath::app
