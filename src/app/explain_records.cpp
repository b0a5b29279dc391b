#include "app/explain_records.hpp"

#include "app/studio.hpp"
#include "science/least_squares.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::app {

namespace {

constexpr std::size_t kFewestForCurve = 12;  // ours
constexpr double kFarOff = 3.5;              // ours: robust sd beyond which a point does not shape the curve
constexpr double kLeastLightnessSd = 0.5;    // ours: no reading of L* is surer

double median(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

// Dose at which the curve has this lightness, held within what was tried.
double dose_of_lightness(const LightnessCurve& curve, double l) {
    double low = curve.low;
    double high = curve.high;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        (curve.at(middle) > l ? low : high) = middle;
    }
    return 0.5 * (low + high);
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
            }
        }
        for (ExplainRecord& one : book_.records) {
            const auto curve = book_.curves.find(learned_.records[one.subject].scale);
            if (one.l && curve != book_.curves.end()) {
                science::ToneAccount& account = one.account;
                account.seen = dose_of_lightness(curve->second, *one.l);
                // Scatter of pieces and of reading are both in the curve's own.
                account.seen_sd = curve->second.sd / -curve->second.slope(account.seen);
                account.scatter_sd = 0.0;
                account.one_sided = account.seen <= curve->second.low + 1e-6 || account.seen >= curve->second.high - 1e-6;
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

double LightnessCurve::held(double x) const { return at(std::clamp(x, low, high)); }

std::optional<LightnessCurve> lightness_curve(const std::vector<std::pair<double, double>>& points) {
    std::vector<bool> used(points.size(), true);
    std::optional<LightnessCurve> curve;
    for (int round = 0; round < 4; ++round) {
        std::vector<double> x;
        std::vector<double> y;
        LightnessCurve next;
        for (std::size_t i = 0; i < points.size(); ++i) {
            if (used[i]) {
                next.low = y.empty() ? points[i].first : std::min(next.low, points[i].first);
                next.high = y.empty() ? points[i].first : std::max(next.high, points[i].first);
                x.insert(x.end(), {1.0, points[i].first, points[i].first * points[i].first});
                y.push_back(points[i].second);
            }
        }
        if (y.size() < kFewestForCurve) {
            return std::nullopt;
        }
        auto fit = science::linear_least_squares(x, y);
        if (!fit) {
            return std::nullopt;
        }
        next.a = fit->coef[0];
        next.b = fit->coef[1];
        next.c = fit->coef[2];
        std::vector<double> off;
        for (const auto& [dose, l] : points) {
            off.push_back(std::abs(l - next.at(dose)));
        }
        next.sd = std::max(kLeastLightnessSd, 1.4826 * median(off));
        for (std::size_t i = 0; i < points.size(); ++i) {
            used[i] = off[i] <= kFarOff * next.sd;
        }
        curve = next;
    }
    return curve->slope(curve->low) < 0.0 && curve->slope(curve->high) < 0.0 ? curve : std::nullopt;
}

ExplainBook explain_book(Studio& studio, const Learned& learned) { return BookReader(studio, learned).read(); }

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
