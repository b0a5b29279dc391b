#include "app/paper/paper_forms.hpp"

#include "app/actions/reader.hpp"
#include "app/actions/tables.hpp"
#include "app/exchange/export.hpp"
#include "app/exchange/import.hpp"
#include "app/exchange/notebook.hpp"
#include "app/form_fault.hpp"
#include "app/paper/bench_card.hpp"
#include "app/paper/cards.hpp"
#include "app/paper/door_card.hpp"
#include "app/paper/paper.hpp"
#include "app/paper/record_pack.hpp"
#include "base/places.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

namespace fs = std::filesystem;

// "~/pack" is below the home folder.
fs::path place_of(std::string_view typed) {
    const auto home = process_environment()("HOME");
    return typed.starts_with("~/") && home ? fs::path(*home) / typed.substr(2) : fs::path(typed);
}

report::PaperSize size_of(const Form& form) { return from_word<report::PaperSize>(form.text("paper")).value_or(report::PaperSize::a4); }

Outcome is_in(std::string_view what, const fs::path& file) { return Outcome{.said = fmt::format("{} is in {}.", what, file.string()), .cautions = {}, .made = {}}; }

Result<Outcome> saved(const Result<report::Report>& report, const Form& form) {
    if (!report) {
        return report.error();
    }
    const fs::path file = place_of(form.text("out"));
    if (const auto done = save_pdf(*report, size_of(form), file); !done) {
        return done.error();
    }
    return is_in(report->title, file);
}

Result<Bath> bath_of(Studio& studio, const Form& form) {
    if (!form.text("bath").empty()) {
        return resolve<Bath>(studio, "Bath", form.text("bath"));
    }
    const auto newest = store::list<Bath>(studio.log(), "WHERE ended_utc_ms IS NULL ORDER BY made_up_utc_ms DESC, id DESC LIMIT 1");
    return newest.empty() ? resolve<Bath>(studio, "Bath", "") : Result<Bath>(newest.front());
}

Result<Outcome> write_bench_card(Studio& studio, const Form& form, const Watch&) {
    const auto bath = bath_of(studio, form);
    if (!bath) {
        return bath.error();
    }
    const auto tone = resolve<Tone>(studio, "Tone", form.text("tone"));
    if (!tone) {
        return tone.error();
    }
    return saved(bench_card(studio, *learn(studio), {.bath_id = bath->id, .scale_id = tone->scale_id, .tone_id = tone->id}, size_of(form)), form);
}

std::vector<std::string> lines_of(const Form& form, std::string_view key) {
    return form.text(key).empty() ? std::vector<std::string>() : split(form.text(key), '\n');
}

Result<Outcome> write_labels(Studio& studio, const Form& form, const Watch&) {
    const auto sheet = label_sheet(form.text("sheet").empty() ? "3x8" : form.text("sheet"), size_of(form));
    if (!sheet) {
        return sheet.error();
    }
    std::vector<report::Label> all;
    if (const auto numbers = lines_of(form, "bath"); !numbers.empty()) {
        const auto baths = bath_labels(studio, *learn(studio), numbers);
        if (!baths) {
            return baths.error();
        }
        all = *baths;
    }
    const auto pieces = piece_labels(studio, lines_of(form, "piece"));
    if (!pieces) {
        return pieces.error();
    }
    all.insert(all.end(), pieces->begin(), pieces->end());
    if (all.empty()) {
        return rules::refuse("label.none", {"Pieces", ""}, "nothing was named.", "Name baths, \"46\", or pieces, \"L-131..L-138\".");
    }
    const fs::path file = place_of(form.text("out"));
    if (const auto done = save_pdf(all, *sheet, 0, studio.now(), file); !done) {
        return done.error();
    }
    return is_in(counted(all.size(), "label", "labels"), file);
}

Result<Outcome> write_door_card(Studio& studio, const Form& form, const Watch&) { return saved(door_card(studio, form.text("page")), form); }

Result<Outcome> write_repeat_card(Studio& studio, const Form& form, const Watch&) {
    return saved(repeat_card(studio, *learn(studio), {.number = std::string(form.text("order"))}), form);
}

Result<Outcome> write_hand_out(Studio& studio, const Form& form, const Watch&) { return saved(class_hand_out(studio, std::string(form.text("class"))), form); }

Result<Outcome> write_care_card(Studio& studio, const Form& form, const Watch&) { return saved(care_card(studio, std::string(form.text("piece"))), form); }

Result<Outcome> write_door_sign(Studio& studio, const Form& form, const Watch&) { return saved(door_sign(studio, std::string(form.text("bath"))), form); }

Result<Outcome> write_tone_card(Studio& studio, const Form& form, const Watch&) { return saved(tone_card(studio, std::string(form.text("scale"))), form); }

Result<Outcome> write_pack(Studio& studio, const Form& form, const Watch& watch) {
    const auto period = period_of(form.text("from"), form.text("to"), studio.now());
    if (!period) {
        return period.error();
    }
    const auto pack = write_record_pack(studio, *period, place_of(form.text("out")), size_of(form), watch);
    if (!pack) {
        return pack.error();
    }
    Outcome outcome = is_in("Record pack " + pack->period.words(), pack->folder);
    outcome.said += pack->gaps.empty() ? "" : fmt::format(" {} stand on page one.", counted(pack->gaps.size(), "gap", "gaps"));
    outcome.cautions = pack->gaps;
    return outcome;
}

Result<Outcome> look_at_pack(Studio&, const Form& form, const Watch&) {
    const auto check = check_record_pack(place_of(form.text("folder")));
    if (!check) {
        return check.error();
    }
    if (!check->findings.empty()) {
        return rules::refuse("pack.changed", {"Folder", form.text("folder")}, joined(check->findings, " "), "Ask for the pack again, or write it anew.");
    }
    return Outcome{.said = fmt::format("{}: all {} are as they were written.", check->period, counted(check->files, "file", "files")), .cautions = {}, .made = {}};
}

Result<Outcome> write_export(Studio& studio, const Form& form, const Watch& watch) {
    const auto exported = export_log(studio, place_of(form.text("out")), file_form(form.text("format")), watch);
    if (!exported) {
        return exported.error();
    }
    return is_in(counted(static_cast<std::size_t>(exported->records), "record", "records"), exported->folder);
}

Result<Outcome> bring_in(Studio& studio, const Form& form, const Watch& watch) { return import_log(studio, place_of(form.text("folder")), watch); }

NotebookAsk notebook_of(Studio& studio, const Form& form) {
    NotebookAsk ask{.file = place_of(form.text("file")), .units = studio.units()};
    for (std::size_t i = 0; i < EnumWords<Meaning>::words.size(); ++i) {
        if (const auto column = form.text(EnumWords<Meaning>::words[i]); !column.empty()) {
            ask.columns[static_cast<Meaning>(i)] = column;
        }
    }
    if (const auto degrees = form.text("degrees"); !degrees.empty()) {
        ask.units.temperature = degrees == "°F" ? UnitChoice::Temperature::fahrenheit : UnitChoice::Temperature::celsius;
    }
    if (const auto volumes = form.text("volumes"); !volumes.empty()) {
        ask.units.volume = volumes == "US cups" ? UnitChoice::Volume::cups : UnitChoice::Volume::ml;
    }
    ask.minutes = form.text("lengths") == "minutes";
    ask.month_first = form.text("dates") == "month first";
    ask.leave_undated = form.text("leave-undated") == "yes";
    return ask;
}

Result<Outcome> see_notebook(Studio& studio, const Form& form, const Watch& watch) {
    const auto view = look_at_notebook(studio, notebook_of(studio, form), watch);
    if (!view) {
        return view.error();
    }
    return Outcome{.said = fmt::format("{} in {}; nothing is written yet.", counted(static_cast<std::size_t>(view->rows), "row", "rows"), form.text("file")),
                   .cautions = notebook_words(*view),
                   .made = {}};
}

Result<Outcome> bring_in_notebook(Studio& studio, const Form& form, const Watch& watch) { return bring_notebook(studio, notebook_of(studio, form), watch); }

// The file, a field for each thing that a column may hold, and what bare figures are in.
std::vector<FieldSpec> notebook_fields() {
    std::vector<FieldSpec> fields{required(field("file", "File", FieldKind::text, "~/notebook.csv"))};
    for (const std::string_view word : EnumWords<Meaning>::words) {
        if (word != tonebath::word_of(Meaning::note)) {
            fields.push_back(field(std::string(word), fmt::format("Column of the {}", word), FieldKind::text, "its name; empty = guessed"));
        }
    }
    fields.push_back(choice_of("degrees", "A bare temperature is", {"°C", "°F"}));
    fields.push_back(choice_of("volumes", "A bare volume is", {"ml", "US cups"}));
    fields.push_back(choice_of("lengths", "A bare length is", {"seconds", "minutes"}));
    fields.push_back(choice_of("dates", "3/12/2019 is", {"day first", "month first"}));
    fields.push_back(field("leave-undated", "Leave out rows without a day", FieldKind::yes_no));
    return fields;
}

ActionSpec words_of(std::string id, std::string label, std::string help, std::vector<FieldSpec> fields) {
    return {.id = "paper." + std::move(id), .label = std::move(label), .help = std::move(help), .page = "Paper", .key = "", .fields = std::move(fields)};
}

std::vector<PaperForm> make_forms() {
    const FieldSpec paper = choice_of("paper", "Paper", {"a4", "letter", "a5"});
    const FieldSpec pdf = required(field("out", "File", FieldKind::text, "~/card.pdf"));
    const FieldSpec new_folder = required(field("out", "New folder", FieldKind::text, "~/record-pack"));
    const FieldSpec folder = required(field("folder", "Folder", FieldKind::text, "where it was written"));
    std::vector<PaperForm> forms;
    forms.push_back({.words = words_of("bench-card", "Bench card", "One page for the wall above the bath: times by the thermometer, make-up, check, stops.",
                                       {reference("bath", "Bath", "bath", "empty = the newest in use"),
                                        required(field("tone", "Tone", FieldKind::text, "\"sterling: blue\"")), paper, pdf}),
                     .file = "bench-card.pdf", .carry_out = write_bench_card});
    forms.push_back({.words = words_of("labels", "Labels", "Number, check sign and QR code for bowls and pieces.",
                                       {repeated(reference("piece", "Pieces", "piece", "L-131..L-138")), repeated(reference("bath", "Baths", "bath", "46")),
                                        field("sheet", "Sheet", FieldKind::text, "3x8: columns and rows; 62x29mm: one a page"), paper, pdf}),
                     .file = "labels.pdf", .carry_out = write_labels});
    forms.push_back({.words = words_of("door-card", "Emergency page for the door", "Gas, splash or fire, with the studio's own numbers.",
                                       {required(choice_of("page", "Page", {"gas", "splash", "fire"})), paper, pdf}),
                     .file = "door-card.pdf", .carry_out = write_door_card});
    forms.push_back({.words = words_of("door-sign", "Door sign", "A bath is in use: who may come in, whom to call.",
                                       {reference("bath", "Bath", "bath", "empty = the newest in use"), paper, pdf}),
                     .file = "door-sign.pdf", .carry_out = write_door_sign});
    forms.push_back({.words = words_of("hand-out", "Class hand-out", "For the seats: bath, tones, stops, splash, care. No name of a student stands on it.",
                                       {reference("class", "Class", "class_session", "empty = the one that goes on, or the next"), paper, pdf}),
                     .file = "hand-out.pdf", .carry_out = write_hand_out});
    forms.push_back({.words = words_of("repeat-card", "Repeat card", "An order or a piece again: today's time, strips to dip first, what changed since.",
                                       {required(field("order", "Order or piece", FieldKind::text, "R-07, L-058")), paper, pdf}),
                     .file = "repeat-card.pdf", .carry_out = write_repeat_card});
    forms.push_back({.words = words_of("care-card", "Care card", "For the buyer of a piece, from its real finish, seal and stones.",
                                       {required(reference("piece", "Piece", "piece", "L-131")), paper, pdf}),
                     .file = "care-card.pdf", .carry_out = write_care_card});
    forms.push_back({.words = words_of("tone-card", "Tone card", "A scale with the numbers of your own strips.",
                                       {required(reference("scale", "Scale", "tone_scale", "sterling")), paper, pdf}),
                     .file = "tone-card.pdf", .carry_out = write_tone_card});
    forms.push_back({.words = words_of("record-pack", "Record pack", "Checks, incidents, balances and disposals of a period as paper and CSV, with its own gaps and sums.",
                                       {required(field("from", "From", FieldKind::text, "1 Jan 2026")), field("to", "To", FieldKind::text, "31 Mar 2026; empty = today"), paper,
                                        new_folder}),
                     .file = "record-pack", .carry_out = write_pack});
    forms.push_back({.words = words_of("look-at-pack", "Look at a record pack again", "Is every file of it as it was written?", {folder}), .carry_out = look_at_pack});
    forms.push_back({.words = words_of("export", "Export every record", "One file a noun, CSV or JSON, for other programs; the log stays as it is.",
                                       {choice_of("format", "Format", {"csv", "json"}), new_folder}),
                     .file = "export", .carry_out = write_export});
    forms.push_back({.words = words_of("import", "Bring an export in", "Into an empty log, in one step that undo takes back.", {folder}),
                     .writes = true, .carry_out = bring_in});
    forms.push_back({.words = words_of("look-at-notebook", "Look at an old notebook", "Any CSV: what each column is taken for, what of it can be read, what stays words.",
                                       notebook_fields()),
                     .carry_out = see_notebook});
    forms.push_back({.words = words_of("notebook", "Bring an old notebook in", "Each row a past dip, in one step that undo takes back; what cannot be read stays words.",
                                       notebook_fields()),
                     .writes = true, .carry_out = bring_in_notebook});
    return forms;
}

}  // namespace

std::span<const PaperForm> paper_forms() {
    static const std::vector<PaperForm> forms = make_forms();
    return forms;
}

const PaperForm* find_paper_form(std::string_view id) {
    const auto forms = paper_forms();
    const auto found = std::find_if(forms.begin(), forms.end(), [id](const PaperForm& one) { return one.words.id == id; });
    return found == forms.end() ? nullptr : &*found;
}

std::map<std::string, std::string> begin_of(const PaperForm& form, const Stamp& now) {
    if (form.file.empty()) {
        return {};
    }
    const fs::path name = form.file;
    return {{"out", fmt::format("~/{}-{}{}", name.stem().string(), iso_text(now).substr(0, 10), name.extension().string())}};
}

Result<Outcome> carry_out_paper(Studio& studio, const Form& form, const Watch& watch) {
    const PaperForm* spec = find_paper_form(form.action);
    TB_CHECK(spec != nullptr);
    if (auto fault = form_fault(spec->words, form)) {
        return *fault;
    }
    return spec->carry_out(studio, form, watch);
}

}  // namespace tonebath::app
