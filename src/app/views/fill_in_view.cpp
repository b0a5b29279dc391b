#include "app/views/fill_in_view.hpp"

#include "app/resolve.hpp"
#include "app/studio.hpp"
#include "app/subject.hpp"
#include "app/waste.hpp"
#include "base/text.hpp"
#include "model/nouns.hpp"
#include "store/record.hpp"
#include "store/unfilled_store.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tonebath::app {

namespace {

std::string missing_words(store::Gap gap) {
    switch (gap) {
        case store::Gap::dip_tone: return "no tone judged";
        case store::Gap::dip_preparation: return "no preparation ticked";
        case store::Gap::dip_rinse: return "no rinse written down";
        case store::Gap::dip_who: return "who dipped it";
        case store::Gap::dip_length: return "how long it was in the bath";
        case store::Gap::bath_amount: return "how much of the lot";
        case store::Gap::bath_water: return "how much water";
        case store::Gap::bath_start_temp: return "no temperature at all";
        case store::Gap::bath_disposal: return "ended, no disposal logged";
        case store::Gap::part_metal: return "which metal";
        case store::Gap::piece_parts: return "dipped, and no part says which metal";
    }
    return {};
}

// The correction of one field, with what stands there now.
void correct_field(FillIn& line, const std::string& number, const std::string& field) {
    line.action = "record.correct";
    line.filled = {{"noun", line.noun}, {"number", number}, {"field", field}};
}

void of_dip(Studio& studio, store::Gap gap, FillIn& line, const Dip& dip) {
    const auto bath = store::find(studio.log(), dip.bath_id);
    const std::optional<Stamp> when = when_dipped(dip);
    const std::string in_bath = " in bath " + (bath ? bath->number : "not known");
    line.more = "dipped" + (when ? " " + date_time_text(*when) : "") + in_bath;
    const std::string subject = dip.strip_id ? "strip" : dip.part_id ? "part" : "piece";
    const std::string name = name_of(studio, dip);
    if (gap == store::Gap::dip_tone) {
        line.action = "judgement.add";
        line.filled = {{subject, line.number}, {"dip", name}};
    } else if (gap == store::Gap::dip_preparation) {
        line.action = "preparation.add";
        line.more = "dipped" + (when ? " " + date_text(*when) : "") + in_bath;
        line.filled = {{subject, line.number}};
        if (when) {
            line.filled["at"] = date_time_text(*when);  // it was before the dip
        }
    } else if (gap == store::Gap::dip_rinse) {
        line.action = "dip.rinsed";
        line.filled = {{"dip", name}};
    } else {
        correct_field(line, name, gap == store::Gap::dip_who ? "who" : "length");
    }
    if (dip.strip_id) {
        line.number = "strip " + line.number;
    }
}

FillIn line_of(Studio& studio, const store::Unfilled& one) {
    FillIn line{.id = fmt::format("{} {}", one.record_id, static_cast<int>(one.gap)), .noun = one.table, .number = one.number,
                .missing = missing_words(one.gap), .more = {}, .made_at = one.made_at, .action = {}, .filled = {}};
    const auto written = [&one] { return "written down " + date_text(one.made_at); };
    switch (one.gap) {
        case store::Gap::dip_tone:
        case store::Gap::dip_preparation:
        case store::Gap::dip_rinse:
        case store::Gap::dip_who:
        case store::Gap::dip_length:
            if (const auto dip = store::find(studio.log(), Id<Dip>{one.record_id})) {
                of_dip(studio, one.gap, line, *dip);
            }
            return line;
        case store::Gap::bath_amount: correct_field(line, one.number, "amount"); break;
        case store::Gap::bath_water: correct_field(line, one.number, "water"); break;
        case store::Gap::bath_start_temp: correct_field(line, one.number, "start-temp"); break;
        case store::Gap::bath_disposal:
            line.action = "disposal.add";
            line.filled = {{"bath", one.number}};
            break;
        case store::Gap::part_metal: correct_field(line, one.number, "metal"); break;
        case store::Gap::piece_parts:
            line.action = "part.add";
            line.filled = {{"piece", one.number}};
            break;
    }
    line.more = written();
    if (one.table == "bath") {
        line.number = "bath " + line.number;
    }
    return line;
}

// Values that carry the mark "from memory", one line a value.
void from_memory(Studio& studio, std::size_t limit, std::vector<FillIn>& lines) {
    for_each_noun([&]<class Noun>(const Noun& empty) {
        if constexpr (requires { empty.from_memory; }) {
            if (is_kept_table(Noun::kTable)) {
                return;  // never corrected
            }
            for (const Noun& record : store::list<Noun>(studio.log(), "WHERE from_memory <> '' ORDER BY made_utc_ms DESC LIMIT ?1",
                                                        {static_cast<std::int64_t>(limit)})) {
                const std::string name = name_of(studio, record);
                for (const std::string& column : split(record.from_memory, ' ')) {
                    FillIn line{.id = record.id.text + " " + column, .noun = std::string(noun_word(Noun::kTable)), .number = name,
                                .missing = fmt::format("{} is from memory", column), .more = "written down " + date_text(record.made_at),
                                .made_at = record.made_at, .action = {}, .filled = {}};
                    correct_field(line, name, column);
                    lines.push_back(std::move(line));
                }
            }
        }
    });
}

// What is disposed of later is owed only where something was kept back.
bool is_owed(Studio& studio, const store::Unfilled& one) {
    if (one.gap != store::Gap::bath_disposal) {
        return true;
    }
    const auto bath = store::find(studio.log(), Id<Bath>{one.record_id});
    return bath && bath->kept_back && bath->kept_back->ml() > 0.0 && !gone_baths(studio).contains(folded(bath->number));
}

// Strips or pieces dipped in one bath were prepared together more often than not: one line for all of them.
bool joins(const FillIn& line, FillIn& before) {
    if (line.action != "preparation.add" || before.action != line.action || line.more != before.more) {
        return false;
    }
    for (const char* subject : {"strip", "part", "piece"}) {
        const auto one = line.filled.find(subject);
        const auto many = before.filled.find(subject);
        if (one != line.filled.end() && many != before.filled.end()) {
            many->second += "\n" + one->second;
            const auto count = static_cast<std::size_t>(std::count(many->second.begin(), many->second.end(), '\n')) + 1;
            before.number = fmt::format("{} {}s", count, subject);
            if (const auto at = line.filled.find("at"); at != line.filled.end()) {
                before.filled["at"] = at->second;  // before the earliest of them
            }
            return true;
        }
    }
    return false;
}

}  // namespace

FillInList fill_in_list(Studio& studio, std::size_t limit) {
    FillInList list;
    for (const store::Unfilled& one : store::unfilled(studio.log(), Stamp{}, 4 * limit)) {
        if (!is_owed(studio, one)) {
            continue;
        }
        FillIn line = line_of(studio, one);
        if (std::none_of(list.lines.begin(), list.lines.end(), [&line](FillIn& before) { return joins(line, before); })) {
            list.lines.push_back(std::move(line));
        }
    }
    from_memory(studio, limit + 1, list.lines);
    std::stable_sort(list.lines.begin(), list.lines.end(),
                     [](const FillIn& a, const FillIn& b) { return a.made_at.utc_ms > b.made_at.utc_ms; });
    list.more = list.lines.size() > limit;
    if (list.more) {
        list.lines.resize(limit);
    }
    return list;
}

std::string fill_in_command(const FillIn& line) {
    std::string words = "tonebath " + line.action;
    std::replace(words.begin() + 9, words.end(), '.', ' ');
    for (const auto& [key, value] : line.filled) {
        for (const std::string& one : split(value, '\n')) {
            words += fmt::format(" --{} {}", key, one.find(' ') == std::string::npos ? one : '"' + one + '"');
        }
    }
    return words;
}

}  // namespace tonebath::app
