#include "window/panels/pages_window.hpp"

#include "app/actions.hpp"
#include "app/demo/demo.hpp"
#include "app/recall.hpp"
#include "app/views/glance_view.hpp"
#include "base/check.hpp"
#include "base/text.hpp"
#include "window/panels/baths_panel.hpp"
#include "window/panels/bench_panel.hpp"
#include "window/panels/coats_panel.hpp"
#include "window/panels/lists.hpp"
#include "window/panels/pieces_panel.hpp"
#include "window/panels/safety_panel.hpp"
#include "window/panels/stones_panel.hpp"
#include "window/panels/today_panel.hpp"
#include "window/panels/tones_panel.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::window {

PagesWindow::PagesWindow(PagesSetup setup, const Clock& clock)
    : setup_(std::move(setup)), clock_(clock), choices_(setup_.choices), help_sheet_(setup_.places.manual) {
    pages_ = {make_today_page(), make_bench_page(), make_baths_page(), make_tones_page(), make_pieces_page(), make_stones_page(), make_coats_page(), make_safety_page()};
}

PagesWindow::~PagesWindow() = default;

Result<std::unique_ptr<PagesWindow>> PagesWindow::open(PagesSetup setup, const Clock& clock) {
    const bool demo = setup.demo;
    std::unique_ptr<PagesWindow> window(new PagesWindow(std::move(setup), clock));
    if (const auto opened = window->open_studio(demo); !opened) {
        return opened.error();
    }
    return window;
}

Result<Done> PagesWindow::open_studio(bool demo) {
    const std::filesystem::path file = demo ? setup_.places.demo : setup_.places.log;
    if (demo) {
        if (const auto made = app::prepare_demo(file, setup_.places.data); !made) {
            return made.error();
        }
    }
    app::StudioOptions options{.log = file, .create = true, .hold_window = true, .hold_clock = setup_.fit_at_once, .units = choices_.units, .data = setup_.places.data,
                               .checklists = setup_.places.checklists, .own_checklists = demo ? std::filesystem::path() : setup_.places.own_checklists};
    auto studio = app::Studio::open(options, clock_);
    if (!studio) {
        return studio.error();
    }
    paper_desk_.drop();
    learner_.reset();
    reckoner_.reset();
    log_desk_.reset();
    figures_.forget();
    learned_.reset();
    studio_ = std::move(studio).value();
    if (auto pages = app::read_emergency_pages(setup_.places.checklists); pages) {
        emergency_.set_pages(std::move(pages).value());
    } else {
        return pages.error();
    }
    if (setup_.fit_at_once || file.empty()) {
        learned_ = app::learn(*studio_);
        reckoner_ = std::make_unique<app::Reckoner>(*studio_);
        log_desk_ = std::make_unique<app::LogDesk>(*studio_);
    } else {
        learner_ = std::make_unique<app::Learner>(studio_->options(), clock_, setup_.wake);
        learner_->ask();
        reckoner_ = std::make_unique<app::Reckoner>(studio_->options(), clock_, setup_.wake);
        log_desk_ = std::make_unique<app::LogDesk>(studio_->options(), clock_, setup_.wake);
    }
    log_sheet_.lend(*log_desk_);
    for (const auto& page : pages_) {
        page->lend(*reckoner_);
    }
    read_generation_ = -1;
    said_.clear();
    // Where more than one may stand at the bench, who does is asked first; never in the middle of a dip.
    const app::GlanceView glance = app::glance_view(*studio_);
    if (!glance.dip_running && !studio_->demo() && !studio_->options().read_only && app::many_at_bench(*studio_)) {
        wishes_.add(WishSheet{.action = "person.at-bench", .filled = {{"who", glance.who}}});
    }
    const app::EmergencyNumbers numbers = app::emergency_numbers(*studio_);
    if (setup_.asks_numbers && glance.empty && !studio_->demo() && !studio_->options().read_only &&
        (numbers.emergency_number + numbers.poison_line + numbers.address).empty()) {
        wishes_.add(WishSheet{.action = "studio.emergency-numbers"});
    }
    return Done{};
}

bool PagesWindow::open_page(std::string_view name) {
    const std::vector<std::string> asked = split(name, '/');
    if (asked.front() == "paper") {
        wishes_.add(WishSheet{.action = std::string(kListPaper)});
        return true;
    }
    if (asked.front() == "class") {
        turn_to(PageName::today);
        class_sheet_.open(asked.size() > 1 ? asked[1] : "");
        return true;
    }
    if (asked.front() == "log") {  // with another bench's log: looked at
        log_sheet_.open(*studio_, std::string(name.substr(std::min(name.size(), asked.front().size() + 1))));
        return true;
    }
    if (asked.front() == "work" && asked.size() > 1) {
        return show_figures("list " + asked[1]);
    }
    const auto page = page_from(asked.front());
    if (page) {
        const std::string part = asked.size() > 1 ? asked[1] : "";
        turn_to(*page, asked.size() > 2 ? asked[2] : "");
        here().show_view(part);
        if (part == "class") {
            wishes_.add(WishClass{});
        }
    }
    return page.has_value();
}

std::vector<Cue> PagesWindow::cues() const {
    std::vector<Cue> all;
    for (const auto& page : pages_) {
        const std::vector<Cue> some = page->cues();
        all.insert(all.end(), some.begin(), some.end());
    }
    std::stable_sort(all.begin(), all.end(), [](const Cue& one, const Cue& other) { return one.at_ms < other.at_ms; });
    return all;
}

void PagesWindow::turn_to(PageName page, std::string_view record) {
    shown_ = page;
    if (!record.empty()) {
        read_if_stale();
        here().choose(record);
    }
}

bool PagesWindow::covered() const {
    return class_sheet_.is_open() || form_sheet_.is_open() || action_sheet_.is_open() || find_sheet_.is_open() || order_sheet_.is_open() || fill_in_sheet_.is_open() || key_sheet_.is_open() || paper_sheet_.is_open() || settings_sheet_.is_open() ||
           help_sheet_.is_open() || log_sheet_.is_open() || emergency_.is_open();
}

void PagesWindow::read_if_stale() {
    if (learner_) {
        if (auto latest = learner_->latest(); latest != learned_) {
            learned_ = std::move(latest);
            fit_is_new_ = true;
        }
    }
    const std::int64_t generation = studio_->generation();
    const bool log_changed = generation != read_generation_;
    if (log_changed && read_generation_ >= 0) {
        if (learner_) {
            learner_->ask();
        } else {
            learned_ = app::learn(*studio_);
        }
    }
    if (log_changed || fit_is_new_) {
        const app::GlanceView view = app::glance_view(*studio_);
        glance_.who = view.who;
        glance_.empty = view.empty;
        glance_.dip_running = view.dip_running;
        emergency_.set_numbers(app::emergency_numbers(*studio_));
        for (const auto& page : pages_) {
            page->read(*studio_, learned_);
        }
        if (class_sheet_.is_open()) {
            class_sheet_.read(*studio_, learned_, *reckoner_);
        }
        read_generation_ = generation;
        fit_is_new_ = false;
    }
    here().catch_up();
    if (class_sheet_.stale()) {
        class_sheet_.read(*studio_, learned_, *reckoner_);
    }
    glance_.now = studio_->now();
    glance_.units = studio_->units();
    glance_.demo = studio_->demo();
    glance_.read_only = studio_->options().read_only;
    glance_.fitting = learner_ && learner_->busy();
}

void PagesWindow::draw(Ui& ui) {
    read_if_stale();
    ui.background();

    look_at_paper();
    const bool under_something = covered();
    RailView view{.chosen = static_cast<int>(shown_), .arc = here().arc(), .fact = here().fact(),
                  .who = !glance_.who.empty() ? glance_.who : glance_.empty ? "" : "nobody named",
                  .clock = time_text(glance_.now), .only_alt = glance_.dip_running};
    for (int i = 0; i < kPageCount; ++i) {
        view.pages.emplace_back(page_word(static_cast<PageName>(i)));
    }
    if (glance_.demo) {
        view.aside = "invented studio";
    }
    if (const auto asked = rail(ui, view).page; asked && !under_something) {
        turn_to(static_cast<PageName>(*asked));
        read_if_stale();
    }
    {
        const auto scope = ui.scope(folded(page_word(shown_)));
        here().draw(ui, glance_, wishes_);
    }
    draw_foot(ui);
    draw_over(ui);
    if (!under_something) {
        listen(ui);
    }
}

double PagesWindow::seconds_to_next_change() const {
    // The clock of the rail turns over at the next minute.
    const double to_minute = 60.0 - static_cast<double>(glance_.now.utc_ms % 60000) / 1000.0;
    double next = std::min(to_minute, pages_[static_cast<std::size_t>(shown_)]->seconds_to_next_change());
    if (glance_.dip_running || emergency_.is_open() || paper_desk_.at_work()) {
        next = std::min(next, 0.1);
    }
    return next;
}

bool PagesWindow::hands_full() const {
    return glance_.dip_running || std::any_of(pages_.begin(), pages_.end(), [](const auto& page) { return page->hands_full(); });
}

std::string PagesWindow::title() const {
    return glance_.demo ? "Tonebath: invented demo studio" : "Tonebath";
}

void PagesWindow::close() {
    paper_desk_.drop();
    log_desk_.reset();
    learner_.reset();
    reckoner_.reset();
    studio_->close();
}

}  // namespace tonebath::window
