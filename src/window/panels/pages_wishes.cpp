// What the pages wish, carried out after each frame, and its answer told to who wished it.
#include "app/recall.hpp"
#include "base/text.hpp"
#include "window/panels/lists.hpp"
#include "window/panels/pages_window.hpp"

#include <variant>

namespace tonebath::window {

void PagesWindow::tell(Told told) {
    said_ok_ = told.answer.has_value();
    said_ = told.answer ? told.answer->said : told.answer.error().text();
    // A stop that opened during a dip: its page, with the key that takes the piece out on it.
    if (told.answer && told.answer->made.contains("emergency")) {
        emergency_.show(told.answer->made.at("emergency"));
    }
    if (form_sheet_.owns(told.form)) {
        form_sheet_.told(told);
    }
    here().told(told);
}

void PagesWindow::grant(const Wish& wish) {
    struct Granter {
        PagesWindow& window;
        void operator()(const WishForm& w) const {
            if (app::find_paper_form(w.form.action) != nullptr) {
                window.paper_desk_.begin(w.form, *window.reckoner_);
                return;
            }
            window.tell({.form = w.form, .answer = window.studio_->carry_out(w.form)});
        }
        void operator()(const WishPage& w) const { window.turn_to(w.page, w.record); }
        void operator()(const WishSheet& w) const {
            if (w.action == kListPaper) {
                window.open_paper();
            } else if (w.action == kListLog || w.action == kListJoin) {
                window.log_sheet_.open(*window.studio_);
            } else {
                window.form_sheet_.open(w.action, w.filled);
            }
        }
        void operator()(const WishUndo&) const { window.tell({.form = {.action = "undo"}, .answer = window.studio_->undo()}); }
        void operator()(const WishRedo&) const { window.tell({.form = {.action = "redo"}, .answer = window.studio_->redo()}); }
        void operator()(const WishDemo& w) const {
            if (const auto opened = window.open_studio(w.open); !opened) {
                window.said_ = opened.error().text();
                window.said_ok_ = false;
            }
            window.turn_to(PageName::today);
        }
        void operator()(const WishFind& w) const {
            window.find_sheet_.open("Find", "A number, a design, a tone, a stone, a month", [this_ = &window](const std::string& typed) {
                std::vector<ListEntry> entries;
                for (const app::Hit& hit : app::find_anything(*this_->studio_, typed, 200)) {
                    entries.push_back({.id = hit.noun + ":" + hit.id, .cap = hit.number, .words = hit.line, .more = hit.noun});
                }
                return entries;
            }, w.text);
        }
        void operator()(const WishActions&) const {
            window.action_sheet_.open("Find an action", "What do you want to do?", [keys = page_keys(window.here())](const std::string& typed) {
                return actions_for(typed, keys);
            });
        }
        void operator()(const WishFillIn&) const { window.open_fill_ins(); }
        void operator()(const WishRepeat& w) const { window.open_repeat(w.number); }
        void operator()(const WishClass& w) const { window.class_sheet_.open(w.number); }
        void operator()(const WishHelp& w) const {
            window.help_sheet_.open(w.topic.empty() ? folded(page_word(window.shown_)) : w.topic);
        }
    };
    std::visit(Granter{*this}, wish);
}

// What the desk of the log has done meanwhile; and the backup of the day, while nobody's hands are full.
bool PagesWindow::hear_log_desk() {
    constexpr double kLookEvery_s = 600.0;
    const Stamp now = studio_->now();
    if (!setup_.fit_at_once && !glance_.read_only && !hands_full() && seconds_between(backup_asked_, now) > kLookEvery_s && log_desk_->ask(app::BackUpTask{.only_when_due = true})) {
        backup_asked_ = now;
    }
    const std::optional<app::LogTold> told = log_sheet_.catch_up(*studio_);
    if (told && !(told->quiet && told->ok)) {
        said_ = told->said;
        said_ok_ = told->ok;
    }
    return told.has_value();
}

bool PagesWindow::show_figures(const std::string& id) {
    if (!is_figures(id)) {
        return false;
    }
    figures_.ask(*reckoner_, [id](app::Studio& studio, const app::StillWanted&) { return figures_page(studio, id); }, app::Pace::slow);
    return true;
}

bool PagesWindow::carry_out() {
    bool heard = hear_log_desk();
    if (figures_.look()) {
        help_sheet_.show(figures_.latest()->title, figures_.latest()->text);
        heard = true;
    }
    const std::vector<Wish> wishes = wishes_.take();
    for (const Wish& wish : wishes) {
        grant(wish);
    }
    if (filling_in_ && !form_sheet_.is_open()) {
        open_fill_ins();  // back to the list, a line shorter
    }
    return heard || !wishes.empty();
}

void PagesWindow::open_repeat(const std::string& number) {
    if (number.empty()) {
        order_sheet_.open("Repeat an order", "Which order?", [this](const std::string& typed) { return orders_for(*studio_, typed); });
        return;
    }
    const WordsPage page = repeat_page(*studio_, learned_, number);
    help_sheet_.show(page.title, page.text);
}

void PagesWindow::open_paper() {
    paper_sheet_.open("Paper and files", "What do you want to print, write out or bring in?", paper_for);
}

// What is in the making: its answer, how far it has come; Esc on its form stops it.
void PagesWindow::look_at_paper() {
    if (auto done = paper_desk_.take()) {
        tell(*done);
        if (done->answer && !done->answer->cautions.empty()) {
            help_sheet_.show(app::find_paper_form(done->form.action)->words.label, "- " + joined(done->answer->cautions, "\n- ") + "\n");
        }
    }
    if (!paper_desk_.at_work()) {
        return;
    }
    if (form_sheet_.is_open()) {
        said_ = paper_desk_.words();
        said_ok_ = true;
    } else if (!paper_desk_.stopping()) {
        paper_desk_.stop();
        said_ = paper_desk_.at_work() ? "Stopping" : "Stopped; nothing of it stays";
    }
}

void PagesWindow::open_fill_ins() {
    filling_in_ = false;
    fill_ins_ = app::fill_in_list(*studio_);
    fill_in_sheet_.open("Fill in", fill_ins_.more ? "The newest blanks: a number, or what is missing" : "A number, or what is missing",
                        [this](const std::string& typed) { return fill_ins_for(fill_ins_, typed); });
}

}  // namespace tonebath::window
