// Today: the day on a wire, the next thing to dip, and what is owed.
#pragma once

#include "app/plan.hpp"
#include "app/views/pieces_view.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::app {

class Learned;
class Studio;

enum class DayKind { bath, batch, order, throw_by, class_session };

// Something that hangs on the day's wire at its hour.
struct DayItem {
    std::string id;                  // of the record
    DayKind kind = DayKind::bath;
    double hour = 0.0;               // local, 9.5 = half past nine
    std::string head;                // "09:30 Bath 46 made up"
    std::vector<std::string> lines;
    bool to_do = false;              // still to come and hers to act on
};

enum class OwedKind { follow_up, ageing, disposal, fill_in, order };

struct OwedItem {
    std::string record;              // id
    std::string noun;                // "bath", "lot", "piece" …
    OwedKind kind = OwedKind::disposal;
    std::string number;              // on its tag: "Bath 45", "LS-1"
    std::string line, more;
    Stamp since;
};

// The next thing to dip: a batch with pieces that were not dipped yet, in the newest bath that is in use.
struct NextDip {
    Id<Batch> batch_id;
    std::string batch;               // its number
    std::string words;               // "18 Limpet, sterling lid on copper cup"
    std::size_t waiting = 0;
    std::optional<Id<Bath>> bath_id;
    std::string bath;
    std::string scale;               // id
    std::string tone;                // word aimed at; empty = no aim written down
    std::optional<ScalePlace> aim;
    std::string part;                // part that is aimed at, when pieces have several
    std::optional<Plan> plan;
    std::string check_words;         // how the lists of the bath stand: "2 of 5 stops open."; empty without a bath
};

struct TodayView {
    Stamp now;
    std::vector<DayItem> day;        // in order of time
    std::optional<NextDip> next;
    std::vector<OwedItem> owed;      // oldest first
    std::size_t baths_in_use = 0;
    bool any_lot = false, any_bath = false, any_strip = false;
    std::string advice;              // the next step in words when there is nothing to dip
};
[[nodiscard]] TodayView today_view(Studio& studio, const std::shared_ptr<const Learned>& learned);

// The same in lines of text: "tonebath today".
[[nodiscard]] std::string today_text(Studio& studio, const TodayView& view);

}  // namespace tonebath::app
