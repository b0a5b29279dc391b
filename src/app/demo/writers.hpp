// What the writers of the demo share, and the order in which they work. For the .cpp files of this folder only.
#pragma once

#include "app/checklist_file.hpp"
#include "app/demo/demo.hpp"
#include "app/demo/dice.hpp"
#include "app/demo/invented_law.hpp"
#include "app/demo/invented_year.hpp"
#include "base/ids.hpp"
#include "model/nouns.hpp"

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::store {
class Log;
}

namespace tonebath::app {

struct DemoScale {
    Metal metal;
    ToneScale scale;
    std::map<std::string, Tone, std::less<>> tones;  // by word
};

struct DemoPart {
    Part record;
    DemoAlloy alloy = DemoAlloy::sterling;  // what it truly is
    std::string written_as;                 // name of the metal in the log
    std::string aim;                        // tone word
    double dose_s = 0.0;                    // truly had so far, this alloy's
    std::optional<DemoColour> measured;     // at the last judgement
};

struct DemoPiece {
    Piece record;
    std::vector<DemoPart> parts;  // the leading one (lid, tabs, whole) first
    Id<Person> who;               // at the bench for it
};

struct DemoWork {
    const DemoBatch* plan = nullptr;
    Batch record;
    std::vector<DemoPiece> pieces;
    std::optional<Stamp> finished_at;
};

// Something done at a moment; what falls on one day is written in one change.
struct DemoEntry {
    Stamp at;
    std::string step;
    std::string by;  // initials
    std::function<void()> write;
};

struct DemoBook {
    store::Log& log;
    IdSource ids;
    Dice dice;
    const ChecklistBook& lists;
    const std::vector<FinishKind>& kinds;
    DemoFaults faults = {};
    std::map<std::string, DemoScale, std::less<>> scales = {};                  // by metal name
    std::map<std::string, Person, std::less<>> people = {};
    std::map<std::string, Lot, std::less<>> lots = {};
    std::map<std::string, Vessel, std::less<>> vessels = {};
    std::map<std::string, Thermometer, std::less<>> thermometers = {};
    std::map<std::string, Target, std::less<>> targets = {};
    std::map<std::string, Order, std::less<>> orders = {};
    Id<LocalRule> rule = {};  // the letter on file
    std::map<int, DemoWork> works = {};  // by batch number
    std::map<int, Id<Bath>> baths = {};
    std::vector<DemoEntry> agenda = {};
    int strips = 0;
    int stones = 0;
    int other_stones = 0;
    int bare_lanterns = 0;  // Lanterns without a pearl so far

    template <class Noun>
    [[nodiscard]] Id<Noun> id(const Stamp& at) {
        return ids.next<Noun>(at);
    }
    void plan(const Stamp& at, std::string step, std::string_view by, std::function<void()> write);
};

// Puts what has to be done on the agenda; nothing is written yet.
void plan_stock(DemoBook& book);
void plan_pieces(DemoBook& book);
void plan_sessions(DemoBook& book);
void plan_classes(DemoBook& book, std::uint64_t seed);

// The month's checks and those before classes.
void plan_checks(DemoBook& book);

// A list answered whole by the maker, one line each `every_s`.
struct DemoCheck {
    std::string_view list, kind;
    Stamp at;  // begun
    std::optional<Id<Bath>> bath_id;
    double every_s = 12.0;
    std::optional<double> number;  // the figure that is asked
    std::string_view who = "MK";
    std::string note;
};
void write_check(DemoBook& book, const DemoCheck& what);

// People, the vague metal "brass", lots, vessels, thermometers: what the first day begins with.
void write_beginnings(DemoBook& book, const Stamp& at);

// Stones for a piece; not set yet when `set_at` is unknown.
void write_stones(DemoBook& book, const DemoPiece& piece, const std::optional<Stamp>& set_at, const Stamp& made);

// Bottles, coating evenings and looks at stones, after all else and from dice of their own.
void write_coats(DemoBook& book, std::uint64_t seed);

// The travelling bench's own log, from the studio's as written.
void write_travelling(DemoBook& home, DemoBook& away);

// A tone judged and measured: the part's true dose, read with the studio's noise. `l` overrides the lightness.
enum class DemoLook { word, measured };
void write_judgement(DemoBook& book, DemoPiece& piece, DemoPart& part, const std::optional<Id<Dip>>& dip,
                     const Stamp& at, DemoLook look, std::optional<double> l = std::nullopt);
// Words of a blotch that is planted on the piece; empty for most.
[[nodiscard]] std::string demo_blotch(const DemoPiece& piece);

}  // namespace tonebath::app
