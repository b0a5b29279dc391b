#include "window/shell/settings.hpp"

#include "base/files.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <array>
#include <optional>
#include <string_view>
#include <system_error>

namespace tonebath::window {
namespace {

constexpr std::array<std::string_view, 3> kThemes = {"slate", "chalk", "black and white"};
constexpr std::array<std::string_view, 2> kTemperatures = {"celsius", "fahrenheit"};
constexpr std::array<std::string_view, 3> kVolumes = {"ml", "cups", "fluid ounces"};
constexpr std::array<std::string_view, 2> kMasses = {"grams", "ounces"};
constexpr std::array<std::string_view, 3> kLengths = {"mm", "awg", "inches"};

// Takes values out of a table; what does not fit is named and left at its default.
class Taker {
public:
    Taker(const toml::table& table, std::string prefix, std::vector<std::string>& messages)
        : table_(table), prefix_(std::move(prefix)), messages_(messages) {}

    void flag(std::string_view key, bool& value) const {
        if (const auto* node = table_.get(key)) {
            take(key, node->value_exact<bool>(), value);
        }
    }
    template <class T>
    void number(std::string_view key, T& value, T least, T most) const {
        if (const auto* node = table_.get(key)) {
            const std::optional<double> read = node->is_number() ? node->value<double>() : std::nullopt;
            const bool fits = read && *read >= static_cast<double>(least) && *read <= static_cast<double>(most);
            take(key, fits ? std::optional<T>(static_cast<T>(*read)) : std::nullopt, value);
        }
    }
    void text(std::string_view key, std::string& value, std::size_t longest) const {
        if (const auto* node = table_.get(key)) {
            std::optional<std::string> read = node->value_exact<std::string>();
            take(key, read && read->size() <= longest ? read : std::nullopt, value);
        }
    }
    template <class E, std::size_t N>
    void choice(std::string_view key, E& value, const std::array<std::string_view, N>& words) const {
        if (const auto* node = table_.get(key)) {
            const std::string read = node->value_or(std::string());
            const auto found = std::find(words.begin(), words.end(), read);
            take(key, found == words.end() ? std::nullopt : std::optional<E>(static_cast<E>(found - words.begin())),
                 value);
        }
    }

private:
    template <class T>
    void take(std::string_view key, const std::optional<T>& read, T& value) const {
        if (read) {
            value = *read;
        } else {
            messages_.push_back(
                fmt::format("The settings say something for \"{}{}\" that does not fit; it is left as it "
                            "usually is.",
                            prefix_, key));
        }
    }

    const toml::table& table_;
    std::string prefix_;
    std::vector<std::string>& messages_;
};

template <class E, std::size_t N>
std::string_view word(E value, const std::array<std::string_view, N>& words) {
    return words[static_cast<std::size_t>(value)];
}

}  // namespace

bool is_theme_name(std::string_view name) {
    return std::find(kThemes.begin(), kThemes.end(), name) != kThemes.end();
}

ReadSettings read_settings(const std::filesystem::path& file) {
    ReadSettings read;
    std::error_code failed;
    if (!std::filesystem::exists(file, failed)) {
        return read;
    }
    toml::table table;
    try {
        table = toml::parse(read_file(file));
    } catch (const std::exception& problem) {
        read.messages.push_back(fmt::format("The settings in {} cannot be read ({}); the usual ones are used.",
                                            file.string(), problem.what()));
        return read;
    }
    WindowSettings& settings = read.settings;
    const Taker top(table, "", read.messages);
    std::string theme = settings.theme;
    top.text("theme", theme, 64);
    if (is_theme_name(theme)) {
        settings.theme = theme;
    } else {
        read.messages.push_back(
            fmt::format("The settings name a theme \"{}\" that there is none of; slate is used.", theme));
    }
    top.number("scale", settings.scale, 0.5F, 4.0F);
    top.number("width", settings.size.width, kSmallestWindow.width, kLargestWindow.width);
    top.number("height", settings.size.height, kSmallestWindow.height, kLargestWindow.height);
    top.flag("full_screen", settings.full_screen);
    top.flag("reduced_motion", settings.reduced_motion);
    top.number("sound", settings.sound, 0, 3);
    top.flag("voice", settings.voice);
    top.text("page", settings.page, 64);
    if (const toml::table* units = table["units"].as_table()) {
        const Taker taker(*units, "units.", read.messages);
        taker.choice("temperature", settings.units.temperature, kTemperatures);
        taker.choice("volume", settings.units.volume, kVolumes);
        taker.choice("mass", settings.units.mass, kMasses);
        taker.choice("length", settings.units.length, kLengths);
    }
    return read;
}

std::string settings_text(const WindowSettings& settings) {
    toml::table units{
        {"temperature", word(settings.units.temperature, kTemperatures)},
        {"volume", word(settings.units.volume, kVolumes)},
        {"mass", word(settings.units.mass, kMasses)},
        {"length", word(settings.units.length, kLengths)},
    };
    const toml::table table{
        {"theme", settings.theme},
        {"scale", static_cast<double>(settings.scale)},
        {"width", settings.size.width},
        {"height", settings.size.height},
        {"full_screen", settings.full_screen},
        {"reduced_motion", settings.reduced_motion},
        {"sound", settings.sound},
        {"voice", settings.voice},
        {"page", settings.page},
        {"units", std::move(units)},
    };
    std::ostringstream out;
    out << table << '\n';
    return out.str();
}

void write_settings(const std::filesystem::path& file, const WindowSettings& settings) {
    std::error_code failed;
    std::filesystem::create_directories(file.parent_path(), failed);
    if (failed) {
        throw FileError(fmt::format("The folder {} for the settings cannot be made: {}.", file.parent_path().string(),
                                    failed.message()));
    }
    write_file_whole(file, settings_text(settings));
}

}  // namespace tonebath::window
