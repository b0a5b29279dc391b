// Blocks of a page: cards, notices, refusals, checklist items, the empty state, sheets, heads.
#pragma once

#include "window/widgets/field.hpp"
#include "window/widgets/strip.hpp"
#include "window/widgets/tags.hpp"

namespace tonebath::window {

// A quiet area. Returns the place inside its padding. The surface is pushed; call end_card after its content.
Rect begin_card(Ui& ui, const Rect& r, Role fill = Role::slab, float pad_em = 1.25F);
void end_card(Ui& ui);
// A card with nothing but words in it: why there is nothing else yet.
void words_card(Ui& ui, const Rect& r, std::string_view words);
void divider(Ui& ui, float x0, float x1, float y);
void upright_divider(Ui& ui, float x, float y0, float y1);
// Section head (leads) with a quiet note after it or at the right edge; baseline at y.
void section_head(Ui& ui, const Rect& r, float baseline, std::string_view words, std::string_view note = {},
                  bool note_right = true);
// The head of a page (title), with a lead after it; returns x after the words.
float page_head(Ui& ui, float x, float baseline, std::string_view words, std::string_view lead = {});

enum class CheckLevel : std::uint8_t { stop, must, advise };
enum class CheckState : std::uint8_t { open, current, answered, passed_over, does_not_apply };
struct ChecklistItem {
    std::string id;
    CheckLevel level = CheckLevel::advise;
    CheckState state = CheckState::open;
    std::string text;
    std::string answer;  // "worn"; "passed over by Maker: no second person"
    std::string why;     // shown while it is the current one
    std::vector<QuestionAnswer> answers;
    std::string consequence;  // "no bath can start until then"
    std::string sources;      // under why: who says so
    bool entry = false;       // room for a field in place of the buttons
    bool first_copper = true; // the first answer is what Enter does
};
struct QuestionAnswerUsed {
    std::string item;
    std::string answer;
};
// Of a row `width` px wide: words that do not fit one line are wrapped, the current one's whole, the others' to two lines.
[[nodiscard]] float checklist_height(const Ui& ui, const ChecklistItem& item, float width);
// Returns the answer used; the whole row is a target that makes it the current one (answer empty). Where a field is to
// stand in place of the buttons is left in `entry`.
std::optional<QuestionAnswerUsed> checklist_item(Ui& ui, const Rect& r, const ChecklistItem& item, Rect* entry = nullptr);

struct NoticeView {
    std::string id;
    Mark mark = Mark::ask;  // warn only for danger
    std::string what;       // one strong line
    std::string why;        // one label line
    std::string button;     // at most one
    KeyChord key;
    std::optional<std::pair<TagShape, std::string>> tag;
};
bool notice(Ui& ui, const Rect& r, const NoticeView& view);
[[nodiscard]] float notice_height(const Ui& ui);

struct RefusalReason {
    std::string id;
    Mark mark = Mark::stop;
    std::optional<std::pair<SeatState, std::string>> seat;  // drawn in place of the mark
    std::string what;
    std::string missing;
    KeyChord key;           // leads to the cause
    std::string key_words;  // "Safety"
};
struct RefusalView {
    std::string id;
    std::string head;  // "Start refused, two reasons"
    std::vector<RefusalReason> reasons;
    std::string rest;  // "Everything else may go on: hand-outs, seats, plan."
};
[[nodiscard]] float refusal_height(const Ui& ui, const RefusalView& view);
// Returns the id of the reason whose key was used.
std::string refusal_band(Ui& ui, const Rect& r, const RefusalView& view);

struct EmptyView {
    std::string id;
    const DrawnScale* scale = nullptr;
    std::string fact;  // "No strips in red brass."
    std::string todo;  // "Dip one at 40 s to begin."
    std::string button;
    KeyChord key;
    bool copper = false;  // the page's copper button
};
bool empty_state(Ui& ui, const Rect& r, const EmptyView& view);

// A sheet: a slab with two cut corners, hung by a wire from the tag it was opened from. Draw the content between the
// two calls; the layer is modal. Its own foot is drawn while it lives. hung_from_x: the middle of that tag
// (Rail::tag_x).
class Sheet {
public:
    Sheet(Ui& ui, std::string_view id, std::string_view label, float hung_from_x);
    ~Sheet();
    Sheet(const Sheet&) = delete;
    Sheet& operator=(const Sheet&) = delete;
    [[nodiscard]] Rect inside() const { return inside_; }
    [[nodiscard]] bool closed() const { return closed_; }  // Esc

private:
    Ui& ui_;
    Ui::Layer layer_;
    Ui::Scope scope_;
    Rect inside_;
    bool closed_ = false;
};

// Lines of label text with a name before each (facts of a record). Returns the height used.
struct Fact {
    std::string name;
    std::string value;
};
float fact_lines(Ui& ui, const Rect& r, const std::vector<Fact>& facts, float line_em = 1.6875F);

}  // namespace tonebath::window
