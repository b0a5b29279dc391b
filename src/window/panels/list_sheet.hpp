// A sheet with a line to type in and a list under it: find an action, find a record, the keys of a page.
#pragma once

#include "window/panels/page.hpp"
#include "window/widgets/blocks.hpp"
#include "window/widgets/table.hpp"

#include <functional>
#include <string>
#include <vector>

namespace tonebath::window {

struct ListEntry {
    std::string id;
    std::string cap;    // key or number at the left, may be empty
    std::string words;
    std::string more;   // quiet, at the right
};

class ListSheet {
public:
    // `entries` gives the lines for what is typed; it is asked when the text changes. `typed` starts the search.
    void open(std::string title, std::string hint, std::function<std::vector<ListEntry>(const std::string&)> entries,
              std::string typed = {});
    [[nodiscard]] bool is_open() const { return open_; }
    void close() { open_ = false; }
    // Draws it; returns the id of the entry that was chosen by Enter or a click, and closes then.
    [[nodiscard]] std::string draw(Ui& ui, float hung_from_x);

private:
    bool open_ = false;
    bool focus_field_ = false;
    bool caps_ = true;  // some line has one
    std::string title_;
    std::string hint_;
    std::function<std::vector<ListEntry>(const std::string&)> entries_;
    std::vector<ListEntry> shown_;
    FieldState text_;
    TableState table_;
};

}  // namespace tonebath::window
