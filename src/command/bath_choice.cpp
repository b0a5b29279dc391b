#include "command/bath_choice.hpp"

#include "app/matched.hpp"
#include "app/resolve.hpp"
#include "app/views/baths_view.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

namespace tonebath::command {

namespace {

Refusal no_aim(std::string field, std::string message) {
    return {.code = "plan.no_aim",
            .field = std::move(field),
            .value = {},
            .message = std::move(message),
            .remedy =
                "Name a tone and its metal (--tone blue --metal sterling), or a target (--target \"Limpet lid blue\").",
            .answers = {}};
}

}  // namespace

Result<Tone> aim_of(app::Studio& studio, const AimAsked& asked) {
    if (!asked.target.empty()) {
        const auto target = app::resolve<Target>(studio, "Target tone", asked.target);
        return target ? app::resolve<Tone>(studio, "Target tone", target->tone_id.text) : Result<Tone>(target.error());
    }
    if (asked.tone.empty()) {
        return no_aim("Tone", "no tone to aim at is given.");
    }
    if (asked.metal.empty()) {
        return app::resolve<Tone>(studio, "Tone", asked.tone);
    }
    const auto metal = app::resolve<Metal>(studio, "Metal", asked.metal);
    if (!metal) {
        return metal.error();
    }
    const auto scale = app::scale_for(studio, metal->id, asked.surface);
    if (!scale) {
        return no_aim("Metal", fmt::format("{} has no tone scale yet.", metal->name));
    }
    return app::tone_on(studio, *scale, "Tone", asked.tone);
}

Result<Tone> aim_for(app::Studio& studio, AimAsked asked, const std::optional<app::Subject>& subject) {
    if (subject && asked.tone.empty() && asked.target.empty()) {
        if (const auto target = app::target_of(studio, *subject)) {
            asked.target = target->name;
        }
    }
    if (subject && asked.metal.empty() && subject->metal) {
        asked.metal = app::name_of(studio, *subject->metal);
        asked.surface = asked.surface.empty() ? subject->surface : asked.surface;
    }
    return aim_of(studio, asked);
}

Result<app::Subject> subject_named(app::Studio& studio, const std::string& typed) {
    if (folded(typed).starts_with("batch ")) {
        const auto batch = app::resolve<Batch>(studio, "For", typed);
        return batch ? Result<app::Subject>(app::subject_of(*batch)) : Result<app::Subject>(batch.error());
    }
    return app::dipped_subject(studio, typed);
}

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
