#include "window/panels/log_sheet.hpp"

#include "app/studio.hpp"
#include "base/text.hpp"
#include "window/widgets/bars.hpp"

#include <algorithm>
#include <filesystem>

namespace tonebath::window {

namespace {

constexpr std::size_t kBackupsShown = 6;

std::string text_of(const app::RecordTable& table, const std::vector<app::Cell>& row, std::string_view column) {
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        if (table.columns[i].name == column) {
            const auto* text = std::get_if<std::string>(&row[i]);
            const auto* number = std::get_if<std::int64_t>(&row[i]);
            return text != nullptr ? *text : number != nullptr ? std::to_string(*number) : "";
        }
    }
    return {};
}

std::string read_only_reason(const Glance& glance) { return glance.read_only ? "another window writes" : ""; }

}  // namespace

void LogSheet::open(app::Studio& studio, const std::string& other) {
    open_ = true;
    focus_first_ = true;
    scroll_ = {};
    listed_ = false;
    read(studio);
    if (!other.empty()) {
        other_.set(other);
        looked_at_ = ask();
        desk_->ask(app::LookTask{looked_at_});
    }
}

void LogSheet::read(app::Studio& studio) {
    file_ = studio.options().log.string();
    mark_ = app::bench_mark(studio);
}

std::optional<app::LogTold> LogSheet::catch_up(app::Studio& studio) {
    std::optional<app::LogTold> told = desk_ == nullptr ? std::nullopt : desk_->take();
    if (told && told->backups) {
        backups_ = told->backups;
    } else if (told) {
        listed_ = listed_ && told->of_other;
        (told->of_other ? look_ : care_) = told;
    }
    if (open_ && told) {
        read(studio);
    }
    if (open_ && !listed_) {
        listed_ = desk_->ask(app::ListTask{});
    }
    return told;
}

app::JoinAsk LogSheet::ask() const {
    return {.file = std::string(trimmed(other_.text())), .mark = std::string(trimmed(other_mark_.text())), .clock = std::string(trimmed(clock_.text()))};
}

void LogSheet::draw_backups(Ui& ui, Rect place) {
    Painter& paint = ui.paint();
    section_head(ui, place.cut_top(ui.em(2.25F)), place.y0 + ui.em(1.25F), "Backups", "dated copies beside the log, the last ten");
    const std::size_t many = backups_ ? backups_->rows.size() : 0;
    if (many == 0) {
        words_card(ui, place.cut_top(ui.em(4.5F)),
                   backups_ ? "No backup yet. One is written on closing, and once a day while the window is open." : "Looking into the backups …");
    }
    for (std::size_t i = 0; i < std::min(many, kBackupsShown); ++i) {
        const auto& row = backups_->rows[i];
        const Rect line = place.cut_top(ui.em(1.875F));
        const std::string trouble = text_of(*backups_, row, "trouble");
        const std::string holds = trouble.empty() ? text_of(*backups_, row, "baths") + " baths, " + text_of(*backups_, row, "strips") + " strips, " + text_of(*backups_, row, "pieces") + " pieces, " +
                                                        text_of(*backups_, row, "dips") + " dips"
                                                  : trouble;
        const std::string name = std::filesystem::path(text_of(*backups_, row, "file")).filename().string();
        const float half = line.w() * 0.44F;
        paint.text(Type::label, ui.colour(Role::ink), {line.x0, line.y0 + ui.em(1.25F)}, paint.ellipsis(Type::label, half - ui.em(1.0F), name));
        paint.text(Type::label, ui.colour(trouble.empty() ? Role::text : Role::look), {line.x0 + half, line.y0 + ui.em(1.25F)}, paint.ellipsis(Type::label, line.w() - half, holds));
    }
    place.cut_top(ui.em(0.75F));
    Rect buttons = place.cut_top(ui.em(2.75F));
    const std::string busy = desk_->busy() ? "something else is under way" : "";
    if (button_plain(ui, "back up", buttons.cut_left(button_width(ui, "Back up now", KeyChord(Key::b, kAlt))), "Back up now", KeyChord(Key::b, kAlt), {.refused = busy, .reason_beside = false})) {
        desk_->ask(app::BackUpTask{});
    }
    buttons.cut_left(ui.em(0.75F));
    const std::string none = !busy.empty() ? busy : many == 0 ? "there is no backup yet" : "";
    if (button_plain(ui, "rehearse", buttons.cut_left(button_width(ui, "Rehearse a restore", KeyChord(Key::r, kAlt))), "Rehearse a restore", KeyChord(Key::r, kAlt), {.refused = none, .reason_beside = false})) {
        desk_->ask(app::RehearseTask{});
    }
    if (care_) {
        paint.text_wrapped(Type::label, ui.colour(care_->ok ? Role::text : Role::look), {place.x0, place.y0 + ui.em(1.5F)}, place.w(), care_->said);
    }
}

void LogSheet::draw_join(Ui& ui, Rect place, const Glance& glance) {
    section_head(ui, place.cut_top(ui.em(2.25F)), place.y0 + ui.em(1.25F), "Another bench's log", mark_.empty() ? "this bench has no mark" : "this bench has the mark " + mark_);
    const auto line = [&](std::string_view id, Rect box, const char* label, const char* empty, FieldState& state) {
        box.cut_top(field_name_height(ui));
        const FieldResult result = field(ui, id, box.cut_top(field_height(ui)), {.label = label, .empty = empty, .kind = FieldKind::text}, state);
        if (result.changed) {
            look_.reset();
        }
        open_ = open_ && !result.escaped;
    };
    line("other", place.cut_top(ui.em(5.0F)), "Its file", "/media/stick/log.tonebath", other_);
    if (focus_first_) {
        ui.focus("other", true);
        focus_first_ = false;
    }
    const std::vector<Rect> sides = place.cut_top(ui.em(5.0F)).columns(2, ui.em(1.0F));
    line("mark", sides[0], "Its bench mark", "as its log says", other_mark_);
    line("clock", sides[1], "Its clock was behind by", "found; or \"1 h\"", clock_);
    Rect buttons = place.cut_top(ui.em(2.75F));
    const bool busy = desk_->busy();
    const bool looked = look_ && look_->ok && look_->join && !look_->join->written && !look_->join->nothing;
    if (busy) {
        const float w = button_width(ui, "Give it up", KeyChord(Key::g, kAlt));
        if (button_plain(ui, "give up", buttons.cut_left(w), "Give it up", KeyChord(Key::g, kAlt))) {
            desk_->give_up();
        }
        buttons.cut_left(ui.em(1.0F));
        const float middle = buttons.y0 + buttons.h() * 0.5F;
        share_bar(ui, {buttons.x0, middle - ui.em(0.25F), buttons.x1, middle + ui.em(0.25F)}, static_cast<float>(desk_->share_done()), ui.colour(Role::copper));
    } else {
        const std::string none = trimmed(other_.text()).empty() ? "name its file" : "";
        if (button_plain(ui, "look", buttons.cut_left(button_width(ui, "Look first", KeyChord(Key::l, kAlt))), "Look first", KeyChord(Key::l, kAlt), {.refused = none, .reason_beside = !looked})) {
            looked_at_ = ask();
            desk_->ask(app::LookTask{looked_at_});
        }
        buttons.cut_left(ui.em(0.75F));
        if (looked && button_do(ui, "join", buttons.cut_left(button_width(ui, "Join it", KeyChord(Key::j, kAlt))), "Join it", KeyChord(Key::j, kAlt),
                                {.refused = read_only_reason(glance)})) {
            desk_->ask(app::JoinTask{looked_at_});
        }
    }
    place.cut_top(ui.em(0.75F));
    draw_answer(ui, place);
}

void LogSheet::draw_answer(Ui& ui, Rect place) {
    if (!look_) {
        return;
    }
    std::vector<std::string> lines{look_->said};
    if (look_->join) {
        lines.insert(lines.end(), look_->join->lines.begin(), look_->join->lines.end());
    }
    Painter& paint = ui.paint();
    const auto height = [&](std::size_t i, float width) {
        const Type type = i == 0 ? Type::strong : Type::label;
        return static_cast<float>(paint.wrap(type, width, lines[i]).size()) * ui.fonts()[type].line_px + ui.em(0.375F);
    };
    const float width = place.w() - ui.em(1.0F);
    float content_h = 0.0F;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        content_h += height(i, width);
    }
    const Rect content = begin_scroll(ui, "answer", place, content_h, scroll_, true);
    float y = content.y0;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const Type type = i == 0 ? Type::strong : Type::label;
        paint.text_wrapped(type, ui.colour(!look_->ok ? Role::look : i == 0 ? Role::ink : Role::text), {content.x0, y + ui.em(1.0F)}, width, lines[i]);
        y += height(i, width);
    }
    end_scroll(ui);
}

void LogSheet::draw(Ui& ui, float hung_from_x, const Glance& glance) {
    if (!open_ || desk_ == nullptr) {
        return;
    }
    Sheet sheet(ui, "log", "The log", hung_from_x);
    Rect inside = sheet.inside();
    const Rect head = inside.cut_top(ui.em(4.25F));
    page_head(ui, head.x0, head.y0 + ui.em(1.75F), "The log");
    ui.paint().text(Type::label, ui.colour(Role::quiet), {head.x0, head.y0 + ui.em(3.25F)}, ui.paint().ellipsis(Type::label, head.w(), file_));
    if (ui.width() == Width::narrow) {
        draw_join(ui, inside.cut_top(inside.h() * 0.55F), glance);
        draw_backups(ui, inside);
    } else {
        const std::vector<Rect> sides = inside.columns(2, ui.em(2.5F));
        draw_backups(ui, sides[0]);
        draw_join(ui, sides[1], glance);
    }
    if (sheet.closed()) {
        open_ = false;
    }
}

}  // namespace tonebath::window
