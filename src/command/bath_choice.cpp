#include "command/bath_choice.hpp"

#include "app/resolve.hpp"
#include "app/views/baths_view.hpp"

namespace tonebath::command {

Result<Bath> bath_or_newest(app::Studio& studio, const std::string& typed) {
    if (!typed.empty()) {
        return app::resolve<Bath>(studio, "Bath", typed);
    }
    for (const app::BathRow& row : app::baths_list(studio).baths) {
        if (row.state == app::BathState::in_use) {
            return app::resolve<Bath>(studio, "Bath", row.id.text);
        }
    }
    return Refusal{.code = "bath.none_in_use",
                   .field = "Bath",
                   .value = {},
                   .message = "no bath is in use.",
                   .remedy = "Make one up, or name one with --bath.",
                   .answers = {}};
}

}  // namespace tonebath::command
