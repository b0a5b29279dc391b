#include "window/panels/page.hpp"

#include "app/actions.hpp"
#include "base/text.hpp"

#include <algorithm>
#include <array>

namespace tonebath::window {

namespace {
constexpr std::array<std::string_view, kPageCount> kWords{"Today", "Bench", "Baths", "Tones", "Pieces", "Stones", "Coats", "Safety"};
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

std::vector<FootHint> page_keys(const Page& page) {
    std::vector<FootHint> keys = page.hints();
    for (const app::ActionSpec& spec : app::actions()) {
        const Key letter = spec.key.size() == 1 ? letter_key(spec.key.front()) : Key::none;
        const bool taken = std::any_of(keys.begin(), keys.end(), [&](const FootHint& hint) {
            return hint.id == spec.id || hint.key.key == letter;
        });
        if (letter != Key::none && !taken && spec.page == page_word(page.name())) {
            keys.push_back({.id = spec.id, .cap = spec.key, .words = spec.label, .key = letter});
        }
    }
    return keys;
}

std::vector<QuestionAnswer> question_answers(const Refusal& refusal) {
    std::vector<QuestionAnswer> answers;
    for (const std::string& words : refusal.answers) {
        Key letter = Key::none;
        for (const char sign : words) {
            const Key key = letter_key(sign);
            const bool digit = sign >= '0' && sign <= '9';
            const bool taken = std::any_of(answers.begin(), answers.end(), [&](const QuestionAnswer& one) { return one.key.key == key; });
            if (key != Key::none && !digit && !taken) {
                letter = key;
                break;
            }
        }
        answers.push_back({.id = words, .label = words, .key = letter});
    }
    return answers;
}

std::optional<PageName> page_of_noun(std::string_view noun) {
    if (noun == "bath" || noun == "lot" || noun == "vessel") {
        return PageName::baths;
    }
    if (noun == "tone" || noun == "tone_scale" || noun == "target" || noun == "strip" || noun == "metal") {
        return PageName::tones;
    }
    if (noun == "stone" || noun == "follow_up") {
        return PageName::stones;
    }
    if (noun == "bottle" || noun == "coating" || noun == "coat") {
        return PageName::coats;
    }
    return PageName::pieces;
}

}  // namespace tonebath::window
