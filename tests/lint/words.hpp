// Words that stay off the screen, looked for in the text of sources and checklists.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace tonebath::lint {

struct Literal {
    int line = 0;
    std::string text;  // as written between the quotes; neighbouring literals are joined
};

enum class Language { cpp, toml };

// Every string in a source text; comments, #include lines and character constants are passed over.
[[nodiscard]] std::vector<Literal> literals_of(const std::string& source, Language language);

// True for what a person may read: several words, or one capitalised word. Keys, ids, formats and SQL are not.
[[nodiscard]] bool is_screen_text(const std::string& text);

struct WordLists {
    std::filesystem::path avoid;    // words_to_avoid.txt
    std::filesystem::path allowed;  // words_allowed.txt
};

// One sentence per fault: a word to avoid in screen text (the word "safe": in any text), or an allowance without a use.
[[nodiscard]] std::vector<std::string> word_faults(const std::filesystem::path& tree,
                                                   const std::vector<std::string>& folders, const WordLists& lists);

}  // namespace tonebath::lint
