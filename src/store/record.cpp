#include "store/record.hpp"

#include "store/errors.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>

#include <cmath>
#include <concepts>

namespace tonebath::store {
namespace {

// Each quantity as the plain number that its column holds; the column's name tells the unit.
double number_of(Celsius value) {
    return value.celsius();
}
double number_of(Millilitres value) {
    return value.ml();
}
double number_of(Millimetres value) {
    return value.mm();
}
double number_of(Seconds value) {
    return value.seconds();
}

void set_number(Celsius& value, double number) {
    value = Celsius::from_celsius(number);
}
void set_number(Millilitres& value, double number) {
    value = Millilitres::from_ml(number);
}
void set_number(Millimetres& value, double number) {
    value = Millimetres::from_mm(number);
}
void set_number(Seconds& value, double number) {
    value = Seconds::from_seconds(number);
}

template <class T>
concept Quantity = requires(const T& value) {
    { number_of(value) } -> std::same_as<double>;
};

template <class T>
struct OptionalParts : std::false_type {};
template <class T>
struct OptionalParts<std::optional<T>> : std::true_type {
    using Value = T;
};
template <class T>
constexpr bool kIsStamp = std::is_same_v<T, Stamp> || std::is_same_v<T, std::optional<Stamp>>;

class Binder {
public:
    Binder(SQLite::Statement& statement, std::string_view table) : statement_(statement), table_(table) {}

    template <class T>
    void operator()(std::string_view name, const T& value) {
        if constexpr (OptionalParts<T>::value) {
            if (value) {
                put(name, *value);
                return;
            }
            statement_.bind(++at_);
            if constexpr (kIsStamp<T>) {
                statement_.bind(++at_);
            }
        } else {
            put(name, value);
        }
    }

private:
    void put(std::string_view name, const std::string& value) {
        if (!is_valid_utf8(value)) {
            throw StoreError(fmt::format("The text for {} {} is not UTF-8. Nothing of this step was written.",
                                         noun_word(table_), name),
                             StoreError::Kind::rule);
        }
        statement_.bindNoCopy(++at_, value);
    }
    template <class Noun>
    void put(std::string_view name, const Id<Noun>& value) {
        put(name, value.text);
    }
    void put(std::string_view, bool value) { statement_.bind(++at_, value ? 1 : 0); }
    void put(std::string_view, int value) { statement_.bind(++at_, value); }
    void put(std::string_view, std::int64_t value) { statement_.bind(++at_, value); }
    void put(std::string_view name, double value) {
        if (!std::isfinite(value)) {
            throw StoreError(fmt::format("The value for {} {} is not a number. Nothing of this step was written.",
                                         noun_word(table_), name),
                             StoreError::Kind::rule);
        }
        statement_.bind(++at_, value);
    }
    template <Quantity T>
    void put(std::string_view name, const T& value) {
        put(name, number_of(value));
    }
    template <Worded E>
    void put(std::string_view, E value) {
        statement_.bind(++at_, std::string(word_of(value)));
    }
    void put(std::string_view, const Stamp& value) {
        statement_.bind(++at_, value.utc_ms);
        statement_.bind(++at_, value.offset_min);
    }

    SQLite::Statement& statement_;
    std::string_view table_;
    int at_ = 0;
};

class Reader {
public:
    Reader(SQLite::Statement& statement, std::string_view table) : statement_(statement), table_(table) {}

    template <class T>
    void operator()(std::string_view name, T& value) {
        if constexpr (OptionalParts<T>::value) {
            if (statement_.isColumnNull(at_)) {
                value.reset();
                at_ += kIsStamp<T> ? 2 : 1;
                return;
            }
            take(name, value.emplace(empty<typename OptionalParts<T>::Value>()));
        } else {
            take(name, value);
        }
    }

private:
    template <class T>
    static T empty() {
        if constexpr (std::is_same_v<T, Celsius>) {
            return Celsius::from_celsius(0.0);
        } else if constexpr (std::is_same_v<T, Millilitres>) {
            return Millilitres::from_ml(0.0);
        } else if constexpr (std::is_same_v<T, Millimetres>) {
            return Millimetres::from_mm(0.0);
        } else if constexpr (std::is_same_v<T, Seconds>) {
            return Seconds::from_seconds(0.0);
        } else {
            return T{};
        }
    }
    SQLite::Column next() { return statement_.getColumn(at_++); }

    void take(std::string_view, std::string& value) { value = next().getString(); }
    template <class Noun>
    void take(std::string_view, Id<Noun>& value) {
        value.text = next().getString();
    }
    void take(std::string_view, bool& value) { value = next().getInt() != 0; }
    void take(std::string_view, int& value) { value = next().getInt(); }
    void take(std::string_view, std::int64_t& value) { value = next().getInt64(); }
    void take(std::string_view, double& value) { value = next().getDouble(); }
    template <Quantity T>
    void take(std::string_view, T& value) {
        set_number(value, next().getDouble());
    }
    template <Worded E>
    void take(std::string_view name, E& value) {
        const std::string word = next().getString();
        const std::optional<E> known = from_word<E>(word);
        if (!known) {
            throw StoreError(fmt::format("The log holds \"{}\" as {} {}, a word this program does not know.", word,
                                         noun_word(table_), name),
                             StoreError::Kind::damaged);
        }
        value = *known;
    }
    void take(std::string_view, Stamp& value) {
        value.utc_ms = next().getInt64();
        value.offset_min = next().getInt();
    }

    SQLite::Statement& statement_;
    std::string_view table_;
    int at_ = 0;
};

// Text of the statements of one noun.
struct Text {
    std::vector<std::string> columns;
    std::string select, insert, update, remove;
};

template <class Noun>
Text make_text() {
    Text text;
    const Noun empty;
    Noun::fields(empty, [&text]<class T>(std::string_view name, const T&) {
        if constexpr (kIsStamp<T>) {
            text.columns.push_back(std::string(name) + "_utc_ms");
            text.columns.push_back(std::string(name) + "_offset_min");
        } else {
            text.columns.emplace_back(name);
        }
    });
    std::string places;
    std::string pairs;
    for (std::size_t i = 0; i < text.columns.size(); ++i) {
        places += fmt::format("{}?{}", i == 0 ? "" : ", ", i + 1);
        if (i > 0) {
            pairs += fmt::format("{}{} = ?{}", i == 1 ? "" : ", ", text.columns[i], i + 1);
        }
    }
    const std::string names = joined(text.columns, ", ");
    text.select = fmt::format("SELECT {} FROM {} ", names, Noun::kTable);
    text.insert = fmt::format("INSERT INTO {} ({}) VALUES ({})", Noun::kTable, names, places);
    text.update = fmt::format("UPDATE {} SET {} WHERE id = ?1", Noun::kTable, pairs);
    text.remove = fmt::format("DELETE FROM {} WHERE id = ?1", Noun::kTable);
    return text;
}

template <class Noun>
const Text& text_for() {
    static const Text text = make_text<Noun>();
    return text;
}

template <class Noun>
int write(Log& log, const std::string& sql, const Noun& record) {
    TB_CHECK(log.writing());
    TB_CHECK(!record.id.empty());
    Query query(log, sql);
    return translated(log.file(), [&] {
        Noun::fields(record, Binder(query.statement(), Noun::kTable));
        return query.statement().exec();
    });
}

[[noreturn]] void record_gone(std::string_view table) {
    throw StoreError(fmt::format("This {} is no longer in the log: another program took it back. Nothing of this step "
                                 "was written.",
                                 noun_word(table)),
                     StoreError::Kind::rule);
}

}  // namespace

template <class Noun>
void Records<Noun>::insert(Log& log, const Noun& record) {
    write(log, text_for<Noun>().insert, record);
}

template <class Noun>
void Records<Noun>::update(Log& log, const Noun& record) {
    if (write(log, text_for<Noun>().update, record) != 1) {
        record_gone(Noun::kTable);
    }
}

template <class Noun>
void Records<Noun>::remove(Log& log, const Id<Noun>& id) {
    TB_CHECK(log.writing());
    if (run(log, text_for<Noun>().remove, {id.text}) != 1) {
        record_gone(Noun::kTable);
    }
}

template <class Noun>
std::optional<Noun> Records<Noun>::find(Log& log, const Id<Noun>& id) {
    std::vector<Noun> found = list(log, "WHERE id = ?1", {id.text});
    return found.empty() ? std::nullopt : std::optional<Noun>(std::move(found.front()));
}

template <class Noun>
std::vector<Noun> Records<Noun>::list(Log& log, const std::string& tail, const std::vector<Bound>& values) {
    Query query(log, text_for<Noun>().select + tail, values);
    std::vector<Noun> found;
    while (query.next()) {
        Noun::fields(found.emplace_back(), Reader(query.statement(), Noun::kTable));
    }
    return found;
}

template <class Noun>
const std::vector<std::string>& Records<Noun>::columns() {
    return text_for<Noun>().columns;
}

template struct Records<Person>;
template struct Records<Lot>;
template struct Records<LotWeighing>;
template struct Records<Vessel>;
template struct Records<Thermometer>;
template struct Records<ThermometerCheck>;
template struct Records<Metal>;
template struct Records<ToneScale>;
template struct Records<Tone>;
template struct Records<Target>;
template struct Records<Order>;
template struct Records<Batch>;
template struct Records<Piece>;
template struct Records<Part>;
template struct Records<Stone>;
template struct Records<Strip>;
template struct Records<Bath>;
template struct Records<TopUp>;
template struct Records<Reading>;
template struct Records<Dip>;
template struct Records<Rinse>;
template struct Records<Judgement>;
template struct Records<Preparation>;
template struct Records<AfterWork>;
template struct Records<CheckRun>;
template struct Records<CheckAnswer>;
template struct Records<Disposal>;
template struct Records<Press>;
template struct Records<OwnFigure>;
template struct Records<Bottle>;
template struct Records<Coating>;
template struct Records<Coat>;
template struct Records<FollowUp>;
template struct Records<StoneStay>;
template struct Records<Room>;
template struct Records<ClassSession>;
template struct Records<Seat>;
template struct Records<LocalRule>;
template struct Records<Chemical>;
template struct Records<Instrument>;
template struct Records<NearMiss>;
template struct Records<OwnLimit>;

}  // namespace tonebath::store
