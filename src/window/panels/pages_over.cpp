// What lies round and over the page: the foot, sheets and lists, the keys that every page listens for.
#include "base/text.hpp"
#include "window/panels/bench_panel.hpp"
#include "window/panels/lists.hpp"
#include "window/panels/pages_window.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::window {

// Keys of this page and of every page, in one list.
void PagesWindow::open_keys() {
    std::vector<ListEntry> keys;
    for (const FootHint& hint : page_keys(here())) {
        keys.push_back({.id = "page " + hint.id, .cap = hint.cap, .words = hint.words, .more = std::string(page_word(shown_))});
    }
    const auto everywhere = [&keys](std::string cap, std::string words) {
        keys.push_back({.id = "all " + words, .cap = std::move(cap), .words = std::move(words), .more = "everywhere"});
    };
    everywhere(fmt::format("1–{}", kPageCount), "pages; Alt with the digit while typing or while a dip runs");
    everywhere("Space", "the page's copper button; Enter does the same");
    everywhere("Tab", "the next thing on the page");
    everywhere("/", "find an action");
    everywhere("Ctrl F", "find a record");
    everywhere("Ctrl C", "over a plot: copy its figures");
    everywhere("Ctrl S", "over a plot: keep its picture and figures");
    everywhere("Ctrl Z", "take the last step back");
    everywhere("Ctrl Y", "bring it forward again");
    everywhere("Alt C", "the class");
    everywhere("Alt P", "paper and files: cards, labels, record pack, export");
    everywhere("F1", "manual of this page");
    everywhere("F2", "window and units");
    everywhere("F11", "full screen");
    everywhere("F12", "emergency pages: gas, splash, fire");
    key_sheet_.open("Keys", "Find a key", [keys](const std::string& typed) {
        std::vector<ListEntry> shown;
        for (const ListEntry& key : keys) {
            if (folded(key.words + " " + key.cap).find(folded(typed)) != std::string::npos) {
                shown.push_back(key);
            }
        }
        return shown;
    });
}

void PagesWindow::draw_foot(Ui& ui) {
    auto& bench = page<BenchPage>(PageName::bench);
    if (shown_ != PageName::bench && glance_.dip_running) {
        if (const auto band = bench.band()) {
            if (dip_band(ui, *band).pressed) {
                bench.press(wishes_);
            }
            return;
        }
    }
    std::string written = said_;
    if (written.empty()) {
        const auto last = studio_->last_written();
        written = last ? "Written " + time_text_seconds(*last) : glance_.empty ? "New log, empty" : "Nothing new";
    }
    if (glance_.read_only) {
        written = "Read only: another window writes";
    }
    const bool on_sheet = class_sheet_.is_open();
    const FootResult result = foot(ui, on_sheet ? class_sheet_.hints() : here().hints(), written, said_ok_ && !glance_.read_only);
    if (result.emergency) {
        emergency_.show_next();
    }
    if (!result.used.empty() && on_sheet) {
        class_sheet_.hint_used(result.used, wishes_);
    } else if (!result.used.empty()) {
        here().hint_used(result.used, wishes_);
    }
}

void PagesWindow::draw_over(Ui& ui) {
    const float x = rail_tag_x(ui, static_cast<int>(shown_));
    class_sheet_.draw(ui, x, glance_, wishes_);
    form_sheet_.draw(ui, x, wishes_);
    help_sheet_.draw(ui, x);
    log_sheet_.draw(ui, x, glance_);
    static_cast<void>(key_sheet_.draw(ui, x));
    const UnitChoice before = choices_.units;
    settings_sheet_.draw(ui, x, choices_);
    if (before.temperature != choices_.units.temperature || before.volume != choices_.units.volume || before.mass != choices_.units.mass ||
        before.length != choices_.units.length) {
        studio_->set_units(choices_.units);
        read_generation_ = -1;
    }
    if (const std::string action = action_sheet_.draw(ui, x); action == kListFillIn) {
        wishes_.add(WishFillIn{});
    } else if (action == kListRepeat) {
        wishes_.add(WishRepeat{});
    } else if (show_figures(action)) {
        // they come when they are summed up
    } else if (!action.empty()) {
        wishes_.add(WishSheet{.action = action});
    }
    if (const std::string paper = paper_sheet_.draw(ui, x); !paper.empty()) {
        wishes_.add(WishSheet{.action = paper, .filled = app::begin_of(*app::find_paper_form(paper), glance_.now)});
    }
    if (const std::string order = order_sheet_.draw(ui, x); !order.empty()) {
        wishes_.add(WishRepeat{.number = order});
    }
    if (const std::string blank = fill_in_sheet_.draw(ui, x); !blank.empty()) {
        const auto line = std::find_if(fill_ins_.lines.begin(), fill_ins_.lines.end(), [&](const app::FillIn& one) { return one.id == blank; });
        wishes_.add(WishSheet{.action = line->action, .filled = line->filled});
        filling_in_ = true;
    }
    if (const std::string found = find_sheet_.draw(ui, x); !found.empty()) {
        const std::size_t colon = found.find(':');
        wishes_.add(WishPage{.page = page_of_noun(found.substr(0, colon)).value_or(PageName::pieces),
                             .record = found.substr(colon + 1)});
    }
    if (emergency_.is_open()) {
        auto& bench = page<BenchPage>(PageName::bench);
        const auto key = glance_.dip_running ? bench.key_view() : std::nullopt;
        if (emergency_.draw(ui, *setup_.contrast, key).pressed) {
            bench.press(wishes_);
        }
    }
}

void PagesWindow::listen(Ui& ui) {
    if (ui.press_everywhere(Key::f12)) {
        emergency_.show_next();
    }
    if (ui.pressed(Key::z, kCtrl)) {
        wishes_.add(WishUndo{});
    }
    if (ui.pressed(Key::y, kCtrl) || ui.pressed(Key::z, {.ctrl = true, .shift = true})) {
        wishes_.add(WishRedo{});
    }
    if (ui.pressed(Key::slash)) {
        wishes_.add(WishActions{});
    }
    if (ui.pressed(Key::f, kCtrl)) {
        wishes_.add(WishFind{});
    }
    if (ui.pressed(Key::f1)) {
        wishes_.add(WishHelp{});
    }
    if (ui.pressed(Key::c, kAlt)) {
        wishes_.add(WishClass{});
    }
    if (ui.pressed(Key::p, kAlt)) {
        wishes_.add(WishSheet{.action = std::string(kListPaper)});
    }
    if (ui.pressed(Key::question)) {
        open_keys();
    }
    if (ui.pressed(Key::f2)) {
        settings_sheet_.open();
    }
    const std::size_t shown_in_foot = here().hints().size();
    const std::vector<FootHint> keys = page_keys(here());
    for (std::size_t i = shown_in_foot; i < keys.size(); ++i) {
        if (ui.pressed(keys[i].key.key)) {
            here().hint_used(keys[i].id, wishes_);
        }
    }
}

}  // namespace tonebath::window
