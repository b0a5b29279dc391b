#include "app/resolve.hpp"

#include "app/resolve_words.hpp"
#include "app/studio.hpp"
#include "app/subject.hpp"
#include "model/nouns.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <concepts>

namespace tonebath::app {

namespace {

// How the nouns with a name of their own are called, and in which column the name stands.
std::string own_name(const Person& r) {
    return r.initials;
}
std::string own_name(const Metal& r) {
    return r.name;
}
std::string own_name(const Target& r) {
    return r.name;
}
std::string own_name(const OwnFigure& r) {
    return r.figure;
}
template <class Noun>
requires requires(const Noun& r) {
    { r.number } -> std::convertible_to<std::string>;
}
std::string own_name(const Noun& r) {
    return r.number;
}
template <class Noun>
requires(std::is_same_v<Noun, Room> || std::is_same_v<Noun, LocalRule> || std::is_same_v<Noun, Chemical> ||
         std::is_same_v<Noun, Instrument>)
std::string own_name(const Noun& r) {
    return r.name;
}
template <class Noun>
concept Named = requires(const Noun& r) {
    own_name(r);
};

// The record that the nouns without a name hang on, and the moment that puts them in order.
template <class Noun>
std::string owner_name(Studio& studio, const std::optional<Id<Noun>>& id) {
    return id ? name_of(studio, *id) : std::string();
}

template <class Noun>
constexpr std::string_view owner_column() {
    if constexpr (std::is_same_v<Noun, LotWeighing>) {
        return "lot_id";
    } else if constexpr (std::is_same_v<Noun, ThermometerCheck>) {
        return "thermometer_id";
    } else if constexpr (std::is_same_v<Noun, Seat>) {
        return "class_id";
    } else {
        return "bath_id";
    }
}

template <class Noun>
concept OnSubject = requires(const Noun& r) {
    r.piece_id;
    r.part_id;
};

template <class Noun>
concept OnStone = requires(const Noun& r) {
    r.stone_id;
};

template <class Noun>
std::string order_of() {
    if constexpr (std::is_same_v<Noun, Dip>) {
        return " ORDER BY COALESCE(dropped_utc_ms, at_about_utc_ms, made_utc_ms), id";
    } else if constexpr (std::is_same_v<Noun, Seat>) {
        return " ORDER BY number";
    } else {
        return " ORDER BY at_utc_ms, made_utc_ms, id";
    }
}

// All records of a noun without a name that hang on what `owner` names, oldest first.
template <class Noun>
std::vector<Noun> hung_on(Studio& studio, std::string_view owner) {
    store::Log& log = studio.log();
    if constexpr (std::is_same_v<Noun, Rinse>) {
        std::vector<Rinse> found;
        for (const Dip& dip : hung_on<Dip>(studio, owner)) {
            for (Rinse& rinse : store::list<Rinse>(log, "WHERE dip_id = ?1" + order_of<Rinse>(), {dip.id.text})) {
                found.push_back(std::move(rinse));
            }
        }
        return found;
    } else if constexpr (OnSubject<Noun>) {
        const auto by = [&](std::string_view column, const std::string& id) {
            return store::list<Noun>(log, fmt::format("WHERE {} = ?1{}", column, order_of<Noun>()), {id});
        };
        if (const Result<Piece> piece = resolve<Piece>(studio, "", owner)) {
            return by("piece_id", piece->id.text);
        }
        if constexpr (requires(const Noun& r) { r.strip_id; }) {
            if (const Result<Strip> strip = resolve<Strip>(studio, "", owner)) {
                return by("strip_id", strip->id.text);
            }
        }
        if constexpr (requires(const Noun& r) { r.batch_id; }) {
            if (const Result<Batch> batch = resolve<Batch>(studio, "", owner)) {
                return by("batch_id", batch->id.text);
            }
        }
        if (const Result<Part> part = resolve<Part>(studio, "", owner)) {
            return by("part_id", part->id.text);
        }
        return {};
    } else {
        const auto by = [&](const std::string& id) {
            return store::list<Noun>(log, fmt::format("WHERE {} = ?1{}", owner_column<Noun>(), order_of<Noun>()), {id});
        };
        if constexpr (OnStone<Noun>) {
            const Result<Stone> stone = resolve<Stone>(studio, "", owner);
            return stone ? store::list<Noun>(log, "WHERE stone_id = ?1 ORDER BY made_utc_ms, id", {stone->id.text})
                         : std::vector<Noun>{};
        } else if constexpr (std::is_same_v<Noun, LotWeighing>) {
            const Result<Lot> lot = resolve<Lot>(studio, "", owner);
            return lot ? by(lot->id.text) : std::vector<Noun>{};
        } else if constexpr (std::is_same_v<Noun, Seat>) {
            const Result<ClassSession> session = resolve<ClassSession>(studio, "", owner);
            return session ? by(session->id.text) : std::vector<Noun>{};
        } else if constexpr (std::is_same_v<Noun, ThermometerCheck>) {
            const Result<Thermometer> thermometer = resolve<Thermometer>(studio, "", owner);
            return thermometer ? by(thermometer->id.text) : std::vector<Noun>{};
        } else {
            if constexpr (std::is_same_v<Noun, CheckRun>) {  // of no bath: "before_mixing/3"
                if (auto runs = store::list<Noun>(log, "WHERE list_key = ?1 AND bath_id IS NULL" + order_of<Noun>(), {folded(owner)}); !runs.empty()) {
                    return runs;
                }
            }
            const Result<Bath> bath = resolve<Bath>(studio, "", owner);
            return bath ? by(bath->id.text) : std::vector<Noun>{};
        }
    }
}

template <class Noun>
std::string owner_of(Studio& studio, const Noun& record) {
    if constexpr (std::is_same_v<Noun, Rinse>) {
        const std::optional<Dip> dip = store::find(studio.log(), record.dip_id);
        return dip ? owner_of(studio, *dip) : std::string();
    } else if constexpr (std::is_same_v<Noun, Coat>) {
        return owner_name(studio, record.stone_id);
    } else if constexpr (OnStone<Noun>) {
        return name_of(studio, record.stone_id);
    } else if constexpr (std::is_same_v<Noun, LotWeighing>) {
        return name_of(studio, record.lot_id);
    } else if constexpr (std::is_same_v<Noun, ThermometerCheck>) {
        return name_of(studio, record.thermometer_id);
    } else if constexpr (std::is_same_v<Noun, Seat>) {
        return name_of(studio, record.class_id);
    } else if constexpr (std::is_same_v<Noun, TopUp> || std::is_same_v<Noun, Reading>) {
        return name_of(studio, record.bath_id);
    } else if constexpr (std::is_same_v<Noun, CheckRun>) {
        return record.bath_id ? name_of(studio, *record.bath_id) : record.list_key;
    } else if constexpr (std::is_same_v<Noun, Disposal>) {
        return owner_name(studio, record.bath_id);
    } else {
        if constexpr (requires { record.strip_id; }) {
            if (record.strip_id) {
                return name_of(studio, *record.strip_id);
            }
        }
        if constexpr (requires { record.batch_id; }) {
            if (record.batch_id) {
                return name_of(studio, *record.batch_id);
            }
        }
        return record.piece_id ? name_of(studio, *record.piece_id) : owner_name(studio, record.part_id);
    }
}

template <class Noun>
Result<Noun> resolve_named(Studio& studio, std::string_view field, std::string_view typed) {
    const std::string wanted = folded(trimmed(typed));
    const std::string bare = folded(without_noun(trimmed(typed), Noun::kTable));
    const std::vector<Noun> all = store::list<Noun>(studio.log());
    const Noun* found = nullptr;
    std::vector<std::string> names;
    for (const Noun& one : all) {
        const std::string name = folded(own_name(one));
        if (name == wanted || (name == bare && found == nullptr)) {
            found = &one;
        }
        names.push_back(own_name(one));
    }
    return found != nullptr ? Result<Noun>(*found) : unknown(Noun::kTable, field, typed, std::move(names));
}

Result<Part> resolve_part(Studio& studio, std::string_view field, std::string_view typed) {
    const std::string_view text = trimmed(typed);
    if (const Result<Piece> whole = resolve<Piece>(studio, field, text)) {
        const std::vector<Part> parts = store::list<Part>(studio.log(), "WHERE piece_id = ?1", {whole->id.text});
        if (parts.size() == 1) {
            return parts.front();
        }
    }
    for (std::size_t at = text.find_first_of(" :/"); at != std::string_view::npos;
         at = text.find_first_of(" :/", at + 1)) {
        const Result<Piece> piece = resolve<Piece>(studio, field, text.substr(0, at));
        if (!piece) {
            continue;
        }
        std::string_view name = trimmed(text.substr(at + 1));
        const std::vector<Part> parts =
            store::list<Part>(studio.log(), "WHERE piece_id = ?1 ORDER BY name", {piece->id.text});
        std::vector<std::string> names;
        for (const Part& part : parts) {
            if (folded(part.name) == folded(name)) {
                return part;
            }
            names.push_back(piece->number + " " + part.name);
        }
        return unknown(Part::kTable, field, typed, std::move(names));
    }
    std::vector<std::string> names;
    for (const Part& part : store::list<Part>(studio.log(), "LIMIT 200")) {
        names.push_back(name_of(studio, part));
    }
    return unknown(Part::kTable, field, typed, std::move(names));
}

Result<ToneScale> resolve_scale(Studio& studio, std::string_view field, std::string_view typed) {
    std::vector<std::string> names;
    for (const ToneScale& scale : store::list<ToneScale>(studio.log())) {
        std::string name = name_of(studio, scale);
        if (folded(name) == folded(trimmed(typed))) {
            return scale;
        }
        names.push_back(std::move(name));
    }
    return unknown(ToneScale::kTable, field, typed, std::move(names));
}

Result<Tone> resolve_tone(Studio& studio, std::string_view field, std::string_view typed) {
    const std::size_t colon = typed.rfind(':');
    if (colon != std::string_view::npos) {
        const Result<ToneScale> scale = resolve_scale(studio, field, typed.substr(0, colon));
        if (!scale) {
            return scale.error();
        }
        return tone_on(studio, *scale, field, typed.substr(colon + 1));
    }
    return Refusal{.code = "tone.which_scale",
                   .field = std::string(field),
                   .value = shown(typed),
                   .message = "tones belong to a scale.",
                   .remedy = "Type the metal before it, for example \"sterling: blue\".",
                   .answers = {}};
}

template <class Noun>
Result<Noun> resolve_hung(Studio& studio, std::string_view field, std::string_view typed) {
    const std::string_view text = trimmed(typed);
    const std::size_t slash = text.rfind('/');
    std::string_view owner = without_noun(text, Noun::kTable);
    if (slash != std::string_view::npos) {
        owner = without_noun(trimmed(text.substr(0, slash)), Noun::kTable);
    }
    const std::vector<Noun> all = hung_on<Noun>(studio, owner);
    std::size_t nth = all.size();
    if (slash != std::string_view::npos) {
        const std::string_view digits = trimmed(text.substr(slash + 1));
        const auto [end, trouble] = std::from_chars(digits.data(), digits.data() + digits.size(), nth);
        if (trouble != std::errc{} || end != digits.data() + digits.size()) {
            nth = 0;
        }
    }
    if (nth >= 1 && nth <= all.size()) {
        return all[nth - 1];
    }
    const std::string noun(noun_word(Noun::kTable));
    return Refusal{
        .code = std::string(Noun::kTable) + ".unknown",
        .field = std::string(field),
        .value = shown(typed),
        .message = fmt::format("there is no such {}.", noun),
        .remedy = all.empty() ? fmt::format("Type what it belongs to and which one, for example \"{}\".",
                                            OnSubject<Noun> || std::is_same_v<Noun, Rinse> ? "L-131/2" : "46/3")
                              : fmt::format("There are {}: type {}/1 to {}/{}.", all.size(), owner, owner, all.size()),
        .answers = {}};
}

}  // namespace

template <class Noun>
Result<Noun> Called<Noun>::resolve(Studio& studio, std::string_view field, std::string_view typed) {
    const std::string_view text = trimmed(typed);
    if (is_uuid7(text)) {
        if (std::optional<Noun> found = store::find(studio.log(), Id<Noun>{std::string(text)})) {
            return *found;
        }
    }
    if constexpr (Named<Noun>) {
        return resolve_named<Noun>(studio, field, text);
    } else if constexpr (std::is_same_v<Noun, Part>) {
        return resolve_part(studio, field, text);
    } else if constexpr (std::is_same_v<Noun, ToneScale>) {
        return resolve_scale(studio, field, text);
    } else if constexpr (std::is_same_v<Noun, Tone>) {
        return resolve_tone(studio, field, text);
    } else {
        return resolve_hung<Noun>(studio, field, text);
    }
}

template <class Noun>
std::string Called<Noun>::name(Studio& studio, const Noun& record) {
    if constexpr (Named<Noun>) {
        return own_name(record);
    } else if constexpr (std::is_same_v<Noun, Part>) {
        const std::optional<Piece> piece = store::find(studio.log(), record.piece_id);
        return (piece ? piece->number + " " : std::string()) + record.name;
    } else if constexpr (std::is_same_v<Noun, ToneScale>) {
        const std::optional<Metal> metal = store::find(studio.log(), record.metal_id);
        const std::string name = metal ? metal->name : std::string();
        return record.surface.empty() ? name : name + ", " + record.surface;
    } else if constexpr (std::is_same_v<Noun, Tone>) {
        return name_of(studio, record.scale_id) + ": " + record.word;
    } else {
        const std::string owner = owner_of(studio, record);
        if (owner.empty()) {
            return record.id.text;
        }
        const std::vector<Noun> all = hung_on<Noun>(studio, owner);
        const auto at = std::find_if(all.begin(), all.end(), [&](const Noun& one) { return one.id == record.id; });
        return at == all.end() ? record.id.text : fmt::format("{}/{}", owner, at - all.begin() + 1);
    }
}

template <class Noun>
std::string Called<Noun>::name(Studio& studio, const Id<Noun>& id) {
    const std::optional<Noun> found = store::find(studio.log(), id);
    return found ? name(studio, *found) : std::string();
}

template struct Called<Person>;
template struct Called<Lot>;
template struct Called<LotWeighing>;
template struct Called<Vessel>;
template struct Called<Thermometer>;
template struct Called<ThermometerCheck>;
template struct Called<Metal>;
template struct Called<ToneScale>;
template struct Called<Tone>;
template struct Called<Target>;
template struct Called<Order>;
template struct Called<Batch>;
template struct Called<Piece>;
template struct Called<Part>;
template struct Called<Stone>;
template struct Called<Strip>;
template struct Called<Bath>;
template struct Called<TopUp>;
template struct Called<Reading>;
template struct Called<Dip>;
template struct Called<Rinse>;
template struct Called<Judgement>;
template struct Called<Preparation>;
template struct Called<AfterWork>;
template struct Called<CheckRun>;
template struct Called<Disposal>;
template struct Called<OwnFigure>;
template struct Called<Bottle>;
template struct Called<Coating>;
template struct Called<Coat>;
template struct Called<FollowUp>;
template struct Called<StoneStay>;
template struct Called<Room>;
template struct Called<ClassSession>;
template struct Called<Seat>;
template struct Called<LocalRule>;
template struct Called<Chemical>;
template struct Called<Instrument>;
template struct Called<NearMiss>;
template struct Called<OwnLimit>;

}  // namespace tonebath::app
