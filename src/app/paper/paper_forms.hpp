// What can be put on paper or into files, each with the form that asks for it: the window's sheet Paper reads this table.
// They make no record, so they stand beside the table of actions; the one that brings records in says so.
#pragma once

#include "app/actions.hpp"
#include "app/exchange/watch.hpp"

#include <map>
#include <span>
#include <string>
#include <string_view>

namespace tonebath::app {

struct PaperForm {
    ActionSpec words;     // id "paper.record-pack", label, help, fields; its own carry_out is not used
    bool writes = false;  // brings records into the log: only where it may be written
    std::string file;     // what a new file or folder is called at first; "" = asks for none
    Result<Outcome> (*carry_out)(Studio&, const Form&, const Watch&) = nullptr;
};

[[nodiscard]] std::span<const PaperForm> paper_forms();
[[nodiscard]] const PaperForm* find_paper_form(std::string_view id);
// What the form begins with: today's name for the file or folder, in the home folder.
[[nodiscard]] std::map<std::string, std::string> begin_of(const PaperForm& form, const Stamp& now);
// Looks the form over and carries it out. Refusals: those of form_fault and of what is asked for.
[[nodiscard]] Result<Outcome> carry_out_paper(Studio& studio, const Form& form, const Watch& watch = {});

}  // namespace tonebath::app
