// Planning an evening on the page Coats: what is typed, reckoned again at each change, and the button that begins it.
#pragma once

#include "app/coats_plan.hpp"
#include "app/views/coats_view.hpp"
#include "window/panels/coats_rows.hpp"
#include "window/panels/page.hpp"
#include "window/widgets/field.hpp"

#include <array>

namespace tonebath::window {

class CoatsPlanner {
public:
    // As the last evening was, until something is typed.
    void fill_in(const app::CoatsBooks& books);
    // Reckons again where something was typed or time went on.
    void look(app::Studio& studio, const app::CoatsBooks& books);
    void stale() { stale_ = true; }
    void draw(Ui& ui, Rect page, const Glance& glance, const app::CoatsBooks& books, Wishes& wishes);
    // The form of "coating.begin", filled in with what is planned.
    [[nodiscard]] WishSheet begin() const;

private:
    enum Field : std::size_t { stones, row, coats, each, wait, cure, by, room, humidity, wet, size, kFields };
    void draw_fields(Ui& ui, Rect place, const Glance& glance, const app::CoatsBooks& books);
    void draw_answer(Ui& ui, Rect place, const Glance& glance);
    void draw_refusal(Ui& ui, Rect place);
    [[nodiscard]] const std::string& typed(Field field) const { return fields_[field].text(); }

    std::array<FieldState, kFields> fields_;
    std::string bottle_;
    ChoiceState bottle_list_;
    bool by_row_ = false, kept_ = false, filled_ = false, stale_ = true;
    std::optional<app::CoatsAnswer> answer_;
    std::optional<Refusal> refusal_;
    Stamp looked_at_;
    ScrollState air_scroll_, words_scroll_;
};

}  // namespace tonebath::window
