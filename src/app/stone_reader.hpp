// The log's tables of stones, each read once, in the order it lies on disk, and held together here by places in lists: with
// many thousand stones the log's own joins take several times as long.
#pragma once

#include "app/stones.hpp"
#include "base/text_places.hpp"

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::store {
class Log;
class Scan;
}  // namespace tonebath::store

namespace tonebath::app {

// What the grid counts needs neither names nor rinses.
enum class Reads { all, cells };

class StoneReader {
public:
    // `bottle`: of the cells, who has a coat from it is asked for; empty = not.
    StoneReader(store::Log& log, Reads reads, std::string_view bottle = {});

    // By number, short ones first. Once.
    [[nodiscard]] std::vector<StoneRow> rows();
    [[nodiscard]] std::vector<StoneCell> cells(const StoneFilter& filter) const;

private:
    static constexpr std::int64_t kNever = std::numeric_limits<std::int64_t>::max();
    static constexpr std::int64_t kBefore = std::numeric_limits<std::int64_t>::min();
    static constexpr std::uint32_t kNone = TextPlaces::kNone;

    struct StoneFacts {
        std::uint32_t kind = 0, met = kNone, brushed = kNone, evening = kNone;  // the first of its chain; its last evening
        Backing backing = Backing::unknown;
        bool set_known = false, of_bottle = false;
        int coats = 0;
        std::int64_t first_ms = kNever;    // its first bath
        std::int64_t coated_ms = kBefore;  // its last coat so far
        std::optional<std::int64_t> harmed_ms, unharmed_ms;
        SeenAs harm = SeenAs::not_seen;
        Zone zone = Zone::unknown;
    };
    struct Met {
        StoneExposure all;  // its finish by place alone
        std::uint32_t finish = 0, next = kNone;
    };
    struct Brushed {
        std::uint32_t bottle = 0, next = kNone;
    };
    // A stone on a piece: from `since` on, until it was taken off.
    struct Stay {
        std::uint32_t stone = 0, next = kNone;
        bool now = false;
        std::optional<std::int64_t> since_ms;  // nothing: since the piece was assembled
        std::int64_t until_ms = kNever;
    };
    struct PartFacts {
        std::uint32_t piece = kNone;
        std::int64_t joined_ms = kBefore;
    };
    struct BathFacts {
        std::uint32_t finish = 0;
        std::optional<double> start_c;
    };
    struct Evening {
        std::string number;
        std::uint32_t bottle = kNone;
        std::optional<double> humidity_percent, margin_c;
    };

    void stones();
    void stays();
    void pieces();
    void parts();
    void exposures();
    void works();
    void coats();
    void looks();
    void stay_on(std::string_view piece, Stay stay);
    [[nodiscard]] Met& met_of(std::uint32_t stone, std::uint32_t finish, const Stamp& at);
    void brush(StoneFacts& stone, std::uint32_t bottle);
    template <class Do>
    void each_stay(std::uint32_t piece, const Do& does);
    template <class Do>
    void with_stones(const store::Scan& row, std::int64_t at_ms, const Do& does);

    store::Log& log_;
    bool all_;
    std::string_view bottle_;
    TextPlaces ids_, kinds_, finishes_, pieces_, part_ids_;
    std::vector<StoneFacts> stones_;
    std::vector<StoneRow> rows_;  // with all that is not in `stones_`
    std::vector<Met> met_;
    std::vector<Brushed> brushed_;
    std::vector<Stay> stays_;
    std::vector<std::uint32_t> first_stay_;  // by piece
    std::vector<PartFacts> parts_;
    std::vector<Evening> evenings_;
    std::vector<std::string> bottle_numbers_;
};

}  // namespace tonebath::app
