#include "app/bench.hpp"

#include "app/studio.hpp"
#include "base/quantity_text.hpp"
#include "base/text.hpp"
#include "store/record.hpp"

namespace tonebath::app {

namespace {

constexpr std::string_view kSetting = "bench";

// One line a fact: "bath <id>", "strip <id>", "piece <id>", "part <id>", "aim <id>", "every 15", "rinse 30", "at <ISO>".
std::string text_of_layout(const BenchLayout& layout) {
    std::string text;
    const auto add = [&text](std::string_view name, const std::string& value) { text += std::string(name) + " " + value + "\n"; };
    if (layout.bath_id) {
        add("bath", layout.bath_id->text);
    }
    for (const Subject& lane : layout.lanes) {
        if (lane.strip) {
            add("strip", lane.strip->text);
        } else if (lane.part) {
            add("part", lane.part->text);
        } else if (lane.piece) {
            add("piece", lane.piece->text);
        }
    }
    if (layout.aim) {
        add("aim", layout.aim->text);
    }
    if (layout.every_s) {
        add("every", exact_text(*layout.every_s));
    }
    add("rinse", exact_text(layout.rinse_s));
    if (layout.laid_out_at) {
        add("at", iso_text(*layout.laid_out_at));
    }
    return text;
}

std::optional<double> seconds_of(std::string_view value) {
    const auto number = parse_number("", value);
    return number ? std::optional<double>(*number) : std::nullopt;
}

}  // namespace

BenchLayout bench_layout(Studio& studio) {
    BenchLayout layout;
    const std::string text = studio.log().setting(kSetting).value_or("");
    for (const std::string& line : split(text, '\n')) {
        const std::size_t blank = line.find(' ');
        if (blank == std::string::npos) {
            continue;
        }
        const std::string_view name = std::string_view(line).substr(0, blank);
        const std::string value = line.substr(blank + 1);
        if (name == "bath" && store::find(studio.log(), Id<Bath>{value})) {
            layout.bath_id = Id<Bath>{value};
        } else if (name == "strip") {
            if (const auto strip = store::find(studio.log(), Id<Strip>{value})) {
                layout.lanes.push_back(subject_of(*strip));
            }
        } else if (name == "piece") {
            if (const auto piece = store::find(studio.log(), Id<Piece>{value})) {
                layout.lanes.push_back(subject_of(studio, *piece));
            }
        } else if (name == "part") {
            if (const auto part = store::find(studio.log(), Id<Part>{value})) {
                layout.lanes.push_back(subject_of(studio, *part));
            }
        } else if (name == "aim" && store::find(studio.log(), Id<Tone>{value})) {
            layout.aim = Id<Tone>{value};
        } else if (name == "every") {
            layout.every_s = seconds_of(value);
        } else if (name == "rinse") {
            layout.rinse_s = seconds_of(value).value_or(kUsualRinse_s);
        } else if (name == "at") {
            layout.laid_out_at = parse_iso(value, 0);
        }
    }
    return layout;
}

void lay_out(Studio& studio, const BenchLayout& layout) { studio.log().set_setting(kSetting, text_of_layout(layout)); }

}  // namespace tonebath::app
