#include "window/panels/page.hpp"

#include "base/text.hpp"

#include <array>

namespace tonebath::window {

namespace {
constexpr std::array<std::string_view, kPageCount> kWords{"Today", "Bench", "Baths", "Tones", "Pieces"};
}

std::string_view page_word(PageName page) { return kWords[static_cast<std::size_t>(page)]; }

std::optional<PageName> page_from(std::string_view name) {
    const std::string wanted = folded(name);
    for (std::size_t i = 0; i < kWords.size(); ++i) {
        if (folded(kWords[i]) == wanted) {
            return static_cast<PageName>(i);
        }
    }
    return std::nullopt;
}

}  // namespace tonebath::window
