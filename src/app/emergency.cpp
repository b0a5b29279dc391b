#include "app/emergency.hpp"

#include "app/studio.hpp"
#include "app/toml_reader.hpp"
#include "store/log.hpp"

#include <array>

namespace tonebath::app {

namespace {

constexpr std::int64_t kSchema = 1;
constexpr std::array<std::string_view, 3> kOrder{"gas", "splash", "fire"};

EmergencyText page_of(TomlReader& in, const toml::table& all, std::string_view key) {
    in.only(all, {"schema", "key", "title", "first", "first_note", "first_source", "second", "second_note", "second_source",
                  "least_minutes", "row"});
    if (in.value<std::int64_t>(all, "schema") != kSchema) {
        in.fault(all.source(), fmt::format("schema {} was expected.", kSchema));
    }
    EmergencyText page{.key = in.value<std::string>(all, "key"),
                       .title = in.value<std::string>(all, "title"),
                       .first = in.value<std::string>(all, "first"),
                       .first_note = in.value<std::string>(all, "first_note"),
                       .second = in.value<std::string>(all, "second"),
                       .second_note = in.value<std::string>(all, "second_note"),
                       .first_source = in.words(all, "first_source"),
                       .second_source = in.words(all, "second_source"),
                       .least_minutes = static_cast<int>(in.value<std::int64_t>(all, "least_minutes"))};
    if (page.key != key) {
        in.fault(all.source(), fmt::format("key \"{}\" is not the name of the file.", page.key));
    }
    for (const toml::table* one : in.tables(all, "row")) {
        in.only(*one, {"head", "lines", "source"});
        page.rows.push_back({.head = in.value<std::string>(*one, "head"), .lines = in.words(*one, "lines"),
                             .source = in.words(*one, "source")});
        if (page.rows.back().source.empty() || page.rows.back().lines.empty()) {
            in.fault(one->source(), fmt::format("row \"{}\" needs lines and a source.", page.rows.back().head));
        }
    }
    if (page.first_source.empty() || page.second_source.empty()) {
        in.fault(all.source(), "first and second need a source.");
    }
    return page;
}

}  // namespace

Result<std::vector<EmergencyText>> read_emergency_pages(const std::filesystem::path& checklists) {
    std::vector<EmergencyText> pages;
    for (const std::string_view key : kOrder) {
        TomlReader in(checklists / fmt::format("emergency_{}.toml", key));
        const toml::table all = in.parse();
        if (!in.fault()) {
            pages.push_back(page_of(in, all, key));
        }
        if (in.fault()) {
            return *in.fault();
        }
    }
    return pages;
}

EmergencyNumbers emergency_numbers(Studio& studio) {
    const auto of = [&](std::string_view key) { return studio.log().setting(key).value_or(""); };
    return {.emergency_number = of("emergency_number"), .poison_line = of("poison_line"), .address = of("address")};
}

std::string filled(std::string line, const EmergencyNumbers& numbers) {
    const auto put = [&line](std::string_view place, const std::string& value, std::string_view instead) {
        for (std::size_t at = line.find(place); at != std::string::npos; at = line.find(place)) {
            line.replace(at, place.size(), value.empty() ? std::string(instead) : value);
        }
    };
    put("{emergency_number}", numbers.emergency_number, "the emergency number");
    put("{poison_line}", numbers.poison_line, "the poison line");
    put("{address}", numbers.address, "your address");
    return line;
}

}  // namespace tonebath::app
