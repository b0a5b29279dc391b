// What is logged beside time, heat and strength, as factors of the tone model: surface and preparation of a piece; water,
// additives and thermometer of a bath.
#pragma once

#include "app/learned.hpp"
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
    using Written = std::vector<std::pair<std::string, std::string>>;  // kind, word
    std::map<std::string, std::vector<Preparation>> prepared_;         // by strip, part, piece or batch, oldest first
    std::map<std::string, std::string> strip_surface_;
    std::map<std::string, std::string> thermometer_of_bath_;           // number, where it was never checked
    std::vector<Written> baths_;
    std::vector<Written> subjects_;
};

}  // namespace tonebath::app
