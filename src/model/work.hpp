// What is done to a surface before and after the bath.
#pragma once

#include "model/dip.hpp"

#include <optional>
#include <string>

namespace tonebath {

// Unticked is not "no": three answers.
enum class Answer { unknown, no, yes };

// Exactly one of the four subjects is set; a batch stands for each of its pieces.
struct Preparation {
    static constexpr std::string_view kTable = "preparation";
    Id<Preparation> id;
    std::optional<Id<Strip>> strip_id;
    std::optional<Id<Piece>> piece_id;
    std::optional<Id<Part>> part_id;
    std::optional<Id<Batch>> batch_id;
    Stamp at;
    std::string surface;                  // what it was left as: bright, satin, matt, hammered …
    Answer degreased = Answer::unknown;
    std::string degreased_how;
    Answer water_sheeted = Answer::unknown;  // no = a water break was seen
    Answer pickled = Answer::unknown;
    std::optional<int> rinses_after_pickle;
    std::optional<Id<Person>> who;
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("strip_id", s.strip_id);
        v("piece_id", s.piece_id);
        v("part_id", s.part_id);
        v("batch_id", s.batch_id);
        v("at", s.at);
        v("surface", s.surface);
        v("degreased", s.degreased);
        v("degreased_how", s.degreased_how);
        v("water_sheeted", s.water_sheeted);
        v("pickled", s.pickled);
        v("rinses_after_pickle", s.rinses_after_pickle);
        v("who", s.who);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

enum class AfterStep { rinsed, stop_bath, dried, rubbed_back, brushed, tumbled, sealed };

struct AfterWork {
    static constexpr std::string_view kTable = "after_work";
    Id<AfterWork> id;
    std::optional<Id<Piece>> piece_id;
    std::optional<Id<Part>> part_id;
    std::optional<Id<Batch>> batch_id;
    Stamp at;
    AfterStep step = AfterStep::dried;
    std::string with;                     // sealer, brush, pad …
    std::optional<Seconds> length;
    std::optional<Id<Person>> who;
    std::string note;
    Stamp made_at;
    std::string from_memory;

    template <class Self, class V>
    static void fields(Self& s, V&& v) {
        v("id", s.id);
        v("piece_id", s.piece_id);
        v("part_id", s.part_id);
        v("batch_id", s.batch_id);
        v("at", s.at);
        v("step", s.step);
        v("used", s.with);
        v("length_s", s.length);
        v("who", s.who);
        v("note", s.note);
        v("made", s.made_at);
        v("from_memory", s.from_memory);
    }
};

template <>
struct EnumWords<Answer> {
    static constexpr std::array<std::string_view, 3> words{"unknown", "no", "yes"};
};
template <>
struct EnumWords<AfterStep> {
    static constexpr std::array<std::string_view, 7> words{"rinsed",  "stop bath", "dried", "rubbed back",
                                                           "brushed", "tumbled",   "sealed"};
};

}  // namespace tonebath
