#include "app/demo/demo.hpp"

#include "app/air.hpp"
#include "app/data_files.hpp"
#include "app/demo/writers.hpp"
#include "app/seed.hpp"
#include "base/places.hpp"
#include "base/text.hpp"
#include "store/change.hpp"
#include "store/query.hpp"
#include "store/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <system_error>

namespace tonebath::app {

namespace {

// Goes up with each change of what the invented studio holds.
constexpr std::string_view kDemoEdition = "7";

namespace fs = std::filesystem;

struct DemoData {
    std::vector<FinishKind> kinds;
    std::vector<MetalWords> metals;
    std::vector<ScaleWords> scales;
    ChecklistBook lists;
};

Result<DemoData> read_data(const DemoOptions& options) {
    fs::path data = options.data;
    if (data.empty()) {
        const Places places = Places::of_program();
        if (!places.shared) {
            return Refusal{
                .code = "data.missing",
                .field = {},
                .value = {},
                .message = "the program's own data (its data and checklists folders) are not where they belong.",
                .remedy = "Install the program again, or name the folder in TONEBATH_DATA.",
                .answers = {}};
        }
        data = *places.shared / "data";
    }
    const fs::path checklists = options.checklists.empty() ? data.parent_path() / "checklists" : options.checklists;
    Result<std::vector<FinishKind>> kinds = read_finish_kinds(data / "finish_kinds.csv");
    if (!kinds) {
        return kinds.error();
    }
    Result<std::vector<MetalWords>> metals = read_metals(data / "metals.toml");
    if (!metals) {
        return metals.error();
    }
    Result<std::vector<ScaleWords>> scales = read_scales(data / "tones.toml");
    if (!scales) {
        return scales.error();
    }
    Result<ChecklistBook> lists = read_checklists(checklists, {}, data / "safety_sources.csv");
    if (!lists) {
        return lists.error();
    }
    return DemoData{.kinds = std::move(kinds).value(),
                    .metals = std::move(metals).value(),
                    .scales = std::move(scales).value(),
                    .lists = std::move(lists).value()};
}

// The words that were written, by metal and word.
void read_scales_back(DemoBook& book) {
    for (const Metal& metal : store::list<Metal>(book.log, "ORDER BY id")) {
        for (const ToneScale& scale : store::list<ToneScale>(book.log, "WHERE metal_id = ?1", {metal.id.text})) {
            DemoScale& one = book.scales[metal.name];
            one.metal = metal;
            one.scale = scale;
            for (const Tone& tone :
                 store::list<Tone>(book.log, "WHERE scale_id = ?1 ORDER BY position", {scale.id.text})) {
                one.tones[tone.word] = tone;
            }
        }
    }
}

bool same_day(const Stamp& a, const Stamp& b) {
    return date_text(a) == date_text(b);
}

// One change for each day and who wrote it, in the order of time.
void write_agenda(DemoBook& book) {
    std::stable_sort(book.agenda.begin(), book.agenda.end(),
                     [](const DemoEntry& a, const DemoEntry& b) { return a.at < b.at; });
    for (std::size_t i = 0; i < book.agenda.size();) {
        std::size_t end = i;
        std::vector<std::string> steps;
        while (end < book.agenda.size() && same_day(book.agenda[i].at, book.agenda[end].at)) {
            if (std::find(steps.begin(), steps.end(), book.agenda[end].step) == steps.end()) {
                steps.push_back(book.agenda[end].step);
            }
            ++end;
        }
        const DemoEntry& last = book.agenda[end - 1];
        store::Change change(book.log, joined(steps, ", "), last.at, book.people.at(last.by).id.text, book.ids);
        for (; i < end; ++i) {
            book.agenda[i].write();
        }
        change.commit();
    }
}

Refusal unwritable(const fs::path& file, const std::string& why) {
    return Refusal{.code = "demo.unwritable",
                   .field = "demo",
                   .value = file.string(),
                   .message = fmt::format("the demo studio cannot be written here ({}).", why),
                   .remedy = "Name another place.",
                   .answers = {}};
}

Refusal is_there(const fs::path& file) {
    return Refusal{.code = "demo.exists",
                   .field = "demo",
                   .value = file.string(),
                   .message = "there is a file of this name, and the demo studio never writes over one.",
                   .remedy = "Name a new file, or move the old one away.",
                   .answers = {}};
}

DemoBook empty_book(store::Log& log, const DemoData& data, const DemoOptions& options, std::uint64_t seed) {
    TB_CHECK(store::list<Metal>(log, "LIMIT 1").empty());
    return {.log = log, .ids = IdSource(seed), .dice = Dice(seed + 1), .lists = data.lists, .kinds = data.kinds, .faults = options.faults};
}

void say_whose(store::Log& log, std::string_view studio) {
    log.set_setting("demo", "yes");
    log.set_setting("demo_edition", kDemoEdition);
    log.set_setting("studio", studio);
    log.set_setting("as_of", iso_text(demo_as_of()));
}

Result<Done> write_studio(DemoBook& book, const DemoData& data, const DemoOptions& options) {
    const Stamp first = demo_moment(10, 1, 9, 0);
    {
        store::Change change(book.log, std::string(kFirstWords), first, "", book.ids);
        if (const Result<Done> words = insert_words(book.log, book.ids, first, data.metals, data.scales); !words) {
            return words.error();
        }
        change.commit();
    }
    read_scales_back(book);
    {
        store::Change change(book.log, "who and what is here", first, "", book.ids);
        write_beginnings(book, first);
        change.commit();
    }
    plan_stock(book);
    plan_pieces(book);
    plan_sessions(book);
    plan_checks(book);
    plan_classes(book, options.seed);
    write_agenda(book);
    write_coats(book, options.seed);
    say_whose(book.log, "Saltmarsh Row (invented)");
    book.log.set_setting("at_bench", book.people.at("MK").id.text);
    return Done{};
}

}  // namespace

Stamp demo_as_of() {
    return demo_moment(3, 31, 9, 42);
}

void DemoBook::plan(const Stamp& at, std::string step, std::string_view by, std::function<void()> write) {
    agenda.push_back({.at = at, .step = std::move(step), .by = std::string(by), .write = std::move(write)});
}

Result<Done> make_demo(store::Log& log, const DemoOptions& options) {
    const Result<DemoData> data = read_data(options);
    if (!data) {
        return data.error();
    }
    DemoBook book = empty_book(log, *data, options, options.seed);
    return write_studio(book, *data, options);
}

Result<Done> make_travelling_demo(store::Log& log, const DemoOptions& options) {
    const Result<DemoData> data = read_data(options);
    if (!data) {
        return data.error();
    }
    const std::unique_ptr<store::Log> studio = store::Log::in_memory();
    DemoBook home = empty_book(*studio, *data, options, options.seed);
    if (Result<Done> written = write_studio(home, *data, options); !written) {
        return written;
    }
    DemoBook away = empty_book(log, *data, options, options.seed + 808);
    write_travelling(home, away);
    say_whose(log, "Saltmarsh Row (invented), travelling bench");
    return Done{};
}

Result<Done> write_demo(const fs::path& file, const fs::path& data, DemoBench bench) {
    std::error_code failed;
    if (fs::exists(file, failed)) {
        return is_there(file);
    }
    if (file.has_parent_path() && !fs::create_directories(file.parent_path(), failed) && failed) {
        return unwritable(file, failed.message());
    }
    // In memory first: half a year of changes, none of which has to wait for the disk.
    const std::unique_ptr<store::Log> log = store::Log::in_memory();
    if (Result<Done> made = bench == DemoBench::studio ? make_demo(*log, {.data = data}) : make_travelling_demo(*log, {.data = data}); !made) {
        return made;
    }
    fs::path beside = file;
    beside += ".new";
    fs::remove(beside, failed);
    try {
        store::run(*log, "VACUUM INTO ?1", {beside.string()});
        // Opened once, so that it is looked through and becomes a log like any other.
        const Result<std::unique_ptr<store::Log>> opened = store::Log::open(beside, store::OpenMode::read_write);
        if (!opened) {
            fs::remove(beside, failed);
            return opened.error();
        }
    } catch (const store::StoreError& trouble) {
        fs::remove(beside, failed);
        return unwritable(file, trouble.what());
    }
    // A hard link never writes over a file that came meanwhile.
    fs::create_hard_link(beside, file, failed);
    const std::error_code why = failed;
    fs::remove(beside, failed);
    return why == std::errc::file_exists ? Result<Done>(is_there(file))
           : why                         ? Result<Done>(unwritable(file, why.message()))
                                         : Result<Done>(Done{});
}

Result<Done> prepare_demo(const fs::path& file, const fs::path& data) {
    std::error_code failed;
    if (!fs::exists(file, failed)) {
        return write_demo(file, data);
    }
    Result<std::unique_ptr<store::Log>> opened = store::Log::open(file, store::OpenMode::read_write);
    if (!opened) {
        return opened.error();
    }
    if ((*opened)->setting("demo").value_or("") != "yes") {
        return Refusal{.code = "demo.not_a_demo",
                       .field = "demo",
                       .value = file.string(),
                       .message = "this is a log of a studio, not the demo.",
                       .remedy = "Open it with --log, or move it away.",
                       .answers = {}};
    }
    if ((*opened)->setting("demo_edition").value_or("") == kDemoEdition) {
        return Done{};
    }
    // An older edition lacks what this program shows: it is laid aside, not written over.
    std::unique_ptr<store::Log> log = std::move(opened).value();
    log.reset();
    fs::path journal = file;
    journal += "-wal";
    if (fs::exists(journal, failed)) {
        return Done{};  // another window has it open
    }
    fs::path aside = file;
    aside += ".before";
    fs::rename(file, aside, failed);
    return failed ? Result<Done>(unwritable(file, failed.message())) : write_demo(file, data);
}

}  // namespace tonebath::app
