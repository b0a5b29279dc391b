#include "window/panels/safety_panel.hpp"

#include "app/studio.hpp"
#include "window/panels/air_gauge.hpp"
#include "window/panels/checks_block.hpp"
#include "window/panels/safety_air.hpp"
#include "window/panels/safety_bottles.hpp"
#include "window/widgets/blocks.hpp"

#include <algorithm>

namespace tonebath::window {

namespace {

constexpr std::string_view kWanted = "wanted", kAir = "air", kSources = "sources", kLists = "lists", kBottles = "bottles", kBook = "book", kWaste = "waste";

class SafetyPage final : public Page {
public:
    [[nodiscard]] PageName name() const override { return PageName::safety; }
    [[nodiscard]] LoopArc arc() const override { return LoopArc::dip; }
    [[nodiscard]] std::string fact() const override { return air_.view().room_words; }

    void lend(app::Reckoner& reckoner) override { air_.lend(reckoner); }

    void read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned) override {
        studio_ = &studio;
        air_.read(studio, learned);
        bottles_.read(studio);
        book_.read(studio);
        waste_.read(studio);
        checks_.read(studio);
        lists_ = app::lists_to_choose(studio);
        read_at_ = studio.now();
    }

    // The room is kept beside the records, and a check lapses by itself.
    void catch_up() override {
        if (studio_ != nullptr && (stale_ || seconds_between(read_at_, studio_->now()) > 10.0)) {
            read(*studio_, nullptr);
            stale_ = false;
        }
        air_.catch_up(part_ == kAir);
    }
    [[nodiscard]] double seconds_to_next_change() const override {
        return checks_.view().holds_until || (part_ == kAir && air_.cools()) ? 10.0 : std::numeric_limits<double>::infinity();
    }

    void told(const Told& told) override {
        checks_.told(told);
        stale_ = true;
    }

    void draw(Ui& ui, const Glance& glance, Wishes& wishes) override {
        Rect page = page_rect(ui);
        page.cut_top(ui.em(0.75F));
        const std::vector<Option> parts{{.id = std::string(kLists), .label = "Lists"},
                                        {.id = std::string(kBottles), .label = "Bottles"},
                                        {.id = std::string(kAir), .label = "Air"},
                                        {.id = std::string(kSources), .label = "Where the figures are from"},
                                        {.id = std::string(kBook), .label = "Near misses", .note = book_.waiting() == 0 ? "" : std::to_string(book_.waiting())},
                                        {.id = std::string(kWaste), .label = "Waste"}};
        Rect top = page.cut_top(ui.em(2.75F));
        part_ = ui.pressed(Key::s) ? std::string(kSources) : part_;
        if (ui.pressed(Key::i)) {
            air_.turn(part_ != kAir || !air_.cools());
            part_ = std::string(kAir);
        }
        choice_segmented(ui, "part", top, "Part of the page", parts, part_);
        page.cut_top(ui.em(0.75F));
        Rect last = page.cut_bottom(ui.em(2.25F));
        ui.paint().text(Type::strong, ui.colour(Role::ink), {last.x0, last.y1 - ui.em(0.5F)},
                        "If it happens: out, door shut behind you, nobody goes back in.");
        if (part_ == kBottles) {
            bottles_.draw(ui, page, glance, wishes);
        } else if (part_ == kBook) {
            book_.draw(ui, page, glance, wishes);
        } else if (part_ == kWaste) {
            waste_.draw(ui, page, glance, wishes);
        } else if (part_ == kLists) {
            draw_lists(ui, page, {top.x1 - ui.em(17.0F), top.y0, top.x1, top.y1}, glance, wishes);
        } else if (part_ == kSources) {
            air_.draw_sources(ui, page, glance, wishes);
        } else {
            air_.draw(ui, page, glance, wishes);
        }
    }

    [[nodiscard]] std::vector<FootHint> hints() const override {
        return {{.id = std::string(kLists), .cap = "C", .words = "lists", .key = Key::c},
                {.id = std::string(kAir), .cap = "A", .words = "air", .key = Key::a},
                {.id = std::string(kBottles), .cap = "B", .words = "bottles", .key = Key::b},
                {.id = std::string(kBook), .cap = "M", .words = "near misses", .key = Key::m},
                {.id = std::string(kWaste), .cap = "W", .words = "waste", .key = Key::w}};
    }
    void hint_used(std::string_view id, Wishes& wishes) override {
        if (id.find('.') == std::string_view::npos) {
            part_ = std::string(id);
            return;
        }
        stale_ = true;
        WishSheet sheet{.action = std::string(id), .filled = {}};
        static_cast<void>(bottles_.fill(id, sheet.filled) || book_.fill(id, sheet.filled));
        wishes.add(std::move(sheet));
    }
    // The only thing to choose here is a room temperature, for the colder room.
    void choose(std::string_view record) override { air_.type_room(record); }
    void show_view(std::string_view view) override {
        for (const std::string_view one : {"acid", "sitting", "evening", "measured", "hood", "winter"}) {
            if (one == view) {
                air_.show(one);
                part_ = std::string(kAir);
            }
        }
        for (const std::string_view one : {kAir, kSources, kLists, kBottles, kBook, kWaste}) {
            part_ = one == view ? std::string(one) : part_;
        }
    }

private:
    void draw_lists(Ui& ui, Rect page, const Rect& choice, const Glance& glance, Wishes& wishes) {
        const Rect right = page.cut_right(std::min(ui.em(27.0F), page.w() * 0.4F));
        page.cut_right(ui.em(2.0F));
        air_gauge(ui, right, air_.view());
        std::vector<Option> options{{.id = std::string(kWanted), .label = "What is wanted now"}};
        for (const app::ChecksOther& list : lists_) {
            options.push_back({.id = list.key, .label = list.title});
        }
        if (choice_list(ui, "list", choice, "List", options, list_, list_state_)) {
            checks_.choose({.list = list_ == kWanted ? "" : list_, .bath = {}, .kind = {}});
            stale_ = true;
        }
        checks_.draw(ui, page, glance, wishes);
    }

    app::Studio* studio_ = nullptr;
    AirPart air_;
    BottlesPart bottles_;
    NearMissPart book_;
    WastePart waste_;
    Stamp read_at_;
    bool stale_ = false;
    std::string part_ = std::string(kLists), list_ = std::string(kWanted);
    std::vector<app::ChecksOther> lists_;
    ChoiceState list_state_;
    ChecksBlock checks_;
};

}  // namespace

std::unique_ptr<Page> make_safety_page() {
    return std::make_unique<SafetyPage>();
}

}  // namespace tonebath::window
