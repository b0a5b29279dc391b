#include "app/studio.hpp"

#include "app/actions.hpp"
#include "app/data_files.hpp"
#include "app/form_fault.hpp"
#include "app/log_trouble.hpp"
#include "app/rooms.hpp"
#include "app/seed.hpp"
#include "app/withdraw.hpp"
#include "base/places.hpp"
#include "base/text.hpp"
#include "store/backup.hpp"
#include "store/change.hpp"
#include "store/log.hpp"
#include "store/record.hpp"
#include "store/window_lock.hpp"

#include <algorithm>
#include <cstdio>

namespace tonebath::app {

namespace {

constexpr std::string_view kAtBench = "at_bench";
constexpr std::string_view kDemo = "demo";
constexpr std::string_view kAsOf = "as_of";

Refusal no_data() {
    return Refusal{.code = "data.missing",
                   .field = {},
                   .value = {},
                   .message = "the program's own data (its data and checklists folders) are not where they belong.",
                   .remedy = "Install the program again, or name the folder in TONEBATH_DATA.",
                   .answers = {}};
}

Refusal plain(std::string code, std::string field, std::string_view value, std::string message, std::string remedy) {
    return Refusal{.code = std::move(code),
                   .field = std::move(field),
                   .value = shown(value),
                   .message = std::move(message),
                   .remedy = std::move(remedy),
                   .answers = {}};
}

}  // namespace

std::optional<Refusal> form_fault(const ActionSpec& spec, const Form& form) {
    for (const auto& [key, text] : form.typed) {
        const auto same = [&key = key](const FieldSpec& field) { return field.key == key; };
        if (std::none_of(spec.fields.begin(), spec.fields.end(), same)) {
            std::vector<std::string> keys;
            for (const FieldSpec& field : spec.fields) {
                keys.push_back(field.key);
            }
            return plain("form.unknown_field", key, text, "there is no such field here.",
                         "The fields are " + joined(keys, ", ") + ".");
        }
    }
    for (const FieldSpec& field : spec.fields) {
        if (field.required && form.text(field.key).empty()) {
            return plain("form.missing", field.label, "", "it is not filled in.",
                         field.help.empty() ? "Fill it in." : "Fill it in: " + field.help + ".");
        }
        if (field.kind == FieldKind::choice && !form.text(field.key).empty()) {
            const std::string typed = folded(form.text(field.key));
            if (std::none_of(field.choices.begin(), field.choices.end(),
                             [&](const std::string& choice) { return folded(choice) == typed; })) {
                Refusal refusal =
                    plain("choice.unknown", field.label, form.text(field.key), "that is none of the choices.",
                          "Choose " + joined(field.choices, ", ") + ", or leave it empty when it is not known.");
                refusal.answers = field.choices;
                return refusal;
            }
        }
    }
    return std::nullopt;
}

Studio::Studio(StudioOptions options, const Clock& clock, std::unique_ptr<store::Log> log)
    : options_(std::move(options)), clock_(&clock), log_(std::move(log)), sitting_since_(clock.now()) {}

Studio::~Studio() = default;

Result<std::unique_ptr<Studio>> Studio::open(const StudioOptions& given, const Clock& clock) {
    StudioOptions options = given;
    if (options.data.empty()) {
        const Places places = Places::of_program();
        if (!places.shared) {
            return no_data();
        }
        options.data = *places.shared / "data";
    }
    if (options.checklists.empty()) {
        options.checklists = options.data.parent_path() / "checklists";
    }
    Result<std::vector<FinishKind>> kinds = read_finish_kinds(options.data / "finish_kinds.csv");
    if (!kinds) {
        return kinds.error();
    }
    Result<ChecklistBook> checklists = read_checklists(options.checklists, options.own_checklists, options.data / "safety_sources.csv");
    if (!checklists) {
        return checklists.error();
    }
    try {
        std::unique_ptr<store::Log> log;
        std::unique_ptr<store::WindowLock> window_lock;
        if (options.hold_window && !options.read_only && !options.log.empty()) {
            std::filesystem::create_directories(options.log.parent_path().empty() ? "." : options.log.parent_path());
            Result<store::WindowLock> taken = store::WindowLock::acquire(options.log);
            if (taken) {
                window_lock = std::make_unique<store::WindowLock>(std::move(taken).value());
            } else if (taken.error().code == "window.second") {
                options.read_only = true;
            } else {
                return taken.error();
            }
        }
        if (options.log.empty()) {
            log = store::Log::in_memory();
        } else {
            const store::OpenMode mode = options.read_only ? store::OpenMode::read_only
                                         : options.create  ? store::OpenMode::create
                                                           : store::OpenMode::read_write;
            Result<std::unique_ptr<store::Log>> opened = store::Log::open(options.log, mode);
            if (!opened) {
                return opened.error();
            }
            log = std::move(opened).value();
        }
        std::unique_ptr<Studio> studio(new Studio(std::move(options), clock, std::move(log)));
        studio->window_lock_ = std::move(window_lock);
        studio->finish_kinds_ = std::move(kinds).value();
        studio->checklists_ = std::move(checklists).value();
        studio->demo_ = studio->log_->setting(kDemo).value_or("") == "yes";
        if (const std::optional<std::string> as_of = studio->log_->setting(kAsOf)) {
            if (const std::optional<Stamp> moment = parse_iso(*as_of, 0)) {
                if (studio->options_.hold_clock) {
                    studio->own_clock_ = std::make_unique<HandClock>(*moment);
                } else {
                    studio->own_clock_ = std::make_unique<AsOfClock>(*moment);
                }
                studio->clock_ = studio->own_clock_.get();
                studio->sitting_since_ = studio->clock_->now();
            }
        }
        const bool empty = store::list<Metal>(*studio->log_, "LIMIT 1").empty();
        if (empty && !studio->log_->read_only()) {
            const Result<std::vector<MetalWords>> metals = read_metals(studio->options_.data / "metals.toml");
            if (!metals) {
                return metals.error();
            }
            const Result<std::vector<ScaleWords>> scales = read_scales(studio->options_.data / "tones.toml");
            if (!scales) {
                return scales.error();
            }
            if (const Result<Done> seeded = seed_words(*studio, *metals, *scales); !seeded) {
                return seeded.error();
            }
            studio->last_written_.reset();
        }
        bring_room_in(*studio);
        return studio;
    } catch (const store::StoreError& trouble) {
        return log_trouble(trouble);
    }
}

const FinishKind& Studio::finish_kind(std::string_view key) const {
    const FinishKind* kind = find_kind(finish_kinds_, key);
    if (kind == nullptr) {
        kind = find_kind(finish_kinds_, "unknown");
    }
    TB_CHECK(kind != nullptr);
    return *kind;
}

Result<Outcome> Studio::carry_out(const Form& form) {
    const ActionSpec* spec = find_action(form.action);
    if (spec == nullptr) {
        return plain("form.unknown_action", "action", form.action, "there is no such action.",
                     "Look for it in the list of actions.");
    }
    if (log_->read_only()) {
        return plain("log.read_only", "", "", "this log is open for reading only.",
                     "Write in the window that opened it first, or close that one.");
    }
    if (std::optional<Refusal> fault = form_fault(*spec, form)) {
        return *fault;
    }
    try {
        return spec->carry_out(*this, form);
    } catch (const store::StoreError& trouble) {
        return log_trouble(trouble);
    }
}

Result<Outcome> Studio::write(const std::string& step, const std::function<Result<Outcome>()>& work,
                              const std::string& takes_back) {
    const Stamp at = now();
    const std::optional<Person> who = at_bench();
    store::Change change(*log_, step, at, who ? who->id.text : std::string(), ids_);
    if (!takes_back.empty()) {
        change.takes_back(takes_back);
    }
    Result<Outcome> outcome = work();
    if (outcome) {
        change.commit();
        last_written_ = at;
    }
    return outcome;
}

std::optional<Person> Studio::at_bench() {
    const std::optional<std::string> id = log_->setting(kAtBench);
    return id ? store::find(*log_, Id<Person>{*id}) : std::nullopt;
}

void Studio::close() {
    if (!options_.log.empty() && !log_->read_only()) {
        try {
            static_cast<void>(store::make_backup(*log_, now()));
        } catch (const store::StoreError& trouble) {
            std::fprintf(stderr, "tonebath: no backup was written: %s\n", trouble.what());
        }
    }
    window_lock_.reset();
}

std::int64_t Studio::generation() {
    return log_->generation();
}

namespace {

// The words that the program wrote into a new log are nobody's step to take back.
bool is_a_step(const std::optional<store::ChangeEntry>& entry) {
    return entry && entry->step != kFirstWords;
}

Result<Outcome> taken_back(Studio& studio, const store::ChangeEntry& entry, const std::string& said) {
    const std::optional<Person> who = studio.at_bench();
    const Result<Done> done =
        store::take_back(studio.log(), entry.id, studio.now(), who ? who->id.text : std::string(), studio.ids());
    if (!done) {
        return done.error();
    }
    return Outcome{.said = said + entry.step + ".", .cautions = {}, .made = {}};
}

}  // namespace

std::optional<std::string> Studio::undo_step() {
    const std::optional<store::ChangeEntry> entry = store::next_undo(*log_, sitting_since_);
    return is_a_step(entry) ? std::optional<std::string>(entry->step) : std::nullopt;
}

std::optional<std::string> Studio::redo_step() {
    const std::optional<store::ChangeEntry> entry = store::next_redo(*log_, sitting_since_);
    return is_a_step(entry) ? std::optional<std::string>(entry->step) : std::nullopt;
}

Result<Outcome> Studio::undo() {
    try {
        const std::optional<store::ChangeEntry> entry = store::next_undo(*log_, sitting_since_);
        if (!is_a_step(entry)) {
            return plain("undo.nothing", "undo", "", "nothing of this sitting is left to take back.",
                         "Correct the record instead; the old value is kept.");
        }
        Result<Outcome> done =
            entry->touches_kept && !entry->brought_in ? withdraw_step(*this, *entry) : taken_back(*this, *entry, "Taken back: ");
        if (done) {
            last_written_ = now();
        }
        return done;
    } catch (const store::StoreError& trouble) {
        return log_trouble(trouble);
    }
}

Result<Outcome> Studio::redo() {
    try {
        const std::optional<store::ChangeEntry> entry = store::next_redo(*log_, sitting_since_);
        if (!is_a_step(entry)) {
            return plain("redo.nothing", "redo", "", "nothing was taken back that could be brought forward.",
                         "Write it down again.");
        }
        Result<Outcome> done = taken_back(*this, *entry, "Brought forward: ");
        if (done) {
            last_written_ = now();
        }
        return done;
    } catch (const store::StoreError& trouble) {
        return log_trouble(trouble);
    }
}

}  // namespace tonebath::app
