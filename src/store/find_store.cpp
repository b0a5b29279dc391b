#include "store/find_store.hpp"

#include "base/text.hpp"
#include "store/query.hpp"

#include <algorithm>
#include <set>

namespace tonebath::store {
namespace {

// Typed text beyond this is not a word anyone looks for.
constexpr std::size_t kMostBytes = 200;

// From U+2E80 on (first byte 0xE2 0xBA): scripts written without blanks, which the index takes for one long word.
bool has_unspaced_script(std::string_view word) {
    return std::any_of(word.begin(), word.end(), [](char c) { return static_cast<unsigned char>(c) >= 0xE3; });
}

bool has_letter_or_digit(std::string_view word) {
    return std::any_of(word.begin(), word.end(), [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
               static_cast<unsigned char>(c) >= 0x80;
    });
}

std::vector<std::string> words_of(std::string_view typed) {
    std::vector<std::string> words;
    std::string word;
    for (const char c : std::string(typed) + " ") {
        if (static_cast<unsigned char>(c) > ' ') {
            word += c;
        } else if (!word.empty()) {
            words.push_back(std::move(word));
            word.clear();
        }
    }
    return words;
}

// "lim lid" -> "lim"* "lid"*: quoted, so that nothing typed is read as a rule of the index's own language.
std::string as_match(const std::vector<std::string>& words) {
    std::string match;
    for (const std::string& word : words) {
        if (!has_letter_or_digit(word)) {
            continue;
        }
        match += match.empty() ? "\"" : " \"";
        for (const char c : word) {
            match += c == '"' ? "\"\"" : std::string(1, c);
        }
        match += "\"*";
    }
    return match;
}

std::string escaped_for_like(std::string_view text) {
    std::string escaped;
    for (const char c : text) {
        if (c == '%' || c == '_' || c == '\\') {
            escaped += '\\';
        }
        escaped += c;
    }
    return escaped;
}

class Finder {
public:
    Finder(Log& log, std::size_t limit) : log_(log), limit_(limit) {}

    // `tail` follows the columns and the table; its last value is the limit.
    void add(const std::string& from, std::vector<Bound> values) {
        if (found_.size() >= limit_) {
            return;
        }
        values.emplace_back(static_cast<std::int64_t>(limit_));
        Query query(log_, "SELECT table_name, record_id, find_entry.title, find_entry.words " + from, values);
        while (found_.size() < limit_ && query.next()) {
            Found next{query.text(0), query.text(1), query.text(2), query.text(3)};
            if (seen_.insert(next.record_id).second) {
                found_.push_back(std::move(next));
            }
        }
    }

    std::vector<Found> take() { return std::move(found_); }

private:
    Log& log_;
    std::size_t limit_;
    std::vector<Found> found_;
    std::set<std::string> seen_;
};

}  // namespace

std::vector<Found> find_text(Log& log, std::string_view typed, std::size_t limit) {
    const std::string whole(trimmed(typed));
    if (whole.empty() || whole.size() > kMostBytes || !is_valid_utf8(whole) || whole.find('\0') != std::string::npos) {
        return {};
    }
    const Snapshot one_moment(log);
    Finder finder(log, limit);
    finder.add("FROM find_entry WHERE title = ?1 AND title <> '' ORDER BY id DESC LIMIT ?2", {whole});
    finder.add(
        "FROM find_entry WHERE title >= ?1 AND title < ?1 || char(0x10FFFF) AND title <> '' "
        "ORDER BY length(title), title, id LIMIT ?2",
        {whole});
    const std::vector<std::string> words = words_of(whole);
    if (std::any_of(words.begin(), words.end(), has_unspaced_script)) {
        finder.add(
            "FROM find_entry WHERE title || ' ' || words LIKE '%' || ?1 || '%' ESCAPE '\\' ORDER BY id DESC LIMIT ?2",
            {escaped_for_like(whole)});
    } else if (const std::string match = as_match(words); !match.empty()) {
        finder.add(
            "FROM find_index JOIN find_entry ON find_entry.id = find_index.rowid WHERE find_index MATCH ?1 "
            "ORDER BY find_index.rowid DESC LIMIT ?2",
            {match});
    }
    return finder.take();
}

}  // namespace tonebath::store
