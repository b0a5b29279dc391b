// What became of the stones: each with its baths, coats and looks; survival by cells that are never pooled; which bottle
// or evening they point at; what is due to be looked at; what is known of a kind and a finish.
#pragma once

#include "base/result.hpp"
#include "model/finish_kind.hpp"
#include "model/stones.hpp"
#include "science/counts.hpp"
#include "science/survival.hpp"

#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tonebath::app {

class Studio;

// What a stone met of one kind of finish since it was set.
struct StoneExposure {
    std::string finish;                // key of the kind of finish
    double seconds = 0.0;              // of the dips whose length is known
    bool all_timed = true;
    std::optional<double> hottest_c;   // of the baths at make-up, or as written with the dip
    int dips = 0;
    int short_rinses = 0;              // dips with no rinse of 10 s or more written down
    Stamp first, last;
};

// Done to its piece with the stone set: rinsed, stopped, dried, sealed, rubbed back, brushed, tumbled.
struct StoneWork {
    AfterStep step = AfterStep::dried;
    Stamp at;
    std::string with;                  // sealer, pad …
};

struct StoneRow {
    Id<Stone> id;
    std::string number, kind, shape;
    std::optional<double> size_mm;
    Backing backing = Backing::unknown;
    std::string source_lot;
    std::string piece, order;          // numbers; empty = on none
    bool set_known = false;            // since when it is on its piece; else no dip is counted
    int coats = 0;                     // brushed before its first bath
    std::vector<std::string> bottles;  // of those coats
    std::string coating;               // number of the last evening
    std::optional<double> humidity_percent, margin_c;  // of that evening
    std::vector<StoneExposure> met;       // the first met first
    std::vector<StoneWork> worked;        // in order of time
    std::optional<double> harmed_days;    // from its first bath to the look that found it harmed
    SeenAs harm = SeenAs::not_seen;
    Zone zone = Zone::unknown;
    std::optional<double> unharmed_days;  // to the last look that found it whole
    [[nodiscard]] bool seen() const { return harmed_days || unharmed_days; }
    [[nodiscard]] bool damp() const;      // one of the two rules against clouding was not met
};
[[nodiscard]] std::vector<StoneRow> stone_rows(Studio& studio);

// Seconds in the bath, in bands that are never pooled: up to 30, 60, 120 and over; 4 = not timed, 5 = no bath yet.
inline constexpr int kBands = 6;
[[nodiscard]] int band_of(const StoneExposure* met);
[[nodiscard]] std::string_view band_words(int band);

// Counts with what they can bear. Nothing seen is "untested", never "unharmed".
struct StoneCount {
    long seen = 0;
    long harmed = 0;
    long not_seen = 0;
    [[nodiscard]] science::ShareInterval bar() const { return science::wilson_interval(harmed, seen); }  // two-sided
    // What the count leaves open: "between 23 and 88 in 100", "too few to tell: up to about 2 in 3", "untested".
    [[nodiscard]] std::string range_words() const;
    // "16 to 61 in 100 (exact)"; empty where nothing was seen.
    [[nodiscard]] std::string exact_words() const;
    // The count before it: "untested", "4 of 4 unharmed; at most about 49 in 100", "0 of 2 harmed; too few to tell: up to about 2 in 3",
    // "3 of 5 harmed; between 23 and 88 in 100".
    [[nodiscard]] std::string words() const;
    // How many more clean results would show "under 10 %" and "under 5 %", one-sided, 19 chances in 20.
    [[nodiscard]] std::string refusal_words() const;
};
struct StoneCell {
    std::string finish, kind;
    Backing backing = Backing::unknown;
    int coats = 0;
    int band = 0;
    StoneCount count;
};
struct StoneFilter {
    std::string kind, finish, bottle;  // empty = any
    std::optional<Backing> backing;
    std::optional<int> coats;
};
[[nodiscard]] bool fits(const StoneFilter& filter, const StoneRow& row);
// By finish, kind, backing, coats and band, in that order.
[[nodiscard]] std::vector<StoneCell> stone_grid(std::span<const StoneRow> rows, const StoneFilter& filter = {});
// The same read from the log for this alone: a fraction of the time that reading every stone whole takes.
[[nodiscard]] std::vector<StoneCell> stone_cells(Studio& studio, const StoneFilter& filter = {});

// Stones of one number of coats and one bottle. Times in the bath are told beside it, band by band.
struct BottleGroup {
    int coats = 0;
    std::string bottle;                  // "LQ-1, LQ-2"; empty = bare
    StoneCount count;
    std::vector<std::string> by_band;    // "up to 30 s: 5 of 14"
};
struct ComparedStones {
    std::string name;                    // "LQ-3", "other bottles with 3 coats"
    StoneCount count;
    science::SurvivalCurve curve;        // days from the first bath to the look that found harm (Kaplan and Meier)
};
struct BottleFinding {
    std::string head;                    // "LQ-3 and the damp evening fell together: this log cannot part them."
    std::string words;                   // counts, both ways
    std::vector<std::string> causes;     // "bottle LQ-3", "damp air"
    bool separable = true;
    double p = 1.0;                      // Fisher, two-sided
    std::optional<double> log_rank_p;    // of the time to damage
    std::vector<std::string> stones;     // to ask back
    std::vector<ComparedStones> compared;  // those, and the others
    // The figures behind the words: counts with both intervals, tests, share unharmed after 30, 90 and 365 days.
    [[nodiscard]] std::vector<std::string> figures() const;
};
struct BottleStudy {
    std::vector<BottleGroup> groups;
    std::vector<BottleFinding> findings;
    std::optional<BottleFinding> bare;   // worn more often without coats
};
// Foil backs (and other backings when asked); a finding needs a chance below 1 in 100, shared among all that were
// compared.
[[nodiscard]] BottleStudy bottle_study(std::span<const StoneRow> rows, Backing backing = Backing::foil);

// Stones seen harmed by zone, and up to 8 mm or larger.
struct DamageZone {
    Zone zone = Zone::unknown;
    long small = 0, large = 0;
};
[[nodiscard]] std::vector<DamageZone> damage_map(std::span<const StoneRow> rows);

// From stones to the pieces and orders they are on.
struct StoneTrace {
    std::vector<std::string> stones, pieces, orders;
};
[[nodiscard]] StoneTrace trace_of(std::span<const StoneRow> rows, std::span<const std::string> stones);
// Of all that have a coat from this bottle or evening ("evening 7"), or are of this source lot; empty where none is.
[[nodiscard]] StoneTrace stones_of(std::span<const StoneRow> rows, std::string_view bottle_or_lot);

// Days after the first bath at which a stone is to be looked at: the studio's own, else 30, 90 and 365.
inline constexpr std::string_view kLookDays = "follow_up_days";  // a setting: "30 90 365"
[[nodiscard]] std::vector<int> look_days(Studio& studio);
// Whole days from 1 to 3,650 with blanks or commas between them, in order; nothing where that is not what was typed.
[[nodiscard]] std::optional<std::vector<int>> days_of(std::string_view typed);
// Looks that are due then, unless someone looked or asked from a week before.
struct FollowUpDue {
    std::string stone, piece, kind;
    int days = 0;
    Stamp due;
};
[[nodiscard]] std::vector<FollowUpDue> follow_ups_due(Studio& studio, std::span<const StoneRow> rows);

// What her own log says of stones like one of hers (kind, back, coats) and of one way of touching them: "heat", "acids",
// "alkalis_sulfides", "solvents" by the baths they met, "tumbling" and "rubbing" by what was done to their pieces.
struct OwnStones {
    std::vector<std::string> words;      // "foil crystal, 3 coats, 30 to 60 s: 20 of 20 unharmed; at most about 16 in 100"
    StoneCount near;                     // of them, those whose time in the bath is where a short dip more brings this stone
    // Ours: half or more of three or more harmed; nothing harmed of ten or more.
    [[nodiscard]] bool mostly_harmed() const { return near.seen >= 3 && 2 * near.harmed >= near.seen; }
    [[nodiscard]] bool clean() const { return near.seen >= 10 && near.harmed == 0; }
};
// `stone` is one of `rows`; it counts among them where it was seen again.
[[nodiscard]] OwnStones own_stones(const std::vector<FinishKind>& kinds, std::span<const StoneRow> rows, const StoneRow& stone, std::string_view touches);

// "no coats", "3 coats".
[[nodiscard]] std::string coats_words(int coats);

// One time that a stone was in a bath with its piece, or with a part that was joined to it by then.
struct StoneDip {
    Stamp at;
    std::optional<double> seconds;
    std::optional<double> temp_c;        // written with the dip, else by the bath's curve in its middle
    bool by_curve = false;
    std::optional<double> rinse_s;       // the longest written down after it
    std::string of;                      // "L-058", "L-058 lid"
};
struct StoneBath {
    std::string number, finish;          // of the bath; key of its kind of finish
    std::vector<StoneDip> dips;          // oldest first
    [[nodiscard]] double seconds() const;  // of the dips whose length is known
};
// Bath by bath, the first met first; each dip counts as in StoneRow::met.
[[nodiscard]] std::vector<StoneBath> stone_baths(Studio& studio, const Id<Stone>& stone);

// One stone: what it is, where it is, coats, finishes with their baths and dips, after-work and looks, a line each.
struct StoryLine {
    std::string words;
    bool under = false;                  // belongs to the line before it
};
struct StoneStory {
    std::vector<StoryLine> lines;
    std::vector<StoneBath> baths;
    std::optional<Stamp> since;          // on its piece
    std::vector<FollowUp> looks;         // oldest first
};
[[nodiscard]] StoneStory stone_story(Studio& studio, const StoneRow& row);
// What a stone is found by, folded: number, kind, back, lot, piece, order, coats, bottles, evening, what was seen.
[[nodiscard]] std::string find_words(const StoneRow& row);
// Places of those that have every word typed, whole or, where none has it whole, at a word's beginning.
[[nodiscard]] std::vector<std::size_t> stones_with(std::span<const std::string> words, std::string_view typed);

// Evidence for one stone and one finish: her own log first, then what is published. Never a yes.
struct PublishedNote {
    std::string stone, column, word, note, source;
    std::string trust;                   // "from memory", "published", "trade page"
};
struct StoneGate {
    std::vector<StoneCell> own;
    std::vector<std::string> own_words;
    std::vector<PublishedNote> published;
    std::vector<std::string> warnings;   // porous, foil, glued, harmed by this
    bool conflict = false;               // her log and a published note say different things
};
// `cells`: the whole grid. Refusals: "data.bad_file", "finish.unknown".
[[nodiscard]] Result<StoneGate> stone_gate(Studio& studio, std::span<const StoneCell> cells, std::string_view kind,
                                           Backing backing, std::string_view finish);
// Before a bath: which stones set on the piece are porous, tender to it or may be glued, as published; each once.
[[nodiscard]] std::vector<std::string> tender_stones(Studio& studio, const Id<Piece>& piece, std::string_view finish);

}  // namespace tonebath::app
