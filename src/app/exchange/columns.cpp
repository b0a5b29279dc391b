#include "app/exchange/columns.hpp"

#include "base/text.hpp"
#include "model/nouns.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <type_traits>
#include <utility>

namespace tonebath::app {

namespace {

template <class T>
struct Inside {
    using Type = T;
};
template <class T>
struct Inside<std::optional<T>> {
    using Type = T;
};
template <class T>
struct NounOf {
    static constexpr bool kIs = false;
};
template <class Noun>
struct NounOf<Id<Noun>> {
    static constexpr bool kIs = true;
    using Type = Noun;
};

struct UnitWords {
    std::string_view end, unit;
};
// By the end of the column's name; the longest that fits stands first.
constexpr std::array<UnitWords, 22> kUnits{{{"_per_litre", "the lot's own unit per litre"},
                                            {"_per_min", "1/min"},
                                            {"_per_h", "1/h"},
                                            {"_m3_h", "m³/h"},
                                            {"_cm2", "cm²"},
                                            {"_percent", "%"},
                                            {"_ppm", "ppm"},
                                            {"ppm", "ppm"},
                                            {"_steps", "tone steps"},
                                            {"_m3", "m³"},
                                            {"_m2", "m²"},
                                            {"_mm", "mm"},
                                            {"_ml", "ml"},
                                            {"_ms", "ms"},
                                            {"_kg", "kg"},
                                            {"_c", "°C"},
                                            {"_s", "s"},
                                            {"_m", "m"},
                                            {"amount", "the lot's own unit"},
                                            {"lab_l", "L* of CIE L*a*b*, D50"},
                                            {"lab_a", "a* of CIE L*a*b*, D50"},
                                            {"lab_b", "b* of CIE L*a*b*, D50"}}};
// Numbers whose name does not tell.
struct UnitOfColumn {
    std::string_view table, column, unit;
};
constexpr std::array<UnitOfColumn, 7> kUnitsOfColumns{{{"judgement", "fraction", "share of the tone, 0 to 1"},
                                                       {"room", "mixing", "times the well-mixed figure, 1 to 10"},
                                                       {"bath", "measure_value", "what the column measure says"},
                                                       {"check_answer", "number", "what the column unit says"},
                                                       {"own_figure", "middle", "the figure's own unit"},
                                                       {"own_figure", "low", "the figure's own unit"},
                                                       {"own_figure", "high", "the figure's own unit"}}};

std::string_view unit_of(std::string_view table, std::string_view column) {
    for (const UnitOfColumn& one : kUnitsOfColumns) {
        if (one.table == table && one.column == column) {
            return one.unit;
        }
    }
    const auto* const found =
        std::find_if(kUnits.begin(), kUnits.end(), [column](const UnitWords& one) { return column.ends_with(one.end); });
    return found == kUnits.end() ? std::string_view() : found->unit;
}

template <class Noun, class T>
ExchangeColumn column_of(std::string_view name) {
    using P = typename Inside<T>::Type;
    ExchangeColumn column{.name = name, .optional = !std::is_same_v<P, T>};
    if constexpr (NounOf<P>::kIs) {
        const bool own = name == "id";
        column.kind = own ? CellKind::id : CellKind::reference;
        column.refers_to = own ? std::string_view() : NounOf<P>::Type::kTable;
    } else if constexpr (std::is_same_v<P, std::string>) {
        column.kind = CellKind::text;
    } else if constexpr (std::is_same_v<P, bool>) {
        column.kind = CellKind::yes_no;
    } else if constexpr (std::is_same_v<P, int> || std::is_same_v<P, std::int64_t>) {
        column.kind = CellKind::whole;
        column.large = std::is_same_v<P, std::int64_t>;
        column.unit = name.ends_with("_ms") ? unit_of(Noun::kTable, name) : std::string_view();
    } else if constexpr (std::is_same_v<P, Stamp>) {
        column.kind = CellKind::moment;
    } else if constexpr (Worded<P>) {
        column.kind = CellKind::word;
        column.words = EnumWords<P>::words;
    } else {
        column.kind = CellKind::number;
        column.unit = unit_of(Noun::kTable, name);
    }
    return column;
}

std::vector<ExchangeNoun> make_nouns() {
    std::vector<ExchangeNoun> nouns;
    for_each_noun([&nouns]<class Noun>(const Noun& empty) {
        ExchangeNoun& noun = nouns.emplace_back(ExchangeNoun{.table = Noun::kTable, .word = noun_word(Noun::kTable)});
        Noun::fields(empty, [&noun]<class T>(std::string_view name, const T&) {
            if (!never_leaves(Noun::kTable, name)) {
                noun.columns.push_back(column_of<Noun, T>(name));
            }
        });
    });
    return nouns;
}

}  // namespace

std::string ExchangeNoun::stored_names() const {
    std::vector<std::string> names;
    for (const ExchangeColumn& column : columns) {
        if (column.kind == CellKind::moment) {
            names.push_back(std::string(column.name) + "_utc_ms");
            names.push_back(std::string(column.name) + "_offset_min");
        } else {
            names.emplace_back(column.name);
        }
    }
    return joined(names, ", ");
}

const std::vector<ExchangeNoun>& exchange_nouns() {
    static const std::vector<ExchangeNoun> nouns = make_nouns();
    return nouns;
}

bool never_leaves(std::string_view table, std::string_view column) {
    return table == Person::kTable && column == "pin";
}

}  // namespace tonebath::app
