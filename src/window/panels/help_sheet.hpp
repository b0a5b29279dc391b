// The manual, in the window: one page of docs/manual as plain text with heads, lists and keys.
#pragma once

#include "window/panels/page.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/table.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace tonebath::window {

class HelpSheet {
public:
    explicit HelpSheet(std::filesystem::path folder = {}) : folder_(std::move(folder)) {}
    // Reads "<topic>.md"; a page that is not there says so and names the folder.
    void open(std::string_view topic);
    // Shows words of the program's own in the same way: "## " heads, "- " items.
    void show(std::string title, std::string_view text);
    [[nodiscard]] bool is_open() const { return open_; }
    void draw(Ui& ui, float hung_from_x);

private:
    struct Line {
        enum class Kind : std::uint8_t { head, subhead, text, item, blank } kind = Kind::text;
        std::string words;
    };
    void read_lines(std::string_view text);

    std::filesystem::path folder_;
    std::string label_;  // of the sheet, "Manual: Typing"
    bool open_ = false;
    std::string title_;
    std::vector<Line> lines_;
    ScrollState scroll_;
};

}  // namespace tonebath::window
