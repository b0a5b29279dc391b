#include "lint/words.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string_view>

namespace tonebath::lint {
namespace {

namespace fs = std::filesystem;

struct Avoided {
    std::string word, say;
    std::vector<std::string> phrases;  // in which it may stand
};

struct Allowed {
    std::string file, word, part;
    bool used = false;
};

bool is_letter(char c) {
    return std::isalpha(static_cast<unsigned char>(c)) != 0;
}

std::string lower(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return text;
}

std::string stripped(const std::string& text) {
    const std::size_t from = text.find_first_not_of(" \t");
    return from == std::string::npos ? "" : text.substr(from, text.find_last_not_of(" \t") - from + 1);
}

std::vector<std::string> cut(const std::string& line, char separator) {
    std::vector<std::string> parts;
    std::istringstream in(line);
    for (std::string part; std::getline(in, part, separator);) {
        parts.push_back(stripped(part));
    }
    return parts;
}

std::vector<std::vector<std::string>> rows_of(const fs::path& file) {
    std::ifstream in(file);
    if (!in) {
        throw std::runtime_error("cannot read " + file.string());
    }
    std::vector<std::vector<std::string>> rows;
    for (std::string line; std::getline(in, line);) {
        if (!line.empty() && line[0] != '#') {
            rows.push_back(cut(line, '|'));
        }
    }
    return rows;
}

std::string content_of(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream all;
    all << in.rdbuf();
    return all.str();
}

// Text as the reader sees it: \n, \t and the like become blanks.
std::string readable(std::string text) {
    for (std::size_t i = 0; i + 1 < text.size(); ++i) {
        if (text[i] == '\\') {
            text[i] = ' ';
            text[i + 1] = text[i + 1] == 'n' || text[i + 1] == 't' ? ' ' : text[i + 1];
        }
    }
    return text;
}

// Where `word` stands as a whole word at or after `from`. A hyphen, digit or underscore beside it makes another word.
std::size_t find_word(const std::string& text, const std::string& word, std::size_t from) {
    const auto joins = [&](std::size_t at) {
        const char c = text[at];
        return is_letter(c) || c == '-' || c == '_' || std::isdigit(static_cast<unsigned char>(c)) != 0;
    };
    for (std::size_t at = text.find(word, from); at != std::string::npos; at = text.find(word, at + 1)) {
        const std::size_t end = at + word.size();
        if ((at == 0 || !joins(at - 1)) && (end == text.size() || !joins(end))) {
            return at;
        }
    }
    return std::string::npos;
}

bool stands_in_phrase(const std::string& text, std::size_t at, std::size_t length,
                      const std::vector<std::string>& phrases) {
    return std::any_of(phrases.begin(), phrases.end(), [&](const std::string& phrase) {
        for (std::size_t p = text.find(phrase); p != std::string::npos; p = text.find(phrase, p + 1)) {
            if (p <= at && at + length <= p + phrase.size()) {
                return true;
            }
        }
        return false;
    });
}

class Scanner {
public:
    Scanner(const std::string& source, Language language) : source_(source), language_(language) {}

    std::vector<Literal> all() {
        while (at_ < source_.size()) {
            step();
        }
        return found_;
    }

private:
    void step() {
        const char c = source_[at_];
        if (c == '\n') {
            ++line_;
            ++at_;
        } else if (comment_starts()) {
            skip_line();
        } else if (language_ == Language::cpp && source_.compare(at_, 2, "/*") == 0) {
            skip_to(source_.find("*/", at_ + 2), 2);
        } else if (language_ == Language::cpp && source_.compare(at_, 2, "R\"") == 0 && !after_letter()) {
            raw_string();
        } else if (language_ == Language::toml && (starts("\"\"\"") || starts("'''"))) {
            const std::string fence = source_.substr(at_, 3);
            const std::size_t end = source_.find(fence, at_ + 3);
            add(source_.substr(at_ + 3, end == std::string::npos ? end : end - at_ - 3));
            skip_to(end, 3);
        } else if (c == '"') {
            quoted('"', true);
        } else if (c == '\'' && !(at_ > 0 && std::isalnum(static_cast<unsigned char>(source_[at_ - 1])) != 0)) {
            quoted('\'', language_ == Language::toml);
        } else {
            if (c != ' ' && c != '\t') {
                joins_ = false;
            }
            ++at_;
        }
    }

    [[nodiscard]] bool starts(std::string_view head) const { return source_.compare(at_, head.size(), head) == 0; }
    [[nodiscard]] bool after_letter() const { return at_ > 0 && is_letter(source_[at_ - 1]); }

    [[nodiscard]] bool comment_starts() const {
        if (language_ == Language::toml) {
            return source_[at_] == '#';
        }
        return starts("//") || starts("#include");
    }

    void skip_line() {
        const std::size_t end = source_.find('\n', at_);
        at_ = end == std::string::npos ? source_.size() : end;
    }

    void skip_to(std::size_t end, std::size_t length) {
        const std::size_t next = end == std::string::npos ? source_.size() : end + length;
        line_ += static_cast<int>(std::count(source_.begin() + static_cast<std::ptrdiff_t>(at_),
                                             source_.begin() + static_cast<std::ptrdiff_t>(next), '\n'));
        at_ = next;
    }

    void raw_string() {
        const std::size_t open = source_.find('(', at_);
        if (open == std::string::npos) {
            at_ = source_.size();
            return;
        }
        const std::string fence = ")" + source_.substr(at_ + 2, open - at_ - 2) + "\"";
        const std::size_t end = source_.find(fence, open);
        add(source_.substr(open + 1, end == std::string::npos ? end : end - open - 1));
        skip_to(end, fence.size());
    }

    void quoted(char quote, bool keep) {
        std::size_t end = at_ + 1;
        while (end < source_.size() && source_[end] != quote && source_[end] != '\n') {
            end += source_[end] == '\\' ? 2U : 1U;
        }
        end = std::min(end, source_.size());
        if (keep) {
            add(source_.substr(at_ + 1, end - at_ - 1));
        }
        at_ = std::min(end + 1, source_.size());
    }

    void add(const std::string& text) {
        if (joins_ && language_ == Language::cpp) {
            found_.back().text += text;
        } else {
            found_.push_back({line_, text});
        }
        joins_ = true;
    }

    const std::string& source_;
    Language language_;
    std::size_t at_ = 0;
    int line_ = 1;
    bool joins_ = false;  // only blanks since the last literal
    std::vector<Literal> found_;
};

}  // namespace

std::vector<Literal> literals_of(const std::string& source, Language language) {
    return Scanner(source, language).all();
}

bool is_screen_text(const std::string& text) {
    static constexpr std::array<std::string_view, 17> kSql = {
        "SELECT", "INSERT",   "UPDATE", "DELETE", "CREATE", "DROP",    "ALTER",   "BEGIN",    "COMMIT",
        "WITH",   "ROLLBACK", "PRAGMA", "VACUUM", "ATTACH", "REPLACE", "RELEASE", "SAVEPOINT"};
    const std::string plain = stripped(readable(text));
    const std::string head = plain.substr(0, plain.find_first_of(" ;("));
    if (plain.empty() || std::find(kSql.begin(), kSql.end(), head) != kSql.end()) {
        return false;
    }
    if (plain.find(' ') != std::string::npos) {
        std::size_t letters = 0;  // in a row: three make a word, fewer may be a format
        for (const char c : plain) {
            letters = is_letter(c) ? letters + 1 : 0;
            if (letters == 3) {
                return true;
            }
        }
        return false;
    }
    return std::isupper(static_cast<unsigned char>(plain[0])) != 0 &&
           std::all_of(plain.begin(), plain.end(), is_letter);
}

std::vector<std::string> word_faults(const fs::path& tree, const std::vector<std::string>& folders,
                                     const WordLists& lists) {
    std::vector<Avoided> avoided;
    for (const std::vector<std::string>& row : rows_of(lists.avoid)) {
        avoided.push_back(
            {lower(row.at(0)), row.at(1), row.size() > 2 ? cut(lower(row[2]), ',') : std::vector<std::string>()});
    }
    std::vector<Allowed> allowed;
    for (const std::vector<std::string>& row : rows_of(lists.allowed)) {
        if (row.size() < 4 || row[3].empty()) {
            throw std::runtime_error("words_allowed.txt: file | word | part of the text | why");
        }
        allowed.push_back({row[0], lower(row[1]), lower(row[2])});
    }

    std::vector<std::string> faults;
    const auto check = [&](const std::string& file, const Literal& literal) {
        const std::string text = lower(readable(literal.text));
        const bool on_screen = is_screen_text(literal.text);
        for (const Avoided& avoid : avoided) {
            if (!on_screen && avoid.word != "safe") {
                continue;
            }
            for (std::size_t at = find_word(text, avoid.word, 0); at != std::string::npos;
                 at = find_word(text, avoid.word, at + 1)) {
                if (stands_in_phrase(text, at, avoid.word.size(), avoid.phrases)) {
                    continue;
                }
                const auto excuse = std::find_if(allowed.begin(), allowed.end(), [&](const Allowed& a) {
                    return a.file == file && a.word == avoid.word && text.find(a.part) != std::string::npos;
                });
                if (excuse != allowed.end()) {
                    excuse->used = true;
                    continue;
                }
                faults.push_back(file + ":" + std::to_string(literal.line) + ": \"" + avoid.word + "\" in \"" +
                                 literal.text + "\"; say: " + avoid.say);
            }
        }
    };
    for (const std::string& folder : folders) {
        for (const fs::directory_entry& entry : fs::recursive_directory_iterator(tree / folder)) {
            const std::string extension = entry.path().extension().string();
            if (extension != ".cpp" && extension != ".hpp" && extension != ".toml") {
                continue;
            }
            const std::string file = entry.path().lexically_relative(tree).generic_string();
            const Language language = extension == ".toml" ? Language::toml : Language::cpp;
            for (const Literal& literal : literals_of(content_of(entry.path()), language)) {
                check(file, literal);
            }
        }
    }
    for (const Allowed& allowance : allowed) {
        if (!allowance.used) {
            faults.push_back("words_allowed.txt: nothing to excuse any more: " + allowance.file + " | " +
                             allowance.word + " | " + allowance.part);
        }
    }
    std::sort(faults.begin(), faults.end());
    return faults;
}

}  // namespace tonebath::lint
