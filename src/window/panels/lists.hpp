// Lines of the lists that are searched by typing.
#pragma once

#include "app/views/fill_in_view.hpp"
#include "window/panels/list_sheet.hpp"
#include "window/widgets/buttons.hpp"

#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace tonebath::app {
class Studio;
class Learned;
}  // namespace tonebath::app

namespace tonebath::window {

// What can be looked for beside the forms of the table of actions.
inline constexpr std::string_view kListFillIn = "list fill in";
inline constexpr std::string_view kListRepeat = "list repeat";
inline constexpr std::string_view kListPaper = "list paper";
inline constexpr std::string_view kListLog = "list log", kListJoin = "list join";
inline constexpr std::string_view kListMinutes = "list minutes", kListMistakes = "list mistakes", kListSeason = "list season", kListKit = "list kit";

// Lines for "find an action": every word typed must stand in the label, the help or the page. Those whose label begins
// with what was typed come first, then those whose label holds it.
[[nodiscard]] std::vector<ListEntry> actions_for(const std::string& typed, const std::vector<FootHint>& keys_here);

// What waits to be filled in; an entry's id is its record and what is missing.
[[nodiscard]] std::vector<ListEntry> fill_ins_for(const app::FillInList& list, const std::string& typed);

// The orders in the log, newest first; an entry's id is the order's number.
[[nodiscard]] std::vector<ListEntry> orders_for(app::Studio& studio, const std::string& typed);

// Words with heads and items, for a sheet.
struct WordsPage {
    std::string title;
    std::string text;
};
// What one of kListMinutes … kListKit shows; for the kit, of the class that goes on or comes next.
[[nodiscard]] bool is_figures(std::string_view id);
[[nodiscard]] WordsPage figures_page(app::Studio& studio, std::string_view id);

// An order or a piece wanted again.
[[nodiscard]] WordsPage repeat_page(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned, const std::string& number);

}  // namespace tonebath::window
