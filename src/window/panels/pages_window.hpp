// The window's content: rail, the page, the foot, and what lies over them (forms, find, keys, emergency). It owns the open
// studio and carries out what the pages wish, after each frame.
#pragma once

#include "app/learning.hpp"
#include "app/log_desk.hpp"
#include "app/reckoner.hpp"
#include "app/studio.hpp"
#include "model/cue.hpp"
#include "app/views/fill_in_view.hpp"
#include "window/panels/class_sheet.hpp"
#include "window/panels/emergency_sheet.hpp"
#include "window/panels/form_sheet.hpp"
#include "window/panels/help_sheet.hpp"
#include "window/panels/list_sheet.hpp"
#include "window/panels/lists.hpp"
#include "window/panels/log_sheet.hpp"
#include "window/panels/page.hpp"
#include "window/panels/paper_desk.hpp"
#include "window/panels/settings_sheet.hpp"

#include <array>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace tonebath::window {

struct WindowPlaces {
    std::filesystem::path log;         // her own log
    std::filesystem::path demo;        // where the demo studio is written
    std::filesystem::path data;
    std::filesystem::path checklists;
    std::filesystem::path own_checklists;  // the studio's own; the demo has none
    std::filesystem::path manual;      // pages shown in the window
};

struct PagesSetup {
    WindowPlaces places;
    bool demo = false;            // open the demo studio first
    bool asks_numbers = false;    // on an empty log: ask for the studio's emergency numbers first
    bool fit_at_once = false;     // for pictures and tests: wait for the fit instead of a worker
    WindowChoices choices;        // as last left
    const Theme* contrast = nullptr;  // black and white, for the emergency pages; outlives the window
    std::function<void()> wake;   // asks for a frame, from any thread
};

class PagesWindow {
public:
    // Opens the log (made when it is not there). A log that another window writes is opened for reading, and says so.
    [[nodiscard]] static Result<std::unique_ptr<PagesWindow>> open(PagesSetup setup, const Clock& clock);
    ~PagesWindow();

    // "pieces", "tones/drift", "pieces/why/L-058": a page, one of its views, a record chosen there; "class", "class/C-6": the
    // Class sheet over Today. False: no such page.
    [[nodiscard]] bool open_page(std::string_view name);
    [[nodiscard]] PageName shown() const { return shown_; }
    // Opens an action's form over the page, some of it filled in.
    void ask_form(std::string_view action, const std::map<std::string, std::string>& filled) { form_sheet_.open(action, filled); }
    // Draws one frame; nothing is written.
    void draw(Ui& ui);
    // Carries out what was wished. True when something changed.
    bool carry_out();
    [[nodiscard]] double seconds_to_next_change() const;
    [[nodiscard]] std::string title() const;
    [[nodiscard]] bool dip_running() const { return glance_.dip_running; }
    // A dip or a coating is under way.
    [[nodiscard]] bool hands_full() const;
    // Theme, size and units as chosen on their sheet: the shell takes them up between frames.
    [[nodiscard]] const WindowChoices& choices() const { return choices_; }
    // What the bench and the rows of a coating say aloud from now on, soonest first.
    [[nodiscard]] std::vector<Cue> cues() const;
    [[nodiscard]] bool take_sound_test() { return settings_sheet_.take_sound_test(); }
    // Words for the foot's line, of what was done beside the log.
    void say(std::string words, bool ok) { said_ = std::move(words), said_ok_ = ok; }
    // Backup and farewell; called once, on closing.
    void close();

    [[nodiscard]] app::Studio& studio() { return *studio_; }
    template <class P>
    [[nodiscard]] P& page(PageName name) {
        return static_cast<P&>(*pages_[static_cast<std::size_t>(name)]);
    }

private:
    PagesWindow(PagesSetup setup, const Clock& clock);
    [[nodiscard]] Result<Done> open_studio(bool demo);
    void read_if_stale();
    void draw_over(Ui& ui);
    void draw_foot(Ui& ui);
    void listen(Ui& ui);
    [[nodiscard]] bool covered() const;
    void open_keys();
    void open_fill_ins();
    void open_paper();
    void look_at_paper();
    void open_repeat(const std::string& number);
    bool hear_log_desk();
    bool show_figures(const std::string& id);  // true where it is one of them
    void grant(const Wish& wish);
    void tell(Told told);
    void turn_to(PageName page, std::string_view record = {});
    [[nodiscard]] Page& here() { return *pages_[static_cast<std::size_t>(shown_)]; }

    PagesSetup setup_;
    const Clock& clock_;
    std::unique_ptr<app::Studio> studio_;
    std::unique_ptr<app::Learner> learner_;
    std::unique_ptr<app::Reckoner> reckoner_;
    std::unique_ptr<app::LogDesk> log_desk_;
    std::shared_ptr<const app::Learned> learned_;
    std::array<std::unique_ptr<Page>, kPageCount> pages_;
    PageName shown_ = PageName::today;
    Glance glance_;
    Wishes wishes_;
    ClassSheet class_sheet_;
    FormSheet form_sheet_;
    ListSheet action_sheet_;
    ListSheet find_sheet_;
    ListSheet order_sheet_;
    ListSheet fill_in_sheet_;
    app::FillInList fill_ins_;         // as listed on it
    bool filling_in_ = false;          // the form was opened from the list: back to it when it closes
    ListSheet key_sheet_;
    ListSheet paper_sheet_;
    PaperDesk paper_desk_;             // after the reckoner, whose threads it uses: gone before them
    SettingsSheet settings_sheet_;
    WindowChoices choices_;
    HelpSheet help_sheet_;
    LogSheet log_sheet_;
    app::Reckoned<WordsPage> figures_;  // shown on the sheet of the manual when they come
    EmergencySheet emergency_;
    std::int64_t read_generation_ = -1;
    bool fit_is_new_ = true;
    std::string said_;                 // the last answer, for the foot: "Bath 46 made up"
    bool said_ok_ = true;
    Stamp backup_asked_;               // when the daily backup was last thought of
};

}  // namespace tonebath::window
