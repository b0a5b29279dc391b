#include "app/recall.hpp"

#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "app/subject.hpp"
#include "base/text.hpp"
#include "model/nouns.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <set>

namespace tonebath::app {

namespace {

template <class Noun>
std::optional<Stamp> moment_of(const Noun& record) {
    if constexpr (std::is_same_v<Noun, Bath>) {
        return record.made_up_at;
    } else if constexpr (std::is_same_v<Noun, Dip>) {
        return when_dipped(record);
    } else if constexpr (requires { record.at; }) {
        return record.at;
    } else {
        return std::nullopt;
    }
}

std::string more_words(Studio& studio, const Bath& bath) {
    return fmt::format("made up {}, {}", date_text(bath.made_up_at), studio.finish_kind(bath.finish_kind).name);
}
std::string more_words(Studio& studio, const Lot& lot) {
    return studio.finish_kind(lot.finish_kind).name;
}
std::string more_words(Studio&, const Piece& piece) {
    return piece.design;
}
std::string more_words(Studio&, const Batch& batch) {
    return batch.design;
}
std::string more_words(Studio& studio, const Strip& strip) {
    const std::string metal = name_of(studio, strip.metal_id);
    return strip.surface.empty() ? metal : metal + ", " + strip.surface;
}
std::string more_words(Studio& studio, const Part& part) {
    return part.metal_id ? name_of(studio, *part.metal_id) : std::string("metal not known");
}
std::string more_words(Studio& studio, const Stone& stone) {
    return stone.piece_id ? fmt::format("{}, on {}", stone.kind, name_of(studio, *stone.piece_id)) : stone.kind;
}
std::string more_words(Studio&, const Vessel& vessel) {
    return vessel.kind;
}
std::string more_words(Studio& studio, const Target& target) {
    return name_of(studio, target.tone_id);
}
std::string more_words(Studio&, const Person& person) {
    return person.role;
}
std::string more_words(Studio& studio, const Dip& dip) {
    return fmt::format("in bath {}", name_of(studio, dip.bath_id));
}
template <class Noun>
std::string more_words(Studio&, const Noun& record) {
    if constexpr (requires { record.note; }) {
        return shortened(record.note, 60);
    } else {
        return {};
    }
}

template <class Noun>
Hit hit_of(Studio& studio, const Noun& record) {
    Hit hit{.noun = std::string(noun_word(Noun::kTable)),
            .table = std::string(Noun::kTable),
            .id = record.id.text,
            .number = {},
            .line = {},
            .at = moment_of(record)};
    if constexpr (!std::is_same_v<Noun, CheckAnswer> && !std::is_same_v<Noun, Press>) {
        hit.number = name_of(studio, record);
    }
    const std::string more = more_words(studio, record);
    hit.line = fmt::format("{} {}{}{}", hit.noun, hit.number, more.empty() ? "" : ", ", more);
    return hit;
}

std::optional<Hit> hit_in(Studio& studio, std::string_view table, const std::string& id) {
    std::optional<Hit> hit;
    for_each_noun([&]<class Noun>(const Noun&) {
        if (!hit && table == Noun::kTable) {
            if (const std::optional<Noun> record = store::find(studio.log(), Id<Noun>{id})) {
                hit = hit_of(studio, *record);
            }
        }
    });
    return hit;
}

// Every word as a beginning, for the full-text index: "limpet blu" -> "limpet"* "blu"*.
std::string as_question(const std::string& typed) {
    std::string question;
    std::string word;
    const auto end_word = [&] {
        if (!word.empty()) {
            question += (question.empty() ? "\"" : " \"") + word + "\"*";
            word.clear();
        }
    };
    for (const char c : typed) {
        const auto byte = static_cast<unsigned char>(c);
        const bool letter = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || byte >= 0x80U;
        if (letter) {
            word += c;
        } else {
            end_word();
        }
    }
    end_word();
    return question;
}

struct Month {
    int year = 0;  // 0 = any
    int month = 1;
};

std::optional<Month> month_of(const std::string& typed) {
    static constexpr std::array<std::string_view, 12> kMonths{"january",   "february", "march",    "april",
                                                              "may",       "june",     "july",     "august",
                                                              "september", "october",  "november", "december"};
    std::vector<std::string> words;
    for (const std::string& word : split(typed, ' ')) {
        if (!word.empty()) {
            words.push_back(word);
        }
    }
    if (words.empty() || words.size() > 2 || words.front().size() < 3) {
        return std::nullopt;
    }
    Month month;
    month.month = 0;
    for (std::size_t i = 0; i < kMonths.size(); ++i) {
        if (kMonths[i].substr(0, words.front().size()) == words.front()) {
            month.month = static_cast<int>(i) + 1;
        }
    }
    if (words.size() == 2) {
        const auto [end, trouble] = std::from_chars(words[1].data(), words[1].data() + words[1].size(), month.year);
        if (trouble != std::errc{} || end != words[1].data() + words[1].size()) {
            return std::nullopt;
        }
    }
    return month.month == 0 ? std::nullopt : std::optional<Month>(month);
}

class Finder {
public:
    Finder(Studio& studio, std::size_t at_most) : studio_(studio), at_most_(at_most) {}

    void take(std::string_view table, const std::string& id, int rank) {
        if (!seen_.insert(id).second) {
            return;
        }
        if (std::optional<Hit> hit = hit_in(studio_, table, id)) {
            found_.push_back({rank, std::move(*hit)});
        }
    }
    void rows(const std::string& sql, const std::vector<store::Bound>& values, int rank) {
        std::vector<std::pair<std::string, std::string>> rows;
        {
            store::Query query(studio_.log(), sql, values);
            while (query.next()) {
                rows.emplace_back(query.text(0), query.text(1));
            }
        }
        for (const auto& [table, id] : rows) {
            take(table, id, rank);
        }
    }
    std::vector<Hit> sorted() {
        std::stable_sort(found_.begin(), found_.end(), [](const auto& a, const auto& b) {
            if (a.first != b.first) {
                return a.first < b.first;
            }
            return a.second.at && b.second.at && *b.second.at < *a.second.at;
        });
        std::vector<Hit> hits;
        for (auto& [rank, hit] : found_) {
            if (hits.size() < at_most_) {
                hits.push_back(std::move(hit));
            }
        }
        return hits;
    }

private:
    Studio& studio_;
    std::size_t at_most_;
    std::set<std::string> seen_;
    std::vector<std::pair<int, Hit>> found_;
};

}  // namespace

std::vector<Hit> find_anything(Studio& studio, std::string_view typed, std::size_t at_most) {
    const std::string_view text = trimmed(typed);
    if (text.empty() || text.size() > 400 || !is_valid_utf8(text)) {
        return {};
    }
    Finder finder(studio, at_most);
    const auto limit = static_cast<std::int64_t>(at_most);
    const std::string wanted = folded(text);
    // "bath 46" and "46" alike.
    std::string number(text);
    for_each_noun([&]<class Noun>(const Noun&) {
        const std::string head = std::string(noun_word(Noun::kTable)) + " ";
        if (wanted.rfind(head, 0) == 0) {
            number = std::string(trimmed(text.substr(head.size())));
        }
    });
    finder.rows("SELECT table_name, record_id FROM find_entry WHERE title = ?1 AND title <> '' LIMIT ?2",
                {number, limit}, 0);
    if (const Result<Part> part = resolve<Part>(studio, "", text)) {
        finder.take(Part::kTable, part->id.text, 0);
    }
    if (const std::optional<Month> month = month_of(wanted)) {
        const auto in_month = [&](const std::optional<Stamp>& at) {
            const CivilTime when = civil(at.value_or(Stamp{}));
            return at && when.month == month->month && (month->year == 0 || when.year == month->year);
        };
        for (const Bath& bath : store::list<Bath>(studio.log(), "ORDER BY made_up_utc_ms DESC")) {
            if (in_month(bath.made_up_at)) {
                finder.take(Bath::kTable, bath.id.text, 1);
            }
        }
        std::size_t dips = 0;
        for (const Dip& dip : store::list<Dip>(studio.log(), "ORDER BY dropped_utc_ms DESC")) {
            if (dips < at_most && in_month(when_dipped(dip))) {
                finder.take(Dip::kTable, dip.id.text, 3);
                ++dips;
            }
        }
    }
    const std::string question = as_question(wanted);
    if (!question.empty()) {
        finder.rows(
            "SELECT table_name, record_id FROM find_entry WHERE id IN (SELECT rowid FROM find_index WHERE find_index "
            "MATCH ?1 "
            "ORDER BY rank LIMIT ?2)",
            {question, limit}, 2);
        finder.rows(
            "SELECT 'strip', id FROM strip WHERE metal_id IN (SELECT id FROM metal WHERE name = ?1) "
            "ORDER BY made_utc_ms DESC LIMIT ?2",
            {wanted, limit}, 3);
        for (const char* judged : {"strip", "piece", "part"}) {
            finder.rows(fmt::format("SELECT DISTINCT '{0}', {0}_id FROM judgement WHERE {0}_id IS NOT NULL AND tone_id "
                                    "IN (SELECT id FROM tone "
                                    "WHERE word = ?1) ORDER BY at_utc_ms DESC LIMIT ?2",
                                    judged),
                        {wanted, limit}, 3);
        }
        finder.rows("SELECT 'piece', piece_id FROM stone WHERE piece_id IS NOT NULL AND kind = ?1 LIMIT ?2",
                    {wanted, limit}, 3);
        finder.rows(
            "SELECT 'bath', bath.id FROM bath JOIN lot ON lot.id = bath.lot_id WHERE lot.number = ?1 "
            "ORDER BY made_up_utc_ms DESC LIMIT ?2",
            {number, limit}, 3);
    }
    return finder.sorted();
}

}  // namespace tonebath::app
