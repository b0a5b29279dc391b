#include "window/panels/bench_panel.hpp"

#include "app/answers.hpp"
#include "app/learning.hpp"
#include "app/studio.hpp"
#include "base/text.hpp"
#include "window/panels/bench_words.hpp"
#include "window/widgets/blocks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {

namespace {
constexpr double kReplan_s = 10.0;  // a waiting lane's plan is made anew when the bath has cooled for so long
}

std::unique_ptr<Page> make_bench_page() { return std::make_unique<BenchPage>(); }

std::string BenchPage::fact() const {
    return view_.bath ? "Bath " + view_.bath->bath.number + (view_.bath->lot ? ", " + view_.bath->lot->number : "") : std::string();
}

void BenchPage::read(app::Studio& studio, const std::shared_ptr<const app::Learned>& learned) {
    studio_ = &studio;
    learned_ = learned;
    scales_.read(app::scales_view(studio));
    view_ = app::bench_view(studio, learned);
    read_at_ = studio.now();
    if (picked_ && lane(*picked_) == nullptr) {
        picked_.reset();
    }
    if (view_.bath && view_.check_open) {
        if (checks_.choice().list != view_.check_list || checks_.choice().bath != view_.bath->bath.number) {
            checks_.choose({.list = view_.check_list, .bath = view_.bath->bath.number, .kind = {}});
        }
        checks_.read(studio);
    }
    read_mixed();
}

void BenchPage::catch_up() {
    mixed_.look();
    const bool waiting = std::any_of(view_.lanes.begin(), view_.lanes.end(),
                                     [](const app::BenchLane& one) { return one.state == LaneState::waiting && one.plan; });
    if (waiting && studio_ != nullptr && seconds_between(read_at_, studio_->now()) > kReplan_s) {
        read(*studio_, learned_);
    }
}

void BenchPage::choose(std::string_view record) {
    if (record == "strip") {
        asked_sheet_ = WishSheet{.action = "strip.lay-out"};
    } else {
        asked_sheet_ = WishSheet{.action = "bench.lay-out", .filled = {{"batch", std::string(record)}}};
    }
}

double BenchPage::seconds_to_next_change() const {
    for (const app::BenchLane& one : view_.lanes) {
        if (one.state == LaneState::in_bath || one.state == LaneState::rinsing) {
            return 0.1;
        }
    }
    return view_.bath ? 1.0 : std::numeric_limits<double>::infinity();
}

const app::BenchLane* BenchPage::lane(int number) const {
    const auto found = std::find_if(view_.lanes.begin(), view_.lanes.end(),
                                    [number](const app::BenchLane& one) { return one.number == number; });
    return found == view_.lanes.end() ? nullptr : &*found;
}

KeyAct BenchPage::act() const {
    return key_act(app::lanes_at(view_, studio_->now(), studio_->clock().boot()), picked_);
}

// The lane shown large: one that was picked to be judged; while something is in the bath, in the rinse or has its turn, the
// one on the key; else the first that came out and waits to be judged.
const app::BenchLane* BenchPage::shown_lane() const {
    const auto unjudged = [](const app::BenchLane& one) { return one.state == LaneState::done && !one.judged; };
    if (const app::BenchLane* one = picked_ ? lane(*picked_) : nullptr; one != nullptr && unjudged(*one)) {
        return one;
    }
    const KeyAct now = act();
    const bool busy = now.act == BenchAct::lift_out || now.act == BenchAct::end_rinse ||
                      std::any_of(view_.lanes.begin(), view_.lanes.end(), [this](const app::BenchLane& one) {
                          return one.state == LaneState::waiting && view_.layout.every_s.has_value();
                      });
    const auto first = std::find_if(view_.lanes.begin(), view_.lanes.end(), unjudged);
    if (first != view_.lanes.end() && !busy && !picked_) {
        return &*first;
    }
    if (now.act != BenchAct::none) {
        return lane(now.lane);
    }
    return view_.lanes.empty() ? nullptr : &view_.lanes.front();
}

std::optional<BenchKeyView> BenchPage::key_view() const {
    const KeyAct now = act();
    const app::BenchLane* one = lane(now.lane);
    if (one == nullptr || now.act == BenchAct::none) {
        return std::nullopt;
    }
    BenchKeyView view{.label = key_words(now.act, *one), .then = then_words(now.act, *one, view_.layout.rinse_s)};
    if (now.act == BenchAct::drop && view_.check_open) {
        view.refused = "the check of this bath is open";
    }
    return view;
}

std::optional<DipBandView> BenchPage::band() const {
    const KeyAct now = act();
    const app::BenchLane* one = lane(now.lane);
    if (one == nullptr || (one->state != LaneState::in_bath && one->state != LaneState::rinsing)) {
        return std::nullopt;
    }
    DipBandView view{.shape = TagShape::piece, .tag = one->tag, .strip = strip_of(*one), .key_words = key_words(now.act, *one)};
    const auto in_s = app::in_bath_s(*one, studio_->now(), studio_->clock().boot());
    const bool planned = one->plan && one->plan->out_s;
    view.seconds = !in_s ? "rinse" : planned ? clock_words(*one->plan->out_s - *in_s) : clock_words(*in_s) + " in";
    if (view.strip.scale == nullptr) {
        return std::nullopt;
    }
    return view;
}

std::vector<Cue> BenchPage::cues() const {
    if (studio_ == nullptr) {
        return {};
    }
    const BootTime boot = studio_->clock().boot();
    std::vector<Cue> cues = cues_of(app::lanes_at(view_, studio_->now(), boot), boot.ms);
    for (Cue& cue : cues) {
        if (const app::BenchLane* one = lane(cue.lane); one != nullptr && one->seat) {
            cue.lane = *one->seat;  // the number that is spoken
        }
    }
    return cues;
}

void BenchPage::press(Wishes& wishes) {
    if (!debounce_.counts(studio_->clock().boot().ms)) {
        return;
    }
    const KeyAct now = act();
    const app::BenchLane* one = lane(now.lane);
    if (one == nullptr || now.act == BenchAct::none || (now.act == BenchAct::drop && view_.check_open)) {
        return;
    }
    app::Form form;
    if (now.act == BenchAct::drop) {
        form.action = "dip.drop";
        form.typed["bath"] = view_.bath->bath.number;
        form.typed[one->is_strip ? "strip" : one->subject.part ? "part" : "piece"] = one->is_strip ? one->tag : one->subject.name;
        form.typed["lane"] = std::to_string(one->number);
        if (!one->aim_word.empty()) {
            form.typed["aim"] = one->aim_word;
        }
        add_promise(form, *one);
    } else {
        form.action = now.act == BenchAct::lift_out ? "dip.out" : "dip.rinsed";
        form.typed["lane"] = std::to_string(one->number);
        form.typed[one->is_strip ? "strip" : one->subject.part ? "part" : "piece"] = one->is_strip ? one->tag : one->subject.name;
    }
    picked_.reset();
    wishes.add(WishForm{std::move(form)});
}

std::vector<FootHint> BenchPage::hints() const {
    return {{.id = "dip.undo-press", .cap = "U", .words = "undo last press", .key = Key::u},
            {.id = "reading", .cap = "R", .words = "reading", .key = Key::r},
            {.id = "bench.lay-out", .cap = "L", .words = "lay out", .key = Key::l},
            {.id = "strip.lay-out", .cap = "S", .words = "a strip", .key = Key::s},
            {.id = "judgement.add", .cap = "J", .words = "judge", .key = Key::j}};
}

void BenchPage::hint_used(std::string_view id, Wishes& wishes) {
    if (id == "reading") {
        reading_open_ = view_.bath.has_value();
        reading_focus_ = true;
    } else if (id == "dip.undo-press") {
        wishes.add(WishForm{{.action = "dip.undo-press"}});
    } else {
        WishSheet sheet{.action = std::string(id)};
        const app::BenchLane* one = shown_lane();
        if (id == "judgement.add" && one != nullptr) {
            sheet.filled[one->is_strip ? "strip" : one->subject.part ? "part" : "piece"] = one->is_strip ? one->tag : one->subject.name;
        } else if (view_.bath && id != "judgement.add") {
            sheet.filled["bath"] = view_.bath->bath.number;
        }
        wishes.add(std::move(sheet));
    }
}

void BenchPage::told(const Told& told) {
    checks_.told(told);
    refused_words_ = told.answer ? "" : told.answer.error().text();
    if (told.form.action == "bath.read") {
        if (told.answer) {
            reading_.set("");
            refusal_.reset();
            reading_open_ = false;
        } else {
            refusal_ = told.answer.error();
            asked_form_ = told.form;
            reading_.edit.mark_all();  // typing anew replaces it
        }
        refused_words_.clear();
    }
    if (told.form.action == "judgement.add" && told.answer) {
        touched_.reset();
        touched_lane_.clear();
    }
}

void BenchPage::draw(Ui& ui, const Glance& glance, Wishes& wishes) {
    if (asked_sheet_) {
        wishes.add(*std::exchange(asked_sheet_, std::nullopt));
    }
    Rect page = page_rect(ui);
    pick_by_keys(ui, glance.dip_running);
    if (!view_.bath || view_.lanes.empty()) {
        draw_nothing(ui, page, glance, wishes);
        return;
    }
    const app::BenchLane* one = shown_lane();
    const bool judging = one != nullptr && one->state == LaneState::done && !one->judged;
    if (view_.lanes.size() > 1 && !judging && !(view_.check_open && !glance.dip_running)) {
        draw_board(ui, page, glance, wishes);
        if (reading_open_) {
            draw_reading(ui, glance, wishes);
        }
        return;
    }
    const bool wide = ui.width() == Width::wide;
    Rect key = page.cut_bottom(ui.em(wide ? 7.0F : 5.25F));
    page.cut_bottom(ui.em(0.75F));
    if (view_.check_open && !glance.dip_running && !judging) {
        // A rinse that is under way keeps its key; a drop has none until the list is answered.
        const bool key_in_use = act().act != BenchAct::none && act().act != BenchAct::drop;
        if (!key_in_use) {
            page.y1 = key.y1;
        }
        checks_.draw(ui, page, glance, wishes, key_in_use ? Key::y : Key::enter);
        if (key_in_use) {
            draw_key(ui, key, glance, wishes);
        }
        return;
    }
    if (one != nullptr) {
        draw_lane(ui, page, *one, wishes);
    }
    draw_key(ui, key, glance, wishes);
    if (reading_open_) {
        draw_reading(ui, glance, wishes);
    }
}

// Digits pick a lane while a dip runs (else they turn pages); the arrows reach those beyond nine at any time.
void BenchPage::pick_by_keys(Ui& ui, bool running) {
    const auto count = static_cast<int>(view_.lanes.size());
    // The digit that stands on the disc: a seat's in a bath of a class.
    for (const app::BenchLane& one : view_.lanes) {
        const int digit = one.seat.value_or(one.number);
        if (running && digit <= 9 && ui.pressed(digit_key(digit))) {
            picked_ = one.number;
        }
    }
    if (count < 2) {
        return;
    }
    const int step = (ui.pressed(Key::right) ? 1 : 0) - (ui.pressed(Key::left) ? 1 : 0);
    if (step != 0) {
        const int from = picked_ ? *picked_ : act().lane;
        picked_ = from == 0 ? 1 : (from - 1 + step + count) % count + 1;
    }
}

void BenchPage::draw_key(Ui& ui, const Rect& place, const Glance& glance, Wishes& wishes) {
    std::optional<BenchKeyView> view = key_view();
    if (touched_) {
        view.reset();  // the judgement has the copper button until it is written
    }
    if (!view) {
        return;
    }
    if (glance.read_only) {
        view->refused = "another window writes";
    }
    if (bench_key(ui, place, *view).pressed) {
        press(wishes);
    }
}

void BenchPage::draw_nothing(Ui& ui, const Rect& page, const Glance& glance, Wishes& wishes) {
    if (!view_.bath) {
        const EmptyView view{.id = "no bath", .scale = &ui.look().silver, .fact = "No bath is in use.",
                             .todo = "Make one up, dip a strip in it, then lay out the pieces.", .button = "Make up a bath", .key = Key::m,
                             .copper = !glance.read_only};
        if (empty_state(ui, page.centred(std::min(page.w(), ui.em(58.0F)), ui.em(8.0F)), view)) {
            wishes.add(WishSheet{.action = "bath.make-up"});
        }
        return;
    }
    const EmptyView view{.id = "no lanes", .scale = &ui.look().silver, .fact = "Nothing is laid out for bath " + view_.bath->bath.number + ".",
                         .todo = "Lay out a strip, a batch or some pieces: a lane each, up to 24.", .button = "Lay out the bench", .key = Key::space,
                         .copper = !glance.read_only};
    if (empty_state(ui, page.centred(std::min(page.w(), ui.em(58.0F)), ui.em(8.0F)), view)) {
        wishes.add(WishSheet{.action = "bench.lay-out", .filled = {{"bath", view_.bath->bath.number}}});
    }
}

}  // namespace tonebath::window
