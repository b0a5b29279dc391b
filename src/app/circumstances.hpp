// What is logged beside time, heat and strength, as factors of the tone model: surface and preparation of a piece; water,
// additives and thermometer of a bath.
#pragma once

#include "app/learned.hpp"
#include "app/subject.hpp"
#include "model/dip.hpp"
#include "model/work.hpp"

#include <map>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace tonebath::store {
class Log;
}

namespace tonebath::app {

// Whose preparations count for a judged surface; empty where there is none.
struct SubjectOwners {
    std::string strip, part, piece, batch;
    std::string surface;  // as the part's own record has it
};

using Written = std::vector<std::pair<std::string, std::string>>;  // kind, word

// How a plan counts what is written of one piece, or of one bath.
struct Counted {
    std::vector<std::size_t> levels;    // of Learned::factors
    double untried_log_sd = 0.0;        // of kinds that no record holds for: the range is wider by it
    std::vector<std::string> words;     // "surface satin: 9 % slower than bright (6 records)"
    std::vector<std::string> cautions;  // kinds never dipped before, taken as the commonest
};
// Preparation and surface of what is to be dipped, by what is written down until then; its part of this metal, where it is
// a piece or a batch of several.
[[nodiscard]] Counted count_preparation(Studio& studio, const Learned& learned, const Subject& subject, const std::optional<Id<Metal>>& metal, const Stamp& until);
// Water, additives and thermometer of a bath that the fit has not seen.
[[nodiscard]] Counted count_bath(Studio& studio, const Learned& learned, const Bath& bath);

// Collects what is written, bath by bath and record by record, then gives each kind its levels. The commonest kind is the
// ground the others are measured against; what is not written down counts as the commonest.
class Circumstances {
public:
    explicit Circumstances(store::Log& log);
    // In the order of the model's baths and subjects.
    void read_bath(const Bath& bath);
    void read_subject(const Judgement& judgement, const SubjectOwners& owners);
    // Writes factor_sd, the levels of subjects and baths, and their names.
    void settle(Learned& learned, const science::TonePriors& priors) const;

private:
    std::map<std::string, std::vector<Preparation>> prepared_;         // by strip, part, piece or batch, oldest first
    std::map<std::string, std::string> strip_surface_;
    std::map<std::string, std::string> thermometer_of_bath_;           // number, where it was never checked
    std::vector<Written> baths_;
    std::vector<Written> subjects_;
};

}  // namespace tonebath::app
