// Records of any noun with random values that the tables take: references to records made before, unknown values left
// out, texts of every kind.
#pragma once

#include "model/nouns.hpp"

#include <algorithm>
#include <map>
#include <random>
#include <string>
#include <type_traits>
#include <vector>

namespace tonebath::store {

template <class T>
struct Plain {
    using Type = T;
    static constexpr bool kOptional = false;
};
template <class T>
struct Plain<std::optional<T>> {
    using Type = T;
    static constexpr bool kOptional = true;
};

template <class T>
struct IdOf : std::false_type {};
template <class N>
struct IdOf<Id<N>> : std::true_type {
    using Noun = N;
};

template <class T>
constexpr bool kIsQuantity = std::is_same_v<T, Celsius> || std::is_same_v<T, Millilitres> ||
                             std::is_same_v<T, Millimetres> || std::is_same_v<T, Seconds> || std::is_same_v<T, Grams>;

class RandomRecords {
public:
    explicit RandomRecords(std::uint32_t seed) : random_(seed), ids_(seed) {}

    template <class Noun>
    [[nodiscard]] Noun next() {
        Noun record;
        const auto only = chosen_subject<Noun>();
        const bool measured = below(2) == 0;  // the three colour figures come together
        double planned = 1.0;                 // low, middle, high rise
        const bool has_plan = below(2) == 0;
        Noun::fields(record, [&]<class T>(std::string_view name, T& value) {
            using P = typename Plain<T>::Type;
            if constexpr (std::is_same_v<T, Id<Noun>>) {
                value = ids_.next<Noun>(Stamp{1774946520000, 60});
                return;
            }
            if constexpr (Plain<T>::kOptional) {
                const bool subject = only.count > 0 && only.names.contains(name);
                bool known = below(2) == 0;
                known = subject ? name == only.name : known;
                known = name.starts_with("lab_") ? measured : known;
                known = name.starts_with("planned_") ? has_plan : known;
                if constexpr (IdOf<P>::value) {
                    known = known && !made_[std::string(IdOf<P>::Noun::kTable)].empty();
                }
                if (!known) {
                    value.reset();
                    return;
                }
            }
            P made = value_of<Noun, P>(name);
            if constexpr (std::is_same_v<P, double>) {
                if (name.starts_with("planned_")) {
                    planned += made;
                    made = planned;
                }
            }
            value = std::move(made);
        });
        made_[std::string(Noun::kTable)].push_back(record.id.text);
        return record;
    }

    // The record made last was not written: nothing may refer to it.
    template <class Noun>
    void forget_last() {
        made_[std::string(Noun::kTable)].pop_back();
    }

    [[nodiscard]] std::size_t below(std::size_t n) {
        return std::uniform_int_distribution<std::size_t>(0, n - 1)(random_);
    }

private:
    struct Subject {
        std::size_t count = 0;
        std::map<std::string_view, bool> names;
        std::string_view name;
    };

    template <class Noun>
    Subject chosen_subject() {
        Subject subject;
        std::vector<std::string_view> names;
        if constexpr (std::is_same_v<Noun, Dip> || std::is_same_v<Noun, Judgement>) {
            names = {"strip_id", "piece_id", "part_id"};
        } else if constexpr (std::is_same_v<Noun, Preparation>) {
            names = {"strip_id", "piece_id", "part_id", "batch_id"};
        } else if constexpr (std::is_same_v<Noun, AfterWork>) {
            names = {"piece_id", "part_id", "batch_id"};
        }
        for (const std::string_view name : names) {
            subject.names[name] = true;
        }
        subject.count = names.size();
        subject.name = names.empty() ? std::string_view() : names[below(names.size())];
        return subject;
    }

    template <class Noun, class P>
    P value_of(std::string_view name) {
        if constexpr (IdOf<P>::value) {
            const std::vector<std::string>& others = made_[std::string(IdOf<P>::Noun::kTable)];
            return P{others[below(others.size())]};
        } else if constexpr (std::is_same_v<P, std::string>) {
            return text(name, Noun::kTable);
        } else if constexpr (std::is_same_v<P, bool>) {
            return below(2) == 0;
        } else if constexpr (std::is_same_v<P, int>) {
            return static_cast<int>(below(1000)) + 1;
        } else if constexpr (std::is_same_v<P, std::int64_t>) {
            return static_cast<std::int64_t>(random_());
        } else if constexpr (std::is_same_v<P, double>) {
            return real(name == "fraction" || name == "cooling_per_min" ? 1.0 : 100.0);
        } else if constexpr (std::is_same_v<P, Celsius>) {
            return Celsius::from_celsius(real(200.0) - 50.0);
        } else if constexpr (std::is_same_v<P, Grams>) {
            return Grams::from_grams(real(1000.0));
        } else if constexpr (std::is_same_v<P, Millilitres>) {
            return Millilitres::from_ml(real(1000.0));
        } else if constexpr (std::is_same_v<P, Millimetres>) {
            return Millimetres::from_mm(real(1000.0));
        } else if constexpr (std::is_same_v<P, Seconds>) {
            return Seconds::from_seconds(real(1000.0));
        } else if constexpr (std::is_same_v<P, Stamp>) {
            return Stamp{static_cast<std::int64_t>(random_() % 4'000'000'000'000U),
                         static_cast<int>(below(1681)) - 840};
        } else {
            static_assert(Worded<P>);
            return static_cast<P>(below(EnumWords<P>::words.size()));
        }
    }

    // Above 0, with all the digits a double has.
    double real(double most) { return most * (1.0 - std::uniform_real_distribution<double>(0.0, 1.0)(random_)); }

    std::string text(std::string_view name, std::string_view table) {
        static const std::vector<std::string> kKeys{"number", "initials", "name",     "word",   "finish_kind",
                                                    "act",    "list_key", "item_key", "surface", "figure"};
        if (name == "level") {
            return std::vector<std::string>{"stop", "must", "advise"}[below(3)];
        }
        const bool key = std::find(kKeys.begin(), kKeys.end(), name) != kKeys.end();
        if (key && (name != "surface" || table == "tone_scale")) {
            return "L-" + std::to_string(++serial_) + (below(2) == 0 ? "" : " é");
        }
        switch (below(7)) {
            case 0: return "Größe ½ — 銀の指輪, Ω, кольцо, 🜔";
            case 1: return std::string(10'000, 'x') + "\n\ttail";
            case 2: return "it's \"quoted\" ; DROP TABLE lot; -- \\ %_";
            case 3: return std::string("before\0after", 12);
            case 4: return " blanks kept ";
            default: return {};
        }
    }

    std::mt19937_64 random_;
    IdSource ids_;
    std::map<std::string, std::vector<std::string>> made_;
    std::uint64_t serial_ = 0;
};

// Every field as text that loses nothing, one a line: two records are the same when these are.
template <class Noun>
[[nodiscard]] std::string all_of(const Noun& record) {
    std::string whole;
    Noun::fields(record, [&whole]<class T>(std::string_view name, const T& value) {
        whole += name;
        whole += ": ";
        const auto put = [&whole]<class P>(const P& known) {
            if constexpr (IdOf<P>::value) {
                whole += known.text;
            } else if constexpr (std::is_same_v<P, std::string>) {
                whole += known;
            } else if constexpr (std::is_same_v<P, Stamp>) {
                whole += std::to_string(known.utc_ms) + " " + std::to_string(known.offset_min);
            } else if constexpr (Worded<P>) {
                whole += word_of(known);
            } else if constexpr (std::is_same_v<P, double>) {
                whole += exact_text(known);
            } else if constexpr (std::is_same_v<P, Celsius>) {
                whole += exact_text(known.celsius());
            } else if constexpr (std::is_same_v<P, Grams>) {
                whole += exact_text(known.grams());
            } else if constexpr (std::is_same_v<P, Millilitres>) {
                whole += exact_text(known.ml());
            } else if constexpr (std::is_same_v<P, Millimetres>) {
                whole += exact_text(known.mm());
            } else if constexpr (std::is_same_v<P, Seconds>) {
                whole += exact_text(known.seconds());
            } else {
                whole += std::to_string(known);
            }
        };
        if constexpr (Plain<T>::kOptional) {
            if (value) {
                put(*value);
            } else {
                whole += "unknown";
            }
        } else {
            put(value);
        }
        whole += "\n";
    });
    return whole;
}

}  // namespace tonebath::store
