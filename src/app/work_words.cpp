// The figures of work as lines for the screen.
#include "app/work_figures.hpp"

#include "base/quantity_text.hpp"
#include "base/text.hpp"

#include <fmt/format.h>

namespace tonebath::app {

namespace {

std::string minutes_text(double minutes) { return fixed_text(minutes, minutes < 10.0 ? 1 : 0) + " min"; }

std::string finishing_text(const GroupWork& group) {
    if (!group.finishing_min) {
        return "finishing not timed";
    }
    std::string text = fixed_text(*group.finishing_min, 1) + " finishing";
    const double share = static_cast<double>(group.pieces) / static_cast<double>(group.finished);  // the means are over all pieces
    text += group.batch_min > 0.0 ? fmt::format(" of which {} for the whole batch", fixed_text(group.batch_min * share, 1)) : "";
    return group.finished < group.pieces ? text + fmt::format(", timed for {} of them", group.finished) : text;
}

std::string group_line(const GroupWork& group) {
    std::string line = fmt::format("{}{}: {} a piece", group.name, group.design.empty() ? "" : ", " + group.design, minutes_text(group.minutes));
    line += fmt::format(" ({} set-up, {} at the bath, {}", fixed_text(group.set_up_min, 1), fixed_text(group.bath_min, 1), finishing_text(group));
    line += group.coats_min > 0.0 ? fmt::format(", {} coats", fixed_text(group.coats_min, 1)) : "";
    line += group.rework_min > 0.0 ? fmt::format(", {} rework", fixed_text(group.rework_min, 1)) : "";
    line += fmt::format("); {}", counted(group.pieces, "piece", "pieces"));
    line += group.gone_over > 0 ? fmt::format(", {} gone over", group.gone_over) : "";
    line += group.gone_over > 0 && group.per_good ? fmt::format(", {} for each that came out", minutes_text(*group.per_good)) : "";
    line += group.cost ? fmt::format(", {} each", fixed_text(*group.cost, 2)) : "";
    return line;
}

}  // namespace

std::string_view word_of(MistakeKind kind) {
    switch (kind) {
        case MistakeKind::gone_over: return "gone over";
        case MistakeKind::rework: return "rework";
        case MistakeKind::stone: return "stone";
    }
    return "";
}

std::string work_text(const WorkFigures& figures) {
    if (figures.pieces.empty()) {
        return "No piece was worked on yet.\n";
    }
    std::string text = "## By size of batch\n";
    for (const GroupWork& group : figures.by_size) {
        text += "- " + group_line(group) + "\n";
    }
    text += "## Batch by batch, newest first\n";
    for (auto group = figures.groups.rbegin(); group != figures.groups.rend(); ++group) {
        text += "- " + group_line(*group) + "\n";
    }
    text += "## What was counted\n";
    for (const std::string& line : figures.words) {
        text += "- " + line + "\n";
    }
    text += figures.rates.hour ? "- Money is your own: " + fixed_text(*figures.rates.hour, 2) + " an hour" +
                                     (figures.rates.piece ? ", " + fixed_text(*figures.rates.piece, 2) + " for the metal of a piece" : "") + ".\n"
                               : "- What an hour of yours costs was not said: tonebath work rates --hour 18.\n";
    return text;
}

std::string mistakes_text(const MistakeFigures& figures) {
    std::string text = fmt::format("{} to {}.\n", date_text(figures.from), date_text(plus_seconds(figures.to, -1.0)));
    if (figures.all.empty()) {
        return text + "Nothing went over, nothing was done over, no stone was seen harmed.\n";
    }
    text += "## In all\n";
    text += fmt::format("- {}, {} lost", counted(figures.all.size(), "mistake", "mistakes"), minutes_text(figures.minutes));
    text += figures.cost ? fmt::format(", {} of your money", fixed_text(*figures.cost, 2)) : "";
    text += ".\n";
    if (figures.without_cost > 0) {
        text += fmt::format("- {} without a price: say what an hour, a piece and a stone cost (tonebath work rates).\n", counted(figures.without_cost, "of them is", "of them are"));
    }
    text += "## One by one\n";
    for (const Mistake& mistake : figures.all) {
        text += fmt::format("- {} {}{}{}\n", date_text(mistake.at), mistake.what, mistake.minutes > 0.0 ? ", " + minutes_text(mistake.minutes) : "",
                            mistake.cost ? ", " + fixed_text(*mistake.cost, 2) : "");
    }
    return text;
}

}  // namespace tonebath::app
