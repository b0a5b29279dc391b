#include "window/shell/start_options.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>

namespace tonebath::window {
namespace {

constexpr std::array<std::string_view, 6> kWithValue = {"--log",   "--page",  "--size",
                                                        "--scale", "--theme", "--screenshot"};

struct Option {
    std::string_view name;
    std::optional<std::string_view> value;  // after "="
};

Option split_option(std::string_view argument) {
    const std::size_t equals = argument.find('=');
    if (equals == std::string_view::npos) {
        return {argument, std::nullopt};
    }
    return {argument.substr(0, equals), argument.substr(equals + 1)};
}

bool takes_value(std::string_view name) {
    return std::find(kWithValue.begin(), kWithValue.end(), name) != kWithValue.end();
}

template <class T>
std::optional<T> whole_number(std::string_view text) {
    T value{};
    const auto [end, failed] = std::from_chars(text.data(), text.data() + text.size(), value);
    return failed == std::errc() && end == text.data() + text.size() ? std::optional<T>(value) : std::nullopt;
}

Refusal refuse(std::string_view code, std::string_view option, std::string_view value, std::string message,
               std::string remedy) {
    return Refusal{.code = std::string(code),
                   .field = std::string(option),
                   .value = std::string(value),
                   .message = std::move(message),
                   .remedy = std::move(remedy),
                   .answers = {}};
}

std::optional<WindowSize> size_from(std::string_view text) {
    const std::size_t cross = text.find('x');
    if (cross == std::string_view::npos) {
        return std::nullopt;
    }
    const auto width = whole_number<int>(text.substr(0, cross));
    const auto height = whole_number<int>(text.substr(cross + 1));
    if (!width || !height || *width < kSmallestWindow.width || *width > kLargestWindow.width ||
        *height < kSmallestWindow.height || *height > kLargestWindow.height) {
        return std::nullopt;
    }
    return WindowSize{*width, *height};
}

std::optional<Refusal> take(StartOptions& options, std::string_view name, std::string_view value) {
    if (value.empty()) {
        return refuse("start.empty", name, "", "that needs something after it.", "See --help.");
    }
    if (name == "--log") {
        options.log = std::filesystem::path(value);
    } else if (name == "--page") {
        options.page = std::string(value);
    } else if (name == "--screenshot") {
        options.screenshot = std::filesystem::path(value);
    } else if (name == "--size") {
        options.size = size_from(value);
        if (!options.size) {
            return refuse("start.size", name, value,
                          fmt::format("the size is width x height in pixels, {}x{} or more.", kSmallestWindow.width,
                                      kSmallestWindow.height),
                          "For example: --size 1280x800");
        }
    } else if (name == "--scale") {
        const auto scale = whole_number<float>(value);
        if (!scale || !(*scale >= 0.5F && *scale <= 4.0F)) {
            return refuse("start.scale", name, value, "the scale is a number from 0.5 to 4.",
                          "For example: --scale 1.5");
        }
        options.scale = scale;
    } else if (name == "--theme") {
        if (!is_theme_name(value)) {
            return refuse("start.theme", name, value, "there is no theme of that name.",
                          "There are: slate, chalk, \"black and white\".");
        }
        options.theme = std::string(value);
    }
    return std::nullopt;
}

}  // namespace

Result<StartOptions> parse_start(std::span<const char* const> arguments) {
    StartOptions options;
    for (std::size_t i = 0; i < arguments.size(); ++i) {
        Option option = split_option(arguments[i]);
        if (takes_value(option.name)) {
            if (!option.value && i + 1 < arguments.size()) {
                option.value = arguments[++i];
            }
            if (const auto refusal = take(options, option.name, option.value.value_or(""))) {
                return *refusal;
            }
        } else if (option.name == "--demo" && !option.value) {
            options.demo = true;
        } else {
            return refuse("start.unknown", arguments[i], "", "there is no such option.", "See tonebath --help.");
        }
    }
    if (options.demo && options.log) {
        return refuse("start.demo_and_log", "--demo", "", "the demo studio has a log of its own.",
                      "Leave out --demo or --log.");
    }
    return options;
}

std::optional<std::string_view> verb_of(std::span<const char* const> arguments) {
    for (std::size_t i = 0; i < arguments.size(); ++i) {
        const std::string_view argument = arguments[i];
        if (argument.empty() || argument.front() != '-') {
            return argument;
        }
        if (takes_value(argument)) {
            ++i;
        }
    }
    return std::nullopt;
}

std::string_view start_help() {
    return "  --log FILE         another log than the usual one\n"
           "  --demo             the demo studio: invented records, never your own log\n"
           "  --page NAME        the page to open first; tones/drift a view of it, pieces/why/L-058 a record there\n"
           "  --size WxH         size of the window, pixels at scale 1\n"
           "  --scale S          0.5 to 4, in place of your own setting\n"
           "  --theme T          slate, chalk, \"black and white\"\n"
           "  --screenshot FILE  save a PNG picture of the page and end\n";
}

}  // namespace tonebath::window
